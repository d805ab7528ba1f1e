"""Sheets of the plans that are made of counts by chance."""

from __future__ import annotations

from random import Random

from fitcheck.knitting.lines import Sheet
from fitcheck.knitting.pieces import plan_piece
from fitcheck.knitting.plan import Plan, mirrored
from fitcheck.knitting.refusals import ShapingError
from fitcheck.knitting.sheet import sheet
from tests.knitting.random_counts import made


def planned_sheet(random: Random) -> Sheet:
    """The next piece that can be planned, or its mirror image, with a rib or without."""
    while True:
        piece = made(random)
        try:
            plan = plan_piece(piece.kind, piece.counts, piece.choices, piece.construction)
        except ShapingError:
            continue  # counts that nobody can knit
        if isinstance(plan, Plan):
            return sheet(mirrored(plan) if random.random() < 0.5 else plan, rib_rows=random.choice([0, 0, 15, 20]))
