"""Where the tape lies for each point of measure on an outline, and the order of the points along the body."""

from __future__ import annotations

from collections.abc import Iterable

from fitcheck.drawing.outline import Outline, flat, kind_of
from fitcheck.drawing.svg import Point
from fitcheck.records.frozen import frozen
from fitcheck.records.points import ORDER, POINTS

ABOVE_MM = 12.0
"""How far above the opening the tape inside a band is drawn [mm]: off the one from seam to seam."""


@frozen
class Tape:
    """One tape as laid [mm on the piece].

    line  its points; two for a straight tape
    ends  where it begins and ends: the corner or level that a difference shows at is the last one
    """

    key: str
    line: tuple[Point, ...]

    @property
    def ends(self) -> tuple[Point, Point]:
        """First and last point."""
        return self.line[0], self.line[-1]

    @property
    def lies(self) -> str:
        """across (level), along (upright) or edge (along an edge or slanting)."""
        (x1, y1), (x2, y2) = self.ends
        if len(self.line) == 2 and y1 == y2:
            return "across"
        return "along" if len(self.line) == 2 and x1 == x2 else "edge"


def in_order(keys: Iterable[str]) -> list[str]:
    """Keys of points from the top of the body down: the order of the figures in the keys of a drawing."""
    return sorted(keys, key=lambda key: (POINTS[key].down, ORDER[key]))


def key_figures(keys: Iterable[str]) -> dict[str, int]:
    """The figure that joins each point on a drawing to its line in the list."""
    return {key: at for at, key in enumerate(in_order(keys), start=1)}


def tape_of(outline: Outline, key: str) -> Tape | None:
    """The tape of a point on an outline; None where the outline has no such place."""
    point, corners = POINTS[key], outline.corners
    lies = point.lies
    if lies is None or outline.kind not in {kind_of(piece) for piece in point.pieces}:
        return None
    if lies.way == "curve":
        line = [at for stretch in outline.stretches if stretch.name.startswith(lies.begin) for at in flat(stretch, 16)]
        return Tape(key, tuple(dict.fromkeys(line)))
    if lies.begin not in corners:
        return None
    x, y = begin = corners[lies.begin]
    if lies.way in ("across", "inside"):
        if lies.way == "inside":
            x, y = outline.measures.get(key, 2 * x) / 2, y - ABOVE_MM
        return Tape(key, ((-x if outline.mirrored else 0.0, y), (x, y)))
    end = corners[lies.end]
    if lies.way == "edge":
        return Tape(key, (begin, end))
    column = _column(outline, lies.column)
    return Tape(key, ((column, y), (column, end[1])))


def _column(outline: Outline, name: str) -> float:
    """Where an upright tape stands [mm]: at a corner of the left side, or where it lies on no other tape.

    middle    the middle of the piece
    shoulder  half way along the shoulder
    side      inside the narrower end of the body's side; panel: half as far out
    seam      inside the lower end of a sleeve's side
    beside    beside the middle, which the length takes; a folded sleeve's middle is its edge, so further in
    """
    c = outline.corners
    left = -1.0 if outline.mirrored else 1.0
    inner = 0.8 * min(c["C"][0], c["H"][0])
    match name:
        case "middle":
            return 0.0
        case "shoulder":
            return (c["N"][0] + c["T"][0]) / 2
        case "side":
            return left * inner
        case "panel":
            return left * inner / 2
        case "seam":
            return left * 0.75 * c["H"][0]
        case "beside":
            return (0.16 if outline.mirrored else 0.28) * c["U"][0]
    return left * c[name][0]
