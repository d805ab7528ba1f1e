"""Sheets of a sweater knitted through: figures 19 to 21 of the facts on the rest of the sweater, reckoned two ways."""

from __future__ import annotations

import pytest

from fitcheck.knitting.body import plan_body
from fitcheck.knitting.counts import BodyCounts, Choices, Fabric, Shaping
from fitcheck.knitting.lines import Head, Sheet, SheetLine
from fitcheck.knitting.needles import Span, needle_name, span_of
from fitcheck.knitting.plan import SIDES
from fitcheck.knitting.replay import Replay, replay
from fitcheck.knitting.sheet import sheet

BACK = BodyCounts(118, 120, 108, 94, 69, 36, 0, 5, Fabric(4.48, 3.15), armhole=Shaping(5, ((2, 1), (6, 2))))
"""118, 120 from row 100; 5 off at 108 and 109, 2 on every row, 6 on every 2nd; neck 36 undivided; 5 groups."""


def armhole_of(rows: int) -> Replay:
    """20 stitches, 2 off at each side, a group of 4 at rest so many rows after the first of them, line by line."""
    rest = 10 + rows
    at = "left" if rows % 2 == 0 else "right"
    lines = [
        SheetLine("body", 0, "left", "cast_on", "all", 20, needles=Span(-10, 9), after=20),
        SheetLine("body", 10, "left", "cast_off", "left", 2, needles=Span(-8, 9), after=18),
        SheetLine("body", 11, "right", "cast_off", "right", 2, needles=Span(-8, 7), after=16),
        SheetLine("body", rest, at, "rest", "left", 4, needles=Span(-4, 7), after=12),
        SheetLine("body", rest + 2, at, "wake", "all", 4, needles=Span(-8, 7), after=16),
        SheetLine("body", rest + 2, at, "park", "all", 16, name="shoulder"),
    ]
    loops = 10 * 20 + 18 + 16 * (rows - 1) + 2 * 12
    head = Head("back", Span(-10, 9), Span(-10, 9), "left", "wearers_left", rest + 2, loops)
    return replay(Sheet(head, tuple(lines), {"shoulder": 16}, {"shoulder": 2}), needles=200)


def test_19_an_armhole_of_69_rows_is_clean_and_one_of_70_rests_at_the_carriage():
    assert armhole_of(69).faults == ()
    assert [fault.code for fault in armhole_of(70).faults] == ["rest_at_carriage"]


@pytest.mark.parametrize(("stitches", "needles"), [(118, "L59-R59"), (61, "L31-R30")])
def test_20_needles_of_a_count_about_the_middle(stitches: int, needles: str):
    span = span_of(stitches)
    assert f"{needle_name(span.first)}-{needle_name(span.last)}" == needles
    assert span.stitches == stitches


def test_21_a_back_of_118_stitches_has_185_rows_and_19917_loops():
    plan = plan_body("back", BACK, Choices(first="right"))
    acts = {(event.counter, event.do, event.at, event.stitches) for event in plan.events}
    assert {(100, "widen", "both", 1), (108, "cast_off", "right", 5), (109, "cast_off", "left", 5)} <= acts
    assert [event.counter for event in plan.events if event.do == "narrow"] == [110, 111, *range(113, 124, 2)]
    for first in SIDES:
        knit = replay(sheet(plan_body("back", BACK, Choices(first=first))), needles=200)
        assert (knit.faults, knit.rows, knit.loops) == ((), 185, 19_917)
        assert knit.ends == {"left_shoulder": 29, "right_shoulder": 29, "neck": 36}
