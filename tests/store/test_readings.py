"""Readings are only ever added: each once, never overwritten, and two who add at once never collide."""

from __future__ import annotations

import threading

import pytest

from fitcheck.records.faults import RecordsError
from fitcheck.records.places import Place
from fitcheck.store.faults import IdTaken, NotFound
from tests.store.conftest import garment

AT = Place.of_readings("makes", "moss-sweater", "pieces/second-back/stages/0/readings/chest")
NEW = {"id": "r-9f2c", "text": "51,8 cm", "by": "Ida", "laying": 2, "at": "2025-03-05T19:10:00+01:00"}


def chest(store):
    return store.get("makes", "moss-sweater").record.pieces[1].stages[0].readings["chest"]


def test_a_reading_is_added_to_its_place(full):
    before = [one.text for one in chest(full)]
    done = full.add_reading(AT, NEW)
    assert done.revision == 2
    assert [one.text for one in chest(full)] == [*before, "51,8 cm"]
    assert chest(full)[-1].id == "r-9f2c"
    assert full.history("makes", "moss-sweater")[0].what == "reading_added"


@pytest.mark.parametrize(
    "again",
    [NEW, {**NEW, "unit": "cm"}, {**NEW, "look": 1, "tape": ""}],
    ids=["the same", "with its unit", "with defaults written out"],
)
def test_the_same_reading_twice_is_one_reading_and_no_revision(full, again):
    first = full.add_reading(AT, NEW)
    assert full.add_reading(AT, again) == first
    assert [one.id for one in chest(full)].count("r-9f2c") == 1


def test_the_same_reading_again_is_one_also_after_it_was_set_aside_or_confirmed(full):
    full.add_reading(AT, NEW)
    full.confirm(AT, "r-9f2c")
    full.set_aside(AT, "r-9f2c", "the tape had slipped")
    assert full.add_reading(AT, NEW).revision == 4
    assert chest(full)[-1].set_aside == "the tape had slipped"


@pytest.mark.parametrize(
    ("where", "reading"),
    [
        (AT, {**NEW, "text": "52 cm"}),
        (AT, {**NEW, "laying": 1}),
        (Place.of_readings("makes", "moss-sweater", "pieces/second-back/stages/0/readings/body_length"), NEW),
    ],
)
def test_another_reading_with_an_id_that_is_taken_is_refused(full, where, reading):
    first = full.add_reading(AT, NEW)
    with pytest.raises(IdTaken, match="r-9f2c") as caught:
        full.add_reading(where, reading)
    assert caught.value.there["text"] == "51,8 cm"
    assert full.get("makes", "moss-sweater") == first


@pytest.mark.parametrize(
    ("where", "reading"),
    [
        (Place.of_readings("makes", "moss-sweater", "pieces/second-back/stages/0/readings/hem"), "51 cm"),
        (Place.of_readings("makes", "moss-sweater", "pieces/second-back/stages/0/overhangs/chest"), "-0,8 cm"),
        (Place.of_readings("garments", "brown-pullover", "occasions/january/readings/hem"), "50 cm"),
        (Place.of_readings("swatches", "swatch-7", "stages/1/across"), "17.5 cm"),
        (Place.of_readings("swatches", "swatch-7", "stages/1/along"), {"text": "18.6", "unit": "cm", "id": "mine"}),
        (Place.of_readings("wearers", "ida", "body/waist"), "80 cm"),
        (Place.of_readings("wearers", "ida", "head"), "56 cm"),
    ],
)
def test_every_kind_of_place_takes_readings_and_they_get_an_id(full, where, reading):
    full.add_reading(where, reading)
    doc = full.get(where.kind, where.key).text
    wanted = reading["id"] if isinstance(reading, dict) else "r"
    assert f'"id":"{wanted}' in doc
    assert full.history(where.kind, where.key)[0].what == "reading_added"


@pytest.mark.parametrize(
    ("where", "said"),
    [
        (
            Place.of_readings("makes", "moss-sweater", "pieces/third/stages/0/readings/chest"),
            "no 'third' in its pieces",
        ),
        (Place.of_readings("makes", "moss-sweater", "pieces/second-back/stages/4/readings/chest"), "no stage 4"),
        (Place.of_readings("makes", "moss-sweater", "pieces/second-back/notes"), "A place of readings there"),
        (
            Place.of_readings("makes", "moss-sweater", "pieces/second-back/stages/-1/readings/chest"),
            "A place of readings",
        ),
        (Place.of_readings("makes", "moss-sweater", ""), "A place of readings"),
        (Place.of_readings("makes", "nothing", "pieces/a/stages/0/readings/chest"), "There is no 'nothing'"),
        (Place.of_readings("yarns", "moss-wool", "readings/chest"), "No readings stand"),
        (Place.of_readings("garments", "brown-pullover", "occasions/june/readings/hem"), "no 'june'"),
    ],
)
def test_a_place_that_is_not_there_is_named(full, where, said):
    with pytest.raises(NotFound, match=said):
        full.add_reading(where, "51 cm")


@pytest.mark.parametrize(
    ("where", "reading", "place"),
    [
        (AT, {"id": "x", "text": "fifty"}, "pieces[1].stages[0].readings.chest[3]"),
        (AT, {"id": "Big Id", "text": "51 cm"}, "pieces[1].stages[0].readings.chest[3].id"),
        (AT, {"id": "x", "text": "51 cm", "colour": 1}, "pieces[1].stages[0].readings.chest[3].colour"),
        (AT, "-51 cm", "pieces[1].stages[0].readings.chest[3]"),
        (
            Place.of_readings("makes", "moss-sweater", "pieces/second-back/stages/0/readings/cuff"),
            "9 cm",
            "pieces[1].stages[0].readings.cuff",
        ),
        (
            Place.of_readings("makes", "moss-sweater", "pieces/second-back/stages/0/readings/knee"),
            "9 cm",
            "pieces[1].stages[0].readings.knee",
        ),
    ],
)
def test_a_reading_that_is_refused_says_where_and_changes_nothing(full, where, reading, place):
    before = full.get("makes", "moss-sweater")
    with pytest.raises(RecordsError) as caught:
        full.add_reading(where, reading)
    assert [fault.place for fault in caught.value.faults] == [place]
    assert full.get("makes", "moss-sweater") == before


def test_setting_aside_keeps_the_reading_with_its_reason(full):
    full.set_aside(AT, "r1", "  the tape had slipped ")
    reading = chest(full)[0]
    assert (reading.text, reading.set_aside, reading.counts) == ("51.7 cm", "the tape had slipped", False)
    assert full.set_aside(AT, "r1", "the tape had slipped").revision == 2
    with pytest.raises(RecordsError, match="reason"):
        full.set_aside(AT, "r1", " ")
    with pytest.raises(NotFound, match="no reading 'nope'"):
        full.set_aside(AT, "nope", "why")


# A plain put may not drop or alter readings


def changed(doc, act):
    readings = doc["pieces"][1]["stages"][0]["readings"]["chest"]
    act(readings)
    return doc


ALTER = {
    "dropped": lambda readings: readings.pop(0),
    "other text": lambda readings: readings[0].update(text="51.8 cm"),
    "other laying": lambda readings: readings[0].update(laying=3),
    "other id": lambda readings: readings[0].update(id="renamed"),
    "counts again": lambda readings: readings[2].pop("set_aside"),
    "not confirmed": lambda readings: readings[1].pop("confirmed"),
}


@pytest.mark.parametrize("act", ALTER.values(), ids=ALTER)
def test_a_document_that_drops_or_alters_a_reading_is_refused(full, act):
    before = full.get("makes", "moss-sweater")
    with pytest.raises(RecordsError) as caught:
        full.put("makes", "moss-sweater", changed(before.doc, act), 1)
    assert caught.value.faults[0].place.startswith("pieces/second-back/stages/0/readings/chest/r")
    assert full.get("makes", "moss-sweater") == before


def test_a_document_that_leaves_out_the_id_of_a_reading_is_refused(full):
    doc = full.add_reading(AT, NEW).doc
    del doc["pieces"][1]["stages"][0]["readings"]["chest"][3]["id"]
    with pytest.raises(RecordsError, match="r-9f2c"):
        full.put("makes", "moss-sweater", doc, 2)


def test_a_document_that_drops_a_whole_piece_with_readings_is_refused(full):
    doc = full.get("makes", "moss-sweater").doc
    del doc["pieces"][1]
    with pytest.raises(RecordsError):
        full.put("makes", "moss-sweater", doc, 1)


def test_moving_a_reading_to_another_point_is_refused(full):
    doc = full.get("makes", "moss-sweater").doc
    readings = doc["pieces"][1]["stages"][0]["readings"]
    readings["body_length"] = [readings["chest"].pop(0)]
    with pytest.raises(RecordsError):
        full.put("makes", "moss-sweater", doc, 1)


ALLOWED = {
    "set aside": lambda readings: readings[0].update(set_aside="slipped"),
    "confirmed": lambda readings: readings[0].update(confirmed=True),
    "added": lambda readings: readings.append({"text": "51 cm"}),
    "another order": lambda readings: readings.reverse(),
}


@pytest.mark.parametrize("act", ALLOWED.values(), ids=ALLOWED)
def test_a_document_may_add_set_aside_and_confirm(full, act):
    doc = changed(full.get("makes", "moss-sweater").doc, act)
    assert full.put("makes", "moss-sweater", doc, 1).revision == 2
    assert all(one.id for one in chest(full))


def test_a_stage_put_in_before_another_keeps_its_readings(full):
    doc = full.get("makes", "moss-sweater").doc
    doc["pieces"][1]["stages"].insert(0, {"kind": "off_machine", "hours": 1})
    full.put("makes", "moss-sweater", doc, 1)
    assert len(full.get("makes", "moss-sweater").record.pieces[1].stages[1].readings["chest"]) == 3


def test_an_id_twice_in_one_record_is_refused(store):
    twice = {"name": "Ida", "body": {"chest": [{"text": "94 cm", "id": "a"}], "waist": [{"text": "80 cm", "id": "a"}]}}
    with pytest.raises(RecordsError, match="id of one reading"):
        store.put("wearers", "ida", twice, 0)


def test_readings_without_an_id_get_the_same_ids_every_time(store):
    one = store.put("garments", "one", garment(), 0)
    two = store.put("garments", "two", garment(), 0)
    ids = [stored.record.occasions[0].readings["chest"][0].id for stored in (one, two)]
    assert ids == ["r1", "r1"]


def test_two_threads_that_add_at_the_same_time_lose_nothing(full):
    refused = []

    def add(who):
        for number in range(40):
            try:
                full.add_reading(AT, {"id": f"{who}-{number}", "text": "51.5 cm", "by": who})
            except Exception as error:
                refused.append(error)

    threads = [threading.Thread(target=add, args=(who,)) for who in ("left", "right")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert refused == []
    ids = [one.id for one in chest(full)]
    assert len(ids) == len(set(ids)) == 83
    assert [one for one in ids if one.startswith("left")] == [f"left-{number}" for number in range(40)]
    assert full.get("makes", "moss-sweater").revision == 81
    assert len(full.history("makes", "moss-sweater")) == 81


def test_two_processes_connections_that_add_at_the_same_time_lose_nothing(full):
    """Two stores on one file queue in SQLite, not on a lock of the process."""
    from fitcheck.store import Store

    with Store.open(full.path) as other:
        refused = []

        def add(store, who):
            for number in range(25):
                try:
                    store.add_reading(AT, {"id": f"{who}-{number}", "text": "51.5 cm"})
                except Exception as error:
                    refused.append(error)

        threads = [threading.Thread(target=add, args=pair) for pair in ((full, "left"), (other, "right"))]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert refused == []
        assert len(chest(full)) == 53
        assert full.household() == other.household()
