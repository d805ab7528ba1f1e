"""Yarn to the end: check values 28 to 33 of the facts on the rest (section 8), reckoned two ways.

What oil weighs is common practice, no source; so is the length of yarn in a stitch, four of its widths and a little.
"""

from __future__ import annotations

import pytest

from fitcheck.advice.to_come.lots import Item, lot_plan
from fitcheck.estimates.numbers import CannotSay
from fitcheck.estimates.student import student_quantile
from fitcheck.estimates.yarn import Needed, as_oiled, grams_per_stitch, yarn_needed, yarn_prior


def needed() -> Needed:
    """A back of 20,000 stitches weighs 170 g; as much again and two sleeves of 8,000 are to be knitted."""
    fit = grams_per_stitch([(170.0, 20_000.0)])
    assert not isinstance(fit, CannotSay)
    return yarn_needed((20_000.0, 8_000.0, 8_000.0), fit)


def test_28_a_back_of_170_g_and_20_000_stitches_tells_the_need_of_the_rest() -> None:
    need = needed()
    assert need.grams == pytest.approx(306.0, abs=0.05)
    assert need.u == pytest.approx(7.279, abs=0.0005)
    assert need.dof == 4


def test_29_315_g_last_in_858_of_a_thousand() -> None:
    assert needed().lasts(315.0) == pytest.approx(0.8580, abs=0.00005)


def test_30_with_300_g_22_rows_of_120_stitches_are_left_out() -> None:
    need = needed()
    rows = need.rows_to_leave_out(300.0, 120.0, sure=0.95)
    assert rows == 22
    short = need.grams + student_quantile(0.95, 4.0) * need.u - 300.0
    assert (rows - 1) * 120 * 0.0085 < short <= rows * 120 * 0.0085


def test_31_166_g_washed_were_172_9_g_in_oil() -> None:
    assert as_oiled(166.0).value == pytest.approx(172.9, abs=0.05)


def test_32_yarn_of_tex_330_is_expected_to_take_6_061_mg_a_stitch() -> None:
    assert yarn_prior(4.48, 330.0) * 1000 == pytest.approx(6.061, abs=0.0005)


def test_33_of_lots_of_350_and_400_g_the_sleeves_come_from_the_350() -> None:
    pieces = (Item("back", 170.0, 3.4), Item("front", 170.0, 3.4), Item("sleeves", 180.0, 5.0))
    plan = lot_plan(pieces, {"small": 350.0, "large": 400.0}, common=0.01)
    assert plan.lots == {"back": "large", "front": "large", "sleeves": "small"}
    assert plan.chance > 0.999
    assert not plan.alternate
