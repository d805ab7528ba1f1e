"""Readings to an estimate: tape, laying, resolution, pool, outliers, linear sums."""

from __future__ import annotations

import doctest
import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fitcheck.estimates import readings
from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.readings import (
    Pool,
    ReadingsError,
    ReadingSet,
    combine,
    critical_range,
    estimate_readings,
    one_way,
    overhang_estimate,
    pool_overhangs,
    pool_repeatability,
    type_a,
)
from fitcheck.records.faults import FitcheckError

# The assumed hand at 500 mm, by hand: l = hypot(1.5, 0.004 * 500) = 2.5 mm, laying 0.004 * 500 = 2 mm.
L2_500, LAYING2_500 = 6.25, 4.0


def test_examples_in_the_docstrings_hold():
    assert doctest.testmod(readings).failed == 0


# --- one reading, several readings, several layings ---


def test_one_reading_is_the_assumed_hand_and_six_degrees_of_freedom():
    one = estimate_readings([500.0])
    assert (one.value, one.dof, one.basis, one.outliers) == (500.0, 6.0, "assumed", ())
    assert one.u == pytest.approx(math.sqrt(LAYING2_500 + L2_500))


@pytest.mark.parametrize(
    ("laying", "laying_share"),
    [
        (None, 1.0),
        ([1, 1, 1, 1], 1.0),
        (["a", "b", "c", "d"], 1 / 4),
        ([1, 1, 2, 2], 1 / 2),
        ([1, 1, 1, 2], 10 / 16),  # sum n^2 / k^2: (9 + 1) / 16
    ],
)
def test_variance_is_laying_over_layings_plus_tape_over_readings_plus_resolution(laying, laying_share):
    """u^2 = s_L^2/m + s_r^2/k + d^2/12 (GUM 4.2, F.2.2.1), with the pool as it stands before any data."""
    four = estimate_readings([499.0, 501.0, 499.5, 500.5], laying=laying, resolution_mm=3.0, pool=Pool())
    assert four.value == pytest.approx(500.0)
    assert four.u**2 == pytest.approx(LAYING2_500 * laying_share + L2_500 / 4 + 9.0 / 12)


def test_mixed_resolutions_count_by_the_mean_of_their_squares():
    """One reading to 1 mm, one to 1/8 in = 3.175 mm."""
    mixed = estimate_readings([500.0, 500.0], resolution_mm=[1.0, 3.175], pool=Pool())
    assert mixed.u**2 == pytest.approx(LAYING2_500 + L2_500 / 2 + (1.0 + 3.175**2) / 2 / 12)


deviations = st.lists(st.floats(-40.0, 40.0), min_size=1, max_size=12)
lengths = st.floats(60.0, 1500.0)


@given(lengths, deviations, st.floats(0.0, 5.0), st.lists(deviations, max_size=4))
def test_readings_of_one_laying_never_reach_a_narrower_interval_than_the_laying_allows(
    length, away, resolution, earlier
):
    """However many and however equal: the laying alone is 0.4 % (assumed), and 1.6448 SDs on either side."""
    values = [length + a for a in away]
    for pool in (None, pool_repeatability([[length + a for a in each] for each in earlier])):
        known = estimate_readings(values, resolution_mm=resolution, pool=pool)
        limits = known.interval(0.90)
        assert (limits.high - limits.low) / 2 >= 1.6448 * 0.004 * known.value * (1 - 1e-12)


@given(lengths, st.integers(1, 4), st.integers(1, 12))
def test_readings_of_m_layings_never_reach_a_narrower_interval_than_m_layings_allow(length, m, k):
    assume(k >= m)
    known = estimate_readings([length] * k, laying=[i % m for i in range(k)], pool=Pool())
    assert known.u >= 0.004 * length / math.sqrt(m)


@given(lengths, st.integers(1, 200))
def test_equal_readings_never_give_no_uncertainty(length, k):
    for laying in (None, range(k)):
        assert estimate_readings([length] * k, laying=laying).u > 0.0
        assert overhang_estimate([length] * k, laying=laying).u > 0.0


@given(lengths, st.lists(st.floats(-2.0, 2.0), min_size=2, max_size=8), st.randoms(use_true_random=False))
def test_the_order_of_readings_does_not_matter(length, away, random):
    pairs = [(length + a, i % 3) for i, a in enumerate(away)]
    mixed = random.sample(pairs, len(pairs))
    first = estimate_readings([v for v, _ in pairs], laying=[g for _, g in pairs])
    second = estimate_readings([v for v, _ in mixed], laying=[g for _, g in mixed])
    assert second.value == pytest.approx(first.value, rel=1e-12)
    assert second.u == pytest.approx(first.u, rel=1e-9)


# --- the pool ---


def test_pool_without_data_is_the_assumption():
    for pool in (Pool(), pool_repeatability([]), pool_repeatability([[500.0], []])):
        assert (pool.scale2, pool.dof, pool.basis, pool.laying_dof) == (1.0, 6.0, "assumed", 0.0)
        assert pool.s_mm(500.0) == pytest.approx(2.5)
        assert pool.laying_mm(500.0) == pytest.approx(2.0)


def test_pool_adds_each_set_relative_to_what_is_assumed_at_its_length():
    """By hand: [498, 500, 502] has s^2 = 4 over 6.25 and nu = 2; [199, 201] has s^2 = 2 over 2.89, nu = 1."""
    pool = pool_repeatability([[498.0, 500.0, 502.0], [199.0, 201.0]])
    scale2 = (6 + 2 * 4 / 6.25 + 1 * 2 / 2.89) / 9
    assert pool.dof == 9.0
    assert pool.scale2 == pytest.approx(scale2)
    assert pool.s_mm(800.0) ** 2 == pytest.approx(scale2 * (2.25 + 3.2**2))
    assert pool.basis == "mixed"


def test_pool_without_a_prior_is_the_pooled_sd_of_the_sets():
    """GUM 4.2.4: at one length the relative ratios cancel. By hand s^2 = 4 (2) and 2 (1) give 10/3."""
    pool = pool_repeatability([[498.0, 500.0, 502.0], [499.0, 501.0]], prior_dof=0)
    assert pool.s_mm(500.0) ** 2 == pytest.approx(10 / 3)
    assert pool.dof == 3.0


def test_readings_of_one_laying_leave_the_assumed_laying_as_it_is():
    """A steady tape says nothing about laying the piece out again: 0.4 % stands until two layings exist."""
    pool = pool_repeatability([[500.0, 500.0, 500.0]] * 10)
    assert pool.scale2 == pytest.approx(6 / 26)
    assert pool.laying_mm(500.0) == pytest.approx(2.0)
    assert pool.laying_dof == 0.0


def test_layings_are_compared_with_laying_and_tape_together():
    """Layings (499, 501) and (503, 505): squares within 2 + 2; means 500 and 504, so their variance is 8.

    At the mean length 502, by hand: laying 2.008 mm, l^2 = 2.25 + 2.008^2 = 6.282064, two readings a laying.
    """
    pool = pool_repeatability([ReadingSet([499.0, 503.0, 501.0, 505.0], ["a", "b", "a", "b"])])
    laying2, tape2 = 2.008**2, 6.282064
    between = 8 / (laying2 + tape2 / 2)
    assert pool.dof == 6 + 2 + 1
    assert pool.scale2 == pytest.approx((6 + 4 / tape2 + between) / 9)
    assert pool.laying_dof == 1.0
    assert pool.laying_mm(500.0) ** 2 == pytest.approx(4.0 * (6 + between) / 7)


def test_the_pool_uses_the_published_analysis_of_variance_of_a_balanced_set():
    """Between and within of one_way (checked against NIST and others), put into the pool's formula."""
    groups = [[498.0, 501.0, 500.0], [503.0, 505.0, 502.0], [499.0, 497.0, 500.0]]
    v = one_way(groups)
    flat = [x for group in groups for x in group]
    pool = pool_repeatability([ReadingSet(flat, [0, 0, 0, 1, 1, 1, 2, 2, 2])], prior_dof=0)
    length = sum(flat) / 9
    tape2 = 1.5**2 + (0.004 * length) ** 2
    expected_msb = 3 * (0.004 * length) ** 2 + tape2
    assert pool.scale2 == pytest.approx((6 * v.msw / tape2 + 2 * v.msb / expected_msb) / 8)


def test_basis_follows_what_the_readings_outweigh():
    pair = [499.0, 501.0]
    assert pool_repeatability([pair] * 1).basis == "mixed"
    assert pool_repeatability([pair] * 6).basis == "mixed"
    assert pool_repeatability([pair] * 7).basis == "measured"
    assert estimate_readings(pair, pool=pool_repeatability([pair] * 7)).basis == "measured"


@given(st.lists(st.lists(st.floats(100.0, 900.0), min_size=2, max_size=5), min_size=1, max_size=5))
def test_pool_is_the_same_in_any_order_and_lies_between_prior_and_readings(sets):
    pool, backwards = pool_repeatability(sets), pool_repeatability(sets[::-1])
    alone = pool_repeatability(sets, prior_dof=0)
    assert backwards.scale2 == pytest.approx(pool.scale2, rel=1e-12)
    low, high = sorted((1.0, alone.scale2))
    assert low * (1 - 1e-12) <= pool.scale2 <= high * (1 + 1e-12)


def test_an_estimate_carries_the_pool_it_was_made_with():
    pool = pool_repeatability([[498.0, 500.0, 502.0]] * 4)
    made = estimate_readings([500.0, 501.0], pool=pool)
    assert (made.dof, made.source) == (14.0, "tape pool")
    own = estimate_readings([498.0, 500.0, 502.0])
    assert own.dof == 8.0
    assert own.u**2 == pytest.approx(LAYING2_500 + L2_500 * (6 + 2 * 4 / 6.25) / 8 / 3)


# --- outliers ---


def test_critical_range_is_the_range_that_nineteen_in_twenty_sets_stay_within():
    """ISO 5725-6 against the distribution of the range of k normal readings, which it is rounded from."""
    from scipy.stats import studentized_range

    for k in range(2, 11):
        assert critical_range(k) == pytest.approx(studentized_range.ppf(0.95, k, math.inf), abs=0.051)
    assert critical_range(30) == critical_range(10)


def test_a_reading_outside_the_critical_range_is_named_and_the_median_taken():
    """f(3) s_r = 3.3 * 2.5 = 8.25 mm at 500 mm (ISO 5725-6)."""
    kept = estimate_readings([500.0, 501.0, 508.2], pool=Pool())
    assert kept.outliers == ()
    assert kept.value == pytest.approx(503.0666666667)
    outliers = estimate_readings([500.0, 501.0, 540.0], resolution_mm=1.0, pool=Pool())
    assert outliers.outliers == (2,)
    assert outliers.value == 501.0
    s2 = 1.5**2 + (0.004 * 501) ** 2
    assert outliers.u**2 == pytest.approx((0.004 * 501) ** 2 + 1.2533**2 * s2 / 3 + 1 / 12)


def test_readings_of_several_layings_may_range_further():
    """f(3) hypot(s_r, s_L) = 3.3 * 3.2016 = 10.57 mm at 500 mm; of one laying only 8.25."""
    values = [495.5, 500.0, 505.0]
    assert estimate_readings(values, laying=[1, 2, 3], pool=Pool()).outliers == ()
    assert estimate_readings(values, laying=[1, 1, 1], pool=Pool()).outliers == (2,)
    assert estimate_readings([494.0, 500.0, 505.0], laying=[1, 2, 3], pool=Pool()).outliers == (0,)


def test_a_wild_reading_does_not_hide_itself_when_there_is_no_pool():
    """By hand phi^2 = (6 + 2 * 70.3 / 6.25) / 8 = 3.6, so 3.3 * 4.7 = 15.6 mm; the prior allows 8.25."""
    alone = estimate_readings([500.0, 501.0, 515.0])
    assert alone.outliers == (2,)
    assert alone.value == 501.0
    assert alone.u > estimate_readings([500.0, 501.0, 515.0], pool=Pool()).u  # the doubt stays in u


def test_when_two_readings_disagree_both_are_questioned():
    assert estimate_readings([500.0, 520.0]).outliers == (0, 1)


def test_the_typed_readings_are_not_changed():
    values = [500.0, 501.0, 540.0]
    estimate_readings(values)
    assert values == [500.0, 501.0, 540.0]


# --- overhangs ---


def test_one_overhang_is_two_millimetres_and_its_resolution():
    one = overhang_estimate([-4.0], resolution_mm=1.0)
    assert (one.value, one.dof, one.source, one.basis) == (-4.0, 6.0, "overhang pool", "assumed")
    assert one.u**2 == pytest.approx(4.0 + 1.0 / 12)


def test_overhangs_share_the_error_of_their_laying():
    """2 mm^2 for the laying and 2 mm^2 for the reading, whatever the lengths."""
    values = [1.0, 2.0, 0.0, 1.0]
    assert overhang_estimate(values, pool=pool_overhangs([])).u ** 2 == pytest.approx(2.0 + 2.0 / 4)
    assert overhang_estimate(values, laying=[1, 2, 3, 4], pool=pool_overhangs([])).u == pytest.approx(1.0)


def test_overhangs_have_a_pool_of_their_own():
    """By hand: [-1, 0, 1] has s^2 = 1 over 2, nu = 2, so phi^2 = 7/8."""
    pool = pool_overhangs([[-1.0, 0.0, 1.0]])
    assert (pool.source, pool.dof) == ("overhang pool", 8.0)
    assert pool.scale2 == pytest.approx(7 / 8)
    assert overhang_estimate([3.0], pool=pool).u ** 2 == pytest.approx(2.0 + 2.0 * 7 / 8)
    with pytest.raises(ReadingsError, match="overhang pool"):
        estimate_readings([500.0], pool=pool)
    with pytest.raises(ReadingsError, match="tape pool"):
        overhang_estimate([1.0], pool=Pool())


# --- linear sums ---


def test_sides_of_one_pool_do_not_gain_degrees_of_freedom():
    side = estimate_readings([500.0, 501.0], pool=Pool())
    gap = combine(side, side, weights=(1, -1))
    assert gap.dof == pytest.approx(6.0)
    assert gap.u == pytest.approx(math.sqrt(2) * side.u)
    assert gap.source == "tape pool"
    apart = [Estimate(e.value, e.u, e.dof) for e in (side, side)]
    assert combine(*apart).dof == pytest.approx(12.0)


def test_one_source_with_unequal_degrees_of_freedom_counts_the_fewest():
    pair = Estimate(1.0, 1.0, 8, source="tape pool"), Estimate(1.0, 2.0, 20, source="tape pool")
    assert combine(*pair).dof == pytest.approx(8.0)


def test_known_and_exact_parts_add_no_doubt_about_the_scatter():
    """Half the variance known, half with 6 degrees of freedom: (1 + 1)^2 / (1/6) = 24 (GUM G.4.1)."""
    y = combine(Estimate(10.0, 1.0, 6), Estimate(5.0, 1.0), Estimate(2.0))
    assert (y.value, y.dof) == (17.0, pytest.approx(24.0))
    exact = combine(Estimate(2.0), Estimate(3.0), weights=(2, -1))
    assert (exact.value, exact.u, exact.dof) == (1.0, 0.0, math.inf)


def test_basis_of_a_sum_is_mixed_when_its_parts_differ():
    measured, assumed = Estimate(1.0, 1.0, 5), Estimate(1.0, 1.0, 5, basis="assumed")
    assert combine(measured, measured).basis == "measured"
    assert combine(assumed, assumed).basis == "assumed"
    assert combine(measured, assumed).basis == "mixed"


estimates = st.builds(
    Estimate,
    value=st.floats(-1e3, 1e3),
    u=st.floats(0.01, 50.0),
    dof=st.floats(1.0, 100.0),
    source=st.sampled_from(["", "tape pool", "overhang pool"]),
)


@given(st.lists(estimates, min_size=1, max_size=6))
def test_sums_keep_order_bounds_and_scale(parts):
    y = combine(*parts)
    back = combine(*parts[::-1])
    twice = combine(*parts, weights=[2.0] * len(parts))
    assert back.u == pytest.approx(y.u, rel=1e-12)
    assert back.dof == pytest.approx(y.dof, rel=1e-9)
    assert (twice.value, twice.u) == (pytest.approx(2 * y.value), pytest.approx(2 * y.u))
    assert twice.dof == pytest.approx(y.dof, rel=1e-9)
    dofs = [e.dof for e in parts]
    assert min(dofs) * (1 - 1e-9) <= y.dof <= sum(dofs) * (1 + 1e-9)


# --- what is refused ---


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: estimate_readings([]), "values_mm: read no reading"),
        (lambda: estimate_readings([500.0, -3.0]), r"values_mm\[1\]: read -3 mm; a length above 0"),
        (lambda: estimate_readings([500.0, 0.0]), "overhang_estimate"),
        (lambda: estimate_readings([math.nan]), r"values_mm\[0\]: read nan; a finite number"),
        (lambda: estimate_readings([500.0, 501.0], laying=[1]), "laying: read 1 layings for 2 readings"),
        (lambda: estimate_readings([500.0], resolution_mm=-1.0), "resolution_mm: read -1.0"),
        (lambda: estimate_readings([500.0], resolution_mm=[1.0, 1.0]), "resolution_mm: read 2 for 1"),
        (lambda: overhang_estimate([math.inf]), r"values_mm\[0\]: read inf"),
        (lambda: pool_repeatability([[500.0], [-1.0, 2.0]]), r"sets\[1\]\[0\]: read -1 mm"),
        (lambda: pool_repeatability([ReadingSet([1.0, 2.0], [1])]), r"sets\[0\]\.laying: read 1 layings"),
        (lambda: pool_repeatability([], prior_dof=0), "prior_dof is 0"),
        (lambda: pool_repeatability([], prior_dof=-1), "prior_dof: read -1"),
        (lambda: combine(), "estimates: read none"),
        (lambda: combine(Estimate(1.0), weights=(1, 2)), "weights: read 2 for 1"),
        (lambda: combine(Estimate(1.0, 1.0, 0.0)), r"estimates\[0\]\.dof: read 0"),
        (lambda: type_a([1.0]), "at least 2"),
        (lambda: one_way([[1.0, 2.0]]), "at least two groups"),
        (lambda: one_way([[1.0], [2.0]]), "one repeat within"),
        (lambda: critical_range(1), "at least 2"),
    ],
)
def test_what_cannot_be_worked_with_is_refused_by_name(call, says):
    with pytest.raises(ReadingsError, match=says) as caught:
        call()
    assert isinstance(caught.value, ValueError)
    assert isinstance(caught.value, FitcheckError)
