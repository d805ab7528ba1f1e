"""Fit rule 9: sizes are ranked by widths; rows are free; shaping counted in rows changes height.

Common practice, no source. The figures of the cap are arithmetic: 50 rows at 28 and at 34 rows per 10 cm.
"""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.advice.sizes.answers import RowCounted, SizesAnswer
from fitcheck.advice.sizes.choice import BODY_WIDTHS
from fitcheck.advice.sizes.which_size import sizes_of
from fitcheck.estimates.numbers import CannotSay, Quantity
from tests.advice.size_sample import body, fabric, household


def of_size(chest: float, count: int, arm: int) -> dict[str, dict[str, Any]]:
    pieces = body(chest, count, body_length=(64, None))
    pieces["sleeve"] = {"cap_height": (None, 50), "upper_arm": (18, arm)}
    return pieces


SIZES = {"2": of_size(50, 116, 80), "3": of_size(54, 124, 84), "4": of_size(58, 134, 88)}
TABLE = {"gauge": {"stitches": 22.7, "rows": 28, "over": "10 cm"}, "row_counted": ["cap_height"]}


def ask(rows_per_10cm: float) -> SizesAnswer:
    numbers = {"chest": 54, "upper_arm": 18, "body_length": 64}
    home = household(SIZES, numbers, table=TABLE)
    return sizes_of(home.makes[0], home, fabric(4.4, 100 / rows_per_10cm))


def cap(answer: SizesAnswer) -> RowCounted:
    assert isinstance(answer.best, str)
    size = answer.size(answer.best)
    assert size is not None
    (counted,) = size.row_counted
    return counted


def test_widths_fit_and_rows_are_20_percent_off_so_the_size_is_advised_and_the_cap_flagged() -> None:
    """28 x 1.2 = 33.6 rows per 10 cm; 50 rows are 148.8 mm instead of 178.6."""
    right, off = ask(28), ask(28 * 1.2)
    assert right.best == off.best == "3"
    assert right.size("3").all_fit == pytest.approx(off.size("3").all_fit, abs=1e-6)  # type: ignore[union-attr]
    assert not cap(right).flagged
    assert cap(off).flagged
    error = cap(off).error
    assert isinstance(error, Quantity)
    assert error.value == pytest.approx(148.8 - 178.6, abs=0.1)
    assert cap(off).rows_instead == 60


def test_a_cap_of_50_rows_is_17_9_cm_at_28_rows_and_14_7_at_34() -> None:
    counted = cap(ask(34))
    assert isinstance(counted.height, Quantity)
    assert counted.pattern_mm == pytest.approx(179, abs=0.5)
    assert counted.height.value == pytest.approx(147, abs=0.1)


def test_rows_of_a_length_follow_this_fabric() -> None:
    """640 mm at 28 and at 34 rows per 10 cm, and the row that the shoulder seam takes: 180.2 and 218.6."""
    for rows, expected in ((28, 180.2), (34, 218.6)):
        size = ask(rows).size("3")
        assert size is not None
        found = next(one for one in size.lengths if one.key == "body_length").rows
        assert isinstance(found, Quantity)
        assert found.value == pytest.approx(expected, abs=0.05)


def test_a_fabric_whose_rows_were_not_read_says_so_and_still_ranks_the_sizes() -> None:
    home = household(SIZES, {"chest": 54, "upper_arm": 18}, table=TABLE)
    answer = sizes_of(home.makes[0], home, fabric(4.4))
    assert answer.best == "3"
    counted = cap(answer)
    assert isinstance(counted.error, CannotSay)
    assert counted.error.code == "no_rows_read"
    assert not counted.flagged


def test_cap_armhole_and_upper_arm_are_one_block() -> None:
    assert not {"shoulder_width", "neck_width", "upper_arm", "armhole_depth", "cap_height"} & set(BODY_WIDTHS)
