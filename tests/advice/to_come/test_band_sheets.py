"""Sheets of the bands of the demo's makes (an invented household): knitted through, and what yarn is reckoned by."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest

from fitcheck.advice.rest.bands import BandStitch
from fitcheck.advice.to_come.band_plans import band_loops, band_plan, sheet_of_band
from fitcheck.advice.to_come.picked_up import BandUp, PickedRun, PickedUp, bands_up
from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.lines import Sheet
from fitcheck.knitting.replay import replay
from fitcheck.records.begun_sheets import BegunSheet
from fitcheck.records.makes import BAND_KIND, Make
from fitcheck.reports.shown_sheet import newly_begun, shown_sheet
from fitcheck.reports.the_rest import TheRest
from fitcheck.words.cannot_say import cannot_say_sentence
from fitcheck.words.figures import Tape
from fitcheck.words.picked_up import pick_said
from tests.advice.to_come.test_picked_up import bands, demo, picked, rest, with_rib
from tests.advice.to_come.test_the_rest import MAKES, with_make
from tests.invented import in_turn

AT = datetime(2026, 11, 30, tzinfo=UTC)


def lines_of(sheet: Sheet | CannotSay) -> Sheet:
    assert isinstance(sheet, Sheet)
    return sheet


def make_of(key: str) -> Make:
    return next(make for make in demo().makes if make.id == key)


@pytest.mark.parametrize("make", in_turn(MAKES))
def test_every_band_whose_stitches_are_known_has_a_sheet_that_the_replay_has_passed(make: str) -> None:
    told = rest(make)
    for band in told.answer.bands:
        shown = told.sheet(BAND_KIND[band.edge])
        if told.answer.waits is not None or isinstance(band.picked, CannotSay):
            assert isinstance(shown, CannotSay)
            continue
        sheet = lines_of(shown)
        assert replay(sheet, needles=sheet.head.bed or 500).faults == ()
        assert sheet.head.loops == band_loops(band) == band.times * band.picked.stitches * (band.rows or 0)
        hung = [line for line in sheet.lines if line.act == "hang"]
        assert sum(line.stitches for line in hung) == band.times * band.picked.stitches
        for line in hung:
            assert line.stitches == sum(note.values["stitches"] for note in line.notes)


def test_the_yarn_of_the_bands_is_that_of_their_sheets() -> None:
    told = rest("grey_cardigan")
    assert not isinstance(told.answer.yarn, CannotSay)
    of_sheets = [lines_of(told.sheet(kind)).head.loops for kind in ("neck_band", "front_band")]
    assert [band.loops for band in told.answer.yarn.bands] == of_sheets


def test_a_band_without_depth_or_edge_or_before_the_answer_says_why() -> None:
    codes = {}
    for make, kind in (
        ("grey_pulled_long", "neck_band"),
        ("grey_miscounted", "neck_band"),
        ("grey_pullover", "hem_band"),
        ("moss_first", "neck_band"),
    ):
        shown = rest(make).sheet(kind)  # type: ignore[arg-type]
        assert isinstance(shown, CannotSay)
        codes[make] = shown.code
    assert codes == {
        "grey_pulled_long": "no_counts",
        "grey_miscounted": "no_counts",
        "grey_pullover": "no_such_piece",
        "moss_first": "finished",
    }
    shallow = replace(bands(rest("grey_pullover"))["neck"], rows=None)
    why = band_plan(shallow)
    assert isinstance(why, CannotSay)
    assert cannot_say_sentence(why) == (
        "Cannot say: nobody said how deep the neck band is to be. Say it: then its rows can be said."
    )
    assert band_loops(shallow) == 0


def test_a_band_wider_than_the_bed_is_knitted_in_goes_that_share_its_stitches() -> None:
    told = rest("grey_cardigan")
    assert told.told.rest is not None
    front = bands_up(told.told.given.make, told.told.rest.bands, told.planned, bed=110)[1]
    sheet = lines_of(sheet_of_band(front))
    hung = [(line.part, line.stitches) for line in sheet.lines if line.act == "hang"]
    assert hung == [
        ("first_band_go_1", 75),
        ("first_band_go_2", 74),
        ("second_band_go_1", 75),
        ("second_band_go_2", 74),
    ]
    assert replay(sheet, needles=110).faults == ()
    noted = [len(line.notes) for line in sheet.lines if line.act == "hang"]
    assert noted == [2, 0, 2, 0], "the runs of a band stand once, with its first go"
    assert sheet.head.loops == band_loops(front) == 2 * 149 * (front.rows or 0)
    neck = replace(bands(told)["neck"], picked=replace(picked(bands(told)["neck"]), goes=2))
    assert [line.part for line in lines_of(sheet_of_band(neck)).lines if line.act == "hang"] == ["go_1", "go_2"]


def test_the_hems_of_a_back_and_of_half_fronts_are_parts_of_one_sheet() -> None:
    hem = {"edge": "hem", "depth": "6 cm", "how": "added_later"}
    bands_of = [*(band.model_dump(mode="json") for band in make_of("grey_cardigan").bands), hem]
    without = [band for band in bands_of if band["how"] != "knitted_on"]
    record = Make.model_validate_json(
        json.dumps({**make_of("grey_cardigan").model_dump(mode="json", exclude_unset=True), "bands": without})
    )
    told = with_make("grey_cardigan", bands=record.bands)
    band = bands(told)["hem"]
    assert [run.key for run in picked(band).runs] == ["hem_back", "hem_right", "hem_left"]
    sheet = lines_of(sheet_of_band(band))
    hung = {line.part: line.stitches for line in sheet.lines if line.act == "hang"}
    assert list(hung) == ["back", "right_front", "left_front"]
    assert hung["right_front"] == hung["left_front"] < hung["back"]
    assert band_loops(band) == sum(hung.values()) * (band.rows or 0)


def test_the_dial_of_a_band_is_that_of_the_swatched_rib_and_never_that_of_the_plain_pieces() -> None:
    assert lines_of(rest("grey_pullover").sheet("front")).head.dial
    assert lines_of(rest("grey_pullover").sheet("neck_band")).head.dial == ""
    swatches = [
        swatch.model_copy(update={"id": "rib", "stitch_pattern": "1 x 1 rib"}) if swatch.id == "grey_at_8" else swatch
        for swatch in demo().swatches
    ]
    assert lines_of(with_rib(swatches).sheet("neck_band")).head.dial == "8"


def test_a_band_is_still_there_when_every_piece_is_knitted() -> None:
    back = make_of("grey_pullover").pieces[0]
    coming = {piece.kind: piece for piece in rest("grey_pullover").answer.pieces}

    def knitted(key: str, kind: str) -> Any:
        counts = {point: {"knitted": count.count} for point, count in coming[kind].counts.items()}  # type: ignore[index]
        document = {"id": key, "piece": kind, "counts": counts, "stages": [{"kind": "off_machine"}]}
        return type(back).model_validate_json(json.dumps(document))

    pieces = [back, knitted("front", "front"), knitted("sleeve", "sleeve"), knitted("sleeve_2", "sleeve")]
    told = with_make("grey_pullover", pieces=pieces)
    assert told.answer.pieces == ()
    assert told.answer.why is not None
    sheet = lines_of(told.sheet("neck_band"))
    assert sheet.head.needles == lines_of(rest("grey_pullover").sheet("neck_band")).head.needles


def test_a_begun_band_keeps_its_lines_and_says_that_it_is_older() -> None:
    told, make = rest("grey_pullover"), make_of("grey_pullover")
    shown = shown_sheet(told, make, "neck_band")
    assert not isinstance(shown, CannotSay)
    record = BegunSheet.model_validate_json(json.dumps(newly_begun(shown, told, make, AT)))
    assert (record.id, record.piece, record.number, record.counts) == ("neck-band-1", "neck_band", 1, {})
    assert record.stitch_mm == bands(told)["neck"].stitch.stitch_mm
    begun = make.model_copy(update={"sheets": [record]})
    again = shown_sheet(told, begun, "neck_band")
    assert not isinstance(again, CannotSay)
    assert (again.older, again.begun, again.sheet.lines) == (False, record, shown.sheet.lines)
    written = make.model_dump(mode="json", exclude_unset=True)
    written["bands"] = [{**band, "depth": "4 cm"} if band["edge"] == "neck" else band for band in written["bands"]]
    deeper = Make.model_validate_json(json.dumps(written)).bands
    later = shown_sheet(with_make("grey_pullover", bands=deeper), begun, "neck_band")
    assert not isinstance(later, CannotSay)
    assert (later.older, later.sheet.lines) == (True, shown.sheet.lines)


def test_a_band_whose_sheet_was_ended_is_on_and_takes_no_more_yarn_until_it_is_begun_anew() -> None:
    told, make = rest("grey_cardigan"), make_of("grey_cardigan")
    shown = shown_sheet(told, make, "front_band")
    assert not isinstance(shown, CannotSay)
    ended = {**newly_begun(shown, told, make, AT), "ended": True}
    again = {**ended, "id": "front-band-2", "number": 2, "ended": False}

    def after(*sheets: dict[str, Any]) -> TheRest:
        records = [BegunSheet.model_validate_json(json.dumps(sheet)) for sheet in sheets]
        return with_make("grey_cardigan", sheets=records)

    on, begun_anew = after(ended), after(ended, again)
    yarn, before = on.answer.yarn, told.answer.yarn
    assert not isinstance(yarn, CannotSay)
    assert not isinstance(before, CannotSay)
    assert {band.edge: band.on for band in on.answer.bands} == {"neck": False, "front": True}
    assert [band.edge for band in yarn.bands] == ["neck"]
    assert yarn.need == pytest.approx(before.need - before.bands[1].grams)
    assert begun_anew.answer.yarn == before
    assert not any(band.on for band in begun_anew.answer.bands)
    assert pick_said(on.answer.bands[1], Tape("cm", ".")).head == "Each front band is on: 149 stitches"


def test_a_run_that_nobody_counted_is_noted_without_groups() -> None:
    run = PickedRun("rib", 60.0, 0, False, 16, (), "hem")
    band = BandUp("front", 2, 30.0, 10, BandStitch(3.9, 3.0), True, PickedUp(16, 60.0, 0.0, (run,)))
    note = lines_of(sheet_of_band(band)).lines[0].notes[0]
    assert note.values == {"run": "rib", "stitches": 16, "of": 0, "loops": False, "begins": "hem"}
