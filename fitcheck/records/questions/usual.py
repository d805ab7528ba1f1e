"""What passes without a question: usual lengths, sizes of stitches, proportions, scatter."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import cache, lru_cache
from statistics import NormalDist, median

from fitcheck.records.points import POINTS
from fitcheck.records.repeatability import OVERHANG, TAPE

SETS_OF_A_PIECE = 14
"""Sets of readings in one honest session: seven points, piece and garment. Together they raise a needless
question in one session of twenty; the 95 % factors of ISO 5725-6 for each set would in every second."""

USUAL_RATIO = (1.0, 1.9)
"""Rows over stitches on one length of plain knitting, unquestioned (common practice, no source)."""

USUAL_STITCH_MM = (1.5, 15.0)
"""Width of a stitch that passes without a question [mm] (common practice, no source)."""

USUAL_ROW_MM = (1.0, 12.0)
"""Height of a row that passes without a question [mm] (common practice, no source)."""

ADD_UP_MM = 10.0
"""How far lengths that make up another may miss it [mm]."""

FINEST_READ_MM = {"mm": 0.1, "cm": 0.1, "m": 0.1}
"""Decimals beyond these no tape tells [mm] (assumed); those of an inch go on to 1/16."""
NEAR_WANTED = 1.35
"""How many times larger or smaller than what is wanted a figure may be and still be near it [1]."""

LARGE_OVERHANG_MM = 50.0
SMALL_OVERHANG_MM = 30.0
"""An overhang from the large one on is questioned where all others are below the small one [mm]."""

NEEDLESS_IN_A_HUNDRED = 0.01
"""Share of honest sessions in which overhang and tape may be asked about for nothing [1]."""

LARGEST_OVERHANG_MM = 150.0
"""Largest overhang that passes without a question, however often it was read [mm]."""

SINGLE_OVERHANG_MM = (20.0, 40.0)
"""An overhang that was read once is asked about beyond a tenth of its point, within these limits [mm] (fit rule 33:
4 cm or a tenth; that small points are not asked about below 2 cm is assumed)."""

USUAL_HEAD_MM = (300.0, 700.0)
"""Round the head [mm] (common practice, no source)."""

PLAIN = ("plain", "stocking stitch", "stockinette")
"""Stitch patterns that the usual ratio of rows to stitches is about."""

PROPORTIONS: Mapping[str, float] = {
    key: point.plain_mm for key, point in POINTS.items() if point.plain_mm >= 200 and "back" in point.pieces
}
"""A plain sweater, flat [mm], where it is 20 cm and more and so varies little; only their ratios are used."""

EXPECTED: Mapping[str, float] = {
    **PROPORTIONS,
    **{key: point.plain_mm for key, point in POINTS.items() if point.flat and point.per_piece > 1},
}
"""The same with the widths of a sleeve: too unlike to speak for another point, not for telling round from flat."""

READ_IN_INCHES = (0.34, 0.46)
"""A figure over what was expected of it, where it was read in inches: about 1/2.54 [1]."""

INCHES_BY_PROPORTION = (0.32, 0.48)
"""The same where the expectation comes from the proportions of other points, so wider [1]."""

READ_ROUND = (1.75, 2.30)
"""A figure over what was expected of it, where the round measure was read for the flat one: about 2 [1]."""

ONE_GAUGE = math.log(1.10)
"""Two sizes of a stitch that may be of one gauge differ by less [log of their ratio]."""

ONE_GAUGE_APART = math.log(1.25)
"""Two sizes of a stitch that cannot be of one gauge differ by more [log of their ratio]."""


def usual_length(point: str, *, body: bool = False, half: bool = False, piece: bool = False) -> tuple[float, float]:
    """Range that passes without a question [mm]; a body is read round, half a front is half as wide."""
    low, high = POINTS[point].plausible
    if body and POINTS[point].flat:
        return low, 2 * high
    if piece:
        high *= POINTS[point].per_piece
    if half and POINTS[point].direction == "across":
        return low / 2, high
    return low, high


def usual_overhang(point_mm: float, readings: int) -> float:
    """Largest overhang that passes without a question [mm].

    point_mm  the point's flat length [mm];  readings: how often the overhang was read there: a slip is not made twice
    """
    least, most = SINGLE_OVERHANG_MM
    return LARGEST_OVERHANG_MM if readings > 1 else min(most, max(least, point_mm / 10))


def usual_size(*, row: bool) -> tuple[float, float]:
    """Range of a stitch's width or a row's height that passes without a question [mm]."""
    return USUAL_ROW_MM if row else USUAL_STITCH_MM


@lru_cache(maxsize=2048)
def allowed_range(middle_mm: float, count: int, step_mm: float, *, overhang: bool = False) -> float:
    """Range that `count` readings may have [mm]: f(k) hypot(SD of a reading with its laying (assumed), d / sqrt 12).

    step_mm  d, the finest step that they were written to [mm]: two whole inches lie an inch apart or not at all

    The same sets are asked about, and then pooled: each is looked at once.
    """
    assumed = OVERHANG if overhang else TAPE
    return critical_range(count) * math.hypot(assumed.with_laying(middle_mm), step_mm / math.sqrt(12.0))


def far_apart(lengths_mm: Sequence[float], step_mm: float, *, overhang: bool = False) -> bool:
    """Whether two readings or more of one thing range over more than passes without a question, at their middle.

    The longer they are the more passes: where the shortest of them lets them pass, nobody needs the middle.
    """
    shortest, count = min(lengths_mm), len(lengths_mm)
    reach = max(lengths_mm) - shortest
    if reach <= allowed_range(shortest, count, step_mm, overhang=overhang):
        return False
    return reach > allowed_range(median(lengths_mm), count, step_mm, overhang=overhang)


@cache
def critical_range(count: int) -> float:
    """Range of `count` readings over the SD of one, beyond which one of them is questioned [1].

    f(k) = sqrt(2) z(1 - alpha / (k (k - 1))), alpha = 0.05 / 14: the largest of k (k - 1) / 2 differences of two, each
    of SD sqrt(2). An alpha of 0.05 would make it 2.77, 3.39 and 3.73 for k = 2, 3, 4, where ISO 5725-6 has 2.8, 3.3
    and 3.6.

    >>> round(critical_range(2), 2)
    4.12
    """
    alpha = 0.05 / SETS_OF_A_PIECE
    return math.sqrt(2.0) * NormalDist().inv_cdf(1.0 - alpha / (count * (count - 1)))
