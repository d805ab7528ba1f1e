"""Which size: a ruler per point with a mark per size, the sizes as figures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fitcheck.advice.sizes_answers import SizesAnswer
from fitcheck.drawing.labels import push_apart
from fitcheck.drawing.look import SCREEN, WIDTH, Look
from fitcheck.drawing.rulers import allowed_parts, axis_of, axis_parts, interval_parts, side_words, span_for
from fitcheck.drawing.svg import circle, drawing, path, polyline, text
from fitcheck.estimates.numbers import CannotSay
from fitcheck.words import Unit

DISC, GAP = 9.0, 20.0
TOP, BASE = 32.0, 62.0
HEIGHT = 104.0


@dataclass(frozen=True, slots=True)
class SizeMark:
    """One size at one point: its figure, and finished less wanted with its interval [mm]."""

    figure: int
    difference: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class SizesAtPoint:
    """One point: what is allowed [mm], None = any, and a mark per size."""

    key: str
    allowed_smaller_mm: float | None
    allowed_larger_mm: float | None
    marks: tuple[SizeMark, ...]


def sizes_at_points(answer: SizesAnswer) -> list[SizesAtPoint]:
    """Every width with a known difference, sizes as the figures 1, 2, 3 ... in the table's order."""
    found: dict[str, list[SizeMark]] = {}
    allowed: dict[str, tuple[float | None, float | None]] = {}
    for place, size in enumerate(answer.sizes, start=1):
        for width in size.widths:
            d = width.difference
            if isinstance(d, CannotSay):
                continue
            found.setdefault(width.key, []).append(SizeMark(place, d.value, d.low, d.high))
            allowed.setdefault(width.key, (width.allowed_smaller_mm, width.allowed_larger_mm))
    return [SizesAtPoint(key, *allowed[key], tuple(marks)) for key, marks in found.items()]


def sizes_span(points: Sequence[SizesAtPoint], unit: Unit = "cm") -> float:
    """Half of the axis for all points [mm]: it holds the two nearest sizes of every one of them."""
    near: list[float] = []
    for point in points:
        near += sorted(abs(one.difference) for one in point.marks)[:2]
    return span_for(near, unit)


def sizes_ruler(point: SizesAtPoint, unit: Unit, span_mm: float, *, look: Look = SCREEN) -> str:
    """The ruler of one point: sizes as figures in keys above, each with its interval on the axis.

    A size outside the axis has its key at the end and an arrow head instead of an interval.
    """
    axis = axis_of(span_mm, unit)
    sides = ("narrower", "wider")
    parts = [
        allowed_parts(axis, point.allowed_smaller_mm, point.allowed_larger_mm, (TOP + 6, BASE), ("", ""), look=look),
        axis_parts(axis, BASE, look=look),
        side_words(sides, HEIGHT - 4.0, look=look),
    ]
    true = [axis.x(min(max(one.difference, -span_mm), span_mm)) for one in point.marks]
    room = (WIDTH - 2 * DISC - 4.0) / max(len(point.marks) - 1, 1)
    keys = push_apart(true, min(GAP, room), DISC + 2.0, WIDTH - DISC - 2.0)
    rows = (46.0, 52.0, 40.0)
    for place, (mark, x, key) in enumerate(zip(point.marks, true, keys, strict=True)):
        y = rows[place % len(rows)]
        inside = -span_mm <= mark.difference <= span_mm
        parts.append(path(look, "t-lead", polyline([(key, 11.0), (key, 22.0), (x, 30.0), (x, y)])))
        if inside:
            parts.append(interval_parts(axis, mark.low, mark.high, y, look=look))
            parts.append(circle(look, "r-dot", x, y, 4.0))
        else:
            way = span_mm if mark.difference > 0 else -span_mm
            parts.append(interval_parts(axis, 2 * way, 2 * way, y, look=look))
        parts.append(circle(look, "t-key", key, 11.0, DISC))
        parts.append(text(look, "t-keyn", key, 15.2, str(mark.figure), "middle"))
    return drawing("sizes-ruler", WIDTH, HEIGHT, parts)
