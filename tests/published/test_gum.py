"""Examples of the Guide to the Expression of Uncertainty in Measurement (JCGM 100:2008), GTC beside them."""

from __future__ import annotations

import math

import GTC
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.readings import combine, one_way, type_a


def test_gum_4_4_3_twenty_observations(published):
    gum = published("gum_4_4_3")
    t = type_a(gum.data["x"])
    assert gum.agrees("mean", t.value)
    assert gum.agrees("u", t.u)
    assert gum.agrees("s", t.u * math.sqrt(20))
    assert t.dof == 19  # n - 1, GUM 4.2.6


def test_gum_g_4_1_three_components(published):
    gum = published("gum_g4")
    parts = [Estimate(0.0, u, nu) for u, nu in zip(gum.data["u"], gum.data["nu"], strict=True)]
    y = combine(*parts)
    assert gum.agrees("uc", y.u)
    assert gum.agrees("veff", y.dof)
    assert gum.agrees("U95", y.interval(0.95).high)


def test_gum_h_1_end_gauge_at_once(published):
    gum = published("gum_h1")
    y = combine(*[Estimate(0.0, u, nu) for u, nu in zip(gum.data["u"], gum.data["nu"], strict=True)])
    assert gum.agrees("uc", y.u)
    assert gum.agrees("veff", y.dof)


def test_gum_h_1_end_gauge_step_by_step(published):
    """The steps 9.7 nm with 25.6 degrees of freedom, then 16 and 93 nm at 99 %, are from memory of H.1.6."""
    gum = published("gum_h1")
    standard, repeated, random, systematic, expansion, temperature = (
        Estimate(0.0, u, nu) for u, nu in zip(gum.data["u"], gum.data["nu"], strict=True)
    )
    comparator = combine(repeated, random, systematic)
    assert comparator.u == pytest.approx(9.7, abs=0.05)  # printed to 0.1 nm
    assert comparator.dof == pytest.approx(25.6, abs=0.2)  # the GUM goes on from the rounded 9.7
    length = combine(standard, comparator, expansion, temperature)
    assert gum.agrees("uc", length.u)
    assert gum.agrees("veff", length.dof)
    whole = Estimate(0.0, length.u, math.floor(length.dof))  # GUM truncates before the t table
    assert whole.dof == 16
    assert whole.interval(0.99).high == pytest.approx(93, abs=0.8)  # 2.92 times 32, both rounded


def zener_days(data):
    """Five observations a day with exactly the printed daily mean and SD (the table gives no single ones)."""
    pattern = [-2.0, -1.0, 0.0, 1.0, 2.0]  # mean 0, variance 2.5
    return [
        [mean + s * p / math.sqrt(2.5) for p in pattern]
        for mean, s in zip(data["mean_minus_10V_uV"], data["s_within_uV"], strict=True)
    ]


def test_gum_h_5_voltage_standard_between_and_within_days(published):
    gum = published("gum_h5")
    days = type_a(gum.data["mean_minus_10V_uV"])
    assert gum.agrees("mean", days.value)
    assert gum.agrees("s_mean", days.u * math.sqrt(10))
    v = one_way(zener_days(gum.data))
    assert (v.dof_between, v.dof_within) == (9, 40)
    assert gum.agrees("mean", v.mean)
    assert gum.agrees("s_pool", v.sd_within)
    assert gum.agrees("F", v.f)
    assert gum.agrees("s_B", v.sd_between)
    assert gum.agrees("u", v.u_mean)
    assert math.sqrt(v.msb) == pytest.approx(128, abs=0.5)  # s_a = 128 uV in H.5.2.2, from memory


uncertain = st.lists(
    st.tuples(
        st.floats(0.01, 100.0),  # u
        st.floats(1.0, 200.0),  # dof
        st.floats(-3.0, 3.0).filter(lambda w: abs(w) > 0.01),
    ),
    min_size=1,
    max_size=6,
)


@given(uncertain)
def test_degrees_of_freedom_agree_with_gtc(parts):
    ours = combine(*[Estimate(1.0, u, nu) for u, nu, _ in parts], weights=[w for _, _, w in parts])
    theirs = sum(w * GTC.ureal(1.0, u, nu) for u, nu, w in parts)
    assert ours.value == pytest.approx(theirs.x, rel=1e-12, abs=1e-12)
    assert ours.u == pytest.approx(theirs.u, rel=1e-12)
    assert ours.dof == pytest.approx(theirs.df, rel=1e-9)


def test_sides_of_one_pool_agree_with_a_gtc_ensemble():
    """Two sides of one pool (14 degrees of freedom) and an independent wish of its own uncertainty (5)."""
    first, second = GTC.multiple_ureal([500.0, 510.0], [1.5, 2.0], 14)
    theirs = second - first + GTC.ureal(3.0, 1.0, 5)
    ours = combine(
        Estimate(510.0, 2.0, 14, source="tape pool"),
        Estimate(500.0, 1.5, 14, source="tape pool"),
        Estimate(3.0, 1.0, 5),
        weights=(1, -1, 1),
    )
    assert ours.u == pytest.approx(theirs.u, rel=1e-12)
    assert ours.dof == pytest.approx(theirs.df, rel=1e-12)
