"""A piece on the needles: how far it is, and where the sheet by its newer counts parts from its own."""

from __future__ import annotations

import json
from datetime import UTC, datetime

import pytest

from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.lines import Sheet
from fitcheck.records.begun_sheets import Tap
from fitcheck.records.makes import Make
from fitcheck.reports.choose import chosen
from fitcheck.reports.on_the_needles import (
    OnTheNeedles,
    all_on_the_needles,
    bands_begun,
    bands_by_file,
    on_the_needles,
    yarn_begun,
)
from fitcheck.reports.shown_sheet import newly_begun, sheet_by_counts
from fitcheck.reports.steps import steps
from fitcheck.reports.the_rest import TheRest, rest_told
from fitcheck.terminal.the_rest import printed_rest
from fitcheck.words.figures import Tape
from fitcheck.words.yarn_left import yarn_said
from tests.invented import household

AT = datetime(2026, 11, 30, 20, tzinfo=UTC)


def grey(**changed) -> TheRest:
    given = household()
    makes = [
        Make.model_validate_json(json.dumps({**json.loads(make.model_dump_json(exclude_defaults=True)), **changed}))
        if make.id == "grey_pullover"
        else make
        for make in given.makes
    ]
    return rest_told(steps(chosen(given.model_copy(update={"makes": makes}), "grey_pullover")))


def begun(rest: TheRest, **changed) -> dict:
    shown = sheet_by_counts(rest, rest.told.given.make, "front")
    return newly_begun(shown, rest, rest.told.given.make, AT) | changed


def taps(lines: int) -> list[Tap]:
    return [
        Tap.model_validate_json(
            json.dumps({"id": f"phone-{line:08}", "line": line, "done": True, "counter": 0, "at": AT.isoformat()})
        )
        for line in range(lines)
    ]


def needles(sheet: dict, done: int, **changed) -> OnTheNeedles:
    rest = grey(sheets=[sheet], **changed)
    piece = on_the_needles(rest, rest.told.given.make, "front", taps(done))
    assert piece is not None
    return piece


def test_no_sheet_is_on_the_needles_before_one_is_begun_or_once_it_is_ended():
    rest = grey()
    assert on_the_needles(rest, rest.told.given.make, "front", ()) is None
    rest = grey(sheets=[begun(rest, ended=True)])
    assert on_the_needles(rest, rest.told.given.make, "front", ()) is None


def test_a_piece_is_at_the_row_of_the_act_in_hand():
    sheet = begun(grey())
    assert needles(sheet, 0).row is None
    lines = grey().sheet("front")
    assert isinstance(lines, Sheet)
    third = [line for folded in lines.lines for line in folded.times][3]
    assert needles(sheet, 3).row == third.counter


def test_a_piece_whose_last_act_is_done_is_off_the_machine_whatever_its_counts_became():
    sheet = begun(grey())
    lines = len(sheet["sheet"]["lines"])
    assert not needles(sheet, lines - 1).off
    for changed in ({}, {"choices": {"shoulder_groups": 4}}):
        piece = needles(sheet, lines, **changed)
        assert piece.off
        assert piece.newer is None


def test_the_same_counts_are_no_newer_ones():
    assert needles(begun(grey()), 3).newer is None


def test_other_steps_at_the_top_leave_the_rows_below_as_they_are():
    sheet = begun(grey())
    newer = needles(sheet, 3, choices={"shoulder_groups": 4}).newer
    assert newer is not None
    assert (newer.then, newer.now) == (
        {"shoulder_drop": 8, "body_length": 185},
        {"shoulder_drop": 6, "body_length": 183},
    )
    assert newer.alike_to is not None
    assert newer.alike_to > 100
    assert not newer.reached


def test_a_piece_beyond_the_row_where_the_sheets_part_is_ripped():
    sheet = begun(grey())
    lines = grey().sheet("front")
    assert isinstance(lines, Sheet)
    many = sum(len(folded.times) for folded in lines.lines) - 1
    newer = needles(sheet, many, choices={"shoulder_groups": 4}).newer
    assert newer is not None
    assert newer.reached


def test_another_cast_on_leaves_nothing_alike():
    unlike = {"piece": "front", "demand": "parity", "points": ["chest", "shoulder_width"]}
    sheet = begun(grey(multiple=6, balance=1, choices={"lifted": [unlike]}))
    newer = needles(sheet, 2).newer
    assert newer is not None
    assert (newer.then["hem"], newer.now["hem"]) == (119, 120)
    assert newer.alike_to is None


@pytest.mark.parametrize("against", ["now", "other"])
def test_a_sheet_is_kept_against_just_the_newer_lines_that_it_was_shown_beside(against):
    sheet = begun(grey())
    changed = {"choices": {"shoulder_groups": 4}}
    digest = needles(sheet, 3, **changed).newer.digest
    kept = {**sheet, "kept_against": digest if against == "now" else "0" * 64}
    assert needles(kept, 3, **changed).newer.kept is (against == "now")


def test_the_chance_of_each_changed_count_is_told_for_both():
    sheet = begun(grey(choices={"shoulder_groups": 4}))
    sheet["counts"] = {**sheet["counts"], "chest": 120}
    newer = needles(sheet, 2).newer
    assert newer.fits_now["chest"] > newer.fits_then["chest"]


def test_the_rows_of_a_begun_sheet_are_taken_off_the_yarn_that_is_still_to_come():
    rest = grey(sheets=[begun(grey())])
    assert not isinstance(rest.answer.yarn, CannotSay)
    (line,) = [place for place, each in enumerate(unfolded(rest)) if each.counter == 40]
    (piece,) = all_on_the_needles(rest, rest.told.given.make, lambda _: taps(line))
    assert piece.row == 40
    assert piece.loops == 33 * 120 + 7 * 122, "one stitch more at both sides from row 33 on"
    told = yarn_begun(rest.answer.yarn, [piece])
    assert told is not None
    assert told.grams == pytest.approx(piece.loops * rest.answer.yarn.per_stitch.grams)
    assert told.left == pytest.approx(rest.answer.yarn.need - told.grams)
    assert ("Of that on the machine", f"about {round(told.grams)} g: the front up to row 40") in yarn_said(
        rest.answer, Tape("cm", "."), [piece]
    ).facts


def test_nothing_is_taken_off_before_the_first_act_is_done():
    rest = grey(sheets=[begun(grey())])
    assert yarn_begun(rest.answer.yarn, all_on_the_needles(rest, rest.told.given.make, lambda _: ())) is None


def test_a_whole_begun_piece_has_the_loops_that_its_sheet_says():
    sheet = begun(grey())
    lines = len(sheet["sheet"]["lines"])
    assert needles(sheet, lines).loops == sheet["sheet"]["head"]["loops"]


def test_a_begun_band_is_found_with_its_row_until_its_sheet_is_ended():
    rest = grey()
    shown = sheet_by_counts(rest, rest.told.given.make, "neck_band")
    band = newly_begun(shown, rest, rest.told.given.make, AT)
    for done, row, off in ((0, None, False), (1, 8, False), (2, 0, True)):  # at the end what the last tap said
        make = grey(sheets=[band]).told.given.make
        (found,) = bands_begun(make, lambda _, done=done: taps(done))
        assert (found.kind, found.row, found.off) == ("neck_band", row, off)
    assert bands_begun(grey(sheets=[{**band, "ended": True}]).told.given.make, lambda _: ()) == ()


def test_a_begun_band_is_printed_with_the_rest():
    rest = grey()
    band = newly_begun(sheet_by_counts(rest, rest.told.given.make, "neck_band"), rest, rest.told.given.make, AT)
    begun_too = grey(sheets=[band])
    printed = printed_rest(begun_too.answer, bands=bands_by_file(begun_too))
    assert "Bands on the machine\n--------------------\n\n  Neck band. Begun.\n" in printed
    assert "Bands on the machine" not in printed_rest(rest.answer, bands=bands_by_file(rest))


def unfolded(rest: TheRest):
    sheet = rest.sheet("front")
    assert isinstance(sheet, Sheet)
    return [line for folded in sheet.lines for line in folded.times]
