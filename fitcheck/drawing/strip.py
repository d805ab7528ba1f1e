"""The strip beside a form: the outline of what is measured, in which the tape of the field in hand lights up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache

from fitcheck.drawing.laid_tape import (
    WIDTH,
    disc,
    drawn_line,
    line_and_stops,
    outline_for,
    tapes_placed,
    view_of,
)
from fitcheck.drawing.outline import kind_of
from fitcheck.drawing.svg import n
from fitcheck.records.constructions import USUAL
from fitcheck.records.frozen import frozen
from fitcheck.records.points import POINTS

TALLEST = 280.0
"""Tallest outline of a strip [units of laid_tape]."""
DISC = 20.0
"""Radius of a disc [units]: 8 px where the strip is 7.5rem wide, so that its figure can be read."""
ROOM = 10.0
"""Room above and under the outline, and round the discs that stand beyond it, a little less [units]."""
PIECES: Mapping[str, str] = {"body": "back", "sleeve": "sleeve", "panel": "side_panel"}
"""The piece that stands for a kind of outline."""


@frozen
class StripDrawing:
    """One outline of a strip with the tapes that lie on it.

    kind    body, half, sleeve or panel
    box     viewBox;  inside: svg elements, each tape in a group of class of-KEY
    """

    kind: str
    box: str
    inside: str


def kind_of_point(key: str) -> str:
    """The kind of outline on which a point is shown: the body wherever it can be."""
    kinds = {kind_of(piece) for piece in POINTS[key].pieces} or {"body"}
    return next(kind for kind in PIECES if kind in kinds)


def strip_drawings(
    keys: Sequence[str], *, piece: str = "", construction: str = USUAL, figures: Mapping[str, int] | None = None
) -> list[StripDrawing]:
    """One drawing for each kind of piece that some points lie on, in the order of the points.

    piece    the one that is measured; without it the points are of a whole garment
    figures  of the points that have a disc; the tape of one without is there only while its field is in hand
    """
    kinds = [piece] if piece else [PIECES[kind] for kind in dict.fromkeys(kind_of_point(key) for key in keys)]
    drawings = []
    for standing in kinds:
        here = [key for key in keys if piece or PIECES[kind_of_point(key)] == standing]
        shown = {key: (figures or {}).get(key, 0) for key in sorted(here, key=lambda key: key not in (figures or {}))}
        drawings.append(_drawn(standing, construction, tuple(shown.items())))
    return drawings


@lru_cache(maxsize=64)
def _drawn(piece: str, construction: str, figures: tuple[tuple[str, int], ...]) -> StripDrawing:
    """One drawing, of a plain piece; kept, because there are few and a free place for each disc takes 5 ms to find.

    figures  point and figure, those without a disc as 0 behind the others
    """
    keys = [key for key, _ in figures]
    shape = outline_for(piece, {}, keys, construction)
    view, down = view_of(shape, piece, keys, TALLEST, ROOM)
    tapes, discs, top, bottom = "", "", 0.0, down + 2 * ROOM
    for placed in tapes_placed(shape, view, dict(figures), DISC):
        lines = drawn_line(placed.line, "t-band") + line_and_stops(placed.line)
        if placed.figure:
            lines += drawn_line((placed.leader, placed.at)) if placed.leader else ""
            discs += f'<g class="of-{placed.key}">{disc(placed, DISC)}</g>'
            top, bottom = min(top, placed.at[1] - DISC - 3.0), max(bottom, placed.at[1] + DISC + 3.0)
        tapes += f'<g class="of-{placed.key}{"" if placed.figure else " bare"}">{lines}</g>'
    outline = f'<path class="ghost" d="{view.closed(shape)}"/>'
    return StripDrawing(kind_of(piece), f"0 {n(top)} {n(WIDTH)} {n(bottom - top)}", outline + tapes + discs)
