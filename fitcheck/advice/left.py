"""Which pieces of a make are still to be knitted, and which are the same the other way round."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import HALF_FRONTS, SLEEVES, PieceKind

TWINS: Mapping[PieceKind, PieceKind] = {
    "left_front": "right_front",
    "right_front": "left_front",
    "left_sleeve": "right_sleeve",
    "right_sleeve": "left_sleeve",
    "sleeve": "sleeve",
}
"""Pieces that are the same, the other way round; of a sleeve that nobody calls left or right the other one."""
PAIR = 2
"""Sleeves of a sweater, and side panels."""
PAIRED: tuple[PieceKind, ...] = ("sleeve", "side_panel")
"""Pieces of which two are called alike."""


def kinds_left(make: Make, piece: Piece | None) -> list[PieceKind]:
    """Kinds of pieces of this construction that were not read at any stage yet; none of a finished make.

    A sleeve is left until both were read, whatever they are called; so is a side panel, and a front of two halves.

    piece  the piece on the table
    """
    if make.finished:
        return []
    there = {other.piece for other in make.pieces if other.stages} | ({piece.piece} if piece else set())
    there -= {kind for kind in PAIRED if pair_there(make, kind, piece) < PAIR}
    if there >= {*HALF_FRONTS}:
        there.add("front")
    return [kind for kind in CONSTRUCTIONS[make.construction].pieces if kind not in there]


def pair_there(make: Make, kind: PieceKind, piece: Piece | None = None) -> int:
    """How many sleeves, whatever they are called, or side panels were read at any stage, or lie on the table."""
    kinds = SLEEVES if kind in SLEEVES else (kind,)
    known = {other.id for other in make.standing if other.piece in kinds and other.stages}
    return len(known | ({piece.id} if piece is not None and piece.piece in kinds else set()))


def pieces_left(make: Make, kinds: Sequence[PieceKind]) -> list[PieceKind]:
    """Pieces that are still to be knitted: of a half that is there, its twin.

    kinds  kinds of the construction that are still to be knitted
    """
    measured = {piece.piece for piece in make.standing if piece.stages}
    left: list[PieceKind] = []
    for kind in CONSTRUCTIONS[make.construction].pieces:
        halves: tuple[PieceKind, ...] = ()
        if kind == "front" and (make.opens or measured & {*HALF_FRONTS}):
            halves = HALF_FRONTS
        elif kind == "sleeve" and measured & {"left_sleeve", "right_sleeve"} and "sleeve" not in measured:
            halves = SLEEVES[1:]
        if halves:
            left += [half for half in halves if half not in measured]
        elif kind in kinds and (kind not in measured or (kind in PAIRED and pair_there(make, kind) < PAIR)):
            left.append(kind)
    return left
