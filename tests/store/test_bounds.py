"""What is sent is looked through before anybody waits for it, and a heap of faults is told in few words."""

from __future__ import annotations

import json

import pytest

from fitcheck.records.faults import RecordsError
from fitcheck.records.refusals import MOST_NAMES
from fitcheck.store import Store
from fitcheck.store.database import Database
from fitcheck.store.documents import MOST_ENTRIES
from fitcheck.store.faults import WritingStill
from tests.store.conftest import garment

NAMES = {f"n{number}": 1 for number in range(8000)}


def test_of_8000_unknown_names_50_are_told_and_the_rest_by_their_number(store):
    with pytest.raises(RecordsError) as told:
        store.put("garments", "grey", {**garment(), **NAMES}, 0)
    assert len(told.value.faults) == MOST_NAMES + 1
    assert told.value.faults[-1].read == "7,950 more names"
    with pytest.raises(RecordsError) as told:
        store.import_bundle(json.dumps({"fitcheck": 4, "unit": "cm", "garments": [], **NAMES}).encode())
    assert [fault.read for fault in told.value.faults if "more" in fault.read] == ["7,950 more names"]


def test_fifty_unknown_names_are_all_told(store):
    with pytest.raises(RecordsError) as told:
        store.put("garments", "grey", {**garment(), **dict(list(NAMES.items())[:MOST_NAMES])}, 0)
    assert [fault.place for fault in told.value.faults] == list(NAMES)[:MOST_NAMES]


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
