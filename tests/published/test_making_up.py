"""Stitches picked up along an edge, and rows joined: check values 23 to 25 and 34 of the facts on the rest (section 8).

[C] common practice, no source; [2] reckoned two ways.
"""

from __future__ import annotations

from collections import Counter

from fitcheck.knitting.joins import SewnEdge, join
from fitcheck.knitting.pick_up import PickUp, pick_up, pick_up_rows
from fitcheck.records.constructions import ROWS_EASE


def groups(runs: tuple[PickUp, ...]) -> Counter[tuple[int, int]]:
    """How often each group is picked up, wherever it lies."""
    tally: Counter[tuple[int, int]] = Counter()
    for run in runs:
        tally[run.stitches, run.of] += run.times
    return tally


def test_23_10_stitches_of_13_rows_are_3_of_4_twice_and_4_of_5() -> None:
    assert pick_up_rows(10, 13) == (PickUp(3, 4, 2), PickUp(4, 5, 1))  # [C]


def test_24_310_mm_take_70_at_4_4_and_79_at_3_9_and_78_as_4_and_2() -> None:
    assert pick_up(310.0, 4.4) == 70
    assert pick_up(310.0, 3.9) == 79
    assert pick_up(310.0, 3.9, multiple=4, balance=2) == 78


def test_25_504_mm_at_3_9_are_129_over_160_rows() -> None:
    assert pick_up(504.0, 3.9, multiple=2, balance=1) == 129
    assert groups(pick_up_rows(129, 160)) == {(4, 5): 26, (5, 6): 5}


def test_34_108_rows_ease_to_110_and_do_not_join_111() -> None:
    eased = join(SewnEdge(108, 0, 0.0), SewnEdge(110, 0, 0.0), by="rows", ease=ROWS_EASE)
    assert (eased.verdict, round(100 * eased.ease, 1)) == ("eases", 1.9)
    apart = join(SewnEdge(108, 0, 0.0), SewnEdge(111, 0, 0.0), by="rows", ease=ROWS_EASE)
    assert (apart.verdict, round(100 * apart.ease, 1)) == ("does_not_join", 2.8)
