"""Normal and Student's distributions, held against scipy.special."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special

from fitcheck.estimates.student import (
    incomplete_beta,
    normal_cdf,
    normal_excess,
    normal_quantile,
    student_cdf,
    student_quantile,
)


def test_normal_cdf_agrees_with_scipy_between_and_at_the_places_of_its_table():
    # The next term of the series is (1/512)^4 / 24 times a derivative of at most 0.55: 3.4e-13.
    z = np.concatenate([np.linspace(-40, 40, 4001), np.linspace(-1, 1, 2001), np.linspace(-9.1, 9.1, 60_001)])
    assert np.abs(normal_cdf(z) - special.ndtr(z)).max() < 1e-12


def test_normal_cdf_keeps_its_relative_figures_in_the_lower_tail():
    # There the next term is (z / 512)^4 / 24 of the value itself: 2.5e-9 at z = -8.
    z = np.linspace(-8, -1, 500)
    assert np.allclose(normal_cdf(z), special.ndtr(z), rtol=1e-8, atol=0.0)


def test_normal_cdf_takes_infinities_and_any_shape():
    z = np.array([[-math.inf, 0.0], [math.inf, 1.959963984540054]])
    assert normal_cdf(z) == pytest.approx(np.array([[0.0, 0.5], [1.0, 0.975]]), abs=1e-12)


def test_what_a_normal_number_exceeds_another_by_agrees_with_scipy_and_is_a_straight_line_far_below():
    # 1e-12: the next term of the series is (1/512)^4 / 24 times a derivative of at most 0.4.
    z = np.concatenate([np.linspace(-9.1, 9.1, 60_001), np.linspace(-40, 40, 4001)])
    density = np.exp(-z * z / 2) / math.sqrt(2 * math.pi)
    assert np.abs(normal_excess(z) - (density - z * special.ndtr(-z))).max() < 1e-12
    assert normal_excess(np.array([[-1e12], [-9.0], [1e12]])).tolist() == [[1e12], [9.0], [0.0]]


@given(st.floats(0.3, 1e4), st.floats(-60.0, 60.0))
def test_student_cdf_agrees_with_scipy(dof, t):
    # 1e-10: what the difference of two log-gamma functions at 5e3 loses.
    assert student_cdf(t, dof) == pytest.approx(special.stdtr(dof, t), abs=1e-10)


@given(st.floats(1.0, 1e5), st.floats(1e-4, 1 - 1e-4))
def test_student_quantile_agrees_with_scipy(dof, p):
    assert student_quantile(p, dof) == pytest.approx(special.stdtrit(dof, p), rel=1e-8, abs=1e-8)


@pytest.mark.parametrize(("dof", "t"), [(1, 6.314), (2, 2.920), (4, 2.132), (10, 1.812), (30, 1.697), (120, 1.658)])
def test_the_95_percent_points_of_the_usual_table(dof, t):
    # Student's t, upper 5 % points, three decimals: any statistical table (recalled).
    assert student_quantile(0.95, dof) == pytest.approx(t, abs=5e-4)


def test_many_degrees_of_freedom_are_the_normal():
    assert student_quantile(0.978, math.inf) == normal_quantile(0.978)
    assert student_cdf(1.7, math.inf) == pytest.approx(special.ndtr(1.7), abs=1e-15)


@given(st.floats(0.2, 200), st.floats(0.2, 200), st.floats(0, 1))
def test_incomplete_beta_agrees_with_scipy(a, b, x):
    assert incomplete_beta(a, b, x) == pytest.approx(special.betainc(a, b, x), abs=1e-11)
