"""A plan as the lines of a sheet: what the bed holds after each act, marks, the rib, and what only the knitter does."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

from fitcheck.knitting.lines import COLUMNS, Note, SheetLine
from fitcheck.knitting.needles import Span
from fitcheck.knitting.plan import Event, Part, Plan, mirrored
from fitcheck.knitting.replay import replay
from fitcheck.knitting.sheet import Notch, sheet
from tests.knitting.sample_front import front


def of_part(part: str, *acts: str) -> list[SheetLine]:
    return [line for line in sheet(front()).unfolded() if line.part == part and (not acts or line.act in acts)]


def straight(*events: Event, rows: int = 100) -> Plan:
    cast_on = Event("body", 0, "cast_on", "all", 20)
    off = Event("body", rows, "park", "all", 20, name="top")
    return Plan("back", Span(-10, 9), (Part("body", 0, "left", rows, (cast_on, *events, off)),), ends={"top": 20})


def test_the_head_says_what_is_cast_on_how_wide_it_gets_and_all_that_is_knitted() -> None:
    head = sheet(front()).head
    assert (head.needles, head.widest, head.carriage) == (Span(-59, 58), Span(-63, 62), "left")
    knit = replay(sheet(front()), needles=200)
    assert (head.rows, head.loops) == (knit.rows, knit.loops) == (219, 19_426)


def test_the_beds_right_is_the_wearers_left_on_a_back_and_the_right_on_a_front() -> None:
    sides = {
        piece: sheet(replace(front(), piece=piece)).head.right_is for piece in ("back", "front", "left_front", "sleeve")
    }
    assert sides == {"back": "wearers_left", "front": "wearers_right", "left_front": "wearers_right", "sleeve": ""}


def test_waste_yarn_names_the_needles_that_go_and_the_columns_say_what_stays_in_work() -> None:
    half, centre = of_part("body", "park")
    assert (half.moved, half.needles, half.after) == (Span(6, 46), Span(-47, 5), 53)
    assert (centre.moved, centre.needles, centre.after) == (Span(-6, 5), Span(-47, -7), 41)


def test_the_half_that_is_knitted_first_never_leaves_the_bed() -> None:
    assert "take_back" not in {line.act for line in of_part("first_half")}
    assert of_part("first_half")[0].needles == Span(-47, -9)


def test_before_the_other_half_the_carriage_is_brought_over_and_the_counter_set_back() -> None:
    over, back, hang = of_part("second_half")[:3]
    assert (over.act, over.carriage, over.at, over.counter) == ("move_carriage", "right", "left", 185)
    assert (back.act, back.carriage, back.counter, back.to) == ("set_counter", "left", 185, 152)
    assert (hang.act, hang.counter, hang.carriage, hang.after) == ("take_back", 152, "left", 41)


def test_the_carriage_stays_where_it_is_where_the_other_half_begins_there() -> None:
    plan = front()
    second = replace(plan.parts[2], carriage="right")
    lines = sheet(replace(plan, parts=(*plan.parts[:2], second))).unfolded()
    assert [line.act for line in lines if line.part == "second_half"][:2] == ["set_counter", "take_back"]


def test_a_group_that_rests_comes_back_resting_and_says_so() -> None:
    body = (
        Event("body", 0, "cast_on", "all", 20),
        Event("body", 11, "rest", "left", 4),
        Event("body", 12, "park", "left", 10, name="half"),
        Event("body", 12, "park", "all", 10, name="other"),
    )
    half = (Event("half", 12, "take_back", "all", 10, name="half"), Event("half", 13, "wake", "all", 4),
            Event("half", 13, "park", "all", 10, name="half"))  # fmt: skip
    parts = (Part("body", 0, "left", 12, body), Part("half", 12, "left", 13, half, "half"))
    written = sheet(Plan("back", Span(-10, 9), parts, ends={"half": 10, "other": 10}, drops={"half": 1}))
    (back,) = [line for line in written.unfolded() if line.act == "take_back"]
    assert (back.stitches, back.after, back.needles) == (10, 6, Span(-6, -1))
    assert back.notes == (Note("rests", {"stitches": 4}),)
    assert (written.head.rows, written.head.loops) == (13, 11 * 20 + 16 + 6)


def test_where_the_shoulder_ends_without_a_row_over_all_groups_the_line_says_so() -> None:
    (wake,) = of_part("first_half", "wake")
    assert wake.notes == (Note("no_row_over_all"),)
    later = straight(Event("body", 50, "rest", "right", 3), Event("body", 52, "wake", "all", 3))
    assert [line.notes for line in sheet(later).unfolded() if line.act == "wake"] == [()]


def marks(plan: Plan, *notches: Notch) -> dict[int | None, list[str]]:
    lines = sheet(plan, notches=notches).unfolded()
    return {line.counter: [note.code for note in line.notes] for line in lines if line.act == "mark"}


def test_both_edges_are_marked_every_40_rows_up_to_the_underarm() -> None:
    assert marks(straight()) == {40: ["claws_up"], 80: ["claws_up"]}
    assert marks(straight(Event("body", 60, "cast_off", "left", 2))) == {40: ["claws_up"]}
    assert 160 not in marks(front())


def test_a_half_is_not_marked_every_40_rows_because_one_of_its_edges_is_the_neck() -> None:
    body = (Event("body", 0, "cast_on", "all", 20), Event("body", 30, "park", "right", 10, name="half"))
    half = (Event("first_half", 90, "park", "all", 10, name="first"),)
    parts = (Part("body", 0, "left", 30, body), Part("first_half", 30, "left", 90, half))
    assert marks(Plan("front", Span(-10, 9), parts)) == {}


def test_all_that_is_marked_at_one_row_is_one_line_after_the_widening_of_that_row() -> None:
    plan = straight(
        Event("body", 40, "widen", "both", 1, 3), Event("body", 40, "mark", "both", name="chest"),
        Event("body", 40, "cast_off", "left", 2),
    )  # fmt: skip
    lines = [line for line in sheet(plan, notches=[Notch("body", 40, "front", 42)]).unfolded() if line.counter == 40]
    assert [line.act for line in lines] == ["widen", "mark", "cast_off"]
    assert lines[1].notes == (
        Note("point", {"point": "chest"}),
        Note("meets", {"piece": "front", "counter": 42}),
    )
    assert lines[1].after == lines[0].after == 22


def test_a_mark_after_the_last_act_of_a_part_is_not_lost() -> None:
    assert marks(straight(), Notch("body", 99, "front", 99), Notch("half", 20, "front", 20)) == {
        40: ["claws_up"], 80: ["claws_up"], 99: ["meets"],
    }  # fmt: skip
    parts = (Part("body", 0, "left", 60, (Event("body", 0, "cast_on", "all", 20),)),)
    assert marks(Plan("back", Span(-10, 9), parts)) == {40: ["claws_up"]}


def test_a_rib_is_counted_by_itself_and_starts_where_the_plan_finds_the_carriage() -> None:
    for rows, carriage in ((20, "left"), (21, "right")):
        written = sheet(front(), rib_rows=rows)
        cast_on, counter = written.unfolded()[:2]
        assert (cast_on.act, cast_on.part, cast_on.carriage, cast_on.counter) == ("cast_on", "rib", carriage, 0)
        assert (counter.act, counter.counter, counter.to, counter.carriage) == ("set_counter", rows, 0, "left")
        assert counter.notes == (Note("rib_rows", {"rows": rows}),)
        assert (written.head.rows, written.head.loops) == (219 + rows, 19_426 + rows * 118)
        assert replay(written, needles=200).faults == ()


def test_a_rib_whose_rows_nobody_said_leaves_a_line_for_a_pencil() -> None:
    written = sheet(front(), rib_rows=None)
    counter = written.unfolded()[1]
    assert (counter.act, counter.counter, counter.to) == ("set_counter", None, 0)
    assert counter.notes == (Note("rib_rows_unsaid"),)
    assert replay(written, needles=200).faults == ()
    assert written.head.rows == 219


def test_the_mirror_image_is_knitted_with_the_sides_swapped() -> None:
    knit = replay(sheet(mirrored(front())), needles=200)
    assert knit.faults == ()
    assert knit.heights["right_shoulder"] == replay(sheet(front()), needles=200).heights["left_shoulder"][::-1]


def test_the_csv_has_a_row_for_each_time_and_the_same_columns_in_each() -> None:
    table = list(csv.reader(io.StringIO(sheet(front()).to_csv(), newline="")))
    assert table[0] == list(COLUMNS)
    assert len(table) == 1 + len(sheet(front()).unfolded()) == 62
    assert {len(row) for row in table} == {len(COLUMNS)}
    narrowed = dict(zip(table[0], table[13], strict=True))
    unsaid = list(csv.reader(io.StringIO(sheet(front(), rib_rows=None).to_csv(), newline="")))[2]
    assert unsaid[:4] == ["rib", "", "left", "set_counter"]
    assert (narrowed["counter"], narrowed["act"], narrowed["needles"], narrowed["after"]) == (
        "113",
        "narrow",
        "L55-R55",
        "110",
    )
