"""Change in finishing from readings before and after."""

from __future__ import annotations

import doctest
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.readings import ReadingsError
from fitcheck.notebook import change
from fitcheck.notebook.change import finishing_change


def test_examples_in_the_docstrings_hold():
    assert doctest.testmod(change).failed == 0


@pytest.mark.parametrize(("before", "after"), [(350.0, 343.0), (350.0, 350.0), (350.0, 364.0), (200.0, 150.0)])
def test_percent_is_the_formula_and_sign_of_iso_5077(before, after):
    """ISO 5077:2007: 100 (x_t - x_0)/x_0, minus = shrinkage."""
    assert finishing_change(before, after).percent == pytest.approx(100 * (after - before) / before, abs=1e-12)


def test_knit_record_29_by_44_becoming_28_by_46():
    """Per 10 cm 29 stitches x 44 rows before, 28 x 46 after: +3.57 % across, -4.35 % along.

    Common practice, no source; the percentages are arithmetic.
    """
    assert finishing_change(100 / 29, 100 / 28).percent == pytest.approx(3.57, abs=0.005)
    assert finishing_change(100 / 44, 100 / 46).percent == pytest.approx(-4.35, abs=0.005)


def test_uncertainty_is_that_of_both_readings_relative():
    """By hand: 1 % before and 2 % after are hypot(1, 2) log points; GUM G.4: 5^2 / (1/4 + 16/8) = 100/9."""
    y = finishing_change(Estimate(100.0, 1.0, 4), Estimate(150.0, 3.0, 8))
    assert y.log_percent == pytest.approx(100 * math.log(1.5))
    assert y.u == pytest.approx(math.sqrt(5))
    assert y.dof == pytest.approx(100 / 9)


def test_stages_read_with_one_pool_share_its_degrees_of_freedom():
    sides = [Estimate(v, 1.0, 8, source="tape pool", basis="assumed") for v in (100.0, 102.0)]
    y = finishing_change(*sides)
    assert y.dof == pytest.approx(8.0)
    assert y.basis == "assumed"


def test_interval_is_taken_in_log_points_and_shown_in_percent():
    """90 % normal quantile 1.6449, u = 10 log points about no change: exp(+-0.16449) - 1."""
    limits = finishing_change(Estimate(100.0, 10.0), Estimate(100.0)).interval(0.90)
    assert limits.low == pytest.approx(-15.17, abs=0.005)
    assert limits.high == pytest.approx(17.88, abs=0.005)


lengths = st.floats(1.0, 2000.0)


@given(lengths, lengths, lengths)
def test_changes_of_two_washes_add_up(first, second, third):
    whole = finishing_change(first, third).log_percent
    parts = finishing_change(first, second).log_percent + finishing_change(second, third).log_percent
    assert parts == pytest.approx(whole, abs=1e-9)


@given(lengths, lengths, st.floats(0.1, 10.0))
def test_the_scale_of_the_tape_cancels(before, after, scale):
    stretched = finishing_change(before * scale, after * scale)
    assert stretched.percent == pytest.approx(finishing_change(before, after).percent, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_what_is_no_length_is_refused_by_name(bad):
    with pytest.raises(ReadingsError, match="before: read"):
        finishing_change(bad, 100.0)
    with pytest.raises(ReadingsError, match="after: read"):
        finishing_change(100.0, Estimate(bad, 1.0))
