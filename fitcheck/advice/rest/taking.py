"""Advised counts that become the planned ones: which there are to take, and which were taken."""

from __future__ import annotations

from fitcheck.advice.rest.pieces import CHOSEN
from fitcheck.advice.rest.still_to_knit import Rest
from fitcheck.records.frozen import frozen
from fitcheck.records.makes import Make


@frozen
class CountToTake:
    """An advised count that is not the planned one yet.

    piece, point  what it is a count of
    count         stitches or rows to knit
    instead_of    the count that stands now, planned or knitted; None where none is known
    """

    piece: str
    point: str
    count: int
    instead_of: int | None


@frozen
class TakenCount:
    """An advised count that is the planned one now.

    at      when it was taken, as ISO text
    report  digest of the report that advised it
    """

    piece: str
    point: str
    count: int
    instead_of: int | None
    at: str
    report: str


def counts_to_take(rest: Rest | None, make: Make) -> tuple[CountToTake, ...]:
    """The counts that the advice changes, as the list of the rest has them, but for those that were taken already."""
    if rest is None:
        return ()
    counts: dict[tuple[str, str], CountToTake] = {}
    for piece in rest.pieces:
        planned = make.planned.get(piece.kind, {})
        for count in piece.counts:
            chosen = count.by == CHOSEN
            if count.changed and count.now and not chosen and count.now != planned.get(count.key):
                # Two sleeves that are called alike are planned with one count.
                taken = CountToTake(piece.kind, count.key, count.now, count.before)
                counts.setdefault((piece.kind, count.key), taken)
    return tuple(counts.values())


def taken_counts(make: Make) -> tuple[TakenCount, ...]:
    """The counts that the advice gave and that are planned now."""
    return tuple(
        TakenCount(taken.piece, taken.point, taken.count, taken.instead_of, taken.at.isoformat(), taken.report)
        for taken in make.taken_now
    )
