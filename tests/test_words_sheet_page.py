"""What stands above a sheet: heading, what comes next, the revision; under its drawing; and the question of a rib."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from fitcheck.knitting.lines import Sheet
from fitcheck.knitting.sheet import sheet
from fitcheck.records.begun_sheets import BegunSheet
from fitcheck.records.written_sheets import WrittenSheet
from fitcheck.reports.progress import Progress
from fitcheck.words.sheet_page import drawn_in, drawn_label, rib_asked, sheet_said
from tests.knitting.sample_front import front

MADE = sheet(front(), rib_rows=20)


def named(kind: str) -> Sheet:
    return replace(MADE, head=replace(MADE.head, piece=kind))


def begun(counts: dict[str, int]) -> BegunSheet:
    written = WrittenSheet.model_validate_json(MADE.to_json())
    return BegunSheet(
        id="front-4",
        piece="front",
        number=4,
        counts=counts,
        stitch_mm=4.48,
        row_mm=3.15,
        digest="0" * 64,
        at=datetime(2025, 9, 17, tzinfo=UTC),
        sheet=written,
    )


def progress(done: int, lines: int) -> Progress:
    return Progress("front-4", False, lines, tuple(range(done)), done if done < lines else None, {})


@pytest.mark.parametrize(
    ("kind", "other", "head"),
    [
        ("front", False, "Knit the front: 118 stitches, then 126 at the chest."),
        ("sleeve", False, "Knit two sleeves alike: 118 stitches, then 126 at the chest."),
        ("sleeve", True, "Knit the other sleeve: 118 stitches, then 126 at the chest."),
    ],
)
def test_the_heading_says_what_is_knitted_and_how_wide(kind: str, other: bool, head: str) -> None:
    assert sheet_said(named(kind), None, None, None, other=other).head == head


def test_a_sheet_that_nobody_has_begun_says_so_on_every_page() -> None:
    said = sheet_said(MADE, None, None, None)
    assert said.where == ("Not begun",)
    assert said.running == ("Front", "", "not begun")
    assert said.because == (
        "Every act was knitted through once in figures: each can be done; 29 and 29 stitches arrive at the shoulders.",
    )


def test_a_begun_sheet_says_its_revision_how_much_is_done_and_what_comes_next() -> None:
    lines = len(MADE.unfolded())
    said = sheet_said(MADE, begun({}), progress(3, lines), None)
    assert said.where == ("Revision 4, 17 Sept 2025", f"3 of {lines} acts done")
    assert said.because[0].startswith("Next, at row 40: mark both edges.")
    assert sheet_said(MADE, begun({}), progress(lines, lines), None).because[0].startswith("Every act on it is done.")


def test_an_older_sheet_says_three_counts_that_changed_at_most() -> None:
    here = {"hem": 118, "chest": 126, "shoulder_width": 94, "neck_width": 36, "armhole_depth": 69}
    told = sheet_said(MADE, begun(here), progress(0, 9), {**here, "chest": 124}).because[0]
    assert told.endswith("on the needles. Chest: now 124, here 126.")
    every = {point: count + 2 for point, count in here.items()}
    assert sheet_said(MADE, begun(here), progress(0, 9), every).because[0].count("now") == 3
    same = sheet_said(MADE, begun(here), progress(0, 9), here).because[0]
    assert same.endswith("Its counts are the same, its lines are others now.")


def test_the_drawing_is_told_to_whoever_does_not_see_it() -> None:
    assert drawn_label("front", [(0, 118), (100, 126)]) == "The front: 118 stitches at row 0 and 126 at row 100."
    assert drawn_in("cm") == "Squares 1 and 5 cm; as it lies washed and blocked."
    assert drawn_in("in") == "Squares ½ and 2 in; as it lies washed and blocked."


def test_the_rows_of_a_rib_are_asked_of_the_knitted_piece() -> None:
    asked = rib_asked("sleeve", "back", "back-1")
    assert (asked.piece, asked.question) == ("back-1", "How many rows has the back’s rib?")
    assert asked.why.startswith("The sleeve’s rib is knitted like it.")
