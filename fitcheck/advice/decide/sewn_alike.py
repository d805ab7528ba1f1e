"""What the pieces that are sewn to this one get because this one was knitted otherwise than planned.

Ripped back, or knitted again, a piece has other counts above the underarm, and other rows, than all were planned with.
The other body piece is sewn to it there, and a side panel has its rows (fit rule 27). A piece that is still to come
then gets this one's count wherever it was planned with the same as this one, and comes nearer to what is wanted with
it. It is the same whatever is done with this piece, so it is in no loss and no chance of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from fitcheck.advice.alteration import Alteration
from fitcheck.advice.decide.count_to_come import of_target
from fitcheck.advice.decide.garment import NINE_IN_TEN
from fitcheck.advice.left import kinds_left
from fitcheck.advice.rest.counts import counts_for_rest
from fitcheck.advice.rest.planned import planned_counts
from fitcheck.advice.rest.programme import Programme
from fitcheck.advice.target.to_come import ToCome
from fitcheck.advice.target.wanted import Target
from fitcheck.estimates.piece import CountedDirection
from fitcheck.records.households import Household
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import BODY, POINTS, PieceKind


def counts_as_this_piece(
    make: Make,
    household: Household,
    piece: Piece,
    own: Sequence[Target],
    sizes: Mapping[CountedDirection, tuple[float, float]],
    *,
    coming: ToCome,
) -> tuple[Alteration, ...]:
    """Counts of this piece that those sewn to it get; none where it was knitted as planned.

    own    what this piece must measure
    sizes  stitch width and row height of the next piece [mm], each with its standard uncertainty, relative [1]
    coming  what the pieces that are still to come must measure
    """
    planned = planned_counts(make, household, piece.piece)
    otherwise = {
        key: (before, counts.best)
        for key, counts in piece.counts.items()
        if (before := planned.get(key, counts.planned)) is not None and counts.best not in (None, before)
    }
    listed: list[Alteration] = []
    for kind, key, target in _sewn_to(make, piece, own, coming) if otherwise else ():
        before, count = otherwise.get(target.key, (None, 0))
        size = sizes.get("along" if POINTS[key].direction == "along" else "across")
        if before is None or before != planned_counts(make, household, kind).get(key):
            continue
        if target.wanted is None or size is None:
            continue
        mm, unsure = size
        step, change = count - before, (count - before) * mm
        as_planned_or_this = of_target(target, (before, count), mm, unsure, planned=before)
        taken = counts_for_rest(Programme((as_planned_or_this,))).counts[target.key]
        if taken == count and abs(change) > NINE_IN_TEN * target.wanted.u:
            plan_mm = before * mm - target.wanted.value if kind in BODY else None
            listed.append(Alteration(key, "like_this_piece", change, step, count, plan_mm=plan_mm, of_plan=1.0))
    return tuple(listed)


def _sewn_to(
    make: Make, piece: Piece, own: Sequence[Target], coming: ToCome
) -> Iterator[tuple[PieceKind, str, Target]]:
    """Each piece to come with a point at which it is sewn to this one, and what is wanted there."""
    if piece.piece not in BODY:
        return
    left = kinds_left(make, piece)
    other = next((kind for kind in left if kind in BODY and "back" in (kind, piece.piece)), None)
    if other is not None:
        for target in coming.of(other).points:
            point = POINTS[target.key]
            if point.above_underarm or point.direction == "along":
                yield other, target.key, target
    if "side_panel" in left:
        yield from (("side_panel", "panel_length", target) for target in own if target.key == "to_underarm")
