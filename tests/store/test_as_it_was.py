"""A make with all that it names is told as it stood before counts were taken for it, and before it was finished."""

from __future__ import annotations

import pytest

from fitcheck.records.places import Place
from fitcheck.reports.choose import chosen
from fitcheck.reports.digest import digest_of
from fitcheck.store import Store

BACK = {"id": "back", "piece": "back", "stages": [{"kind": "blocked", "readings": {"chest": ["52.4 cm"]}}]}
FITS = {"garment": "blue", "occasion": "washed"}
MAKE = {"name": "Plain", "fits": FITS, "pieces": [BACK]}
BLUE = {"name": "Blue", "occasions": [{"id": "washed", "state": "washed_flat", "readings": {"chest": ["52.0 cm"]}}]}


def taken(digest):
    """A count of the front, taken from an answer."""
    count = {"piece": "front", "point": "chest", "count": 120, "at": "2026-11-14T10:00:00Z", "report": digest}
    return {"planned": {"front": {"chest": 120}}, "taken": [count]}


def digest(household):
    return digest_of(chosen(household, "plain"))


@pytest.fixture
def store(tmp_path):
    with Store.open(tmp_path / "fitcheck.db") as opened:
        opened.put("garments", "blue", BLUE, 0)
        opened.put("makes", "plain", MAKE, 0)
        yield opened


def test_before_counts_were_taken_every_record_stands_as_it_did(store):
    shown = digest(store.household())
    store.put("makes", "plain", {**MAKE, **taken(shown)}, 1)
    store.add_reading(Place("garments", "blue", ("occasions", "washed", "readings", "chest")), {"text": "58.0 cm"})
    store.put("makes", "plain", {**MAKE, **taken(shown), "finished": "2026-11-28"}, 2)
    assert digest(store.before_taking("plain", shown)) == shown
    assert digest(store.before_finishing("plain")) != shown
    assert store.before_finishing("plain").makes[0].taken
    assert store.before_finishing("plain").makes[0].finished is None


def test_finished_undone_and_finished_again_it_is_told_from_before_the_last_time(store):
    store.put("makes", "plain", {**MAKE, "finished": "2026-11-28"}, 1)
    store.undo("makes", "plain", 2)
    chest = Place("makes", "plain", ("pieces", "back", "stages", 0, "readings", "chest"))
    store.add_reading(chest, {"text": "52.6 cm"})
    unfinished = digest(store.household())
    store.put("makes", "plain", {**store.get("makes", "plain").doc, "finished": "2026-11-29"}, 4)
    assert digest(store.before_finishing("plain")) == unfinished


def test_nothing_is_told_of_what_did_not_happen_or_came_with_a_file(store, tmp_path):
    assert store.before_finishing("plain") is None
    assert store.before_taking("plain", "0" * 64) is None
    store.put("makes", "plain", {**MAKE, **taken("1" * 64), "finished": "2026-11-28"}, 1)
    assert store.before_taking("plain", "0" * 64) is None
    with Store.open(tmp_path / "other.db") as other:
        other.put("makes", "plain", {**MAKE, "fits": {}}, 0)
        other.import_bundle(store.export_bundle(), "update")
        assert other.get("makes", "plain").record.finished is not None
        assert other.before_finishing("plain") is None
        assert other.before_taking("plain", "1" * 64) is None
