"""What the fabric without a piece says of it before it is read: at its dial, at others, and of its shape at rest."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from fitcheck.advice.judge.weighed import AtDial
from fitcheck.estimates.fabric.assumptions import BLOCKED
from fitcheck.estimates.piece import CountedDirection, StitchSizePrior
from fitcheck.records.frozen import frozen
from fitcheck.records.machines import written_dial
from fitcheck.records.makes import Piece

if TYPE_CHECKING:
    from fitcheck.advice.fabric.of_make import FabricOf
    from fitcheck.estimates.fabric.fit import Fabric
    from fitcheck.estimates.fabric.specimens import Specimen

SAME_DIAL = 1e-6
"""Dials nearer than this are one setting."""
LEAST_MARKS = 2
"""A dial that stood nearer to what was written down is no slip (model of the piece)."""


@frozen
class Before:
    """What is known of a piece before it is read (a SwatchedFabric).

    dial         where its dial stands [numbers]; None is one that nobody said
    other_dials  settings that it may have stood at instead
    relaxed      a swatch at that dial or a finished piece tells the shape of the fabric at rest
    """

    fabric: Fabric
    dial: float | None
    other_dials: Sequence[AtDial] = ()
    relaxed: bool = False

    def prior(self, direction: CountedDirection, /) -> StitchSizePrior | None:
        """Log of the size in a direction."""
        return self.fabric.prior(direction, self.dial)


def before(piece: Piece, others: FabricOf, dial: float | None) -> Before:
    """Put together what the fabric without a piece says of it.

    dial  where its dial stands [numbers]; None where nobody said it
    Another dial is thought of only where the piece's own was written down and not kept when it was asked about.
    """
    relaxed = any(_tells_shape(specimen, dial) for specimen in others.specimens)
    return Before(others.fabric, dial, _other_dials(piece, others), relaxed)


def _tells_shape(specimen: Specimen, dial: float | None) -> bool:
    """Whether a specimen tells width against height at rest: a piece, or a blocked swatch at the same dial."""
    if specimen.piece:
        return (specimen.dial is None) == (dial is None)
    same = specimen.dial is not None and dial is not None and abs(specimen.dial - dial) < SAME_DIAL
    return same and any(stage.stage == BLOCKED and stage.across and stage.along for stage in specimen.stages)


def _other_dials(piece: Piece, others: FabricOf) -> tuple[AtDial, ...]:
    """Dials swatched and whole numbers of the machine, two marks or more from what was written down."""
    if piece.dial is None or piece.dial_confirmed:
        return ()
    here, marks = piece.dial.position(others.marks), others.marks
    swatched = [specimen.dial for specimen in others.specimens if specimen.dial is not None]
    if not swatched:
        return ()
    clicks = others.machine.clicks() if others.machine else ()
    numbers = [float(dial.number) for dial in clicks if not dial.marks] or [float(round(dial)) for dial in swatched]
    settings = sorted({round(dial * (marks + 1)) for dial in (*swatched, *numbers)})
    away = [step / (marks + 1) for step in settings if abs(step - round(here * (marks + 1))) >= LEAST_MARKS]
    there = [dial for dial in away if others.fabric.refuses(dial) is None]
    across, along = (others.fabric.priors(direction, list(there)) for direction in ("across", "along"))
    return tuple(AtDial(written_dial(dial, marks), *sizes) for dial, *sizes in zip(there, across, along, strict=True))
