"""How far out a point of the finished garment is, as a loss in works of a back (model 6).

    g(x) = omega [0.1 (x/a)^2 + 1.2 max(0, |x|/a - 1)]

x is what the garment measures less what is wanted, a what is allowed on that side, omega the weight of the point. A
point on its limit costs a tenth of a back, one twice as far out more than a back and a half. With x ~ N(m, s^2) the
expectation has a closed form:

    E g = omega [0.1 (U/a+^2 + (m^2 + s^2 - U)/a-^2) + 1.2 (H(a+ - m)/a+ + H(a- + m)/a-)]
    U = E max(0, x)^2 = (m^2 + s^2) Phi(m/s) + m s phi(m/s),   H(t) = E max(0, x - m - t) = s excess(t/s),
    excess(z) = phi(z) - z Phi(-z)

A side that is free has no hinge and keeps the square, with what is allowed on the other side; where both are free
nothing is lost. The weights 0.1 and 1.2 are assumed.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from fitcheck.estimates.piece import Matrix
from fitcheck.estimates.student import normal_cdf, normal_excess

WITHIN, BEYOND = 0.1, 1.2
"""Loss at the limit, and per further length of what is allowed [works of a back] (assumed)."""
EXACT_MM = 1e-9
"""An SD below this is none: dividing by it would only overflow [mm]."""


def loss(off_mm: ArrayLike, smaller_mm: ArrayLike, larger_mm: ArrayLike, weight: ArrayLike = 1.0) -> Matrix:
    """g(x): what a point costs that is so far off [works of a back].

    off_mm                 finished - wanted [mm]
    smaller_mm, larger_mm  allowed too small and too large [mm], above 0; math.inf frees a side
    weight                 omega [1]
    Arguments are numbers or arrays that go together; the answer has their shape.
    """
    off = np.asarray(off_mm, dtype=np.float64)
    below, above, below_square, above_square = _sides(smaller_mm, larger_mm)
    square = np.where(off < 0, below_square, above_square)
    hinge = np.where(off < 0, below, above)
    beyond = np.maximum(0.0, np.abs(off) * hinge - np.where(hinge > 0, 1.0, 0.0))
    return np.asarray(np.asarray(weight, dtype=np.float64) * (WITHIN * (off * square) ** 2 + BEYOND * beyond))


def loss_even(off_mm: ArrayLike, allowed_mm: ArrayLike, weight: ArrayLike = 1.0) -> Matrix:
    """The same where as much is allowed on both sides, above 0 and not free; half the work."""
    off = np.asarray(off_mm, dtype=np.float64)
    share = np.abs(off) * (1.0 / np.asarray(allowed_mm, dtype=np.float64))
    each = WITHIN * share**2 + BEYOND * np.maximum(0.0, share - 1.0)
    return np.asarray(np.asarray(weight, dtype=np.float64) * each)


def expected_loss(
    off_mm: ArrayLike, u_mm: ArrayLike, smaller_mm: ArrayLike, larger_mm: ArrayLike, weight: ArrayLike = 1.0
) -> Matrix:
    """E g(x) for x ~ N(off, u^2) [works of a back]; arguments as in `loss`, u_mm the SD [mm]."""
    m = np.asarray(off_mm, dtype=np.float64)
    s = np.maximum(np.asarray(u_mm, dtype=np.float64), EXACT_MM)
    below, above, below_square, above_square = _sides(smaller_mm, larger_mm)
    upper = (m**2 + s**2) * normal_cdf(m / s) + m * s * _density(m / s)
    lower = np.maximum(m**2 + s**2 - upper, 0.0)
    square = upper * above_square**2 + lower * below_square**2
    hinge = _beyond(above, -m, s) + _beyond(below, m, s)
    return np.asarray(np.asarray(weight, dtype=np.float64) * (WITHIN * square + BEYOND * hinge))


def expected_loss_even(off_mm: ArrayLike, u_mm: ArrayLike, allowed_mm: ArrayLike, weight: ArrayLike = 1.0) -> Matrix:
    """The same where as much is allowed on both sides, above 0 and not free; half the work.

    E g = omega [0.1 (m^2 + s^2)/a^2 + 1.2 (H(a - m) + H(a + m))/a]
    """
    a = np.asarray(allowed_mm, dtype=np.float64)
    m = np.asarray(off_mm, dtype=np.float64)
    s = np.maximum(np.asarray(u_mm, dtype=np.float64), EXACT_MM)
    larger, smaller = normal_excess(np.array([a - m, a + m]) / s)
    each = (m * m + s * s) * (WITHIN / (a * a)) + (larger + smaller) * (BEYOND * s / a)
    return np.asarray(np.asarray(weight, dtype=np.float64) * each)


def _sides(smaller_mm: ArrayLike, larger_mm: ArrayLike) -> tuple[Matrix, Matrix, Matrix, Matrix]:
    """1/a below and above for the hinge, 0 where that side is free; and for the square, with the other side's there."""
    below, above = (1.0 / np.asarray(side, dtype=np.float64) for side in (smaller_mm, larger_mm))
    return below, above, np.where(below > 0, below, above), np.where(above > 0, above, below)


def _beyond(per_allowed: Matrix, inside_mm: Matrix, s: Matrix) -> Matrix:
    """H(t)/a with t = a + inside; 0 where the side is free."""
    free = per_allowed <= 0
    t = np.where(free, 0.0, 1.0 / np.where(free, 1.0, per_allowed)) + inside_mm
    return np.where(free, 0.0, s * normal_excess(t / s) * per_allowed)


def _density(z: Matrix) -> Matrix:
    """Density of the standard normal."""
    return np.asarray(np.exp(-0.5 * np.minimum(z * z, 1400.0)) / math.sqrt(2.0 * math.pi))
