"""What is sent is looked through before anybody waits for it, and a heap of faults is told in few words."""

from __future__ import annotations

import json

import pytest

from fitcheck.records import cross_checks, refusals
from fitcheck.records.bounds import MOST_ENTRIES, MOST_RECORDS
from fitcheck.records.faults import RecordsError
from fitcheck.records.files import open_household
from fitcheck.records.places import Place
from fitcheck.records.refusals import MOST_TOLD
from fitcheck.store import Store, bundle, documents, readings, readings_csv
from fitcheck.store.database import Database
from fitcheck.store.faults import BundleTooLarge, WritingStill
from tests.store.conftest import garment

NAMES = {f"n{number}": 1 for number in range(8000)}


def test_of_8000_unknown_names_50_are_told_and_the_rest_by_their_number(store):
    with pytest.raises(RecordsError) as told:
        store.put("garments", "grey", {**garment(), **NAMES}, 0)
    assert len(told.value.faults) == MOST_TOLD + 1
    assert told.value.faults[-1].read == "7,950 more names"
    with pytest.raises(RecordsError) as told:
        store.import_bundle(json.dumps({"fitcheck": 4, "unit": "cm", "garments": [], **NAMES}).encode())
    assert [fault.read for fault in told.value.faults if "more" in fault.read] == ["7,950 more names"]


def test_fifty_unknown_names_are_all_told(store):
    with pytest.raises(RecordsError) as told:
        store.put("garments", "grey", {**garment(), **dict(list(NAMES.items())[:MOST_TOLD])}, 0)
    assert [fault.place for fault in told.value.faults] == list(NAMES)[:MOST_TOLD]


def test_a_document_that_is_refused_keeps_no_other_change_waiting(store, monkeypatch):
    def writing(*_, **__):
        raise AssertionError("the lock was taken")

    monkeypatch.setattr(Database, "writing", writing)
    with pytest.raises(RecordsError):
        store.put("garments", "grey", {**garment(), **NAMES}, 0)


def test_a_lock_that_we_hold_ourselves_is_said_to_be_ours(tmp_path):
    with (
        Store.open(tmp_path / "f.db", busy_seconds=0.05) as store,
        store.database.writing(),
        pytest.raises(WritingStill, match="another change of Fitcheck's own"),
    ):
        store.put("garments", "grey", garment(), 0)


def test_a_list_that_no_record_needs_is_refused_before_its_entries_are_looked_at(store):
    readings = {"chest": [51.5] * (MOST_ENTRIES + 1)}
    with pytest.raises(RecordsError) as told:
        store.put("garments", "grey", {"name": "x", "occasions": [{"id": "a", "readings": readings}]}, 0)
    assert [fault.read for fault in told.value.faults] == ["a list of 5,001"]


def measured(*counts):
    """A garment with so many readings at its points."""
    readings = {point: ["51.5 cm"] * count for point, count in zip(("chest", "hem"), counts, strict=False)}
    return garment(occasions=[{"id": "a", "readings": readings}, {"id": "b"}])


def test_more_readings_than_a_record_has_are_refused_in_store_and_file(store, monkeypatch):
    monkeypatch.setattr(cross_checks, "MOST_ENTRIES", 5)
    with pytest.raises(RecordsError) as told:
        store.put("garments", "grey", measured(3, 3), 0)
    assert [fault.read for fault in told.value.faults] == ["6 readings"]
    with pytest.raises(RecordsError) as told:
        open_household({"fitcheck": 4, "unit": "cm", "garments": [{"id": "grey", **measured(3, 3)}]})
    assert [(fault.place, fault.read) for fault in told.value.faults] == [("garments[0]", "6 readings")]


def test_one_reading_more_than_a_record_has_is_refused_and_the_others_stay(store, monkeypatch):
    monkeypatch.setattr(cross_checks, "MOST_ENTRIES", 5)
    store.put("wearers", "ida", {"name": "Ida", "head": ["56 cm"] * 5}, 0)
    with pytest.raises(RecordsError):
        store.add_reading(Place.of_readings("wearers", "ida", "head"), "56 cm")
    assert len(store.get("wearers", "ida").record.head) == 5


def test_as_many_readings_of_one_point_as_a_record_has_are_written_into_a_file_and_taken_in_again(store):
    store.put("garments", "grey", measured(MOST_ENTRIES), 0)
    assert len(open_household(store.export_bundle()).garments[0].occasions[0].readings["chest"]) == MOST_ENTRIES


def test_of_more_readings_than_a_record_has_from_an_earlier_program_all_but_one_more_can_be_changed(store, monkeypatch):
    store.put("garments", "grey", measured(3, 3), 0)
    monkeypatch.setattr(cross_checks, "MOST_ENTRIES", 5)
    make = {"name": "Blue", "construction": "raglan", "fits": {"garment": "grey", "occasion": "a"}}
    store.put("makes", "blue", make, 0)  # whatever names it
    stored = store.get("garments", "grey")
    document = {**stored.doc, "name": "Greyer", "occasions": [*stored.doc["occasions"], {"id": "c"}]}
    assert store.put("garments", "grey", document, stored.revision).record.name == "Greyer"
    chest = Place.of_readings("garments", "grey", "occasions/a/readings/chest")
    with pytest.raises(RecordsError) as told:
        store.add_reading(chest, "51.6 cm")
    assert [fault.read for fault in told.value.faults] == ["7 readings"]
    own = stored.doc["occasions"][0]["readings"]["chest"][0]["id"]
    assert store.set_aside(chest, own, "odd").doc["occasions"][0]["readings"]["chest"][0]["set_aside"] == "odd"


def test_a_file_of_too_many_records_is_refused_and_none_is_written_that_would_be(store, monkeypatch):
    yarns = [{"id": f"y{number}", "name": "y"} for number in range(MOST_RECORDS + 1)]
    with pytest.raises(RecordsError) as told:
        open_household({"fitcheck": 4, "unit": "cm", "yarns": yarns})
    assert [fault.read for fault in told.value.faults] == ["6,001 records"]
    monkeypatch.setattr(bundle, "MOST_RECORDS", 1)
    for key in ("a", "b"):
        store.put("yarns", key, {"name": key}, 0)
    with pytest.raises(BundleTooLarge, match="2 records; one of 1 at most"):
        store.export_bundle()


@pytest.mark.parametrize(
    ("inside", "times", "said"),
    [
        (90 * "[" + 90 * "]", 600, "more than 50,000 lists and groups"),
        ("[" + ",".join(["1"] * 5001) + "]", 1, "a list of 5,001"),
    ],
    ids=["many", "long"],
)
def test_a_heap_of_lists_is_refused_before_anything_in_it_is_looked_at(store, inside, times, said):
    document = json.loads(f'{{"name": "x", "occasions": [{",".join([inside] * times)}]}}')
    with pytest.raises(RecordsError) as told:
        store.put("garments", "grey", document, 0)
    assert [fault.read for fault in told.value.faults] == [said]
    with pytest.raises(RecordsError) as told:
        open_household({"fitcheck": 4, "unit": "cm", "garments": [document]})
    assert [fault.read for fault in told.value.faults] == [said]


def test_of_400_makes_of_a_yarn_that_is_not_there_50_are_told_and_none_is_guessed_at_for_the_rest(store, monkeypatch):
    guessed = []
    monkeypatch.setattr(refusals, "_near", lambda names, read, most: guessed.append(read) or [])
    makes = [{"id": f"m{number}", "name": "m", "yarn": "grey"} for number in range(400)]
    with pytest.raises(RecordsError) as told:
        store.import_bundle(
            json.dumps({"fitcheck": 4, "unit": "cm", "yarns": [{"id": "gray", "name": "g"}], "makes": makes}).encode()
        )
    assert [fault.read for fault in told.value.faults][MOST_TOLD:] == ["350 more places"]
    assert len(guessed) == MOST_TOLD


def test_of_a_table_with_400_lines_that_name_no_record_50_are_told(store):
    lines = "\n".join(f"garments,g{number},occasions/first/readings/chest,51 cm" for number in range(400))
    with pytest.raises(RecordsError) as told:
        store.add_readings_from_csv(f"record kind,key,place,text\n{lines}")
    assert [fault.line for fault in told.value.faults] == list(range(2, MOST_TOLD + 3))
    assert told.value.faults[-1].read == "350 more"


def test_a_table_longer_than_one_that_is_taken_is_refused_at_the_first_line_too_many(store, monkeypatch):
    store.put("garments", "grey", garment(), 0)
    monkeypatch.setattr(readings_csv, "MOST_ROWS", 2)
    assert store.add_readings_from_csv(TABLE + "\n" + TABLE.partition("\n")[2]).added == 2
    with pytest.raises(RecordsError) as told:
        store.add_readings_from_csv(TABLE + "\n" + "\n".join(3 * [TABLE.partition("\n")[2]]))
    assert [(fault.line, fault.read) for fault in told.value.faults] == [(4, "one more")]


AT = Place.of_readings("garments", "grey", "occasions/first/readings/chest")
TABLE = "record kind,key,place,text\ngarments,grey,occasions/first/readings/chest,51 cm"
CHANGES = {
    "a reading": lambda store: store.add_reading(AT, "51.5 cm"),
    "set aside": lambda store: store.set_aside(AT, "r1", "laid askew"),
    "confirmed": lambda store: store.confirm(AT, "r1"),
    "put right": lambda store: store.put_right(AT, "r1", "51.4", "cm"),
    "a table": lambda store: store.add_readings_from_csv(TABLE),
}


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_readings_are_looked_through_while_others_may_write_and_once_more_where_one_did(store, monkeypatch, change):
    store.put("garments", "grey", garment(), 0)
    seen = []

    def taking(*given):
        with store.database.writing():  # nobody holds the lock
            seen.append(store.get("garments", "grey").revision)
        return documents.take(*given)

    monkeypatch.setattr(readings, "take", taking)
    change(store)
    assert seen == [1]
    assert store.get("garments", "grey").revision == 2


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_where_somebody_was_faster_a_reading_goes_into_the_record_as_it_is_then(store, monkeypatch, change):
    store.put("garments", "grey", garment(), 0)
    left = [1]

    def taking(*given):
        if left and left.pop():
            store.put("garments", "grey", {**store.get("garments", "grey").doc, "notes": "soft"}, 1)
        return documents.take(*given)

    monkeypatch.setattr(readings, "take", taking)
    change(store)
    after = store.get("garments", "grey")
    assert (after.revision, after.record.notes) == (3, "soft")
