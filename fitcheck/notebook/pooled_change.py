"""Change in finishing pooled over swatches: what the next piece will do.

Swatches of one fabric differ from each other by more than their readings do. The next piece differs as much
again, so its interval carries the spread between swatches *and* the doubt about that spread. One formula
serves no swatch at all (the prior, marked as assumed) to thousands.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import field
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from fitcheck.estimates.numbers import Basis, CannotSay, Estimate, Interval
from fitcheck.estimates.student import normal_cdf, normal_quantile
from fitcheck.records.faults import wrong_value
from fitcheck.records.frozen import frozen

Array = npt.NDArray[np.float64]

NODES = 48
"""Places of tau at which the mixture is kept; limits are good to 0.002 points with these."""
SEARCH_NODES = 24
"""Places of tau on each pass that looks for the range where tau can lie."""
WORTH_KEEPING = 18.0
"""Places whose log weight is this far under the best add less than 2 in 100 million each."""
CHUNK = 16_384
"""Numbers in one block of work, few enough to stay in the processor's cache."""


@frozen
class PooledChange:
    """What swatches (and the prior) say about the change of the next piece, in log percent points.

    swatches   number of swatches of this direction
    mean       mean change of this fabric with its standard uncertainty, which is infinite where flat priors
               and fewer than five swatches leave no finite variance
    tau_mode   most likely standard deviation between swatches; with flat priors its square is the REML
               estimate. 0 when there are no two swatches to compare and no prior speaks
    basis      assumed: no swatch; measured: no prior was used, or the swatches leave less than a tenth of the
               prior's variance of the mean and allowed at least two comparisons; mixed: all between
    tau, weight, centre, sd
               the next piece as a mixture of normal distributions: at each tau its weight (adding up to 1),
               the mean change and the standard deviation of the next piece; empty when flat priors ask more
               than the swatches can say
    """

    swatches: int
    mean: Estimate | CannotSay
    tau_mode: float
    basis: Basis
    tau: tuple[float, ...] = field(repr=False)
    weight: tuple[float, ...] = field(repr=False)
    centre: tuple[float, ...] = field(repr=False)
    sd: tuple[float, ...] = field(repr=False)

    def next_piece(self, level: float = 0.90) -> Interval | CannotSay:
        """Interval that holds the change of the next piece with the given chance [log percent points].

        Quantiles of the mixture by Newton's method, halving the bracket where a step would leave it; the
        first bracket is the least and the greatest quantile of the parts.
        CannotSay ``prior_needed`` when priors are flat and the swatches are too few to do without.
        Raises RecordsError unless 0 < level < 1.
        """
        if not 0 < level < 1:
            raise wrong_value("level", repr(level), "a number between 0 and 1, for example 0.9")
        if isinstance(self.mean, CannotSay):
            return self.mean
        weight, centre, sd = np.array(self.weight), np.array(self.centre), np.array(self.sd)
        wanted = np.array([0.5 - level / 2, 0.5 + level / 2])
        parts = centre + sd * np.array([normal_quantile(share) for share in wanted.tolist()])[:, None]
        low, high = parts.min(axis=1), parts.max(axis=1)
        place, heights = parts @ weight, weight / (sd * math.sqrt(2 * math.pi))
        # 1e-6 points are far below what a tape can tell; at most 100 halvings even from a huge bracket.
        for _ in range(100):
            z = (place[:, None] - centre) / sd
            excess = normal_cdf(z) @ weight - wanted
            low, high = np.where(excess < 0, place, low), np.where(excess < 0, high, place)
            before, slope = place, np.exp(-0.5 * z * z) @ heights
            place = place - excess / np.maximum(slope, 1e-100)
            place = np.where((low < place) & (place < high), place, (low + high) / 2)
            if np.abs(place - before).max() < 1e-6:
                break
        return Interval(float(place[0]), float(place[1]), level)


def pooled_change(
    y: Sequence[float],
    v: Sequence[float],
    *,
    prior_mean: float = -3.0,
    prior_sd: float = 5.0,
    tau_scale: float | None = 2.0,
    also: Sequence[Sequence[Any]] = (),
) -> PooledChange:
    """Pool the changes of swatches of one fabric and predict the next piece.

    y_j ~ N(theta_j, v_j), theta_j ~ N(mu, tau^2), mu ~ N(m0, s0^2), tau ~ half-normal(tau_scale):

        P = 1/s0^2 + sum 1/(v_j + tau^2),  mu_hat = (m0/s0^2 + sum y_j/(v_j + tau^2))/P
        log p(tau | y) = log p(tau) - 1/2 [log P + sum log(v_j + tau^2)
                         + sum (y_j - mu_hat)^2/(v_j + tau^2) + (mu_hat - m0)^2/s0^2]
        next piece = mixture over tau of N(mu_hat, 1/P + tau^2)

    y           changes, 100 ln(after/before) [log percent points], [k], k from 0
    v           their squared standard uncertainties, above 0 [points^2], [k]
    prior_mean  m0 [points]; the default is for unknown fibre and is an assumption
    prior_sd    s0 [points]; math.inf: flat
    tau_scale   [points]; None: flat
    also        further directions that share tau: (y, v), whose mean is then free, or
                (y, v, prior_mean, prior_sd)

    The integral over tau is a Gauss-Legendre rule of 48 places in x, tau = c x^2/(1 - x^2): spacing grows
    from zero as the square and is open to infinity; the rule is laid over the range of x that carries weight.
    Roever (2020) J. Stat. Software 93(6); Gelman (2006) Bayesian Analysis 1, 515; Higgins, Thompson &
    Spiegelhalter (2009) J. R. Stat. Soc. A 172, 137.
    Raises RecordsError when lengths differ, a number is not finite, or a variance or scale is not above 0.
    """
    if tau_scale is not None and not (math.isfinite(tau_scale) and tau_scale > 0):
        raise wrong_value("tau_scale", repr(tau_scale), "a number above 0 [points], or None for flat")
    own = _Direction("", y, v, prior_mean, prior_sd)
    directions = [own, *(_further(i, item) for i, item in enumerate(also))]
    # The likelihood falls as tau to minus this power: it can be integrated from the second power on, and
    # leaves the mean a finite variance from the fourth.
    power = sum(direction.k - (direction.precision == 0) for direction in directions if direction.k)
    proper = (tau_scale is not None or power >= 2) and (own.k > 0 or own.precision > 0)
    search = _Search([d for d in directions if d.k or d.precision], tau_scale)
    if not proper:
        if search.directions:
            search.look((np.arange(NODES) + 0.5) / NODES)
        basis: Basis = "measured" if own.k else "assumed"
        mode = search.mode() if power > 0 else 0.0
        return PooledChange(own.k, _prior_needed(own.k), mode, basis, (), (), (), ())

    x_low, x_high = search.range_of_weight()
    node, share = _gauss_legendre(NODES)
    tau, _, log_weight, precision, centre = search.look(x_low + (x_high - x_low) * node)
    weight = np.exp(log_weight - log_weight.max()) * share
    weight /= weight.sum()
    value = float(weight @ centre)
    variance = float(weight @ (1 / precision + (centre - value) ** 2))
    if tau_scale is None and power < 4:
        variance = math.inf
    flat = own.precision == 0 and tau_scale is None
    comparisons = sum(direction.k - 1 for direction in directions if direction.k)
    if not own.k:
        basis = "assumed"
    elif flat or (comparisons >= 2 and variance * own.precision < 0.1):
        basis = "measured"
    else:
        basis = "mixed"
    return PooledChange(
        own.k,
        Estimate(value, math.sqrt(variance), basis=basis),
        search.mode(),
        basis,
        tuple(tau.tolist()),
        tuple(weight.tolist()),
        tuple(centre.tolist()),
        tuple(np.sqrt(1 / precision + tau**2).tolist()),
    )


class _Direction:
    """The swatches of one direction with the prior of their mean; sums over them at any tau^2."""

    def __init__(self, place: str, y: Sequence[float], v: Sequence[float], prior_mean: float, prior_sd: float) -> None:
        if len(y) != len(v):
            raise wrong_value(f"{place}v", f"{len(v)} values", f"as many as y has ({len(y)})")
        if not prior_sd > 0:
            raise wrong_value(f"{place}prior_sd", repr(prior_sd), "a number above 0 [points]; math.inf is flat")
        changes, self.v = np.array(y, dtype=np.float64), np.array(v, dtype=np.float64)
        usable = np.isfinite(changes) & np.isfinite(self.v) & (self.v > 0)
        if not usable.all():
            i = int(np.argmin(usable))
            raise wrong_value(
                f"{place}y[{i}], {place}v[{i}]",
                f"{y[i]!r}, {v[i]!r}",
                "a finite change and a variance above 0 (equal readings still have a resolution)",
            )
        if not math.isfinite(prior_mean):
            raise wrong_value(f"{place}prior_mean", repr(prior_mean), "a finite number [points]")
        self.k = len(changes)
        self.precision = 0.0 if math.isinf(prior_sd) else prior_sd**-2
        # Squares are summed about the middle of the data, so that they lose no digits.
        self.origin = float(changes.mean()) if self.k else prior_mean
        self.prior_mean = prior_mean - self.origin
        centred = changes - self.origin
        self.powers = np.stack([np.ones(self.k), centred, centred**2], axis=1)
        self.spread = math.sqrt(float(np.mean(centred**2) + np.mean(self.v))) if self.k else 0.0
        if self.k and self.precision:
            self.spread += max(0.0, abs(self.prior_mean) - 3 * prior_sd)

    def _sums(self, theta: Array) -> tuple[Array, Array]:
        """Sums over swatches of w, w y, w y^2 and of log(v + theta), w = 1/(v + theta), at each theta."""
        sums, logs = np.empty((len(theta), 3)), np.empty(len(theta))
        step = max(1, CHUNK // max(1, self.k))
        for start in range(0, len(theta), step):
            rows = slice(start, start + step)
            variance = self.v + theta[rows, None]
            logs[rows] = _sum_of_logs(variance)
            sums[rows] = np.reciprocal(variance, out=variance) @ self.powers
        return sums, logs

    def given(self, theta: Array) -> tuple[Array, Array, Array]:
        """At each tau^2: its log likelihood with the mean integrated out, the mean's precision, the mean."""
        sums, logs = self._sums(theta)
        precision = self.precision + sums[:, 0]
        mu = (self.precision * self.prior_mean + sums[:, 1]) / precision
        squares = sums[:, 2] - 2 * mu * sums[:, 1] + mu * mu * sums[:, 0]
        squares += self.precision * (mu - self.prior_mean) ** 2
        return -0.5 * (np.log(precision) + logs + squares), precision, self.origin + mu

    def slope(self, theta: float) -> float:
        """Derivative of the log likelihood with respect to tau^2."""
        w = 1 / (self.v + theta)
        w0, w1, _ = (w @ self.powers).tolist()
        q0, q1, q2 = ((w * w) @ self.powers).tolist()
        precision = self.precision + w0
        mu = (self.precision * self.prior_mean + w1) / precision
        return float(0.5 * (q2 - 2 * mu * q1 + mu * mu * q0 - w0 + q0 / precision))


class _Seen(NamedTuple):
    """A look at places of tau: log density of tau, log weight of x there, and the own mean given tau."""

    tau: Array
    density: Array
    log_weight: Array
    precision: Array
    centre: Array


class _Search:
    """Where tau lies: looks at places of x, tau = scale x^2/(1 - x^2), and remembers what it saw.

    The first direction is the one that is asked about.
    """

    def __init__(self, directions: Sequence[_Direction], tau_scale: float | None) -> None:
        self.directions = directions
        self.prior_precision = 0.0 if tau_scale is None else tau_scale**-2
        self.scale = max([tau_scale or 0.0, *(direction.spread for direction in directions)])
        self.looks: list[_Seen] = []

    def look(self, x: Array) -> _Seen:
        """See the places x, each between 0 and 1."""
        open_end = 1 - x * x
        tau = self.scale * x * x / open_end
        likelihood, precision, centre = self.directions[0].given(tau**2)
        density = likelihood - 0.5 * self.prior_precision * tau**2
        for direction in self.directions[1:]:
            density = density + direction.given(tau**2)[0]
        seen = _Seen(tau, density, density + np.log(x) - 2 * np.log(open_end), precision, centre)
        self.looks.append(seen)
        return seen

    def range_of_weight(self) -> tuple[float, float]:
        """The range of x outside of which next to nothing lies, found by looking closer and closer."""
        low, high = 0.0, 1.0
        for _ in range(12):
            x = low + (high - low) * (np.arange(SEARCH_NODES) + 0.5) / SEARCH_NODES
            log_weight = self.look(x).log_weight
            kept = np.flatnonzero(log_weight > log_weight.max() - WORTH_KEEPING)
            # One place further at either side, as the weight may only fall there.
            x = np.concatenate([[low], x, [high]])
            low, high = float(x[kept[0]]), float(x[kept[-1] + 2])
            if len(kept) >= SEARCH_NODES // 3:
                break
        return low, high

    def mode(self) -> float:
        """The most likely tau: beside the best place seen, where the slope of the density changes sign."""
        if not self.looks:
            return 0.0
        tau = np.concatenate([seen.tau for seen in self.looks])
        order = np.argsort(tau)
        theta = tau[order] ** 2
        best = int(np.argmax(np.concatenate([seen.density for seen in self.looks])[order]))
        low, high = float(theta[best - 1]) if best else 0.0, float(theta[min(best + 1, len(theta) - 1)])
        at_low, at_high = self._slope(low), self._slope(high)
        if at_low <= 0 or at_high >= 0:
            return math.sqrt(low) if at_low <= 0 else math.sqrt(high)
        # False position; an end that stays put twice has its slope halved, so that both close in (Illinois).
        theta_new, stayed = low, ""
        for _ in range(60):
            before, theta_new = theta_new, (low * at_high - high * at_low) / (at_high - at_low)
            at_new = self._slope(theta_new)
            if at_new > 0:
                low, at_low = theta_new, at_new
                at_high *= 0.5 if stayed == "high" else 1.0
                stayed = "high"
            else:
                high, at_high = theta_new, at_new
                at_low *= 0.5 if stayed == "low" else 1.0
                stayed = "low"
            if at_new == 0 or abs(theta_new - before) <= 1e-7 * theta_new:
                break
        return math.sqrt(theta_new)

    def _slope(self, theta: float) -> float:
        return sum(d.slope(theta) for d in self.directions) - 0.5 * self.prior_precision


def _further(i: int, item: Sequence[Any]) -> _Direction:
    if len(item) not in (2, 4):
        raise wrong_value(f"also[{i}]", f"{len(item)} parts", "(y, v) or (y, v, prior_mean, prior_sd)")
    prior_mean, prior_sd = item[2:] if len(item) == 4 else (0.0, math.inf)
    return _Direction(f"also[{i}].", item[0], item[1], prior_mean, prior_sd)


def _prior_needed(swatches: int) -> CannotSay:
    return CannotSay("prior_needed", swatches=swatches)


def _sum_of_logs(variance: Array) -> Array:
    """Sum of the logarithms of each row; eight to a product first, as a logarithm costs eight
    multiplications.

    Safe from 1e-38 to 1e38 points^2: eight of these still make a number.
    """
    rows, columns = variance.shape
    eighth = columns // 8
    products = variance[:, : 8 * eighth].reshape(rows, 8, eighth).prod(axis=1)
    rest = variance[:, 8 * eighth :]
    return np.asarray(np.log(products).sum(axis=1) + np.log(rest).sum(axis=1))


@lru_cache(maxsize=1)
def _gauss_legendre(nodes: int) -> tuple[Array, Array]:
    place, share = np.polynomial.legendre.leggauss(nodes)
    return (place + 1) / 2, share / 2
