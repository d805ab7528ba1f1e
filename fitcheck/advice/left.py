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
}
"""Pieces that are the same, the other way round."""


def kinds_left(make: Make, piece: Piece | None) -> list[PieceKind]:
    """Kinds of pieces of this construction that were not read at any stage yet; none of a finished make.

    piece  the piece on the table
    """
    if make.finished:
        return []
    there = {other.piece for other in make.pieces if other.stages} | ({piece.piece} if piece else set())
    return [kind for kind in CONSTRUCTIONS[make.construction].pieces if kind not in there]


def pieces_left(make: Make, kinds: Sequence[PieceKind]) -> list[PieceKind]:
    """Pieces that are still to be knitted: of a half that is there, its twin.

    kinds  kinds of the construction that no piece of the make is of
    """
    measured = {piece.piece for piece in make.standing if piece.stages}
    left: list[PieceKind] = []
    for kind in CONSTRUCTIONS[make.construction].pieces:
        halves: tuple[PieceKind, ...] = ()
        if kind == "front" and (make.front_band or measured & {*HALF_FRONTS}):
            halves = HALF_FRONTS
        elif kind == "sleeve" and measured & {"left_sleeve", "right_sleeve"}:
            halves = SLEEVES[1:]
        if halves:
            left += [half for half in halves if half not in measured]
        elif kind in kinds and kind not in measured:
            left.append(kind)
    return left
