"""The printed report: 80 columns, figures under one another, every sign with its word.

All figures are invented.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from fitcheck.records.faults import Fault, Question
from fitcheck.records.points import POINTS
from fitcheck.report import Report, report
from fitcheck.terminal import aligned, printed, printed_check, printed_faults
from fitcheck.words import Unit

UNITS: tuple[Unit, ...] = ("cm", "in", "mm")


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
        "counts": {"chest": 122, "shoulder_width": 96, "armhole_depth": 67, "body_length": 199, "hem": 116},
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
        "fitcheck": 1,
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
def test_no_line_is_wider_than_80_columns_or_ends_with_a_space(unit: Unit, mark: Any) -> None:
    for found in (narrow_back(), widest()):
        text = printed(found, unit, mark=mark)
        assert text.endswith("\n")
        assert not text.endswith("\n\n")
        for line in text.split("\n"):
            assert len(line) <= 80, line
            assert line == line.rstrip(), line


def test_no_colour_no_control_characters_and_nothing_of_the_machine() -> None:
    text = printed(widest())
    assert text.replace("\n", "").isprintable()
    assert not re.search(r"None|nan\b|inf\b|\[object", text)


def test_the_answer_stands_first_and_the_parts_follow_in_their_order() -> None:
    asked = Question("makes[0]", "20.4 cm", "20.4 cm for the chest?", "It was inches", "20.4 in", "inches")
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
    assert float(measured) == pytest.approx(chest.measured.value / 10, abs=0.0501)
    shown = [float(text.replace("−", "-")) for text in (difference, low, high)]
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
    assert "\n - - -   Waist: cannot say: " in printed(narrow_back())


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
    assert lines[at + 2] == "         Too close to call: 2 more readings of the back settle it."


def test_a_pinned_point_shows_no_difference() -> None:
    held = replace(narrow_back().points[0], code="held_at")
    lines = printed(replace(narrow_back(), points=(held,))).split("\n")
    at = next(place for place, line in enumerate(lines) if "held by its pins" in line)
    assert "to" not in lines[at + 1]
    assert "+" not in lines[at + 1].replace("±", "")


def test_every_way_is_shown_once_with_cost_and_loss_or_the_reason_why_not() -> None:
    found = narrow_back()
    ways = printed(found).split("The other ways\n")[1].split("\n\n\n")[0]
    for action in found.actions:
        if action.code == "other_counts":
            continue
        if action.impossible is not None:
            assert "not on offer" in ways
        elif action.expected_loss is not None:
            assert f"{action.cost:.2f}" in ways
            assert f"{action.expected_loss:.2f}" in ways


def test_a_make_without_a_piece_still_gives_a_whole_page() -> None:
    empty = household()
    empty["makes"][0]["pieces"] = []
    text = printed(report(empty))
    assert text.startswith("Cannot say: no piece of this make was read.")
    assert "Point by point" not in text
    assert "Cost" not in text
    assert text.endswith("Advice from a tape, not a promise.\n")


def test_every_fault_is_listed_at_once() -> None:
    faults = (Fault("makes[0].name", "7", "A text.", 3), Fault("unit", "furlong", "mm, cm, m or in."))
    assert printed_faults(faults, "h.json") == (
        "h.json: 2 things to put right.\n\n"
        "  Line 3, makes[0].name. Not taken: 7. A text.\n"
        "  At unit. Not taken: furlong. mm, cm, m or in.\n"
    )


def test_a_check_without_questions_is_one_line() -> None:
    assert printed_check((), "h.json") == "h.json: nothing to put right, nothing to ask.\n"
