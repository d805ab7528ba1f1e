"""Outlines in drawing units: paths, graph rule, hatching where the tape touched. One place for page, detail, sheet."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.drawing.laid import Laid
from fitcheck.drawing.look import Look
from fitcheck.drawing.outline import Outline, Stretch
from fitcheck.drawing.svg import Point, n, path
from fitcheck.records.frozen import frozen
from fitcheck.words import Unit

PITCH = 4.2
"""Pitch of the hatching [units]: 1.1 mm on paper."""
RULES = {"cm": (10.0, 5), "mm": (10.0, 5), "in": (12.7, 4)}
"""Graph rule of each unit: small square [mm], and how many of them a large one has."""


@frozen
class View:
    """Millimetres of the piece to units: x = left + scale mm (mirrored where flip), y = top + scale mm."""

    scale: float
    left: float
    top: float
    flip: bool = False

    def x(self, mm: float) -> float:
        """Across [units]."""
        return self.left + (-self.scale if self.flip else self.scale) * mm

    def y(self, mm: float) -> float:
        """Down [units]."""
        return self.top + self.scale * mm

    def at(self, point: Point) -> Point:
        """A point [units]."""
        return self.x(point[0]), self.y(point[1])

    def d(self, stretches: Sequence[Stretch], mirrored: bool) -> str:
        """Path data of stretches, those that follow on one another joined, and of their mirror images."""
        parts = []
        for side in (1.0, -1.0) if mirrored else (1.0,):
            across = side * (-self.scale if self.flip else self.scale)
            last: Point | None = None
            for stretch in stretches:
                points = [(self.left + across * x, self.top + self.scale * y) for x, y in stretch.points]
                if points[0] != last:
                    parts.append(f"M{_pair(points[0])}")
                parts.append(_onward(points))
                last = points[-1]
        return "".join(parts)

    def closed(self, outline: Outline) -> str:
        """Path data of the whole outline, closed."""
        right = self.d(outline.stretches, mirrored=False)
        if not outline.mirrored:
            return f"{right}Z"
        back = []
        for stretch in reversed(outline.stretches):
            points = [self.at((-x, y)) for x, y in reversed(stretch.points)]
            back.append(_onward(points))
        return f"{right}{''.join(back)}Z"


def _onward(points: Sequence[Point]) -> str:
    """Path data from the first point on: a curve, or a line of which only what changes is named."""
    if len(points) == 4:
        return "C" + " ".join(_pair(p) for p in points[1:])
    (from_x, from_y), (x, y) = ((n(x), n(y)) for x, y in points)
    return f"V{y}" if x == from_x else f"H{x}" if y == from_y else f"L{x} {y}"


def _pair(point: Point) -> str:
    return f"{n(point[0])} {n(point[1])}"


def graph(look: Look, ids: str, view: View, unit: Unit, width: float, height: float) -> str:
    """Graph rule in the scale of the piece, registered to its centre and origin; width and height [units]."""
    small_mm, many = RULES[unit]
    parts = []
    for name, cls, side in (("f", "q1", small_mm * view.scale), ("h", "q2", many * small_mm * view.scale)):
        parts.append(
            f'<pattern id="{ids}-{name}" width="{side:.4f}" height="{side:.4f}" x="{view.left:.3f}"'
            f' y="{view.top:.3f}" patternUnits="userSpaceOnUse">'
            f"{path(look, cls, f'M{n(side)} 0H0V{n(side)}')}</pattern>"
        )
    size = f'width="{n(width)}" height="{n(height)}"'
    fine = "" if small_mm * view.scale < 2.5 else f'<rect {size} fill="url(#{ids}-f)"/>'
    return f'<defs>{"".join(parts)}</defs>{fine}<rect {size} fill="url(#{ids}-h)"/>'


def hatching(look: Look, ids: str) -> str:
    """The two patterns: 45 degree lines where the wanted outline reaches further, dots where the piece does."""
    dots = "".join(f'<circle{look["ho"]} cx="{x}" cy="{y}" r=".75"/>' for x, y in ((1.05, 1.05), (3.15, 3.15)))
    of = f'width="{PITCH}" height="{PITCH}" patternUnits="userSpaceOnUse"'
    return (
        f'<pattern id="{ids}-s" {of} patternTransform="rotate(45)">{path(look, "hs", f"M2 0V{PITCH}")}</pattern>'
        f'<pattern id="{ids}-o" {of}>{dots}</pattern>'
    )


def both(
    look: Look, ids: str, laid: Laid, view: View, width: float, height: float, *, hatched_as: str | None = None
) -> str:
    """The piece over what is wanted: hatching where the tape touched both, dashed and full outlines.

    Everything of the piece has the class "mv": a page that lines it up elsewhere only moves that. width and height are
    those of the view [units]; hatched_as: ids of the drawing whose patterns it takes, its own where there is none.
    """
    moved = f' transform="translate(0 {n(view.scale * laid.shift)})"'
    room = f'width="{n(width)}" height="{n(height)}"'
    defs = [
        f'<path id="{ids}-w" d="{view.closed(laid.wanted)}"/><path id="{ids}-p" d="{view.closed(laid.piece)}"/>',
    ]
    wanted, piece = f'<use href="#{ids}-w"', f'<use href="#{ids}-p" class="mv"{moved}'
    zones = laid.zones()
    hatched = ""
    if zones:
        for name, shape in (("np", piece), ("nw", wanted)):
            defs.append(
                f'<mask id="{ids}-{name}" maskUnits="userSpaceOnUse" x="0" y="0" {room}><rect {room} fill="#fff"/>'
                f'{shape} fill="#000"/></mask>'
            )
        rects = "".join(_zone(view, zone, laid.wanted.mirrored) for zone in zones)
        own = hatching(look, ids) if hatched_as is None else ""
        defs.append(f'<clipPath id="{ids}-z"><path d="{rects}"/></clipPath>{own}')
        of = hatched_as or ids
        hatched = (
            f'<g class="hatch" clip-path="url(#{ids}-z)"><g mask="url(#{ids}-np)">{wanted} fill="url(#{of}-s)"/></g>'
            f'<g mask="url(#{ids}-nw)">{piece} fill="url(#{of}-o)"/></g></g>'
        )
    # The dashes lie on top: where both outlines are at one place, the full line shows between and beside them.
    lines = f'<g class="mv"{moved}>{edges(look, view, laid.piece)}</g><use href="#{ids}-w"{look["o-ref"]}/>'
    return f"<defs>{''.join(defs)}</defs>{hatched}{lines}"


def edges(look: Look, view: View, outline: Outline) -> str:
    """The lines of an outline: thin what is drawn in, thick what the tape touched."""
    parts = []
    for name, touched in (("o-thin", False), ("o-piece", True)):
        if stretches := [stretch for stretch in outline.stretches if stretch.touched == touched]:
            parts.append(path(look, name, view.d(stretches, outline.mirrored)))
    return "".join(parts)


def _zone(view: View, zone: tuple[float, float, float, float], mirrored: bool) -> str:
    left, top, right, bottom = zone
    boxes = ""
    for side in (1.0, -1.0) if mirrored else (1.0,):
        x1, x2 = view.x(side * left), view.x(side * right)
        boxes += f"M{n(x1)} {n(view.y(top))}H{n(x2)}V{n(view.y(bottom))}H{n(x1)}Z"
    return boxes
