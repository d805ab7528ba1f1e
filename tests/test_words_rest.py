"""What the page of the rest says beyond its counts: what is lifted, what is kept, and both sides of a choice."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from fitcheck.advice.rest.programme import Demand
from fitcheck.advice.to_come.to_knit import CountToKnit, PieceToKnit
from fitcheck.advice.to_come.ways_out import OfferedWay, Refused
from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.cap_ways import CapWay
from fitcheck.knitting.refusals import CannotShape, cannot_shape
from fitcheck.records.choices import Lifted
from fitcheck.records.faults import Accepts, Fault
from fitcheck.records.files import open_household
from fitcheck.reports.on_the_needles import NewerCounts, OnTheNeedles
from fitcheck.reports.shaped import worked_out
from fitcheck.reports.the_rest import RestAnswer
from fitcheck.words.changed import changed
from fitcheck.words.figures import Tape
from fitcheck.words.lifting import lifted_said, refused_said
from fitcheck.words.on_the_needles import needles_said
from fitcheck.words.the_rest import rest_said

COUNTS = {"chest": 127, "shoulder_width": 94, "neck_width": 36}
REPEAT = Demand("repeat chest", "repeat", {"chest": 1}, 1, step=6)
ALIKE = Demand("parity", "parity", {"chest": 1, "shoulder_width": -1}, step=2)
SHOULDERS = Demand("shoulders", "shoulders", {"shoulder_width": 1, "neck_width": -1}, 58, within=0)


def said_of(way: OfferedWay):
    refused = Refused("front", (REPEAT, ALIKE, SHOULDERS), None, COUNTS, (way,))
    return refused_said(refused)


def test_three_things_that_cannot_hold_together_are_named():
    said = said_of(OfferedWay("lift", "front", (REPEAT,), {**COUNTS, "chest": 126}, 0.0))
    assert said.head == "No counts of the front yet."
    assert said.because == "Repeats of 6 + 1, both sides alike and equal shoulders cannot hold together."
    assert [figure for figure, _ in said.links] == ["odd", "even", "29"]


def test_shoulders_of_an_odd_sum_are_said_to_be_unlike_and_not_halved():
    odd = replace(SHOULDERS, at=67)
    ((figure, told),) = refused_said(Refused("front", (odd,), None, COUNTS, ())).links
    assert figure == "67"
    assert told.startswith("The back’s shoulders have 67 stitches together, so no two alike:")


@pytest.mark.parametrize(
    ("demand", "counts", "told", "button"),
    [
        (
            REPEAT,
            {"chest": 126},
            "The last repeat stops 1 stitch short of the seam.",
            "Knit 126, without whole repeats",
        ),
        (ALIKE, {}, "One underarm casts one stitch more off than the other.", "Knit 127, sides unlike"),
        (
            SHOULDERS,
            {"shoulder_width": 93, "neck_width": 37},
            "Shoulders of 28 meet the back’s of 29: 1 stitch is eased in each.",
            "Knit 127, other shoulders",
        ),
    ],
)
def test_each_way_out_says_what_shows(demand, counts, told, button):
    way = said_of(OfferedWay("lift", "front", (demand,), {**COUNTS, **counts}, 0.12)).ways[0]
    assert told in way.told
    assert way.button == button
    assert way.cost == "0.12 of a back worse."


def test_an_armhole_of_even_rows_offers_a_row_more_and_a_row_fewer():
    why = cannot_shape("armhole_rows_even", Fault("armhole_rows", "70", Accepts("armhole_rows_even", rows=(69, 71))))
    ways = (OfferedWay("armhole_rows", "front", rows=69), OfferedWay("armhole_rows", "front", rows=71, up=True))
    said = refused_said(Refused("front", (), why, COUNTS, ways))
    assert said.head == "Armhole of 70 rows: 69 or 71?"
    assert said.because == "The shoulder would rest with the carriage at its own side."
    assert [way.button for way in said.ways] == ["Knit 69 rows", "Knit 71 rows"]
    assert not said.links


def test_a_cap_that_fits_with_more_ease_offers_it():
    values = {"nearest": 0.062, "ease": (0.0, 0.05), "upper_now": 82, "ways": (CapWay(ease=0.07),)}
    why = CannotShape("no_cap", values=values)
    said = refused_said(Refused("sleeve", (), why, COUNTS, (OfferedWay("ease", "sleeve", ease=0.07),)))
    assert said.ways[0].button == "Ease to 7 %"


def test_ways_that_only_help_together_are_one_button_with_the_counts_and_the_cost_of_both():
    counts = {**COUNTS, "upper_arm": 102}
    why = CannotShape("no_cap", values={"nearest": 0.19, "ease": (0, 0.05), "upper_now": 102, "ways": ()})
    arm = OfferedWay("upper_arm", "sleeve", counts={"upper_arm": 94}, worse=1.5, times=4)
    parts = (arm, OfferedWay("ease", "sleeve", ease=0.07))
    way = OfferedWay("together", "sleeve", counts=arm.counts, worse=1.5, parts=parts)
    (said,) = refused_said(Refused("sleeve", (), why, counts, (way,))).ways
    assert (said.head, said.button) == (
        "8 stitches fewer at the upper arm and ease to 7 %",
        "Knit 94 at the upper arm and ease to 7 %",
    )
    assert said.told == (
        "94 at the upper arm instead of 102. The cap’s edge may be up to 7 % longer than the armhole: small puckers "
        "may show. Only together they let the cap in."
    )
    assert said.cost == "1.50 of a back worse."


def test_what_was_lifted_is_listed_in_its_order():
    lifted = [
        Lifted(piece="front", demand="parity", points=["chest", "shoulder_width"]),
        Lifted(piece="sleeve", demand="ease"),
        Lifted(piece="sleeve", demand="wider_arm", times=4),
    ]
    assert [(said.told, said.place) for said in lifted_said(lifted)] == [
        ("Both sides unlike, one stitch more off at the left underarm of the front.", 0),
        ("Up to 7 % eased into the armhole of the sleeve.", 1),
        ("8 stitches more at the upper arm of the sleeve.", 2),
    ]


NEWER = NewerCounts({"chest": 126}, {"chest": 124}, {"chest": 0.9}, {"chest": 0.99}, 75, False, "a" * 64, False)
FRONT = OnTheNeedles("front", None, 40, NEWER)  # type: ignore[arg-type]  # no word is said of the lines


def test_keep_comes_first_and_neither_moves_anything():
    said = needles_said(FRONT)
    assert said.head == "Keep 126, or knit 124? The front is at row 40."
    assert (said.keep.chance, said.knit.chance) == ("9 in 10", "19 in 20")
    assert said.knit.told == "Both sheets are the same up to row 75. Nothing is ripped."


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"reached": True, "alike_to": 30}, "Rip back to row 30: up to there both sheets are the same."),
        ({"alike_to": None, "reached": True}, "Cast on anew: the two sheets differ from the first row on."),
    ],
)
def test_what_taking_the_newer_counts_costs_is_said(changed, told):
    assert needles_said(replace(FRONT, newer=replace(NEWER, **changed))).knit.told == told


def test_newer_lines_by_the_same_counts_are_asked_about_as_such():
    said = needles_said(replace(FRONT, newer=replace(NEWER, then={}, now={})))
    assert said.head == "Keep its sheet, or take the newer lines? The front is at row 40."
    assert said.keep.chance == ""


def test_a_piece_off_the_machine_is_weighed_next():
    said = needles_said(replace(FRONT, newer=None, off=True))
    assert said.head == "Weigh the front, then go on."
    assert said.off
    assert said.keep is None


def test_what_was_kept_is_said_and_not_asked():
    said = needles_said(replace(FRONT, newer=replace(NEWER, kept=True)))
    assert said.head == "Go on with the front: row 40."
    assert said.keep is None
    assert "You keep 126 at the chest" in said.because


def pattern_sleeve(fits: float | None) -> PieceToKnit:
    cuff = CountToKnit("cuff", 52, None, "advised", 230.0, fits)
    counts = (cuff, CountToKnit("upper_arm", 82, None, "advised", 360.0))
    return PieceToKnit("sleeve", {count.key: count for count in counts})


@pytest.mark.parametrize(("fits", "told"), [(None, True), (0.9, False)])
def test_a_sleeve_that_nobody_measured_for_says_that_its_widths_are_the_patterns(fits, told):
    answer = RestAnswer("", "", "m", "m", "sleeve", (pattern_sleeve(fits),), (), (), CannotSay("no_yarn"))
    notes = rest_said(answer, Tape("cm", ".")).pieces[0].notes
    assert ("Its widths are those of the pattern: nobody measured what it is to fit." in notes) is told


def test_counts_on_the_needles_stand_beside_the_newer_ones():
    answer = RestAnswer("", "", "m", "m", "sleeve", (pattern_sleeve(None),), (), (), CannotSay("no_yarn"))
    piece = rest_said(answer, Tape("cm", "."), {"sleeve": {"cuff": 56}}).pieces[0]
    assert piece.before == "on the needles"
    assert [(row.planned, row.change) for row in piece.rows] == [("56", "4 fewer"), ("82", "")]


def test_counts_of_the_rest_that_change_while_the_answer_stays_are_told_as_was_and_now():
    def wanted(mm: str):
        document = json.loads((Path("demo_garments") / "household.json").read_bytes())
        make = next(make for make in document["makes"] if make["id"] == "grey_pullover")
        make["fits"]["numbers"] = {"sleeve_length": mm}
        return worked_out(open_household(json.dumps(document).encode()), "grey_pullover")[1]

    longer, shorter = wanted("58.0 cm"), wanted("57.0 cm")
    told = changed(longer, shorter, "sleeve length").text
    assert told.startswith("Kept (sleeve length). The answer stays as it was, its counts do not: ")
    assert "sleeve length was 166, now 163." in told
    assert changed(longer, longer, "sleeve length").text == "Kept (sleeve length). The answer stays as it was."
