"""Normal and Student's distributions without scipy.

``scipy.special`` has all of this, and its import takes as long as numpy and pydantic together: twice over what a
cold ``fitcheck report`` may take (benchmark: ``tests/benchmarks/bench_report.py``). So the four functions that every
answer needs stand here, each from its published formula, and the tests hold them against ``scipy.special``.
"""

from __future__ import annotations

import math
from functools import lru_cache
from statistics import NormalDist
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

MANY_DOF = 1e6
"""Degrees of freedom from here on count as many: Student's distribution is the normal one to six figures."""

_NORMAL = NormalDist()

_PER_UNIT, _REACH = 256, 9
"""Places of the tables of the normal distribution per unit, and how far they reach: Phi(-9) is 1e-19."""
_LAST = _PER_UNIT * _REACH
"""The last place on either side of 0."""


@lru_cache(maxsize=1)
def _tables() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Taylor coefficients c_0 .. c_3 of Phi and of the excess at every place of the table, [4, places].

    They are of powers of the distance in places: divided by powers of two, which loses no figure.

    Phi(z) = erfc(-z / sqrt 2) / 2 from the C library, Phi' = phi; the others by the derivatives of phi, which are
    Hermite polynomials times phi (Abramowitz and Stegun 1964, 26.2.33). The excess is phi(z) - z Phi(-z), and its
    derivative -Phi(-z). At both ends it is a straight line, -z and 0.
    """
    z = np.arange(-_LAST, _LAST + 1) / _PER_UNIT
    below = np.array([math.erfc(-x / math.sqrt(2.0)) / 2.0 for x in z.tolist()])
    density = np.exp(-z * z / 2.0) / math.sqrt(2.0 * math.pi)
    distribution = np.stack([below, density, -z * density / 2, (z**2 - 1) * density / 6])
    excess = np.stack([density - z * below[::-1], -below[::-1], density / 2, -z * density / 6])
    excess[:, 0], excess[:, -1] = (_REACH, -1.0, 0.0, 0.0), 0.0
    powers = _PER_UNIT ** np.arange(4.0)[:, None]
    return distribution / powers, excess / powers


def normal_cdf(z: NDArray[np.float64]) -> NDArray[np.float64]:
    """Distribution function of the standard normal, element by element: Taylor's series about the nearest place
    of a table with 256 places per unit.

    z  any shape; infinities are allowed
    Accuracy: 1e-12 absolute, for the next term is at most (1/512)^4 / 24 times a derivative of 0.55.
    """
    distance = np.minimum(np.maximum(np.asarray(z, dtype=np.float64), -_REACH), _REACH)
    distance *= _PER_UNIT
    nearest = np.rint(distance)
    distance -= nearest
    return _series(_tables()[0], nearest, distance)


def normal_excess(z: NDArray[np.float64]) -> NDArray[np.float64]:
    """E max(0, x - z) of a standard normal x, element by element: phi(z) - z Phi(-z), by the same table of places.

    z  any shape, finite
    Accuracy: 1e-12 absolute, for the next term is at most (1/512)^4 / 24 times a derivative of 0.4.
    """
    distance = z * float(_PER_UNIT)
    nearest = np.minimum(np.maximum(np.rint(distance), -_LAST), _LAST)
    distance -= nearest
    return _series(_tables()[1], nearest, distance)


def _series(
    table: NDArray[np.float64], nearest: NDArray[np.float64], distance: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Taylor's series about the nearest places, at so many places from them; nearest is used up."""
    nearest += _LAST
    place = nearest.astype(np.intp)
    *lower, highest = table
    series = highest.take(place, mode="clip")
    for coefficients in reversed(lower):
        series *= distance
        series += coefficients.take(place, mode="clip")
    return np.asarray(series)


def normal_quantile(p: float) -> float:
    """Quantile of the standard normal for 0 < p < 1 (Wichura 1988, algorithm AS 241, in the standard library)."""
    return _NORMAL.inv_cdf(p)


def student_cdf(t: float, dof: float) -> float:
    """Distribution function of Student's t; the normal one from MANY_DOF on.

        F(t) = 1/2 + I_y(1/2, dof/2) / 2 for t > 0, y = t^2 / (dof + t^2); from y = 1/2 on
        F(t) = 1 - I_x(dof/2, 1/2) / 2, x = 1 - y, which keeps the figures of a small tail

    Source: Abramowitz and Stegun (1964) 26.7.1.
    """
    if math.isinf(t):
        return 0.0 if t < 0 else 1.0
    if dof >= MANY_DOF:
        return _NORMAL.cdf(t)
    square = t * t
    if square < dof:
        half = incomplete_beta(0.5, dof / 2.0, square / (dof + square)) / 2.0
        return 0.5 - half if t < 0 else 0.5 + half
    tail = incomplete_beta(dof / 2.0, 0.5, dof / (dof + square)) / 2.0
    return tail if t < 0 else 1.0 - tail


def incomplete_beta(a: float, b: float, x: float) -> float:
    """Regularised incomplete beta function I_x(a, b), 0 <= x <= 1, by its continued fraction.

    Sources: Abramowitz and Stegun (1964) 26.5.8; evaluated by the method of Lentz (1976) Appl. Opt. 15, 668.
    """
    if x <= 0.0 or x >= 1.0:
        return float(x >= 1.0)
    if x > (a + 1.0) / (a + b + 2.0):
        return 1.0 - incomplete_beta(b, a, 1.0 - x)
    log = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    tiny = 1e-300
    c, d = 1.0, 1.0 - (a + b) * x / (a + 1.0)
    d = 1.0 / (tiny if -tiny <= d <= tiny else d)
    fraction = d
    for m in range(1, 10_000):
        for numerator in (
            m * (b - m) * x / ((a + 2 * m - 1.0) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1.0)),
        ):
            d = 1.0 + numerator * d
            d = 1.0 / (tiny if -tiny <= d <= tiny else d)
            c = 1.0 + numerator / c
            c = tiny if -tiny <= c <= tiny else c
            fraction *= c * d
        if -1e-15 < c * d - 1.0 < 1e-15:
            break
    return math.exp(log) * fraction / a


@lru_cache(maxsize=4096)
def student_quantile(p: float, dof: float) -> float:
    """Quantile of Student's t for 0 < p < 1; the normal one from MANY_DOF on.

    Newton's steps on the distribution function, from below: right of 0 it bends downwards, so each step ends short of
    the quantile, and one that would end beyond it is rounding.
    """
    if dof >= MANY_DOF:
        return normal_quantile(p)
    if p == 0.5:
        return 0.0
    if p < 0.5:
        return -student_quantile(1.0 - p, dof)
    t = normal_quantile(p)  # below Student's, whose tails are heavier
    while student_cdf(2.0 * t, dof) < p:
        t *= 2.0
    log_density = math.lgamma((dof + 1) / 2) - math.lgamma(dof / 2) - math.log(dof * math.pi) / 2
    while True:
        density = math.exp(log_density - (dof + 1) / 2 * math.log1p(t * t / dof))
        following = t + (p - student_cdf(t, dof)) / density if density > 0.0 else t
        if following <= t:
            return t
        t = following
