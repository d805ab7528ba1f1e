"""A piece of tape in the drawing's scale: inside the piece where nothing else stands there, else under it."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.drawing.canvas import View
from fitcheck.drawing.labels import Box
from fitcheck.drawing.laid import Laid
from fitcheck.drawing.look import Look
from fitcheck.drawing.outline import Outline, flat
from fitcheck.drawing.placed import DISC, Placed, Room, Strokes, covered
from fitcheck.drawing.svg import n, path, text, text_width
from fitcheck.records.frozen import frozen
from fitcheck.records.lengths import INCH_MM, write_bare
from fitcheck.words import Unit

SHORTEST = 50.0
"""Least length of the bar [units]."""
ABOVE, BELOW = 3.0, 26.0
"""What the bar takes above its edge, and below it with its figures [units]."""
FROM_EDGE = 6.0
"""Least room between the bar and the sides of the piece [units]."""
STEP = 6.0
"""From one place at which the bar is tried to the next [units]."""


@frozen
class Bar:
    """The bar: its length [mm, units], its figures at half and at full length, and how many steps it is ticked in."""

    long: float
    figures: tuple[str, str]
    steps: int
    unit: Unit

    def box(self, x: float, y: float) -> Box:
        """What it takes with its edge beginning at a place [units]."""
        return Box(x - 5.0, y - ABOVE, x + self.long + text_width(f" {self.unit}") + 8.0, y + BELOW)

    def parts(self, look: Look, x: float, y: float) -> str:
        """Its edge, ticks and three figures, beginning at a place [units]."""
        step, half = self.long / self.steps, self.steps // 2
        ticks = "".join(
            f"M{n(place * step)} 0v{8 if place % half == 0 else 5 if place % 2 == 0 else 3.5}"
            for place in range(self.steps + 1)
        )
        middle, end = self.figures
        parts = [
            path(look, "r-edge", f"M0 0h{n(self.long)}"),
            path(look, "r-cm", ticks),
            text(look, "r-num", 0.0, 20.0, "0", "middle"),
            text(look, "r-num", self.long / 2, 20.0, middle, "middle"),
            text(look, "r-num", self.long - text_width(end) / 2, 20.0, f"{end} {self.unit}"),
        ]
        return f'<g class="scalebar" transform="translate({n(x)} {n(y)})">{"".join(parts)}</g>'


def bar_of(view: View, unit: Unit, *, shortest: float = SHORTEST) -> Bar:
    """The bar of a drawing: 10 cm (4 in), doubled until it is as long as the shortest that can be read off [units]."""
    lengths = tuple(times * INCH_MM for times in (4, 8, 16, 32)) if unit == "in" else (100.0, 200.0, 400.0, 800.0)
    length = next((mm for mm in lengths if mm * view.scale >= shortest), lengths[-1])
    middle, end = (write_bare(mm, unit).removesuffix(".0") for mm in (length / 2, length))
    return Bar(length * view.scale, (middle, end), 16 if unit == "in" else 20 if length <= 200 else 40, unit)


def inside(bar: Bar, laid: Laid, view: View, labels: Sequence[Placed], strokes: Strokes) -> tuple[float, float] | None:
    """Where the bar's edge begins inside the piece: near its lower end, clear of every label; None without room.

    Of two places at one height the one that covers fewer lines, then the one nearer to the middle.
    """
    taken = [label.box for label in labels]
    lowest = min(laid.wanted.length_mm, laid.piece.length_mm + laid.shift)
    bottom = view.y(lowest) - BELOW - FROM_EDGE
    top = view.y(0.4 * lowest)
    while bottom >= top:
        left, right = _between(laid, view, bottom)
        free = []
        x = left
        while x <= right:
            box = bar.box(x, bottom)
            if box.right <= right and not any(box.meets(other) for other in taken):
                aside = abs((box.left + box.right) / 2 - (left + right) / 2)
                free.append((covered(box, strokes), aside, x))
            x += STEP
        if free:
            return min(free)[2], bottom
        bottom -= STEP
    return None


def _between(laid: Laid, view: View, y: float) -> tuple[float, float]:
    """From where to where the piece and what is wanted both reach at a height, with room at both ends [units]."""
    mm = (y - view.top) / view.scale
    half = min(_half_at(laid.wanted, mm), _half_at(laid.piece, mm - laid.shift))
    ends = sorted((view.x(-half if laid.wanted.mirrored else 0.0), view.x(half)))
    return ends[0] + FROM_EDGE + 5.0, ends[1] - FROM_EDGE


def _half_at(outline: Outline, y: float) -> float:
    """Least half width of an outline from a height down to its lower end [mm]."""
    below = [x for stretch in outline.stretches for x, at in flat(stretch, 8) if at >= y and x > 0]
    return min(below, default=0.0)


def under(bar: Bar, room: Room, height: float) -> tuple[float, float]:
    """Where the bar's edge begins under the outline [units]."""
    return room.left + (room.column - DISC - 10.0 - room.left) / 2 - bar.long / 2, height - 28.0
