"""Sentences: the agreed voice, every code with words of its own, and nothing of the machine's in them.

Expected sentences are written by hand after the project's agreement on wording. All figures are invented.
"""

from __future__ import annotations

import itertools
import json
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from fractions import Fraction
from functools import cache
from typing import Any, get_args

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from fitcheck import words
from fitcheck.advice.alteration import Alteration
from fitcheck.advice.decide.decision import ACTIONS
from fitcheck.advice.decide.state import ActionCode
from fitcheck.advice.judge.explanation import ExplanationCode
from fitcheck.advice.judge.verdict import ALPHA, Reason, VerdictCode
from fitcheck.advice.sizes.answers import FirstPiece
from fitcheck.estimates.numbers import Assumed, CannotSay, Quantity
from fitcheck.records.faults import Accepts, Fault, in_words
from fitcheck.records.make_up import Maker
from fitcheck.records.places import Place
from fitcheck.records.points import POINTS, PieceKind
from fitcheck.records.questions.question import (
    BeyondOtherOverhangs,
    BreaksRepeat,
    CountOff,
    FarFromNeighbours,
    FarFromPiece,
    Folded,
    LargeOverhang,
    LengthsDoNotAddUp,
    LooksLikeSlip,
    Odd,
    OddApart,
    OutOfRange,
    OverhangAgainstTape,
    PointsSwapped,
    Question,
    RowsToStitches,
    ShouldersDoNotAddUp,
    SideInOtherUnit,
    SizeInOtherUnit,
    Slip,
    StitchSize,
    WiderThanAround,
)
from fitcheck.records.stages import StageKind
from fitcheck.reports.shapes import (
    ActionReport,
    Advice,
    DirectionReport,
    EaseReport,
    ExplanationReport,
    GaugeReport,
    Head,
    Help,
    OutcomeReport,
    PointReport,
    Report,
)
from fitcheck.reports.waits import waits_for
from fitcheck.words import Mark, Unit, table
from fitcheck.words.changed import apart
from fitcheck.words.figures import CM, Tape
from fitcheck.words.in_figures import why_in_figures
from fitcheck.words.points import off_by
from fitcheck.words.said import Deed, Said, said
from tests.outlawed import NEVER, OUTLAWED

INCHES = Tape("in", ".")
SETTINGS: list[tuple[Unit, Mark]] = [("cm", "."), ("cm", ","), ("in", "."), ("mm", ".")]
DECISION_REASONS = (
    "least_loss",
    "less_work",
    "wild_reading",
    "as_read",
    "felted",
    "miscount",
    "another_dial",
    "needles",
    "out_of_shape",
    "wash_and_block",
    "worth_measuring",
)
CAUTION_CODES = (
    "felting",
    "steam_acrylic",
    "steamed_acrylic",
    "steamed_swatch",
    "care_label",
    "wash_alike",
    "children",
    "small_sample",
    "advice_only",
)
ASSUMED_CODES = (
    "seam_stitch",
    "seam_row",
    "one_laying",
    "one_laying_overhang",
    "tape_hand",
    "overhang_hand",
    "overhang_folded",
    "piece_to_piece",
    "reference_state",
    "growth_along",
    "growth_across",
    "springs_back",
    "converted",
    "level",
    "no_band_to_come",
    "half_size_step",
    "armhole_curve",
    "laid_on_as_wanted",
)
HELP_CODES = (
    "read_again",
    "read_point",
    "count_stitches",
    "count_rows",
    "say_fibre",
    "say_machine",
    "say_front_band",
    "plan_halves",
    "lay_again",
    "reference_state",
    "swatches",
    "wash_and_block",
    "answer_question",
    "say_dial",
    "say_as_read",
    "read_washed",
)


def quantity(value: float, low: float, high: float, unit: str = "mm") -> Quantity:
    return Quantity(value, low, high, 0.956, (high - low) / 4, 9.0, unit)


def a_point(key: str = "chest", off: float = -11.0, low: float = -15.0, high: float = -7.0, **more: Any) -> PointReport:
    known = POINTS[key]
    fields: dict[str, Any] = {
        "key": key,
        "name": known.name,
        "direction": known.direction,
        "flat": known.flat,
        "wanted": quantity(529.0, 525.0, 533.0),
        "measured": quantity(518.0, 514.0, 522.0),
        "read": quantity(518.0, 514.0, 522.0),
        "difference": quantity(off, low, high),
        "allowed_smaller_mm": 6.0,
        "allowed_larger_mm": 6.0,
        "code": "differs",
        "alone": "differs",
        "reason": None,
        "side": None,
        "readings_needed": None,
        "chance_within": 0.02,
        "count": 122,
        "readings": 3,
        "reference_readings": 1,
        "source": "garment",
        "garment_mm": 520.0,
        "decides": False,
        "weight": 2.0,
    }
    return PointReport(**(fields | more))


def an_action(code: str, *alterations: Alteration, **more: Any) -> ActionReport:
    fields: dict[str, Any] = {
        "code": code,
        "cost": 0.0,
        "expected_loss": 0.5,
        "chance": 0.88,
        "chances": {},
        "alterations": alterations,
        "stretch_direction": None,
        "stretch_percent": None,
        "grams": None,
        "impossible": None,
    }
    return ActionReport(**(fields | more))


def an_advice(action: str, then: str | None = None, reason: str = "least_loss", **more: Any) -> Advice:
    fields: dict[str, Any] = {"about": None, "side": None, "readings": None}
    fields |= more
    return Advice(action, then or action, reason, fields["about"], fields["side"], fields["readings"], 0.1, ())


def a_report(recommendation: Advice | CannotSay, *actions: ActionReport, **more: Any) -> Report:
    head = Head(
        "grey",
        "Grey pullover",
        "Nora",
        None,
        "back-1",
        "back",
        "blocked",
        21,
        1,
        "2025-11-22T18:40:00",
        False,
        to_knit=("front", "sleeve"),
    )
    fields: dict[str, Any] = {
        "schema": "fitcheck-report/5",
        "digest": "0" * 64,
        "head": head,
        "recommendation": recommendation,
        "actions": actions,
        "points": (a_point(),),
        "refused": {},
        "explanation": ExplanationReport("one_gauge", None, None, ()),
        "gauge": (),
        "ease": (),
        "assumed": (),
        "helps": (),
        "questions": (),
        "cautions": (),
    }
    return Report(**(fields | more))


def other_piece(
    point: str = "chest", mm: float = 17.6, stitches: int | None = 4, count: int | None = 126
) -> Alteration:
    return Alteration(point, "other_body_piece", mm, stitches, count)


def test_a_chance_is_said_in_tenths_and_at_the_ends_in_twentieths() -> None:
    said = {p: words.chance_words(p) for p in (0.0, 0.049, 0.05, 0.14, 0.16, 0.5, 0.88, 0.95, 0.951, 1.0)}
    assert said == {
        0.0: "less than 1 in 20",
        0.049: "less than 1 in 20",
        0.05: "1 in 10",
        0.14: "1 in 10",
        0.16: "2 in 10",
        0.5: "5 in 10",
        0.88: "9 in 10",
        0.95: "9 in 10",
        0.951: "19 in 20",
        1.0: "19 in 20",
    }


# The recommendation


def test_other_counts_are_said_with_the_piece_as_subject_and_the_interval_of_the_label() -> None:
    report = a_report(an_advice("other_counts"), an_action("other_counts", other_piece()))
    assert words.headline(report) == (
        "Carry on. Knit the front 4 stitches wider: 126 instead of 122. "
        "The back’s chest is 1.1 cm narrow (likely 0.7 to 1.5), and a wider front makes that up."
    )


def test_a_person_who_types_commas_reads_commas_and_inches_are_eighths() -> None:
    report = a_report(an_advice("other_counts"), an_action("other_counts", other_piece()))
    assert "1,1 cm narrow (likely 0,7 to 1,5)" in words.headline(report, Tape("cm", ","))
    # 11 mm = 3.46 eighths, 7 mm = 2.2, 15 mm = 4.7 (an inch is 25.4 mm exactly)
    assert "3/8 in narrow (likely 1/4 to 5/8)" in words.headline(report, Tape("in", "."))
    assert "11 mm narrow (likely 7 to 15)" in words.headline(report, Tape("mm", "."))


def test_different_steps_at_two_points_name_both_points() -> None:
    both = an_action("other_counts", other_piece("hem", 8.8, 2, 118), other_piece())
    told = words.headline(a_report(an_advice("other_counts"), both))
    assert told.startswith("Carry on. Knit the front wider: chest 126, hem 118 stitches. ")
    # What they were planned as is too much for a heading; one deed alone needs no number.
    assert " stitches. For the front: 126 stitches instead of 122 at the chest, 118 instead of 116 at the hem. " in told


def test_of_an_open_front_each_half_has_its_count() -> None:
    def told(halves: tuple[int, int]) -> str:
        altered = replace(other_piece(mm=-17.6, stitches=-4, count=sum(halves)), halves=halves)
        return words.headline(a_report(an_advice("other_counts"), an_action("other_counts", altered)))

    assert "For the front: 74 stitches in each half instead of 76." in told((74, 74))
    assert "For the front: 74 stitches left and 75 right instead of 76 and 77." in told((74, 75))


def test_a_front_is_answered_by_the_back() -> None:
    report = a_report(
        an_advice("other_counts"),
        an_action("other_counts", other_piece(mm=-17.6, stitches=-4, count=118)),
        points=(a_point("chest", 11.0, 7.0, 15.0),),
    )
    front = replace(report, head=replace(report.head, piece_kind="front"))
    assert "Knit the back 4 stitches narrower: 118 instead of 122." in words.headline(front)
    assert words.headline(front).endswith("and a narrower back makes that up.")


def test_a_perfect_back_has_nothing_to_change_before_the_front() -> None:
    good = a_point(off=1.0, low=-2.0, high=4.0, code="matches")
    report = a_report(an_advice("carry_on"), an_action("carry_on"), points=(good,))
    assert words.headline(report) == (
        "Carry on as planned. The back matches at every point that was read. Nothing to change before the front."
    )


def test_what_is_past_the_allowed_is_no_reason_to_carry_on_by_itself() -> None:
    for advised in ("carry_on", "other_counts"):
        why = why_in_figures(a_report(an_advice(advised), an_action(advised), points=(a_point(off=-14.0),)))
        assert why is not None
        assert (why.figure == "") == (advised == "carry_on")
        assert "narrower than" in why.then
    within = why_in_figures(a_report(an_advice("carry_on"), an_action("carry_on"), points=(a_point(off=-6.0),)))
    assert within is not None
    assert within.figure == "0.6 cm"


def test_where_only_other_points_are_open_the_deciding_ones_are_named_as_matching() -> None:
    decides = a_point("shoulder_width", 1.0, -2.0, 4.0, code="matches", decides=True)
    report = a_report(
        an_advice("carry_on"),
        an_action("carry_on"),
        points=(decides, a_point("hem", code="too_close", reason="more_readings")),
    )
    assert words.headline(report) == (
        "Carry on as planned. The back matches at every point that decides. The hem is too close to call, and the "
        "advice is the same either way. Nothing to change before the front."
    )


@pytest.mark.parametrize(
    ("code", "told"),
    [
        ("differs", "nothing else that can be done would pay"),
        ("too_close", "the advice is the same either way"),
    ],
)
def test_carry_on_never_says_that_a_point_matches_when_it_does_not(code: str, told: str) -> None:
    report = a_report(an_advice("carry_on"), an_action("carry_on"), points=(a_point(code=code),))
    assert told in words.headline(report)
    assert "matches" not in words.headline(report)


@pytest.mark.parametrize(
    ("mm", "rows", "told"),
    [
        (
            -24.0,
            -8,
            "Take 8 rows (2.4 cm) off the hem, and knit the front 8 rows shorter. "
            "The rows come off at a waste-yarn start, or a shallower band answers instead.",
        ),
        (
            24.0,
            8,
            "Add 8 rows (2.4 cm) at the hem, and knit the front 8 rows longer. "
            "The rows go on at a waste-yarn start, or a deeper band answers instead.",
        ),
        (
            -24.0,
            None,
            "Take 2.4 cm off the hem, and knit the front 2.4 cm shorter. "
            "Such rows come off at a waste-yarn start, or a shallower band answers instead.",
        ),
        (
            3.1,
            1,
            "Add 1 row (0.3 cm) at the hem, and knit the front 1 row longer. "
            "The rows go on at a waste-yarn start, or a deeper band answers instead.",
        ),
    ],
)
def test_altering_the_hem_says_how_many_rows_and_how(mm: float, rows: int | None, told: str) -> None:
    long = a_point("body_length", -mm, -mm - 5, -mm + 5)
    action = an_action("alter_hem", Alteration("body_length", "hem", mm, rows, None))
    said = words.headline(a_report(an_advice("alter_hem"), action, points=(long,)))
    deed, how = told.split(". ", 1)
    assert said.startswith(f"{deed}. The back’s body length is ")
    assert said.endswith(f" {how}")
    assert ("long (likely" if mm < 0 else "short (likely") in said


def test_a_share_of_stitches_in_the_other_ways_has_the_persons_decimal_mark() -> None:
    action = an_action("rip_back", Alteration("shoulder_width", "this_piece", 21.0, percent=2.5))
    line = words.action_line(a_report(an_advice("carry_on"), action), action, Tape("cm", ","))
    assert line == "the part above the underarm knitted again: 2,5 % more stitches at the shoulder"


def test_a_share_is_no_finer_than_anybody_knits() -> None:
    told = {2.34: "2.5 %", 0.6: "0.5 %", 2.9: "3 %", 10.7: "11 %", -6.2: "6 %"}
    assert {share: CM.percent(share) for share in told} == told


def test_block_again_gives_the_size_to_pin_to_and_what_it_takes_along() -> None:
    action = an_action("block_again", stretch_direction="across", stretch_percent=2.0)
    narrow = a_point("shoulder_width", -8.0, -12.0, -4.0, measured=quantity(407.0, 403.0, 411.0))
    report = a_report(an_advice("block_again"), action, points=(narrow,), cautions=("steam_acrylic",))
    # 40.7 cm and 2 % are 41.5 cm; two thirds of the 2 % are 0.5 cm
    assert words.headline(report) == (
        "Block the back again, to 41.5 cm at the shoulder: 2 % wider. The back’s shoulder is 0.8 cm narrow "
        "(likely 0.4 to 1.2), and 2 % is a stretch that can hold. It takes about 1 % off the "
        "length. About a third of the stretch goes again at the next wash, which is counted in: 41.2 cm stays. "
        "Block the front alike. Steam ruins acrylic for good: no iron, no steamer."
    )


def test_block_again_names_no_size_of_the_neck_which_cannot_be_pinned_out():
    action = an_action("block_again", stretch_direction="across", stretch_percent=2.0)
    neck = a_point("neck_width", -9.0, -12.0, -6.0, measured=quantity(180.0, 178.0, 182.0))
    chest = a_point("chest", -3.0, -6.0, 0.0, measured=quantity(500.0, 497.0, 503.0))
    for points in ((neck, chest), (neck, replace(chest, difference=quantity(1.0, -2.0, 4.0)))):
        told = words.headline(a_report(an_advice("block_again"), action, points=points))
        assert told.startswith("Block the back again, to 51.0 cm at the chest: 2 % wider. The back’s neck width is")
        assert "50.7 cm stays" in told
    alone = words.headline(a_report(an_advice("block_again"), action, points=(neck,)))
    assert alone.startswith("Block the back again, 2 % wider.")


def test_ripping_back_names_the_row_of_the_underarm_and_the_new_count() -> None:
    action = an_action("rip_back", Alteration("shoulder_width", "this_piece", 21.0, 4, 102), rip="armhole", row=128)
    points = (
        a_point("shoulder_width", -21.0, -25.0, -17.0),
        a_point("to_underarm", 0.0, -3.0, 3.0, code="matches", count=128),
    )
    assert words.headline(a_report(an_advice("rip_back"), action, points=points)).startswith(
        "Rip the back out down to the underarm (row 128). The back’s shoulder is 2.1 cm narrow (likely 1.7 to 2.5), "
        "and below the underarm it can stay as it is. Knit upward from there with 102 stitches at the shoulder instead "
        "of 98. Before you rip: put a thread through the row below"
    )


def test_knitting_again_says_why_nothing_else_helps_and_what_comes_back() -> None:
    action = an_action("knit_again", Alteration("shoulder_width", "this_piece", 21.0, 4, 102), grams=105.0, cost=1.05)
    narrow = a_point("shoulder_width", -21.0, -25.0, -17.0)
    report = a_report(an_advice("knit_again"), action, points=(narrow,))
    # The catalogue's limit for a narrow shoulder is 10 mm, and 6 mm are allowed here: 21 is beyond both.
    assert words.headline(report) == (
        "Knit the back again, with 102 stitches at the shoulder instead of 98. The back’s shoulder "
        "is 2.1 cm narrow "
        "(likely 1.7 to 2.5), more than the rest of the sweater can make up. 105 g can be unravelled. "
        "What the back taught goes into the next one: 9 in 10 that all of it fits."
    )
    slight = replace(report, points=(a_point("shoulder_width", -12.0, -16.0, -8.0),))
    assert "more than the rest" not in words.headline(slight)


def test_a_doubted_count_is_asked_for_first() -> None:
    doubt = DirectionReport("across", "miscount", "chest", 2, 1, 3, None, None, {"miscount": 0.8})
    report = a_report(
        replace(an_advice("measure_again", "carry_on", "miscount", about="chest"), instead=120),
        points=(a_point(count=118),),
        explanation=ExplanationReport("miscount", "across", "chest", (doubt,)),
    )
    assert words.headline(report).startswith("Count the chest row first: 118 or 120?")
    assert words.explanation_sentences(report) == (
        "The chest does not go with the other widths: it is as if 120 stitches were there (likely "
        "119 to 121), "
        "not 118. 8 in 10 that it is a miscount.",
    )


@pytest.mark.parametrize(
    ("direction", "told"),
    [
        (
            DirectionReport("across", "zone", "chest", -4, -5, -3, None, None, {"zone": 0.7}, ("hem", "chest")),
            "The hem and the chest go together, but not with the other widths: as if 4 stitches fewer were "
            "there, 116 at the chest, not 120. 7 in 10 that it is a slip there.",
        ),
        (
            DirectionReport("across", "cast_on", None, 6, 5, 7, None, None, {"cast_on": 0.8}, ("hem", "chest")),
            "The hem and the chest are off by the same: as if 6 stitches more had been cast on.",
        ),
        (
            DirectionReport("across", "cast_on", None, -1, -1, -1, None, None, {}, ("hem", "chest", "shoulder_width")),
            "Every width is off by the same: as if 1 stitch fewer had been cast on.",
        ),
        (
            DirectionReport("across", "two_gauges", "chest", None, None, None, 3.2, None, {}, ("shoulder_width",)),
            "From above the chest on the stitch is 3 % larger. Was the dial, the lot or the weight changed there? "
            "Each part is reckoned with its own size.",
        ),
        (
            DirectionReport(
                "across", "another_dial", None, None, None, None, None, None, {"another_dial": 0.9}, (), "8"
            ),
            "The widths and the lengths both are what dial 8 makes. 9 in 10 that it stood there.",
        ),
        (
            DirectionReport("across", "out_of_shape", None, None, None, None, -4.2, None, {"out_of_shape": 0.6}),
            "The back lies 4 % shorter, and as much wider, than this fabric lies by itself: 6 in 10.",
        ),
    ],
    ids=lambda value: getattr(value, "code", None),
)
def test_each_explanation_says_what_is_off_by_how_much_and_how_likely(direction: DirectionReport, told: str) -> None:
    report = a_report(
        an_advice("carry_on"),
        points=(a_point("hem", count=120), a_point("chest", count=120), a_point("shoulder_width", count=98)),
        explanation=ExplanationReport(direction.code, "across", direction.point, (direction,)),
    )
    assert words.explanation_sentences(report) == (told,)


@pytest.mark.parametrize(
    ("across", "along", "weights", "told"),
    [
        (-20.0, 30.0, {}, "Pulled long, it lies narrow"),
        (20.0, -30.0, {}, "Pulled wide, it lies short"),
        (-20.0, -30.0, {}, None),
        (-20.0, 1.0, {}, None),
        (-20.0, 30.0, {"out_of_shape": 0.01}, None),
        (-20.0, 30.0, {"out_of_shape": 0.2}, "Pulled long, it lies narrow"),
    ],
)
def test_before_rows_are_undone_it_is_asked_how_a_piece_was_laid(
    across: float, along: float, weights: dict[str, float], told: str | None
) -> None:
    direction = DirectionReport("along", "one_gauge", None, None, None, None, None, None, weights)
    report = a_report(
        an_advice("rip_back"),
        an_action("rip_back"),
        points=(
            a_point("chest", across, across - 4, across + 4),
            a_point("body_length", along, along - 4, along + 4),
        ),
        explanation=ExplanationReport("one_gauge", None, None, (direction,)),
    )
    headline = words.headline(report)
    assert ("laid without pulling?" in headline) is (told is not None)
    assert told is None or told in headline
    assert "put a thread through the row below" in headline


@pytest.mark.parametrize(
    ("why", "told", "because"),
    [
        (
            "rib",
            "Are the widths of green pullover to be copied? It is a rib and stretches. If they are copied, knit the "
            "back again.",
            "narrower as it lies",
        ),
        (
            "stretched",
            "Are the widths of green pullover to be copied? It is worn stretched. If they are copied, knit the "
            "back again.",
            "narrower as it lies",
        ),
        (
            "worn",
            "Wash green pullover, dry it flat and read it again. It was read worn, and how much it has grown since its "
            "wash is not known. Or say that it is to be copied as it hangs. If it is copied, knit the back again.",
            "hangs grows longer",
        ),
    ],
)
def test_a_garment_that_stretches_or_was_read_worn_is_asked_about_first(why: str, told: str, because: str) -> None:
    advice = replace(an_advice("measure_again", "knit_again", "as_read", about="chest"), as_read=why)
    report = a_report(advice, an_action("knit_again", chance=0.9), an_action("measure_again"))
    report = replace(report, head=replace(report.head, reference="green pullover"))
    assert words.headline(report) == told
    assert because in words.why(report)
    assert words.cost(report) == "An answer. Nothing is unravelled."
    assert words.chance(report).startswith("If it is copied, " if why == "worn" else "If they are copied, ")
    assert "an answer about green pullover" in [words.action_line(report, action) for action in report.actions]


def test_a_wild_reading_comes_first_and_does_not_blame() -> None:
    report = a_report(an_advice("measure_again", "carry_on", "wild_reading", about="chest"))
    assert words.headline(report).startswith("Measure the chest of the back again first.")


@pytest.mark.parametrize(
    ("side", "told"),
    [
        ("piece", "Measure the chest of the back twice more."),
        ("reference", "Measure the chest of the sweater that it must fit twice more. "),
    ],
)
def test_worth_measuring_says_which_side_and_how_often(side: str, told: str) -> None:
    advice = an_advice("measure_again", "knit_again", "worth_measuring", about="chest", side=side, readings=2)
    said = words.headline(a_report(advice))
    assert said.startswith(told)
    assert said.endswith("As it stands, the plan is: knit the back again.")


@pytest.mark.parametrize(
    ("advice", "to_knit", "waits"),
    [
        (an_advice("measure_again", reason="worth_measuring", readings=1), ("front",), "tape"),
        (an_advice("measure_again", reason="miscount", about="chest"), (), "tape"),
        (an_advice("measure_again", reason="wash_and_block"), ("front",), "wash"),
        (an_advice("block_again"), (), "wash"),
        (an_advice("knit_again"), (), "knit"),
        (an_advice("rip_back"), (), "knit"),
        (an_advice("carry_on"), ("front",), "knit"),
        (an_advice("carry_on"), (), "sew"),
        (CannotSay("no_points", "nothing was read", "Read one."), ("front",), "tape"),
    ],
)
def test_a_make_waits_for_what_its_next_deed_needs(
    advice: Advice | CannotSay, to_knit: tuple[str, ...], waits: str
) -> None:
    report = a_report(advice)
    assert waits_for(replace(report, head=replace(report.head, to_knit=to_knit))) == waits


def test_the_table_says_the_first_deed_and_how_much_else_there_is_to_do() -> None:
    two = said([Deed(1, "now", "take 14 rows off the hem"), Deed(2, "for the front", "knit it shorter"), "Why."])
    assert table.deed(two) == "Take 14 rows off the hem."
    assert table.beside(two) == "And one thing more, for the front."
    one = said(["Knit the back again.", "The back’s hem is 4.9 cm wide."])
    assert (table.deed(one), table.beside(one)) == ("Knit the back again.", "The back’s hem is 4.9 cm wide.")
    long = said(["Knit the back again.", "The back’s hem is wide, " + "and so on " * 5])
    assert table.beside(long) == ""


def test_the_table_counts_what_waits_for_what_and_names_a_year_that_is_not_this_one() -> None:
    assert table.head({"tape": 4, "wash": 2, "knit": 6}, 12) == "4 for the tape, 2 for the wash, 6 ready to knit."
    assert table.head({"knit": 24}, 30) == "24 of 30: 24 ready to knit."
    assert table.head({}, 0) == "Nothing is on the table yet."
    day = date(2025, 9, 28)
    assert table.since(day, date(2025, 12, 1)) == "since 28 Sept"
    assert table.since(day, date(2026, 1, 1)) == "since 28 Sept 2025"
    assert table.dated(day, date(2025, 11, 27)) == "28 Sept to 27 Nov 2025"
    assert table.dated(day, date(2026, 1, 2)) == "28 Sept 2025 to 2 Jan 2026"
    assert table.dated(day, None) == "begun 28 Sept 2025"
    assert table.makes_here(11, 1) == "12 sweaters: 11 under way, 1 finished."


def test_cannot_say_gives_the_reason_and_the_next_step_once() -> None:
    reason = CannotSay("cannot_carry", "The back is not washed.", "Wash it, and read it again")
    assert words.headline(a_report(reason)).endswith(" Wash it, and read it again.")
    other = CannotSay("not_read", "the piece was not read at any stage")
    assert words.cannot_say_sentence(other) == "Cannot say: the piece was not read at any stage."


def test_the_stamp_names_the_wearer_once() -> None:
    head = a_report(an_advice("carry_on")).head
    assert words.stamp(head) == (
        "Grey pullover, for Nora. Back, blocked and dry. From 21 readings, 22 Nov 2025, 18:40."
    )
    named = replace(head, make_name="pullover for Nora", read_on="2025-11-02", looks=2)
    assert words.stamp(named) == ("Pullover for Nora. Back, blocked and dry. From 21 readings, round 2, 2 Nov 2025.")


def test_yarn_saved_is_less_and_yarn_spent_is_more() -> None:
    for grams, told in ((12.0, "About 12 g more yarn."), (-12.0, "About 12 g less yarn.")):
        report = a_report(an_advice("other_counts"), an_action("other_counts", other_piece(), cost=0.05, grams=grams))
        assert words.cost(report) == f"About a twentieth of the work of the back. Nothing is unravelled. {told}"


# One point


def test_a_point_is_read_aloud_whole() -> None:
    assert words.point_sentence(a_point()) == (
        "Chest, flat: differs. Wanted 52.9, measured 51.8 cm, 1.1 cm narrower, likely 0.7 to 1.5, allowed 0.6."
    )


def test_an_interval_that_spans_what_is_wanted_says_both_ways() -> None:
    assert words.likely_words(a_point(off=-2.0, low=-8.0, high=4.0)) == "likely 0.8 narrow to 0.4 wide"
    assert words.likely_words(a_point("body_length", -2.0, -8.0, 4.0)) == "likely 0.8 short to 0.4 long"
    assert words.likely_words(a_point(off=3.0, low=-0.2, high=8.0)) == "likely 0 to 0.8"


def test_a_free_side_is_said_in_words() -> None:
    assert words.allowed_words(a_point(allowed_larger_mm=None)) == "allowed 0.6 narrower and any amount wider"
    assert words.allowed_words(a_point(allowed_smaller_mm=None, allowed_larger_mm=None)) == "anything is allowed"


def test_a_sleeve_is_measured_whole_so_it_is_not_called_flat() -> None:
    assert words.point_title(a_point("upper_arm")) == "Upper arm"
    assert words.point_title(a_point("chest")) == "Chest, flat"


def test_three_ways_of_being_too_close_have_three_messages() -> None:
    report = a_report(
        an_advice("carry_on"), an_action("carry_on"), an_action("knit_again", cost=1.05, expected_loss=1.2)
    )
    common: dict[str, Any] = {"code": "too_close", "decides": True}
    piece = a_point(**common, reason="more_readings", side="piece", readings_needed=2)
    reference = a_point(**common, reason="wanted_value_too_uncertain", side="reference", readings_needed=3)
    edge = a_point(code="on_the_line", decides=True, reason="on_the_line")
    assert words.too_close_sentence(report, piece) == "Too close to call: 2 more readings of the back settle it."
    assert words.too_close_sentence(report, reference) == (
        "Too close to call. The sweater that it must fit was read only once here: read it 3 times more, not the back."
    )
    assert words.too_close_sentence(report, edge) == (
        "It lies right at the edge of what is allowed; more tape would hardly settle it, so choose "
        "by what it costs: "
        "carry on as planned (no work), or knit the back again (a whole back)."
    )
    assert words.too_close_sentence(report, replace(edge, decides=False)).endswith("The advice is the same either way.")
    assert words.too_close_sentence(report, a_point()) == ""


def _no_more_tape(code: str, why: str = "") -> ActionReport:
    return an_action("measure_again", impossible=CannotSay(code, why), chance=None, expected_loss=None)


def test_a_point_and_the_ways_tell_one_story_about_more_tape() -> None:
    """What the ways leave out no point promises, and what a point promises the ways do not deny."""
    beside, decides = _open(1, decides=False), _open(9, decides=True)
    neck = replace(beside, key="neck_width", name=POINTS["neck_width"].name)
    report = a_report(an_advice("carry_on"), an_action("carry_on"), _no_more_tape("tape_cannot_settle"))
    report = replace(report, points=(decides, neck))
    assert "1 more reading of the back settles it" in words.too_close_sentence(report, neck)
    assert words.action_line(report, report.actions[1]) == (
        "left out, because more tape would hardly settle the chest; it would settle the neck width, "
        "where the advice is the same either way"
    )
    alone = replace(report, points=(decides,))
    assert words.action_line(alone, alone.actions[1]) == "left out, because more tape would hardly settle the chest"
    thrice = replace(report, actions=(an_action("carry_on"), _no_more_tape("three_looks", "judged three times")))
    assert "settles it" not in words.too_close_sentence(thrice, neck)
    assert "more tape would hardly settle it" in words.too_close_sentence(thrice, neck)
    little = replace(report, actions=(an_action("carry_on"), _no_more_tape("no_gain", "too little")))
    assert words.too_close_sentence(little, _open(1, decides=True)).endswith(
        "1 more reading of the back settles it. They would change the plan too little to pay."
    )


def test_how_sure_a_verdict_is_stands_once_and_is_the_labels_own_figure() -> None:
    """Of the share that each side may be wrong at a look, the rest is left, and said as every other chance."""
    sure = f"Matches and differs are said only when {words.chance_words(1 - ALPHA)} sure"
    assert words.likely_sentence().count(sure) == 1
    assert "19 in 20 sure" in sure
    open_ = a_point(code="too_close", readings=1)
    for chance in (0.04, 0.3, 0.93):
        assert " sure" not in words.so_far_sentence(replace(open_, chance_within=chance))


def test_no_chance_is_told_before_an_open_question_is_answered() -> None:
    advice = an_advice("measure_again", "carry_on", "wild_reading", about="chest")
    report = a_report(advice, an_action("carry_on", chance=0.01))
    assert words.unanswered(report)
    assert words.chance(report) == "Not said before the question is answered."
    either_way = replace(report, recommendation=replace(advice, hangs=False))
    assert not words.unanswered(either_way)
    assert "less than 1 in 20" in words.chance(either_way)
    assert not words.unanswered(a_report(an_advice("carry_on"), an_action("carry_on")))


def test_what_is_changed_nowhere_is_told_beside_a_plan_that_carries_on_otherwise() -> None:
    change = Alteration("chest", "other_body_piece", 22.0, None, None)
    report = a_report(an_advice("other_counts"), an_action("carry_on", chance=0.2), an_action("other_counts", change))
    assert words.chance(report).endswith("With nothing changed: 2 in 10.")


@pytest.mark.parametrize(
    ("mm", "said"),
    [
        (-11.0, "Sew the armhole seams 1.1 cm deeper in all. Each armhole seam takes half of it."),
        (-12.0, "Sew the armhole seams 0.6 cm deeper at each side."),
        (6.0, "Sew the armhole seams 0.3 cm shallower at each side."),
    ],
)
def test_two_halves_of_a_seam_make_the_whole_of_it(mm: float, said: str) -> None:
    action = an_action("other_counts", Alteration("shoulder_width", "armhole_seam", mm, None, None))
    report = replace(a_report(an_advice("other_counts"), an_action("carry_on"), action), points=())
    assert said in words.headline(report)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("tante Gerdas grüner Pullover", "tante Gerdas grüner Pullover"),
        ("Brown pullover", "Brown pullover"),
        ("my old one", "my old one"),
        ("sweater of 25 November 2026", "the sweater of 25 November 2026"),
    ],
)
def test_a_garment_is_called_as_it_was_typed(typed: str, said: str) -> None:
    head = replace(a_report(an_advice("carry_on")).head, reference=typed)
    assert words.reference_name(head) == said


@pytest.mark.parametrize(
    ("first", "said"),
    [
        (
            FirstPiece("knit", "back", {"chest": 114, "hem": 112}, "M", True, "6.2"),
            "Knit the back first: 114 stitches at the chest, at dial 6.2. That is size M. The hem has 112 stitches.",
        ),
        (
            FirstPiece("knit", "back", {"chest": 88}, "S", False, "8"),
            "Knit the back first: 88 stitches at the chest, at dial 8. "
            "That is size S, which comes nearest to what is wanted.",
        ),
        (
            FirstPiece("knit", "back", {"chest": 114}, None, True, None),
            "Knit the back first: 114 stitches at the chest. Not known yet: at which dial.",
        ),
        (
            FirstPiece("knit", "back", {}, None, False, "7"),
            "Knit the back first, at dial 7. Not known yet: how many stitches it takes.",
        ),
    ],
)
def test_what_is_planned_says_what_to_knit_first(first: FirstPiece, said: str) -> None:
    nothing = CannotSay("no_piece", "no piece of this make was read", "Read one.")
    assert words.headline(replace(a_report(nothing), first=first)) == said
    assert words.headline(a_report(nothing)).startswith("Cannot say: no piece")


def test_the_first_verdict_says_how_likely_it_is() -> None:
    assert words.so_far_sentence(a_point(chance_within=0.2, readings=1)) == (
        "So far: chest about 1.1 cm narrow, 8 in 10 that it is more than allowed. From one reading."
    )


def test_the_signs_are_the_ruler_made_small() -> None:
    signs = [
        words.zone_sign(code, d)
        for code, d in (
            ("matches", -1.0),
            ("differs", -1.0),
            ("differs", 1.0),
            ("too_close", 1.0),
            ("not_measured", 0.0),
            ("cannot_say", 0.0),
        )
    ]
    assert signs == ["[ o ]", "<[   ]", "[   ]>", "[   o", "[   ]", "- - -"]


@pytest.mark.parametrize(
    ("off", "low", "high", "sign"),
    [
        (2.0, -9.0, 9.0, "o   ]"),  # 3 beyond the smaller side's 6, 1 within the larger side's 10
        (-1.0, -2.0, 12.0, "[   o"),
        (-9.0, -14.0, -4.0, "o   ]"),
        (11.0, 6.0, 16.0, "[   o"),
    ],
)
def test_the_ring_lies_on_the_bracket_that_the_interval_passes_further(
    off: float, low: float, high: float, sign: str
) -> None:
    open_point = a_point(off=off, low=low, high=high, code="too_close", allowed_larger_mm=10.0)
    assert words.point_sign(open_point) == sign
    assert words.point_sign(replace(open_point, code="on_the_line")) == sign
    assert words.point_sign(replace(open_point, code="matches")) == "[ o ]"


def test_a_free_side_has_no_bracket_to_pass() -> None:
    free = a_point(off=9.0, low=-8.0, high=30.0, code="too_close", allowed_larger_mm=None)
    assert words.point_sign(free) == "o   ]"


# Figures that add up


def _written_value(text: str) -> Fraction:
    """What a written figure is, in its unit: "−1 3/8" is -11/8."""
    sign = -1 if text.startswith("−") else 1
    return sign * sum((Fraction(part) for part in text.lstrip("−+").split()), Fraction(0))


@given(
    wanted=st.floats(30.0, 1100.0),
    off=st.floats(-120.0, 120.0),
    unit=st.sampled_from(["cm", "in", "mm"]),
)
@example(wanted=549.4, off=-14.6, unit="cm")  # 54.9 - 1.5 is 53.4, and 53.48 alone would be written 53.5
def test_measured_is_wanted_and_difference_to_the_last_place(wanted: float, off: float, unit: Unit) -> None:
    point = a_point(off=off, wanted=quantity(wanted, wanted, wanted), measured=quantity(wanted + off, wanted, wanted))
    row = words.row_figures(point, Tape(unit, "."))
    assert _written_value(row.measured) == _written_value(row.wanted) + _written_value(row.difference)
    step = {"cm": Fraction(1, 10), "in": Fraction(1, 8), "mm": Fraction(1)}[unit]
    in_unit = (wanted + off) / {"cm": 10.0, "in": 25.4, "mm": 1.0}[unit]
    # Two roundings of half a step each; a hair for floating arithmetic.
    assert abs(float(_written_value(row.measured)) - in_unit) <= float(step) * 1.0001
    assert f"Wanted {row.wanted}, measured {row.measured} {unit}, " in words.point_sentence(point, Tape(unit, "."))


def test_a_point_without_lengths_or_held_by_pins_adds_nothing_up() -> None:
    assert words.row_figures(a_point(wanted=None, measured=None)) == words.Row("", "", "−1.1")
    held = a_point(code="held_at", measured=quantity(518.4, 518.0, 519.0))
    assert words.row_figures(held) == words.Row("52.9", "51.8", "")


# Under the table


def _mm(value: float) -> Quantity:
    return quantity(value, value - 2.0, value + 2.0)


def test_a_footnote_says_what_the_tape_alone_says_where_it_is_a_millimetre_off() -> None:
    # Measured 51.8 cm from the whole piece; the tape alone says 53.7 cm, which is 21 1/8 in.
    apart = a_point(read=quantity(536.6, 530.0, 540.0))
    near = a_point("hem", read=quantity(518.9, 518.0, 520.0))
    report = a_report(an_advice("carry_on"), points=(apart, near))
    begin = "Measured is what the readings and counts of the whole piece say together: read"
    assert words.tape_alone_sentence(report, Tape("in", ".")) == f"{begin} 21 1/8, taken as 20 1/2 at the chest."
    assert words.tape_alone_sentence(report) == f"{begin} 53.7, taken as 51.8 at the chest."
    both = replace(report, points=(apart, replace(near, read=quantity(520.0, 519.0, 521.0))))
    assert (
        words.tape_alone_sentence(both)
        == f"{begin} 53.7, taken as 51.8 at the chest and read 52.0, taken as 51.8 at the hem."
    )
    # Rounded as the row is (52.9 and −1.1 make 51.8) it is what the tape says: nothing to explain.
    alike = a_point(
        off=-10.55, wanted=quantity(529.45, 529.0, 530.0), measured=quantity(518.9, 518.0, 520.0), read=_mm(517.9)
    )
    carried = replace(report, head=replace(report.head, carried=True), points=(apart,))
    assert words.tape_alone_sentence(carried) == (
        "Measured is what the piece will measure, washed and blocked, as the swatches tell: "
        "read 53.7, taken as 51.8 at the chest."
    )
    for quiet in (near, alike, replace(apart, read=None), replace(apart, measured=None)):
        assert words.tape_alone_sentence(replace(report, points=(quiet,))) == ""


def test_wanted_is_explained_with_one_sum_that_adds_up() -> None:
    shoulder = a_point("shoulder_width", wanted=quantity(419.2, 418.0, 420.0), garment_mm=410.2)
    report = a_report(an_advice("carry_on"), points=(shoulder,))
    assert words.wanted_sentence(report) == (
        "Wanted is what the piece must measure as it lies: the garment’s figure, with what the seams swallow and any "
        "wish or band counted in (41.0 + 0.9 = 41.9 at the shoulder)."
    )
    sleeve = a_point("upper_arm", wanted=quantity(379.5, 378.0, 381.0), garment_mm=185.3)
    told = words.wanted_sentence(replace(report, points=(sleeve,)), Tape("cm", ","))
    assert "figure, doubled as a sleeve lies open, with seams, wishes and bands counted in (37,1 + 0,9 = 38,0" in told
    typed = words.wanted_sentence(replace(report, points=(replace(shoulder, source="size_table"),)))
    assert "the size table’s figure" in typed
    number = replace(shoulder, source="numbers", garment_mm=None)
    assert words.wanted_sentence(replace(report, points=(number,))) == (
        "Wanted is what the piece must measure as it lies: the number that was given, with what the seams swallow and "
        "any wish or band counted in."
    )
    assert words.wanted_sentence(replace(report, points=(a_point(wanted=None, measured=None),))) == ""


# More tape


def _open(needed: int | None, side: str = "piece", **more: Any) -> PointReport:
    fields: dict[str, Any] = {"code": "too_close", "reason": "more_readings", "side": side, "readings_needed": needed}
    return a_point(**(fields | more))


def test_more_readings_of_one_laying_say_to_lay_the_piece_again() -> None:
    report = a_report(an_advice("carry_on"))
    plain = words.too_close_sentence(report, _open(1))
    assert plain.startswith("Too close to call: 1 more reading of the back settles it. ")
    again = "1 more reading of the back settles it; lift, shake and lay it again in between."
    helped = replace(report, helps=(Help("lay_again"),))
    taken = replace(report, assumed=(Assumed("one_laying", "back-1"),))
    for one_laying in (helped, taken):
        assert again in words.too_close_sentence(one_laying, _open(1))
    # The garment's laying says nothing about the piece's, nor the other way round.
    garment = replace(report, assumed=(Assumed("one_laying", "brown"),))
    assert words.too_close_sentence(garment, _open(1)) == plain
    assert "lift, shake" in words.too_close_sentence(garment, _open(2, "reference"))
    assert "lift, shake" not in words.too_close_sentence(taken, _open(2, "reference"))
    advice = an_advice("measure_again", "carry_on", "worth_measuring", about="chest", side="piece", readings=2)
    told = words.advised(replace(helped, recommendation=advice))
    assert told.head == "Measure the chest of the back twice more."
    assert "Lift, shake and lay it again in between." in told.more
    assert words.help_sentences(replace(taken, helps=(Help("read_again", "chest", "piece", 2),))) == (
        "Read the chest of the back twice more; lift, shake and lay it again in between.",
    )


@pytest.mark.parametrize("reason", ["more_readings", "tolerance_below_tape", "wanted_value_too_uncertain"])
@pytest.mark.parametrize("side", ["piece", "reference"])
def test_more_than_six_readings_are_not_asked_for(reason: str, side: str) -> None:
    report = a_report(an_advice("carry_on"), an_action("carry_on"))
    told = words.too_close_sentence(report, _open(7, side, reason=reason))
    assert told == "Too close to call, and more tape would hardly settle it. The advice is the same either way."
    choose = words.too_close_sentence(report, _open(7, side, reason=reason, decides=True))
    assert "so choose by what it costs: carry on as planned (no work)." in choose
    assert "hardly" not in words.too_close_sentence(report, _open(6, side, reason=reason))
    assert words.help_sentence(Help("read_again", "chest", "piece", 11)) == (
        "Read the chest of the piece a few times more."
    )


# What cannot be explained


@pytest.mark.parametrize(
    ("key", "told"),
    [
        ("chest", "the widths: only overhangs were read; read two widths of the back with the tape"),
        ("body_length", "the lengths: only overhangs were read; read two lengths of the back with the tape"),
    ],
)
def test_overhangs_alone_explain_nothing_however_much_was_counted(key: str, told: str) -> None:
    found = DirectionReport(POINTS[key].direction, "cannot_say", None, None, None, None, None, None, {})
    other = "hem" if key == "chest" else "to_underarm"
    laid = tuple(a_point(one, wanted=None, measured=None, read=None) for one in (key, other))
    report = a_report(
        an_advice("carry_on"), points=laid, explanation=ExplanationReport("cannot_say", None, None, (found,))
    )
    assert words.explanation_sentences(report) == (f"Cannot say what explains {told}.",)
    uncounted = replace(report, points=tuple(replace(one, count=None) for one in laid))
    noun = "stitches" if key == "chest" else "rows"
    assert words.explanation_sentences(uncounted) == (f"Cannot say what explains {told}, and count their {noun}.",)
    taped = replace(report, points=tuple(a_point(one, count=None) for one in (key, other)))
    assert words.explanation_sentences(taped)[0].endswith(f": count the {noun} at two of them.")
    assert (
        "pins held them"
        in words.explanation_sentences(
            replace(report, points=tuple(a_point(one, code="held_at") for one in (key, other)))
        )[0]
    )
    assert "none was read" in words.explanation_sentences(replace(report, points=()))[0]
    one_only = replace(report, points=(a_point(key), laid[1]))
    assert "was read with the tape; read another" in words.explanation_sentences(one_only)[0]


@pytest.mark.parametrize(("key", "thing"), [("chest", "width"), ("body_length", "length")])
def test_widths_or_lengths_do_not_go_with_the_counts(key: str, thing: str) -> None:
    report = a_report(an_advice("measure_again", "carry_on", "miscount", about=key), points=(a_point(key, count=None),))
    assert words.why(report).startswith(f"The {thing}s and the counts do not go together")
    assert f"the count and the {thing} do not go together." in words.headline(report)
    assert words.cost(report) == "A few minutes counting. Nothing is unravelled."


# An open question comes first


def read_on_piece(point: str) -> Place:
    return Place("makes", "m", ("pieces", 0, "stages", 0, "readings", point, 0))


CHEST = read_on_piece("chest")


FAR = Question(CHEST, "50,4 cm", "cm", "far_from_neighbours", FarFromNeighbours(46.0, 2))


def inches_at(place: Place) -> Question:
    return Question(place, "20.4 cm", "cm", "inches", LooksLikeSlip(), Slip("inches", "20.4 in", 518.16, 518.16))


def questions_of_every_kind() -> Iterator[Question]:
    inches = Slip("inches", "20.4 in", 518.16, 518.16)
    parts = (("shoulder_drop", 30.0), ("armhole_depth", 210.0))
    every: tuple[tuple[Odd, Slip | None], ...] = (
        (LooksLikeSlip("garment"), inches),
        (LooksLikeSlip(near=("hem", "41.5 cm")), Slip("eighths", "8 1/2 in", 215.9, 215.9)),
        (LooksLikeSlip("readings"), Slip("round_measure", "52.0 cm", 520.0, 520.0)),
        (OutOfRange(300.0, 800.0), None),
        (FarFromNeighbours(46.0, 1), None),
        (
            LengthsDoNotAddUp(parts, "armhole_from_neck", 240.0, 280.0),
            None,
        ),
        (ShouldersDoNotAddUp(180.0, 120.0, 25.0, 440.0), None),
        (WiderThanAround("shoulder_width", 520.0, "chest", 500.0), None),
        (RowsToStitches(2.1), Slip("counts_swapped")),
        (StitchSize(12, "51.8 cm", False, 43.2, 1.5, 15.0), inches),
        (SideInOtherUnit("height", 2.1), inches),
        (SizeInOtherUnit(False, 1.8, 4.6), inches),
        (CountOff(18, 518.0, False, 28.8, "swatches", 4.3), Slip("count_off", "118")),
        (BreaksRepeat(6, 108, 114), None),
        (OddApart("shoulder_width", 87), None),
        (PointsSwapped("chest", "hem", (92, 120), "chest"), Slip("counts_swapped")),
        (FarFromPiece(520.0), Slip("half_measure", "104.0 cm")),
        (Folded(180.0), Slip("folded", "36.0 cm")),
        (BeyondOtherOverhangs(30.0), Slip("millimetres", "52 mm", 52.0, 52.0)),
        (LargeOverhang(), None),
        (OverhangAgainstTape(520.0, 500.0), None),
    )
    assert {type(odd) for odd, _ in every} == set(get_args(Odd))
    for odd, slip in every:
        yield Question(CHEST, "20.4 cm", "cm", slip.code if slip else "odd", odd, slip)


def _asked_report(about: str, asked: Question) -> Report:
    advice = an_advice("measure_again", "carry_on", "wild_reading", about=about)
    head = replace(a_report(advice).head, piece_kind="sleeve", reference="Brown pullover")
    return replace(a_report(advice), head=head, questions=(asked,))


def test_an_open_question_is_the_headline_with_its_likely_slip() -> None:
    slip = Slip("ten_times", "20.0 cm", 200.0, 200.0)
    usual = OutOfRange(120.0, 900.0)
    long = Question(read_on_piece("sleeve_length"), "200 cm", "cm", "ten_times", usual, slip)
    report = _asked_report("sleeve_length", long)
    assert words.headline(report) == (
        "Look at the sleeve length first: 200 cm? It is mostly 12.0 cm to 90.0 cm. 20.0 cm?"
    )
    assert words.why(report).startswith("Something that was typed is unlikely, and the advice hangs on it.")
    in_garment = replace(long, place=Place("garments", "g", ("occasions", 0, "readings", "sleeve_length", 0)))
    assert words.headline(_asked_report("sleeve_length", in_garment)).startswith(
        "Look at the sleeve length of Brown pullover first: 200 cm?"
    )
    elsewhere = replace(long, place=read_on_piece("sleeve_to_underarm"))
    assert words.headline(_asked_report("sleeve_length", elsewhere)).startswith("Measure the length of the sleeve")


def test_a_reading_far_from_its_neighbours_keeps_its_reason_and_a_sum_its_parts() -> None:
    odd = "4.6 cm from your other readings. Lay the tape again and type what it says."
    assert words.question_asked(FAR) == f"50,4 cm for the chest? {odd}"
    far = _asked_report("chest", FAR)
    assert words.headline(far) == f"Look at the chest first: 50,4 cm? {odd}"
    assert words.why(far).startswith("One reading lies far from the others")


def test_a_piece_that_is_not_washed_yet_is_washed_first() -> None:
    advice = an_advice("measure_again", "alter_hem", "wash_and_block", about="chest")
    found = DirectionReport("across", "cannot_say", None, None, None, None, None, None, {})
    report = a_report(advice, explanation=ExplanationReport("cannot_say", None, None, (found,)))
    report = replace(report, head=replace(report.head, carried=True, stage="rested"))
    assert words.headline(report) == (
        "Wash and block the back first, let it dry, and read it again. As far as is known now: washed, the back’s "
        "chest is 1.1 cm narrow (likely 0.7 to 1.5). As it stands, the plan is: alter the lower end."
    )
    assert words.why(report) == ("Washing changes a piece, and how much is known only roughly before it is done.")
    assert words.cost(report).startswith("A wash, ")


# Plainer words


def test_the_piece_is_not_said_twice() -> None:
    advice = an_advice("measure_again", "carry_on", "worth_measuring", about="sleeve_length", side="piece", readings=2)
    report = a_report(advice, points=(a_point("sleeve_length"),))
    sleeve = replace(report, head=replace(report.head, piece_kind="left_sleeve"))
    told = words.headline(sleeve)
    assert told.startswith("Measure the length of the left sleeve twice more. The left sleeve’s length is 1.1 cm short")
    assert words.help_sentence(Help("read_point", "sleeve_length"), sleeve.head) == (
        "Read the length of the left sleeve too."
    )


def test_what_is_allowed_has_its_unit() -> None:
    advice = an_advice("measure_again", "carry_on", "worth_measuring", about="chest", side="piece", readings=2)
    report = a_report(advice)
    assert "and 0.6 cm is allowed: what is true" in words.headline(report)
    # 6 mm are 1.9 eighths of an inch
    assert "and 1/4 in is allowed: what is true" in words.headline(report, Tape("in", "."))
    free = replace(report, points=(a_point(allowed_smaller_mm=None, allowed_larger_mm=6.0),))
    assert "and any amount narrower and 0.6 cm wider is allowed" in words.headline(free)


@pytest.mark.parametrize(
    ("makers", "name"),
    [
        (("armhole_seam",), "seams for the rest"),
        (("neck_band",), "bands for the rest"),
        (("neck_band", "armhole_seam"), "seams and bands for the rest"),
        (("armhole_seam", "other_body_piece"), "other counts for the rest"),
        ((), "other counts for the rest"),
    ],
)
def test_other_counts_are_named_by_what_changes(makers: tuple[str, ...], name: str) -> None:
    altered = tuple(Alteration("shoulder_width", by, 5.0, None, None) for by in makers)
    action = an_action("other_counts", *altered)
    assert words.action_name("other_counts", action) == name
    report = a_report(an_advice("measure_again", "other_counts", "worth_measuring", about="chest"), action)
    changed = re.search(r"the plan is: (.+)\.$", words.headline(report))
    assert changed
    # The plan says what is done; a name stands only where nothing is told.
    deed = f"carry on with {name if 'other' in name else f'other {name}'}".removesuffix(" for the rest")
    assert (changed[1] == deed) is (not makers)
    assert ("armhole seams" in changed[1], "neck band" in changed[1]) == (
        "armhole_seam" in makers,
        "neck_band" in makers,
    )
    assert words.chance(report).startswith(f"As it stands, {deed}: ")


@pytest.mark.parametrize(
    ("kind", "by", "left", "told"),
    [
        ("back", "hem", ("front",), "knit the front 14 rows shorter"),
        ("front", "hem", ("side_panel",), "make every other piece that ends there 14 rows shorter"),
        ("left_sleeve", "cuff_band", (), "knit the other sleeve 14 rows shorter"),
    ],
)
def test_every_piece_that_ends_there_is_altered_alike(kind: str, by: str, left: tuple[str, ...], told: str) -> None:
    action = an_action("alter_hem", Alteration("body_length", by, -44.0, -14, None))
    report = a_report(an_advice("alter_hem"), action, points=(a_point("body_length", 44.0, 38.0, 51.0),))
    report = replace(report, head=replace(report.head, piece_kind=kind, to_knit=left))
    said = words.advised(report)
    apart = [deed.what for deed in said.deeds]
    assert f"and {told}." in said.head or [verb for verb in apart if verb.endswith("it 14 rows shorter")]
    assert f"and {told}" in words.action_line(report, action)


@pytest.mark.parametrize(
    ("mm", "rows", "told"),
    [
        (-44.0, -14, "Take 14 rows (4.4 cm) off the hem of the front and of the back"),
        (44.0, 14, "Add 14 rows (4.4 cm) at the hem of the front and of the back"),
    ],
)
def test_a_knitted_back_is_altered_with_its_front_and_not_knitted_anew(mm: float, rows: int, told: str) -> None:
    action = an_action("alter_hem", Alteration("body_length", "hem", mm, rows, None))
    report = a_report(an_advice("alter_hem"), action, points=(a_point("body_length", -mm, -mm - 7.0, 7.0 - mm),))
    report = replace(report, head=replace(report.head, piece_kind="front", to_knit=("sleeve",)))
    assert words.headline(report).startswith(told)
    assert "every other piece" not in words.headline(report)


def test_a_cost_is_a_share_of_a_back() -> None:
    told = {cost: words.share_words(cost) for cost in (0.0, 0.05, 0.4, 1.05, 1.4)}
    assert told == {
        0.0: "no work",
        0.05: "a twentieth of a back",
        0.4: "two fifths of a back",
        1.05: "a whole back",
        1.4: "1.4 times a back",
    }


def test_one_laying_of_a_body_is_said_of_a_person() -> None:
    head = a_report(an_advice("carry_on")).head
    body = "The body measures of Nora were read once, in one go: nobody said that the tape was laid anew."
    piece = "The readings of the back are all of one laying: nobody said that it was lifted between them."
    garment = piece.replace("the back", "Brown pullover")
    assert words.assumed_sentence(Assumed("one_laying", "back-1"), head=head) == piece
    assert words.assumed_sentence(Assumed("one_laying"), head=head) == body
    brown = replace(head, reference="Brown pullover")
    assert words.assumed_sentence(Assumed("one_laying", "brown"), head=brown, points=(a_point(),)) == garment
    eased = (a_point(source="ease"), a_point("hem", source="garment", reference_readings=0))
    assert words.assumed_sentence(Assumed("one_laying", "brown"), head=brown, points=eased) == body
    mixed = (a_point(source="ease"), a_point("hem", source="garment"))
    assert words.assumed_sentence(Assumed("one_laying", "brown"), head=brown, points=mixed) == garment


@pytest.mark.parametrize(
    ("key", "told"),
    [
        ("armhole_depth", "nothing says what the armhole depth should be. Measure the armhole depth of the garment"),
        ("neck_inside", "what the neck width inside the band should be. Measure the neck width inside the band of"),
        ("waist", "nothing says what the waist should be. Measure the waist of the garment"),
    ],
)
def test_a_point_inside_a_sentence_has_its_short_name(key: str, told: str) -> None:
    name = POINTS[key].name  # the words of the domain's own refusal
    reason = CannotSay(
        "no_wanted_figure", f"Nothing says what {name} should be.", f"Measure {name} of the garment, or give a number."
    )
    assert told in words.refused_sentence(key, reason)
    lies = CannotSay("construction_differs", "Its length to underarm lies elsewhere: its length to underarm.")
    assert "the length" not in words.refused_sentence("to_underarm", lies).replace("Its", "its").split(": ")[1][4:]


def test_no_sentence_uses_the_workshop_words_that_a_newcomer_stumbled_over() -> None:
    for sentence in _told():
        assert not OUTLAWED.search(sentence), sentence


# Answers


@pytest.mark.parametrize(
    ("read", "slip", "slip_words", "answers"),
    [
        ("20.4 cm", Slip("inches", "20.4 in"), "It was inches", 'If it was inches, type "20.4 in" instead.'),
        (
            "104 cm",
            Slip("round_measure", "52.0 cm"),
            "It is the round measure: 52.0 cm flat",
            'If it is the round measure, type "52.0 cm" instead.',
        ),
        ("512 cm", Slip("ten_times", "51.2 cm"), "51.2 cm", 'If 51.2 cm was meant, type "51.2 cm" instead.'),
        ('9"', None, "", "If it is a slip, type what the tape says instead."),
    ],
)
def test_an_answer_is_given_in_the_file(read: str, slip: Slip | None, slip_words: str, answers: str) -> None:
    asked = Question(CHEST, read, "cm", slip.code if slip else "out_of_range", OutOfRange(300.0, 800.0), slip)
    assert words.slip_words(asked) == slip_words
    first, keep, as_json = words.question_answers(asked)
    assert first == answers
    assert keep == 'To keep it, add "confirmed": true to that reading:'
    assert json.loads(as_json) == {"text": read, "confirmed": True}


def test_a_question_about_counts_or_a_printed_gauge_has_its_own_answer() -> None:
    rows = Place("swatches", "s", ("stages", 0, "along", 0))
    counts = Question(rows, "40 stitches, 60 rows", "", "rows_to_stitches", RowsToStitches(0.7))
    assert words.question_answers(counts)[-1] == 'To keep it, add "confirmed": true to that reading.'
    swapped = replace(counts, code="counts_swapped", slip=Slip("counts_swapped", "60 stitches, 40 rows"))
    assert words.question_answers(swapped)[0] == "If they are swapped, swap the two counts."
    assert words.question_sentence(swapped).count("Counts swapped?") == 1
    gauge = replace(counts, place=Place("size_tables", "t", ("gauge",)))
    assert words.question_answers(gauge)[-1] == "If it is so, leave it as it is."


# What was typed


def test_a_fault_says_where_what_was_read_and_what_is_taken() -> None:
    fault = Fault("makes[0].name", "51.2.3", Accepts("one_decimal_mark", meant=("51.2", "51,2")), 12)
    assert words.fault_sentence(fault) == (
        "Line 12, makes[0].name. Not taken: 51.2.3. One decimal mark is enough: 51.2 or 51,2."
    )


def test_a_question_asks_for_its_likely_slip() -> None:
    asked = inches_at(CHEST)
    assert (
        words.question_sentence(asked)
        == "20.4 cm for the chest? As inches it would be 51.8 cm. Was it inches: 20.4 in?"
    )
    assert words.slip_words(asked) == "It was inches"
    ten = Question(CHEST, "512 cm", "cm", "ten_times", LooksLikeSlip(), Slip("ten_times", "51.2 cm", 512.0, 512.0))
    assert words.question_sentence(ten) == "512 cm for the chest? 51.2 cm?"


def test_what_was_read_is_said_also_where_it_lies_as_far_off_as_it_is_long() -> None:
    # "4.6 cm from your other readings" begins with what was read, and does not say it.
    far = replace(FAR, read="4.6 cm")
    told = "4.6 cm for the chest? 4.6 cm from your other readings."
    assert words.question_asked(far).startswith(told)


# Every code, and everything at once


def test_every_code_of_the_domain_has_words_of_its_own() -> None:
    assert set(get_args(ActionCode)) == set(ACTIONS) == set(words.ACTIONS)
    assert set(get_args(VerdictCode)) <= set(words.ZONES)
    assert set(get_args(StageKind)) <= set(words.STAGES)
    # The first two are said of the sweater itself: what is off, by how much, and the next best way.
    assert set(DECISION_REASONS) - {"least_loss", "less_work"} <= set(words.REASONS)
    assert set(CAUTION_CODES) <= set(words.CAUTIONS)
    for code in ASSUMED_CODES:
        assert not words.assumed_sentence(Assumed(code, "chest")).startswith("Taken as usual"), code
    for code in HELP_CODES:
        fallback = f"{code.replace('_', ' ').capitalize()} at the chest."
        assert words.help_sentence(Help(code, "chest", "piece", 2)) != fallback, code


def test_a_code_of_tomorrow_still_makes_a_sentence() -> None:
    assert words.assumed_sentence(Assumed("moon_phase", "chest", 3.0, None, "mm")) == (
        "Taken as usual: moon phase at the chest, 3 mm."
    )
    assert words.help_sentence(Help("ask_the_cat", "chest")) == "Ask the cat at the chest."
    assert words.caution_sentence("mind_the_gap") == "Mind this: mind the gap."


def test_what_is_assumed_costs_certainty_in_figures() -> None:
    seam = Assumed("seam_stitch", "", 4.5, 1.5, "mm", 0.42)
    assert words.assumed_sentence(seam) == (
        "A seam swallows one stitch at each edge, 4.5 mm (give or take 1.5 mm). "
        "Up to 42 % of the doubt at a point comes from this."
    )
    springs = Assumed("springs_back", "", 33.0, 20.0, "percent")
    assert (
        words.assumed_sentence(springs, Tape("cm", ","))
        == "Of a stretch 33 % (give or take 20 %) goes again at the next wash."
    )
    assert words.assumed_sentence(Assumed("piece_dial_unsaid", "back"), head=a_report(None).head).startswith(
        "The dial of the back was not said: no swatch speaks for its stitch"
    )
    assert words.assumed_sentence(Assumed("growth_along", "", 0.015, None, "1")) == (
        "A worn sweater hangs 1.5 % longer than a washed one."
    )


def _alterations() -> list[tuple[Alteration, ...]]:
    made: list[tuple[Alteration, ...]] = [()]
    for by, sign, counted in itertools.product((*get_args(Maker), "this_piece", "moon"), (-1, 1), (True, False)):
        stitches = 4 * sign if counted else None
        made.append((Alteration("chest", by, 17.6 * sign, stitches, 126 if counted else None),))
        made.append((*made[-1], Alteration("body_length", by, -0.2 * sign, None, None)))
    return made


def _explanations() -> list[ExplanationReport | CannotSay]:
    size = quantity(4.25, 4.22, 4.28)
    made: list[ExplanationReport | CannotSay] = [CannotSay("not_judged", "no point was judged")]
    for code, direction, full in itertools.product(get_args(ExplanationCode), ("across", "along"), (True, False)):
        key = "chest" if direction == "across" else "body_length"
        found = DirectionReport(
            direction,
            code,
            key if full else None,
            -2 if full else None,
            -3 if full else None,
            -1 if full else None,
            -2.6 if full else None,
            size if full else None,
            {code: 0.8} if full else {},
            (key, "hem" if direction == "across" else "to_underarm"),
            "8" if code == "another_dial" else None,
        )
        made.append(ExplanationReport(code, direction, key if full else None, (found,)))
    return made


def _points() -> list[PointReport]:
    made = []
    reasons = (None, *get_args(Reason))
    for code, reason, needed, off in itertools.product(
        (*words.ZONES, "moon"), reasons, (None, 1, 2, 9), (-11.0, 0.0, 11.0)
    ):
        for side, decides in (("piece", True), ("reference", False), (None, True)):
            made.append(
                a_point(
                    off=off,
                    low=off - 4,
                    high=off + 4,
                    code=code,
                    reason=reason,
                    side=side,
                    readings_needed=needed,
                    decides=decides,
                    reference_readings=0 if side is None else 1,
                )
            )
    nothing = a_point(wanted=None, measured=None, count=None, allowed_smaller_mm=None, allowed_larger_mm=None)
    return [*made, nothing, replace(nothing, code="held_at"), *(a_point(key) for key in POINTS)]


def _sentences() -> Iterator[str]:
    base = a_report(an_advice("carry_on"), *(an_action(code) for code in ACTIONS))
    for unit, mark in SETTINGS:
        for code, altered in itertools.product(ACTIONS, _alterations()):
            impossible = an_action(
                "rip_back",
                impossible=CannotSay("x", "There is no underarm."),
                expected_loss=None,
                chance=None,
            )
            for extra in (
                {},
                {"stretch_direction": "along", "stretch_percent": 3.0, "grams": -7.4, "cost": 0.4},
            ):
                report = a_report(
                    an_advice(code, "carry_on"),
                    an_action(code, *altered, **extra),
                    impossible,
                    points=(a_point(), a_point("body_length", 0.0, -1.0, 1.0)),
                )
                yield words.headline(report, Tape(unit, mark))
                yield words.cost(report, Tape(unit, mark))
                yield words.chance(report)
                yield from (f"{words.action_line(report, one, Tape(unit, mark))}." for one in report.actions)
        for explanation, reason, about in itertools.product(
            _explanations(), (*DECISION_REASONS, "moon"), (None, "chest", "body_length")
        ):
            for side, readings in ((None, None), ("reference", 1)):
                advice = an_advice("measure_again", "knit_again", reason, about=about, side=side, readings=readings)
                if reason in ("miscount", "another_dial", "out_of_shape"):
                    advice = replace(advice, instead=118, dial="8", pulled_percent=-4.2)
                if reason == "needles":
                    advice = replace(advice, on_bed=124)
                if reason == "as_read":
                    advice = replace(advice, as_read="stretched" if about is None else "worn" if side else "rib")
                report = replace(base, recommendation=advice, explanation=explanation)
                yield words.headline(report, Tape(unit, mark))
                yield words.why(report, Tape(unit, mark))
                yield words.chance(report)
                yield from words.explanation_sentences(report, Tape(unit, mark))
        for point in _points():
            one = replace(base, points=(point,))
            yield words.tape_alone_sentence(one, Tape(unit, mark))
            yield words.wanted_sentence(one, Tape(unit, mark))
            yield words.point_sentence(point, Tape(unit, mark))
            yield words.so_far_sentence(point, Tape(unit, mark))
            yield words.too_close_sentence(base, point, Tape(unit, mark))
            yield words.headline(replace(base, points=(point, a_point("hem"))), Tape(unit, mark))
        for code, (value, u, of) in itertools.product(
            (*ASSUMED_CODES, "moon"),
            (
                (None, None, ""),
                (-3.0, 1.0, "mm"),
                (640.0, 3.0, "mm"),
                (1.5, 1.0, "percent"),
                (0.6, 0.1, "mm per mm"),
            ),
        ):
            for about, head in (
                ("", None),
                ("chest", base.head),
                ("back-1", base.head),
                ("brown", base.head),
                ("hem", None),
            ):
                yield words.assumed_sentence(Assumed(code, about, value, u, of, 0.2), Tape(unit, mark), head=head)
        q = quantity(-23.5, -24.1, -22.9)
        yield words.ease_sentence(EaseReport("chest", q, "close"), Tape(unit, mark))
        yield words.ease_sentence(EaseReport("chest", q, None), Tape(unit, mark))
        for direction in ("across", "along"):
            yield words.gauge_sentence(
                GaugeReport("back-1", "blocked", direction, q, q, q), base.head, Tape(unit, mark)
            )
    for kind in (None, *get_args(PieceKind)):
        head = replace(
            base.head,
            piece_kind=kind,
            piece=kind,
            wearer=None,
            stage=None,
            read_on=None,
            invented=True,
            looks=3,
        )
        yield words.stamp(head)
        for code in ACTIONS:
            yield words.headline(replace(base, head=head, recommendation=an_advice(code)))
    for code, point, side, readings in itertools.product(
        (*HELP_CODES, "moon"), (None, "chest"), (None, "reference"), (None, 1, 3)
    ):
        yield words.help_sentence(Help(code, point, side, readings), base.head)
        yield words.help_sentence(Help(code, point, side, readings))
    yield from (words.caution_sentence(code) for code in (*words.CAUTIONS, "moon"))
    for reason_ in (
        CannotSay("x", ""),
        CannotSay("x", "Nothing was read", "Read it"),
        CannotSay("prior_needed", "tau_scale", "give tau"),
    ):
        yield words.cannot_say_sentence(reason_)
        yield words.refused_sentence("chest", reason_)
        yield words.headline(replace(base, recommendation=reason_))
        yield words.why(replace(base, recommendation=CannotSay("x", "Nothing was read", "Read it")))
        yield words.cost(replace(base, recommendation=reason_))
    yield words.likely_sentence()
    yield words.fault_sentence(Fault("file", "", in_words("A file that exists")))
    for question in questions_of_every_kind():
        yield words.question_sentence(question)
        yield words.question_answers(question)[0]
        yield words.headline(_asked_report("chest", question))


@cache
def _told() -> tuple[str, ...]:
    return tuple(sorted({sentence for sentence in _sentences() if sentence}))


def test_no_sentence_anywhere_lets_the_machine_show() -> None:
    told = _told()
    assert len(told) > 2000
    never = re.compile(rf"\b(?:{'|'.join(NEVER)})", re.IGNORECASE)
    machine = re.compile(r"None\b|\bnan\b|\binf\b|\[object|_|  | [.,;:?]|\.\.|\( |\(\)|\{|}")
    for sentence in told:
        assert not never.search(sentence), sentence
        assert not machine.search(sentence), sentence
        assert not re.search(r"(?<![\w/])-\d", sentence), f"a hyphen for a minus: {sentence}"
        assert sentence[-1] in ".?!", sentence


def test_a_unit_stands_once_in_every_interval() -> None:
    for sentence in _told():
        for phrase in re.findall(r"\(likely [^)]*\)", sentence):
            assert not re.search(r"\d (?:cm|mm|in)\b", phrase), sentence


# The answer names all that must be done now, what matters most first


def _rows_and_width(saved: dict[str, float]) -> Report:
    rows = Alteration("body_length", "hem", -45.0, -14, None, 0.0)
    width = Alteration("chest", "other_body_piece", 8.7, 2, 134, -1.0)
    plan = replace(an_action("alter_hem", width, rows), chances={"chest": 0.5, "body_length": 0.5})
    unchanged = replace(an_action("carry_on"), chances={key: 0.5 - chance for key, chance in saved.items()})
    points = (a_point("chest", -6.0, -11.0, -0.5, weight=1.0), a_point("body_length", 44.0, 38.0, 51.0, weight=1.0))
    return a_report(an_advice("alter_hem"), unchanged, plan, points=points)


def test_the_first_sentence_names_rows_and_stitches_and_begins_with_what_saves_most() -> None:
    by_rows = words.headline(_rows_and_width({"chest": 0.1, "body_length": 0.4}))
    assert by_rows.startswith(
        "1. Now: take 14 rows (4.5 cm) off the hem. "
        "2. For the front: knit it 14 rows shorter and 2 stitches wider: 134 instead of 132. The back’s body length is"
    )
    by_width = words.headline(_rows_and_width({"chest": 0.4, "body_length": 0.1}))
    assert by_width.startswith(
        "Carry on, with two changes. 1. Now: take 14 rows (4.5 cm) off the hem. "
        "2. For the front: knit it 14 rows shorter and 2 stitches wider: 134 instead of 132."
    )


def test_the_reason_is_what_is_furthest_off_be_it_the_piece_or_the_plan_of_the_front() -> None:
    front = Alteration("hem", "other_body_piece", 5.0, 2, 120, planned=True, plan_mm=-5.0, of_plan=0.9)
    wider = Alteration("chest", "other_body_piece", 15.0, 6, 126, planned=True)
    report = a_report(
        an_advice("other_counts"),
        an_action("other_counts", wider, front),
        points=(a_point("chest", -15.0, -19.0, -10.0), a_point("hem", -3.0, -6.0, 0.0)),
    )
    told = words.advised(report)
    assert told.because.startswith("The back’s chest is 1.5 cm narrow")
    assert "As planned the front would come out 0.5 cm too narrow at the hem." in told.more
    plan = replace(front, mm=70.0, stitches=28, plan_mm=-70.0)
    told = words.advised(
        a_report(
            an_advice("other_counts"), an_action("other_counts", replace(wider, mm=1.0), plan), points=report.points
        )
    )
    assert told.because == "As planned the front would come out 7.0 cm too narrow at the hem."


def test_rows_that_come_off_are_no_nothing() -> None:
    told = words.cost(_rows_and_width({"chest": 0.1, "body_length": 0.4}))
    assert "Nothing is unravelled but the 14 rows at the hem." in told
    added = an_action("alter_hem", Alteration("body_length", "hem", 24.0, 8, None))
    assert "Nothing is unravelled." in words.cost(a_report(an_advice("alter_hem"), added))


@pytest.mark.parametrize(
    ("left", "told"),
    [
        (-1.0, "and a wider front makes that up."),
        (-6.4, "and a wider front makes up enough: the sweater comes out 0.6 cm narrow, within what is allowed."),
        (-13.0, "and a wider front makes up 0.9 cm of it: the sweater stays 1.3 cm narrow."),
    ],
)
def test_a_front_makes_up_what_it_does_and_no_more(left: float, told: str) -> None:
    action = an_action("other_counts", Alteration("chest", "other_body_piece", 8.8, 2, 126, left))
    narrow = a_point(off=-22.0, low=-26.0, high=-18.0, allowed_smaller_mm=10.0, allowed_larger_mm=10.0)
    assert told in words.headline(a_report(an_advice("other_counts"), action, points=(narrow,)))


# What was laid on the garment


@pytest.mark.parametrize(
    ("key", "laid", "swallowed", "made", "told"),
    [
        ("shoulder_width", -8.0, 9.0, -17.0, "0.8 cm short of it, and 0.9 for the seams: 1.7 cm narrower"),
        ("shoulder_width", 7.0, 9.0, -2.0, "0.7 cm over it, less 0.9 for the seams: 0.2 cm narrower"),
        ("chest", 9.0, 9.0, 0.0, "0.9 cm over it, less 0.9 for the seams: as wanted"),
        ("neck_width", 3.0, -9.0, 12.0, "0.3 cm over it, and 0.9 for the seams: 1.2 cm wider"),
        ("body_length", 0.0, 3.0, -3.0, "level with it, and 0.3 for the seams: 0.3 cm shorter"),
        ("shoulder_width", -8.0, 0.0, -8.0, "0.8 cm short of it: 0.8 cm narrower"),
    ],
)
def test_an_overhang_is_told_as_it_was_read_with_what_the_seams_take(
    key: str, laid: float, swallowed: float, made: float, told: str
) -> None:
    overhang = quantity(laid, laid - 3, laid + 3)
    point = a_point(
        key, made, made - 5, made + 5, wanted=None, measured=None, overhang=overhang, swallowed_mm=swallowed
    )
    assert f"Laid on the garment, {told}, likely" in words.point_sentence(point)


def test_overhangs_are_named_where_they_are_part_of_what_is_measured() -> None:
    point = a_point(read=quantity(540.0, 537.0, 543.0))
    plain = words.tape_alone_sentence(a_report(an_advice("carry_on"), points=(point,)))
    assert plain.startswith("Measured is what the readings and counts of the whole piece say together")
    laid = replace(point, overhang=quantity(20.0, 17.0, 23.0))
    told = words.tape_alone_sentence(a_report(an_advice("carry_on"), points=(laid,)))
    assert told.startswith("Measured is what the readings, overhangs and counts of the whole piece say together")
    over = words.assumed_sentence(Assumed("one_laying_overhang", "chest"))
    assert (
        over == "The overhangs at the chest are all of one laying: nobody said that the piece was lifted between them."
    )


# One instruction for a piece that is not washed


def test_an_unwashed_piece_has_one_instruction_everywhere() -> None:
    point = a_point(code="on_the_line", reason="on_the_line", decides=True, carried=True)
    advice = an_advice("measure_again", "alter_hem", "wash_and_block", about="chest")
    report = a_report(advice, points=(point,))
    report = replace(report, head=replace(report.head, carried=True, stage="rested"))
    assert waits_for(report) == "wash"
    assert words.too_close_sentence(report, point) == (
        "Too close to call before the wash: wash and block the back, let it dry, then read it."
    )
    assert words.so_far_sentence(point) == ""
    assert words.so_far_sentence(replace(point, carried=False)).startswith("So far: chest")


# Why, for this sweater


def test_why_says_how_far_past_what_is_allowed_and_what_comes_next() -> None:
    narrow = a_point(off=-14.6, low=-19.0, high=-10.0, allowed_smaller_mm=10.0, allowed_larger_mm=10.0)
    plan = replace(an_action("other_counts"), cost=0.05, expected_loss=0.06)
    block = replace(an_action("block_again"), cost=0.2, expected_loss=0.22, chance=0.8)
    again = replace(an_action("knit_again"), cost=1.05, expected_loss=1.2, chance=0.95)
    closed = replace(an_action("rip_back"), impossible=CannotSay("no_underarm", "no"), expected_loss=None)
    report = a_report(an_advice("other_counts"), plan, block, again, closed, points=(narrow,))
    assert words.why(report) == (
        "The chest is 0.5 cm narrower than allowed (1.0 cm). "
        "Next best: block the back again, 8 in 10, about a fifth of the work of the back."
    )


def test_why_to_carry_on_says_what_is_furthest_off_and_that_nothing_would_pay() -> None:
    ten = {"allowed_smaller_mm": 10.0, "allowed_larger_mm": 10.0, "code": "matches"}
    points = (a_point(off=3.0, low=-2.0, high=8.0, **ten), a_point("hem", -1.0, -5.0, 3.0, **ten))
    rip = replace(an_action("rip_back"), cost=0.4, expected_loss=0.67, chance=0.84)
    assert words.why(a_report(an_advice("carry_on"), an_action("carry_on"), rip, points=points)) == (
        "Furthest off is the chest, with 0.3 cm wide of 1.0 cm allowed. To rip back to the underarm (8 in 10, "
        "about two fifths of the work of the back) would gain less than it costs."
    )


def test_a_finished_make_is_told_how_it_fits_and_that_nothing_is_left() -> None:
    report = a_report(an_advice("carry_on"), an_action("carry_on"), points=(a_point(code="matches"),))
    report = replace(report, head=replace(report.head, finished="2025-07-27"))
    assert words.headline(report) == (
        "Finished on 27 July 2025. The back matches at every point that was read. Nothing is left to do."
    )
    assert words.cost(report) == "Nothing is left to do."
    off = replace(report, points=(a_point(code="differs"),))
    assert words.headline(off) == (
        "Finished on 27 July 2025. The back’s chest is 1.1 cm narrow (likely 0.7 to 1.5): something for the next one "
        "to learn from."
    )


def test_a_reading_that_changes_nothing_is_said_to_change_nothing() -> None:
    far = _asked_report("chest", FAR)
    assert isinstance(far.recommendation, Advice)
    same = replace(far, recommendation=replace(far.recommendation, hangs=False))
    assert words.headline(same).endswith("The plan stays the same either way: carry on as planned.")
    assert "stays the same with it and without it" in words.why(same)
    hangs = replace(far, recommendation=replace(far.recommendation, hangs=True))
    assert "plan" not in words.headline(hangs)
    assert "hangs on which of them is right" in words.why(hangs)


def test_a_name_with_a_full_stop_does_not_cut_the_heading() -> None:
    asked = an_advice("measure_again", "carry_on", "worth_measuring", about="chest", side="reference", readings=2)
    report = a_report(asked, points=(a_point(side="reference", readings_needed=2),))
    report = replace(report, head=replace(report.head, reference="blue one of Mrs. Brown"))
    told = words.advised(report)
    assert told.head == "Measure the chest of blue one of Mrs. Brown twice more."
    assert "The back need not be read again." in told.more
    assert told.rest.startswith("The back’s chest is 1.1 cm narrow (likely 0.7 to 1.5), and ")
    assert told.whole == words.headline(report)
    assert words.stamp_parts(replace(report.head, make_name="vest. A second one"))[0].startswith("Vest. A second one")


def test_a_very_short_sentence_is_no_heading_by_itself() -> None:
    report = a_report(an_advice("other_counts"), an_action("other_counts", other_piece(stitches=2)))
    head = words.advised(report).head
    assert head.startswith("Carry on. Knit the front 2 stitches wider:")
    assert words.Said(head).whole == head


# What is decided, said


def test_a_front_that_is_knitted_is_not_blocked_alike() -> None:
    action = an_action("block_again", stretch_direction="across", stretch_percent=2.0)
    report = a_report(an_advice("block_again"), action, points=(a_point("chest", -12.0, -16.0, -8.0),))
    assert "Block the front alike." in words.headline(report)
    knitted = replace(report, head=replace(report.head, to_knit=("sleeve",)))
    assert "alike" not in words.headline(knitted)


def test_a_neck_band_is_told_what_it_becomes_and_not_what_it_makes_up() -> None:
    for mm, told in (
        (5.0, "2.5 mm shallower"),
        (-5.0, "2.5 mm deeper"),
        (3.4, "1.5 mm shallower"),
        (20.0, "1.0 cm shallower"),
    ):
        action = an_action("other_counts", Alteration("neck_width", "neck_band", mm))
        report = a_report(an_advice("other_counts"), action, points=(a_point("neck_width", -mm, -mm - 1, -mm + 1),))
        assert f"Make the neck band {told}." in words.headline(report)


def test_nobody_is_told_to_carry_on_first_where_less_than_half_would_fit() -> None:
    wider = Alteration("chest", "other_body_piece", 18.0, 4, 124)
    for chance, begins in ((0.8, "Carry on. Knit the front"), (0.3, "Knit the front")):
        action = replace(an_action("other_counts", wider), chance=chance)
        report = a_report(an_advice("other_counts"), action, points=(a_point("chest", -18.0, -22.0, -14.0),))
        assert words.headline(report).startswith(begins)
    unlikely = replace(an_action("carry_on"), chance=0.2)
    said = words.headline(a_report(an_advice("carry_on"), unlikely, points=(a_point("chest", -18.0, -22.0, -14.0),)))
    assert said == (
        "Leave the back as it is: 2 in 10 that it fits so. The back’s chest is 1.8 cm narrow (likely 1.4 to 2.2), and "
        "nothing else that can be done would pay for its work."
    )
    dearer = replace(an_action("rip_back"), chance=0.9, expected_loss=9.0, impossible=None)
    said = words.headline(
        a_report(an_advice("carry_on"), unlikely, dearer, points=(a_point("chest", -18.0, -22.0, -14.0),))
    )
    assert said.endswith("and to rip back to the underarm (9 in 10) would cost more work than it saves.")


def test_a_count_that_nobody_planned_is_told_against_the_piece_that_it_follows() -> None:
    for planned, told in (
        (True, "4 stitches wider: 124 instead of 120."),
        (False, "4 stitches wider than the back: 124."),
    ):
        action = an_action("other_counts", Alteration("chest", "other_body_piece", 18.0, 4, 124, planned=planned))
        report = a_report(an_advice("other_counts"), action, points=(a_point("chest", -18.0, -22.0, -14.0),))
        assert f"Knit the front {told}" in words.headline(report)


def test_a_round_says_beforehand_what_each_outcome_leads_to() -> None:
    outcomes = (OutcomeReport(None, -12.0, "rip_back"), OutcomeReport(-12.0, None, "carry_on"))
    asked = replace(
        an_advice(
            "measure_again", "rip_back", reason="worth_measuring", about="shoulder_width", side="piece", readings=3
        ),
        round=("shoulder_width",),
        outcomes=outcomes,
    )
    rip = an_action("rip_back", Alteration("shoulder_width", "this_piece", 21.0, 4, 102), rip="armhole", row=128)
    report = a_report(asked, rip, points=(a_point("shoulder_width", -14.0, -20.0, -8.0),))
    said = words.headline(report)
    assert said.startswith("Measure the shoulder of the back 3 times more")
    assert said.endswith("1.2 cm narrow or more: rip the back out down to the underarm (row 128); less: carry on.")
    with_counts = replace(asked, outcomes=(outcomes[0], replace(outcomes[1], action="other_counts")))
    assert words.headline(replace(report, recommendation=with_counts)).endswith("less: carry on with other counts.")
    two = replace(report, recommendation=replace(asked, round=("shoulder_width", "chest")))
    assert "With the shoulder 1.2 cm narrow or more: rip" in words.headline(two)
    # What begins at the neck does not mend a shoulder.
    neck = replace(
        report, actions=tuple(replace(way, rip="neck", row=None) if way.rip else way for way in report.actions)
    )
    assert "rip the back out down to the underarm;" in words.headline(neck)


def test_before_knitting_is_undone_another_laying_is_asked_for_with_the_deed_named() -> None:
    asked = an_advice(
        "measure_again", "rip_back", reason="two_layings", about="shoulder_width", side="piece", readings=1
    )
    rip = an_action("rip_back", Alteration("shoulder_width", "this_piece", -34.0, -8, 94), rip="armhole", row=128)
    report = a_report(asked, rip, points=(a_point("shoulder_width", 34.0, 30.0, 38.0),))
    said = words.headline(report)
    assert said.startswith("Measure the shoulder of the back once more")
    assert "If it still shows that, rip the back out down to the underarm (row 128)." in said
    # A piece that was laid on its garment was not measured: it is laid on again.
    laid = a_report(
        asked, rip, points=(a_point("shoulder_width", 34.0, 30.0, 38.0, overhang=quantity(25.0, 20.0, 30.0)),)
    )
    assert words.headline(laid).startswith("Lay the back on its garment anew, and read the shoulder once more. ")
    asked = replace(asked, reason="worth_measuring", readings=3)
    again = words.headline(replace(laid, recommendation=asked))
    assert again.startswith("Lay the back on its garment 3 times more. ")
    assert " Read the shoulder each time. " in again


def test_what_a_round_leads_to_in_many_ways_is_named_without_five_limits() -> None:
    outcomes = (
        OutcomeReport(None, -26.0, "rip_back"),
        OutcomeReport(-26.0, 3.0, "block_again"),
        OutcomeReport(3.0, 10.0, "carry_on"),
        OutcomeReport(10.0, None, "rip_back"),
    )
    asked = replace(
        an_advice(
            "measure_again", "rip_back", reason="worth_measuring", about="shoulder_width", side="piece", readings=3
        ),
        round=("shoulder_width",),
        outcomes=outcomes,
    )
    report = a_report(asked, an_action("rip_back"), points=(a_point("shoulder_width", -10.0, -28.0, 8.0),))
    assert words.headline(report).endswith(
        "By what it then shows: rip the back out down to the underarm, block the back again or carry on."
    )


def test_several_deeds_are_a_list_and_each_piece_is_spoken_of_once() -> None:
    changed = (
        Alteration("chest", "other_body_piece", -18.0, -4, 116, planned=True),
        Alteration("armhole_depth", "front_rows_and_cap", -4.0, -1),
        Alteration("upper_arm", "sleeve", -8.0, -2, 76, planned=True),
        Alteration("neck_width", "neck_band", -4.0),
    )
    action = replace(an_action("other_counts", *changed), chance=0.9)
    told = words.advised(a_report(an_advice("other_counts"), action, points=(a_point("chest", 18.0, 14.0, 22.0),)))
    assert told.head == "Carry on, with three changes."
    assert list(told.listed) == [
        "1. For the front: knit it 4 stitches narrower: 116 instead of 120; knit its armholes 1 row (0.4 cm) "
        "shallower.",
        "2. For the sleeves: knit them 2 stitches narrower: 76 instead of 78 at the upper arm; draw the cap anew for "
        "the armholes.",
        "3. For making up: make the neck band 2 mm deeper.",
    ]
    assert told.whole.startswith(f"{told.head} 1. For the front: knit it")


def test_what_is_done_to_the_piece_itself_is_the_first_of_several_deeds() -> None:
    wider = Alteration("chest", "other_body_piece", 9.0, 2, 122, planned=True)
    off = Alteration("body_length", "hem", -20.0, -6)
    block = replace(an_action("block_again", wider, off), stretch_direction="across", stretch_percent=2.0)
    points = (a_point("chest", -18.0, -22.0, -14.0), a_point("body_length", 20.0, 16.0, 24.0))
    told = words.advised(a_report(an_advice("block_again"), block, points=points))
    assert told.head.startswith("Block the back again, ")
    assert [deed.label for deed in told.all_deeds] == ["Now:", "Then:", "For the front:"]
    rip = replace(
        an_action("rip_back", Alteration("shoulder_width", "this_piece", 21.0, 4, 102), wider, rip="armhole"), row=128
    )
    told = words.advised(a_report(an_advice("rip_back"), rip, points=(a_point("shoulder_width", -21.0, -25.0, -17.0),)))
    assert told.head == "Rip the back out down to the underarm (row 128)."
    assert told.done.startswith("1. Now: rip the back out down to the underarm (row 128). 2. Then: ")
    assert told.listed[1] == "2. Then: knit upward from there with 102 stitches at the shoulder instead of 98."
    assert told.more[0].startswith("Before you rip: ")


def test_a_front_that_was_planned_wrong_is_its_own_reason() -> None:
    narrower = Alteration("chest", "other_body_piece", -72.0, -16, 112, planned=True, plan_mm=72.0, of_plan=1.0)
    action = replace(an_action("other_counts", narrower), chance=0.9)
    as_planned = "As planned the front would come out 7.2 cm too wide at the chest."
    for off in (0.0, -8.0):
        # A back that is right, or narrow, is no reason to knit the front narrower.
        report = a_report(
            an_advice("other_counts"), action, points=(a_point("chest", off, off - 3, off + 3, code="matches"),)
        )
        assert (
            words.headline(report) == f"Carry on. Knit the front 16 stitches narrower: 112 instead of 128. {as_planned}"
        )
    # Where the back is off as much, it is the back that is read.
    both = replace(action, alterations=(replace(narrower, of_plan=0.5),))
    wide = a_report(an_advice("other_counts"), both, points=(a_point("chest", 72.0, 69.0, 75.0),))
    assert as_planned not in words.headline(wide)
    assert "and a narrower front makes that up." in words.headline(wide)


def test_a_piece_knitted_again_though_it_matches_says_beside_what_it_does_not() -> None:
    again = an_action("knit_again", Alteration("cap_height", "this_piece", 37.0, 12, 54))
    said = "By itself the back matches; beside the pieces that are knitted already it does not."
    right = a_point("cap_height", 0.0, -2.0, 2.0, code="matches")
    assert said in words.headline(a_report(an_advice("knit_again"), again, points=(right,)))
    assert said not in words.headline(a_report(an_advice("knit_again"), again, points=(a_point("chest"),)))


def test_a_count_one_stitch_off_the_middle_says_of_which_piece() -> None:
    wider = Alteration("chest", "other_body_piece", 18.0, 4, 124, planned=True, odd=125)
    report = a_report(an_advice("other_counts"), replace(an_action("other_counts", wider), chance=0.9))
    assert "The front would come nearer still with 125 at the chest, one stitch off the middle." in words.headline(
        report
    )


def test_a_way_by_seams_and_bands_is_named_as_a_deed_without_counts() -> None:
    seams, band = Alteration("shoulder_width", "armhole_seam", 9.0), Alteration("neck_width", "neck_band", 4.0)
    counts = Alteration("chest", "other_body_piece", 18.0, 4, 124)
    for altered, named in (
        ((seams,), "carry on with other seams"),
        ((seams, band), "carry on with other seams and bands"),
        ((seams, counts), "carry on with other counts"),
    ):
        other = replace(an_action("other_counts", *altered), chance=0.8, expected_loss=0.3)
        again = replace(an_action("knit_again"), chance=0.9, expected_loss=0.2)
        assert f"Next best: {named}, " in words.why(a_report(an_advice("knit_again"), again, other))


# Figures as fine as their use


@pytest.mark.parametrize(
    ("mm", "in_cm", "in_inches"),
    [
        (3.4, "3.5 mm", "1/8 in"),
        (1.7, "1.5 mm", "1/16 in"),
        (4.5, "4.5 mm", "3/16 in"),
        (0.2, "less than half a mm", "less than 1/16 in"),
    ],
)
def test_what_is_small_is_written_in_halves_of_a_millimetre_or_in_sixteenths(
    mm: float, in_cm: str, in_inches: str
) -> None:
    assert (CM.small(mm), INCHES.small(mm)) == (in_cm, in_inches)


@pytest.mark.parametrize(
    ("off", "low", "high", "allowed", "said"),
    [
        # 7.2 mm beyond 6.35 allowed are both 1/4 in eighths; 5/16 are beyond it.
        (-7.2, -7.4, -6.9, 6.35, "5/16 in narrow"),
        # Within, and written so in eighths.
        (-5.9, -6.2, -5.6, 6.35, "1/4 in narrow"),
        # 5.0 mm within 4.9 + 0.1, 3.2 mm beyond 3.0: sixteenths tell no more, so eighths are enough.
        (-3.2, -3.4, -3.1, 3.0, "1/8 in narrow"),
        (-12.0, -14.0, -10.0, 6.35, "1/2 in narrow"),
    ],
)
def test_inches_are_in_sixteenths_only_where_eighths_would_lose_the_side_of_what_is_allowed(
    off: float, low: float, high: float, allowed: float, said: str
) -> None:
    point = a_point(off=off, low=low, high=high, allowed_smaller_mm=allowed, allowed_larger_mm=allowed)
    assert off_by(point, INCHES) == said
    finer = "16" in said
    assert ("16" in words.row_figures(point, INCHES).difference) is finer
    assert words.tape_at(point, CM) == CM
    # Whatever is written, it lies on the side of what is allowed on which it lies.
    tape = words.tape_at(point, INCHES)
    assert (abs(tape.steps(off)) > tape.steps(allowed)) is (abs(off) > allowed) or not finer


def test_the_likely_end_that_lies_beyond_what_is_allowed_is_written_beyond_it() -> None:
    point = a_point(off=-3.0, low=-7.2, high=1.0, code="too_close", allowed_smaller_mm=6.35, allowed_larger_mm=6.35)
    assert words.likely_words(point, INCHES) == "likely 5/16 narrow to 1/16 wide"
    assert words.allowed_words(point, INCHES) == "allowed 1/4"


def test_nothing_is_said_to_be_no_miscount_beside_a_direction_in_doubt() -> None:
    one = DirectionReport("along", "one_gauge", None, None, None, None, None, quantity(3.3, 3.28, 3.32), {}, (), None)
    off = replace(one, direction="across", code="two_gauges", size=None)
    sure = ExplanationReport("one_gauge", None, None, (one,))
    lengths = (a_point("body_length"), a_point("to_underarm"))
    base = a_report(an_advice("carry_on"), an_action("carry_on"), points=lengths)
    assert "No miscount." in " ".join(words.explanation_sentences(replace(base, explanation=sure)))
    told = words.explanation_sentences(replace(base, explanation=replace(sure, directions=(off, one))))
    assert "No miscount." not in " ".join(told)


# What a change did


def test_of_two_long_answers_only_the_first_deed_that_is_another_is_told():
    block, sew = Deed(1, "now", "block the back again"), Deed(4, "for making up", "sew the armholes shallower")
    was = Said("Block the back again.", first=block, deeds=(Deed(2, "then", "add 1 cm at the hem"), sew))
    front = Deed(3, "for the front", "knit it 4 rows longer")
    now = Said("Block the back again.", first=block, deeds=(Deed(2, "then", "add 4 rows at the hem"), front, sew))
    assert apart(was, now) == "Was: Then: add 1 cm at the hem. Now: Then: add 4 rows at the hem. 1 deed more changed."
    short = Said("Carry on as planned.")
    assert apart(was, short) == f"Was: {was.done} Now: Carry on as planned."
