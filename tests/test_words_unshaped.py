"""What cannot be knitted as it was counted, in words: what was asked, what goes, what to do."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fitcheck.knitting.cap_ways import CapWay
from fitcheck.knitting.counts import BodyCounts, Choices, Fabric, RaglanCounts, SleeveCounts
from fitcheck.knitting.pieces import plan_piece
from fitcheck.knitting.refusals import CannotShape, ShapingError, cannot_shape
from fitcheck.knitting.spacing import spaced_rows
from fitcheck.words.cannot_say import cannot_say_first, cannot_say_sentence
from fitcheck.words.unshaped import unshaped

BACK = BodyCounts(118, 120, 108, 94, 69, 36, 0, 5, Fabric(4.48, 3.15))
SLEEVE = SleeveCounts(52, 82, 116, Fabric(4.48, 3.15), 5, 470.117)


def said(kind, counts, choices=None, construction="set_in") -> str:
    refused = plan_piece(kind, counts, choices or Choices(), construction)
    assert isinstance(refused, CannotShape)
    return " ".join(unshaped(refused)).strip()


def test_steps_that_do_not_go_into_their_rows_are_told_what_goes():
    with pytest.raises(ShapingError) as refused:
        spaced_rows(21, 40, multiple=2)
    answer = cannot_shape("steps_do_not_fit", refused.value.fault)
    assert unshaped(answer) == (
        "Not possible: 21 steps on every 2nd row in 40 rows.",
        "20 go in. Take every row, or 42 rows.",
    )


def test_plain_rows_are_named():
    with pytest.raises(ShapingError) as refused:
        spaced_rows(30, 33, plain=8)
    assert unshaped(cannot_shape("steps_do_not_fit", refused.value.fault))[1] == (
        "25 go in beside the 8 that stay plain. Take 38 rows."
    )


def test_an_even_armhole_is_told_both_odd_ones():
    assert said("back", replace(BACK, armhole_rows=70)) == (
        "Armhole of 70 rows: the shoulder would rest with the carriage at its own side. 69 or 71?"
    )


def test_a_sleeve_that_is_shorter_than_its_top_is_high_says_how_many_rows_it_takes():
    raglan = RaglanCounts(42, 80, 37 - 68, 6, 68, 12, Fabric(4.5, 3.3))
    told = "Not possible: 37 rows are too few for a sleeve up to its top. 68 rows or more."
    assert said("sleeve", raglan, construction="raglan") == told
    short = said("sleeve", replace(SLEEVE, to_underarm=-5))
    assert short == "Not possible: 45 rows are too few for a sleeve up to its top. 50 rows or more."


def test_a_bed_that_is_too_short_says_its_needles():
    assert said("back", BACK, Choices(needles=110)) == (
        "120 needles at this dial; this bed has 110. A looser dial, side panels or a narrower body is the way out."
    )


def test_a_neck_that_is_too_shallow_says_how_deep():
    deep = replace(BACK, neck_rows=1)
    assert said("back", deep, Choices(neck="cast_off")) == (
        "Not possible: a neck 1 row deep cannot be shaped so. 2 rows or more."
    )


def test_a_cap_that_is_not_there_says_how_far_the_nearest_is_off_and_the_ways_out():
    assert said("sleeve", replace(SLEEVE, armhole_mm=250.0)) == (
        "No cap fits: the nearest is 43.7 % long. 20 stitches fewer at the upper arm."
    )
    assert said("sleeve", replace(SLEEVE, armhole_mm=150.0)).endswith(
        " % long. Look at the upper arm and the armholes again: 20 stitches or rows either way let none in."
    )


@pytest.mark.parametrize(
    ("ways", "helps"),
    [
        ([CapWay(upper=84), CapWay(ease=0.07)], "2 stitches more at the upper arm or ease to 7 %."),
        ([CapWay(upper=74, ease=0.07)], "8 stitches fewer at the upper arm and ease to 7 %."),
        (
            [CapWay(rows=2), CapWay(upper=80)],
            "Armhole 2 rows deeper on the front or 2 stitches fewer at the upper arm.",
        ),
    ],
)
def test_each_way_to_a_cap_is_told_with_its_figures(ways, helps):
    values = {"nearest": -0.014, "ease": (0.0, 0.05), "upper_now": 82, "ways": ways}
    assert unshaped(CannotShape("no_cap", values=values)) == ("No cap fits: the nearest is 1.4 % short.", helps)


def test_wherever_something_cannot_be_said_the_same_two_sentences_stand():
    refused = plan_piece("back", replace(BACK, armhole_rows=70))
    assert isinstance(refused, CannotShape)
    assert cannot_say_sentence(refused) == " ".join(unshaped(refused))
    assert cannot_say_first(refused) == [
        "Armhole of 70 rows: 69 or 71?",
        "The shoulder would rest with the carriage at its own side.",
    ]
