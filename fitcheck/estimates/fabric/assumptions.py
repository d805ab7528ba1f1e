"""What the fabric model assumes until the knitter's own fabric speaks: every prior, named and sourced.

The report lists an assumption when an answer leaned on it; all of them can be edited.
Sources: [P] published, [C] common practice, no source, [M] from memory, only ever a weak prior.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.piece import LOCAL_DOF, LOCAL_SD, SIZE_SD, USUAL_MM
from fitcheck.records.faults import FitcheckError
from fitcheck.records.frozen import frozen

Direction = Literal["across", "along"]
DIRECTIONS: tuple[Direction, Direction] = ("across", "along")

BLOCKED = "blocked"
"""The stage that everything is carried to: washed and blocked, dry, unpinned."""


class FabricError(FitcheckError, ValueError):
    """What was handed to the fabric model is wrong; the message names the field and what is accepted."""


@frozen
class Prior:
    """A normal prior on a logarithmic scale: mean [1], sd [1]."""

    mean: float
    sd: float


@frozen
class StageChange:
    """Assumed change from a stage to washed and blocked, as ln(blocked / stage) [1]."""

    stage: str
    across: Prior
    along: Prior


@frozen
class FinishedShift:
    """How much one finished make's pieces differ from its swatches, as ln(piece / swatch) [1] with u [1].

    None for a direction that the make says nothing about. ``Fabric.piece_shift()`` gives it.
    """

    across: Estimate | None = None
    along: Estimate | None = None


def _change(percent: float, points: float) -> Prior:
    """Prior of ln(blocked / stage) from a percent change (minus = shrinks) and its SD in points."""
    return Prior(math.log1p(percent / 100), points / 100)


_RESTED_ANY = StageChange("rested", across=_change(0.0, 5.0), along=_change(-3.0, 5.0))

_RESTED_BY_FIBRE: dict[str, StageChange] = {
    # Gentle hand wash, dried flat [M, rule of thumb, weak]: the middle of the usual range, SD 3 points
    # (6 for wools, whose finishes differ most). A direction without a figure keeps the one for any fibre.
    "wool": StageChange("rested", across=_change(0.5, 6.0), along=_change(-1.0, 6.0)),  # -3..+4, -5..+3 [M]
    "superwash": StageChange("rested", across=_change(4.0, 6.0), along=_change(4.0, 6.0)),  # 0..+8 [M]
    "cotton": StageChange("rested", across=_change(2.5, 3.0), along=_change(-6.5, 3.0)),  # 0..+5, -3..-10 [M]
    "acrylic": StageChange("rested", across=_change(0.0, 3.0), along=_change(0.0, 3.0)),  # -2..+2 [M]
    "alpaca": StageChange("rested", across=_change(2.5, 3.0), along=_change(2.5, 3.0)),  # 0..+5 [M]
    "linen": StageChange("rested", across=_RESTED_ANY.across, along=_change(-5.5, 3.0)),  # -3..-8 along [M]
}

FIBRES: tuple[str, ...] = tuple(_RESTED_BY_FIBRE)
"""Fibre classes with their own prior of the change in finishing."""

_OFF_MACHINE = StageChange(
    "off_machine",
    across=_change(0.0, 6.0),  # no figure; the weights' pull goes partly back into width
    along=_change(-12.5, 5.0),  # -10..-15 % along, off the machine to washed [C]
)
_HUNG = StageChange("hung", across=_change(1.5, 4.0), along=_change(-3.0, 4.0))
# Hung or worn is longer than laid flat, so back to blocked is minus: 3 % assumed, no source.
_WORN = replace(_HUNG, stage="worn")
_OTHER = StageChange("", across=_change(0.0, 6.0), along=_change(-3.0, 6.0))  # no source: wider than any named stage


@frozen
class Assumptions:
    """Every prior and constant of the fabric model (logarithmic sizes, so 0.01 is about 1 %).

    width_mm, height_mm   centre of the prior of the stitch width and row height, blocked [mm]; plain fabric
                          of a standard gauge, no source; hardly matters once one swatch is measured
    size_sd               SD of that prior [1]
    slope                 relative change of stitch size per dial number at the centre dial [1 per number];
                          one click (a third) is 2-3 % [C]
    shift_across, shift_along   ln(piece / swatch): a piece of 120 needles under its own weights is not one
                          more swatch; 1-3 % is ordinary [C]; replaced by the knitter's finished makes
    shift_known           directions whose shift finished makes told (empty = both assumed)
    fibre                 fibre class behind `changes`; "any" when none was known
    changes               prior of ln(blocked / stage) per stage, both directions
    other_change          the same for a stage not named in `changes`
    tau_scale             scale of the half-normal prior of tau, the SD between specimens of one fabric [1]
    tau_change_scale      scale of the half-normal prior of tauC, the SD of a change between specimens [1]
    piece_share           SD between pieces as a share of tau [1]
    local_sd, local_dof   SD of the stitch size along one piece [1], and the readings that this counts for
    unknown_dial_numbers  SD of the dial of a specimen whose dial was not written down, among others that have
                          one [dial numbers]; no source
    next_readings         readings, each laid anew, taken from the swatch proposed by ``next_swatch``
    next_resolution_mm    resolution that they are written with [mm]
    """

    width_mm: float = USUAL_MM["across"]
    height_mm: float = USUAL_MM["along"]
    size_sd: float = SIZE_SD
    slope: Prior = Prior(0.07, 0.03)
    shift_across: Prior = Prior(0.0, 0.015)
    shift_along: Prior = Prior(0.0, 0.015)
    shift_known: tuple[Direction, ...] = ()
    fibre: str = "any"
    changes: tuple[StageChange, ...] = (_RESTED_ANY, _OFF_MACHINE, _HUNG, _WORN)
    other_change: StageChange = _OTHER
    tau_scale: float = 0.02
    tau_change_scale: float = 0.02
    piece_share: float = 0.8
    local_sd: float = LOCAL_SD
    local_dof: float = LOCAL_DOF
    unknown_dial_numbers: float = 1.0
    next_readings: int = 3
    next_resolution_mm: float = 1.0

    def __post_init__(self) -> None:
        for name in ("width_mm", "height_mm", "tau_scale", "piece_share", "local_sd", "local_dof"):
            if not getattr(self, name) > 0:
                raise FabricError(f"{name}: read {getattr(self, name)!r}; a number above 0 is accepted")
        if not 0 < self.tau_change_scale < math.inf:
            raise FabricError(
                f"tau_change_scale: read {self.tau_change_scale!r}; a finite number above 0 is accepted, "
                "because a fabric without unblocked readings cannot tell it"
            )
        if not 0 < self.size_sd < math.inf:
            raise FabricError(f"size_sd: read {self.size_sd!r}; a finite number above 0 is accepted")
        for name in ("slope", "shift_across", "shift_along"):
            prior = getattr(self, name)
            if not 0 <= prior.sd < math.inf:
                raise FabricError(f"{name}.sd: read {prior.sd!r}; a finite number from 0 is accepted")

    def size(self, direction: Direction) -> Prior:
        """Prior of ln(mm per stitch or row), blocked."""
        return Prior(math.log(self.width_mm if direction == "across" else self.height_mm), self.size_sd)

    def shift(self, direction: Direction) -> Prior:
        """Prior of ln(piece / swatch)."""
        return self.shift_across if direction == "across" else self.shift_along

    def change(self, stage: str, direction: Direction) -> Prior:
        """Prior of ln(blocked / stage)."""
        for change in self.changes:
            if change.stage == stage:
                return change.across if direction == "across" else change.along
        return self.other_change.across if direction == "across" else self.other_change.along


DEFAULT = Assumptions()
"""What is assumed of a fabric of any fibre, in a household without finished makes."""

_BETWEEN_MAKES = 0.6
"""Share of the shift's SD that changes from make to make; the rest is the household's own. No source:
chosen so that three makes halve the doubt about the household and never end the doubt about the next make."""


def _shift_from(makes: Sequence[Estimate], prior: Prior) -> Prior:
    """Shift of the next make: normal with a known SD between makes, conjugate, prior split in two parts."""
    between = (_BETWEEN_MAKES * prior.sd) ** 2
    own = prior.sd**2 - between
    precision = 1 / own + sum(1 / (between + make.u**2) for make in makes)
    weighted = prior.mean / own + sum(make.value / (between + make.u**2) for make in makes)
    return Prior(weighted / precision, math.sqrt(1 / precision + between))


def assumptions_for(
    fibre: str | None = None, finished: Sequence[FinishedShift] = (), *, base: Assumptions = DEFAULT
) -> Assumptions:
    """Return the assumptions for a fibre class and a household's finished makes.

    fibre     one of FIBRES; None or any other fibre keeps the wide prior for any fibre (no figure is known)
    finished  the shift from swatch to piece that each finished make showed; they replace the prior of it:
              d_m ~ N(mu, sd_between^2 + u_m^2), mu ~ N(0, sd_household^2), next make ~ N(mu, sd_between^2),
              with the assumed SD split as sd_household^2 + sd_between^2 = 0.015^2
    base      what to start from

    Raises FabricError when a make's u is not a number from 0.
    """
    shifts: dict[str, Prior] = {}
    known_shifts = list(base.shift_known)
    for direction in DIRECTIONS:
        makes = [make for shift in finished if (make := getattr(shift, direction)) is not None]
        for make in makes:
            if not (math.isfinite(make.value) and 0 <= make.u < math.inf):
                raise FabricError(
                    f"finished.{direction}: read {make.value!r} with u {make.u!r}; a finite ln(piece / "
                    "swatch) with a finite u from 0 is accepted; leave the make out when it is not known"
                )
        prior = base.shift(direction)
        shifts[direction] = _shift_from(makes, prior) if makes and prior.sd > 0 else prior
        if makes and direction not in known_shifts:
            known_shifts.append(direction)
    known = _RESTED_BY_FIBRE.get(fibre or "")
    changes = base.changes
    if known is not None:
        changes = (known, *(change for change in base.changes if change.stage != known.stage))
    return replace(
        base,
        shift_across=shifts["across"],
        shift_along=shifts["along"],
        shift_known=tuple(known_shifts),
        fibre=fibre if known is not None and fibre else base.fibre,
        changes=changes,
    )
