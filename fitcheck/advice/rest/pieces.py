"""The pieces that are still to knit or to change, with their counts: codes and numbers."""

from __future__ import annotations

from typing import Literal

from fitcheck.records.frozen import frozen
from fitcheck.records.points import POINTS, SLEEVES, PieceKind

How = Literal["planned", "again_at_dial", "again", "rip_back", "at_the_end"]
Note = Literal["taken_as_knitted", "cap_anew", "wait"]
CHOSEN = "chosen"
"""A count that the knitter chose otherwise so that a cap fits: there is nothing to take of it."""
AS_PLANNED = "as_planned"
"""Rows that the piece has by its plan, whatever was counted: no change that anybody advises."""


def known_by(kind: PieceKind) -> str:
    """The width by which a kind of piece is known, and without which nothing of it is."""
    return "upper_arm" if kind in SLEEVES else "panel_width" if kind == "side_panel" else "chest"


@frozen
class RestCount:
    """One count of a piece: stitches of a width, rows of a length.

    key        point of measure
    before     the count that was planned, or knitted; None where none is known
    like       piece that it was taken from where nobody gave it
    step       change [stitches or rows]
    now        the count to knit; None where none is known
    amount_mm  change of the measure [mm], plus = larger; 0 without one
    by         what answers by the advice (``Alteration.by``), or CHOSEN, or AS_PLANNED; None where it stays
    gives_mm   what the count measures on the piece, bands on it included [mm]; None where the fabric does not say
    band_mm    the part of it that is band [mm]
    """

    key: str
    before: int | None
    like: PieceKind | None
    step: int
    now: int | None
    amount_mm: float
    by: str | None
    gives_mm: float | None
    band_mm: float

    @property
    def changed(self) -> bool:
        """Whether it is advised to be another than before."""
        return self.by != AS_PLANNED and bool(self.step or self.amount_mm)

    @property
    def across(self) -> bool:
        """Whether it counts stitches."""
        return POINTS[self.key].direction != "along"


@frozen
class RestPiece:
    """One piece with its counts, in the order in which they are knitted.

    how    planned: still to be knitted; at_the_end, altered there only, the piece on the table or one that is sewn to
           it; else it is the piece on the table: again_at_dial, with its planned counts; again, with other counts;
           rip_back, from the underarm upward
    notes  taken_as_knitted (nobody gave every count), cap_anew (the sleeve cap is drawn anew to match), wait (its
           counts are those beside the new piece as it is expected; it is knitted once that one is read)
    asks   point whose count is missing, that of ``PieceToKnit`` where its counts could be told; None where none is
    dial   dial of a piece that is knitted again, as it is written
    other  it is the other one of two that are called alike: the first is there
    """

    kind: PieceKind
    how: How
    counts: tuple[RestCount, ...]
    notes: tuple[Note, ...] = ()
    asks: str | None = None
    dial: str | None = None
    other: bool = False

    @property
    def changed(self) -> bool:
        """Whether any of its counts is another than before, or all of it is knitted anew."""
        return self.how == "again_at_dial" or any(count.changed for count in self.counts)
