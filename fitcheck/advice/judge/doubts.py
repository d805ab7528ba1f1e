"""The one thing to count or to answer that separates what may explain a piece best."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from statistics import median
from typing import Literal

from fitcheck.advice.judge.explanation import WORTH_COUNTING, DirectionExplanation, Explanation, Suspect
from fitcheck.advice.judge.points import PiecePoint
from fitcheck.estimates.piece import LOCAL_SD
from fitcheck.records.frozen import frozen

DoubtCode = Literal["felted", "miscount", "another_dial", "out_of_shape"]
"""What is doubted, and so counted, answered, or wetted and read again."""
FELTED_BY, FELTED_BY_PLAN = 0.10, 0.15
"""A piece that is smaller by this share both across and along than its fabric promises, or where nothing was swatched
than it was planned, may have felted; nothing in it tells that from a tighter dial [1] (assumed)."""


@frozen
class Doubt:
    """What one gauge for the whole piece is given up for, and what settles it.

    code      felted: how it was washed; miscount: a count; another_dial: where the dial stood; out_of_shape: how the
              piece lies
    about     point to count; empty otherwise
    stitches  stitches or rows more (minus: fewer) than written there, by the likeliest explanation that moves it
    dial      where the dial would have stood
    smaller   by how much it is smaller both across and along, where it may have felted [1]
    suspects  points whose counts feed nothing until it is settled
    """

    code: DoubtCode
    about: str = ""
    stitches: int = 0
    dial: str | None = None
    smaller: float = 0.0
    suspects: frozenset[str] = frozenset()


def doubt_of(explanation: Explanation) -> Doubt | None:
    """What to count or ask first; None where one gauge has half the weight, or nothing is left that would settle it.

    It is the first point to count of the likeliest explanation that counting or an answer settles. Where the next
    likely moves that point too, and as far, counting it would not tell them apart: then it is the other's first point.
    """
    if explanation.pulled:
        return Doubt("out_of_shape")
    doubted = [
        explained
        for explained in explanation.directions.values()
        if explained.in_doubt and explained.suspects and explained.suspects[0].weight >= WORTH_COUNTING
    ]
    if not doubted:
        return None
    worst = min(doubted, key=lambda explained: explained.weights["one_gauge"])
    first = worst.suspects[0]
    if first.code == "another_dial":
        return Doubt("another_dial", dial=first.dial)
    asked = _rival(first, worst) or first
    leading = [explained.suspects[0] for explained in doubted]
    suspects = frozenset(key for suspect in (*leading, asked) for key in suspect.points)
    return Doubt("miscount", asked.first, asked.stitches, suspects=suspects)


def felted_doubt(smaller: Collection[float], doubt: Doubt | None, *, swatched: bool) -> Doubt | None:
    """The doubt whether a piece felted, before any other; that other one where it is too large for that.

    smaller   of each direction that tells it, by how much it is smaller than was to be expected [1]
    swatched  the fabric says so, and not the plan
    """
    both = min(smaller) if len(smaller) == 2 else 0.0
    if both < (FELTED_BY if swatched else FELTED_BY_PLAN):
        return doubt
    return Doubt("felted", dial=doubt.dial if doubt is not None else None, smaller=both)


def _rival(first: Suspect, told: DirectionExplanation) -> Suspect | None:
    """The next likely explanation where it moves the first point to count as far, and another that tells them apart."""
    rival = told.suspects[1] if len(told.suspects) > 1 else None
    if rival is None or rival.weight < max(WORTH_COUNTING, told.weights["one_gauge"], told.weights["two_gauges"]):
        return None
    alike = first.first in rival.points and abs(rival.stitches - first.stitches) <= 1
    return rival if alike and rival.first not in first.points else None


def uneven_doubt(uneven: Mapping[str, tuple[int, ...]], points: Sequence[PiecePoint]) -> Doubt | None:
    """The likeliest slip in counts that the pattern does not make as they are written; None where none is likely.

    With F what was measured, N what is written down and w the middle stitch of the other widths, each count n that the
    pattern makes instead weighs, against what is written,

        exp(-z(n)^2 / 2),   z(n) = (F / w - n) / hypot(u / w, LOCAL_SD N)

    as likely beforehand as what is written (assumed). Less than `WORTH_COUNTING` is not asked.

    uneven  per point the counts that the pattern makes instead
    """
    across = [point for point in points if point.direction == "across" and point.count and point.measured is not None]
    slips: list[tuple[float, str, int]] = []
    for key, instead in uneven.items():
        point = next((point for point in across if point.key == key), None)
        sizes = [
            other.measured.value / other.count
            for other in across
            if other.key not in uneven and other.count and other.measured is not None
        ]
        if point is None or not point.count or point.measured is None or not sizes:
            continue
        stitch = median(sizes)
        sd = math.hypot(point.measured.u / stitch, LOCAL_SD * point.count)
        counts = (round(point.count), *instead)
        weights = [math.exp(-(((point.measured.value / stitch - count) / sd) ** 2) / 2) for count in counts]
        slips += [
            (weight / math.fsum(weights), key, count - counts[0])
            for count, weight in zip(instead, weights[1:], strict=True)
            if math.fsum(weights) > 0
        ]
    weight, key, stitches = max(slips, default=(0.0, "", 0))
    return Doubt("miscount", key, stitches, suspects=frozenset({key})) if weight >= WORTH_COUNTING else None
