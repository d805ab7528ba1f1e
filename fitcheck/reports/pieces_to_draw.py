"""Every piece of a make as it is drawn beside the others: its plan, what the tape said of it, its counts."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.advice.target.wanted import targets
from fitcheck.advice.to_come.plans_of import rib_mm
from fitcheck.knitting.counts import Fabric
from fitcheck.knitting.plan import Plan
from fitcheck.records.frozen import frozen
from fitcheck.records.makes import Piece
from fitcheck.records.points import PieceKind
from fitcheck.reports.steps import Steps
from fitcheck.reports.the_rest import TheRest


@frozen
class PieceToDraw:
    """A piece to draw.

    kind          which;  construction: of its make
    knitted       whether it is off the needles
    plan, fabric  by row counter, None where there is none; size of its stitches [mm]
    rib_mm        length of the rib that it begins with [mm]
    counts        of a piece that is still to knit, by point; nothing of a knitted one
    measured      what the tape said of a knitted one, by point [mm];  stage: at which; None where it was not read
    times         how often it is still to knit
    """

    kind: PieceKind
    construction: str
    knitted: bool
    plan: Plan | None
    fabric: Fabric
    rib_mm: float
    counts: Mapping[str, int]
    measured: Mapping[str, float]
    stage: str | None = None
    times: int = 1


def pieces_to_draw(rest: TheRest) -> tuple[PieceToDraw, ...]:
    """The pieces of a make, those that are knitted first; nothing where nothing can be said of the rest."""
    if rest.told is None:
        return ()
    make = rest.told.given.make
    knitted = {piece.id: piece for piece in make.standing}
    to_come = {piece.kind: piece for piece in rest.answer.pieces}
    drawn = []
    for piece in rest.planned:
        own = knitted.get(piece.id) if piece.id is not None else None
        coming = to_come.get(piece.kind) if own is None else None
        measured, stage = _measured(rest.told, own) if own is not None else ({}, None)
        drawn.append(
            PieceToDraw(
                piece.kind,
                make.construction,
                own is not None,
                piece.plan if isinstance(piece.plan, Plan) else None,
                piece.fabric,
                rib_mm(make, piece.kind),
                {count.key: count.count for count in coming.counts.values()} if coming is not None else {},
                measured,
                stage,
                coming.times if coming is not None else 1,
            )
        )
    return tuple(drawn)


def _measured(told: Steps, piece: Piece) -> tuple[dict[str, float], str | None]:
    """What the tape said of a piece at the stage that is looked at [mm], and that stage."""
    read = targets(told.given.make, piece, told.given.household, pool=told.hands.tape)
    of_piece = {point.key: point.measured.value for point in read.points if point.measured is not None}
    return of_piece, read.state if of_piece else None
