"""The printed report: 80 columns, figures under one another, every sign with its word.

All figures are invented.
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from functools import cache
from typing import Any

import pytest

from fitcheck.advice.alteration import Alteration
from fitcheck.records.faults import Fault, in_words
from fitcheck.records.files import open_household
from fitcheck.records.households import FORMAT, Household
from fitcheck.records.places import Place
from fitcheck.records.points import POINTS
from fitcheck.records.questions.question import LooksLikeSlip, Question, Slip
from fitcheck.reports.shaped import report
from fitcheck.reports.shapes import Report
from fitcheck.terminal.paper import wrapped
from fitcheck.terminal.report import aligned, printed, printed_check, printed_faults
from fitcheck.words import Unit

UNITS: tuple[Unit, ...] = ("cm", "in", "mm")


CHEST = Place("makes", "grey", ("pieces", 0, "stages", 0, "readings", "chest", 0))


def household(**back: Any) -> dict[str, Any]:
    """One make whose back is 2 cm narrow at the chest and right elsewhere."""
    garment: dict[str, Any] = {
        "shoulder_width": ["40.4", "40.5", "40.3"],
        "chest": ["52.0", "52.1", "51.9"],
        "armhole_depth": ["20.5", "20.4", "20.6"],
        "body_length": ["61.5", "61.4", "61.6"],
        "hem": "49.3",
        "neck_width": "17.8",
    }
    read: dict[str, Any] = {
        "shoulder_width": ["40.9", "41.0", "41.1"],
        "chest": ["50.6", "50.7", "50.8"],
        "armhole_depth": ["20.7", "20.8", "20.6"],
        "body_length": ["62.0", "62.1"],
        "hem": ["49.3", "49.4"],
        "neck_width": "17.1",
        "waist": "47",
    }
    piece = {
        "id": "back-1",
        "piece": "back",
        "counts": {
            "chest": {"counted": 122},
            "shoulder_width": 96,
            "armhole_depth": 67,
            "body_length": 199,
            "hem": 116,
        },
        "stages": [{"kind": "blocked", "on": "2025-11-22", "readings": read | back}],
    }
    make = {
        "id": "grey",
        "name": "Grey pullover",
        "yarn": "grey",
        "fits": {"garment": "brown", "occasion": "first"},
        "planned": {"front": {"chest": 122, "hem": 116}},
        "pieces": [piece],
    }
    occasion = {"id": "first", "state": "washed_flat", "readings": garment}
    return {
        "fitcheck": FORMAT,
        "unit": "cm",
        "invented": True,
        "makes": [make],
        "garments": [{"id": "brown", "name": "brown pullover", "occasions": [occasion]}],
        "yarns": [{"id": "grey", "name": "grey wool", "fibres": [{"fibre": "wool", "percent": 100}]}],
    }


@cache
def narrow_back() -> Report:
    return report(household())


def widest() -> Report:
    """Every point of the catalogue under its longest figures, with allowances that differ by side."""
    one = narrow_back().points[0]
    difference = replace(one.difference, value=-113.0, low=-124.0, high=-101.0)
    points = tuple(
        replace(
            one,
            key=key,
            name=known.name,
            direction=known.direction,
            flat=known.flat,
            difference=difference,
            wanted=replace(one.difference, value=1111.0),
            measured=replace(one.difference, value=1001.0),
            read=replace(one.difference, value=1013.0),
            allowed_smaller_mm=11.0,
            allowed_larger_mm=23.0,
            code=code,
            reason="more_readings",
            side="piece",
            readings_needed=12,
            decides=decides,
        )
        for (key, known), code, decides in zip(
            POINTS.items(),
            ("differs", "too_close", "on_the_line", "held_at", "matches") * 6,
            (True, False) * 15,
            strict=False,
        )
    )
    return replace(narrow_back(), points=points)


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("mark", [".", ","])
@pytest.mark.parametrize("width", [60, 66, 80, 100])
def test_no_line_is_wider_than_the_terminal_or_ends_with_a_space(unit: Unit, mark: Any, width: int) -> None:
    for found in (narrow_back(), widest()):
        text = printed(found, unit, mark=mark, width=width)
        assert text.endswith("\n")
        assert not text.endswith("\n\n")
        for line in text.split("\n"):
            assert len(line) <= width, line
            assert line == line.rstrip(), line


def test_a_terminal_narrower_than_60_columns_gets_60() -> None:
    assert printed(narrow_back(), width=20) == printed(narrow_back(), width=60) != printed(narrow_back(), width=70)


def test_no_colour_no_control_characters_and_nothing_of_the_machine() -> None:
    text = printed(widest())
    assert text.replace("\n", "").isprintable()
    assert not re.search(r"None|nan\b|inf\b|\[object", text)


def test_the_answer_stands_first_and_the_parts_follow_in_their_order() -> None:
    asked = Question(CHEST, "20.4 cm", "cm", "inches", LooksLikeSlip(), Slip("inches", "20.4 in", 518.16, 518.16))
    text = printed(replace(narrow_back(), questions=(asked,)))
    assert text.startswith("Carry on. Knit the front ")
    parts = (
        "Grey pullover",
        "Why ",
        "Cost ",
        "Chance ",
        "Point by point, in cm",
        "What explains it",
        "The other ways",
        "Taken for granted",
        "What would help most",
        "Questions",
        "Cautions",
        "Advice from a tape",
    )
    places = [text.index(f"\n{part}") for part in parts]
    assert places == sorted(places)


def test_a_point_has_its_sign_its_word_and_its_figures() -> None:
    lines = printed(narrow_back()).split("\n")
    at = lines.index("<[   ]   Chest, flat: differs")
    chest = next(point for point in narrow_back().points if point.key == "chest")
    assert chest.measured is not None
    assert chest.wanted is not None
    wanted, measured, difference, low, _, high, allowed = lines[at + 1].split()
    assert float(wanted) == pytest.approx(chest.wanted.value / 10, abs=0.0501)
    assert float(measured) == pytest.approx(chest.measured.value / 10, abs=0.1001)  # two roundings
    shown = [float(text.replace("−", "-")) for text in (difference, low, high)]
    assert float(measured) == pytest.approx(float(wanted) + shown[0], abs=1e-9)
    truth = [chest.difference.value / 10, chest.difference.low / 10, chest.difference.high / 10]
    assert shown == pytest.approx(truth, abs=0.0501)
    assert allowed == "±1.0"


def test_brackets_stand_under_brackets() -> None:
    text = printed(widest()) + printed(narrow_back())
    signs = [line[:8] for line in text.split("\n") if re.match(r"[ <o\[]{1,2}.{0,5}[\]o]", line) and ": " in line]
    assert len(signs) > 10
    assert {sign.index("[") for sign in signs if "[" in sign} == {1}
    assert {sign.index("]") for sign in signs if "]" in sign} == {5}


@pytest.mark.parametrize("unit", ["cm", "in"])
def test_figures_stand_under_one_another(unit: Unit) -> None:
    rows = [line for line in printed(narrow_back(), unit).split("\n") if "±" in line]
    assert len(rows) == len(narrow_back().points)
    assert len({row.index("±") for row in rows}) == 1
    assert len({row.index(" to ") for row in rows}) == 1
    if unit == "cm":
        marks = [[place for place, sign in enumerate(row) if sign == "."][:5] for row in rows]
        assert all(mark == marks[0] for mark in marks)


def test_fractions_are_aligned_before_their_fraction_and_decimals_at_their_mark() -> None:
    # a whole number ends in column 2, a fraction begins in column 4
    assert aligned(["52 7/8", "3/8", "9", "−3/8", "−1 3/8"]) == [
        "52 7/8",
        "   3/8",
        " 9    ",
        "  −3/8",
        "−1 3/8",
    ]
    assert aligned(["52.9", "−0.3", "7.0"]) == ["52.9", "−0.3", " 7.0"]
    assert aligned(["52,9", "7,0"], ",") == ["52,9", " 7,0"]


def test_a_point_that_cannot_be_compared_stays_in_the_list_with_its_reason() -> None:
    assert "\n - - -   Waist: " in printed(narrow_back())


def test_an_open_point_says_below_what_settles_it() -> None:
    one = replace(
        narrow_back().points[0],
        code="too_close",
        reason="more_readings",
        side="piece",
        readings_needed=2,
        decides=True,
    )
    lines = printed(replace(narrow_back(), points=(one,))).split("\n")
    at = next(place for place, line in enumerate(lines) if "Shoulder width: too close to call" in line)
    # Nobody said of which laying its readings are.
    assert lines[at + 2] == "         Too close to call: 2 more readings of the back settle it; lift, shake"
    assert lines[at + 3] == "         and lay it again in between."


def test_a_pinned_point_shows_no_difference() -> None:
    held = replace(narrow_back().points[0], code="held_at")
    lines = printed(replace(narrow_back(), points=(held,))).split("\n")
    at = next(place for place, line in enumerate(lines) if "held by its pins" in line)
    assert "to" not in lines[at + 1]
    assert "+" not in lines[at + 1].replace("±", "")


def test_every_way_is_shown_once_with_cost_and_misfits_or_the_reason_why_not() -> None:
    found = narrow_back()
    text = printed(found)
    ways = " ".join(text.split("The other ways\n")[1].split("\n\n\n")[0].split())
    assert text.startswith("Carry on. Knit the front ")
    assert {action.code for action in found.actions if action.impossible is None} > {"carry_on", "other_counts"}
    for action in found.actions:
        name = {"measure_again": "Measure again", "knit_again": "Knit again", "carry_on": "Carry on as planned"}.get(
            action.code
        )
        if action.impossible is not None and name:
            assert f"{name}: left out, because " in ways
        elif action.expected_loss is not None:
            assert ways.count(f"{action.expected_loss:.2f}") >= 1, action.code
            if name == "Knit again":
                assert "a whole back" in ways
    chosen = next(one for one in found.actions if one.code == "other_counts")
    assert f"Other counts for the rest, as the plan stands: {chosen.expected_loss:.2f}." in ways
    assert "1.00 being the work of knitting a back; less is better" in ways


def test_ways_are_named_by_what_they_change() -> None:
    found = narrow_back()
    carry_on = replace(found.recommendation, action="carry_on", then="carry_on")
    sewn = Alteration("shoulder_width", "armhole_seam", 5.0, None, None)
    actions = tuple(replace(one, alterations=(sewn,)) if one.code == "other_counts" else one for one in found.actions)
    text = printed(replace(found, recommendation=carry_on, actions=actions))
    assert "  Seams for the rest" in text
    assert "Other counts for the rest" not in text


# Under the table


@pytest.mark.parametrize("width", [60, 80])
def test_the_columns_and_the_signs_are_explained_once(width: int) -> None:
    lines = printed(widest(), width=width).split("\n")
    text = " ".join(" ".join(lines).split())
    assert text.count("Signs: [ o ] matches; <[ ] and [ ]> differ, smaller and larger; o on a bracket is too") == 1
    assert (
        text.count(
            "Likely: 9 times in 10 the true figure lies there, after a second and a third round of readings too."
        )
        == 1
    )
    assert text.count("Wanted is what the piece must measure as it lies: the garment’s figure") == 1


def test_a_sign_stays_whole_at_every_width() -> None:
    for width in range(60, 101):
        notes = printed(narrow_back(), width=width).split("  Signs: ")[1]
        assert "<[   ]" in notes, width
        assert "[   ]>" in notes, width


def test_a_footnote_says_what_the_tape_alone_says() -> None:
    first = narrow_back().points[0]
    assert first.measured is not None
    read = replace(first.measured, value=first.measured.value + 20.0)
    apart = replace(narrow_back(), points=(replace(first, read=read),))
    shown = f"{round(read.value / 10 + 1e-9, 1):.1f}"
    text = " ".join(printed(apart).split())
    assert f"counts of the whole piece say together: read {shown}, taken as " in text
    quiet = replace(narrow_back(), points=(replace(first, read=first.measured),))
    assert ", taken as " not in printed(quiet)


def test_rows_add_up_in_every_unit() -> None:
    for found in (narrow_back(), widest()):
        for unit in UNITS:
            for point in found.points:
                if point.code == "held_at" or point.wanted is None or point.measured is None:
                    continue
                lines = printed(replace(found, points=(point,)), unit).split("\n")
                at = next(place for place, line in enumerate(lines) if line.startswith("         wanted"))
                figures = lines[at + 3]
                ends = [lines[at].index(head) + len(head) for head in ("wanted", "measured", "difference")]
                starts = [0, *ends[:2]]
                cells = [figures[a:b].split() for a, b in zip(starts, ends, strict=True)]
                wanted, measured, difference = (_value(cell) for cell in cells)
                assert measured == wanted + difference, figures


def _value(words: list[str]) -> Fraction:
    """What written figures make: "−1 3/8" is -11/8."""
    sign = -1 if words[0].startswith("−") else 1
    return sign * sum((Fraction(word.lstrip("−+")) for word in words), Fraction(0))


# Questions


def test_a_question_says_how_to_answer_it_in_the_file() -> None:
    asked = Question(CHEST, "20.4 cm", "cm", "inches", LooksLikeSlip(), Slip("inches", "20.4 in", 518.16, 518.16))
    for record, text in (
        ("makes[0]", printed_check((asked,), open_household(household()), "h.json")),
        (f"makes[{CHEST.key}]", printed(replace(narrow_back(), questions=(asked,)))),
    ):
        assert (
            "  20.4 cm for the chest? As inches it would be 51.8 cm.\n"
            f"  at {record}.pieces[0].stages[0].readings.chest[0]\n"
            '    If it was inches, type "20.4 in" instead.\n'
            '    To keep it, add "confirmed": true to that reading:\n'
            '    {"text": "20.4 cm", "confirmed": true}\n'
        ) in text
        assert "[Type again]" not in text
        assert "[Keep" not in text


def test_a_file_without_a_make_says_so_when_it_is_checked() -> None:
    assert " ".join(printed_check((), Household(fitcheck=FORMAT, unit="cm"), "h.json").split()) == (
        "h.json: nothing to put right, nothing to ask. "
        'It has no make yet, so there is nothing to report on: add one under "makes".'
    )


def test_a_make_without_a_piece_still_gives_a_whole_page() -> None:
    empty = household()
    empty["makes"][0]["pieces"] = []
    text = printed(report(empty))
    assert text.startswith("Knit a swatch first, wash and block it. Nothing says yet what a stitch of this\n")
    assert "Then knit the back. Not known yet: how many stitches it takes and at which dial." in " ".join(text.split())
    helps = text.split("What would help most")[1]
    assert "Measure a swatch of this yarn" in helps
    assert "read it again" not in helps
    assert "Point by point" not in text
    assert "Cost" not in text
    assert text.endswith("Advice from a tape, not a promise.\n")


def test_every_fault_is_listed_at_once() -> None:
    faults = (
        Fault("makes[0].name", "7", in_words("A text."), 3),
        Fault("unit", "furlong", in_words("mm, cm, m or in.")),
    )
    assert printed_faults(faults, "h.json") == (
        "h.json: 2 things to put right.\n\n"
        "  Line 3, makes[0].name. Not taken: 7. A text.\n"
        "  At unit. Not taken: furlong. mm, cm, m or in.\n"
    )


def test_a_check_without_questions_is_one_line() -> None:
    assert printed_check((), open_household(household()), "h.json") == "h.json: nothing to put right, nothing to ask.\n"


def test_a_piece_far_from_the_sweater_everywhere_asks_first_whether_it_is_the_right_one():
    half = {"shoulder_width": ["29.0"], "chest": ["38.0"], "armhole_depth": ["14.5"], "body_length": ["44.0"]}
    far = report(household(**half, hem=["35"], neck_width=["12"], waist=["33"]))
    assert far.right_sweater is not None
    assert far.right_sweater.smaller
    assert printed(far).startswith("Is this the right sweater? The back is more than a quarter smaller than ")
    assert report(household()).right_sweater is None


def test_the_counts_for_the_rest_stand_in_columns_with_what_they_give():
    front = {"chest": 122, "hem": 116}
    typed = household()
    typed["makes"][0]["planned"] = {"front": front}
    answer = report(typed)
    assert answer.rest is not None
    text = printed(answer, width=60)
    of_rest = text[text.index("Counts for the rest") :].split("\n\n\n")[0].split("\n")
    assert max(map(len, of_rest)) <= 60
    table = [line for line in of_rest[of_rest.index("  The front") :] if line.startswith("    ")]
    assert table[0].split() == ["point", "planned", "knit", "gives"]
    chest = next(line for line in table if line.lstrip().startswith("chest"))
    # 122 planned stitches and the advised change make what is to be knitted.
    step = next(count.step for piece in answer.rest.pieces for count in piece.counts if count.key == "chest")
    assert step > 0
    assert chest.split()[1:4] == ["122", str(122 + step), "st"]


def test_a_day_does_not_part_from_its_month_and_year():
    lines = wrapped("From 12 readings, 23 Nov 2025, and since 9 Sept.", 26)
    assert lines == ["From 12 readings,", "23 Nov 2025, and since", "9 Sept."]
