"""What the fabric model is fitted to: swatches and pieces, checked and laid out in one table."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from fitcheck.estimates.fabric.assumptions import BLOCKED, DIRECTIONS, Assumptions, Direction, FabricError
from fitcheck.estimates.fabric.grid import Matrix, Table
from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.piece import updated_local_sd
from fitcheck.records.frozen import frozen

LEAST_U = 1e-5
"""Relative u below which a reading is taken as this sure: exact readings would divide by nothing."""
LEAST_PRIOR_SD = 1e-7
"""The same for a prior that is taken as known."""


@frozen
class SpecimenStage:
    """Stitch width and row height of one specimen at one stage of finishing.

    stage   its name: "blocked", "rested", "off_machine", "hung", "worn" or any other
    across  width of a stitch [mm], None when not read
    along   height of a row [mm], None when not read
    """

    stage: str
    across: Estimate | None = None
    along: Estimate | None = None


@frozen
class PointReading:
    """A point of measure of a piece with the stitches or rows that it spans.

    direction  across (stitches) or along (rows)
    count      stitches or rows that the length spans
    measured   length [mm]
    stage      stage at which it was read
    """

    direction: Direction
    count: float
    measured: Estimate
    stage: str = BLOCKED


@frozen
class Specimen:
    """A swatch or a piece of one fabric.

    key     its name
    dial    dial number, a mark being a third of one; None when not written down: a swatch was then knitted near the
            others, a piece at a dial that nobody knows
    piece   a piece of a garment, not a swatch
    stages  what was read between markers, once per stage
    points  points of measure with their counts
    """

    key: str
    dial: float | None
    piece: bool = False
    stages: tuple[SpecimenStage, ...] = ()
    points: tuple[PointReading, ...] = ()

    @property
    def apart(self) -> bool:
        """Whether it has an intercept that no swatch speaks for: a piece whose dial nobody said."""
        return self.piece and self.dial is None


@frozen
class _Size:
    """One stitch width or row height as read: ln(mm) and its relative variance."""

    direction: Direction
    stage: str
    log: float
    variance: float


class LaidOut(NamedTuple):
    """The table of the arithmetic, the centre dial, the stages (blocked first) and keys of uncarried pieces."""

    table: Table
    centre: float | None
    stages: tuple[str, ...]
    uncarried: tuple[str, ...]


def lay_out(specimens: Sequence[Specimen], assumptions: Assumptions) -> LaidOut:
    """Lay specimens out for the arithmetic.

    Points of one piece, stage and direction are joined by their weights 1/(u^2 + lambda^2), which loses
    nothing because they share everything else. Raises FabricError for what cannot be.
    """
    _check(specimens)
    read = [_sizes(specimen) + _points(specimen, assumptions) for specimen in specimens]
    uncarried = _uncarried(specimens, read)
    read = [
        [size for size in sizes if (specimen.key, size.stage) not in uncarried]
        for specimen, sizes in zip(specimens, read, strict=True)
    ]
    stages = (BLOCKED, *sorted({size.stage for sizes in read for size in sizes} - {BLOCKED}))
    dials = [specimen.dial for specimen in specimens if specimen.dial is not None]
    centre = math.fsum(dials) / len(dials) if dials else None
    shape = (2, len(specimens), len(stages))
    weight, weighted = np.zeros(shape), np.zeros(shape)
    for place, sizes in enumerate(read):
        for size in sizes:
            at = DIRECTIONS.index(size.direction), place, stages.index(size.stage)
            weight[at] += 1 / size.variance
            weighted[at] += (size.log - assumptions.size(size.direction).mean) / size.variance
    seen = weight > 0
    whole = np.where(seen, weight, 1.0)
    unknown = assumptions.unknown_dial_numbers**2 if dials else 0.0
    apart = np.array([specimen.apart for specimen in specimens], dtype=bool)
    m0, k0 = _priors(assumptions, stages, apart=bool(apart.any()))
    table = Table(
        y=weighted / whole,
        v=1 / whole,
        seen=seen,
        z=np.array([0.0 if s.dial is None or centre is None else s.dial - centre for s in specimens]),
        piece=np.array([float(s.piece) for s in specimens]),
        share=np.array([assumptions.piece_share if s.piece else 1.0 for s in specimens]),
        spread=np.array([unknown if s.dial is None and not s.piece else 0.0 for s in specimens]),
        apart=apart,
        m0=m0,
        k0=k0,
        tau_scale=assumptions.tau_scale,
        change_scale=assumptions.tau_change_scale,
    )
    lost = tuple(
        specimen.key
        for specimen, sizes in zip(specimens, read, strict=True)
        if not sizes and any(key == specimen.key for key, _ in uncarried)
    )
    return LaidOut(table, centre, stages, lost)


def _priors(assumptions: Assumptions, stages: Sequence[str], *, apart: bool) -> tuple[Matrix, Matrix]:
    """Prior means and precisions of theta (2, p); the last is the intercept of pieces apart, where there are any."""
    means, precisions = [], []
    for direction in DIRECTIONS:
        priors = [
            assumptions.slope,
            assumptions.shift(direction),
            *(assumptions.change(stage, direction) for stage in stages[1:]),
        ]
        means.append([0.0, *(prior.mean for prior in priors), *([0.0] if apart else [])])
        sds = [assumptions.size_sd, *(prior.sd for prior in priors), *([assumptions.size_sd] if apart else [])]
        precisions.append([1 / max(sd, LEAST_PRIOR_SD) ** 2 for sd in sds])
    return np.array(means), np.array(precisions)


def _sizes(specimen: Specimen) -> list[_Size]:
    """Sizes read between markers."""
    return [
        _Size(direction, stage.stage, math.log(size.value), max(size.u / size.value, LEAST_U) ** 2)
        for stage in specimen.stages
        for direction, size in zip(DIRECTIONS, (stage.across, stage.along), strict=True)
        if size is not None
    ]


def _points(specimen: Specimen, assumptions: Assumptions) -> list[_Size]:
    """Sizes from points of measure; lambda^2, updated by the piece's residuals, adds to their variance."""
    sizes = []
    for direction, stage in dict.fromkeys((point.direction, point.stage) for point in specimen.points):
        points = [p for p in specimen.points if (p.direction, p.stage) == (direction, stage)]
        log = np.log([point.measured.value / point.count for point in points])
        variance = np.array([max(p.measured.u / p.measured.value, LEAST_U) ** 2 for p in points])
        local = updated_local_sd(log, variance, local_sd=assumptions.local_sd, local_dof=assumptions.local_dof)
        total = variance + local**2
        sizes += [_Size(direction, stage, float(x), float(t)) for x, t in zip(log, total, strict=True)]
    return sizes


def _uncarried(specimens: Sequence[Specimen], read: Sequence[Sequence[_Size]]) -> set[tuple[str, str]]:
    """Return piece and stage where no swatch, and no other piece read blocked too, was read at that stage."""
    stages_of = [{size.stage for size in sizes} for sizes in read]
    lost = set()
    for place, specimen in enumerate(specimens):
        if not specimen.piece or BLOCKED in stages_of[place]:
            continue
        for stage in stages_of[place]:
            helped = any(
                stage in stages and (not other.piece or BLOCKED in stages)
                for k, (other, stages) in enumerate(zip(specimens, stages_of, strict=True))
                if k != place
            )
            if not helped:
                lost.add((specimen.key, stage))
    return lost


def _check(specimens: Sequence[Specimen]) -> None:
    keys: set[str] = set()
    for place, specimen in enumerate(specimens):
        where = f"specimens[{place}]"
        if specimen.key in keys:
            raise FabricError(f"{where}.key: read {specimen.key!r} a second time; give every specimen its own name")
        keys.add(specimen.key)
        if specimen.dial is not None and not math.isfinite(specimen.dial):
            raise FabricError(f"{where}.dial: read {specimen.dial!r}; a dial number is accepted, or none")
        names = [stage.stage for stage in specimen.stages]
        for k, stage in enumerate(specimen.stages):
            if stage.stage in names[:k]:
                raise FabricError(
                    f"{where}.stages[{k}]: read stage {stage.stage!r} a second time; join the "
                    "readings of a stage, or keep the last blocking only"
                )
            for direction, size in (("across", stage.across), ("along", stage.along)):
                if size is not None:
                    _check_size(size, f"{where}.stages[{k}].{direction}")
        for k, point in enumerate(specimen.points):
            _check_size(point.measured, f"{where}.points[{k}].measured")
            if point.direction not in DIRECTIONS:
                raise FabricError(
                    f"{where}.points[{k}].direction: read {point.direction!r}; across or along is accepted"
                )
            if not 0 < point.count < math.inf:
                raise FabricError(
                    f"{where}.points[{k}].count: read {point.count!r}; more than 0 stitches or rows are "
                    "accepted; leave the point out when nobody counted"
                )


def _check_size(size: Estimate, where: str) -> None:
    if not 0 < size.value < math.inf:
        raise FabricError(f"{where}: read {size.value!r} mm; a length above 0 mm is accepted; measure it again")
    if not 0 <= size.u < math.inf:
        raise FabricError(
            f"{where}: read an uncertainty of {size.u!r} mm; 0 mm or more is accepted; make the estimate "
            "from its readings again"
        )
