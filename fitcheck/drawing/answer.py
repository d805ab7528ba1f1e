"""The answer's figures drawn: a chance as the teeth of a tape, work as the dark part of the piece on its side."""

from __future__ import annotations

from bisect import bisect
from collections.abc import Sequence
from itertools import pairwise

from fitcheck.drawing.laid import lay
from fitcheck.drawing.look import PAGE
from fitcheck.drawing.outline import Outline, flat
from fitcheck.drawing.svg import Point, drawing, n, path
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.points import BODY
from fitcheck.reports.shapes import Report
from fitcheck.words.figures import HARDLY

TEETH = 20
"""Sweaters that a chance is shown of: one tooth each."""
WIDE, TEETH_HIGH, WORK_HIGH = 160.0, 22.0, 46.0
"""Sizes of the two drawings [units]."""
LONG, HIGH, MIDDLE = 158.0, 34.0, 19.0
"""Length and height of the piece on its side, and the line of its middle [units]."""
CUTS = 40
"""Places along the piece at which its width is taken."""
BENT = 0.005
"""Change of slope from place to place that shows, over a length as from one to the next [units]."""


def teeth_of(chance: float) -> int:
    """How many of twenty sweaters fit: none where the words say "less than 1 in 20", and never all of them."""
    return 0 if chance < HARDLY else min(TEETH - 1, max(1, int(TEETH * chance + 0.5)))


def teeth(chance: float) -> str:
    """A chance [1] as the teeth of a tape: the long, full ones are the sweaters that fit."""
    fit, step = teeth_of(chance), WIDE / TEETH
    long = "".join(f"M{n(1.5 + step * place)} 4h5v17h-5z" for place in range(fit))
    short = "".join(f"M{n(2.0 + step * place)} 13.5h4v7.5h-4z" for place in range(fit, TEETH))
    parts = [path(PAGE, "c-edge", f"M0 21.5H{n(WIDE)}"), path(PAGE, "c-off", short)]
    parts += [path(PAGE, "c-on", long)] if fit else []
    return drawing("of20", WIDE, TEETH_HIGH, parts, look=PAGE)


def work_bar(report: Report, work: float, *, from_top: bool, construction: str) -> str:
    """The piece on its side, as long as its rows and as high as it is wide, the hem at the left; the work is dark.

    work      what is to be done [works of a back]
    from_top  the dark part begins at the shoulders: what is ripped; else at the hem
    """
    edge = _edge(report, construction)
    at = cut_at(edge, min(1.0, work), from_top=from_top)
    upper = [f"{x:.3g} {MIDDLE - high / 2:.3g}" for x, high in edge]
    lower = [f"{x:.3g} {MIDDLE + high / 2:.3g}" for x, high in reversed(edge)]
    line = f"M{' '.join(upper)}L{' '.join(lower)}Z"
    left, right = (at, WIDE) if from_top else (0.0, at)
    ticks = "".join(f"M{n(1.0 + LONG * place / 20)} 40v{5 if place % 10 == 0 else 3}" for place in range(21))
    parts = [
        f'<defs><path id="wk-p" d="{line}"/></defs>',
        f'<clipPath id="wk-c"><rect x="{n(left)}" y="0" width="{n(right - left)}" height="40"/></clipPath>',
        f'<use href="#wk-p"{PAGE["w-done"]} clip-path="url(#wk-c)"/><use href="#wk-p"{PAGE["w-out"]}/>',
        path(PAGE, "w-tick", ticks),
    ]
    return drawing("work", WIDE, WORK_HIGH, parts, look=PAGE)


def cut_at(edge: Sequence[Point], share: float, *, from_top: bool) -> float:
    """Where a piece on its side is cut so that a share [1] of its area lies before the cut, or behind it [units].

    edge  places along it, each with how high it is there [units]
    """
    wanted = 1 - share if from_top else share
    area = [0.0]
    for (x1, high1), (x2, high2) in pairwise(edge):
        area.append(area[-1] + (x2 - x1) * (high1 + high2) / 2)
    goal = wanted * area[-1]
    place = min(max(1, bisect(area, goal)), len(edge) - 1)
    (x1, high1), (x2, high2) = edge[place - 1], edge[place]
    left = goal - area[place - 1]
    slope = (high2 - high1) / (x2 - x1)
    # high1 d + slope d^2 / 2 = left
    d = left / high1 if abs(slope) < 1e-9 else ((high1**2 + 2 * slope * left) ** 0.5 - high1) / slope
    return x1 + d


def _edge(report: Report, construction: str) -> list[Point]:
    """Places along the piece from its hem to its shoulders, each with its height on its side [units].

    Work is told in works of a back, so a sleeve or a panel, and a piece without an outline, stand in as a plain back.
    """
    laid = lay(report, construction=construction) if report.head.piece_kind in BODY else None
    if laid is None or isinstance(laid, CannotSay) or not laid.piece.mirrored:
        return [(1.0, HIGH), (1.0 + LONG, HIGH)]
    outline = laid.piece
    half = outline.half_mm
    points = [point for stretch in outline.stretches for point in flat(stretch, 16)]
    steps = [place / CUTS for place in range(CUTS + 1)]
    every = [(1.0 + LONG * step, HIGH * _half_at(outline, points, 1 - step) / half) for step in steps]
    # Between two places where it bends an edge is straight.
    bends = [at for at in range(1, CUTS) if abs(every[at - 1][1] - 2 * every[at][1] + every[at + 1][1]) > BENT]
    return [every[at] for at in (0, *bends, CUTS)]


def _half_at(outline: Outline, points: Sequence[Point], down: float) -> float:
    """Half width of an outline at a share of its length from the top [mm]."""
    # Just inside either end, where the outline's own level lines are.
    y = min(max(outline.length_mm * down, 0.5), outline.length_mm - 1.0)
    half = 0.0
    for (x1, y1), (x2, y2) in pairwise(points):
        if min(y1, y2) <= y <= max(y1, y2) and y1 != y2:
            half = max(half, x1 + (x2 - x1) * (y - y1) / (y2 - y1))
    return half or outline.half_mm
