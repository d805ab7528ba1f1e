"""All pieces of a sweater to one scale: plans dashed, what the tape said of a knitted one full under its plan."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from fitcheck.drawing.canvas import View, edges, graph
from fitcheck.drawing.count_labels import ROOM, UNDER, CountLabel, Mark, labels_of
from fitcheck.drawing.labels import Box
from fitcheck.drawing.look import SCREEN, TEXT, WIDTH, Look
from fitcheck.drawing.one_piece import shape_parts
from fitcheck.drawing.outline import Outline, outline_of
from fitcheck.drawing.placed import DISC, VALUE, Strokes
from fitcheck.drawing.planned import PlannedShape, shape_of
from fitcheck.drawing.scale_bar import BELOW, Bar, bar_of
from fitcheck.drawing.svg import Point, circle, drawing, n, path, polyline, rect, text, text_width
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.frozen import frozen
from fitcheck.records.points import BODY, PieceKind
from fitcheck.reports.pieces_to_draw import PieceToDraw
from fitcheck.words import Unit
from fitcheck.words.pieces_drawn import PieceName, at_row, piece_drawn_name, pieces_drawn

LARGEST = 0.6
"""Largest scale [units per mm]."""
SIDE, GAP = 11.0, 14.0
"""Room at the sides of the drawing and between two pieces [units]."""
TOP = 32.0
"""Room over a row of pieces, for the width of a neck [units]."""
NAME = 22.0
"""What the name under a piece takes [units]."""
FOOT = 10.0
"""Room under the last row [units]."""


BAR = 40.0
"""Least length of the scale bar [units]: it stands in a corner."""


_NO_VIEW = View(1.0, 0.0, 0.0)
_NO_BOX = Box(0.0, 0.0, 0.0, 0.0)


@frozen
class PiecesDrawing:
    """The drawing of all pieces.

    svg      288 units wide
    figures  figure of each count that stands in it, by kind of piece and point: they join it to the tables
    lines    which kinds of lines occur: planned, measured, drawn in
    """

    svg: str
    figures: Mapping[tuple[PieceKind, str], int]
    lines: tuple[str, ...]


def pieces_drawing(
    pieces: Sequence[PieceToDraw],
    unit: Unit = "cm",
    *,
    rows: Mapping[PieceKind, int] | None = None,
    look: Look = SCREEN,
    file: bool = False,
) -> PiecesDrawing | None:
    """All pieces of a sweater to one scale; None where none can be drawn.

    rows  the counter that a piece on the needles has come to
    file  the text of a file of its own
    """
    figures = [figure for piece in pieces for figure in _figures(piece)]
    if not figures:
        return None
    laid, height, bar, corner = _laid_out(figures, unit)
    come_to = [row for figure in laid if (row := _come_to(figure, (rows or {}).get(figure.piece.kind))) is not None]
    placed = _placed_labels(laid, [bar.box(*corner), *(row.box for row in come_to)])
    view = View(laid[0].view.scale, 0.0, 0.0)
    parts = [graph(look, "ps", view, unit, WIDTH, height)]
    for figure in laid:
        parts += _lines(look, figure)
        middle = (figure.box.left + figure.box.right) / 2
        parts.append(text(look, "t-val", middle, figure.box.bottom + NAME - 7.0, figure.said, "middle"))
    for row in come_to:
        parts.append(path(look, "o-piece", polyline(row.line)))
        parts.append(text(look, "t-val", row.line[1][0] - 4.0, row.line[1][1] - 5.0, row.said, "end"))
    numbers = {at: place for place, at in enumerate(placed, start=1)}
    # Every line before every disc, so that none runs through a figure.
    parts += [part for label in placed.values() for part in _line(look, label)]
    parts += [part for at, label in placed.items() for part in _figure(look, label, numbers[at])]
    parts.append(bar.parts(look, *corner))
    if file:
        parts.append(rect(look, "frame", 0.75, 0.75, WIDTH - 1.5, height - 1.5))
    label = pieces_drawn([figure.piece for figure in figures if figure.counted])
    svg = drawing("overlay pieces", WIDTH, height, parts, label=label, ids="ps", look=look, file=file)
    return PiecesDrawing(svg, numbers, _kinds_of_lines(laid))


@frozen
class _Figure:
    """A piece on its way to its place: its outlines, its view and box once it has one [units]."""

    piece: PieceToDraw
    name: PieceName
    shape: PlannedShape | None
    outline: Outline | None
    counted: bool
    view: View = _NO_VIEW
    box: Box = _NO_BOX

    @property
    def width_mm(self) -> float:
        """Of the wider of its outlines [mm]."""
        planned = self.shape.reach[1] - self.shape.reach[0] if self.shape else 0.0
        return max(planned, self._measured_mm)

    @property
    def _measured_mm(self) -> float:
        if self.outline is None:
            return 0.0
        return self.outline.half_mm * (2 if self.outline.mirrored else 1)

    @property
    def length_mm(self) -> float:
        """Of the longer of its outlines [mm]."""
        return max(self.shape.length_mm if self.shape else 0.0, self.outline.length_mm if self.outline else 0.0)

    @property
    def said(self) -> str:
        """What stands under it: the whole name where it is no wider than the piece and half a gap at both sides."""
        whole = text_width(self.name.whole) <= self.box.right - self.box.left + GAP
        return self.name.whole if whole else self.name.short

    def at(self, left: float, top: float, scale: float) -> _Figure:
        """The figure with its upper left corner at a place [units]."""
        middle = sum(self.shape.reach) / 2 if self.shape else 0.0
        wide = self.width_mm * scale
        box = Box(left, top, left + wide, top + scale * self.length_mm)
        return replace(self, view=View(scale, left + wide / 2 - scale * middle, top), box=box)

    @property
    def outline_view(self) -> View:
        """Where its measured outline lies: its middle, or the front edge of a half front, is its origin."""
        assert self.outline is not None
        flip = self.piece.kind == "left_front"
        half = 0.0 if self.outline.mirrored else self._measured_mm / 2 * (1 if flip else -1)
        middle = (self.box.left + self.box.right) / 2
        return View(self.view.scale, middle + self.view.scale * half, self.box.top, flip)


def _figures(piece: PieceToDraw) -> list[_Figure]:
    """A piece as often as it is drawn: of two alike the first has the counts."""
    shape = shape_of(piece.plan, piece.fabric, rib_mm=piece.rib_mm) if piece.plan is not None else None
    outline = outline_of(piece.measured, piece=piece.kind, construction=piece.construction) if piece.measured else None
    if isinstance(outline, CannotSay):
        outline = None
    if shape is None and outline is None:
        return []
    if outline is None:  # it stands there as planned, whatever was read
        piece = replace(piece, measured={}, stage=None)
    name = piece_drawn_name(piece)
    first = _Figure(piece, name, shape, outline, counted=True)
    if piece.times == 1:
        return [first]
    return [first, replace(first, name=PieceName(name.other, name.other), counted=False)]


def _laid_out(figures: Sequence[_Figure], unit: Unit) -> tuple[list[_Figure], float, Bar, Point]:
    """Every figure in its place, the height of the drawing, the scale bar and where it begins."""
    body = [figure for figure in figures if figure.piece.kind in BODY]
    others = [figure for figure in figures if figure.piece.kind not in BODY]
    rows = [row for row in (body, *_rows_of_two(others)) if row]
    room = WIDTH - 2 * SIDE
    scale = min(LARGEST, *((room - GAP * (len(row) - 1)) / sum(figure.width_mm for figure in row) for row in rows))
    bar = bar_of(View(scale, 0.0, 0.0), unit, shortest=BAR)
    wide_bar = bar.box(0.0, 0.0).right + GAP
    laid: list[_Figure] = []
    top = right = 0.0
    for row in rows:
        top += TOP if row is body else GAP / 2
        spare = room - scale * sum(figure.width_mm for figure in row)
        if row is rows[-1] and spare > wide_bar:
            spare -= wide_bar  # the bar stands beside the last row
        apart = max(GAP, spare / len(row)) if len(row) > 1 else 0.0
        x = SIDE + max(0.0, (spare - apart * (len(row) - 1)) / 2)
        for figure in row:
            laid.append(figure.at(x, top, scale))
            right = laid[-1].box.right
            x = right + apart
        top += scale * max(figure.length_mm for figure in row) + NAME
    corner = WIDTH - SIDE - wide_bar + GAP + 3.0, top - BELOW
    if bar.box(*corner).left < right + ROOM:
        corner = corner[0], top + GAP
        top += GAP + BELOW
    return laid, top + FOOT, bar, corner


def _rows_of_two(figures: Sequence[_Figure]) -> list[list[_Figure]]:
    return [list(figures[place : place + 2]) for place in range(0, len(figures), 2)]


def _lines(look: Look, figure: _Figure) -> list[str]:
    """What the tape said, full, and the plan over it, dashed."""
    parts = [edges(look, figure.outline_view, figure.outline)] if figure.outline is not None else []
    return [*parts, *shape_parts(look, figure.shape, figure.view)] if figure.shape is not None else parts


@frozen
class _ComeTo:
    """How far a piece on the needles is knitted: a line across it, and what stands over its right end [units]."""

    line: Mark
    said: str

    @property
    def box(self) -> Box:
        """What stands over its end, and the line under that."""
        (_, _), (x, y) = self.line
        return Box(x - 4.0 - text_width(self.said), y - 5.0 - TEXT, x, y + 1.0)


def _come_to(figure: _Figure, counter: int | None) -> _ComeTo | None:
    if counter is None or figure.shape is None or not figure.counted or figure.piece.knitted:
        return None
    left, right = (figure.view.x(x) for x in figure.shape.across(counter))
    y = figure.view.y(figure.shape.y(counter))
    return _ComeTo(((left, y), (right, y)), at_row(counter))


def _placed_labels(laid: Sequence[_Figure], free_of: list[Box]) -> dict[tuple[PieceKind, str], CountLabel]:
    """The counts of every figure that has any, none on another and none on a name."""
    boxes = [*free_of]
    for figure in laid:
        middle, half = (figure.box.left + figure.box.right) / 2, text_width(figure.said) / 2
        foot = figure.box.bottom + NAME
        boxes.append(Box(middle - half, foot - 7.0 - TEXT, middle + half, foot - 3.0))
    strokes: Strokes = [stroke for figure in laid if figure.shape for stroke in _strokes(figure.shape, figure.view)]
    placed: dict[tuple[PieceKind, str], CountLabel] = {}
    for figure in laid:
        if figure.counted and figure.shape is not None and figure.piece.plan is not None:
            others = [other.box for other in laid if other is not figure]
            taken = [*boxes, *others]
            found = labels_of(figure.piece, figure.piece.plan, figure.shape, figure.view, taken, strokes)
            placed |= {(figure.piece.kind, label.key): label for label in found}
            boxes += [label.box for label in found]
    return placed


def _strokes(shape: PlannedShape, view: View) -> Strokes:
    line = tuple(view.at(point) for point in shape.line)
    xs, ys = [x for x, _ in line], [y for _, y in line]
    return [(Box(min(xs), min(ys), max(xs), max(ys)), line)]


def _line(look: Look, label: CountLabel) -> list[str]:
    """The line of a count with both its ends."""
    return [path(look, "t-line", polyline(label.line)), path(look, "t-end", _ends(label.line))]


def _figure(look: Look, label: CountLabel, number: int) -> list[str]:
    """A count: the disc with its figure, and how much it is."""
    value = (
        text(look, "t-val", label.x, label.y + UNDER, label.value, "middle")
        if label.under
        else text(look, "t-val", label.x + VALUE, label.y + 4.4, label.value)
    )
    return [
        circle(look, "t-key", label.x, label.y, DISC),
        text(look, "t-keyn", label.x, label.y + 4.2, str(number), "middle"),
        value,
    ]


def _ends(line: Mark) -> str:
    (x1, y1), (x2, y2) = line
    if y1 == y2:
        return f"M{n(x1)} {n(y1 - 4)}v8M{n(x2)} {n(y2 - 4)}v8"
    return f"M{n(x1 - 4)} {n(y1)}h8M{n(x2 - 4)} {n(y2)}h8"


def _kinds_of_lines(laid: Sequence[_Figure]) -> tuple[str, ...]:
    outlines = [figure.outline for figure in laid if figure.outline is not None]
    stretches = [stretch for outline in outlines for stretch in outline.stretches]
    return (
        *(["planned"] if any(figure.shape for figure in laid) else []),
        *(["measured"] if any(stretch.touched for stretch in stretches) else []),
        *(["drawn in"] if any(not stretch.touched for stretch in stretches) else []),
    )
