"""What a file or a form wrote at once is one change: told as one, and taken back as one or not at all."""

from __future__ import annotations

import json
from importlib.resources import files

import pytest

from fitcheck.records.households import FORMAT
from fitcheck.store.faults import LaterChange, NotFound

DEMO = (files("demo_garments") / "household.json").read_bytes()
SWATCH = {"name": "red at 7", "stitches": {"count": 36}, "stages": [{"kind": "blocked", "across": ["16.6 cm"]}]}


@pytest.fixture
def filled(store):
    """A store with one record of its own, into which the invented household was taken."""
    store.put("yarns", "own", {"name": "own wool"}, 0)
    return store, store.import_bundle(DEMO)


def standing(store):
    household = store.household()
    kinds = ("wearers", "garments", "yarns", "machines", "swatches", "size_tables", "makes")
    return {(kind, record.id) for kind in kinds for record in getattr(household, kind)}


def test_a_household_that_was_taken_in_is_one_change(filled):
    store, imported = filled
    written = store.together(imported.form, imported.at)
    assert {(kind, key) for kind, key, _ in written.records} == {*imported.created}
    assert (written.what, written.later) == ("imported", None)


def test_it_is_taken_back_as_one_whichever_record_names_which_and_so_is_that(filled):
    store, imported = filled
    before = standing(store)
    undone = store.take_back_together(imported.form, imported.at)
    assert standing(store) == {("yarns", "own")}
    assert (undone.count, undone.what) == (len(imported.created), "undone")
    again = store.take_back_together(undone.form, undone.at)
    assert standing(store) == before
    assert store.together(again.form, again.at) == again


def test_a_later_change_of_any_of_it_keeps_all_of_it(filled):
    store, imported = filled
    stored = store.get("makes", "grey_pullover")
    changed = store.put("makes", "grey_pullover", {**stored.doc, "notes": "seen"}, stored.revision)
    before = standing(store)
    assert store.together(imported.form, imported.at).later == changed.at
    with pytest.raises(LaterChange):
        store.take_back_together(imported.form, imported.at)
    assert standing(store) == before
    store.put("makes", "grey_pullover", stored.doc, changed.revision)
    assert store.together(imported.form, imported.at).later is None


def test_what_names_it_from_outside_keeps_all_of_it(filled):
    store, imported = filled
    store.put("makes", "mine", {"name": "mine", "yarn": store.household().makes[0].yarn}, 0)
    before = standing(store)
    with pytest.raises(Exception, match="named by makes/mine"):
        store.take_back_together(imported.form, imported.at)
    assert standing(store) == before


def test_a_file_that_takes_the_place_of_everything_is_taken_back_with_what_it_deleted(store):
    store.put("yarns", "own", {"name": "own wool"}, 0)
    store.put("makes", "mine", {"name": "mine", "yarn": "own"}, 0)
    before = standing(store)
    imported = store.import_bundle(DEMO, "replace")
    assert not before & standing(store)
    store.take_back_together(imported.form, imported.at)
    assert standing(store) == before


def test_a_swatch_that_was_measured_for_a_make_is_one_of_its_own_by_the_same_change(store):
    store.put("makes", "red", {"name": "red"}, 0)
    stored = store.put_for_make("swatches", "red_7", SWATCH, 0, "a-form-of-sixteen", make="red")
    assert store.get("makes", "red").doc["swatches"] == ["red_7"]
    (change,) = store.changes("swatches", "red_7")
    written = store.together(change.form, change.at)
    assert [(kind, key) for kind, key, _ in written.records] == [("swatches", "red_7"), ("makes", "red")]
    assert store.sent("a-form-of-sixteen", "swatches").now == stored
    store.take_back_together(written.form, written.at)
    assert "swatches" not in store.get("makes", "red").doc
    assert standing(store) == {("makes", "red")}


def test_neither_is_written_where_the_make_is_not_there(store):
    with pytest.raises(NotFound):
        store.put_for_make("swatches", "red_7", SWATCH, 0, make="red")
    assert standing(store) == set()


def test_records_that_a_form_wrote_one_after_another_are_no_one_change(store):
    first = store.put("yarns", "one", {"name": "one"}, 0, "a-form-of-sixteen")
    store.put("wearers", "two", {"name": "two"}, 0, "a-form-of-sixteen")
    assert store.together("a-form-of-sixteen", first.at) is None
    with pytest.raises(NotFound):
        store.take_back_together("a-form-of-sixteen", first.at)


def test_a_make_goes_after_the_one_that_learns_from_it_and_comes_back_before_it(store):
    makes = [
        {"id": "first", "name": "first", "finished": "2026-01-01"},
        {"id": "then", "name": "then", "learns_from": ["first"]},
    ]
    imported = store.import_bundle(json.dumps({"fitcheck": FORMAT, "unit": "cm", "makes": makes}).encode())
    undone = store.take_back_together(imported.form, imported.at)
    assert standing(store) == set()
    store.take_back_together(undone.form, undone.at)
    assert standing(store) == {("makes", "first"), ("makes", "then")}
