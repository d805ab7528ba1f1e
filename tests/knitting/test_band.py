"""A band that is picked up, as a plan and a sheet: hung, knitted, cast off; part after part on one sheet."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.knitting.band import BandPart, band_sheet, plan_band
from fitcheck.knitting.lines import Note, Sheet
from fitcheck.knitting.needles import span_of
from fitcheck.knitting.replay import replay
from fitcheck.knitting.written import read_sheet
from fitcheck.words.at_machine import acts_told, finished_told
from fitcheck.words.sheet import sheet_told
from fitcheck.words.sheet_page import sheet_said
from tests.knitting.test_knitted_from_words import paper
from tests.knitting.words_knitter import knit

RUNS = (
    Note("picked", {"run": "back_neck", "stitches": 36, "of": 36, "loops": True}),
    Note(
        "picked",
        {
            "run": "front_right",
            "stitches": 10,
            "of": 13,
            "loops": False,
            "begins": "shoulder",
            "groups": [{"stitches": 3, "of": 4, "times": 2}, {"stitches": 4, "of": 5, "times": 1}],
        },
    ),
)


def neck() -> Sheet:
    return band_sheet(plan_band("neck_band", [BandPart("body", 46)], 8), {"body": RUNS})


def pair(rows: int = 9) -> Sheet:
    parts = [BandPart("first_band", 149), BandPart("second_band", 149)]
    return band_sheet(plan_band("front_band", parts, rows), {})


@given(st.lists(st.integers(1, 200), min_size=1, max_size=4), st.integers(1, 60))
def test_a_band_of_any_parts_is_knitted_through_without_a_fault(stitches: list[int], rows: int) -> None:
    parts = [BandPart(f"go_{number}", count) for number, count in enumerate(stitches, start=1)]
    plan = plan_band("hem_band", parts, rows)
    made = band_sheet(plan, {})
    done = replay(made, needles=200, ends=plan.ends)
    assert done.faults == ()
    assert (done.rows, done.loops) == (rows * len(stitches), rows * sum(stitches))
    assert (made.head.rows, made.head.loops, made.head.widest) == (done.rows, done.loops, span_of(max(stitches)))
    assert read_sheet(made.to_json().encode()) == made


@pytest.mark.parametrize(
    ("place", "spoilt", "code"),
    [
        (0, {"stitches": 45}, "count_differs"),
        (0, {"needles": span_of(48)}, "count_differs"),
        (0, {"needles": None}, "needles_differ"),
        (1, {"stitches": 45}, "count_differs"),
        (1, {"carriage": "left"}, "carriage_elsewhere"),
        (1, {"name": "neck"}, "ends_differ"),
    ],
)
def test_the_replay_catches_a_band_that_is_spoilt(place: int, spoilt: dict[str, object], code: str) -> None:
    made = neck()
    lines = list(made.lines)
    lines[place] = replace(lines[place], **spoilt)  # type: ignore[arg-type]
    assert code in [fault.code for fault in replay(replace(made, lines=tuple(lines)), needles=200).faults]


def test_a_band_is_not_hung_over_loops_that_lie_on_the_bed_nor_beyond_it() -> None:
    made = pair()
    left_on = tuple(line for line in made.lines if line.act not in ("cast_off_all", "set_counter"))
    left_on = (left_on[0], replace(left_on[1], counter=9, carriage="left"))
    assert replay(replace(made, lines=left_on), needles=200).faults[0].code == "stitches_left_on_the_bed"
    assert replay(made, needles=100).faults[0].code == "outside_bed"


def test_the_second_of_a_pair_begins_at_0_where_the_carriage_was_left() -> None:
    acts = [(line.part, line.counter, line.carriage, line.act) for line in pair(9).lines]
    assert acts == [
        ("first_band", 0, "right", "hang"),
        ("first_band", 9, "left", "cast_off_all"),
        ("second_band", 9, "left", "set_counter"),
        ("second_band", 0, "left", "hang"),
        ("second_band", 9, "right", "cast_off_all"),
    ]


def test_what_is_picked_up_is_written_down_and_read_as_it_was() -> None:
    made = neck()
    assert made.lines[0].notes == RUNS
    assert read_sheet(made.to_json().encode()) == made
    table = made.to_csv().splitlines()
    assert "picked back_neck 36 36 true; picked front_right 10 13 false shoulder 2 x 3/4, 1 x 4/5" in table[1]


# In words


def test_a_band_says_what_hangs_from_which_rows_and_how_it_ends() -> None:
    told = sheet_told(neck())
    assert told.title == "Neck band"
    assert dict(told.facts) == {
        "needles": "46 (L23–R23)",
        "carriage starts": "right",
        "rows": "8",
        "purl side faces you": "hung so, the band’s outside is the sweater’s",
    }
    (part,) = told.parts
    assert (part.title, part.counters) == ("Neck band", "counter from 0 to 8")
    hang, off = part.lines
    assert (hang.act, hang.needles, hang.stitches) == ("Hang 46 loops", "L23–R23", "46")
    assert hang.notes == (
        "Back neck, 36. Every loop.",
        "Right side, 10 of 13 rows. From the shoulder down: twice 3 of 4, then 4 of 5. Leave out the last row of each.",
    )
    assert (off.act, off.notes) == ("Cast off all 46", ("Cast off loosely: it must go over a head.",))
    assert [word for word, _ in told.words] == ["Counter", "Hang", "L23, R23"]


def test_a_neck_band_from_one_front_edge_to_the_other_need_not_go_over_a_head() -> None:
    edge = Note("picked", {"run": "front_right_neck", "stitches": 7, "of": 7, "loops": True})
    opened = band_sheet(plan_band("neck_band", [BandPart("body", 53)], 8), {"body": (edge, *RUNS)})
    for made in (opened, read_sheet(opened.to_json().encode())):
        (part,) = sheet_told(made).parts
        assert part.lines[-1].notes == ("Cast off as loosely as it lies, or the neck draws in.",)


def test_the_bands_of_a_pair_are_two_parts_of_one_sheet() -> None:
    told = sheet_told(pair())
    assert [part.title for part in told.parts] == ["First band", "Second band"]
    assert dict(told.facts)["rows"] == "9 each"
    assert told.parts[1].lines[0].act == "Set the counter back to 0"
    assert sheet_said(pair(), None, None, None).head == "Knit two front bands alike: 149 stitches each."


@pytest.mark.parametrize("made", [neck(), pair()])
def test_a_band_is_knitted_from_its_words_alone(made: Sheet) -> None:
    knitted = knit(paper(made))
    assert knitted.troubles == []
    assert sorted(stitches for _, stitches in knitted.off) == sorted(made.ends.values())
    assert (knitted.rows, knitted.acts) == (made.head.rows, len(made.lines))


def test_the_heading_of_hems_has_the_stitches_of_each() -> None:
    hems = band_sheet(plan_band("hem_band", [BandPart("back", 118), BandPart("front", 124)], 19), {})
    assert sheet_said(hems, None, None, None).head == "Knit the hem band: 118 and 124 stitches."
    assert sheet_said(neck(), None, None, None).head == "Knit the neck band: 46 stitches."


def test_at_the_machine_the_rows_of_the_edge_are_left_to_the_sheet_and_the_seams_come_next() -> None:
    hang, off = acts_told(neck())
    assert hang.notes == ("Along the edge 36 and 10: the sheet says from which rows.",)
    assert (hang.after, hang.spoken) == (
        "46 stitches after, L23–R23",
        "Row 0, carriage right. Hang 46 loops. 46 stitches after, L23 to R23.",
    )
    assert (off.go, off.after) == ("go to row 8", "The bed is empty.")
    assert finished_told("neck_band", [hang, off]) == "All 2 acts are done. The seams come next."
    assert finished_told("front", [hang, off]).endswith("Weigh it, wash it, let it dry, then measure it.")
