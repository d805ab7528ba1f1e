"""What the other body piece gets above the underarm because this one was knitted otherwise than planned there.

Ripped back, or knitted again, a piece has other counts above the underarm than front and back were planned with; both
are sewn together there (fit rule 27). The piece that is still to come then gets this one's count wherever it was
planned with the same as this one, and comes nearer to what is wanted with it: a planned count stands unless its
expected loss falls by more than a hundredth. It is the same whatever is done with this piece, so it is in no loss and
no chance of it.
"""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.advice.alteration import Alteration
from fitcheck.advice.decide.garment import NINE_IN_TEN, WORTH_A_COUNT
from fitcheck.advice.decide.sleeves import saved_by
from fitcheck.advice.left import kinds_left
from fitcheck.advice.rest.planned import planned_counts
from fitcheck.advice.target.wanted import targets
from fitcheck.estimates.piece import CountedDirection
from fitcheck.estimates.readings import Pool
from fitcheck.records.households import Household
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import BODY, POINTS, PieceKind


def counts_as_this_piece(
    make: Make,
    household: Household,
    piece: Piece,
    sizes: Mapping[CountedDirection, tuple[float, float]],
    *,
    pool: Pool | None = None,
) -> tuple[Alteration, ...]:
    """Counts of this piece that the other body piece gets above the underarm; none where it was knitted as planned.

    sizes  stitch width and row height of the next piece [mm], each with its standard uncertainty, relative [1]
    pool   repeatability of the hand that read the garment
    """
    other = _other_body_piece(make, piece)
    if other is None:
        return ()
    ours, theirs = (planned_counts(make, household, kind) for kind in (piece.piece, other))
    to_come = Piece.model_construct(id=f"{other}_to_come", piece=other, counts={}, stages=[])
    listed: list[Alteration] = []
    for target in targets(make, to_come, household, pool=pool).points:
        point, own, wanted = POINTS[target.key], piece.counts.get(target.key), target.wanted
        if not point.above_underarm or own is None or own.best is None or wanted is None:
            continue
        size = sizes.get("along" if point.direction == "along" else "across")
        planned, before = ours.get(target.key, own.planned), theirs.get(target.key)
        if size is None or before is None or before != planned or own.best == before:
            continue
        mm, unsure = size
        change = (own.best - before) * mm
        saved = saved_by(target, wanted, (before * mm, own.best * mm), unsure)
        if saved > WORTH_A_COUNT and abs(change) > NINE_IN_TEN * wanted.u:
            step, plan_mm = own.best - before, before * mm - wanted.value
            listed.append(
                Alteration(target.key, "like_this_piece", change, step, own.best, plan_mm=plan_mm, of_plan=1.0)
            )
    return tuple(listed)


def _other_body_piece(make: Make, piece: Piece) -> PieceKind | None:
    """The body piece that is still to come and is sewn to this one at the shoulders."""
    if piece.piece not in BODY:
        return None
    return next((kind for kind in kinds_left(make, piece) if kind in BODY and "back" in (kind, piece.piece)), None)
