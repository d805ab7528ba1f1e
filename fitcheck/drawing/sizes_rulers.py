"""Which size: a ruler per point on which each size's mark carries its name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fitcheck.advice.sizes.answers import SizesAnswer
from fitcheck.drawing.look import SCREEN, WIDTH
from fitcheck.drawing.rulers import allowed_parts, axis_of, axis_parts, interval_parts, span_for, wanted_parts
from fitcheck.drawing.svg import drawing, pill, text, text_width
from fitcheck.estimates.numbers import CannotSay, Quantity
from fitcheck.records.frozen import frozen
from fitcheck.words import Unit
from fitcheck.words.names import size_name

PILL, ROW = 18.0, 24.0
"""A mark is as high as this, a disc where its name is short; a size takes a row of it [units]."""
INSIDE = 10.0
"""What a mark has over beside its name, both sides together [units]."""
TOP = 12.0
FOOT = 26.0
"""What the figures of the axis take below the rows [units]."""
LONGEST = 10
"""Characters of a size's name that a mark bears."""


@frozen
class SizesAtPoint:
    """One point: what is allowed [mm], None = any, and by the name of each size finished less wanted [mm]."""

    key: str
    allowed_smaller_mm: float | None
    allowed_larger_mm: float | None
    marks: Mapping[str, Quantity]

    def beyond(self, span_mm: float) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The sizes that lie off an axis from -span to +span: the narrower ones and the wider ones."""
        narrower = tuple(name for name, off in self.marks.items() if off.value < -span_mm)
        return narrower, tuple(name for name, off in self.marks.items() if off.value > span_mm)


def sizes_at_points(answer: SizesAnswer) -> list[SizesAtPoint]:
    """Every width with a known difference, sizes in the table's order."""
    marks_at: dict[str, dict[str, Quantity]] = {}
    allowed: dict[str, tuple[float | None, float | None]] = {}
    for size in answer.sizes:
        for width in size.widths:
            if isinstance(width.difference, CannotSay):
                continue
            marks_at.setdefault(width.key, {})[size.name] = width.difference
            allowed.setdefault(width.key, (width.allowed_smaller_mm, width.allowed_larger_mm))
    return [SizesAtPoint(key, *allowed[key], marks) for key, marks in marks_at.items()]


def sizes_span(points: Sequence[SizesAtPoint], unit: Unit = "cm") -> float:
    """Half of the axis for all points [mm]: it holds the two nearest sizes of every one of them."""
    near: list[float] = []
    for point in points:
        near += sorted(abs(off.value) for off in point.marks.values())[:2]
    return span_for(near, unit)


def sizes_ruler(point: SizesAtPoint, unit: Unit, span_mm: float, best: str | None = None) -> str:
    """The ruler of one point: a row per size on the one axis, its interval, and its name at the value.

    best  the size that is advised: its mark is filled

    A size off the axis is not drawn; a line of words below the ruler names it (``SizesAtPoint.beyond``).
    """
    axis = axis_of(span_mm, unit)
    marks = {name: off for name, off in point.marks.items() if abs(off.value) <= span_mm}
    base = TOP + ROW * len(marks)
    parts = [
        allowed_parts(axis, point.allowed_smaller_mm, point.allowed_larger_mm, (TOP, base), ("", "")),
        wanted_parts(axis, (TOP, base)),
        axis_parts(axis, base),
    ]
    for row, (name, off) in enumerate(marks.items()):
        y = TOP + ROW * (row + 0.5)
        called = size_name(name, LONGEST)
        mark, letters = ("z-best", "z-named") if name == best else ("z-pill", "z-name")
        wide = max(PILL, text_width(called) + INSIDE)
        x = min(max(axis.x(off.value), wide / 2 + 1.0), WIDTH - wide / 2 - 1.0)
        parts.append(interval_parts(axis, off.low, off.high, y))
        parts.append(pill(SCREEN, mark, x, y, wide, PILL))
        parts.append(text(SCREEN, letters, x, y + 4.3, called, "middle"))
    return drawing("sizes-ruler", WIDTH, base + FOOT, parts)
