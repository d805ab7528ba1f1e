"""One row per thing on a common axis: name, interval and mark. Changes in finishing and a garment's history."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Literal

from fitcheck.drawing.look import SCREEN, WIDTH
from fitcheck.drawing.svg import drawing, n, path, rect, shortened, text, text_width
from fitcheck.records.frozen import frozen
from fitcheck.words import Mark

Kind = Literal["read", "next", "assumed"]
ROW = 38.0
LEFT, RIGHT = 14.0, WIDTH - 14.0


@frozen
class Row:
    """One row: name, value and interval [unit of the axis].

    kind  read: its own readings; next: what the next piece will do; assumed: nobody measured
    """

    name: str
    value: float
    low: float
    high: float
    kind: Kind = "read"


@frozen
class Scale:
    """An axis: its ends and the step of its figures, in the unit of what stands on it."""

    low: float
    high: float
    step: float

    def x(self, value: float, left: float = LEFT, right: float = RIGHT) -> float:
        """Place of a value [units]."""
        return left + (right - left) * (value - self.low) / (self.high - self.low)

    def ticks(self) -> list[float]:
        """Values of the figures."""
        return [place * self.step for place in range(round(self.low / self.step), round(self.high / self.step) + 1)]


def scale_for(
    values: Sequence[float], *, steps: Sequence[float] = (1.0, 2.0, 5.0), most: int = 6, finest: float = 0.0
) -> Scale:
    """The shortest axis that holds the values, its ends on figures, with at most so many steps.

    steps   steps to choose from, each also times ten, a hundred ... and a tenth, a hundredth
    finest  shortest step that can be written

    >>> scale_for([-9.2, 0.0])
    Scale(low=-10.0, high=0.0, step=2.0)
    """
    least, largest = min(values), max(values)
    if largest - least < 1e-9:
        least, largest = least - 1.0, largest + 1.0
    power = 10.0 ** (math.floor(math.log10((largest - least) / most)) - 1)
    while True:
        for multiple in steps:
            step = multiple * power
            low, high = math.floor(least / step + 1e-9), math.ceil(largest / step - 1e-9)
            if high - low <= most and step >= finest:
                return Scale(low * step, high * step, step)
        power *= 10.0


def rows_drawing(
    rows: Sequence[Row],
    scale: Scale,
    written: Callable[[float], str],
    *,
    name: str,
    ends: tuple[str, str],
) -> str:
    """A drawing of rows under one another, on one axis.

    written  how a figure of the axis is written;  ends: words at the two ends
    """
    base = ROW * len(rows) + 6.0
    parts = []
    if scale.low <= 0.0 <= scale.high:
        parts.append(path(SCREEN, "r-want", f"M{n(scale.x(0.0))} 2V{n(base)}"))
    for at, row in enumerate(rows):
        top = at * ROW
        if at:
            parts.append(path(SCREEN, "q2", f"M0 {n(top + 2)}H{n(WIDTH)}"))
        parts.append(text(SCREEN, "r-side", 2.0, top + 15.0, shortened(row.name, WIDTH - 4.0)))
        parts.append(_interval(row, scale, top + 27.0))
    parts.append(path(SCREEN, "r-edge", f"M{n(LEFT)} {n(base)}H{n(RIGHT)}"))
    ticks = scale.ticks()
    parts.append(path(SCREEN, "r-cm", "".join(f"M{n(scale.x(tick))} {n(base)}v6" for tick in ticks)))
    for tick in ticks:
        word = written(tick)
        half = text_width(word) / 2
        x = min(max(scale.x(tick), half + 0.5), WIDTH - half - 0.5)
        parts.append(text(SCREEN, "r-num", x, base + 19.0, word, "middle"))
    height = base + 24.0
    if any(ends):
        height += 15.0
        parts.append(text(SCREEN, "r-side", 2.0, height - 4.0, ends[0]))
        parts.append(text(SCREEN, "r-side", WIDTH - 2.0, height - 4.0, ends[1], "end"))
    return drawing(name, WIDTH, height, parts)


def _interval(row: Row, scale: Scale, y: float) -> str:
    x1, x2 = scale.x(max(row.low, scale.low)), scale.x(min(row.high, scale.high))
    x = scale.x(min(max(row.value, scale.low), scale.high))
    bar = 2.5 if row.kind == "next" else 1.25
    parts = [rect(SCREEN, "r-int", x1, y - bar, x2 - x1, 2 * bar)]
    parts.append(path(SCREEN, "r-intend", f"M{n(x1)} {n(y - 5)}v10M{n(x2)} {n(y - 5)}v10"))
    if row.kind == "next":
        parts.append(path(SCREEN, "r-dot", f"M{n(x - 7)} {n(y)}l7 -7l7 7l-7 7Z"))
    else:
        name = "r-ring" if row.kind == "assumed" else "r-dot"
        parts.append(f'<circle{SCREEN[name]} cx="{n(x)}" cy="{n(y)}" r="5"/>')
    return "".join(parts)


def signed(value: float, mark: Mark) -> str:
    """A figure of an axis with its sign; mark: decimal mark."""
    word = f"{abs(value):.6g}".replace(".", mark)
    return word if word == "0" else f"{'−' if value < 0 else '+'}{word}"
