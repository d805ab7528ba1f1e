"""The bundle: everything out in one file and in again, exactly; the same report from everywhere."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import demo_garments
from fitcheck.records.faults import RecordsError
from fitcheck.records.files import LARGEST_BYTES, open_household
from fitcheck.reports.shaped import report
from fitcheck.store import Store, bundle
from fitcheck.store.faults import BundleTooLarge, ImportConflicts
from fitcheck.words.data import json_text
from tests.records.sample import sample
from tests.store.conftest import garment

DEMO = (Path(demo_garments.__file__).parent / "household.json").read_bytes()
SAMPLE = json.dumps(sample()).encode()


def without_ids(household):
    data = json.loads(household.model_dump_json())

    def strip(inside):
        if isinstance(inside, dict):
            if "text" in inside and "unit" in inside:
                inside.pop("id", None)
            for value in inside.values():
                strip(value)
        elif isinstance(inside, list):
            for value in inside:
                strip(value)

    strip(data)
    return data


@pytest.mark.parametrize("raw", [SAMPLE, DEMO, b'{"fitcheck": 1, "unit": "in"}'], ids=["sample", "demo", "the least"])
def test_out_in_out_is_equal_byte_for_byte(tmp_path, raw):
    with Store.open(tmp_path / "one.db") as one, Store.open(tmp_path / "two.db") as two:
        one.import_bundle(raw)
        out = one.export_bundle()
        two.import_bundle(out)
        assert two.export_bundle() == out
        # No answer depends on a tap, so none of them is put together with the records.
        assert two.household() == one.household() == open_household(out).model_copy(update={"taps": []})


@pytest.mark.parametrize("raw", [SAMPLE, DEMO], ids=["sample", "demo"])
def test_the_bundle_says_what_the_file_said_and_gives_each_reading_an_id(store, raw):
    store.import_bundle(raw)
    out = open_household(store.export_bundle())
    assert without_ids(out) == without_ids(open_household(raw))
    assert out.tape == open_household(raw).tape
    readings = [
        one
        for garment in out.garments
        for occasion in garment.occasions
        for row in occasion.readings.values()
        for one in row
    ]
    assert readings
    assert all(one.id for one in readings)


def test_the_order_of_the_file_is_kept_also_when_it_replaces(store):
    data = {"fitcheck": 1, "unit": "cm", "yarns": [{"id": key, "name": key} for key in ("c", "a", "b")]}
    store.import_bundle(json.dumps(data).encode())
    assert [one.id for one in store.household().yarns] == ["c", "a", "b"]
    data["yarns"] = [{"id": key, "name": f"{key} again" if key == "c" else key} for key in ("b", "d", "c")]
    store.import_bundle(json.dumps(data).encode(), "replace")
    assert [one.id for one in store.household().yarns] == ["b", "d", "c"]
    assert [one["id"] for one in json.loads(store.export_bundle())["yarns"]] == ["b", "d", "c"]


@pytest.mark.parametrize(
    "every",
    [
        pytest.param(7, id="every seventh make"),
        pytest.param(3, id="every third make", marks=pytest.mark.full),
        pytest.param(1, id="all", marks=[pytest.mark.full, pytest.mark.long]),
    ],
)
def test_the_report_is_the_same_from_a_bundle_the_store_and_a_bundle_again(tmp_path, every):
    with Store.open(tmp_path / "one.db") as one, Store.open(tmp_path / "two.db") as two:
        one.import_bundle(DEMO)
        out = one.export_bundle()
        for number in range(30):
            one.put("garments", f"other{number}", garment(), 0)
            one.put("yarns", f"other{number}", {"name": "another"}, 0)
        two.import_bundle(out)
        first = open_household(DEMO)
        whole = open_household(out), one.household(), two.household()
        for make in [make.id for make in first.makes[::every]]:
            wanted = json_text(report(first, make=make))
            for other in (*whole, one.make_household(make)):
                assert json_text(report(other, make=make)) == wanted


def test_a_damaged_bundle_is_refused_with_every_fault_and_nothing_is_taken(full):
    before = full.export_bundle()
    wrong = sample()
    wrong["garments"][0]["occasions"][0]["readings"]["knee"] = "3 cm"
    wrong["makes"][0]["yarn"] = "no-such"
    for how in ("merge", "replace"):
        with pytest.raises(RecordsError) as caught:
            full.import_bundle(json.dumps(wrong, indent=1).encode(), how)
        assert len(caught.value.faults) == 2
        assert all(fault.line for fault in caught.value.faults)
        assert full.export_bundle() == before


def test_a_merge_of_what_is_here_changes_nothing(full):
    before = full.export_bundle()
    for raw in (SAMPLE, before):
        done = full.import_bundle(raw)
        assert (done.created, done.changed, done.deleted) == ((), (), ())
        assert len(done.unchanged) == 8
    assert full.export_bundle() == before
    assert len(full.history("garments", "brown-pullover")) == 1


def test_a_merge_adds_what_is_new_and_keeps_the_rest_and_the_settings(full):
    more = {"fitcheck": 1, "unit": "in", "name": "theirs", "garments": [{"id": "blue", **garment()}]}
    done = full.import_bundle(json.dumps(more).encode())
    assert done.created == (("garments", "blue"),)
    household = full.household()
    assert (household.unit, household.name) == ("cm", "an invented household")
    assert [one.id for one in household.garments] == ["brown-pullover", "blue"]


def test_a_merge_with_other_versions_is_refused_and_names_all_of_them(full):
    before = full.export_bundle()
    other = sample()
    other["garments"][0]["name"] = "another pullover"
    other["yarns"][0]["tex"] = 251
    other["yarns"].append({"id": "new", "name": "new"})
    with pytest.raises(ImportConflicts) as caught:
        full.import_bundle(json.dumps(other).encode())
    assert caught.value.records == (("garments", "brown-pullover"), ("yarns", "moss-wool"))
    assert full.export_bundle() == before


def test_an_update_takes_the_files_record_and_leaves_the_rest_as_it_is(full):
    other = sample()
    other["yarns"][0]["tex"] = 251
    other["yarns"].append({"id": "new", "name": "new"})
    del other["garments"], other["makes"], other["tape"]
    key, garments = other["yarns"][0]["id"], full.count("garments")
    done = full.import_bundle(json.dumps(other).encode(), "update")
    assert (done.created, done.changed, done.deleted) == ((("yarns", "new"),), (("yarns", key),), ())
    assert full.get("yarns", key).record.tex == 251
    assert (full.count("garments"), full.household().name) == (garments, "an invented household")
    full.undo("yarns", key, 2)
    assert full.get("yarns", key).record.tex != 251


def test_an_update_that_leaves_a_record_without_what_it_names_changes_nothing(full):
    before = full.export_bundle()
    other = {"fitcheck": 1, "unit": "cm", "garments": [{"id": "brown-pullover", **garment()}]}
    with pytest.raises(RecordsError):
        full.import_bundle(json.dumps(other).encode(), "update")
    assert full.export_bundle() == before


def test_replace_makes_the_store_equal_and_everything_can_be_brought_back(full):
    old = full.export_bundle()
    new = {"fitcheck": 1, "unit": "in", "name": "new", "garments": [{"id": "brown-pullover", **garment("another")}]}
    done = full.import_bundle(json.dumps(new).encode(), "replace")
    assert done.changed == (("garments", "brown-pullover"),)
    assert len(done.deleted) == 7
    assert json.loads(full.export_bundle())["name"] == "new"
    with Store.open(full.path.parent / "other.db") as other:
        other.import_bundle(full.export_bundle())
        assert other.export_bundle() == full.export_bundle()
    for kind, key in (("wearers", "ida"), ("yarns", "moss-wool"), ("machines", "bed")):
        full.bring_back(kind, key)
    full.undo("garments", "brown-pullover", 2)
    full.import_bundle(old, "replace")
    assert full.export_bundle() == old


def test_a_household_too_large_to_be_opened_again_is_not_written(store, monkeypatch):
    monkeypatch.setattr(bundle, "LARGEST_BYTES", 2000)
    store.put("garments", "grey", garment(notes="x" * 3000), 0)
    with pytest.raises(BundleTooLarge, match="backup"):
        store.export_bundle()
    assert LARGEST_BYTES > 2000


_TEXT = st.text(st.characters(exclude_categories=("Cs",)), max_size=40)
_LENGTH = st.tuples(st.integers(1, 99), st.integers(0, 9), st.sampled_from(["cm", "in", "mm", ""])).map(
    lambda one: f"{one[0]}.{one[1]} {one[2]}".strip()
)
_READING = st.one_of(
    _LENGTH,
    st.floats(0.5, 90).map(lambda one: round(one, 1)),
    st.fixed_dictionaries({"text": _LENGTH}, optional={"by": _TEXT, "laying": st.integers(1, 9), "set_aside": _TEXT}),
)
_READINGS = st.dictionaries(st.sampled_from(["chest", "hem", "body_length"]), st.lists(_READING, max_size=3))


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    unit=st.sampled_from(["mm", "cm", "m", "in"]),
    name=_TEXT,
    notes=_TEXT,
    garments=st.lists(st.tuples(_TEXT, _READINGS, st.floats(-10, 20)), max_size=3),
)
def test_any_household_goes_out_in_and_out_again_byte_for_byte(tmp_path_factory, unit, name, notes, garments):
    data = {
        "fitcheck": 1,
        "unit": unit,
        "name": name,
        "notes": notes,
        "garments": [
            {"id": f"g{n}", "name": said, "growth_along_percent": growth, "occasions": [{"id": "a", "readings": read}]}
            for n, (said, read, growth) in enumerate(garments)
        ],
    }
    folder = tmp_path_factory.mktemp("any")
    with Store.open(folder / "one.db") as one, Store.open(folder / "two.db") as two:
        one.import_bundle(json.dumps(data).encode())
        out = one.export_bundle()
        two.import_bundle(out)
        assert two.export_bundle() == out
        assert without_ids(one.household()) == without_ids(open_household(json.dumps(data).encode()))
