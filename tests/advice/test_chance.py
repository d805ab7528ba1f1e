"""Chance that all points fit: the interval formula, Monte Carlo, and what must hold whatever the numbers."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, stats

from fitcheck.advice.chance import ChanceError, FitPoint, StitchSize, chance_all_fit
from fitcheck.advice.judge.verdict import VerdictError
from fitcheck.estimates.numbers import Estimate

ROW = StitchSize(3.1, 0.01)
DRAWS = 200_000


def across(*rows, piece="back", u=None, tolerance=8.0):
    return [
        FitPoint(piece, "across", count, wanted if u is None else Estimate(wanted, u), tolerance)
        for count, wanted in rows
    ]


BACK = ((120, 528.0), (98, 430.0), (44, 195.0))


def simulated(points, size, local_sd, rng):
    """Share of drawn sweaters in which every point fits (all points across)."""
    shared = rng.standard_normal(DRAWS) if math.isinf(size.dof) else rng.standard_t(size.dof, DRAWS)
    q = size.width_mm * (1 + size.sd * shared)
    fits = np.ones(DRAWS, bool)
    for piece in dict.fromkeys(point.piece for point in points):
        w = q + size.width_mm * size.piece_sd * rng.standard_normal(DRAWS)
        for point in (p for p in points if p.piece == piece):
            read = isinstance(point.wanted, Estimate)
            wanted, u = (point.wanted.value, point.wanted.u) if read else (point.wanted, 0.0)
            length = point.count * w * (1 + local_sd * rng.standard_normal(DRAWS))
            fits &= np.abs(length - wanted - u * rng.standard_normal(DRAWS)) <= point.tolerance_mm
    return fits.mean()


@pytest.mark.parametrize("dof", [3.0, 8.0, 40.0, math.inf])
@pytest.mark.parametrize("value", [4.30, 4.38, 4.42, 4.60])
def test_exact_wanted_values_of_one_piece_give_the_interval_formula(dof, value):
    size = Estimate(value, 0.05, dof)
    got = chance_all_fit(across(*BACK), size, ROW, local_sd=0.0)
    low = max((wanted - 8) / count for count, wanted in BACK)
    high = min((wanted + 8) / count for count, wanted in BACK)
    law = stats.norm if math.isinf(dof) else stats.t(dof)
    expected = law.cdf((high - value) / 0.05) - law.cdf((low - value) / 0.05)
    assert got.all == pytest.approx(expected, abs=1e-7)


def test_a_deviation_of_the_only_piece_adds_to_the_shared_one():
    # Normal shared size and normal piece: variances add, so the interval formula still holds.
    size = StitchSize(4.4, 0.012, 0.009)
    spread = 4.4 * math.hypot(0.012, 0.009)
    low = max((wanted - 8) / count for count, wanted in BACK)
    high = min((wanted + 8) / count for count, wanted in BACK)
    expected = stats.norm.cdf((high - 4.4) / spread) - stats.norm.cdf((low - 4.4) / spread)
    assert chance_all_fit(across(*BACK), size, ROW, local_sd=0.0).all == pytest.approx(expected, abs=1e-5)


@pytest.mark.parametrize(
    ("size", "local_sd", "u"),
    [
        (StitchSize(4.4, 0.012, 0.012, 8.0), 0.007, 1.7),
        (StitchSize(4.42, 0.01, 0.0, math.inf), 0.007, 1.0),
        (StitchSize(4.36, 0.02, 0.008, 4.0), 0.004, 2.5),
        (StitchSize(4.4, 0.006, 0.015, 20.0), 0.0, 0.2),
    ],
)
def test_it_agrees_with_simulated_sweaters(size, local_sd, u):
    points = across(*BACK, u=u) + across((122, 534.0), (100, 440.0), piece="front", u=u)
    got = chance_all_fit(points, size, ROW, local_sd=local_sd).all
    expected = simulated(points, size, local_sd, np.random.default_rng(9))
    assert got == pytest.approx(expected, abs=4.5 * math.sqrt(0.25 / DRAWS))


def test_the_chance_of_one_point_agrees_with_simulated_pieces():
    size, points = StitchSize(4.4, 0.008, 0.015, 6.0), across(*BACK, u=1.7)
    got = chance_all_fit(points, size, ROW)
    rng = np.random.default_rng(12)
    for point, chance in zip(points, got.per_point, strict=True):
        expected = simulated([point], size, 0.007, rng)
        assert chance == pytest.approx(expected, abs=4.5 * math.sqrt(0.25 / DRAWS))


def test_quadrature_agrees_with_adaptive_integration():
    points, size = across(*BACK, u=1.7), Estimate(4.4, 0.05, 6.0)

    def integrand(w):
        chance = stats.t.pdf((w - 4.4) / 0.05, 6.0) / 0.05
        for count, wanted in BACK:
            s = math.hypot(1.7, 0.007 * count * w)
            d = count * w - wanted
            chance *= stats.norm.cdf((8 - d) / s) - stats.norm.cdf((-8 - d) / s)
        return chance

    expected, _ = integrate.quad(integrand, 4.1, 4.7, epsabs=1e-9, points=[4.3, 4.4, 4.5])
    assert chance_all_fit(points, size, ROW).all == pytest.approx(expected, abs=1e-5)


def test_leaving_out_the_tape_of_the_wanted_values_claims_too_much():
    size = StitchSize(4.4, 0.004, 0.0)
    rows = ((120, 528.0), (98, 431.2), (44, 193.6))
    read, exact = across(*rows, u=3.0), across(*rows)
    claimed = chance_all_fit(exact, size, ROW, local_sd=0.0).all
    honest = chance_all_fit(read, size, ROW, local_sd=0.0).all
    truth = simulated(read, size, 0.0, np.random.default_rng(4))
    assert claimed > truth + 0.05
    assert honest == pytest.approx(truth, abs=0.005)


def test_directions_are_independent_and_the_least_likely_point_limits():
    points = [*across((120, 528.0), u=1.0), FitPoint("back", "along", 190, Estimate(600.0, 2.0), 15.0)]
    got = chance_all_fit(points, StitchSize(4.4, 0.02), ROW)
    assert got.all == pytest.approx(got.per_point[0] * got.per_point[1])
    assert got.limiting == int(np.argmin(got.per_point))


def test_nothing_to_fit_always_fits():
    got = chance_all_fit([], ROW, ROW)
    assert (got.all, got.per_point, got.limiting) == (1.0, (), None)


def test_free_tolerances_always_fit_and_impossible_ones_never():
    free = across(*BACK, u=1.0, tolerance=(math.inf, math.inf))
    assert chance_all_fit(free, StitchSize(4.4, 0.02, 0.01, 3.0), ROW).all == pytest.approx(1.0, abs=1e-5)
    apart = across((100, 400.0), (100, 500.0))
    assert chance_all_fit(apart, StitchSize(4.4, 0.02, 0.01), ROW, local_sd=0.0).all == 0.0


@settings(max_examples=60)
@given(
    st.floats(4.2, 4.6),
    st.floats(0.0, 0.04),
    st.sampled_from([0.0, 0.005, 0.02]),
    st.sampled_from([2.0, 5.0, 30.0, math.inf]),
    st.floats(0.0, 4.0),
    st.floats(2.0, 20.0),
    st.floats(0.5, 20.0),
)
def test_wider_tolerances_never_lower_the_chance_and_all_is_never_likelier_than_one(
    width, sd, piece_sd, dof, u, tolerance, more
):
    size = StitchSize(width, sd, piece_sd, dof)
    narrow, wide = (
        chance_all_fit(across(*BACK, u=u, tolerance=t) + across(*BACK, piece="front", u=u, tolerance=t), size, ROW)
        for t in (tolerance, tolerance + more)
    )
    assert wide.all >= narrow.all - 2e-5  # the quadrature's own error
    assert narrow.all <= min(narrow.per_point) + 1e-12
    assert 0.0 <= narrow.all <= 1.0 + 1e-9


@pytest.mark.parametrize("count", [0, -4, math.nan])
def test_a_count_that_is_not_positive_is_refused(count):
    with pytest.raises(ChanceError, match=r"points\[0\]\.count: read"):
        chance_all_fit(across((count, 528.0)), ROW, ROW)


def test_other_impossible_values_are_refused_by_name():
    with pytest.raises(ChanceError, match=r"points\[0\]\.direction: read 'edge'"):
        chance_all_fit([FitPoint("back", "edge", 10, 100.0, 5.0)], ROW, ROW)
    with pytest.raises(ChanceError, match="across: read a size of 0"):
        chance_all_fit(across((120, 528.0)), StitchSize(0.0, 0.01), ROW)
    with pytest.raises(VerdictError, match=r"points\[0\]\.tolerance_mm"):
        chance_all_fit(across((120, 528.0), tolerance=0.0), ROW, ROW)
