"""The ruler of a point: what is allowed, what was measured, on one axis of difference; and its small sign.

All rulers of a page have one axis. Box 288 x 62: band 12 to 36, brackets with feet inward, the wanted value as a
line and a triangle at the top, the tape's edge at 36.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fitcheck.drawing.look import PAGE, SCREEN, WIDTH, Look
from fitcheck.drawing.svg import drawing, n, path, rect, text, text_width
from fitcheck.records.frozen import frozen
from fitcheck.records.lengths import INCH_MM, write_bare
from fitcheck.reports.shapes import PointReport
from fitcheck.words import Unit

BASE, TOP, MIDDLE = 36.0, 12.0, 24.0
EDGE = 132.0
"""Half of the axis [units]."""


@frozen
class Axis:
    """An axis of difference: its ticks and figures [mm]."""

    span: float
    unit: Unit
    fine: float
    middle: float
    coarse: float
    figures: float

    def x(self, mm: float) -> float:
        """Place of a difference [units]."""
        return WIDTH / 2 + EDGE * mm / self.span


def span_of(points: Iterable[PointReport], unit: Unit = "cm") -> float:
    """Half of the axis that all rulers of a page share [mm]: 2 cm (1 in), doubled until every reading is on it."""
    return span_for((point.difference.value for point in points), unit)


def span_for(differences: Iterable[float], unit: Unit = "cm") -> float:
    """Half of an axis that holds the differences [mm]: 2, 4, 8 ... cm (1, 2, 4 ... in)."""
    largest = max((abs(difference) for difference in differences), default=0.0)
    span = INCH_MM if unit == "in" else 20.0
    while largest > span:
        span *= 2
    return span


def axis_of(span_mm: float, unit: Unit) -> Axis:
    """Ticks and figures of an axis from -span to +span, the ticks of a tape as far as they can be told apart."""
    if unit == "in":
        steps = [
            (INCH_MM / 8, INCH_MM / 2, INCH_MM),
            (INCH_MM / 2, INCH_MM, 2 * INCH_MM),
            (INCH_MM, 2 * INCH_MM, 4 * INCH_MM),
        ]
        figures = INCH_MM / 2
    else:
        steps = [(1.0, 5.0, 10.0), (5.0, 10.0, 20.0), (10.0, 20.0, 40.0)]
        figures = 10.0
    smallest = 3.0 * span_mm / EDGE
    fine, middle, coarse = next((ticks for ticks in steps if ticks[0] >= smallest), steps[-1])
    while EDGE * figures / span_mm < _room(span_mm, figures, unit):
        figures *= 2
    return Axis(span_mm, unit, fine, middle, coarse, figures)


def _room(span_mm: float, figures_mm: float, unit: Unit) -> float:
    """What the figures of an axis need from one to the next [units]; the outermost move inside the drawing."""
    places = range(1, round(span_mm / figures_mm) + 1)
    widest = max((text_width(_figure(-place * figures_mm, unit)) for place in places), default=0.0)
    return widest + 5.0 + max(0.0, widest / 2 - (WIDTH / 2 - EDGE))


def axis_parts(axis: Axis, base: float, *, look: Look = SCREEN) -> str:
    """The tape's edge with its ticks and figures; base: where it lies [units]."""
    left, right = axis.x(-axis.span), axis.x(axis.span)
    ticks: dict[str, list[str]] = {"r-mm": [], "r-half": [], "r-cm": []}
    count = round(axis.span / axis.fine)
    middle, coarse = round(axis.middle / axis.fine), round(axis.coarse / axis.fine)
    for place in range(-count, count + 1):
        name, long = ("r-cm", 9) if place % coarse == 0 else ("r-half", 6.5) if place % middle == 0 else ("r-mm", 4)
        ticks[name].append(f"M{n(axis.x(place * axis.fine))} {n(base)}v{long}")
    parts = [path(look, "r-edge", f"M{n(left)} {n(base)}H{n(right)}")]
    parts += [path(look, name, "".join(d)) for name, d in ticks.items() if d]
    shown = round(axis.span / axis.figures)
    for place in range(-shown, shown + 1):
        mm = place * axis.figures
        word = _figure(mm, axis.unit)
        # The outermost figures keep inside the drawing.
        room = text_width(word) / 2
        x = min(max(axis.x(mm), room + 0.5), WIDTH - room - 0.5)
        parts.append(text(look, "r-num", x, base + 22, word, "middle"))
    return "".join(parts)


def _figure(mm: float, unit: Unit) -> str:
    return write_bare(mm, unit, signed=True).removesuffix(".0")


def ruler(point: PointReport, unit: Unit, span_mm: float, *, wide: int | None = None) -> str:
    """The ruler of one point.

    span_mm  half of the axis, one for all rulers of a page (``span_of``)
    """
    axis = axis_of(span_mm, unit)
    parts = _ruler_parts(point, axis, _shared_parts(axis, SCREEN), SCREEN)
    return drawing("ruler", WIDTH, 62.0, [parts], look=SCREEN, wide=wide)


def rulers(points: Sequence[PointReport], unit: Unit, span_mm: float, *, ids: str) -> list[str]:
    """The rulers of a page: the axis that they share is drawn in the first, and the others refer to it.

    ids  name of the axis, one of its own on a page
    """
    axis = axis_of(span_mm, unit)
    drawn, same = f'<g class="axis" id="{ids}">{_shared_parts(axis, PAGE)}</g>', f'<use href="#{ids}"/>'
    return [
        drawing("ruler", WIDTH, 62.0, [_ruler_parts(point, axis, same if place else drawn, PAGE)], look=PAGE)
        for place, point in enumerate(points)
    ]


def _shared_parts(axis: Axis, look: Look) -> str:
    """What the rulers of a page have alike: the wanted value and the axis."""
    return wanted_parts(axis, (TOP, BASE), look=look) + axis_parts(axis, BASE, look=look)


def _ruler_parts(point: PointReport, axis: Axis, shared: str, look: Look) -> str:
    """What stands inside a ruler's box; shared: what all of its page have alike, drawn."""
    span_mm = axis.span
    sides = ("narrower", "wider") if point.direction == "across" else ("shorter", "longer")
    parts = [
        allowed_parts(axis, point.allowed_smaller_mm, point.allowed_larger_mm, (TOP, BASE), sides, look=look),
        shared,
        side_words(sides, 11.0, look=look),
    ]
    if point.code == "held_at":
        parts.append(path(look, "r-dash", f"M{n(axis.x(-span_mm))} {n(MIDDLE)}H{n(axis.x(span_mm))}"))
        return "".join(parts)
    d = point.difference
    parts.append(interval_parts(axis, d.low, d.high, MIDDLE, look=look))
    parts.append(mark(point.code, axis.x(min(max(d.value, -span_mm), span_mm)), MIDDLE, d.value, look=look))
    return "".join(parts)


def side_words(sides: Sequence[str], y: float, *, look: Look = SCREEN) -> str:
    """The words at the two ends of an axis, their line at y [units]."""
    return text(look, "r-side", 2.0, y, sides[0]) + text(look, "r-side", WIDTH - 2.0, y, sides[1], "end")


def allowed_parts(
    axis: Axis,
    smaller_mm: float | None,
    larger_mm: float | None,
    rows: tuple[float, float],
    sides: Sequence[str],
    *,
    look: Look = SCREEN,
) -> str:
    """Band and brackets of what is allowed. None: any amount, so no bracket."""
    top, base = rows
    low = -axis.span if smaller_mm is None else max(-smaller_mm, -axis.span)
    high = axis.span if larger_mm is None else min(larger_mm, axis.span)
    x1, x2 = axis.x(low), axis.x(high)
    parts = [rect(look, "r-band", x1, top, x2 - x1, base - top)]
    words = (2.0 + text_width(sides[0]), WIDTH - 2.0 - text_width(sides[1]))
    brackets = ""
    for x, feet, limit in ((x1, 5.0, smaller_mm), (x2, -5.0, larger_mm)):
        if limit is None or limit > axis.span:
            continue
        # A bracket under a word begins below it.
        under_word = x < words[0] or x > words[1]
        start = top + 3.5 if under_word else top - 3.0
        brackets += f"M{n(x + feet)} {n(start)}H{n(x)}V{n(base)}"
    return "".join([*parts, path(look, "r-br", brackets) if brackets else ""])


def wanted_parts(axis: Axis, rows: tuple[float, float], *, look: Look = SCREEN) -> str:
    """The wanted value: a line with a triangle over it."""
    top, base = rows
    centre = axis.x(0.0)
    return path(look, "r-want", f"M{n(centre)} {n(top)}V{n(base)}") + path(
        look, "r-wantm", f"M{n(centre - 4.5)} {n(top - 8)}H{n(centre + 4.5)}L{n(centre)} {n(top - 1)}Z"
    )


def interval_parts(axis: Axis, low: float, high: float, y: float, *, look: Look = SCREEN) -> str:
    """The bar of an interval [mm] at y [units] with its end stops; an end outside the axis becomes an arrow head."""
    inside_low, inside_high = max(low, -axis.span), min(high, axis.span)
    if inside_low > inside_high:
        edge = axis.x(axis.span if low > axis.span else -axis.span)
        return _arrow(edge, y, 1.0 if low > axis.span else -1.0, look)
    x1, x2 = axis.x(inside_low), axis.x(inside_high)
    parts = [rect(look, "r-int", x1, y - 2.5, x2 - x1, 5.0)]
    stops = ""
    for x, out, way in ((x1, low < -axis.span, -1.0), (x2, high > axis.span, 1.0)):
        if out:
            parts.append(_arrow(x, y, way, look))
        else:
            stops += f"M{n(x)} {n(y - 5.5)}v11"
    return "".join([*parts, path(look, "r-intend", stops) if stops else ""])


def _arrow(x: float, y: float, way: float, look: Look) -> str:
    return path(look, "r-int", f"M{n(x)} {n(y - 6)}v12l{n(9 * way)} -6Z")


def mark(code: str, x: float, y: float, difference: float, *, look: Look = SCREEN) -> str:
    """The mark of a verdict at x, y [units]: disc: matches, triangle: differs, ring: too close.

    difference  by whose sign the triangle points [mm]
    """
    if code == "matches":
        return f'<circle{look["r-dot"]} cx="{n(x)}" cy="{n(y)}" r="6"/>'
    if code == "differs":
        way = -1.0 if difference < 0 else 1.0
        return path(look, "r-dot", f"M{n(x - 6 * way)} {n(y - 7.5)}v15L{n(x + 8 * way)} {n(y)}Z")
    if code in ("too_close", "on_the_line"):
        return f'<circle{look["r-ring"]} cx="{n(x)}" cy="{n(y)}" r="6"/>'
    return ""


def zone_sign(code: str, difference: float = 0.0, *, look: Look = SCREEN) -> str:
    """The sign of a verdict, 40 x 20: the ruler made small. Its word always stands beside it.

    code        matches, differs, too_close, on_the_line, not_measured; anything else cannot be said
    difference  piece less wanted [mm]: its sign says on which side the mark stands
    """
    return drawing("zone", 40.0, 20.0, [zone_parts(code, difference, look=look)], look=look, sized=True)


def zone_parts(code: str, difference: float, *, look: Look = SCREEN) -> str:
    """What stands inside a sign's box; difference: by whose sign the mark lies [mm]."""
    parts = [path(look, "g-edge", "M3 17.5H37"), path(look, "g-br", "M17 2.5h-4v15m10-15h4v15")]
    smaller = difference < 0
    if code == "matches":
        parts.append(f'<circle{look["g-fill"]} cx="20" cy="10" r="4"/>')
    elif code == "differs":
        parts.append(path(look, "g-fill", "M9.5 4.8V15.2L2 10Z" if smaller else "M30.5 4.8V15.2L38 10Z"))
    elif code in ("too_close", "on_the_line"):
        parts.append(f'<circle{look["g-ring"]} cx="{13 if smaller else 27}" cy="10" r="4.2"/>')
    elif code != "not_measured":
        parts.append(path(look, "g-dash", "M3 10H37"))
    return "".join(parts)
