"""Shaping by row counter against published examples of the trade, and figures of this project reckoned two ways.

[P] published arithmetic (hand-knitting design handbooks of 1991 and 2010; a handbook page on even rows);
[C] common practice, no source; [2] reckoned two ways: by formula and by lines, walks or replay.
The numbers 1 to 22 are those of the check values in the facts on the rest of the sweater (section 8); 23 to 34 stand in
test_making_up.py, test_counts.py and test_yarn.py.
"""

from __future__ import annotations

import math
from collections import Counter
from itertools import pairwise

import pytest

from fitcheck.knitting.body import plan_body
from fitcheck.knitting.cap import Cap, cap_shapings
from fitcheck.knitting.counts import BodyCounts, Choices, Fabric, Shaping
from fitcheck.knitting.raglan import raglan_gaps
from fitcheck.knitting.refusals import CannotShape, ShapingError
from fitcheck.knitting.seam_line import bare_line, seam_line
from fitcheck.knitting.shoulders import groups_of_slope, shoulder_groups, shoulder_rows
from fitcheck.knitting.spacing import arranged_gaps, spaced_rows

W, H = 4.48, 3.15  # mm, of the sweater that the figures are of


def gaps(rows: tuple[int, ...]) -> Counter[int]:
    return Counter(later - row for row, later in pairwise((0, *rows)))


# --- steps over rows ---


@pytest.mark.parametrize(
    ("steps", "over", "multiple", "plain", "expected"),
    [
        (14, 124, 1, 0, {8: 2, 9: 12}),  # 1 [P]
        (28, 120, 2, 4, {4: 26, 6: 2}),  # 2 [P], 116 rows: the published example leaves 4 plain
        (28, 108, 2, 4, {4: 24, 2: 4}),  # 3 [P], 104 rows
        (15, 119, 1, 12, {7: 13, 8: 2}),  # 8 [2]
        (26, 64, 2, 0, {2: 20, 4: 6}),  # 22 [2], a raglan
    ],
)
def test_gaps_of_steps_spread_evenly(steps: int, over: int, multiple: int, plain: int, expected: dict[int, int]):
    assert gaps(spaced_rows(steps, over, multiple=multiple, plain=plain)) == expected
    assert Counter(arranged_gaps(steps, over, multiple=multiple, plain=plain)) == expected


def test_3_cm_over_13_cm_at_27_by_37_are_8_decreases_on_every_6th_row_of_one_edge():
    """[C]: both edges would take half of them each."""
    decreases, over = round(27 / 10 * 3), round(37 / 10 * 13)
    assert (decreases, over) == (8, 48)
    assert gaps(spaced_rows(decreases, over)) == {6: 8}
    assert gaps(spaced_rows(decreases // 2, over)) == {12: 4}


@pytest.mark.parametrize(
    ("rule", "steps", "over", "expected"),
    [
        ("last", 5, 48, (10, 19, 29, 38, 48)),  # 4
        ("inside", 5, 48, (8, 16, 24, 32, 40)),  # 5
        ("half", 5, 48, (5, 14, 24, 34, 43)),  # 6
        ("ends", 7, 121, (0, 20, 40, 60, 81, 101, 121)),  # 7
    ],
)
def test_each_end_rule_has_its_own_rows(rule, steps: int, over: int, expected: tuple[int, ...]):
    assert spaced_rows(steps, over, rule=rule) == expected  # [2]


def test_13_steps_on_even_rows_do_not_go_into_25_rows():
    with pytest.raises(ShapingError) as refused:
        spaced_rows(13, 25, multiple=2)
    assert refused.value.fault.accepts.values == {"most": 12, "every": 2, "over": 25, "plain": 0, "rows": 26}  # 9 [2]


def test_21_steps_on_even_rows_in_40_rows_would_want_42():
    with pytest.raises(ShapingError) as refused:
        spaced_rows(21, 40, multiple=2)
    values = refused.value.fault.accepts.values
    assert (values["most"], values["rows"]) == (20, 42)
    assert len(spaced_rows(20, 40, multiple=2)) == 20
    assert len(spaced_rows(21, 42, multiple=2)) == 21


# --- edges [2]; to the micrometre that they are given to ---


def test_a_bare_edge_is_the_sum_of_its_runs():
    assert bare_line([(6, 0), (6, 12), (0, 50)], 4.40, 3.10) == pytest.approx(227.016, abs=0.001)  # 10
    assert bare_line([(2, 2), (6, 12), (0, 55)], W, H) == pytest.approx(230.586, abs=0.001)  # 12
    assert bare_line([(26, 64)], W, H) == pytest.approx(232.831, abs=0.001)  # 22, a raglan


@pytest.mark.parametrize(("every", "percent"), [(2, 11.6), (3, 12.58)])  # 11
def test_row_by_row_a_staircase_overstates_an_edge(every: int, percent: float):
    # Up each row, then one stitch across within the row of the decrease.
    staircase = (every - 1) * 3.10 + math.hypot(4.40, 3.10)
    over = 100 * (staircase / bare_line([(1, every)], 4.40, 3.10) - 1)
    assert over == pytest.approx(percent, abs=0.05 if every == 2 else 0.005)


def test_an_armhole_where_it_is_sewn():
    assert seam_line([(2, 2), (6, 12), (0, 55)], W, H) == pytest.approx(232.913, abs=0.001)  # 12
    assert seam_line([(2, 2), (9, 18), (0, 49)], W, H) == pytest.approx(237.204, abs=0.001)  # 13


# --- caps [2]: upper 82, underarm 5, the two armholes above, no stepped cast-offs ---


def caps() -> tuple[Cap, ...]:
    found = cap_shapings(82, 5, 470.117, W, H, tops=range(12, 25), steps=((),))
    assert not isinstance(found, CannotShape)
    return found


def test_255_caps_go_into_this_armhole():
    assert len(caps()) == 255  # 14
    assert {min(cap.rows for cap in caps()), max(cap.rows for cap in caps())} == {45, 56}


def test_a_cap_of_24_decreases_on_every_second_row():
    (cap,) = [cap for cap in caps() if cap.top == 24 and cap.every == ((24, 2),)]
    assert cap.edge_mm == pytest.approx(479.789, abs=0.001)  # 15
    assert (round(100 * cap.ease, 2), cap.rows) == (2.06, 50)


def test_the_fairest_cap():
    best = caps()[0]
    assert (best.top, best.every) == (18, ((5, 1), (8, 2), (2, 4), (7, 2), (5, 1)))
    assert best.edge_mm == pytest.approx(478.394, abs=0.001)  # 16
    assert (round(100 * best.ease, 2), best.rows) == (1.76, 50)


# --- shoulders ---


def test_groups_of_a_shoulder():
    assert Counter(shoulder_groups(44, 8)) == {6: 4, 5: 4}  # 17 [C]
    assert shoulder_groups(29, 5) == (6, 6, 6, 6, 5)  # 17
    assert shoulder_rows(5) == 8
    assert (groups_of_slope(25, 3.1), shoulder_rows(4)) == (4, 6)  # 18


# --- plans [2]; 19 to 21 are knitted through in test_replay.py ---


def test_an_armhole_of_70_rows_is_refused_before_it_is_a_sheet():
    even = BodyCounts(118, 120, 108, 94, 70, 36, 0, 5, Fabric(W, H), armhole=Shaping(5, ((2, 1), (6, 2))))
    with pytest.raises(ShapingError) as refused:
        plan_body("back", even, Choices(first="right"))
    assert refused.value.fault.accepts.code == "armhole_rows_even"
    assert refused.value.fault.accepts.values["rows"] == (69, 71)


def test_a_raglan_of_26_over_64_rows():
    assert Counter(raglan_gaps(26, 64)) == {2: 20, 4: 6}
    assert Counter(raglan_gaps(40, 64)) == {1: 16, 2: 24}  # more decreases than even rows: any row
