"""The verdict on what was read of a piece, and the counts that it puts in doubt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fitcheck.advice.judge.explanation import Explanation
from fitcheck.advice.judge.verdict import PieceVerdict, judge_piece
from fitcheck.advice.target.wanted import Target
from fitcheck.estimates.piece import CountedDirection, StitchSizePrior
from fitcheck.records.makes import Piece
from fitcheck.reports.given import Count
from fitcheck.reports.reads import Read, carried_together

if TYPE_CHECKING:
    from fitcheck.advice.fabric.of_make import FabricOf
    from fitcheck.estimates.fabric.fit import Fabric


@dataclass(frozen=True, slots=True)
class _Before:
    """What the fabric without this piece says of its stitch and row size, at its dial; None is one that nobody said."""

    fabric: Fabric
    dial: float | None

    def prior(self, direction: CountedDirection, /) -> StitchSizePrior | None:
        """Log of the size in a direction."""
        return self.fabric.prior(direction, self.dial)


def judged_of(piece: Piece, reads: Sequence[Read], others: FabricOf | None, *, carried: bool) -> PieceVerdict:
    """The verdict on every point that was read.

    others   the fabric without this piece
    carried  its lengths were carried to the wash by the fabric, which then speaks for them no second time
    """
    points = [read.point for read in reads]
    looks = {read.key: looks_of(read.target) for read in reads}
    if carried:
        return carried_together(judge_piece(points, None, looks=looks), reads)
    known = None
    if others is not None:
        dial = piece.dial.position(others.marks) if piece.dial else None
        # Of a dial that nobody said only pieces speak of which nobody said it either.
        speaks = piece.dial is not None or others.fabric.apart
        known = _Before(others.fabric, dial) if speaks and not others.fabric.refuses(dial) else None
    return judge_piece(points, known, looks=looks)


def looks_of(target: Target) -> int:
    """Rounds of readings so far, on the side that had more."""
    sides = (target.taped, target.overhang_taped, target.reference)
    return max((side.looks for side in sides if side is not None), default=1)


def counts_doubted(piece: Piece, explanation: Explanation) -> frozenset[Count]:
    """Counts that the lengths speak against and nobody counted since; after a slip at the cast-on all of them."""
    doubted = set()
    for told in explanation.directions.values():
        if told.code in ("miscount", "cast_on"):
            suspects = [told.point] if told.point else list(told.z)
            doubted |= {(piece.id, key) for key in suspects if _to_count(piece, key)}
    return frozenset(doubted)


def count_to_ask(piece: Piece, explanation: Explanation) -> str | None:
    """The point whose count is asked for first among those that are doubted."""
    for told in explanation.directions.values():
        if told.code in ("miscount", "cast_on"):
            for key in [told.point] if told.point else list(told.z):
                if _to_count(piece, key):
                    return key
    return None


def _to_count(piece: Piece, key: str) -> bool:
    counts = piece.counts.get(key)
    return counts is not None and counts.counted is None


def count_implied(reads: Sequence[Read], explanation: Explanation, doubted: str) -> int | None:
    """The count of the doubted point that goes with its tape reading and the piece's own stitch or row size."""
    point = next((read.point for read in reads if read.key == doubted), None)
    if point is None or point.measured is None or point.direction == "edge":
        return None
    told = explanation.directions.get(point.direction)
    if told is not None and told.point == doubted and told.stitches and point.count:
        return max(1, round(point.count) + told.stitches)
    size = explanation.sizes.get(point.direction)
    return max(1, round(point.measured.value / size.value)) if size is not None else None
