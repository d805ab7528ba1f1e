"""Every figure that changed is told from the revisions, and is taken back by itself."""

from __future__ import annotations

import pytest

from fitcheck.records.faults import RecordsError
from fitcheck.records.places import Place
from fitcheck.store import changes
from fitcheck.store.changes import Before
from fitcheck.store.faults import IdTaken, LaterChange, NotFound, StillNamed

GREY = {
    "name": "grey",
    "planned": {"front": {"chest": 122}},
    "pieces": [
        {
            "id": "back",
            "piece": "back",
            "dial": "7",
            "counts": {"chest": 120},
            "stages": [
                {"kind": "rested"},
                {"kind": "blocked", "grams": 166, "readings": {"chest": ["53.2 cm", "56.3 cm"]}},
            ],
        }
    ],
}
CHEST = Place("makes", "grey", ("pieces", "back", "stages", 1, "readings", "chest"))


@pytest.fixture
def grey(store):
    """A make with a back that was read twice."""
    store.put("makes", "grey", GREY, 0)
    return store


def changed(store, change):
    """Change the document of the make in place and write it."""
    stored = store.get("makes", "grey")
    document = stored.doc
    change(document)
    return store.put("makes", "grey", document, stored.revision)


def told(store):
    return [(change.revision, change.path, change.before, change.after) for change in store.changes("makes", "grey")]


def reading(store, number=1):
    return store.get("makes", "grey").doc["pieces"][0]["stages"][1]["readings"]["chest"][number]


def counted(document):
    document["pieces"][0]["counts"]["chest"]["counted"] = 118


def heavier(document):
    document["pieces"][0]["stages"][1]["grams"] = 170


def test_a_new_record_is_one_change_and_each_figure_after_it_one_of_its_own(grey):
    def both(document):
        counted(document)
        heavier(document)

    changed(grey, both)
    assert told(grey)[:2] == [
        (2, ("pieces", "back", "stages", 1, "grams"), 166.0, 170.0),
        (2, ("pieces", "back", "counts", "chest", "counted"), None, 118),
    ]
    (_, whole, before, after) = told(grey)[2]
    assert (whole, before, after["name"]) == ((), None, "grey")
    assert len(told(grey)) == 3


def test_a_reading_that_is_put_right_stays_the_same_reading_and_the_old_one_stands_in_the_history(grey):
    grey.confirm(CHEST, "r2")
    grey.put_right(CHEST, "r2", "53.6", "cm")
    assert reading(grey) == {"id": "r2", "text": "53.6", "unit": "cm"}
    (change, *_) = grey.changes("makes", "grey")
    assert (change.what, change.path) == ("reading_put_right", (*CHEST.path, "r2"))
    assert (change.before["text"], change.after["text"]) == ("56.3 cm", "53.6")


def test_a_figure_that_is_no_length_is_not_put_in_the_place_of_another(grey):
    with pytest.raises(RecordsError):
        grey.put_right(CHEST, "r2", "wide", "cm")
    assert reading(grey)["text"] == "56.3 cm"


def test_what_a_phone_sends_again_after_it_was_put_right_is_no_other_reading(grey):
    grey.add_reading(CHEST, {"id": "phone", "text": "20.6", "unit": "cm"})
    done = grey.put_right(CHEST, "phone", "52.3", "cm")
    assert grey.add_reading(CHEST, {"id": "phone", "text": "20.6", "unit": "cm"}).revision == done.revision
    with pytest.raises(IdTaken):
        grey.add_reading(CHEST, {"id": "phone", "text": "20.7", "unit": "cm"})


def test_an_older_change_is_taken_back_alone(grey):
    changed(grey, counted)
    changed(grey, heavier)
    grey.take_back("makes", "grey", 2, ("pieces", "back", "counts", "chest", "counted"))
    (piece,) = grey.get("makes", "grey").doc["pieces"]
    assert piece["counts"] == {"chest": {"knitted": 120}}
    assert piece["stages"][1]["grams"] == 170.0


def test_a_field_that_was_emptied_comes_back_and_takes_nothing_empty_with_it(grey):
    changed(grey, lambda document: document.pop("planned"))
    grey.take_back("makes", "grey", 2, ("planned", "front", "chest"))
    assert grey.get("makes", "grey").doc["planned"] == {"front": {"chest": 122}}
    grey.take_back("makes", "grey", 3, ("planned", "front", "chest"))
    assert "planned" not in grey.get("makes", "grey").doc


def test_a_change_that_a_later_one_rests_on_is_not_taken_back(grey):
    changed(grey, counted)
    changed(grey, lambda document: document["pieces"][0]["counts"]["chest"].update(counted=119))
    older = next(change for change in grey.changes("makes", "grey") if change.revision == 2)
    assert older.later is not None
    assert older.later.revision == 3
    with pytest.raises(LaterChange):
        grey.take_back("makes", "grey", 2, older.path)
    assert grey.get("makes", "grey").doc["pieces"][0]["counts"]["chest"]["counted"] == 119


def test_once_the_later_one_is_taken_back_so_is_the_older(grey):
    changed(grey, counted)
    changed(grey, lambda document: document["pieces"][0]["counts"]["chest"].update(counted=119))
    path = ("pieces", "back", "counts", "chest", "counted")
    grey.take_back("makes", "grey", 3, path)
    grey.take_back("makes", "grey", 2, path)
    assert grey.get("makes", "grey").doc["pieces"][0]["counts"]["chest"] == {"knitted": 120}


def test_a_piece_goes_only_without_what_was_written_in_it_since(grey):
    changed(grey, lambda document: document["pieces"].append({"id": "front", "piece": "front"}))
    changed(grey, lambda document: document["pieces"][1].update(lot="A"))
    with pytest.raises(LaterChange):
        grey.take_back("makes", "grey", 2, ("pieces", "front"))
    grey.take_back("makes", "grey", 3, ("pieces", "front", "lot"))
    grey.take_back("makes", "grey", 2, ("pieces", "front"))
    assert [piece["id"] for piece in grey.get("makes", "grey").doc["pieces"]] == ["back"]


def test_a_figure_is_found_where_a_stage_was_put_in_before_its_own(grey):
    changed(grey, heavier)
    changed(grey, lambda document: document["pieces"][0]["stages"].insert(0, {"kind": "off_machine"}))
    grey.take_back("makes", "grey", 2, ("pieces", "back", "stages", 1, "grams"))
    stages = grey.get("makes", "grey").doc["pieces"][0]["stages"]
    assert [(stage["kind"], stage.get("grams")) for stage in stages] == [
        ("off_machine", None),
        ("rested", None),
        ("blocked", 166.0),
    ]


def test_a_stage_that_was_taken_out_goes_in_again_where_it_stood(grey):
    changed(grey, lambda document: document["pieces"][0]["stages"].pop(0))
    grey.take_back("makes", "grey", 2, ("pieces", "back", "stages", 0))
    assert [stage["kind"] for stage in grey.get("makes", "grey").doc["pieces"][0]["stages"]] == ["rested", "blocked"]


def test_what_stood_in_a_piece_that_is_gone_is_not_put_back(grey):
    changed(grey, lambda document: document["pieces"].append({"id": "front", "piece": "front", "lot": "A"}))
    changed(grey, lambda document: document["pieces"][1].pop("lot"))
    changed(grey, lambda document: document["pieces"].pop())
    with pytest.raises(LaterChange):
        grey.take_back("makes", "grey", 3, ("pieces", "front", "lot"))


def test_a_reading_that_was_added_goes_and_its_list_with_it(grey):
    grey.add_reading(Place("makes", "grey", ("pieces", "back", "stages", 1, "readings", "hem")), {"text": "52 cm"})
    ((revision, path, before, _), *_) = told(grey)
    assert before is None
    grey.take_back("makes", "grey", revision, path)
    assert [*grey.get("makes", "grey").doc["pieces"][0]["stages"][1]["readings"]] == ["chest"]
    grey.take_back("makes", "grey", 3, path)
    assert reading_texts(grey, "hem") == ["52 cm"]


def reading_texts(store, point):
    return [entry["text"] for entry in store.get("makes", "grey").doc["pieces"][0]["stages"][1]["readings"][point]]


def test_a_record_that_another_names_stays(grey):
    grey.put("yarns", "grey_wool", {"name": "grey wool"}, 0)
    changed(grey, lambda document: document.update(yarn="grey_wool"))
    with pytest.raises(StillNamed):
        grey.take_back("yarns", "grey_wool", 1, ())
    grey.take_back("makes", "grey", 2, ("yarn",))
    assert grey.take_back("yarns", "grey_wool", 1, ()).deleted


def test_a_record_that_was_deleted_is_brought_back_as_it_was(grey):
    grey.delete("makes", "grey", 1)
    grey.take_back("makes", "grey", 2, ())
    assert grey.get("makes", "grey").doc == grey.get("makes", "grey", 1).doc


def test_garment_and_occasion_are_told_and_taken_back_together(grey):
    grey.put("garments", "brown", {"name": "brown", "occasions": [{"id": "first"}]}, 0)
    changed(grey, lambda document: document.update(fits={"garment": "brown", "occasion": "first"}))
    assert told(grey)[0][1] == ("fits",)
    grey.take_back("makes", "grey", 2, ("fits",))
    assert "fits" not in grey.get("makes", "grey").doc


@pytest.mark.parametrize(("revision", "path"), [(1, ("name",)), (7, ()), (2, ("pieces", "back", "lot"))])
def test_what_a_revision_did_not_change_is_not_taken_back(grey, revision, path):
    changed(grey, counted)
    with pytest.raises(NotFound):
        grey.take_back("makes", "grey", revision, path)


def test_a_stage_that_was_put_in_again_is_not_put_in_twice(grey):
    changed(grey, lambda document: document["pieces"][0]["stages"].pop(0))
    path = ("pieces", "back", "stages", 0)
    grey.take_back("makes", "grey", 2, path)
    with pytest.raises(LaterChange):
        grey.take_back("makes", "grey", 2, path)


def before(store, *path):
    return [figure.value for figure in Before(store.changes("makes", "grey")).at(path)]


def test_what_stood_at_a_place_before_is_told_the_latest_first(grey):
    for count in (121, 122):
        changed(grey, lambda make, count=count: make["pieces"][0]["counts"]["chest"].update(knitted=count))
    told = Before(grey.changes("makes", "grey")).at(("pieces", "back", "counts", "chest", "knitted"))
    assert [(figure.value, figure.now) for figure in told] == [(121, 122), (120, 121)]
    revisions = {revision.revision: revision.at for revision in grey.history("makes", "grey")}
    assert [figure.at for figure in told] == [revisions[2], revisions[1]]


def test_a_figure_is_followed_back_past_a_stage_that_came_before_its_own(grey):
    changed(grey, heavier)
    changed(grey, lambda make: make["pieces"][0]["stages"].insert(0, {"kind": "off_machine", "grams": 150}))
    assert before(grey, "pieces", "back", "stages", 2, "grams") == [166]
    assert before(grey, "pieces", "back", "stages", 0, "grams") == []


def test_what_stood_in_a_stage_that_was_taken_out_is_no_earlier_figure_of_the_one_that_moved_up(grey):
    changed(grey, lambda make: make["pieces"][0]["stages"][0].update(grams=180))
    changed(grey, lambda make: make["pieces"][0]["stages"].pop(0))
    assert before(grey, "pieces", "back", "stages", 0, "grams") == []


def test_a_figure_that_was_taken_out_with_all_around_it_is_told(grey):
    changed(grey, lambda make: make.pop("planned"))
    assert before(grey, "planned", "front", "chest") == [122]


def test_without_what_was_done_to_readings_alone_as_much_is_told_of_every_other_figure(grey):
    grey.add_reading(CHEST, {"id": "r3", "text": "53.4", "unit": "cm"})
    changed(grey, counted)
    grey.set_aside(CHEST, "r3", "slipped")
    changed(grey, lambda make: make["pieces"][0]["stages"].insert(0, {"kind": "off_machine", "grams": 150}))
    again = Place("makes", "grey", ("pieces", "back", "stages", 2, "readings", "chest"))
    grey.confirm(again, "r2")
    changed(grey, lambda make: make["pieces"][0]["stages"][2].update(grams=171))
    grey.put_right(again, "r2", "53.6", "cm")
    every, others = (grey.changes("makes", "grey", readings=readings) for readings in (True, False))
    assert {change.revision for change in others} == {1, 3, 5, 7}
    for path in (("counts", "chest", "counted"), ("counts", "chest", "knitted"), ("stages", 2, "grams")):
        told, short = (
            [(figure.value, figure.now, figure.at) for figure in Before(changes).at(("pieces", "back", *path))]
            for changes in (every, others)
        )
        assert told == short
    assert before(grey, "pieces", "back", "stages", 2, "grams") == [166]


def test_what_the_list_of_changes_takes_grows_with_them_and_not_with_their_square(store, monkeypatch):
    store.put("garments", "grey", {"name": "grey", "occasions": [{"id": "first"}]}, 0)
    looks, place = [], Place.of_readings("garments", "grey", "occasions/first/readings/chest")
    for name in ("_known_by", "_moved"):
        act = getattr(changes, name)
        monkeypatch.setattr(changes, name, lambda *given, act=act: looks.append(given) or act(*given))
    taken = []
    for count in (20, 40):
        while len(store.changes("garments", "grey")) <= count:
            store.add_reading(place, "51.6 cm")
        looks.clear()
        store.changes("garments", "grey")
        taken.append(len(looks))
    assert taken[1] < 2.5 * taken[0]


@pytest.mark.parametrize("at_once", [True, False], ids=["written at once", "one by one"])
def test_what_earlier_figures_take_grows_with_the_changes_and_not_with_their_square(store, monkeypatch, at_once):
    looks = []
    for where, name in ((changes, "_known_by"), (changes, "_moved_back"), (changes._Document, "at")):
        act = getattr(where, name)
        monkeypatch.setattr(where, name, lambda *given, act=act: looks.append(given) or act(*given))
    taken = []
    for count in (20, 40):
        key, lengths = f"grey-{count}", ["51.6 cm"] * count
        place = Place.of_readings("garments", key, "occasions/first/readings/chest")
        first = {"id": "first", "readings": {"chest": lengths} if at_once else {}}
        store.put("garments", key, {"name": "grey", "occasions": [first]}, 0)
        for length in () if at_once else lengths:
            store.add_reading(place, length)
        before = Before(store.changes("garments", key))
        looks.clear()
        for reading in store.get("garments", key).doc["occasions"][0]["readings"]["chest"]:
            assert before.at((*place.path, reading["id"])) == ()
        taken.append(len(looks))
    assert taken[1] < 2.5 * taken[0]
