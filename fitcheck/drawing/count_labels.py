"""Where the counts of a planned piece stand on it: each on a line between its ends, none on another label.

Widths are placed first, from the cast-on up, then lengths; of the places that are free the one that covers fewest
lines, on its own line rather than beside it, its figure beside the disc rather than under it. A count that finds no
place is left to the tables.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from fitcheck.drawing.canvas import View
from fitcheck.drawing.labels import Box
from fitcheck.drawing.look import WIDTH
from fitcheck.drawing.placed import DISC, VALUE, Strokes, covered, label_box
from fitcheck.drawing.planned import PlannedShape, division_of, first_counter, underarm_of
from fitcheck.drawing.svg import Point, text_width
from fitcheck.knitting.plan import Plan
from fitcheck.records.frozen import frozen
from fitcheck.records.points import HALF_FRONTS, POINTS
from fitcheck.reports.pieces_to_draw import PieceToDraw

Mark = tuple[Point, Point]
"""The two ends of a line [units]."""
OVER_NECK = 14.0
"""How far over its piece the width of a neck is drawn [units]."""
OVER_END = 12.0
"""How far over the lower end of its piece, the rib included, a width is drawn at the least [units]."""
NECK_UP = 0.12
"""Where the width at the shoulders is drawn: so far up from where the armholes end to the shoulders [1]."""
UNDER = 21.0
"""From the middle of a disc down to the foot of a figure under it [units]."""
ROOM = 1.5
"""Least room between two labels [units]."""
STEP = 3.0
"""From one place that is tried to the next [units]."""
COLUMNS = {
    "to_underarm": (0.2, 0.14, 0.28, 0.36, 0.8),
    "armhole_depth": (0.93, 0.9, 0.07, 0.85, 0.8, 0.15, 0.2),
    "neck_depth": (0.5, 0.55, 0.45),
    "back_neck_drop": (0.5, 0.55, 0.45),
    "cap_height": (0.62, 0.55, 0.5, 0.45, 0.38),
    "body_length": (0.3, 0.2, 0.7),
}
"""Where across its piece the line of a length may stand, the first that goes first [1]."""
MIDDLE = (0.5, 0.42, 0.58, 0.34)
"""The same of every other length."""
WHOLE = {"body_length": "to_underarm", "sleeve_length": "sleeve_to_underarm"}
"""Lengths that are not drawn where the one below the underarm is."""
NOT_DRAWN = ("shoulder_drop",)
"""Lengths too short to be drawn."""


@frozen
class CountLabel:
    """A count in its place.

    line   that it is of;  x, y: middle of its disc [units]
    under  its figure stands under the disc, not beside it
    """

    key: str
    value: str
    line: Mark
    x: float
    y: float
    under: bool = False

    @property
    def box(self) -> Box:
        """Disc and figure."""
        if not self.under:
            return label_box(self.x, self.y, self.value)
        half = max(DISC, text_width(self.value) / 2)
        return Box(self.x - half, self.y - DISC, self.x + half, self.y + UNDER + 3.0)


def labels_of(
    piece: PieceToDraw, plan: Plan, shape: PlannedShape, view: View, taken: Sequence[Box], strokes: Strokes
) -> list[CountLabel]:
    """The counts of a piece, in the order in which they are knitted; those without a place are left out.

    taken    boxes that no label may meet [units];  strokes: lines that a label should not cover
    """
    lines = _Lines(piece, plan, shape, view)
    widths = [key for key in piece.counts if POINTS[key].direction == "across"]
    lengths = [key for key in piece.counts if POINTS[key].direction == "along"]
    placed: dict[str, CountLabel] = {}
    for key in (*widths, *lengths):
        boxes = [*taken, *(label.box for label in placed.values())]
        label = _best(key, str(piece.counts[key]), list(lines.of(key)), boxes, [*strokes, *_drawn(placed)])
        if label is not None:
            placed[key] = label
    return [placed[key] for key in piece.counts if key in placed]


def _drawn(placed: dict[str, CountLabel]) -> Strokes:
    return [(_around(label.line), label.line) for label in placed.values()]


def _around(line: Mark) -> Box:
    (x1, y1), (x2, y2) = line
    return Box(min(x1, x2) - 0.5, min(y1, y2) - 0.5, max(x1, x2) + 0.5, max(y1, y2) + 0.5)


def _best(key: str, value: str, lines: Sequence[Mark], boxes: Sequence[Box], strokes: Strokes) -> CountLabel | None:
    best, least = None, 0.0
    for line in lines:
        for label, cost in _places(key, value, line):
            inside = label.box.left >= 3.0 and label.box.right <= WIDTH - 3.0 and label.box.top >= 3.0
            if not inside or any(label.box.grown(ROOM).meets(box) for box in boxes):
                continue
            cost += covered(label.box, strokes, line)
            if best is None or cost < least:
                best, least = label, cost
            if not cost:
                return best
    return best


def _places(key: str, value: str, line: Mark) -> Iterator[tuple[CountLabel, float]]:
    """Places on a line and beside it, the preferred first, each with what it costs [lines covered]."""
    (x1, y1), (x2, y2) = line
    wide = VALUE + text_width(value)
    level = y1 == y2
    if level:
        middle = (x1 + x2 - wide) / 2
        on = [(middle + off, y1) for off in _outward((x2 - x1 - wide) / 2 - DISC - 2.0, first=(x2 - x1) / 8)]
        beside = [(x2 + DISC + 5.0, y1 - 2.0), (x1 - wide - 6.0, y1 - 2.0)]
    else:
        middle = (y1 + y2) / 2
        reach = (y2 - y1) / 2 - DISC - 2.0
        on = [(x1, middle + off) for off in _outward(reach)] if reach >= 0 else []
        offs = (0.0, -STEP, STEP, -2 * STEP, 2 * STEP)
        beside = [(x, middle + off) for off in offs for x in (x1 + DISC + 5.0, x1 - wide - 6.0)]
        reach -= UNDER / 2
        under = [(x1, middle - UNDER / 2 + off) for off in _outward(reach)] if reach >= 0 else []
    hidden = 1.5 if level and x2 - x1 < wide + DISC else 0.0  # nothing of the line would be seen beside it
    yield from ((CountLabel(key, value, line, x, y), hidden) for x, y in on)
    if not level:
        yield from ((CountLabel(key, value, line, x, y, under=True), 0.5) for x, y in under)
    yield from ((CountLabel(key, value, line, x, y), 1.0) for x, y in beside)


def _outward(reach: float, first: float = 0.0) -> Iterator[float]:
    """Steps away from the middle, to either side in turn, up to a reach; the preferred one first."""
    first = min(first, max(reach, 0.0))
    yield first
    step = STEP
    while step <= 2 * reach:
        for off in (first + step, first - step):
            if abs(off) <= reach:
                yield off
        step += STEP


@frozen
class _Lines:
    """Where the line of a count may lie on a piece."""

    piece: PieceToDraw
    plan: Plan
    shape: PlannedShape
    view: View

    def of(self, key: str) -> Iterator[Mark]:
        """The lines that a count may have, the preferred first; none where the piece has no such place."""
        if POINTS[key].direction == "across":
            yield from self._across(key)
        else:
            yield from self._along(key)

    def _across(self, key: str) -> Iterator[Mark]:
        if key == "neck_width":
            yield self._neck()
        elif key in ("hem", "cuff"):
            yield self._level(0, up=max(0.0, OVER_END - self.view.scale * self.shape.rib_mm))
        elif key == "shoulder_width" and underarm_of(self.plan) < self._shoulder:
            wide = self.piece.counts[key] * self.piece.fabric.w * 1.01
            counters = range(underarm_of(self.plan), self._shoulder)
            ends = next((at for at in counters if self._width(at) <= wide), self._shoulder)
            yield self._level(round(ends + NECK_UP * (self._shoulder - ends)))
        elif key in self.plan.points:
            yield self._level(self.plan.points[key][0])

    @property
    def _shoulder(self) -> int:
        return first_counter(self.plan, ("armhole_depth",)) or self.shape.rows

    def _width(self, counter: int) -> float:
        left, right = self.shape.across(counter)
        return right - left

    def _level(self, counter: int, *, up: float = 0.0) -> Mark:
        left, right = self.shape.across(counter)
        y = self.view.y(self.shape.y(counter)) - up
        return (self.view.x(left), y), (self.view.x(right), y)

    def _neck(self) -> Mark:
        """Over the piece: about its middle, of half a front from its opening."""
        wide = self.piece.counts["neck_width"] * self.piece.fabric.w
        left, right = self.shape.reach
        if self.piece.kind in HALF_FRONTS:
            x1, x2 = (right - wide, right) if self.piece.kind == "left_front" else (left, left + wide)
        else:
            x1, x2 = -wide / 2, wide / 2
        y = self.view.top - OVER_NECK
        return (self.view.x(x1), y), (self.view.x(x2), y)

    def _along(self, key: str) -> Iterator[Mark]:
        ends = self._ends(key)
        if ends is None or WHOLE.get(key, "") in self.piece.counts or key in NOT_DRAWN:
            return
        y1, y2 = (self.view.y(self.shape.y(counter)) for counter in ends)
        left, right = self.shape.reach
        for column in COLUMNS.get(key, MIDDLE):
            x = self.view.x(left + column * (right - left))
            yield (x, y1), (x, y2)

    def _ends(self, key: str) -> tuple[int, int] | None:
        """Upper and lower counter of a length; None where the piece has no such place."""
        top, underarm = self.shape.rows, underarm_of(self.plan)
        match key:
            case "to_underarm" | "sleeve_to_underarm":
                return underarm, 0
            case "armhole_depth":
                return self._shoulder, underarm
            case "cap_height":
                return top, underarm
            case "neck_depth" | "back_neck_drop":
                division = division_of(self.plan)
                return None if division is None else (top, division)
            case "body_length" | "sleeve_length" | "panel_length":
                return top, 0
        return None
