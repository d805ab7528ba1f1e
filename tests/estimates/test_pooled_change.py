"""Pooling the change of swatches and predicting the next piece."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq, minimize_scalar
from scipy.special import ndtr

from fitcheck.estimates.numbers import CannotSay, Estimate, Interval
from fitcheck.notebook.pooled_change import PooledChange, pooled_change
from fitcheck.records.faults import RecordsError
from tests.published.peers import CHANGE, kept

FLAT = {"prior_sd": math.inf, "tau_scale": None}


def _next(pooled: PooledChange, level: float = 0.90) -> Interval:
    interval = pooled.next_piece(level)
    assert isinstance(interval, Interval)
    return interval


def _mean(pooled: PooledChange) -> Estimate:
    assert isinstance(pooled.mean, Estimate)
    return pooled.mean


def _swatches(seed: int, k: int, tau: float, v: np.ndarray) -> tuple[list[float], list[float]]:
    """Invented swatches with a known spread."""
    rng = np.random.default_rng(seed)
    return rng.normal(-4.0, np.sqrt(v + tau**2), k).tolist(), v.tolist()


def _log_density(y: np.ndarray, v: np.ndarray, tau: float, prior: tuple[float, float] | None) -> float:
    """Log p(y | tau) from whole matrices: y is normal with one covariance matrix (textbook REML)."""
    k = len(y)
    cov = np.diag(v) + tau**2 * np.eye(k)
    if prior is None:
        inverse = np.linalg.inv(cov)
        information = inverse.sum()
        residual = y - inverse.sum(axis=0) @ y / information
        quadratic, extra = residual @ inverse @ residual, math.log(information)
    else:
        cov = cov + prior[1] ** 2
        residual, extra = y - prior[0], 0.0
        quadratic = residual @ np.linalg.solve(cov, residual)
    return -0.5 * (float(np.linalg.slogdet(cov)[1]) + quadratic + extra)


def _fine_grid(
    y: list[float],
    v: list[float],
    *,
    m0: float = -3.0,
    s0: float = 5.0,
    scale: float = 2.0,
    nodes: int = 6000,
) -> tuple[float, float]:
    """90 % limits of the next piece by brute force: equally spaced tau, no refinement, a root finder."""
    ys, vs = np.array(y), np.array(v)
    tau = (np.arange(nodes) + 0.5) / nodes * max(6.0 * scale, 3.0 * float(np.ptp(ys)) if y else 0.0)
    weight, mean, sd = (np.empty(nodes) for _ in range(3))
    for i, t in enumerate(tau):
        w = 1 / (vs + t * t)
        precision = s0**-2 + w.sum()
        mean[i] = (m0 * s0**-2 + (w * ys).sum()) / precision
        squares = (w * (ys - mean[i]) ** 2).sum() + (mean[i] - m0) ** 2 / s0**2
        weight[i] = -0.5 * (t * t / scale**2 + math.log(precision) + np.log(vs + t * t).sum() + squares)
        sd[i] = math.sqrt(1 / precision + t * t)
    weight = np.exp(weight - weight.max())
    weight /= weight.sum()
    low, high = (
        brentq(lambda q, p=p: float(weight @ ndtr((q - mean) / sd)) - p, -500, 500, xtol=1e-9) for p in (0.05, 0.95)
    )
    return low, high


def test_without_swatches_the_answer_is_the_prior_and_says_so() -> None:
    pooled = pooled_change([], [])
    assert (_mean(pooled).value, _mean(pooled).u) == pytest.approx((-3.0, 5.0), abs=1e-9)
    assert pooled.basis == _mean(pooled).basis == "assumed"
    limits = _next(pooled)
    assert (limits.low, limits.high) == pytest.approx(_fine_grid([], []), abs=0.002)


def test_a_prior_without_spread_between_swatches_is_a_normal_distribution() -> None:
    # 1.6449 is the normal 95 % point (any table): -3 +- 1.6449 x 5.
    limits = _next(pooled_change([], [], tau_scale=1e-6))
    assert (limits.low, limits.high) == pytest.approx((-3 - 1.64485 * 5, -3 + 1.64485 * 5), abs=1e-3)


@pytest.mark.parametrize("k", [1, 2, 3, 6, 12])
@pytest.mark.parametrize("tau", [0.0, 1.0, 4.0])
def test_limits_are_good_to_two_thousandths_of_a_point(k: int, tau: float) -> None:
    y, v = _swatches(100 * k + int(tau), k, tau, np.full(k, 0.25))
    limits = _next(pooled_change(y, v))
    assert (limits.low, limits.high) == pytest.approx(_fine_grid(y, v), abs=0.002)


@pytest.mark.parametrize("seed", range(6))
def test_limits_are_good_when_readings_differ_a_hundredfold(seed: int) -> None:
    v = 10 ** np.random.default_rng(seed).uniform(-2, 2, 7)
    y, variances = _swatches(seed, 7, 1.5, v)
    limits = _next(pooled_change(y, variances))
    assert (limits.low, limits.high) == pytest.approx(_fine_grid(y, variances), abs=0.002)


def test_swatches_far_from_the_prior_and_from_each_other_are_followed() -> None:
    y, v = [-40.0, 10.0, 25.0, -3.0], [0.2, 0.2, 0.2, 0.2]
    limits = _next(pooled_change(y, v))
    assert (limits.low, limits.high) == pytest.approx(_fine_grid(y, v), abs=0.002)


@pytest.mark.parametrize("seed", range(8))
def test_the_mode_under_flat_priors_is_the_reml_estimate(seed: int) -> None:
    rng = np.random.default_rng(seed)
    k = int(rng.integers(3, 15))
    y, v = _swatches(seed, k, 2.0, 10 ** rng.uniform(-1.5, 0.5, k))
    ys, vs = np.array(y), np.array(v)
    reml = minimize_scalar(
        lambda theta: -_log_density(ys, vs, math.sqrt(theta), None),
        bounds=(0.0, 60.0),
        method="bounded",
        options={"xatol": 1e-9},
    ).x
    assert pooled_change(y, v, **FLAT).tau_mode ** 2 == pytest.approx(reml, abs=1e-4)


def test_the_mode_with_priors_is_the_top_of_the_whole_matrix_density() -> None:
    y, v = _swatches(5, 6, 2.5, np.full(6, 0.3))
    top = minimize_scalar(
        lambda tau: tau**2 / 8 - _log_density(np.array(y), np.array(v), tau, (-3.0, 5.0)),
        bounds=(0.0, 9.0),
        method="bounded",
        options={"xatol": 1e-9},
    ).x
    assert pooled_change(y, v).tau_mode == pytest.approx(top, abs=1e-5)


def test_the_mode_is_zero_when_swatches_agree_better_than_their_readings() -> None:
    assert pooled_change([-4.0, -4.1, -3.9, -4.0], [1.0] * 4, **FLAT).tau_mode == 0.0


def test_equal_variances_have_the_closed_form_of_balanced_data() -> None:
    # REML for k equal variances v: tau^2 = max(0, s^2 - v), s^2 the variance of the y.
    y = [-6.0, -3.5, -4.0, -1.0, -5.5]
    assert pooled_change(y, [0.4] * 5, **FLAT).tau_mode ** 2 == pytest.approx(np.var(y, ddof=1) - 0.4, abs=1e-8)


def test_the_mode_agrees_with_a_mixed_model_of_every_reading() -> None:
    # statsmodels MixedLM (REML) on 8 invented swatches read 4 times; its variances are good to about 1e-4.
    peer = kept()["change"]
    within = CHANGE.var(axis=1, ddof=1).mean()
    pooled = pooled_change(CHANGE.mean(axis=1).tolist(), [within / 4] * 8, **FLAT)
    assert pooled.tau_mode**2 == pytest.approx(peer["between"], rel=2e-4)
    assert _mean(pooled).value == pytest.approx(peer["mean"], abs=1e-6)


def test_many_swatches_leave_the_spread_between_pieces_and_nothing_else() -> None:
    y, v = _swatches(3, 4000, 1.5, np.full(4000, 0.25))
    limits = _next(pooled_change(y, v))
    # Within the sampling error of 4000 invented swatches.
    assert (limits.high - limits.low) / 2 == pytest.approx(1.64485 * 1.5, rel=0.04)


@pytest.mark.full
def test_the_search_closes_in_on_a_spread_that_is_known_to_a_thousandth() -> None:
    # Equal variances: with 300,000 invented swatches tau^2 is s^2 - v, known to 1 in 500.
    y = np.random.default_rng(9).normal(-4.0, math.sqrt(1.0 + 0.25), 300_000)
    limits = _next(pooled_change(y.tolist(), [0.25] * len(y)))
    half = 1.644854 * math.sqrt(y.var() - 0.25)  # 1.644854: normal 95 % point, any table
    assert (limits.low, limits.high) == pytest.approx((y.mean() - half, y.mean() + half), abs=0.001)


def test_ten_thousand_swatches_keep_their_limits() -> None:
    v = 10 ** np.random.default_rng(1).uniform(-1, 0.5, 10_000)
    y, variances = _swatches(2, 10_000, 1.0, v)
    limits = _next(pooled_change(y, variances))
    # The 6,000 places from 0 to 12 again, computed only from 0.8 to 1.2, where tau lies.
    ys = np.array(y)
    tau = 12 * (np.arange(400, 600) + 0.5) / 6000
    w = 1 / (v + tau[:, None] ** 2)
    precision = 0.04 + w.sum(axis=1)
    mean = (-3 * 0.04 + w @ ys) / precision
    log_weight = -0.5 * (
        tau**2 / 4
        + np.log(precision)
        + np.log(v + tau[:, None] ** 2).sum(axis=1)
        + (w * (ys - mean[:, None]) ** 2).sum(axis=1)
        + (mean + 3) ** 2 * 0.04
    )
    weight = np.exp(log_weight - log_weight.max())
    sd = np.sqrt(1 / precision + tau**2)
    for p, limit in ((0.05, limits.low), (0.95, limits.high)):
        want = brentq(lambda q, p=p: weight @ ndtr((q - mean) / sd) / weight.sum() - p, -50, 50)
        assert limit == pytest.approx(want, abs=0.005)


def test_the_limits_hold_exactly_the_chance_that_is_asked_for() -> None:
    pooled = pooled_change(*_swatches(8, 4, 1.0, np.full(4, 0.3)))
    weight, centre, sd = (np.array(values) for values in (pooled.weight, pooled.centre, pooled.sd))
    for level in (0.5, 0.9, 0.99):
        limits = _next(pooled, level)
        inside = weight @ (ndtr((limits.high - centre) / sd) - ndtr((limits.low - centre) / sd))
        assert inside == pytest.approx(level, abs=1e-6)


def test_shifting_prior_and_swatches_together_shifts_the_answer() -> None:
    y, v = _swatches(4, 5, 1.0, np.full(5, 0.3))
    here = _next(pooled_change(y, v, prior_mean=-3.0))
    there = _next(pooled_change([value + 2.5 for value in y], v, prior_mean=-0.5))
    assert (there.low, there.high) == pytest.approx((here.low + 2.5, here.high + 2.5), abs=1e-5)


def test_a_direction_that_shares_the_spread_moves_the_width_and_not_the_mean() -> None:
    own = ([-5.0, -4.6], [0.2, 0.2])
    alone = pooled_change(*own)
    steady = pooled_change(*own, also=[([1.0, 1.1, 0.9, 1.0, 1.05], [0.05] * 5)])
    unsteady = pooled_change(*own, also=[([1.0, 9.0, -8.0, 4.0, -3.0], [0.05] * 5)])
    widths = [_next(pooled).high - _next(pooled).low for pooled in (steady, alone, unsteady)]
    assert widths == sorted(widths)
    assert widths[2] > 1.5 * widths[0]
    assert abs(_mean(steady).value - _mean(alone).value) < 0.1


def test_two_directions_with_shared_spread_agree_with_whole_matrices() -> None:
    # Free means: the log densities of the two directions add up.
    first, second = _swatches(21, 5, 1.5, np.full(5, 0.3)), _swatches(22, 7, 1.5, np.full(7, 0.1))
    top = minimize_scalar(
        lambda tau: -sum(_log_density(np.array(y), np.array(v), tau, None) for y, v in (first, second)),
        bounds=(0.0, 9.0),
        method="bounded",
        options={"xatol": 1e-9},
    ).x
    assert pooled_change(*first, also=[second], **FLAT).tau_mode == pytest.approx(top, abs=1e-5)


def test_a_further_direction_may_bring_its_own_prior() -> None:
    # One swatch at 0 says nothing of the spread while its mean is free, and much once that is known to be 8.
    own = ([-5.0, -4.6], [0.2, 0.2])
    free = pooled_change(*own, also=[([0.0], [0.2])])
    known = pooled_change(*own, also=[([0.0], [0.2], 8.0, 0.01)])
    assert free.tau_mode == pytest.approx(pooled_change(*own).tau_mode, abs=1e-6)
    assert known.tau_mode > 2.0


def test_the_basis_is_mixed_until_swatches_outweigh_the_prior() -> None:
    bases = [pooled_change([-4.0, -4.5, -3.8, -4.2][:k], [0.25] * k).basis for k in range(5)]
    assert bases == ["assumed", "mixed", "mixed", "measured", "measured"]


@pytest.mark.parametrize("k", [0, 1, 2])
def test_flat_priors_with_fewer_than_three_swatches_cannot_say(k: int) -> None:
    pooled = pooled_change([-4.0, -6.0][:k], [0.25] * k, **FLAT)
    for found in (pooled.mean, pooled.next_piece()):
        assert isinstance(found, CannotSay)
        assert found.code == "prior_needed"
    # Two swatches still have a REML estimate: s^2 - v = 2 - 0.25.
    assert pooled.tau_mode**2 == pytest.approx(1.75 if k == 2 else 0.0, abs=1e-8)


def test_three_swatches_with_flat_priors_have_limits_but_no_finite_uncertainty_of_the_mean() -> None:
    # The mean given tau has variance tau^2/3 and tau a tail of tau^-2, whose variance does not exist.
    pooled = pooled_change([-4.0, -6.0, -5.0], [0.25] * 3, **FLAT)
    assert _mean(pooled).u == math.inf
    assert math.isfinite(_next(pooled).high)


def test_the_mean_has_a_finite_uncertainty_from_five_swatches_with_flat_priors_on() -> None:
    # k swatches leave tau a tail of tau^-(k-1); tau^2 has a mean from the fourth power on.
    changes = [-4.0, -6.0, -5.0, -4.5, -5.5]
    finite = [math.isfinite(_mean(pooled_change(changes[:k], [0.25] * k, **FLAT)).u) for k in (3, 4, 5)]
    assert finite == [False, False, True]


@pytest.mark.parametrize(
    ("call", "place"),
    [
        (lambda: pooled_change([1.0], []), "v"),
        (lambda: pooled_change([1.0], [0.0]), r"y\[0\], v\[0\]"),
        (lambda: pooled_change([1.0, math.nan], [1.0, 1.0]), r"y\[1\], v\[1\]"),
        (lambda: pooled_change([], [], prior_sd=0.0), "prior_sd"),
        (lambda: pooled_change([], [], prior_mean=math.nan), "prior_mean"),
        (lambda: pooled_change([], [], tau_scale=-1.0), "tau_scale"),
        (lambda: pooled_change([], [], also=[([1.0], [-1.0])]), r"also\[0\]\.y\[0\]"),
        (lambda: pooled_change([], [], also=[([1.0],)]), r"also\[0\]"),
        (lambda: pooled_change([], []).next_piece(1.0), "level"),
    ],
)
def test_a_number_that_cannot_be_pooled_is_named(call: object, place: str) -> None:
    with pytest.raises(RecordsError, match=f"^{place}.*: read"):
        call()  # type: ignore[operator]
