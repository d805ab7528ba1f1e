"""A record that cannot be read stops nothing but itself: what was kept of it is left out and named."""

from __future__ import annotations

import json
import sqlite3

import pytest

from fitcheck.records.files import open_household
from fitcheck.store import Store
from fitcheck.store.spoilt import RecordUnreadable
from fitcheck.store.stored import HOUSEHOLD

SPOILT = ('{"id": 5}', "[]", '"text"', "{", "")


def spoil(path, kind, key, text=SPOILT[0], *, revisions=False):
    """Write something else in the place of a record's document, as no program of ours would; its history too."""
    connection = sqlite3.connect(path)
    with connection:
        connection.execute("pragma ignore_check_constraints = on")
        connection.execute("update records set doc = ? where kind = ? and key = ?", (text, kind, key))
        if revisions:
            connection.execute("update history set doc = ? where kind = ? and key = ?", (text, kind, key))
    connection.close()


def named(store):
    """Every record that is kept, by kind and key."""
    rows = [(kind, record.id) for kind in ("wearers", "garments", "yarns", "machines") for record in kept(store, kind)]
    return [
        *rows,
        *((kind, record.id) for kind in ("swatches", "size_tables", "makes") for record in kept(store, kind)),
    ]


def kept(store, kind):
    return getattr(store.household(), kind)


@pytest.fixture
def opened_again(full):
    """Spoil a record and open the store anew."""
    stores = []

    def opened(*spoilt, **how):
        path = full.path
        full.close()
        spoil(path, *spoilt, **how)
        stores.append(Store.open(path))
        return stores[-1]

    yield opened
    for store in stores:
        store.close()


@pytest.mark.parametrize("text", SPOILT, ids=["another record", "list", "text", "no json", "empty"])
def test_the_household_leaves_out_what_cannot_be_read_and_names_it(full, opened_again, text):
    before = named(full)
    spoilt = next(link for link in before if link[0] == "yarns")
    store = opened_again(*spoilt, text)
    assert named(store) == [link for link in before if link != spoilt]
    assert store.left_out() == (spoilt,)
    assert store.records("yarns", [spoilt[1]]) == {}
    with pytest.raises(RecordUnreadable, match=f"yarns/{spoilt[1]} cannot be read") as told:
        assert store.get(*spoilt).record
    assert (told.value.kind, told.value.key) == spoilt


def test_the_bundle_can_be_taken_in_whichever_record_is_spoilt(full, tmp_path):
    for number, link in enumerate([(HOUSEHOLD, HOUSEHOLD), *named(full)]):
        path = full.back_up(tmp_path / f"{number}.db")
        spoil(path, *link)
        with Store.open(path) as store:
            taken = open_household(store.export_bundle())
            assert link not in [(kind, record.id) for kind in ("yarns", "makes") for record in getattr(taken, kind)]
            assert store.readings_as_csv().startswith("record kind")


def test_a_spoilt_record_is_brought_back_as_it_was(full, opened_again):
    link = next(link for link in named(full) if link[0] == "makes")
    text = full.get(*link).text
    store = opened_again(*link)
    last = store.last_readable(*link)
    assert last is not None
    assert store.bring_back(*link, last.revision).text == text
    assert store.left_out() == ()


def test_of_a_record_whose_every_revision_is_spoilt_nothing_can_be_brought_back(full, opened_again):
    link = next(link for link in named(full) if link[0] == "makes")
    assert opened_again(*link, revisions=True).last_readable(*link) is None


def test_where_the_settings_are_spoilt_everything_else_is_read_and_written(opened_again):
    store = opened_again(HOUSEHOLD, HOUSEHOLD)
    assert store.left_out() == ((HOUSEHOLD, HOUSEHOLD),)
    store.put("garments", "new", {"name": "new", "occasions": [{"id": "a", "readings": {"chest": ["51 cm"]}}]}, 0)
    last = store.last_readable(HOUSEHOLD, HOUSEHOLD)
    store.bring_back(HOUSEHOLD, HOUSEHOLD, last.revision)
    assert store.left_out() == ()
    assert json.loads(store.get(HOUSEHOLD, HOUSEHOLD).text)["unit"]
