"""Sentences: the agreed voice, every code with words of its own, and nothing of the machine's in them.

Expected sentences are written by hand after the project's agreement on wording. All figures are invented.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any, get_args

import pytest

from fitcheck import words
from fitcheck.advice.decision import ACTIONS
from fitcheck.advice.explanation import ExplanationCode
from fitcheck.advice.remedies import ActionCode
from fitcheck.advice.verdict import Reason, VerdictCode
from fitcheck.estimates.numbers import Assumed, CannotSay, Quantity
from fitcheck.records.faults import Fault, Question
from fitcheck.records.points import POINTS, Maker, PieceKind
from fitcheck.records.stages import StageKind
from fitcheck.report import (
    ActionReport,
    Advice,
    AlterationReport,
    DirectionReport,
    EaseReport,
    ExplanationReport,
    GaugeReport,
    Head,
    Help,
    PointReport,
    Report,
)
from fitcheck.words import Mark, Unit

NEVER = ("error", "invalid", "significant", "confidence", "optimal", "fail", "please", "oops")
SETTINGS: list[tuple[Unit, Mark]] = [("cm", "."), ("cm", ","), ("in", "."), ("mm", ".")]
DECISION_REASONS = ("least_loss", "less_work", "wild_reading", "miscount", "worth_measuring")
CAUTION_CODES = (
    "felting",
    "steam_acrylic",
    "care_label",
    "wash_alike",
    "children",
    "small_sample",
    "advice_only",
)
ASSUMED_CODES = (
    "seam_stitch",
    "seam_row",
    "row_height",
    "one_laying",
    "tape_hand",
    "overhang_hand",
    "overhang_folded",
    "piece_to_piece",
    "local_spread",
    "state_unsaid",
    "reference_state",
    "growth_along",
    "growth_across",
    "springs_back",
    "converted",
    "converted_armhole_diagonal",
    "converted_length",
    "level",
    "other_as_planned",
    "stitch_size_from_piece",
    "no_band_to_come",
    "half_size_step",
    "armhole_curve",
)
HELP_CODES = (
    "read_again",
    "read_point",
    "count_stitches",
    "count_rows",
    "say_fibre",
    "lay_again",
    "reference_state",
    "swatches",
    "wash_and_block",
    "answer_question",
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


def an_action(code: str, *alterations: AlterationReport, **more: Any) -> ActionReport:
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
    )
    fields: dict[str, Any] = {
        "schema": "fitcheck-report/1",
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
) -> AlterationReport:
    return AlterationReport(point, "other_body_piece", mm, stitches, count)


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
        "The back's chest is 1.1 cm narrow (likely 0.7 to 1.5), and a wider front makes that up."
    )


def test_a_person_who_types_commas_reads_commas_and_inches_are_eighths() -> None:
    report = a_report(an_advice("other_counts"), an_action("other_counts", other_piece()))
    assert "1,1 cm narrow (likely 0,7 to 1,5)" in words.headline(report, "cm", mark=",")
    # 11 mm = 3.46 eighths, 7 mm = 2.2, 15 mm = 4.7 (an inch is 25.4 mm exactly)
    assert "3/8 in narrow (likely 1/4 to 5/8)" in words.headline(report, "in")
    assert "11 mm narrow (likely 7 to 15)" in words.headline(report, "mm")


def test_different_steps_at_two_points_name_both_points() -> None:
    both = an_action("other_counts", other_piece("hem", 8.8, 2, 118), other_piece())
    told = words.headline(a_report(an_advice("other_counts"), both))
    assert told.startswith(
        "Carry on. Knit the front wider: 126 stitches instead of 122 at the chest, 118 instead of 116 at the hem."
    )


def test_a_front_is_answered_by_the_back() -> None:
    report = a_report(
        an_advice("other_counts"), an_action("other_counts", other_piece(mm=-17.6, stitches=-4, count=118))
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


def test_where_only_other_points_are_open_the_deciding_ones_are_named_as_matching() -> None:
    decides = a_point("shoulder_width", 1.0, -2.0, 4.0, code="matches", decides=True)
    report = a_report(
        an_advice("carry_on"),
        an_action("carry_on"),
        points=(decides, a_point("hem", code="too_close", reason="more_readings")),
    )
    assert words.headline(report) == (
        "Carry on as planned. The back matches at every point that decides. Nothing to change before the front."
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
            "At the hem take off 8 rows (2.4 cm): from a waste-yarn start, or with a shallower band.",
        ),
        (24.0, 8, "At the hem add 8 rows (2.4 cm): from a waste-yarn start, or with a deeper band."),
        (-24.0, None, "At the hem take off 2.4 cm: from a waste-yarn start, or with a shallower band."),
        (3.1, 1, "At the hem add 1 row (0.3 cm): from a waste-yarn start, or with a deeper band."),
    ],
)
def test_altering_the_hem_says_how_many_rows_and_how(mm: float, rows: int | None, told: str) -> None:
    long = a_point("body_length", -mm, -mm - 5, -mm + 5)
    action = an_action("alter_hem", AlterationReport("body_length", "hem", mm, rows, None))
    said = words.headline(a_report(an_advice("alter_hem"), action, points=(long,)))
    assert said.startswith(f"Carry on. {told} The back's body length is ")
    assert ("long (likely" if mm < 0 else "short (likely") in said


def test_block_again_gives_the_size_to_pin_to_and_what_it_takes_along() -> None:
    action = an_action("block_again", stretch_direction="across", stretch_percent=2.0)
    narrow = a_point("shoulder_width", -8.0, -12.0, -4.0, measured=quantity(407.0, 403.0, 411.0))
    report = a_report(an_advice("block_again"), action, points=(narrow,), cautions=("steam_acrylic",))
    # 40.7 cm and 2 % are 41.5 cm
    assert words.headline(report) == (
        "Block the back again, to 41.5 cm at the shoulder: 2 % wider. The back's shoulder is 0.8 cm narrow "
        "(likely 0.4 to 1.2), and 2 % is a stretch that can hold. It takes about 1 % off the "
        "length, and a part "
        "goes again at the next wash. Do not steam acrylic."
    )


def test_ripping_back_names_the_row_of_the_underarm_and_the_new_count() -> None:
    action = an_action("rip_back", AlterationReport("shoulder_width", "this_piece", 21.0, 4, 102))
    points = (
        a_point("shoulder_width", -21.0, -25.0, -17.0),
        a_point("to_underarm", 0.0, -3.0, 3.0, code="matches", count=128),
    )
    assert words.headline(a_report(an_advice("rip_back"), action, points=points)).startswith(
        "Rip the back back to the underarm (row 128) and knit upward from there with 102 stitches "
        "at the shoulder "
        "instead of 98. The back's shoulder is 2.1 cm narrow (likely 1.7 to 2.5)"
    )


def test_knitting_again_says_why_nothing_else_helps_and_what_comes_back() -> None:
    action = an_action(
        "knit_again", AlterationReport("shoulder_width", "this_piece", 21.0, 4, 102), grams=105.0, cost=1.05
    )
    narrow = a_point("shoulder_width", -21.0, -25.0, -17.0)
    report = a_report(an_advice("knit_again"), action, points=(narrow,))
    # The catalogue's limit for a narrow shoulder is 10 mm, and 6 mm are allowed here: 21 is beyond both.
    assert words.headline(report) == (
        "Knit the back again, with 102 stitches at the shoulder instead of 98. The back's shoulder "
        "is 2.1 cm narrow "
        "(likely 1.7 to 2.5), more than the rest of the sweater can make up. 105 g can be unravelled. "
        "What the back taught goes into the next one: 9 in 10 that all of it fits."
    )
    slight = replace(report, points=(a_point("shoulder_width", -12.0, -16.0, -8.0),))
    assert "more than the rest" not in words.headline(slight)


def test_a_doubted_count_is_asked_for_first() -> None:
    doubt = DirectionReport("across", "miscount", "chest", 2, 1, 3, None, None, {"miscount": 0.8})
    report = a_report(
        an_advice("measure_again", "carry_on", "miscount", about="chest"),
        points=(a_point(count=118),),
        explanation=ExplanationReport("miscount", "across", "chest", (doubt,)),
    )
    assert words.headline(report).startswith("Count the chest row first: 118 or 120?")
    assert words.explanation_sentences(report) == (
        "The chest does not go with the other widths: it is as if 120 stitches were there (likely "
        "119 to 121), "
        "not 118. 8 in 10 that it is a miscount.",
    )


def test_a_wild_reading_comes_first_and_does_not_blame() -> None:
    report = a_report(an_advice("measure_again", "carry_on", "wild_reading", about="chest"))
    assert words.headline(report).startswith("Measure the chest of the back again first.")


@pytest.mark.parametrize(
    ("side", "told"),
    [
        ("piece", "Measure the chest of the back twice more."),
        ("reference", "Measure the chest of the sweater that it must fit twice more, not of the back."),
    ],
)
def test_worth_measuring_says_which_side_and_how_often(side: str, told: str) -> None:
    advice = an_advice("measure_again", "knit_again", "worth_measuring", about="chest", side=side, readings=2)
    said = words.headline(a_report(advice))
    assert said.startswith(told)
    assert said.endswith("As it stands, the plan is: knit again.")


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
        "carry on as planned (no work), or knit again (as much work as knitting the back once)."
    )
    assert words.too_close_sentence(report, replace(edge, decides=False)).endswith("The advice is the same either way.")
    assert words.too_close_sentence(report, a_point()) == ""


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


# What was typed


def test_a_fault_says_where_what_was_read_and_what_is_taken() -> None:
    fault = Fault("makes[0].name", "51.2.3", "One decimal mark is enough: 51.2 or 51,2.", 12)
    assert words.fault_sentence(fault) == (
        "Line 12, makes[0].name. Not taken: 51.2.3. One decimal mark is enough: 51.2 or 51,2."
    )


def test_a_question_keeps_its_answers_as_buttons() -> None:
    asked = Question(
        "p",
        "20.4 cm",
        "20.4 cm for the chest? As inches it would be 51.8 cm.",
        "It was inches",
        "20.4 in",
        "inches",
    )
    assert (
        words.question_sentence(asked)
        == "20.4 cm for the chest? As inches it would be 51.8 cm. It was inches: 20.4 in?"
    )
    assert words.question_buttons(asked) == ("It was inches", "Type again", "Keep 20.4 cm")
    ten = Question("p", "512 cm", "512 cm for the chest?", "51.2 cm", "51.2 cm", "ten_times")
    assert words.question_sentence(ten) == "512 cm for the chest? 51.2 cm?"


# Every code, and everything at once


def test_every_code_of_the_domain_has_words_of_its_own() -> None:
    assert set(get_args(ActionCode)) == set(ACTIONS) == set(words.ACTIONS)
    assert set(get_args(VerdictCode)) <= set(words.ZONES)
    assert set(get_args(StageKind)) <= set(words.STAGES)
    assert set(DECISION_REASONS) <= set(words.REASONS)
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
        "It brings 42 % of the doubt where it counts most."
    )
    springs = Assumed("springs_back", "", 33.0, 20.0, "percent")
    assert (
        words.assumed_sentence(springs, mark=",")
        == "Of a stretch 33 % (give or take 20 %) goes again at the next wash."
    )
    assert words.assumed_sentence(Assumed("growth_along", "", 0.015, None, "1")) == (
        "A worn sweater hangs 1.5 % longer than a washed one."
    )


def _alterations() -> list[tuple[AlterationReport, ...]]:
    made: list[tuple[AlterationReport, ...]] = [()]
    for by, sign, counted in itertools.product((*get_args(Maker), "this_piece", "moon"), (-1, 1), (True, False)):
        stitches = 4 * sign if counted else None
        made.append((AlterationReport("chest", by, 17.6 * sign, stitches, 126 if counted else None),))
        made.append((*made[-1], AlterationReport("body_length", by, -0.2 * sign, None, None)))
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
                yield words.headline(report, unit, mark=mark)
                yield words.cost(report, unit, mark=mark)
                yield words.chance(report)
                yield from (f"{words.action_line(report, one, unit, mark=mark)}." for one in report.actions)
        for explanation, reason, about in itertools.product(
            _explanations(), (*DECISION_REASONS, "moon"), (None, "chest", "body_length")
        ):
            for side, readings in ((None, None), ("reference", 1)):
                advice = an_advice("measure_again", "knit_again", reason, about=about, side=side, readings=readings)
                report = replace(base, recommendation=advice, explanation=explanation)
                yield words.headline(report, unit, mark=mark)
                yield words.why(report, unit, mark=mark)
                yield words.chance(report)
                yield from words.explanation_sentences(report, unit, mark=mark)
        for point in _points():
            yield words.point_sentence(point, unit, mark=mark)
            yield words.so_far_sentence(point, unit, mark=mark)
            yield words.too_close_sentence(base, point, unit, mark=mark)
            yield words.headline(replace(base, points=(point, a_point("hem"))), unit, mark=mark)
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
                yield words.assumed_sentence(Assumed(code, about, value, u, of, 0.2), unit, mark=mark, head=head)
        q = quantity(-23.5, -24.1, -22.9)
        yield words.ease_sentence(EaseReport("chest", q, "close"), unit, mark=mark)
        yield words.ease_sentence(EaseReport("chest", q, None), unit, mark=mark)
        for direction in ("across", "along"):
            yield words.gauge_sentence(GaugeReport("back-1", "blocked", direction, q, q, q), base.head, unit, mark=mark)
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
    yield words.fault_sentence(Fault("file", "", "A file that exists"))
    yield words.question_sentence(Question("p", "2.1", "Rows 2.1 times the stitches", "", ""))
    yield words.question_sentence(Question("p", "2.1", "", "Counts swapped", ""))


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
