"""The sentences and the printed page of a fabric: the agreed voice, 80 columns, every code with its words.

Expected sentences are written by hand after the project's agreement on wording. All figures are invented.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from typing import Any, get_args

import pytest

from fitcheck.advice.fabric.of_make import LeftOut, LeftOutCode
from fitcheck.advice.fabric.shapes import (
    ChangeReport,
    FabricAnswer,
    LineReport,
    NextSwatchReport,
    SlopeReport,
    WantedGauge,
)
from fitcheck.advice.groups import SwatchGroup
from fitcheck.estimates.numbers import Assumed, CannotSay, Quantity
from fitcheck.terminal.fabric import fabric_blocks, printed_fabric
from fitcheck.words import Mark, Unit
from fitcheck.words import fabric as words_fabric
from fitcheck.words.figures import Tape
from tests.advice.fabric_sample import FOUR, TABLE, answered, back, swatch
from tests.outlawed import NEVER

SETTINGS: list[tuple[Unit, Mark]] = [("cm", "."), ("cm", ","), ("in", "."), ("mm", ".")]
ASSUMED = (
    Assumed("size", "across", 4.5, 1.1, "mm"),
    Assumed("size", "along", 3.2, 0.8, "mm"),
    Assumed("slope", "across", 7.0, 3.0, "percent"),
    Assumed("slope", "along", 7.0, 3.0, "percent"),
    Assumed("piece_shift", "across", 0.0, 1.5, "percent"),
    Assumed("piece_shift", "along", 0.0, 1.5, "percent"),
    Assumed("change_across", "off_machine", 0.0, 6.0, "percent"),
    Assumed("change_along", "rested", -1.0, 6.0, "percent"),
    Assumed("tape_hand"),
    Assumed("one_laying"),
    Assumed("fibre_unsaid"),
    Assumed("dial_unsaid"),
    Assumed("dial_of_swatch"),
    Assumed("dial_range"),
    Assumed("chest", "", 1000.0, None, "mm"),
)


def percent(value: float, low: float, high: float, basis: Any = "measured") -> Quantity:
    return Quantity(value, low, high, 0.9, (high - low) / 3.29, None, "percent", basis)


@cache
def empty() -> FabricAnswer:
    return answered()


@cache
def rich() -> FabricAnswer:
    odd = swatch("odd_one", "7", 7.0, weights="6 claws")
    full = swatch("e", "7", 7.0, "off_machine", "rested", "blocked", "hung", weights="2 claws")
    full["stages"][0]["along"] = ["208 mm", "209 mm"]  # nobody said which laying
    return answered(
        *FOUR, odd, full, pieces=[back(weights="2 claws")], table=TABLE, fits={"numbers": {"chest": "54 cm"}}
    )


@cache
def lost() -> FabricAnswer:
    return answered(swatch("one", "7", 7.0, "rested", "blocked"), pieces=[back(stage="off_machine")])


@cache
def one() -> FabricAnswer:
    return answered(swatch())


ANSWERS = {"empty": empty, "rich": rich, "lost": lost, "one": one}


# --- the sentences ---


def test_both_swatches_at_one_dial_say_what_would_tell():
    dials = answered(swatch("a"), swatch("b")).dials
    assert words_fabric.dial_headline(dials) == (
        "Cannot say yet which dial. Both swatches were knitted at 7. One at 6 or 8 would tell."
    )


def test_the_best_click_is_told_with_its_gauge_and_chance():
    found = rich().dials
    assert not isinstance(found.best, CannotSay)
    q = found.best.across.per_10cm
    assert words_fabric.dial_headline(found).startswith(
        f"Dial {found.best.dial} meets the wanted gauge. There it is {q.value:.1f} stitches to 10 cm (likely "
        f"{q.low:.1f} to {q.high:.1f}), and 22.0 are wanted. "
    )
    assert words_fabric.dial_headline(found).endswith("19 in 20 that the pattern’s counts give the pattern’s widths.")
    inches = words_fabric.dial_headline(found, Tape("in", "."))
    assert f"{found.best.across.per_4in.value:.1f} stitches to 4 in" in inches
    assert "and 22.4 are wanted" in inches  # 22 in 10 cm is 22.35 in 4 in


def test_a_click_that_is_off_or_far_says_so():
    found = rich().dials
    assert not isinstance(found.best, CannotSay)
    off = replace(found, best=replace(found.best, good=False, chance=0.02, outside=True))
    told = words_fabric.dial_headline(off)
    assert " comes nearest to the wanted gauge" in told
    assert ", so the counts must make up the rest. Less than 1 in 20 that" in told
    assert told.endswith(" No swatch was knitted that far out: knit one first.")


def test_the_one_dial_that_was_knitted_is_told_beside_it():
    dials = answered(swatch("a"), swatch("b"), table=TABLE).dials
    told = words_fabric.known_dial_sentence(dials)
    assert re.fullmatch(
        r"At 7 itself: 22\.7 stitches to 10 cm \(likely .* to .*\); \d in 10 that the pattern’s counts give "
        r"the pattern’s widths\.",
        told,
    )
    assert words_fabric.known_dial_sentence(rich().dials) == ""


def test_pieces_keep_their_dial():
    told = words_fabric.keeps_sentence(rich())
    assert told.startswith(
        "The pieces so far were knitted at 7: what is seamed to them keeps it, and widths are met by the counts. "
        "At that dial it is "
    )
    assert words_fabric.keeps_sentence(answered(*FOUR)) == ""


def test_pieces_stay_at_a_dial_that_nobody_said():
    answer = answered(*FOUR, pieces=[back(dial=None)])
    assert words_fabric.keeps_sentence(answer) == (
        "Nobody said at which dial the pieces so far were knitted: what is seamed to them is knitted at the same."
    )
    head = words_fabric.next_dial(answer, piece="the back").head
    assert head.startswith("Stay at the dial of the back for the rest")


def test_where_the_wanted_gauge_comes_from():
    wanted = WantedGauge(100 / 22, None, 0.084, "printed", 100 / 22, 4.5, 4.6, "agrees")
    assert words_fabric.wanted_sentence(wanted) == (
        "Wanted: 22.0 stitches to 10 cm, as the pattern prints it; the chest allows 21.6 to 22.4."
    )
    counts = replace(wanted, source="counts", printed_mm=100 / 24, table="printed_gauge_off")
    assert words_fabric.wanted_sentence(counts, Tape("cm", ",")) == (
        "Wanted: 22,0 stitches to 10 cm, which its stitches were made for; the chest allows 21,6 to 22,4. "
        "The pattern prints 24,0, which its stitches do not bear out: check what was typed."
    )
    odd = replace(wanted, table="cell_off")
    assert words_fabric.wanted_sentence(odd).endswith("One figure of the size table does not go with the others.")


@pytest.mark.parametrize(
    ("share", "end"),
    [
        (0.0, ": both assumed."),
        (0.63, ": 63 % of it from your knitting."),
        (0.97, ": both measured."),
    ],
)
def test_a_slope_says_how_much_of_it_is_data(share: float, end: str):
    slopes = (
        SlopeReport("across", percent(7.0, 2.1, 11.9), share),
        SlopeReport("along", percent(6.0, 2.0, 10.0), share),
    )
    assert words_fabric.slope_sentence(slopes) == (
        "One dial number up, a stitch is 7 % (likely 2 to 12) wider and a row is 6 % (likely 2 to 10) higher" + end
    )


def test_a_slope_says_for_each_direction_how_it_is_known():
    slopes = (
        SlopeReport("across", percent(6.8, 6.0, 7.7), 0.97),
        SlopeReport("along", percent(7.0, 2.1, 11.9), 0.0),
    )
    assert words_fabric.slope_sentence(slopes) == (
        "One dial number up, a stitch is 7 % (likely 6 to 8) wider, measured, and a row is 7 % (likely 2 to "
        "12) higher, assumed."
    )
    assert words_fabric.slope_sentence(slopes[1:]) == (
        "One dial number up, a row is 7 % (likely 2 to 12) higher: assumed."
    )
    assert words_fabric.slope_sentence(()) == ""


@pytest.mark.parametrize(
    ("dial", "said"),
    [
        (7.0, "at 7"),
        (6.97, "at 7"),
        (7.05, "at 7"),
        (7.26, "a quarter of the way from 7 to 8"),
        (7.333, "a third of the way from 7 to 8"),
        (0.5, "half of the way from 0 to 1"),
        (9.7, "two thirds of the way from 9 to 10"),
    ],
)
def test_a_place_between_dial_numbers_is_a_part_of_the_way(dial: float, said: str):
    assert words_fabric.place_words(dial) == said


def test_the_cross_check_in_words():
    slope = Quantity(0.31, 0.28, 0.34, 0.9, 0.01, 2.0, "mm")
    percent = Quantity(6.9, 6.2, 7.6, 0.9, 0.2, 2.0, "percent")
    at = Quantity(7.32, 7.2, 7.4, 0.9, 0.05, 2.0, "dial")
    line = LineReport(3, slope, percent, at, True)
    told = (
        "Cross-check, a line through 3 swatches alone: 7 % a number, the wanted gauge a third of the way from 7 to 8, "
        "likely a quarter to a third."
    )
    assert words_fabric.line_sentence(line) == told
    assert words_fabric.line_sentence(replace(line, agrees=False)) == (f"{told} Not the dial above: swatch once more.")
    wide = replace(at, low=6.96, high=8.5)
    assert words_fabric.line_sentence(replace(line, at=wide)).endswith(
        "a third of the way from 7 to 8, likely between 7 and half of the way from 8 to 9."
    )
    wider = replace(at, low=6.7, high=8.5)
    assert words_fabric.line_sentence(replace(line, at=wider)).endswith("from 7 to 8, likely between 6 and 9.")
    # A share is the same in every unit, and stands beside what the swatches and what is usual say together.
    assert words_fabric.line_sentence(line, Tape("in", ".")) == told
    flat = CannotSay("line_not_determined", "the 3 points scatter", "")
    assert words_fabric.line_sentence(replace(line, at=flat)).endswith(
        "alone: 7 % a number. It cannot say which dial: the 3 points scatter."
    )
    few = CannotSay("too_few_points", "a line needs 3 points", "")
    assert words_fabric.line_sentence(few) == (
        "No cross-check yet: a line takes three blocked swatches whose dials are known."
    )
    alone = CannotSay("one_place_only", "all 3 points are at 7", "")
    assert words_fabric.line_sentence(alone) == "No cross-check: all 3 points are at 7."


def test_a_change_has_its_direction_and_its_basis():
    change = ChangeReport("rested", percent(-1.9, -2.9, -0.9), percent(2.0, -0.5, 4.5), 3, 3)
    assert words_fabric.change_sentence(change) == (
        "From rested to blocked the next piece becomes 2 % narrower (likely 1 to 3) and 2 % "
        "longer (likely 0.5 % shorter to 5 % longer), from 3 swatches or pieces."
    )
    one = replace(change, specimens_along=1)
    assert words_fabric.change_sentence(one).endswith(", from one swatch or piece.")
    assumed = ChangeReport(
        "off_machine", percent(-0.01, -9.9, 11.0, "assumed"), percent(-12.5, -19.9, -4.4, "assumed"), 0, 0
    )
    assert words_fabric.change_sentence(assumed, Tape("cm", ",")) == (
        "From off the machine to blocked the next piece stays as wide (likely 10 % narrower to 11 % wider) and "
        "becomes 13 % shorter (likely 4 to 20), all of it assumed."
    )
    partly = replace(assumed, across=percent(-1.0, -2.0, 0.0, "mixed"))
    assert words_fabric.change_sentence(partly).endswith(", partly assumed.")


def test_hanging_is_told_from_blocked_on():
    # 2 % shorter when it comes down is 2.04 % longer when it hangs: 1/0.98 = 1.0204.
    hung = ChangeReport("hung", percent(0.0, -1.0, 1.0), percent(-2.0, -3.0, -1.0), 2, 2)
    assert words_fabric.change_sentence(hung) == (
        "From blocked to hung the next piece stays as wide (likely 1 % narrower to 1 % wider) and becomes 2 % "
        "longer (likely 1 to 3), from 2 swatches or pieces."
    )


def test_the_next_swatch_is_told_in_what_is_likely_of_the_chest():
    found = NextSwatchReport("8", 8.0, 40, 1080.0, 47.2, 31.4, "7")
    assert words_fabric.next_swatch_sentence(found) == (
        "Swatch next at dial 8, with 40 stitches between the marks. For a chest of 54.0 cm flat, knitted at "
        "dial 7, what is likely spans 2.4 cm now; then 1.6 cm."
    )
    assert words_fabric.next_swatch_sentence(replace(found, then_mm=46.9, at=None)) == (
        "Enough swatches: a chest of 54.0 cm flat comes out within 1.2 cm either way, 9 times in 10."
    )


def test_no_swatch_is_asked_for_that_takes_less_than_a_tenth_off():
    found = NextSwatchReport("6.1", 6.33, 40, 1080.0, 61.0, 54.8, "7")  # 61.0 - 6.1 = 54.9
    assert not words_fabric.hardly_narrows(found)
    assert words_fabric.hardly_narrows(replace(found, then_mm=55.0))


def test_the_span_of_the_chest_follows_unit_and_decimal_mark():
    found = NextSwatchReport("8", 8.0, 40, 1080.0, 47.2, 31.4, "7")
    # Half of 1080 mm = 21.26 in, of 47.2 mm = 0.929 in, of 31.4 mm = 0.618 in; to the nearest eighth.
    assert words_fabric.next_swatch_sentence(found, Tape("in", ".")).endswith(
        "For a chest of 21 1/4 in flat, knitted at dial 7, what is likely spans 7/8 in now; then 5/8 in."
    )
    assert "spans 2,4 cm now; then 1,6 cm." in words_fabric.next_swatch_sentence(found, Tape("cm", ","))
    # Half of 47.2 and of 42.4 mm are both 7/8 in where the tape has eighths, and 2.4 and 2.1 cm on another.
    nearly = replace(found, then_mm=42.4)
    assert words_fabric.next_swatch_sentence(nearly, Tape("in", ".")).startswith("Enough swatches: ")
    assert words_fabric.next_swatch_sentence(nearly).startswith("Swatch next at dial 8")


def test_swatches_and_yarns_are_called_by_the_names_that_a_person_gave():
    names = {("swatches", "grey_6_1"): "grey, dial 6, no. 2", ("yarns", "blue"): "Blue cotton", ("yarns", "g"): "Grey"}
    assert words_fabric.left_out_sentence(LeftOut("grey_6_1", "other_yarn", "blue", "g"), names) == (
        "grey, dial 6, no. 2: left out, it is another yarn (Blue cotton, not Grey)."
    )
    single, double = (
        SwatchGroup(("grey_6_1", "two"), {"yarn": "g"}, True),
        SwatchGroup(("three",), {"yarn": "blue"}, False),
    )
    assert words_fabric.groups_sentences(replace(answered(), groups=(single, double)), names) == (
        "Grey, dial 6, no. 2 and two: yarn Grey, taken here.",
        "Three: yarn Blue cotton.",
    )


def test_the_table_of_swatches_calls_them_by_their_names_and_stays_within_its_columns():
    answer = rich()
    key = next(specimen.key for specimen in answer.specimens if not specimen.piece)
    assert f"  {key.replace('_', ' ')}  " in printed_fabric(answer)
    text = printed_fabric(
        answer, names={("swatches", key): "olive of two strands, from the cone that was dyed at home"}
    )
    assert "\n  olive of two strands, from" in text
    assert max(map(len, text.splitlines())) <= 80


def test_what_is_not_pooled_is_named_with_its_setting():
    assert words_fabric.left_out_sentence(LeftOut("grey_at_9", "other_tension", "6", "4")) == (
        "grey at 9: left out, its mast tension is another (6, not 4)."
    )
    assert words_fabric.left_out_sentence(LeftOut("one", "pinned", "across")) == (
        "one: across it was held by pins, and so it measures its pins."
    )
    assert words_fabric.left_out_sentence(LeftOut("back", "count_in_doubt", "chest")) == (
        "back: the count of its chest is in doubt, and left out until it is counted."
    )
    assert words_fabric.left_out_sentence(LeftOut("back", "stretched", "along")) == (
        "back: what it was blocked longer is taken off, for only what belongs to it is blocked alike."
    )
    assert words_fabric.left_out_sentence(LeftOut("one", "after_washing", "off_machine")) == (
        "one: read as off the machine after it was washed, which says nothing of before."
    )


def test_several_lots_are_told_and_one_is_not():
    told = words_fabric.lots_sentence({"grey at 7": "12", "the back": "12", "the front": "14", "grey at 8": ""})
    assert told == (
        "Other lot: grey at 7 and the back of lot 12 and the front of lot 14. Each is a dye bath of its own: swatch "
        "the one that is on the machine."
    )
    many = {f"grey at {dial}": "A" for dial in range(5, 10)} | {"the back": "B"}
    assert words_fabric.lots_sentence(many).startswith(
        "Other lot: grey at 5 and 4 others of lot A and the back of lot B."
    )
    assert words_fabric.lots_sentence(many | {"the front": "C"}) == (
        "Lots A, B and C are dye baths of their own: swatch the one that is on the machine."
    )
    assert words_fabric.lots_sentence({"grey at 7": "12", "the back": "12", "grey at 8": ""}) == ""


def test_finished_makes_are_named():
    found = replace(empty(), learned=("grey_one", "moss-two"))
    assert words_fabric.learned_sentence(found) == (
        "How a piece differs from its swatch is learned from grey one and moss two."
    )
    assert words_fabric.learned_sentence(empty()) == ""


@pytest.mark.parametrize("code", get_args(LeftOutCode))
def test_every_reason_to_leave_out_has_words_of_its_own(code: str):
    told = words_fabric.left_out_sentence(LeftOut("one", code, "rested", "plain"))  # type: ignore[arg-type]
    assert "_" not in told
    assert told.endswith(".")
    assert code in words_fabric.LEFT_OUT or "not pooled" not in told


@pytest.mark.parametrize("taken", ASSUMED, ids=lambda taken: f"{taken.code}-{taken.about}")
def test_every_assumption_has_words_of_its_own(taken: Assumed):
    told = words_fabric.assumed_fabric_sentence(taken)
    assert not told.startswith("Taken as usual")
    assert "_" not in told
    assert told.endswith(".")
    if taken.value:
        value = taken.value / 10 if taken.unit == "mm" and taken.code == "chest" else taken.value
        assert f"{abs(value):.1f}".removesuffix(".0") in told


def test_every_assumption_that_an_answer_makes_is_known_here():
    known = {one.code for one in ASSUMED}
    found = [make() for make in ANSWERS.values()]
    found += [answered(swatch("a", None)), answered(swatch("a", rows=None)), answered(swatch("a"), yarn=None)]
    met = {one.code for answer in found for one in answer.assumed}
    assert met <= known
    assert {"size", "slope", "piece_shift", "change_across", "dial_unsaid", "dial_of_swatch", "chest"} <= met


# --- the page ---


@pytest.mark.parametrize("name", ANSWERS)
@pytest.mark.parametrize(("unit", "mark"), SETTINGS)
def test_no_line_is_wider_than_80_columns_or_ends_with_a_space(name: str, unit: Unit, mark: Mark):
    text = printed_fabric(ANSWERS[name](), unit, mark=mark)
    assert text.endswith("\n")
    assert not text.endswith("\n\n")
    for line in text.split("\n"):
        assert len(line) <= 80, line
        assert line == line.rstrip(), line


@pytest.mark.parametrize("name", ANSWERS)
def test_the_voice_is_the_agreed_one_and_nothing_of_the_machine_shows(name: str):
    text = printed_fabric(ANSWERS[name]())
    assert text.replace("\n", "").isprintable()
    assert not re.search(r"None|nan\b|inf\b|\[object|_|Quantity", text)
    for word in NEVER:
        assert not re.search(rf"\b{word}", text, re.IGNORECASE), word


def test_the_answer_stands_first_and_the_parts_follow_in_their_order():
    text = printed_fabric(rich())
    assert text.startswith("The next piece at dial 7, blocked and dry: ")
    parts = (
        "Dial 7.",
        "Blue pullover. From 5 swatches",
        "The next piece at dial 7",
        "What washing and blocking will do",
        "Which dial",
        "Where to swatch next",
        "Swatches and pieces by themselves",
        "Fabrics among the swatches",
        "Not pooled",
        "Taken for granted about the fabric",
    )
    places = [text.index(f"\n{part}") for part in parts]
    assert places == sorted(places)
    blocks = fabric_blocks(rich())
    assert [block[0].split(",")[0] for block in blocks] == [
        "The next piece at dial 7",
        "What washing and blocking will do",
        "Which dial",
        "Where to swatch next",
        "Swatches and pieces by themselves",
        "Fabrics among the swatches",
        "Not pooled",
        "Taken for granted about the fabric",
    ]


def test_the_gauge_stands_in_10_cm_and_in_4_in_at_every_stage():
    found = rich()
    text = printed_fabric(found)
    assert not isinstance(found.gauge, CannotSay)
    for one in found.gauge:
        noun = {"across": "stitches", "along": "rows"}[one.direction]
        stage = {"blocked": "blocked and dry", "off_machine": "off the machine"}.get(one.stage, one.stage)
        line = next(line for line in text.split("\n") if line.startswith(f"  {noun}, {stage} "))
        figures = [float(cell) for cell in re.findall(r"\d+\.\d", line)]
        want = [one.per_10cm.value, one.per_10cm.low, one.per_10cm.high]
        want += [one.per_4in.value, one.per_4in.low, one.per_4in.high]
        assert figures == pytest.approx(want, abs=0.0501)


def test_figures_stand_under_the_right_end_of_their_heads():
    lines = printed_fabric(rich()).split("\n")
    head = next(line for line in lines if "to 10 cm  " in line)
    row = next(line for line in lines if line.startswith("  rows, off the machine"))
    assert re.match(r"  rows, off the machine\b", row)
    ends = [found.end() for found in re.finditer(r"\S+( \S+)*", row)][1:]
    assert ends == [found.end() for found in re.finditer(r"\S+( \S+)*", head)]
    assert len(ends) == 4


def test_the_clicks_near_what_was_knitted_are_listed_with_their_signs():
    lines = printed_fabric(rich()).split("\n")
    at = next(k for k, line in enumerate(lines) if line.startswith("  dial  "))
    rows = {line.split()[0]: line for line in lines[at + 1 : at + 14]}
    assert list(rows) == ["5", "5.1", "5.2", "6", "6.1", "6.2", "7", "7.1", "7.2", "8", "8.1", "8.2", "9"]
    assert all(("*" in line) == (dial[0] in "5" or dial in ("8.1", "8.2", "9")) for dial, line in rows.items())
    assert {dial for dial, line in rows.items() if " o" in line} == {"7.1", "7.2"}


def test_a_piece_that_cannot_be_carried_says_so_on_the_page():
    text = " ".join(printed_fabric(lost()).split())
    assert "back: cannot say, it was read at a stage that no swatch of this fabric was read at. Wash and" in text
