"""The history grows with the readings, not with their square, and each revision is what it was."""

from __future__ import annotations

import json

import pytest

from fitcheck.records.places import Place
from fitcheck.store import Store
from tests.benchmarks.bench_history import garment_with, history_bytes

AT = Place.of_readings("garments", "grey", "occasions/first/readings/chest")


@pytest.mark.full
def test_twice_as_many_readings_have_twice_the_history(tmp_path):
    sizes = {}
    for count in (50, 100, 200):
        with Store.open(tmp_path / f"{count}.db") as store:
            garment_with(store, count)
            sizes[count] = history_bytes(store)
    # A line each; the first revisions, which are whole, weigh less the more there are.
    assert sizes[200] / sizes[100] < 2.05
    assert sizes[100] / sizes[50] < 2.05


@pytest.fixture
def grown(store):
    """A garment whose revisions grow, are whole, and grow again; with each document as it was when it was written."""
    wrote = [store.put("garments", "grey", {"name": "grey", "occasions": [{"id": "first", "notes": "in bed"}]}, 0)]
    for number in range(4):
        wrote.append(store.add_reading(AT, {"id": f"n{number}", "text": f"51.{number} cm"}))
    wrote.append(store.put_right(AT, "n1", "51.9", "cm"))
    wrote += [store.add_reading(AT, {"text": "52.1 cm", "by": "Ida é"}), store.add_reading(AT, "52.2 cm")]
    wrote.append(store.delete("garments", "grey", wrote[-1].revision))
    wrote.append(store.bring_back("garments", "grey"))
    wrote.append(store.add_reading(AT, {"id": "last", "text": "52.3 cm"}))
    return wrote


def how_kept(store):
    with store.database.reading() as connection:
        rows = connection.execute("select grows from history where key = 'grey' order by revision")
        return "".join("+" if grows else "=" for (grows,) in rows)


def test_each_revision_is_read_back_as_it_was_written(store, grown):
    # The first reading makes its list, among other fields of the occasion: that one is kept whole.
    assert how_kept(store) == "==+++=++==+"
    assert [store.get("garments", "grey", stored.revision) for stored in grown] == grown


def test_every_change_is_told_as_of_whole_documents(store, grown):
    told = store.changes("garments", "grey")
    with store.database.writing() as connection:
        for stored in grown:
            connection.execute(
                "update history set doc = ?, grows = 0 where key = 'grey' and revision = ?",
                (stored.text, stored.revision),
            )
    assert how_kept(store) == "=" * len(grown)
    assert store.changes("garments", "grey") == told
    assert [change.after["text"] for change in told if change.path[-1:] == ("n3",)] == ["51.3 cm"]
    assert told[-1].after == grown[0].doc  # what was made first did not grow with what came later


def test_a_reading_is_undone_and_taken_back_where_it_only_grew(store, grown):
    undone = store.undo("garments", "grey", grown[-1].revision)
    assert undone.doc == grown[-2].doc
    back = store.take_back("garments", "grey", 4, ("occasions", "first", "readings", "chest", "n2"))
    assert "n2" not in back.text
    assert "n3" in back.text


def test_a_reading_that_was_sent_again_is_known_though_it_was_put_right_since(store, grown):
    store.put_right(AT, "last", "55.5", "cm")
    revision = store.get("garments", "grey").revision
    assert store.add_reading(AT, {"id": "last", "text": "52.3 cm"}).revision == revision


def test_what_grew_from_a_document_that_nobody_can_read_is_not_read_either(store, grown):
    for spoilt in ("[]", '{"id": 5}', '{"occasions": {}}'):
        with store.database.writing() as connection:
            connection.execute("update history set doc = ? where key = 'grey' and revision = 2", (spoilt,))
        assert store.get("garments", "grey", 4).text == ""
    assert store.get("garments", "grey", 6) == grown[5]
    assert json.loads(store.last_readable("garments", "grey").text) == grown[-1].doc
