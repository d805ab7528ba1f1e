"""Tables of what each count of a point is expected to lose, and of how likely it fits (facts of the rest, section 2).

    m = share (N - swallowed) w + fixed - wanted
    s^2 = (share (N - swallowed) w)^2 (u_w^2 + (0.8 tau)^2 + lambda^2) + u_fixed^2 + u_wanted^2
    e(N) = E g at m, s;    p(N) = P(-smaller <= x <= larger),  x ~ N(m, s^2)

The expectation of a sum over points needs each point's own distribution and never their correlations, so one table a
point is exact, whatever the loss.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NotRequired, TypedDict, Unpack

import numpy as np

from fitcheck.advice.loss import EXACT_MM, expected_loss, expected_loss_even
from fitcheck.advice.rest.count_series import check_finite, check_positive
from fitcheck.estimates.piece import LOCAL_SD, Matrix
from fitcheck.estimates.student import normal_cdf

PIECE_SD = 0.008
"""0.8 tau: relative SD of the next piece about its fabric where nobody knows better (assumed)."""


class Known(TypedDict):
    """What is known of a point and of the piece that is counted for it.

    wanted_mm     what the point is to measure on the garment [mm]
    size_mm       stitch width or row height of the next piece [mm]
    u_size        relative SD of size_mm as the mean of the next piece;  piece, local: 0.8 tau, lambda [relative]
    u_wanted_mm   SD of what is wanted [mm]
    swallowed     stitches or rows that seams take
    share         part of the point that the count makes: 1/2 of a flat width beside a knitted back
    fixed_mm      what else the point holds: half of the knitted back's measured width, bands [mm]
    u_fixed_mm    its SD [mm]
    """

    wanted_mm: float
    size_mm: float
    u_size: NotRequired[float]
    u_wanted_mm: NotRequired[float]
    piece: NotRequired[float]
    local: NotRequired[float]
    swallowed: NotRequired[float]
    share: NotRequired[float]
    fixed_mm: NotRequired[float]
    u_fixed_mm: NotRequired[float]


def loss_table(
    values: Sequence[int], *, tolerance_mm: tuple[float, float], weight: float = 1.0, **known: Unpack[Known]
) -> tuple[float, ...]:
    """E g of every count: what the point is expected to lose [works of a back], one for each of `values`.

    values        counts of stitches or rows
    tolerance_mm  allowed (too small, too large) [mm]; whoever chooses counts gives the smaller twice
    weight        omega [1]
    known         the fields of `Known`
    Raises CountsError for a measure, size, share or weight that is not positive. Source: facts of this project; the
    figure in its tests was reckoned two ways.
    """
    return tuple(_losses(*_off(values, **known), tolerance_mm, weight).tolist())


def fit_table(values: Sequence[int], *, tolerance_mm: tuple[float, float], **known: Unpack[Known]) -> tuple[float, ...]:
    """Chance of every count that the point comes out within what is allowed [0 to 1]; arguments as in `loss_table`."""
    return tuple(_fits(*_off(values, **known), tolerance_mm).tolist())


def both_tables(
    values: Sequence[int], even_mm: float, tolerance_mm: tuple[float, float], weight: float, known: Known
) -> tuple[dict[int, float], dict[int, float]]:
    """What each count is expected to lose with as much allowed on both sides, and its chance to fit; by count.

    even_mm  allowed on both sides for the loss [mm];  the others as in `loss_table`
    """
    m, s = _off(values, **known)
    losses, fits = _losses(m, s, (even_mm, even_mm), weight), _fits(m, s, tolerance_mm)
    return dict(zip(values, losses.tolist(), strict=True)), dict(zip(values, fits.tolist(), strict=True))


def _losses(m: Matrix, s: Matrix, tolerance_mm: tuple[float, float], weight: float) -> Matrix:
    check_positive("weight", weight)
    smaller, larger = tolerance_mm
    if smaller == larger < math.inf:
        return expected_loss_even(m, s, smaller, weight)
    return expected_loss(m, s, smaller, larger, weight)


def _fits(m: Matrix, s: Matrix, tolerance_mm: tuple[float, float]) -> Matrix:
    smaller, larger = tolerance_mm
    below = normal_cdf(np.array([larger - m, -smaller - m]) / np.maximum(s, EXACT_MM))
    return np.asarray(below[0] - below[1])


def _off(
    values: Sequence[int],
    *,
    wanted_mm: float,
    size_mm: float,
    u_size: float = 0.0,
    u_wanted_mm: float = 0.0,
    piece: float = PIECE_SD,
    local: float = LOCAL_SD,
    swallowed: float = 2.0,
    share: float = 1.0,
    fixed_mm: float = 0.0,
    u_fixed_mm: float = 0.0,
) -> tuple[Matrix, Matrix]:
    """m and s of every count [mm]."""
    for name, above_nought in (("wanted_mm", wanted_mm), ("size_mm", size_mm), ("share", share)):
        check_positive(name, above_nought)
    for name, finite in (("swallowed", swallowed), ("fixed_mm", fixed_mm)):
        check_finite(name, finite)
    made = share * (np.asarray(values, dtype=np.float64) - swallowed) * size_mm
    relative = math.hypot(u_size, piece, local)
    return made + fixed_mm - wanted_mm, np.hypot(made * relative, math.hypot(u_fixed_mm, u_wanted_mm))
