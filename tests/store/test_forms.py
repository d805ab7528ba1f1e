"""A form that is sent again changes the record that it made, and what it added is not added a second time."""

from __future__ import annotations

import threading

import pytest

from fitcheck.store import Store
from fitcheck.store.faults import StaleWrite


def typed(*texts):
    return [{"text": text, "unit": "cm"} for text in texts]


def garment(*texts, **more):
    return {"name": "brown", "occasions": [{"id": "may", "readings": {"chest": typed(*texts)}}], **more}


def again(store, form, document, kind="garments"):
    """Send a form again, as it reads what stood there before."""
    sent = store.sent(form, kind)
    return store.put(kind, sent.now.key, sent.again(document), sent.now.revision, form)


def readings(stored):
    return [
        (reading["text"], reading.get("set_aside", "")) for reading in stored.doc["occasions"][0]["readings"]["chest"]
    ]


@pytest.fixture
def made(store) -> Store:
    store.put("garments", "brown", garment("51.8", "52.0", fabric="plain"), 0, "form-1")
    return store


def test_a_form_that_nobody_sent_wrote_nothing(made):
    assert made.sent("form-2", "garments") is None
    assert made.sent("form-1", "makes") is None
    assert made.sent("form-1", "garments", "other") is None


def test_the_same_again_changes_nothing(made):
    assert again(made, "form-1", garment("51.8", "52.0", fabric="plain")).revision == 1


def test_what_is_another_is_changed_and_what_was_left_out_is_taken_out(made):
    stored = again(made, "form-1", garment("51.8", "52.0", notes="soft"))
    assert (stored.revision, stored.doc.get("fabric"), stored.doc["notes"]) == (2, None, "soft")


def test_a_reading_that_is_another_is_set_aside_and_the_new_one_added(made):
    assert readings(again(made, "form-1", garment("51.8", "52.4", fabric="plain"))) == [
        ("51.8", ""),
        ("52.0", "typed again: 52.4"),
        ("52.4", ""),
    ]
    # and a third time
    assert readings(again(made, "form-1", garment("51.8", "52.1", "52.2", fabric="plain")))[2:] == [
        ("52.4", "typed again: 52.1"),
        ("52.1", ""),
        ("52.2", ""),
    ]
    assert readings(again(made, "form-1", garment("51.8", fabric="plain")))[3:] == [
        ("52.1", "typed again: nothing"),
        ("52.2", "typed again: nothing"),
    ]


def test_what_others_did_meanwhile_stays(made):
    document = made.get("garments", "brown").doc
    document |= {"notes": "theirs", "thickness": "3 mm"}
    document["occasions"][0]["readings"]["chest"] += typed("52.3")
    document["occasions"].append({"id": "june", "readings": {"hem": typed("50")}})
    made.put("garments", "brown", document, 1)
    stored = again(made, "form-1", garment("51.8", "52.0", fabric="moss"))
    assert (stored.doc["notes"], stored.doc["thickness"], stored.doc["fabric"]) == ("theirs", "3 mm", "moss")
    assert [occasion["id"] for occasion in stored.doc["occasions"]] == ["may", "june"]
    assert readings(stored) == [("51.8", ""), ("52.0", ""), ("52.3", "")]


def test_another_day_is_the_same_measuring_and_another_piece_is_another(made):
    document = garment("51.8", "52.0", fabric="plain")
    document["occasions"][0] |= {"id": "june", "on": "2025-06-01"}
    (occasion,) = again(made, "form-1", document).doc["occasions"]
    assert (occasion["id"], occasion["on"]) == ("may", "2025-06-01")

    def make(piece):
        stage = {"kind": "blocked", "readings": {"chest": typed("52")}}
        return {"name": "grey", "pieces": [{"id": piece, "piece": piece, "stages": [stage]}]}

    made.put("makes", "grey", make("back"), 0, "form-2")
    back, front = again(made, "form-2", make("front"), "makes").record.pieces
    assert (back.id, front.id) == ("back", "front")
    assert [piece.stages[0].readings["chest"][0].counts for piece in (back, front)] == [False, True]


def test_a_part_that_is_left_out_is_gone_unless_something_was_read_in_it(made):
    chest = {"back": {"chest": {"measure": "52 cm"}}}
    sizes = [{"name": name, "pieces": chest} for name in "SML"]
    made.put("size_tables", "plain", {"name": "plain", "sizes": sizes}, 0, "form-2")
    stored = again(made, "form-2", {"name": "plain", "sizes": sizes[:1]}, "size_tables")
    assert [size.name for size in stored.record.sizes] == ["S"]
    assert readings(again(made, "form-1", {"name": "brown", "occasions": []})) == [
        ("51.8", "typed again"),
        ("52.0", "typed again"),
    ]


def test_a_form_that_adds_to_a_record_adds_once(made):
    before = made.get("garments", "brown").doc
    document = made.get("garments", "brown").doc
    document["occasions"][0]["readings"]["chest"] += typed("52.2")
    made.put("garments", "brown", document, 1, "form-2")
    assert made.sent("form-2", "garments").before == before
    same = made.sent("form-2", "garments").again({**before, **document})
    assert made.put("garments", "brown", same, 2, "form-2").revision == 2
    before["occasions"][0]["readings"]["chest"] += typed("52.6")
    assert readings(again(made, "form-2", before))[2:] == [("52.2", "typed again: 52.6"), ("52.6", "")]


def test_what_was_undone_is_done_again(made):
    before = made.get("garments", "brown").doc
    document = made.get("garments", "brown").doc
    document["occasions"][0]["readings"]["chest"] += typed("52.2")
    made.put("garments", "brown", document, 1, "form-2")
    made.undo("garments", "brown", 2)
    before["occasions"][0]["readings"]["chest"] += typed("52.2")
    assert readings(again(made, "form-2", before)) == [("51.8", ""), ("52.0", ""), ("52.2", "")]


def test_a_record_that_was_deleted_is_made_anew(made):
    made.delete("garments", "brown", 1)
    assert made.sent("form-1", "garments") is None
    made.put("garments", "brown-2", garment("51.8"), 0, "form-1")
    assert made.sent("form-1", "garments").now.key == "brown-2"


def test_a_form_makes_one_record_of_a_kind_though_it_came_twice_at_once(store):
    there, refused = threading.Barrier(8), []

    def send(number):
        there.wait()
        try:
            store.put("garments", f"brown-{number}", garment("52"), 0, "form-1")
        except StaleWrite:
            refused.append(number)

    threads = [threading.Thread(target=send, args=(number,)) for number in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert (store.count("garments"), len(refused)) == (1, 7)
    store.put("makes", "grey", {"name": "grey"}, 0, "form-1")  # of another kind it makes one too


def test_which_form_it_was_is_known_after_the_service_was_started_anew(tmp_path):
    with Store.open(tmp_path / "f.db") as store:
        store.put("garments", "brown", garment("52"), 0, "form-1")
    with Store.open(tmp_path / "f.db") as store:
        assert store.sent("form-1", "garments").now.key == "brown"
