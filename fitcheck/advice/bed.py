"""How many stitches a bed that nobody named holds for sure."""

from __future__ import annotations

from fitcheck.records.machines import BEDS
from fitcheck.records.makes import Make
from fitcheck.records.points import POINTS


def sure_of_the_bed(make: Make) -> int | None:
    """Stitches that lie on the bed for sure; None where a machine is named, whose needles say it.

    The needles of the narrowest usual bed on which the pieces of the make can have been knitted (fit rule 24).
    """
    if make.machine or any(piece.machine for piece in make.pieces):
        return None
    knitted = (
        counts.counted or counts.knitted or 0
        for piece in make.pieces
        if piece.stages
        for key, counts in piece.counts.items()
        if POINTS[key].direction == "across"
    )
    widest = max(knitted, default=0)
    return next((needles for needles in BEDS if needles >= widest), widest)
