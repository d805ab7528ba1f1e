"""The piece with the tape laid on it, true to scale: one place for the measuring walk and the pencil form."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from fitcheck.drawing.canvas import View
from fitcheck.drawing.outline import Outline, drawable, flat, kind_of, outline_of
from fitcheck.drawing.svg import Point, n
from fitcheck.drawing.tapes import Tape, key_figures, tape_of
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.constructions import CONSTRUCTIONS, USUAL, ConstructionKey
from fitcheck.records.frozen import frozen
from fitcheck.records.points import POINTS, ROUND_THE_BODY

WIDTH = 288.0
"""Width of the drawing [units]: a phone's width."""
TAPE_MM = 20.0
"""Width of the tape, drawn true [mm]."""
ASIDE = 26.0
"""Room at both sides for the letters of the tape's ends [units]."""
TALLEST, FORM_TALLEST = 280.0, 340.0
"""Tallest outline, on the walk and on the pencil form [units]."""
ABOVE = 14.0
"""Room above the pencil form's drawing for a disc beside the uppermost tape [units]."""
DISC = 9.0
CLEAR = 1.5
"""Room between a disc and the outline; twice that between two discs [units]."""
NEAR = 68.0
"""Height of the strip round a tape that lies across [units]."""

TIP_MM = 1.0
"""How far a body without shoulders falls off from its neck to where its armhole slants [mm]: hardly to be seen."""
_STRAIGHT: ConstructionKey = next(built.key for built in CONSTRUCTIONS.values() if built.armhole == "straight")
"""The construction whose armhole is a straight line."""
_PICTURED: Mapping[str, tuple[str, ...]] = {
    "body": ("chest", "shoulder_width", "hem", "armhole_depth", "body_length"),
    "sleeve": ("upper_arm", "cuff", "cap_height", "sleeve_length"),
    "panel": ("panel_width", "panel_length"),
}
"""Points of a plain piece that is drawn where too little is known."""


@frozen
class LaidTape:
    """The tape of one point.

    lies    across, along or edge
    inside  its svg elements
    near    viewBox of the strip round it; of the whole piece where the tape does not lie across
    """

    lies: str
    inside: str
    near: str


@frozen
class Picture:
    """One piece with its tapes: viewBox, the outline's path, and the tape of every point that it can show."""

    box: str
    outline: str
    height: float
    tapes: Mapping[str, LaidTape]


def picture(
    piece: str, measures: Mapping[str, float], keys: Sequence[str], unit: str, *, construction: str = USUAL
) -> Picture:
    """Draw a piece from what is wanted or usual, with a tape for each point.

    piece     kind of piece, as in the catalogue
    measures  points of the piece [mm]; too few are replaced by a plain piece of a grown person
    keys      points to lay a tape at
    unit      cm or in: marks of the tape
    construction  a raglan's body has slanting edges without a curve, its sleeve the usual cap
    """
    shape = outline_for(piece, measures, keys, construction)
    view, down = view_of(shape, piece, keys, TALLEST, 6.0)
    height = down + 12.0
    tapes = {}
    for key in keys:
        tape = tape_of(shape, key)
        if tape is not None:
            tapes[key] = _laid(view, tape, unit, height)
    return Picture(f"0 0 {n(WIDTH)} {n(height)}", view.closed(shape), height, tapes)


def outline_for(piece: str, measures: Mapping[str, float], keys: Sequence[str], construction: str) -> Outline:
    """The outline of a piece from what is known of it; of a plain one where that is too little."""
    slanting = CONSTRUCTIONS[construction].armhole == "slanting" and kind_of(piece) in ("body", "half")
    construction = _STRAIGHT if slanting else USUAL if CONSTRUCTIONS[construction].not_drawn else construction
    lacks = CONSTRUCTIONS[construction].lacks
    known = {key: mm for key, mm in measures.items() if key in POINTS and mm > 0 and piece in POINTS[key].pieces}
    if not drawable(known, piece):
        kind = kind_of(piece)
        pictured = _PICTURED["body" if kind == "half" else kind]
        known = {key: POINTS[key].plain_on(piece) for key in pictured if key not in lacks}
    # An outline has a waist only where it was measured: to lay a tape at it, it is taken as a plain sweater has it.
    for key in ROUND_THE_BODY:
        if key in keys and key not in known and "chest" in known:
            known[key] = known["chest"] * POINTS[key].plain_mm / POINTS["chest"].plain_mm
    if slanting:
        neck = known.get("neck_width") or POINTS["neck_width"].plain_on(piece)
        known |= {"neck_width": neck, "shoulder_width": neck, "shoulder_drop": TIP_MM}
    outline = outline_of(known, piece=piece, construction=construction)
    assert not isinstance(outline, CannotSay)
    return outline


def view_of(shape: Outline, piece: str, keys: Sequence[str], tallest: float, above: float) -> tuple[View, float]:
    """The largest view that holds the piece and its tapes, and how far down they reach [units].

    above  room over the uppermost tape [units]
    """
    across = shape.half_mm * (2 if shape.mirrored else 1)
    top = -24.0 if "neck_inside" in keys else -TAPE_MM / 2
    down = shape.length_mm - top + TAPE_MM / 2
    scale = min((WIDTH - 2 * ASIDE) / across, tallest / down)
    flip = piece == "right_front"
    middle = WIDTH / 2 + (0.0 if shape.mirrored else (scale if flip else -scale) * across / 2)
    return View(scale, middle, above - scale * top, flip), scale * down


def _laid(view: View, tape: Tape, unit: str, height: float) -> LaidTape:
    line = [view.at(point) for point in tape.line]
    wide = TAPE_MM * view.scale
    if tape.lies == "across" and line[0][0] > line[-1][0]:
        line.reverse()
    if tape.key in ("hem", "cuff"):
        # On the piece, its lower edge on the piece's.
        line = [(x, y - wide / 2) for x, y in line]
    lies = tape.lies if len(line) == 2 else "edge"
    inside = _straight(line[0], line[1], wide, view.scale, unit) if len(line) == 2 else _bent(line, wide)
    inside += _ends(line, wide, lies)
    if lies == "across":
        top = min(max(0.0, line[0][1] - NEAR / 2), max(0.0, height - NEAR))
        return LaidTape(lies, inside, f"0 {n(top)} {n(WIDTH)} {n(NEAR)}")
    return LaidTape(lies, inside, f"0 0 {n(WIDTH)} {n(height)}")


def _straight(a: Point, b: Point, wide: float, scale: float, unit: str) -> str:
    """A band with its marks, drawn level and then turned to where it lies."""
    long = math.dist(a, b)
    turn = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
    step, middle, large = (12.7, 2, 8) if unit == "in" else (10.0, 5, 10)
    marks, place = [], 1
    while place * step * scale < long - 0.5:
        deep = 0.85 if place % large == 0 else 0.6 if place % middle == 0 else 0.35
        marks.append(f"M{n(place * step * scale)} {n(-wide / 2)}v{n(deep * wide)}")
        place += 1
    return (
        f'<g transform="translate({n(a[0])} {n(a[1])}) rotate({n(turn)})">'
        f'<rect class="tape-band" y="{n(-wide / 2)}" width="{n(long)}" height="{n(wide)}"/>'
        f'<path class="tape-t" d="{"".join(marks)}"/></g>'
    )


def _bent(line: Sequence[Point], wide: float) -> str:
    d = f"M{n(line[0][0])} {n(line[0][1])}" + "".join(f"L{n(x)} {n(y)}" for x, y in line[1:])
    return (
        f'<path class="tape-edge" stroke-width="{n(wide)}" d="{d}"/>'
        f'<path class="tape-inner" stroke-width="{n(wide - 2.4)}" d="{d}"/>'
        f'<path class="tape-line" d="{d}"/>'
    )


def _ends(line: Sequence[Point], wide: float, lies: str) -> str:
    """A and B beside the ends of the tape."""
    (x1, y1), (x2, y2) = line[0], line[-1]
    if lies == "across":
        return _letter("A", x1 - 5, y1, "end") + _letter("B", x2 + 5, y2)
    # Beside the tape where the drawing has more room.
    side = 1.0 if (x1 + x2) / 2 <= WIDTH / 2 else -1.0
    gap = wide / 2 + 5
    anchor = "start" if side > 0 else "end"
    if y2 - y1 < 24:
        return _letter("A", x1 + side * gap, y1 - 8, anchor) + _letter("B", x2 + side * gap, y2 + 10, anchor)
    return _letter("A", x1 + side * gap, y1 + 5, anchor) + _letter("B", x2 + side * gap, y2 - 5, anchor)


def _letter(letter: str, x: float, y: float, anchor: str = "start") -> str:
    at = "" if anchor == "start" else f' text-anchor="{anchor}"'
    return f'<text class="tape-ab" x="{n(x)}" y="{n(y)}" dy=".35em"{at}>{letter}</text>'


@frozen
class Placed:
    """A tape with the disc of its figure: its line, the disc's middle, and where a line leads from the tape to it."""

    key: str
    figure: int
    line: Sequence[Point]
    at: Point
    leader: Point | None


def form_picture(
    piece: str, measures: Mapping[str, float], keys: Sequence[str], *, construction: str = USUAL
) -> tuple[str, str]:
    """The drawing of the pencil form: every tape as a line with its figure. Returns viewBox and svg elements."""
    shape = outline_for(piece, measures, keys, construction)
    view, down = view_of(shape, piece, keys, FORM_TALLEST, ABOVE + 12.0)
    lines: list[str] = []
    labels: list[str] = []
    for placed in tapes_placed(shape, view, key_figures(keys), DISC):
        lines.append(line_and_stops(placed.line))
        if placed.leader:
            lines.append(drawn_line((placed.leader, placed.at)))
        labels.append(disc(placed, DISC))
    outline = f'<path class="ghost" d="{view.closed(shape)}"/>'
    return f"0 0 {n(WIDTH)} {n(ABOVE + down + 24.0)}", outline + "".join(lines) + "".join(labels)


def tapes_placed(shape: Outline, view: View, figures: Mapping[str, int], radius: float) -> Iterator[Placed]:
    """The tapes that an outline can show, each with its disc off the outline and the discs before it.

    radius  of a disc [units]
    """
    edges = _edges(shape, view)
    discs: list[Point] = []
    for key, figure in figures.items():
        tape = tape_of(shape, key)
        if tape is None:
            continue
        line = [view.at(point) for point in tape.line]
        at, leader = _free(line, discs, edges, radius)
        discs.append(at)
        yield Placed(key, figure, line, at, leader)


def drawn_line(line: Sequence[Point], of: str = "t-line") -> str:
    """A line through some points; of: its class."""
    return f'<path class="{of}" d="M{"L".join(f"{n(x)} {n(y)}" for x, y in line)}"/>'


def line_and_stops(line: Sequence[Point]) -> str:
    """A tape as a line with a short stroke across each end."""
    return drawn_line(line) + _stops(line)


def disc(placed: Placed, radius: float) -> str:
    """The figure of a tape in its disc."""
    x, y = placed.at
    return (
        f'<circle class="t-key" cx="{n(x)}" cy="{n(y)}" r="{n(radius)}"/>'
        f'<text class="t-keyn" x="{n(x)}" y="{n(y)}" dy=".35em" text-anchor="middle">{placed.figure}</text>'
    )


def _stops(line: Sequence[Point]) -> str:
    """A short stroke across each end of a tape."""
    strokes = []
    for (x, y), (x2, y2) in ((line[0], line[1]), (line[-1], line[-2])):
        long = math.dist((x, y), (x2, y2)) or 1.0
        dx, dy = 4 * (y2 - y) / long, -4 * (x2 - x) / long
        strokes.append(f"M{n(x - dx)} {n(y - dy)}L{n(x + dx)} {n(y + dy)}")
    return f'<path class="t-end" d="{"".join(strokes)}"/>'


def _edges(shape: Outline, view: View) -> list[Point]:
    """Points of the outline, close to one another [units]."""
    edges: list[Point] = []
    for side in (1.0, -1.0) if shape.mirrored else (1.0,):
        for stretch in shape.stretches:
            points = [view.at((side * x, y)) for x, y in flat(stretch, 16)]
            for (x1, y1), (x2, y2) in pairwise(points):
                steps = max(1, round(math.dist((x1, y1), (x2, y2)) / 3))
                edges += [(x1 + (x2 - x1) * at / steps, y1 + (y2 - y1) * at / steps) for at in range(steps + 1)]
    return edges


def _free(
    line: Sequence[Point], taken: Sequence[Point], edges: Sequence[Point], radius: float
) -> tuple[Point, Point | None]:
    """A place for the disc of a tape: on it, near its middle if it may be, off the outline and the other discs.

    A tape that runs along the outline has its disc beside it, with a line from the tape, the second of the two points.
    """
    off, apart, beside = radius + CLEAR, 2 * (radius + CLEAR), 2 * radius
    lengths = [math.dist(a, b) for a, b in pairwise(line)]
    whole = sum(lengths)

    def at(share: float) -> Point:
        left = share * whole
        for (a, b), long in zip(pairwise(line), lengths, strict=True):
            if left <= long and long:
                return a[0] + (b[0] - a[0]) * left / long, a[1] + (b[1] - a[1]) * left / long
            left -= long
        return line[-1]

    def clear(place: Point, others: Sequence[Point]) -> float:
        return min((math.dist(place, other) for other in others), default=math.inf)

    shares = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88)
    on_edge = all(clear(at(share), edges) < 2.0 for share in shares)  # a hem: there is no outline to keep off
    for share in shares:
        place = at(share)
        if clear(place, taken) >= apart and (on_edge or clear(place, edges) >= off):
            return place, None
    for aside in (-beside, beside, -2 * beside, 2 * beside):
        for share in shares:
            x, y = at(share)
            place = (x, y + aside) if abs(line[-1][0] - line[0][0]) >= abs(line[-1][1] - line[0][1]) else (x + aside, y)
            if clear(place, taken) >= apart and clear(place, edges) >= off and radius < place[0] < WIDTH - radius:
                return place, (x, y)
    return max((at(share) for share in shares), key=lambda place: clear(place, taken)), None
