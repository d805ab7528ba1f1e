"""The drawing of all pieces in words: what it shows, and what stands under each piece."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.records.frozen import frozen
from fitcheck.reports.pieces_to_draw import PieceToDraw
from fitcheck.words.names import short_stage
from fitcheck.words.phrases import listed, sentence, spaced

NOTHING_DRAWN = "Nothing of it can be drawn yet: no piece has a plan or enough readings."
"""Said where a drawing is asked for that cannot be made."""


@frozen
class PieceName:
    """What stands under a piece: the whole, shorter where there is little room, and under the other of two alike."""

    whole: str
    short: str
    other: str = ""


def piece_drawn_name(piece: PieceToDraw) -> PieceName:
    """ "back, blocked", "front", "left sleeve" and "right sleeve" """
    if piece.times > 1:
        left, right = (f"{side} {spaced(piece.kind)}" for side in ("left", "right"))
        return PieceName(left, left, right)
    short = spaced(piece.kind)
    if not piece.knitted:
        return PieceName(short, short)
    return PieceName(f"{short}, {short_stage(piece.stage) if piece.stage else 'knitted'}", short)


def pieces_drawn(pieces: Sequence[PieceToDraw]) -> str:
    """What the drawing of all pieces shows, one sentence; one or more pieces."""
    names = [_told(piece) for piece in pieces]
    return sentence(f"{listed(names)}, all to one scale; the counts stand in the tables")


def _told(piece: PieceToDraw) -> str:
    name = spaced(piece.kind)
    if piece.times > 1:
        return f"both {name}s as planned"
    if not piece.knitted:
        return f"{name} as planned"
    stage = f"{name} as {short_stage(piece.stage) if piece.stage else 'knitted'}"
    return f"{stage} with its plan dashed over it" if piece.measured and piece.plan is not None else stage


def at_row(counter: int) -> str:
    """ "row 40" """
    return f"row {counter}"
