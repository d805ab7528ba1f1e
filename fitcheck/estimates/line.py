"""A straight line through swatches and its inverse: which dial gives the wanted stitch width?

The classical line with its own residuals. Regress stitch *width* on the dial number, not stitches per 10 cm:
width is linear in the length of yarn in a loop (Munden 1959). The report uses the joint model of swatches and
pieces; this line is its cross-check.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from fitcheck.estimates.numbers import CannotSay, Estimate, Interval
from fitcheck.estimates.student import student_quantile
from fitcheck.records.faults import wrong_value
from fitcheck.records.frozen import frozen


@frozen
class OnLine(Estimate):
    """The line's value at one place; its interval is at the line's own level unless another is asked for."""

    level: float = 0.90

    def interval(self, level: float | None = None) -> Interval:
        """Two-sided interval value +- t u (0 < level < 1)."""
        return Estimate.interval(self, self.level if level is None else level)

    @property
    def low(self) -> float:
        """Lower end of the interval at the line's level."""
        return self.interval().low

    @property
    def high(self) -> float:
        """Upper end of the interval at the line's level."""
        return self.interval().high


@frozen(kw_only=True)
class Inverse(Interval):
    """Where the line reaches a wanted value: the place, and Fieller's interval (not symmetric about it).

    value  (y0 - intercept) / slope [unit of x]
    u      first-order standard uncertainty of value [unit of x]; t u is the symmetric interval of DIN 32645,
           too short when the slope is uncertain, so the limits do not come from it
    """

    value: float
    u: float


@frozen
class Line:
    """A least-squares line y = intercept + slope x and what is known of it.

    intercept, u_intercept  value at x = 0 and its standard uncertainty [unit of y]
    slope, u_slope          [unit of y per unit of x]
    s                       residual standard deviation of one reading about the line [unit of y]
    dof                     degrees of freedom of s, n - 2
    r                       correlation of intercept and slope
    n, x_mean, y_mean, sxx  number of points, centre of the points, sum of squares of x about its mean
    level                   level of the intervals when none is named
    """

    intercept: float
    slope: float
    s: float
    dof: int
    u_intercept: float
    u_slope: float
    r: float
    n: int
    x_mean: float
    y_mean: float
    sxx: float
    level: float

    def at(self, x: float, new: int | None = None) -> OnLine:
        """The line at x: the mean line, or the mean of ``new`` new readings there.

        u^2 = s^2 (1/n + (x - xbar)^2/Sxx [+ 1/new]), Student's t with n - 2 (JCGM 100:2008 H.3.5, equation
        H.15, written about the centre of the points).
        Raises RecordsError when x is no finite number or new is not a whole number from 1.
        """
        _finite("x", x)
        offset = x - self.x_mean
        u = self.s * math.sqrt(1 / self.n + offset * offset / self.sxx + _share_of_new(new))
        return OnLine(self.y_mean + self.slope * offset, u, float(self.dof), level=self.level)

    def x_for(self, y0: float, new: int | None = None, level: float | None = None) -> Inverse | CannotSay:
        """Where the line reaches y0, with Fieller's interval.

        y0 is the wanted value of the mean line, or with ``new`` the mean of that many new readings whose
        place is sought. With d = (y0 - ybar)/slope, x0 = xbar + d and g = t^2 s^2/(slope^2 Sxx):

            x0 + d g/(1-g) +- |t s/slope| sqrt((1-g)(1/n [+ 1/new]) + d^2/Sxx)/(1-g)

        g >= 1 means that the points do not show at this level that the line rises or falls at all: the set of
        places is then unbounded, and the answer is CannotSay ``line_not_determined``.
        Fieller (1954) J. R. Stat. Soc. B 16, 175; Graybill & Iyer (1994) Regression Analysis, ch. 6.
        Raises RecordsError when y0, new or level are not usable numbers.
        """
        _finite("y0", y0)
        level = self.level if level is None else _a_level(level)
        share = 1 / self.n + _share_of_new(new)
        t = student_quantile(0.5 + level / 2, self.dof)
        noise = (t * self.s) ** 2
        signal = self.slope**2 * self.sxx
        if noise >= signal:
            return CannotSay("line_not_determined", points=self.n, level=level)
        g = noise / signal
        d = (y0 - self.y_mean) / self.slope
        x0 = self.x_mean + d
        centre = x0 + d * g / (1 - g)
        half = abs(t * self.s / self.slope) * math.sqrt((1 - g) * share + d * d / self.sxx) / (1 - g)
        u = abs(self.s / self.slope) * math.sqrt(share + d * d / self.sxx)
        return Inverse(low=centre - half, high=centre + half, level=level, value=x0, u=u)


def line_through(x: Sequence[float], y: Sequence[float], *, level: float = 0.90) -> Line | CannotSay:
    """Least-squares line through points, with its own residual standard deviation.

    slope = Sxy/Sxx, s^2 = sum of squared residuals/(n - 2), u_slope = s/sqrt(Sxx),
    u_intercept = s sqrt(1/n + xbar^2/Sxx), r = -xbar/sqrt(Sxx/n + xbar^2) (JCGM 100:2008 H.3, H.13).

    x      places, for example dial numbers [n]
    y      readings there, for example stitch widths [mm], [n]
    level  level of the intervals that the line gives when none is named

    Sums are taken about the centre and with exact accumulation, so that far-off or nearly equal x lose
    nothing. Fewer than three points, or all of them at one x, is CannotSay (``too_few_points``,
    ``one_place_only``): two points have no residual to judge the line by.
    Raises RecordsError when the lengths differ or a number is not finite.
    """
    level = _a_level(level)
    n = len(x)
    if n != len(y):
        raise wrong_value("y", f"{len(y)} values", f"as many as x has ({n})")
    for place, values in (("x", x), ("y", y)):
        for i, value in enumerate(values):
            _finite(f"{place}[{i}]", value)
    if n < 3:
        return CannotSay("too_few_points", points=n)
    if min(x) == max(x):
        return CannotSay("one_place_only", points=n, place=x[0])
    x_mean = math.fsum(x) / n
    y_mean = math.fsum(y) / n
    dx = [value - x_mean for value in x]
    dy = [value - y_mean for value in y]
    sxx = math.fsum(a * a for a in dx)
    slope = math.fsum(a * b for a, b in zip(dx, dy, strict=True)) / sxx
    s = math.sqrt(math.fsum((b - slope * a) ** 2 for a, b in zip(dx, dy, strict=True)) / (n - 2))
    return Line(
        intercept=y_mean - slope * x_mean,
        slope=slope,
        s=s,
        dof=n - 2,
        u_intercept=s * math.sqrt(1 / n + x_mean * x_mean / sxx),
        u_slope=s / math.sqrt(sxx),
        r=-x_mean / math.sqrt(sxx / n + x_mean * x_mean),
        n=n,
        x_mean=x_mean,
        y_mean=y_mean,
        sxx=sxx,
        level=level,
    )


def _finite(place: str, value: float) -> None:
    if not math.isfinite(value):
        raise wrong_value(place, repr(value), "a finite number; leave the point out if it is unknown")


def _a_level(level: float) -> float:
    if not 0 < level < 1:
        raise wrong_value("level", repr(level), "a number between 0 and 1, for example 0.9")
    return level


def _share_of_new(new: int | None) -> float:
    if new is None:
        return 0.0
    if new != int(new) or new < 1:
        raise wrong_value("new", repr(new), "a whole number of new readings from 1, or None for the mean line")
    return 1 / new
