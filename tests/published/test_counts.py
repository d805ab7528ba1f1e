"""Counts for the rest: check values 26 and 27 of the facts on the rest (section 8), reckoned two ways."""

from __future__ import annotations

import pytest

from fitcheck.advice.rest.counts import counts_for_rest
from fitcheck.advice.rest.loss_table import loss_table
from fitcheck.advice.rest.programme import Choice, Demand, Programme, candidates


def test_26_126_stitches_for_549_mm_are_expected_to_lose_4625_ten_thousandths_of_a_back() -> None:
    lost = loss_table(
        (122, 124, 126, 128),
        wanted_mm=549.0,
        size_mm=4.48,
        tolerance_mm=(10.0, 10.0),
        u_size=0.004,
        piece=0.008,
        local=0.007,
        u_wanted_mm=1.5,
        weight=2.0,
    )
    assert lost == pytest.approx((1.1240, 0.1973, 0.4625, 2.0606), abs=5e-5)  # to the four figures that are given


def test_27_even_and_6_and_1_of_one_count_cannot_hold_together_and_either_may_go() -> None:
    losses = {count: 0.01 * (count - 119.4) ** 2 for count in candidates(119.4)}
    demands = (Demand("even", "parity", {"chest": 1}, 0, step=2), Demand("6 + 1", "repeat", {"chest": 1}, 1, step=6))
    rest = counts_for_rest(Programme((Choice("chest", losses),), demands=demands))
    assert set(rest.conflict) == {"even", "6 + 1"}
    assert {way.lifted for way in rest.to_lift} == {("even",), ("6 + 1",)}
    assert {way.counts["chest"] for way in rest.to_lift} == {120, 121}
