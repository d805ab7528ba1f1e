"""How far out matters: the loss, and its expectation against numerical integration."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy import integrate, stats

from fitcheck.advice.loss import expected_loss, expected_loss_even, loss, loss_even


def by_hand(x: float, smaller: float, larger: float, weight: float) -> float:
    """The formula of the model, a number at a time."""
    a = smaller if x < 0 else larger
    square = a if math.isfinite(a) else (larger if x < 0 else smaller)
    beyond = max(0.0, abs(x) / a - 1) if math.isfinite(a) else 0.0
    return weight * (0.1 * (x / square) ** 2 + 1.2 * beyond)


def integral(m: float, s: float, sides: tuple[float, float], weight: float) -> float:
    """E g by numerical integration, piece by piece between the corners of g."""

    def integrand(x: float) -> float:
        return by_hand(x, *sides, weight) * float(stats.norm.pdf(x, m, s))

    corners = sorted({-12 * s + m, 12 * s + m, *(c for c in (0.0, -sides[0], sides[1]) if abs(c - m) < 12 * s)})
    return sum(integrate.quad(integrand, low, high, epsabs=1e-13, epsrel=1e-11)[0] for low, high in pairwise(corners))


@pytest.mark.parametrize(
    ("off", "worth"),
    [(0.0, 0.0), (10.0, 0.1), (-10.0, 0.1), (5.0, 0.025), (20.0, 0.4 + 1.2), (-30.0, 0.9 + 2.4)],
)
def test_a_point_on_its_limit_costs_a_tenth_and_one_beyond_it_soon_a_back(off, worth):
    assert float(loss(off, 10.0, 10.0)) == pytest.approx(worth, abs=1e-12)
    assert float(loss(off, 10.0, 10.0, 3.0)) == pytest.approx(3 * worth, abs=1e-12)


def test_a_free_side_has_no_hinge_and_keeps_the_square_of_the_other():
    assert float(loss(30.0, 10.0, math.inf)) == pytest.approx(0.9)
    assert float(loss(-30.0, math.inf, 10.0)) == pytest.approx(0.9)
    assert float(loss(30.0, math.inf, math.inf)) == 0.0


@pytest.mark.parametrize("m", [-40.0, -9.0, -0.3, 0.0, 4.0, 12.0, 60.0])
@pytest.mark.parametrize("s", [0.2, 3.0, pytest.param(11.0, marks=pytest.mark.full)])
@pytest.mark.parametrize("sides", [(10.0, 10.0), (5.0, 40.0), (5.0, math.inf), (math.inf, 8.0)])
def test_the_expectation_in_closed_form_is_the_integral(m, s, sides):
    # The table of the normal distribution is good to 1e-12, here multiplied by squares up to (60 / 5)^2.
    assert float(expected_loss(m, s, *sides, 2.0)) == pytest.approx(integral(m, s, sides, 2.0), rel=1e-8, abs=1e-9)


def test_the_form_for_equal_sides_is_the_integral_too():
    """Forty random points at once, and each of them alone: on either side of what is allowed, far out and near."""
    rng = np.random.default_rng(20_266)
    m, s = rng.normal(0.0, 15.0, 40), np.exp(rng.normal(1.0, 1.0, 40))
    a, weight = rng.uniform(2.0, 20.0, 40), rng.choice([1.0, 2.0, 3.0], 40)
    wanted = [integral(*case) for case in zip(m, s, zip(a, a, strict=True), weight, strict=True)]
    assert expected_loss_even(m, s, a, weight).tolist() == pytest.approx(wanted, rel=1e-8, abs=1e-9)
    alone = [float(expected_loss_even(*case)) for case in zip(m, s, a, weight, strict=True)]
    assert alone == pytest.approx(wanted, rel=1e-8, abs=1e-9)


def test_what_is_exactly_known_costs_what_it_is_off():
    off = np.array([-30.0, -4.0, 0.0, 7.0, 25.0])
    assert expected_loss(off, 0.0, 6.0, 12.0) == pytest.approx(loss(off, 6.0, 12.0), abs=1e-9)
    assert float(expected_loss(1e4, 1e-3, 6.0, 12.0)) == pytest.approx(float(loss(1e4, 6.0, 12.0)), rel=1e-9)


def test_the_form_of_what_is_known_for_equal_sides_is_the_same_to_the_last_figure():
    off, allowed = np.array([-30.0, -6.0, 0.0, 2.5, 6.1, 25.0])[:, None], np.array([6.0, 9.0])
    assert loss_even(off, allowed, [1.0, 3.0]).tolist() == loss(off, allowed, allowed, [1.0, 3.0]).tolist()


def test_points_go_together_as_arrays():
    many = expected_loss([0.0, 12.0], [3.0, 3.0], [10.0, 5.0], [10.0, math.inf], [2.0, 1.0])
    alone = [float(expected_loss(0.0, 3.0, 10.0, 10.0, 2.0)), float(expected_loss(12.0, 3.0, 5.0, math.inf))]
    assert many.tolist() == pytest.approx(alone)
