"""Pieces that are still to come: how far they deviate is little known, and a front has the rows of its back."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from scipy.special import ndtr

from fitcheck.advice.decide.decision import Action, recommend
from fitcheck.advice.decide.state import DecisionState, Other
from fitcheck.estimates.piece import LOCAL_SD
from tests.advice.backs import back, wanted_mm

CHEST_ALLOWED, ARMHOLE_ALLOWED = 10.0, 6.0
"""What is allowed at a chest and at an armhole (fit rule 8) [mm]."""


def alone(key: str, difference: float = 0.0, u: float = 0.0, **more: object) -> DecisionState:
    """A back with one point, whose front is still to come."""
    state = back({key: difference}, u=u, **more)  # type: ignore[arg-type]
    (point,) = (point for point in state.points if point.key == key)
    front = Other("front", 0.5, wanted_mm(key))
    return replace(state, points=(replace(point, share=0.5, others=(front,), make_up=None),), covariance=[[u * u]])


def action(state: DecisionState, code: str = "carry_on") -> Action:
    return next(action for action in recommend(state).actions if action.code == code)


def within(allowed: float, off: float, sd: float) -> float:
    return float(ndtr((allowed - off) / sd) - ndtr((-allowed - off) / sd))


def test_a_chance_is_the_mean_over_what_the_spread_may_be():
    """A fifth of 3 % and 1.4 of it, equally likely: their mean square is that of 3 %, the chance is not."""
    spreads = (0.2, 1.4)
    half = 0.5 * wanted_mm("chest")
    each = [within(CHEST_ALLOWED, 0.0, half * math.hypot(0.03 * spread, LOCAL_SD)) for spread in spreads]
    found = action(alone("chest", piece_sd=0.03, spreads=spreads))
    assert found.chances == pytest.approx((sum(each) / 2,), abs=1e-4)
    assert found.chance == pytest.approx(sum(each) / 2, abs=0.03)
    known = within(CHEST_ALLOWED, 0.0, half * math.hypot(0.03, LOCAL_SD))
    assert found.chances[0] > known + 0.02


def test_points_fit_or_fail_together_where_the_spread_is_little_known():
    """Widths by one stitch, lengths by one row, and both by one spread: the mean over it of what both then fit in."""
    state = back(u=0.0, piece_sd=0.06, spreads=(0.2, 1.4), local_sd=1e-6)
    front = Other("front", 0.5, wanted_mm("armhole_depth"))
    points = tuple(
        replace(point, make_up=None, share=0.5, others=(front,)) if point.key == "armhole_depth" else point
        for point in state.points
        if point.key in ("chest", "armhole_depth")
    )
    found = action(replace(state, points=points, covariance=[[0.0, 0.0], [0.0, 0.0]]))
    both = [
        within(CHEST_ALLOWED, 0.0, 0.5 * wanted_mm("chest") * 0.06 * spread)
        * within(ARMHOLE_ALLOWED, 0.0, 0.5 * wanted_mm("armhole_depth") * 0.06 * spread)
        for spread in (0.2, 1.4)
    ]
    assert found.chance == pytest.approx(sum(both) / 2, abs=0.03)
    # One by one they would fit together less often.
    assert math.prod(found.chances) < sum(both) / 2 - 0.06


def test_the_front_that_is_to_come_has_its_part_in_the_armhole():
    """Back and front have as many rows; the front's come out by themselves, and the armhole is the mean of both."""
    mm = wanted_mm("armhole_depth") + 2.0
    sd = math.hypot(1.0, 0.5 * mm * math.hypot(0.03, LOCAL_SD))
    found = action(alone("armhole_depth", 2.0, 1.0, piece_sd=0.03))
    assert found.left == pytest.approx((2.0,))
    assert found.chances == pytest.approx((within(ARMHOLE_ALLOWED, 2.0, sd),), abs=1e-4)


def test_rows_that_are_expected_shorter_make_up_half_of_that():
    mm = wanted_mm("armhole_depth") + 6.0
    found = action(alone("armhole_depth", 6.0, 1.0, shift={"along": 0.96}))
    assert found.left == pytest.approx((6.0 - 0.5 * 0.04 * mm,))


def test_the_piece_after_a_new_one_deviates_with_it_as_far_as_both_share_the_doubt():
    """The armhole is the mean of both: it deviates as the new back does, or half as far where the front does not."""
    mm = wanted_mm("armhole_depth")
    for follows, part in ((1.0, 1.0), (0.0, 0.5)):
        state = alone("armhole_depth", 40.0, 1.0, next_sd=0.02, piece_sd=1e-3, local_sd=1e-3, next_follows=follows)
        state = replace(state, points=tuple(replace(point, count=None, size_mm=None) for point in state.points))
        work = replace(state.work, piece=100.0)  # so dear that none is knitted a third time
        again = action(replace(state, work=work), "knit_again")
        assert again.chances[0] == pytest.approx(within(ARMHOLE_ALLOWED, 0.0, part * 0.02 * mm), abs=0.06)
