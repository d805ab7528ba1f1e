"""The list of the rest with the counts that its pieces are knitted with: those of the advice, where they hold together.

What does not hold together is knitted otherwise than it was planned and advised; what is asked of a piece is what it
cannot be knitted without: one question, one answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from fitcheck.advice.rest.demands import demands
from fitcheck.advice.rest.pieces import CHOSEN, RestCount, RestPiece
from fitcheck.advice.rest.still_to_knit import Rest
from fitcheck.advice.to_come.to_knit import CountToKnit, PieceToKnit
from fitcheck.records.households import Household
from fitcheck.records.makes import Make


def counted_rest(
    make: Make, household: Household, rest: Rest, to_knit: Sequence[PieceToKnit], *, by: str | None = None
) -> Rest:
    """The rest with every count of it that is another once the widths of its piece hold together.

    to_knit  `pieces_to_knit` of this rest, or those as they are planned
    by       what makes another of a count that the advice leaves as it is; None: nothing is said of it
    """
    counted = {(piece.kind, piece.other): piece for piece in to_knit}
    pieces = tuple(
        _counted(piece, counted[piece.kind, piece.other], by)
        if piece.how == "planned" and (piece.kind, piece.other) in counted
        else piece
        for piece in rest.pieces
    )
    return rest if pieces == rest.pieces else replace(rest, pieces=pieces, demands=demands(make, household, pieces))


def _counted(piece: RestPiece, to_knit: PieceToKnit, by: str | None) -> RestPiece:
    listed = (_one_count(count, to_knit.counts.get(count.key), by) for count in piece.counts)
    chosen = to_knit.for_the_cap
    counts = tuple(replace(count, by=CHOSEN) if count.key in chosen else count for count in listed)
    return replace(piece, counts=counts, asks=to_knit.asks)


def _one_count(listed: RestCount, counted: CountToKnit | None, by: str | None) -> RestCount:
    """A count as it is knitted: how far off the planned one, and what it measures then."""
    if counted is None or listed.before is None or listed.now is None or counted.count == listed.now:
        return listed
    step = counted.count - listed.before
    amount_mm = step * (counted.mm - listed.band_mm) / counted.count
    by = listed.by if listed.changed or by is None else by
    return replace(listed, step=step, now=counted.count, amount_mm=amount_mm, by=by, gives_mm=counted.mm)
