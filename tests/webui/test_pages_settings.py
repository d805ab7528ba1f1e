"""Settings, and everything out and in: what a browser without JavaScript sends, and what it gets."""

from __future__ import annotations

import csv
import html
import io
import json
import re

import pytest

from fitcheck.records.places import Place
from fitcheck.store import Store
from fitcheck.store.faults import DiskFails
from tests.webui.test_pages_wardrobe import OF_ANOTHER, Browser, chosen, fields, sides, typed_in, undo


@pytest.fixture
def browser(store):
    return Browser(store)


@pytest.fixture
def bare(empty):
    return Browser(empty)


CHOSEN = {"unit": "cm", "mark": "point", "by": "", "name": "", "notes": ""}


def test_the_tape_of_an_empty_household_is_assumed_and_says_so(bare):
    page = bare.get("/settings")
    assert "That is assumed: nobody read anything twice yet." in page
    # 1.5 mm and 0.4 % of 500 mm, at right angles: sqrt(1.5^2 + 2^2) = 2.5 mm (the assumed hand of the model).
    assert "about 2.5 mm" in page


def test_the_tape_of_a_household_that_read_often_is_measured(browser):
    assert "That is measured, by your own repeated readings." in browser.get("/settings")


def test_the_tape_is_frozen_for_every_make_and_freed_again(bare):
    # Two readings 8 mm apart in one laying: a variance of 32 over 1.5^2 + (0.004 * 516)^2 = 6.510.
    occasion = {"id": "a", "readings": {"chest": [{"text": "51.2 cm", "laying": 1}, {"text": "52.0 cm", "laying": 1}]}}
    bare.store.put("garments", "blue", {"name": "Blue", "occasions": [occasion]}, 0)
    before = bare.get("/settings")
    assert "free: its own readings count" in before
    assert "1 repeated reading" in before
    page = bare.after("/settings/tape", do="freeze")
    (kept,) = bare.store.household().tape.sets
    assert (kept.of, kept.kind, kept.dof) == ("blue", "readings", 1)
    assert kept.ratio == pytest.approx(32 / (1.5**2 + (0.004 * 516) ** 2))
    assert "frozen: all of it counts" in page
    assert "Freeze it anew" not in page
    undo(bare, page)
    assert bare.store.household().tape.sets == []
    bare.post("/settings/tape", do="freeze")
    bare.store.add_reading(Place.of_readings("garments", "blue", "occasions/a/readings/chest"), "51.5 cm")
    assert "Freeze it anew" in bare.get("/settings")
    bare.post("/settings/tape", do="free")
    assert bare.store.household().tape.sets == []


def test_freezing_the_tape_changes_what_a_make_says(browser):
    before = browser.client.get("/api/v1/makes/moss_drop_shoulder/report").data
    browser.post("/settings/tape", do="freeze")
    assert browser.client.get("/api/v1/makes/moss_drop_shoulder/report").data != before
    browser.post("/settings/tape", do="free")
    assert browser.client.get("/api/v1/makes/moss_drop_shoulder/report").status_code == 200


def test_inches_are_written_to_the_chosen_fraction(bare):
    bare.post("/unit", unit="in", back="/")
    bare.post("/wardrobe/new", name="Blue", on="2026-02-01", state="washed_flat", at_chest="20 3/16")
    # 20 3/16 lies halfway between two eighths: 20 1/4 by rounding up.
    assert "chest 20 1/4 in" in bare.get("/wardrobe/blue")
    bare.post("/settings", **{**CHOSEN, "unit": "in", "parts": "16"})
    assert "chest 20 3/16 in" in bare.get("/wardrobe/blue")
    assert re.search(r'name="parts" value="16" checked', bare.get("/settings"))


def test_the_thumb_of_the_walk_is_the_one_of_the_settings(browser):
    browser.post("/settings", **{**CHOSEN, "thumb": "left"})
    assert re.search(r'name="thumb" value="left" checked', browser.get("/settings"))
    cookie = browser.client.get_cookie("thumb")
    assert cookie.value == "left"
    assert not cookie.http_only  # the walk itself must be able to change it


def test_two_who_change_the_household_see_both_names(browser):
    form = fields(browser.get("/settings"))
    browser.post("/settings", **{**form, **OF_ANOTHER, "name": "First"})
    page = browser.post("/settings", 409, **{**form, "name": "Second", "by": "Ada"})
    assert sides(page) == {"Name of the household": ("Second", "First")}
    browser.post("/settings", **chosen(page))
    assert browser.store.household().name == "Second"
    assert typed_in(browser.get("/settings"), "by") == "Ada"


def test_a_make_that_was_deleted_is_brought_back_from_the_settings(browser):
    browser.post("/makes/grey_pullover/delete")
    action = re.search(r'action="(/makes/grey_pullover/[a-z-]+)"', browser.get("/settings"))[1]
    browser.post(action)
    assert not browser.store.get("makes", "grey_pullover").deleted


def test_unit_mark_and_who_measures_are_remembered(browser):
    page = browser.after("/settings", **{**CHOSEN, "unit": "in", "mark": "comma", "by": "Ada", "name": "At home"})
    assert typed_in(page, "by") == "Ada"
    assert re.search(r'name="unit" value="in" aria-pressed="true"', page)
    assert browser.store.household().unit == "in"
    assert browser.store.household().name == "At home"
    assert typed_in(browser.get("/wardrobe/new"), "by") == "Ada"
    browser.post("/settings", **{**CHOSEN, "mark": "comma"})
    assert "chest 54,1" in browser.get("/wardrobe/brown_pullover")


def test_a_unit_that_nobody_offers_is_refused(bare):
    bare.post("/settings", 422, **{**CHOSEN, "unit": "ell"})
    assert bare.store.household().unit == "cm"


def test_changing_the_unit_changes_no_reading(browser):
    before = browser.store.readings_as_csv()
    browser.post("/settings", **{**CHOSEN, "unit": "in"})
    assert browser.store.readings_as_csv() == before


def test_the_household_leaves_as_one_file_and_comes_in_elsewhere(browser, tmp_path):
    answer = browser.client.get("/settings/household.json")
    assert answer.headers["Content-Disposition"].endswith('.json"')
    with Store.open(tmp_path / "other.db") as other:
        away = Browser(other)
        said = away.client.post("/settings/bundle", data={"bundle": (io.BytesIO(answer.data), "house.json")})
        assert "Taken in: 38 new." in away.get(said.location)
        assert away.client.get("/settings/household.json").data == answer.data


def test_a_file_that_is_wrong_is_refused_whole_with_every_fault(bare):
    garment = {"id": "g", "name": "g", "occasions": [{"id": "a", "readings": {"chest": ["51.2.3 cm"]}}]}
    raw = json.dumps({"fitcheck": 1, "unit": "cm", "garments": [garment, {**garment, "name": 7}]}).encode()
    answer = bare.client.post("/settings/bundle", data={"bundle": (io.BytesIO(raw), "house.json")})
    page = answer.get_data(as_text=True)
    assert answer.status_code == 422
    assert "One decimal mark is enough" in page
    assert "garments[1].name" in page
    assert bare.store.list("garments").records == ()


def test_a_file_with_other_versions_is_a_conflict_until_it_is_to_replace(browser):
    bundle = json.loads(browser.store.export_bundle())
    bundle["garments"][0]["name"] = "another name"
    raw = json.dumps(bundle).encode()
    answer = browser.client.post("/settings/bundle", data={"bundle": (io.BytesIO(raw), "house.json")})
    assert answer.status_code == 409
    assert "brown pullover (garment)" in answer.get_data(as_text=True)
    sent = {"bundle": (io.BytesIO(raw), "house.json"), "how": "replace"}
    assert browser.client.post("/settings/bundle", data=sent).status_code == 303
    assert browser.store.get("garments", "brown_pullover").record.name == "another name"


def test_the_way_that_is_named_for_a_file_with_other_versions_takes_these_and_leaves_all_else(browser):
    bundle = json.loads(browser.store.export_bundle())
    before = [record.key for record in browser.store.list("garments").records]
    raw = json.dumps({**bundle, "garments": [{**bundle["garments"][0], "name": "another name"}], "makes": []}).encode()
    answer = browser.client.post("/settings/bundle", data={"bundle": (io.BytesIO(raw), "house.json")})
    page = html.unescape(answer.get_data(as_text=True))
    (named,) = re.findall(r'choose "([^"]+)" and send it again', page)
    how = re.search(rf'name="how" value="(\w+)"[^>]*><span>{re.escape(named)}</span>', page)[1]
    sent = {"bundle": (io.BytesIO(raw), "house.json"), "how": how}
    assert browser.client.post("/settings/bundle", data=sent).status_code == 303
    assert browser.store.get("garments", bundle["garments"][0]["id"]).record.name == "another name"
    assert [record.key for record in browser.store.list("garments").records] == before


def test_nothing_chosen_is_said_beside_the_field(bare):
    assert 'id="bundle-refused"' in bare.post("/settings/bundle", 422)
    assert 'id="readings-refused"' in bare.post("/settings/readings", 422)


def test_readings_leave_as_a_table_and_come_in_once(browser):
    text = browser.client.get("/settings/readings.csv").get_data(as_text=True)
    rows = list(csv.DictReader(io.StringIO(text)))
    assert any(row["key"] == "brown_pullover" and row["text"] == "53,8 cm" for row in rows)
    page = browser.after("/settings/readings", readings_text=text)
    assert f"0 readings added, {len(rows)} were here already" in page
    place = "garments,brown_pullover,occasions/washed_in_spring/readings,chest"
    one = f"record kind,key,place,point,text,unit\n{place},54.6,cm"
    assert "1 reading added" in browser.after("/settings/readings", readings_text=one)


def test_a_table_of_readings_with_a_fault_is_refused_whole_and_its_text_stays(browser):
    text = (
        "record kind,key,place,point,text\n"
        "garments,brown_pullover,occasions/washed_in_spring/readings,chest,54.6 cm\n"
        "garments,brown_pullover,occasions/washed_in_spring/readings,chest,5x cm"
    )
    before = browser.store.get("garments", "brown_pullover").revision
    page = browser.post("/settings/readings", 422, readings_text=text)
    assert "5x cm" in page
    assert "Line 3" in page
    assert browser.store.get("garments", "brown_pullover").revision == before


def test_every_backup_is_told_with_its_age_and_size(browser):
    assert "No backup is there yet." in browser.get("/settings")
    browser.post("/settings/backup")
    page = browser.get("/settings")
    (line,) = re.findall("<li>([^<]*; asked for)</li>", page)
    assert re.fullmatch(r"\d+ \w+ \d{4}, \d+:\d\d, today; \d+\.\d MB; asked for", line)
    assert "the latest 10 of these stay" in page


def test_settings_answer_though_nobody_can_tell_which_backups_there_are(browser, monkeypatch):
    def fails():
        raise DiskFails(browser.store.path, "worn out")

    monkeypatch.setattr(browser.store, "backups", fails)
    assert "gave an error: worn out" in browser.get("/settings")


def test_a_backup_is_made_beside_the_database(browser):
    page = browser.after("/settings/backup")
    (made,) = (browser.store.path.parent / "backups").iterdir()
    assert made.name in page
    with Store.open(made) as copy:
        assert copy.export_bundle() == browser.store.export_bundle()


def test_everything_deleted_can_be_brought_back_from_the_settings(bare):
    bare.post("/swatches/yarns/new", name="Grey")
    bare.post("/swatches/yarns/grey/delete")
    assert 'action="/swatches/yarns/grey/back"' in bare.get("/settings")


def test_settings_answer_where_what_is_kept_of_a_device_cannot_be_read(browser):
    with browser.store.database.writing() as connection:
        connection.execute("insert into devices values ('a', 'phone', 'measure', 'spoilt', 'spoilt')")
    page = browser.get("/settings")
    assert "the devices" in page
    assert "Household as one file" in page
