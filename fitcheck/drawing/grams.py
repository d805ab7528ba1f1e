"""The yarn on a ruler of grams: what is on hand as shade with a bracket at its end, the need as interval and dot."""

from __future__ import annotations

import math
from collections.abc import Sequence

from fitcheck.advice.to_come.yarn_left import YarnLeft
from fitcheck.drawing.look import PAGE, WIDTH
from fitcheck.drawing.svg import drawing, n, path, rect, text, text_width

LEFT, RIGHT = 14.0, 274.0
TOP, BASE, MIDDLE = 16.0, 46.0, 31.0
STEPS = (5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000)
"""Grams from figure to figure."""
MOST_FIGURES = 6
FINE = 3.5
"""Ticks are no closer than this [units]."""


def gram_ruler(yarn: YarnLeft, label: str, on_hand: str) -> str:
    """The ruler of one yarn.

    label    what it shows, in a sentence;  on_hand: the words at the bracket; empty where nobody said what is there
    """
    known = [yarn.low, yarn.high, *([yarn.hand] if yarn.hand is not None else [])]
    step = next((each for each in STEPS if _figures(known, each) <= MOST_FIGURES), STEPS[-1])
    first, last = _ends(known, step)

    def x(grams: float) -> float:
        return LEFT + (RIGHT - LEFT) * (grams - first) / (last - first)

    parts = []
    if yarn.hand is not None:
        end = x(yarn.hand)
        parts += [
            rect(PAGE, "r-band", LEFT, TOP, max(0.0, end - LEFT), BASE - TOP),
            path(PAGE, "r-br", f"M{n(end - 5)} {n(TOP)}H{n(end)}V{n(BASE)}"),
            _word(on_hand, end),
        ]
    parts.append(path(PAGE, "r-edge", f"M{n(LEFT)} {n(BASE)}H{n(RIGHT)}"))
    fine = next(each for each in (10, 5, 2, 1) if (x(first + step) - LEFT) / each >= FINE)
    count = round((last - first) / step) * fine
    ticks = [x(first + at * step / fine) for at in range(count + 1)]
    d = "".join(f"M{n(at)} {n(BASE)}v{-4 if place % fine else -9}" for place, at in enumerate(ticks))
    parts.append(path(PAGE, "r-mm", d))
    low, high = x(yarn.low), x(yarn.high)
    parts.append(rect(PAGE, "r-int", low, MIDDLE - 2.5, high - low, 5.0))
    parts.append(path(PAGE, "r-intend", f"M{n(low)} {n(MIDDLE - 6)}v12M{n(high)} {n(MIDDLE - 6)}v12"))
    parts.append(f'<circle{PAGE["r-dot"]} cx="{n(x(yarn.need))}" cy="{n(MIDDLE)}" r="6"/>')
    for figure in range(first, last + 1, step):
        parts.append(text(PAGE, "r-num", x(figure), BASE + 15, str(figure), "middle"))
    return drawing("ruler gram", WIDTH, 66.0, parts, label=label, ids="grams", look=PAGE)


def _ends(grams: Sequence[float], step: int) -> tuple[int, int]:
    """The first and the last figure of an axis: whole steps, with a quarter of one before what is least."""
    first = max(0, step * math.floor(min(grams) / step - 0.25))
    return first, max(first + step, step * math.ceil(max(grams) / step))


def _figures(grams: Sequence[float], step: int) -> int:
    """How many figures an axis of a step has."""
    first, last = _ends(grams, step)
    return (last - first) // step + 1


def _word(told: str, at: float) -> str:
    """The words over the bracket, inside the drawing."""
    half = text_width(told) / 2
    return text(PAGE, "r-side", min(max(at, half + 1.0), WIDTH - half - 1.0), 11.0, told, "middle")
