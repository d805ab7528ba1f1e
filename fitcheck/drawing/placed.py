"""Where the labels of an overlay stand: widths in a column at the right, lengths on their own tapes.

Keys are discs with a figure, the value beside them. A width's label stands at the height of its tape, pushed
apart from its neighbours; its leader runs straight, then bends once, so that leaders cannot cross. A length's
label sits in the longest stretch of its tape that no other tape crosses, there where it covers fewest lines; a
short tape has it above; the last resort is a column at the left.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from fitcheck.drawing.canvas import View
from fitcheck.drawing.labels import Box, push_apart
from fitcheck.drawing.laid import Laid
from fitcheck.drawing.outline import flat
from fitcheck.drawing.svg import Point, text_width
from fitcheck.drawing.tapes import Tape
from fitcheck.records.frozen import frozen

DISC = 9.0
ROW = 21.0
VALUE = 13.0
"""From the middle of a key to its value [units]."""
TOP = 13.0
"""Highest place of a key in a column [units]."""
MARGIN = 2.0
STEPS = (0.0, -24.0, 24.0, -48.0, 48.0, -12.0, 12.0, -36.0, 36.0, -60.0, 60.0, -72.0, 72.0)
"""Where on a free stretch of its tape a label is tried, from its middle [units]."""
APART = 4.0
"""Least room between a length's label and its neighbours [units]."""


@frozen
class Placed:
    """One label: its tape's points, the middle of its key, and the leader's points [units]."""

    key: str
    value: str
    line: tuple[Point, ...]
    x: float
    y: float
    leader: tuple[Point, ...] = ()

    @property
    def box(self) -> Box:
        """Key and value."""
        return label_box(self.x, self.y, self.value)


def label_box(x: float, y: float, value: str) -> Box:
    """The box of a key and its value [units]."""
    return Box(x - DISC, y - DISC, x + VALUE + text_width(value), y + DISC)


Strokes = Sequence[tuple[Box, tuple[Point, ...]]]
"""Lines that a label should not cover, each with its box [units]."""


def strokes_of(laid: Laid, view: View) -> list[tuple[Box, tuple[Point, ...]]]:
    """Both outlines, the centre line and the upright tapes."""
    lines = [_line(tape, laid, view) for tape in laid.tapes if tape.lies == "along"]
    sides = (1.0, -1.0) if laid.wanted.mirrored else (1.0,)
    for outline, shift in ((laid.wanted, 0.0), (laid.piece, laid.shift)):
        for stretch in outline.stretches:
            points = flat(stretch, 8)
            lines += [tuple((view.x(side * x), view.y(y + shift)) for x, y in points) for side in sides]
    if laid.wanted.mirrored:
        lines.append(((view.left, view.top), (view.left, view.y(laid.wanted.length_mm))))
    return [(_around(line), line) for line in lines]


def _around(line: Sequence[Point]) -> Box:
    xs, ys = [x for x, _ in line], [y for _, y in line]
    return Box(min(xs) - 0.5, min(ys) - 0.5, max(xs) + 0.5, max(ys) + 0.5)


def covered(box: Box, strokes: Strokes, own: Sequence[Point] = ()) -> int:
    """How many of the lines run through a box; its own tape does not count."""
    # Compared here and not by `meets`: thousands of pairs a drawing.
    left, top, right, bottom = box.left, box.top, box.right, box.bottom
    near = [
        line
        for around, line in strokes
        if around.left < right and left < around.right and around.top < bottom and top < around.bottom and line != own
    ]
    return sum([any(box.meets(_around(pair)) for pair in pairwise(line)) for line in near])


@frozen
class Room:
    """What a drawing has room for [units]: its width, and the middle of the keys in the right column."""

    width: float
    column: float
    left: float


def columns_of(width: float, values: Sequence[str], left_column: bool) -> Room:
    """The columns that the values need in a drawing so wide [units], from the longest of them."""
    longest = max((text_width(value) for value in values), default=0.0)
    column = min(width - 47.0, width - MARGIN - VALUE - longest)
    return Room(width, column, MARGIN + DISC + VALUE + longest + 14.0 if left_column else 12.0)


def place(
    laid: Laid, view: View, room: Room, values: dict[str, str], low: float, strokes: Strokes
) -> list[Placed] | None:
    """Place every label; None where one finds no place without a column at the left.

    low  lowest place of a key in a column [units];  strokes: `strokes_of` the view
    """
    lines = {tape.key: _line(tape, laid, view) for tape in laid.tapes}
    beside = [tape for tape in laid.tapes if tape.lies != "along"]
    upright = [tape for tape in laid.tapes if tape.lies == "along"]
    labels = _right_column(beside, lines, values, room, low)
    boxes = [label.box for label in labels]
    crossings = [(line, True) for line in (lines[tape.key] for tape in beside)]
    crossings += [(label.leader, False) for label in labels]
    left_out: list[Tape] = []
    for tape in upright:
        placed = _on_tape(tape.key, lines[tape.key], values[tape.key], crossings, boxes, room, strokes)
        if placed is None:
            left_out.append(tape)
        else:
            labels.append(placed)
            boxes.append(placed.box)
    if left_out:
        if room.left < 2 * DISC + VALUE:
            return None
        labels += _left_column(left_out, lines, values, low)
    return labels


def _line(tape: Tape, laid: Laid, view: View) -> tuple[Point, ...]:
    return tuple((view.x(x), view.y(y + laid.shift)) for x, y in tape.line)


def _right_column(
    tapes: Sequence[Tape], lines: dict[str, tuple[Point, ...]], values: dict[str, str], room: Room, low: float
) -> list[Placed]:
    starts = []
    for tape in tapes:
        line = lines[tape.key]
        if tape.lies == "across":
            starts.append(max(line))
        else:
            # An edge's leader begins at the middle of the edge.
            middle = line[len(line) // 2] if len(line) > 2 else _between(line[0], line[-1])
            starts.append(middle)
    ys = push_apart([y for _, y in starts], ROW, TOP, low)
    labels = []
    for tape, (x, y), at in zip(tapes, starts, ys, strict=True):
        bend = max(x + 4.0, room.column - 14.0)
        leader = ((min(x + 4.0, bend), y), (bend, y), (room.column - DISC - 1.0, at))
        labels.append(Placed(tape.key, values[tape.key], lines[tape.key], room.column, at, leader))
    return labels


def _between(a: Point, b: Point) -> Point:
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2


def _on_tape(
    key: str,
    line: tuple[Point, ...],
    value: str,
    crossings: Sequence[tuple[tuple[Point, ...], bool]],
    boxes: Sequence[Box],
    room: Room,
    strokes: Strokes,
) -> Placed | None:
    (x, y1), (_, y2) = line[0], line[-1]
    cuts = sorted(
        [y1, y2, *(y for y in (_crossed(crossing, x) for crossing, _ in crossings) if y is not None and y1 < y < y2)]
    )
    gaps = sorted(((b - a, (a + b) / 2) for a, b in pairwise(cuts)), reverse=True)
    wanted = [(x, middle + step) for size, middle in gaps for step in STEPS if abs(step) + DISC + 1.0 <= size / 2]
    if y2 - y1 < 2 * DISC + 4.0:
        wanted += [(x + aside, y1 - DISC - 6.0) for aside in (0.0, -16.0, -28.0)]
    best, fewest = None, 0
    for at_x, at_y in wanted:
        box = label_box(at_x, at_y, value)
        inside = box.left >= 0 and box.top >= 1.0 and box.right < room.column - DISC
        roomy = box.grown(APART)
        if not inside or any(roomy.meets(other) for other in boxes):
            continue
        lines = covered(box, strokes, line)
        if best is None or lines < fewest:
            leader = () if at_y > y1 else ((x, y1 - 1.0), (at_x, at_y + DISC))
            best, fewest = Placed(key, value, line, at_x, at_y, leader), lines
        if fewest == 0:
            break
    return best


def _crossed(line: tuple[Point, ...], x: float) -> float | None:
    """Where a line is at x; None where it does not reach it."""
    for (x1, y1), (x2, y2) in pairwise(line):
        if min(x1, x2) <= x <= max(x1, x2):
            return y1 if x1 == x2 else y1 + (y2 - y1) * (x - x1) / (x2 - x1)
    return None


def _left_column(
    tapes: Sequence[Tape], lines: dict[str, tuple[Point, ...]], values: dict[str, str], low: float
) -> list[Placed]:
    starts = [_between(lines[tape.key][0], lines[tape.key][-1]) for tape in tapes]
    ys = push_apart([y for _, y in starts], ROW, TOP, low)
    x = MARGIN + DISC
    labels = []
    for tape, (to_x, to_y), at in zip(tapes, starts, ys, strict=True):
        value = values[tape.key]
        begin = x + VALUE + text_width(value) + 1.0
        leader = ((to_x, to_y), (begin + 9.0, to_y), (begin, at))
        labels.append(Placed(tape.key, value, lines[tape.key], x, at, leader))
    return labels
