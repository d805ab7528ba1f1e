"""Files and databases of every earlier number are opened, shown and exported; nothing that was typed is lost."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing

import pytest

from fitcheck.records.faults import RecordsError
from fitcheck.records.files import open_household
from fitcheck.records.formats import make_of_2
from fitcheck.records.households import FORMAT
from fitcheck.records.places import Place
from fitcheck.reports.shaped import report
from fitcheck.store import Store, steps
from fitcheck.store.faults import DatabaseNewer
from fitcheck.words.data import json_text
from tests import old
from tests.jpegs import jpeg
from tests.store import version_1

OLD_COSTS = {"measure": 0.05, "other_counts": 0.08, "alter_hem": 0.2, "rip_back": 0.5, "knit_again": 0.9}
NEW_COSTS = {
    "measure": 0.05,
    "alter_hem": 0.2,
    "rip_extra": 0.167,
    "printed_counts": 0.08,
    "before": {"rip_back": 0.5, "knit_again": 0.9, "other_counts": 0.08},
}


def only_make(costs: object, number: int = 1) -> bytes:
    make = {"id": "grey", "name": "grey", "costs": costs}
    return json.dumps({"fitcheck": number, "unit": "cm", "makes": [make]}, indent=1).encode()


def costs_of(raw: bytes) -> dict[str, object]:
    (make,) = open_household(raw).makes
    data: dict[str, object] = json.loads(make.costs.model_dump_json(exclude_defaults=True))
    return data


def test_what_somebody_had_set_is_taken_over_beyond_the_share_of_a_back():
    assert costs_of(only_make(OLD_COSTS)) == NEW_COSTS
    # 1.2 works of the piece for knitting it again are its own work, 1, and 0.2 beyond it.
    assert costs_of(only_make({"knit_again": 1.2})) == {"knit_extra": 0.2, "before": {"knit_again": 1.2}}


def test_what_is_less_than_the_share_alone_is_dropped_and_remembered():
    assert costs_of(only_make({"rip_back": 0.3})) == {"before": {"rip_back": 0.3}}


def test_what_stood_at_the_usual_value_was_never_set():
    assert costs_of(only_make({"rip_back": 0.4, "knit_again": 1.05, "other_counts": 0.05, "measure": 0.1})) == {
        "measure": 0.1
    }


@pytest.mark.parametrize("costs", [None, {}, {"measure": 0.1}, 7])
def test_a_make_without_any_of_them_is_left_as_it_is(costs):
    make = {"id": "grey", "costs": costs}
    assert make_of_2(make) is make


def test_a_fault_in_an_old_file_stands_where_the_file_has_it():
    with pytest.raises(RecordsError) as caught:
        open_household(only_make({"measure": 0.1, "rip_back": "much"}))
    (fault,) = caught.value.faults
    assert (fault.place, fault.read, fault.line) == ("makes[0].costs.rip_back", '"much"', 10)


def test_the_newest_format_does_not_have_the_old_names():
    with pytest.raises(RecordsError) as caught:
        open_household(only_make({"rip_back": 0.5}, FORMAT))
    assert [fault.place for fault in caught.value.faults] == ["makes[0].costs.rip_back"]


def test_an_old_file_is_opened_answered_and_exported(store):
    raw = old.FORMAT_1.read_bytes()
    assert json.loads(raw)["fitcheck"] == 1
    store.import_bundle(raw)
    out = store.export_bundle()
    assert json.loads(out)["fitcheck"] == FORMAT
    assert open_household(out) == open_household(raw)
    (moss,) = [make for make in json.loads(out)["makes"] if make["id"] == "moss-sweater"]
    assert moss["costs"] == NEW_COSTS
    for make in ("moss-sweater", "grey-sweater"):
        answers = {json_text(report(open_household(source), make=make)) for source in (raw, out)}
        assert len(answers) == 1


def test_an_old_database_is_what_the_old_file_of_it_is(tmp_path):
    with Store.open(old.version_2(tmp_path / "old.db")) as store, Store.open(tmp_path / "new.db") as new:
        new.import_bundle(old.FORMAT_1.read_bytes())
        assert store.export_bundle() == new.export_bundle()


def test_a_change_is_undone_back_over_the_step(tmp_path):
    with Store.open(old.version_2(tmp_path / "old.db")) as store:
        stored = store.get("makes", "moss-sweater")
        assert (stored.revision, stored.doc["costs"], stored.doc["notes"]) == (3, NEW_COSTS, "the second evening")
        stored = store.undo("makes", "moss-sweater", 3)
        assert (stored.revision, stored.doc["costs"]) == (4, NEW_COSTS)
        assert stored.doc.get("notes") != "the second evening"
        stored = store.bring_back("makes", "moss-sweater", 1)
        assert stored.doc["costs"] == {"knit_extra": 0.2, "before": {"knit_again": 1.2}}
        # Written again as it stands it makes no revision: the step writes as the store does.
        assert store.put("makes", "moss-sweater", stored.doc, 5).revision == 5


def test_a_form_is_kept_with_what_it_writes_and_a_change_is_undone_back_over_the_step(tmp_path):
    with Store.open(old.version_3(tmp_path / "old.db")) as store, Store.open(tmp_path / "new.db") as new:
        new.import_bundle(old.FORMAT_1.read_bytes())
        stored = store.get("makes", "moss-sweater")
        assert (stored.revision, stored.doc["notes"]) == (2, "the third evening")
        store.put("makes", "moss-sweater", {**stored.doc, "notes": "the fourth"}, 2, "form-1")
        assert store.sent("form-1", "makes").before == stored.doc
        store.undo("makes", "moss-sweater", 3)
        store.undo("makes", "moss-sweater", 4)
        store.bring_back("makes", "moss-sweater", 1)
        assert store.export_bundle() == new.export_bundle()


def test_files_and_databases_from_before_deeds_were_ticked_are_read_and_undone(tmp_path):
    assert json.loads(old.FORMAT_2.read_bytes())["fitcheck"] == 2
    with Store.open(old.version_4(tmp_path / "old.db")) as store, Store.open(tmp_path / "new.db") as new:
        new.import_bundle(old.FORMAT_2.read_bytes())
        assert store.export_bundle() == new.export_bundle()
        assert json.loads(store.export_bundle())["fitcheck"] == FORMAT
        stored = store.get("makes", "moss-sweater")
        assert (stored.revision, stored.doc["notes"]) == (2, "the fourth evening")
        done = [{"piece": stored.doc["pieces"][0]["id"], "plan": "0123456789abcdef", "deeds": [1, 3]}]
        store.put("makes", "moss-sweater", {**stored.doc, "done": done}, 2)
        (moss,) = [make for make in json.loads(store.export_bundle())["makes"] if make["id"] == "moss-sweater"]
        assert moss["done"] == done
        store.undo("makes", "moss-sweater", 3)
        assert "done" not in store.get("makes", "moss-sweater").doc
        store.undo("makes", "moss-sweater", 4)
        assert store.bring_back("makes", "moss-sweater", 1).doc.get("notes") != "the fourth evening"


def test_a_database_from_before_photographs_takes_one_and_is_undone_over_the_step(tmp_path):
    with Store.open(old.version_5(tmp_path / "old.db")) as store:
        before = store.export_bundle()
        stored = store.get("makes", "moss-sweater")
        assert (stored.revision, stored.doc["notes"]) == (2, "the fifth evening")
        assert stored.doc["done"][0]["deeds"] == [1, 3]
        digest = store.keep_photograph(jpeg())
        document = stored.doc
        document["pieces"][0]["stages"][0]["photographs"] = [digest]
        store.put("makes", "moss-sweater", document, 2)
        assert json.loads(store.export_bundle())["photographs_left_out"] == 1
        store.undo("makes", "moss-sweater", 3)
        assert store.export_bundle() == before
        assert store.sent("form-of-the-fifth-evening", "makes").wrote == stored.doc


def test_a_piece_from_before_the_rows_of_its_band_were_asked_gets_them_and_is_undone_back(tmp_path):
    with Store.open(old.version_4(tmp_path / "old.db")) as store:
        stored = store.get("makes", "moss-sweater")
        document = stored.doc
        document["pieces"][0]["rib"] = {"rows": 22}
        store.put("makes", "moss-sweater", document, stored.revision)
        (moss,) = [make for make in json.loads(store.export_bundle())["makes"] if make["id"] == "moss-sweater"]
        assert moss["pieces"][0]["rib"] == {"rows": 22}
        key = document["pieces"][0]["id"]
        store.take_back("makes", "moss-sweater", 3, ("pieces", key, "rib", "rows"))
        assert store.get("makes", "moss-sweater").doc == stored.doc


def test_rows_of_a_band_are_those_of_its_rib_now_and_at_every_revision(tmp_path):
    with Store.open(old.version_6(tmp_path / "old.db")) as store, Store.open(tmp_path / "new.db") as new:
        assert json.loads(old.FORMAT_3.read_bytes())["fitcheck"] == 3
        new.import_bundle(old.FORMAT_3.read_bytes())
        assert store.export_bundle() == new.export_bundle()
        stored = store.get("makes", "moss-sweater")
        assert (stored.revision, stored.doc["notes"]) == (3, "the sixth evening")
        assert stored.doc["pieces"][0]["rib"] == {"rows": 22}
        document = stored.doc
        document["pieces"][0]["shaping"] = {"armhole": "5 at once, then 2 every row, 6 every 2nd"}
        document["choices"] = {"inset": 2, "shoulder_groups": 5}
        store.put("makes", "moss-sweater", document, 3)
        (moss,) = [make for make in json.loads(store.export_bundle())["makes"] if make["id"] == "moss-sweater"]
        steps = [{"times": 2, "every": 1}, {"times": 6, "every": 2}]
        assert moss["pieces"][0]["shaping"] == {"armhole": {"at_once": 5, "steps": steps}}
        assert moss["choices"] == document["choices"]
        assert store.undo("makes", "moss-sweater", 4).doc == stored.doc
        assert store.bring_back("makes", "moss-sweater", 2).doc["notes"] == "the fourth evening"
        assert "rib" not in store.bring_back("makes", "moss-sweater", 1).doc["pieces"][0]
        assert store.sent("form-of-the-sixth-evening", "makes").wrote["pieces"][0]["rib"] == {"rows": 22}


def test_readings_that_were_added_one_by_one_are_there_at_every_revision_and_more_come(tmp_path):
    at = Place.of_readings("garments", "brown-pullover", "occasions/january/readings/chest")

    def texts(stored):
        return [reading.text for reading in stored.record.occasions[0].readings["chest"]]

    with Store.open(old.version_7(tmp_path / "old.db")) as store:
        stored = store.get("garments", "brown-pullover")
        assert (stored.revision, texts(stored)[-4:]) == (6, ["51.0 cm", "51.9", "51.2 cm", "51.3 cm"])
        added = store.add_reading(at, {"id": "eight", "text": "51.4 cm"})
        assert texts(added) == [*texts(stored), "51.4 cm"]
        assert texts(store.get("garments", "brown-pullover", 4))[-3:] == ["51.0 cm", "51.1 cm", "51.2 cm"]
        assert store.undo("garments", "brown-pullover", 7).doc == stored.doc
        assert texts(store.bring_back("garments", "brown-pullover", 2))[-1] == "51.0 cm"


def test_a_fault_in_the_rows_of_a_band_stands_where_the_old_file_has_it():
    make = {"id": "grey", "name": "grey", "pieces": [{"id": "back", "piece": "back", "band_rows": "many"}]}
    with pytest.raises(RecordsError) as caught:
        open_household(json.dumps({"fitcheck": 3, "unit": "cm", "makes": [make]}, indent=1).encode())
    (fault,) = caught.value.faults
    assert (fault.place, fault.read) == ("makes[0].pieces[0].band_rows", '"many"')


def test_the_step_writes_a_document_as_the_store_does(tmp_path):
    with Store.open(old.version_2(tmp_path / "old.db")) as store:
        stored = store.get("makes", "moss-sweater")
        assert stored.text == stored.record.model_dump_json(exclude_defaults=True)


@pytest.mark.parametrize(
    "build",
    [
        version_1.build,
        old.version_2,
        old.version_3,
        old.version_4,
        old.version_5,
        old.version_6,
        old.version_7,
        old.version_8,
    ],
)
def test_an_older_program_refuses_the_newer_file_by_name_and_leaves_it(tmp_path, monkeypatch, build):
    path = build(tmp_path / "f.db")
    Store.open(path).close()
    before = path.read_bytes()
    monkeypatch.setattr("fitcheck.store.examining.NEWEST", steps.NEWEST - 1)
    with pytest.raises(DatabaseNewer, match=f"version {steps.NEWEST}"):
        Store.open(path)
    assert path.read_bytes() == before
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("pragma user_version").fetchone() == (steps.NEWEST,)
