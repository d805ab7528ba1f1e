"""Each fault of a sheet: found where it is, and not where the same act is just as it may be. Sheets written by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, get_args

import pytest

from fitcheck.knitting.lines import Head, Sheet, SheetLine
from fitcheck.knitting.needles import Span, needle_of
from fitcheck.knitting.replay import FaultCode, Replay, replay

BED = 24


def line(counter: int | None, carriage: str, act: str, needles: str, *, at: str = "", **said: Any) -> SheetLine:
    """A line; its stitches after are those of its needles, "L10-R10"."""
    first, last = (needle_of(name) for name in needles.split("-")) if needles else (0, -1)
    span = Span(first, last) if needles else None
    after = said.pop("after", last - first + 1)
    part = said.pop("part", "body")
    return SheetLine(part, counter, carriage, act, at, needles=span, after=after, **said)


CAST_ON = line(0, "left", "cast_on", "L10-R10", at="all", stitches=20)
BASE = (
    CAST_ON,
    line(4, "left", "narrow", "L9-R9", at="both", stitches=1, inset=3),
    line(6, "left", "cast_off", "L7-R9", at="left", stitches=2),
    line(7, "right", "cast_off", "L7-R7", at="right", stitches=2),
    line(9, "right", "rest", "L3-R7", at="left", stitches=4),
    line(11, "right", "wake", "L7-R7", at="all", stitches=4),
    line(11, "right", "park", "", at="all", stitches=14, name="shoulder", moved=Span(-7, 6)),
)
"""4 x 20, 2 x 18, 1 x 16, 2 x 14 and 2 x 10 loops: 180 in 11 rows."""


def sheet(lines: tuple[SheetLine, ...], rows: int, loops: int, ends: dict[str, int], drops: dict[str, int]) -> Sheet:
    span = Span(-10, 9)
    return Sheet(Head("back", span, span, "left", "wearers_left", rows, loops), lines, ends, drops)


def knitted(*lines: SheetLine, ends: dict[str, int] | None = None, drops: dict[str, int] | None = None) -> Replay:
    """Knit lines of which the head says as many rows and loops as they have."""
    once = replay(sheet(lines, 0, 0, {}, {}), needles=BED)
    ends = dict(once.ends) if ends is None else ends
    return replay(sheet(lines, once.rows, once.loops, ends, drops or {}), needles=BED)


def codes(found: Replay) -> set[str]:
    return {fault.code for fault in found.faults}


def test_a_sheet_that_can_be_knitted_has_no_fault_and_tells_what_comes_of_it() -> None:
    knit = replay(sheet(BASE, 11, 180, {"shoulder": 14}, {"shoulder": 2}), needles=BED)
    assert knit.faults == ()
    assert (knit.rows, knit.loops) == (11, 180)
    assert knit.widths == (20, 20, 20, 20, 18, 18, 16, 14, 14, 10, 10)
    assert knit.ends == {"shoulder": 14}
    assert knit.heights == {"shoulder": (9,) * 4 + (11,) * 10}


def base(place: int, **changed: Any) -> tuple[SheetLine, ...]:
    """The sheet with one line changed."""
    return (*BASE[:place], replace(BASE[place], **changed), *BASE[place + 1 :])


def off(counter: int, carriage: str, stitches: int, name: str = "all of it", at: str = "all") -> SheetLine:
    return line(counter, carriage, "park", "", at=at, stitches=stitches, name=name)


def cast_on(needles: str) -> SheetLine:
    first, last = (needle_of(name) for name in needles.split("-"))
    return line(0, "left", "cast_on", needles, at="all", stitches=last - first + 1)


PARKED_HALF = line(4, "left", "park", "L10-L1", at="right", stitches=10, name="half", moved=Span(0, 9))
SHOULDER = line(4, "left", "park", "", at="all", stitches=10, name="first")
BACK = line(4, "left", "take_back", "R1-R10", at="all", stitches=10, name="half", moved=Span(0, 9))
SECOND = line(6, "left", "park", "", at="all", stitches=10, name="second")

CASES: dict[str, tuple[tuple[SheetLine, ...], tuple[SheetLine, ...]]] = {
    # Needles of a bed of 24: L12 to R12.
    "outside_bed": (
        (cast_on("L12-R12"), off(2, "left", 24)),
        (cast_on("L11-R12"), line(2, "left", "add", "L13-R12", at="left", stitches=2), off(4, "left", 25)),
    ),
    "carriage_elsewhere": (
        (CAST_ON, line(5, "right", "mark", "L10-R10", at="both"), off(6, "left", 20)),
        (CAST_ON, line(5, "left", "mark", "L10-R10", at="both"), off(6, "left", 20)),
    ),
    "not_at_carriage": (
        (CAST_ON, line(5, "right", "cast_off", "L10-R8", at="right", stitches=2), off(6, "left", 18)),
        (CAST_ON, line(5, "right", "cast_off", "L8-R10", at="left", stitches=2), off(6, "left", 18)),
    ),
    "rest_at_carriage": (BASE, (*BASE[:4], line(9, "right", "rest", "L7-R3", at="right", stitches=4), *BASE[5:])),
    "twice_at_one_counter": (
        (*BASE[:2], line(5, "right", "narrow", "L8-R8", at="both", stitches=1, inset=3), off(6, "left", 16)),
        (*BASE[:2], line(4, "left", "narrow", "L8-R9", at="left", stitches=1, inset=3), off(6, "left", 17)),
    ),
    "edge_jumps": (
        (CAST_ON, line(4, "left", "narrow", "L8-R8", at="both", stitches=2, inset=3), off(6, "left", 16)),
        (CAST_ON, line(4, "left", "narrow", "L7-R7", at="both", stitches=3, inset=3), off(6, "left", 14)),
    ),
    # Narrowing both edges by one with three loops needs eight.
    "too_few_stitches": (
        (cast_on("L4-R4"), line(4, "left", "narrow", "L3-R3", at="both", stitches=1, inset=3), off(6, "left", 6)),
        (cast_on("L4-R3"), line(4, "left", "narrow", "L3-R2", at="both", stitches=1, inset=3), off(6, "left", 5)),
    ),
    "cast_off_of_resting": (
        (*BASE[:5], line(11, "right", "cast_off", "L3-R5", at="right", stitches=2),
         line(11, "right", "wake", "L7-R5", at="all", stitches=4), off(12, "left", 12)),
        (*BASE[:5], line(10, "left", "cast_off", "L3-R7", at="left", stitches=2), off(12, "left", 12)),
    ),
    "counter_runs_back": (
        (*BASE[:6], line(11, "right", "set_counter", "L7-R7", to=5), replace(BASE[6], counter=5)),
        (*BASE[:6], replace(BASE[6], counter=10)),
    ),
    "count_differs": (BASE, base(1, after=19)),
    "needles_differ": (BASE, base(1, needles=Span(-9, 7), after=18)),
    "not_the_parked_loops": (
        (CAST_ON, PARKED_HALF, SHOULDER, BACK, SECOND),
        (CAST_ON, PARKED_HALF, SHOULDER, replace(BACK, name="first"), SECOND),
    ),
    "step_higher_than_two_rows": (BASE, (*BASE[:5], replace(BASE[5], counter=13), replace(BASE[6], counter=13))),
    "stitches_left_on_the_bed": (BASE, BASE[:4]),
    "resting_at_the_end": (BASE, (*BASE[:5], replace(BASE[6], counter=11))),
    "side_unsaid": (BASE, base(2, at="")),
}  # fmt: skip


@pytest.mark.parametrize("code", CASES)
def test_a_fault_is_found_where_it_is_and_only_there(code: str) -> None:
    clean, wrong = CASES[code]
    assert knitted(*clean).faults == ()
    assert codes(knitted(*wrong)) == {code}


HALF_OFF = (CAST_ON, PARKED_HALF)
FIRST_OFF = (*HALF_OFF, SHOULDER)
RESTING = BASE[:5]
NARROW = cast_on("L3-R3")
TOP = line(4, "left", "cast_off_all", "", at="all", stitches=20, name="top", moved=Span(-10, 9))


@pytest.mark.parametrize(
    ("before", "act", "changed", "code"),
    [
        ((CAST_ON,), line(4, "left", "widen_edge", "L11-R10", at="left", stitches=1), {}, None),
        ((CAST_ON,), line(4, "left", "widen_edge", "L12-R10", at="left", stitches=2), {}, "edge_jumps"),
        ((CAST_ON,), line(4, "left", "widen", "L12-R12", at="both", stitches=2, inset=3), {}, "edge_jumps"),
        ((CAST_ON,), line(4, "left", "widen", "L11-R11", at="both", stitches=1, inset=0), {}, "edge_jumps"),
        ((CAST_ON,), line(4, "left", "narrow", "L8-R8", at="both", stitches=2, inset=1), {}, "edge_jumps"),
        ((CAST_ON,), line(4, "left", "widen", "L10-R10", at="both", stitches=0, inset=3), {}, "too_few_stitches"),
        ((NARROW,), line(4, "left", "widen", "L4-R4", at="both", stitches=1, inset=3), {}, "too_few_stitches"),
        ((CAST_ON,), line(4, "left", "cast_off", "", at="left", stitches=20), {}, "too_few_stitches"),
        ((CAST_ON,), line(4, "left", "add", "L12-R10", at="", stitches=2), {}, "side_unsaid"),
        ((CAST_ON,), line(4, "left", "rest", "L10-R9", at="right", stitches=1), {}, None),
        ((CAST_ON,), line(4, "left", "rest", "", at="right", stitches=20), {}, "too_few_stitches"),
        ((CAST_ON,), line(4, "left", "rest", "L9-R9", at="both", stitches=1), {}, "rest_at_carriage"),
        ((CAST_ON,), line(4, "left", "wake", "L10-R10", at="all", stitches=0), {}, "too_few_stitches"),
        (RESTING, BASE[5], {"stitches": 3}, "count_differs"),
        (RESTING, line(10, "left", "add", "L9-R7", at="left", stitches=2), {}, "cast_off_of_resting"),
        ((CAST_ON,), PARKED_HALF, {}, None),
        ((CAST_ON,), PARKED_HALF, {"name": ""}, "side_unsaid"),
        ((CAST_ON,), PARKED_HALF, {"at": "both"}, "side_unsaid"),
        ((CAST_ON,), PARKED_HALF, {"moved": Span(-10, -1)}, "needles_differ"),
        ((CAST_ON,), PARKED_HALF, {"stitches": 21}, "too_few_stitches"),
        (HALF_OFF, SHOULDER, {"name": "half"}, "not_the_parked_loops"),
        (HALF_OFF, SHOULDER, {"stitches": 9}, "count_differs"),
        ((CAST_ON,), TOP, {}, None),
        ((CAST_ON,), TOP, {"name": ""}, "side_unsaid"),
        ((CAST_ON,), TOP, {"stitches": 19}, "count_differs"),
        ((CAST_ON,), TOP, {"moved": Span(-10, 8)}, "needles_differ"),
        (HALF_OFF, replace(TOP, stitches=10, moved=None), {}, None),
        (HALF_OFF, replace(TOP, stitches=10, moved=None), {"name": "half"}, "not_the_parked_loops"),
        (RESTING, replace(TOP, counter=10, stitches=14, moved=None), {}, "cast_off_of_resting"),
        (FIRST_OFF, replace(TOP, stitches=0, moved=None), {}, "too_few_stitches"),
        (FIRST_OFF, BACK, {}, None),
        (FIRST_OFF, BACK, {"name": ""}, "side_unsaid"),
        (FIRST_OFF, BACK, {"name": "nobody"}, "not_the_parked_loops"),
        (FIRST_OFF, BACK, {"stitches": 9}, "not_the_parked_loops"),
        (FIRST_OFF, BACK, {"moved": Span(1, 10)}, "not_the_parked_loops"),
        (HALF_OFF, BACK, {}, "stitches_left_on_the_bed"),
        ((CAST_ON,), line(4, "left", "mark", "L10-R10", at=""), {}, "side_unsaid"),
        (FIRST_OFF, line(4, "left", "weigh", ""), {}, None),
        (HALF_OFF, line(4, "left", "weigh", "L10-L1"), {}, "stitches_left_on_the_bed"),
        ((CAST_ON,), line(4, "left", "set_counter", "L10-R10", to=0), {}, None),
        ((CAST_ON,), line(4, "left", "set_counter", "L10-R10", to=None), {}, "side_unsaid"),
        (FIRST_OFF, line(4, "left", "move_carriage", "", at="right"), {}, None),
        (FIRST_OFF, line(4, "left", "move_carriage", "", at="both"), {}, "side_unsaid"),
        (HALF_OFF, line(4, "left", "move_carriage", "L10-L1", at="right"), {}, "carriage_elsewhere"),
        ((CAST_ON,), line(4, "", "mark", "L10-R10", at="both"), {}, "side_unsaid"),
        ((CAST_ON,), line(4, "left", "mark", "L10-R10", at="both", after=19), {}, "count_differs"),
        ((CAST_ON,), line(4, "left", "mark", "L10-R9", at="both", after=20), {}, "needles_differ"),
    ],
)  # fmt: skip
def test_each_act_is_held_against_what_it_needs(
    before: tuple[SheetLine, ...], act: SheetLine, changed: dict[str, Any], code: str | None
) -> None:
    found = replay(sheet((*before, replace(act, **changed)), 0, 0, {}, {}), needles=BED)
    here = {fault.code for fault in found.faults if fault.line == len(before)}
    assert here == ({code} if code else set())
    assert all(fault.line >= len(before) for fault in found.faults)


def test_an_edge_that_was_shaped_may_be_shaped_again_after_a_row_or_where_the_counter_was_set() -> None:
    again = line(5, "right", "narrow", "L8-R8", at="both", stitches=1, inset=3)
    assert codes(knitted(*BASE[:2], again, off(6, "left", 16))) == set()
    set_anew = line(4, "left", "set_counter", "L9-R9", to=0)
    assert codes(knitted(*BASE[:2], set_anew, replace(again, counter=0, carriage="left"), off(2, "left", 16))) == set()


@pytest.mark.parametrize(("rows", "high"), [(2, False), (3, True)])
def test_a_needle_may_rest_for_two_rows_and_no_more(rows: int, high: bool) -> None:
    side = "right" if rows % 2 == 0 else "left"
    wake = replace(BASE[5], counter=9 + rows, carriage=side)
    found = knitted(*BASE[:5], wake, replace(BASE[6], counter=9 + rows, carriage=side))
    assert codes(found) == ({"step_higher_than_two_rows"} if high else set())


def test_what_is_asked_for_beside_the_sheet_is_taken_before_what_the_sheet_says() -> None:
    made = sheet(BASE, 11, 180, {"shoulder": 14}, {"shoulder": 2})
    assert codes(replay(made, needles=BED, ends={"shoulder": 15})) == {"ends_differ"}
    assert codes(replay(made, needles=BED, drops={"shoulder": 3})) == {"drop_differs"}


def test_a_stitch_that_is_cast_on_stands_as_high_as_its_neighbour() -> None:
    added = line(4, "left", "add", "L12-R10", at="left", stitches=2)
    more = line(5, "right", "widen_edge", "L12-R11", at="right", stitches=1)
    assert knitted(CAST_ON, added, more, off(7, "right", 23, "top")).heights["top"] == (7,) * 23


def test_other_groups_or_other_stitches_in_them_than_planned_are_a_fault() -> None:
    assert codes(knitted(*BASE, ends={"shoulder": 14})) == set()
    for ends in ({"shoulder": 15}, {"neck": 14}, {"shoulder": 14, "neck": 2}, {}):
        assert codes(knitted(*BASE, ends=ends)) == {"ends_differ"}


def test_a_shoulder_that_falls_by_other_rows_than_planned_is_a_fault_also_where_no_needle_rested() -> None:
    assert codes(knitted(*BASE, drops={"shoulder": 2})) == set()
    assert codes(knitted(*BASE, drops={"shoulder": 4})) == {"drop_differs"}
    forgotten = (*BASE[:4], BASE[6])
    assert codes(knitted(*forgotten, drops={"shoulder": 2})) == {"drop_differs"}


def cast_on_again(**changed: Any) -> set[str]:
    return codes(knitted(replace(CAST_ON, **changed), off(4, "left", 20)))


def test_what_is_cast_on_needs_an_empty_bed_its_needles_and_as_many_of_them_as_stitches() -> None:
    assert cast_on_again() == set()
    assert cast_on_again(needles=None, after=0) == {"needles_differ"}
    assert cast_on_again(needles=Span(-13, 6)) == cast_on_again(needles=Span(-7, 12)) == {"outside_bed"}
    assert cast_on_again(stitches=19) == cast_on_again(stitches=19, after=19) == {"count_differs"}
    again = line(4, "left", "cast_on", "L12-R12", at="all", stitches=24)
    assert codes(knitted(CAST_ON, again, off(6, "left", 24))) == {"stitches_left_on_the_bed"}


def test_every_fault_is_tried_here() -> None:
    assert {*CASES, "ends_differ", "drop_differs"} == set(get_args(FaultCode))


def test_an_act_that_is_two_rows_late_is_found_by_the_loops_that_the_head_says() -> None:
    assert codes(replay(sheet(BASE, 11, 180, {"shoulder": 14}, {}), needles=BED)) == set()
    moved = (CAST_ON, replace(BASE[1], counter=2), *BASE[2:])
    assert codes(replay(sheet(moved, 11, 180, {"shoulder": 14}, {}), needles=BED)) == {"count_differs"}


def test_the_replay_ends_at_the_first_line_that_cannot_be_knitted() -> None:
    wrong = (*base(2, at="right")[:3], *base(4, at="right")[3:])
    (fault,) = knitted(*wrong).faults
    assert (fault.code, fault.line, fault.part, fault.counter) == ("not_at_carriage", 2, "body", 6)
    assert (fault.read, fault.found) == ("right", "left")
    assert knitted(*wrong).rows == 6


def test_a_cast_off_edge_cannot_be_hung_back() -> None:
    bound = line(4, "left", "cast_off_all", "", at="all", stitches=20, name="top")
    back = line(4, "left", "take_back", "L10-R10", at="all", stitches=20, name="top", moved=Span(-10, 9))
    assert codes(knitted(CAST_ON, bound)) == set()
    assert codes(knitted(CAST_ON, bound, back)) == {"not_the_parked_loops"}


def test_the_carriage_is_brought_over_an_empty_bed_only() -> None:
    over = line(5, "right", "move_carriage", "", at="left")
    parked = replace(PARKED_HALF, counter=5, carriage="right")
    first = replace(SHOULDER, counter=5, carriage="right")
    back = replace(BACK, counter=5)
    second = replace(SECOND, counter=7)
    assert codes(knitted(CAST_ON, parked, first, over, back, second)) == set()
    loaded = replace(over, needles=Span(-10, -1), after=10)
    assert codes(knitted(CAST_ON, parked, loaded, off(6, "right", 10))) == {"carriage_elsewhere"}


def test_a_group_that_rests_goes_on_waste_yarn_and_rests_again_when_it_comes_back() -> None:
    lines = (
        CAST_ON,
        line(3, "right", "rest", "L8-R10", at="left", stitches=2),
        line(4, "left", "park", "R1-R10", at="left", stitches=10, name="half", moved=Span(-10, -1)),
        line(4, "left", "park", "", at="all", stitches=10, name="first"),
        line(4, "left", "take_back", "L8-L1", at="all", stitches=10, name="half", moved=Span(-10, -1)),
        line(5, "right", "wake", "L10-L1", at="all", stitches=2),
        line(5, "right", "park", "", at="all", stitches=10, name="second"),
    )
    knit = knitted(*lines, drops={"second": 2})
    assert knit.faults == ()
    assert knit.heights["second"] == (3, 3, *[5] * 8)


def test_widening_gives_the_new_column_the_height_of_its_neighbour() -> None:
    lines = (CAST_ON, line(4, "left", "widen", "L11-R11", at="both", stitches=1, inset=3), off(6, "left", 22, "top"))
    assert knitted(*lines).heights["top"] == (6,) * 22


def test_rows_that_nobody_said_end_where_the_counter_is_set() -> None:
    rib = line(0, "left", "cast_on", "L10-R10", at="all", stitches=20, part="rib")
    unsaid = line(None, "left", "set_counter", "L10-R10", to=0)
    assert codes(knitted(rib, unsaid, off(4, "left", 20))) == set()
    assert codes(knitted(rib, line(None, "left", "mark", "L10-R10", at="both"))) == {"counter_runs_back"}
