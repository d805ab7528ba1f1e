"""Stitch width against dial: what was knitted, what is predicted, what is wanted, and every click between."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from fitcheck.advice.fabric.shapes import ClickReport, FabricAnswer, WantedGauge
from fitcheck.drawing.look import SCREEN, WIDTH
from fitcheck.drawing.rows import Scale, scale_for
from fitcheck.drawing.svg import circle, drawing, n, path, polyline, rect, text
from fitcheck.records.frozen import frozen
from fitcheck.records.lengths import FOUR_INCHES_MM
from fitcheck.words import Mark, Unit

LEFT, RIGHT = 40.0, WIDTH - 8.0
TOP, BASE = 20.0, 190.0
BEYOND = 1.0
"""How far beyond what was knitted and the best click the band is drawn [dial numbers]."""


@frozen
class WidthAtDial:
    """Stitch width and interval [mm] at a dial: of a blocked swatch or piece, or of the next piece at a click."""

    dial: float
    value: float
    low: float
    high: float
    piece: bool = False


@frozen
class DialChart:
    """What the drawing shows.

    wanted  (stitch width, allowed on either side) [mm], None where none is wanted
    best    dial of the click that is advised
    """

    knitted: tuple[WidthAtDial, ...]
    clicks: tuple[WidthAtDial, ...]
    wanted: tuple[float, float] | None = None
    best: float | None = None


def chart_of(answer: FabricAnswer) -> DialChart | None:
    """The chart of a fabric's answer; None without a click to draw."""
    clicks = answer.dials.clicks
    if not clicks:
        return None
    place = {click.dial: click.position for click in clicks}
    knitted = [
        WidthAtDial(place[specimen.dial], gauge.size.value, gauge.size.low, gauge.size.high, specimen.piece)
        for specimen in answer.pooled
        for gauge in specimen.gauges
        if gauge.stage == "blocked" and gauge.direction == "across" and specimen.dial in place
    ]
    best = answer.dials.best
    best_at = best.position if isinstance(best, ClickReport) else None
    about = [specimen.dial for specimen in knitted] + ([best_at] if best_at is not None else [])
    low, high = (min(about) - BEYOND, max(about) + BEYOND) if about else (clicks[0].position, clicks[-1].position)
    shown = [
        WidthAtDial(click.position, click.across.size.value, click.across.size.low, click.across.size.high)
        for click in clicks
        if low - 1e-9 <= click.position <= high + 1e-9
    ]
    wanted = answer.dials.wanted
    level = (wanted.stitch_mm, wanted.tolerance_mm) if isinstance(wanted, WantedGauge) else None
    return DialChart(tuple(knitted), tuple(shown), level, best_at)


def dial_line(chart: DialChart, label: str, *, unit: Unit = "cm", ids: str = "dl", mark: Mark = ".") -> str:
    """Draw a chart: band and line of the next piece, what was knitted with intervals, the wanted level, clicks.

    label  what it shows, one sentence;  ids: prefix of its ids;  mark: decimal mark
    unit   in inches the same heights are told as stitches in 4 in, as gauge is: 101.6 mm over the stitch width
    """
    if not chart.clicks:
        return ""
    across, up = _scales(chart)

    def x(dial: float) -> float:
        return across.x(dial, LEFT + 8.0, RIGHT - 8.0)

    def y(mm: float) -> float:
        return up.x(mm, BASE, TOP)

    parts = []
    ticks = _stitches_in_4in(up) if unit == "in" else [(tick, f"{tick:.6g}".replace(".", mark)) for tick in up.ticks()]
    parts.append(path(SCREEN, "q2", "".join(f"M{n(LEFT)} {n(y(tick))}H{n(RIGHT)}" for tick, _ in ticks)))
    edge = [(x(click.dial), y(click.high)) for click in chart.clicks]
    edge += [(x(click.dial), y(click.low)) for click in reversed(chart.clicks)]
    parts.append(path(SCREEN, "p-band", f"{polyline(edge)}Z"))
    parts.append(path(SCREEN, "p-line", polyline([(x(click.dial), y(click.value)) for click in chart.clicks])))
    if chart.wanted is not None:
        parts.append(_wanted(chart.wanted, y))
    best = next((click for click in chart.clicks if click.dial == chart.best), None)
    if best is not None:
        parts.append(path(SCREEN, "t-line", f"M{n(x(best.dial))} {n(y(best.value))}V{n(BASE)}"))
        parts.append(path(SCREEN, "r-wantm", f"M{n(x(best.dial) - 5)} {n(BASE - 9)}h10l-5 8Z"))
    for knitted in chart.knitted:
        at, low, high = x(knitted.dial), y(knitted.low), y(knitted.high)
        parts.append(
            path(SCREEN, "r-intend", f"M{n(at)} {n(high)}V{n(low)}M{n(at - 4)} {n(high)}h8M{n(at - 4)} {n(low)}h8")
        )
        if knitted.piece:
            parts.append(rect(SCREEN, "r-dot", at - 4.5, y(knitted.value) - 4.5, 9.0, 9.0))
        else:
            parts.append(circle(SCREEN, "r-dot", at, y(knitted.value), 4.5))
    parts.append(_edges(chart, ticks, x, y, "stitches to 4 in" if unit == "in" else "mm per stitch"))
    return drawing("dial-line", WIDTH, BASE + 42.0, parts, label=label, ids=ids)


def _scales(chart: DialChart) -> tuple[Scale, Scale]:
    dials = [click.dial for click in chart.clicks] + [click.dial for click in chart.knitted]
    low, high = min(dials), max(dials)
    if high - low < 1.0:
        low, high = low - 0.5, high + 0.5
    sizes = [click.value for click in chart.clicks]
    for knitted in chart.knitted:
        sizes += [knitted.low, knitted.high]
    if chart.wanted is not None:
        sizes += [chart.wanted[0] - chart.wanted[1], chart.wanted[0] + chart.wanted[1]]
    # The band may be very wide where little is known: it sets the axis only up to its own middle half.
    spread = max(sizes) - min(sizes)
    sizes += [max(click.low, min(sizes) - spread / 2) for click in chart.clicks]
    sizes += [min(click.high, max(sizes) + spread / 2) for click in chart.clicks]
    return Scale(low, high, 1.0), scale_for(sizes, most=7)


def _stitches_in_4in(up: Scale) -> list[tuple[float, str]]:
    """Whole counts of stitches in 4 in on an axis of stitch widths [mm], each where its stitch width lies."""
    least, most = math.ceil(FOUR_INCHES_MM / up.high - 1e-9), math.floor(FOUR_INCHES_MM / up.low + 1e-9)
    step = next((step for step in (1, 2, 5, 10) if (most - least) / step <= 7), 20)
    counts = range(-(-least // step) * step, most + 1, step)
    return [(FOUR_INCHES_MM / count, str(count)) for count in counts if count]


def _wanted(wanted: tuple[float, float], y: Callable[[float], float]) -> str:
    size, tolerance = wanted
    top, bottom = y(size + tolerance), y(size - tolerance)
    brackets = "".join(
        f"M{n(at + foot)} {n(top)}H{n(at)}V{n(bottom)}H{n(at + foot)}" for at, foot in ((LEFT + 2, 5), (RIGHT - 2, -5))
    )
    return path(SCREEN, "r-br", brackets) + path(SCREEN, "o-ref", f"M{n(LEFT)} {n(y(size))}H{n(RIGHT)}")


def _edges(
    chart: DialChart,
    ticks: Sequence[tuple[float, str]],
    x: Callable[[float], float],
    y: Callable[[float], float],
    side: str,
) -> str:
    whole = sorted({round(click.dial) for click in chart.clicks if abs(click.dial - round(click.dial)) < 1e-6})
    parts = [path(SCREEN, "r-edge", f"M{n(LEFT)} {n(BASE)}H{n(RIGHT)}M{n(LEFT)} {n(TOP)}V{n(BASE)}")]
    clicks = "".join(
        f"M{n(x(click.dial))} {n(BASE)}v{9 if abs(click.dial - round(click.dial)) < 1e-6 else 4}"
        for click in chart.clicks
    )
    parts.append(path(SCREEN, "r-cm", clicks))
    every = 1
    while len(whole) / every > 12:
        every += 1
    parts += [text(SCREEN, "r-num", x(dial), BASE + 22.0, str(dial), "middle") for dial in whole[::every]]
    parts += [text(SCREEN, "r-num", LEFT - 5.0, y(tick) + 4.2, word, "end") for tick, word in ticks]
    parts.append(text(SCREEN, "r-side", 2.0, 11.0, side))
    parts.append(text(SCREEN, "r-side", RIGHT, BASE + 38.0, "dial", "end"))
    return "".join(parts)
