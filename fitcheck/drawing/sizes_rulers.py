"""Which size: a ruler per point with a mark per size, the sizes as figures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fitcheck.advice.sizes.answers import SizesAnswer
from fitcheck.drawing.look import SCREEN, WIDTH
from fitcheck.drawing.rulers import allowed_parts, axis_of, axis_parts, interval_parts, side_words, span_for
from fitcheck.drawing.svg import circle, drawing, text
from fitcheck.estimates.numbers import CannotSay, Quantity
from fitcheck.words import Unit

DISC, ROW = 9.0, 20.0
TOP = 12.0
FOOT = 42.0
"""What the figures of the axis and its two words take below the rows [units]."""
AWAY = 16.0
"""From the end of an interval to the middle of its key [units]."""


@dataclass(frozen=True, slots=True)
class SizesAtPoint:
    """One point: what is allowed [mm], None = any, and by the figure of each size finished less wanted [mm]."""

    key: str
    allowed_smaller_mm: float | None
    allowed_larger_mm: float | None
    marks: Mapping[int, Quantity]


def sizes_at_points(answer: SizesAnswer) -> list[SizesAtPoint]:
    """Every width with a known difference, sizes as the figures 1, 2, 3 ... in the table's order."""
    marks_at: dict[str, dict[int, Quantity]] = {}
    allowed: dict[str, tuple[float | None, float | None]] = {}
    for place, size in enumerate(answer.sizes, start=1):
        for width in size.widths:
            if isinstance(width.difference, CannotSay):
                continue
            marks_at.setdefault(width.key, {})[place] = width.difference
            allowed.setdefault(width.key, (width.allowed_smaller_mm, width.allowed_larger_mm))
    return [SizesAtPoint(key, *allowed[key], marks) for key, marks in marks_at.items()]


def sizes_span(points: Sequence[SizesAtPoint], unit: Unit = "cm") -> float:
    """Half of the axis for all points [mm]: it holds the two nearest sizes of every one of them."""
    near: list[float] = []
    for point in points:
        near += sorted(abs(off.value) for off in point.marks.values())[:2]
    return span_for(near, unit)


def sizes_ruler(point: SizesAtPoint, unit: Unit, span_mm: float) -> str:
    """The ruler of one point: a row per size with its interval on the one axis, and its figure in a key beside it.

    A size outside the axis has an arrow head at the end instead of an interval.
    """
    axis = axis_of(span_mm, unit)
    base = TOP + ROW * len(point.marks)
    height = base + FOOT
    parts = [
        allowed_parts(axis, point.allowed_smaller_mm, point.allowed_larger_mm, (TOP, base), ("", "")),
        axis_parts(axis, base),
        side_words(("narrower", "wider"), height - 4.0),
    ]
    for place, (figure, off) in enumerate(point.marks.items()):
        y = TOP + ROW * (place + 0.5)
        inside = -span_mm <= off.value <= span_mm
        way = span_mm if off.value > 0 else -span_mm
        low, high = (off.low, off.high) if inside else (2 * way, 2 * way)
        parts.append(interval_parts(axis, low, high, y))
        if inside:
            parts.append(circle(SCREEN, "r-dot", axis.x(off.value), y, 4.0))
        ends = (axis.x(max(low, -span_mm)), axis.x(min(high, span_mm))) if inside else (axis.x(way),) * 2
        key = _beside(ends)
        parts.append(circle(SCREEN, "t-key", key, y, DISC))
        parts.append(text(SCREEN, "t-keyn", key, y + 4.2, str(figure), "middle"))
    return drawing("sizes-ruler", WIDTH, height, parts)


def _beside(ends: tuple[float, float]) -> float:
    """Where a key stands beside an interval [units]: on the side away from what is wanted, where there is room."""
    left, right = ends
    outside, inside = (left - AWAY, right + AWAY) if left + right < WIDTH else (right + AWAY, left - AWAY)
    return outside if DISC + 2.0 <= outside <= WIDTH - DISC - 2.0 else inside
