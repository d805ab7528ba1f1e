"""The report on one screen: about 45 lines, a line a point, the figures of the whole, and where the rest is."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from statistics import mean

import pytest

import fitcheck
from fitcheck.reports.shapes import Report
from fitcheck.terminal.in_short import printed_in_short
from fitcheck.terminal.report import printed
from fitcheck.words import Unit, headline, point_name
from fitcheck.words.phrases import capital
from tests import invented
from tests.worked.test_worked import told_of

ABOUT, MOST = 45, 62
"""Lines of one screen, and of the longest answer: five deeds, seven points that differ, two pieces still to knit."""
WORKED = (
    "pulled_long_without_a_reference",
    "how_many_needles_before_the_back",
    "pattern_for_a_finer_fabric",
    "a_count_that_breaks_the_repeat",
    "twelve_cm_over",
    "pinned_across_only",
)


@cache
def reports() -> dict[str, Report]:
    return invented.reports() | {key: told_of(key).report for key in WORKED}


def flat(text: str) -> str:
    return " ".join(text.split())


def test_one_screen_is_about_45_lines() -> None:
    lines = {key: printed_in_short(report).count("\n") for key, report in reports().items()}
    assert mean(lines.values()) <= ABOUT
    assert {key: many for key, many in lines.items() if many > MOST} == {}


def test_what_is_to_be_minded_of_this_piece_or_its_wearer_is_on_the_screen_and_the_usual_is_not() -> None:
    child = flat(printed_in_short(reports()["childs_school_pullover"]))
    assert "Children’s wear: keep the local rules on cords and buttons; the neck must pass the head." in child
    grey = reports()["grey_pullover"]
    assert "acrylic" not in printed_in_short(grey)
    steamed = replace(grey, cautions=("felting", "steam_acrylic", "steamed_acrylic"))
    assert "This piece was steamed, and steam ruins acrylic" in flat(printed_in_short(steamed))


@pytest.mark.parametrize("width", [60, 80, 100])
@pytest.mark.parametrize("unit", ["cm", "in", "mm"])
def test_no_line_is_wider_than_the_terminal_nor_ends_with_a_space(unit: Unit, width: int) -> None:
    for key, report in reports().items():
        lines = printed_in_short(report, unit, width=width).split("\n")
        assert [line for line in lines if len(line) > width or line != line.rstrip()] == [], key


@pytest.mark.parametrize("unit", ["cm", "in"])
def test_every_point_is_one_line_with_the_figures_of_the_whole_report(unit: Unit) -> None:
    for key, report in reports().items():
        whole, lines = printed(report, unit), printed_in_short(report, unit).split("\n")
        for point in report.points:
            name = re.escape(capital(point_name(point.key)))
            (line,) = [line for line in lines if re.match(rf"[-<> \[\]o]{{6,8}} +{name}  ", line)]
            if point.code == "held_at":
                continue
            figures = flat(line[line.index("  ", 9) :])
            difference, likely = figures.split(" ", 1)
            assert f"{difference} " in flat(whole), (key, point.key)
            assert likely.rsplit(" ", 1)[0] in flat(whole), (key, point.key)


def test_the_answer_its_reasons_and_where_the_rest_is_stand_on_it() -> None:
    for key, report in reports().items():
        text = flat(printed_in_short(report))
        assert text.startswith(flat(headline(report))) or report.right_sweater or report.newer, key
        assert "With --all the command prints the rest" in text
        if not isinstance(report.recommendation, fitcheck.CannotSay):
            assert text.index(" Why ") < text.index(" Cost ") < text.index(" Chance "), key


def test_a_length_with_a_rib_says_both_its_parts() -> None:
    report = reports()["grey_pullover"]
    assert "length to underarm 108 rows and the rib" in flat(printed_in_short(report))
    assert "108 rows and the rib" in flat(printed(report))
    assert re.search(r"\d+\.\d \+ 6\.0 cm", printed(report))


def test_two_assumptions_at_most_and_three_questions_stand_on_it() -> None:
    asked = reports()["a_count_that_breaks_the_repeat"]
    assert "Questions" in printed_in_short(asked)
    for key, report in reports().items():
        text = printed_in_short(report)
        granted = text.split("Taken for granted, what costs most\n")[1:]
        assert not granted or len(re.findall(r"^  \S", granted[0].split("\n\n")[0], re.M)) <= 2, key


@pytest.mark.parametrize("unit", ["cm", "in", "mm"])
def test_no_figure_parts_from_its_unit_at_the_end_of_a_line(unit: Unit) -> None:
    for key, report in reports().items():
        for text in (printed_in_short(report, unit, width=60), printed(report, unit, width=60)):
            parted = re.findall(r"\d\n +(?:%|mm|cm|in\b|\d+/\d).*", text) + re.findall(r"\d in\n +\d.*", text)
            assert parted == [], key
