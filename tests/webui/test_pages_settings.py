"""Settings, and everything out and in: what a browser without JavaScript sends, and what it gets."""

from __future__ import annotations

import csv
import io
import json
import re

import pytest

from fitcheck.store import Store
from tests.webui.test_pages_wardrobe import Browser, typed_in


@pytest.fixture
def browser(store):
    return Browser(store)


@pytest.fixture
def bare(empty):
    return Browser(empty)


CHOSEN = {"unit": "cm", "mark": "point", "by": "", "name": "", "notes": ""}


def test_the_tape_of_an_empty_household_is_assumed_and_says_so(bare):
    page = bare.get("/settings")
    assert "Still assumed" in page
    # 1.5 mm and 0.4 % of 500 mm, at right angles: sqrt(1.5^2 + 2^2) = 2.5 mm (the assumed hand of the model).
    assert "about 2.5 mm" in page


def test_the_tape_of_a_household_that_read_often_is_measured(browser):
    assert "Measured by your own repeated readings." in browser.get("/settings")


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
        assert "Taken in: 35 new." in away.get(said.location)
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
