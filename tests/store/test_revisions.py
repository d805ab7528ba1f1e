"""Every change is a revision; undo, bring back and stale writes, against a plain model of it all."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fitcheck.records.faults import RecordsError
from fitcheck.records.garments import Garment
from fitcheck.store import Store
from fitcheck.store.faults import NotFound, StaleWrite, StillNamed
from tests.store.conftest import garment


def test_what_is_put_is_there_with_its_revision(store):
    written = store.put("garments", "grey", garment(), 0)
    assert (written.revision, written.deleted) == (1, False)
    assert store.get("garments", "grey") == written
    assert isinstance(written.record, Garment)
    assert written.record.occasions[0].readings["chest"][0].length.value_mm == pytest.approx(516)
    assert written.doc["id"] == "grey"


@pytest.mark.parametrize("reading", [51.5, "51.5", {"text": "51.5"}])
def test_a_bare_number_is_refused_and_what_it_may_mean_is_said(store, reading):
    bare = {"name": "x", "occasions": [{"id": "a", "readings": {"chest": [reading]}}]}
    with pytest.raises(RecordsError, match=r"51\.5 cm or 51\.5 in"):
        store.put("garments", "grey", bare, 0)
    assert store.count("garments") == 0


def test_the_same_document_again_makes_no_revision(store):
    first = store.put("garments", "grey", garment(), 0)
    assert store.put("garments", "grey", first.doc, 1) == first
    assert len(store.history("garments", "grey")) == 1


def test_a_stale_write_is_refused_with_both_versions_and_their_base(store):
    base = store.put("garments", "grey", garment(), 0)
    theirs = store.put("garments", "grey", {**base.doc, "notes": "theirs"}, 1)
    with pytest.raises(StaleWrite) as caught:
        store.put("garments", "grey", {**base.doc, "notes": "mine"}, 1)
    stale = caught.value
    assert (stale.mine["notes"], stale.theirs.doc["notes"]) == ("mine", "theirs")
    assert (stale.theirs, stale.base) == (theirs, base)
    assert store.get("garments", "grey") == theirs
    assert "revision 2" in str(stale)


@pytest.mark.parametrize("act", ["delete", "undo"])
def test_a_stale_deletion_or_undo_is_refused_too(store, act):
    base = store.put("garments", "grey", garment(), 0)
    theirs = store.put("garments", "grey", {**base.doc, "notes": "theirs"}, 1)
    with pytest.raises(StaleWrite):
        getattr(store, act)("garments", "grey", 1)
    assert store.get("garments", "grey") == theirs


def test_what_is_deleted_is_not_deleted_again(store):
    store.put("garments", "grey", garment(), 0)
    gone = store.delete("garments", "grey", 1)
    with pytest.raises(NotFound):
        store.delete("garments", "grey", gone.revision)
    assert len(store.history("garments", "grey")) == 2


def test_a_new_record_does_not_overwrite_one_that_is_there_or_was_deleted(store):
    store.put("garments", "grey", garment(), 0)
    with pytest.raises(StaleWrite):
        store.put("garments", "grey", garment("another"), 0)
    store.delete("garments", "grey", 1)
    with pytest.raises(StaleWrite) as caught:
        store.put("garments", "grey", garment("another"), 0)
    assert caught.value.theirs.deleted
    with pytest.raises(NotFound, match="Bring it back first"):
        store.put("garments", "grey", garment("another"), 2)


def test_undo_is_a_new_revision_equal_to_the_one_before_and_can_be_undone(store):
    one = store.put("garments", "grey", garment(), 0)
    two = store.put("garments", "grey", {**one.doc, "notes": "longer"}, 1)
    three = store.undo("garments", "grey", 2)
    assert (three.text, three.revision) == (one.text, 3)
    assert store.undo("garments", "grey", 3).text == two.text
    assert [entry.what for entry in store.history("garments", "grey")] == ["undone", "undone", "changed", "created"]


def test_undoing_the_first_revision_deletes_and_undoing_a_deletion_brings_back(store):
    one = store.put("garments", "grey", garment(), 0)
    assert store.undo("garments", "grey", 1).deleted
    with pytest.raises(NotFound):
        store.get("garments", "grey")
    assert store.undo("garments", "grey", 2).text == one.text
    store.delete("garments", "grey", 3)
    back = store.undo("garments", "grey", 4)
    assert (back.text, back.deleted) == (one.text, False)


def test_what_was_deleted_is_kept_and_brought_back(store):
    one = store.put("garments", "grey", garment(), 0)
    store.delete("garments", "grey", 1)
    assert store.list("garments").records == ()
    assert [entry.key for entry in store.list("garments", deleted=True).records] == ["grey"]
    assert store.household().garments == []
    back = store.bring_back("garments", "grey")
    assert (back.revision, back.text) == (3, one.text)
    assert store.household().garments == [one.record]


def test_any_earlier_revision_can_be_brought_back(store):
    one = store.put("garments", "grey", garment(), 0)
    for number in range(1, 5):
        store.put("garments", "grey", {**one.doc, "notes": f"note {number}"}, number)
    assert store.bring_back("garments", "grey", 3).doc["notes"] == "note 2"
    assert store.get("garments", "grey", 5).doc["notes"] == "note 4"
    with pytest.raises(NotFound, match="no revision 77"):
        store.bring_back("garments", "grey", 77)
    with pytest.raises(StaleWrite):
        store.bring_back("garments", "grey", 1, expected_revision=2)


def test_faults_of_a_document_are_told_all_at_once_with_their_place_in_it(store):
    wrong = {"name": "x", "colour": 3, "occasions": [{"id": "a", "readings": {"chest": ["fifty"], "knee": ["1 cm"]}}]}
    with pytest.raises(RecordsError) as caught:
        store.put("garments", "grey", wrong, 0)
    places = {fault.place for fault in caught.value.faults}
    assert places == {"colour", "occasions[0].readings.chest[0]", "occasions[0].readings.knee"}
    assert store.list("garments").records == ()


@pytest.mark.parametrize("document", [{"name": "\ud800"}, {"name": {1, 2}}, {"name": float("nan")}, {1: 2}])
def test_what_is_no_json_is_a_fault_and_no_crash(store, document):
    with pytest.raises(RecordsError):
        store.put("yarns", "x", document, 0)


def test_an_id_that_differs_from_the_key_is_refused(store):
    with pytest.raises(RecordsError, match="id: read"):
        store.put("garments", "grey", {**garment(), "id": "brown"}, 0)
    with pytest.raises(RecordsError, match="accepted key: not-a-key"):
        store.put("garments", "Not A Key", garment(), 0)
    with pytest.raises(NotFound, match="wearers, garments"):
        store.put("socks", "grey", garment(), 0)


# Records that name one another


def test_a_name_that_is_not_there_is_refused_and_says_what_there_is(full):
    grey = full.get("makes", "grey-sweater")
    with pytest.raises(RecordsError) as caught:
        full.put("makes", "grey-sweater", {**grey.doc, "yarn": "mos-wool"}, grey.revision)
    (fault,) = caught.value.faults
    assert fault.place == "yarn"
    assert "moss-wool" in fault.accepts.values["names"]


def test_a_record_that_others_name_is_not_deleted_and_the_names_are_told(full):
    with pytest.raises(StillNamed) as caught:
        full.delete("yarns", "moss-wool", 1)
    assert caught.value.names == (("makes", "moss-sweater"), ("swatches", "swatch-7"))
    assert "makes/moss-sweater" in str(caught.value)
    assert not full.get("yarns", "moss-wool").deleted


def test_a_change_that_breaks_a_record_that_names_this_one_is_refused(full):
    machine = full.get("machines", "bed")
    with pytest.raises(RecordsError) as caught:
        full.put("machines", "bed", {**machine.doc, "needles": 100}, 1)
    assert any(fault.place.startswith("makes/moss-sweater: pieces[0]") for fault in caught.value.faults)
    finished = full.get("makes", "grey-sweater").doc
    del finished["finished"]
    with pytest.raises(RecordsError, match="makes/moss-sweater: learns_from"):
        full.put("makes", "grey-sweater", finished, 1)


def test_bringing_back_what_names_something_deleted_is_refused_until_that_is_back(store):
    store.put("yarns", "wool", {"name": "wool"}, 0)
    store.put("makes", "grey", {"name": "grey", "yarn": "wool"}, 0)
    store.delete("makes", "grey", 1)
    store.delete("yarns", "wool", 1)
    with pytest.raises(RecordsError, match="yarn"):
        store.bring_back("makes", "grey")
    store.bring_back("yarns", "wool")
    assert store.bring_back("makes", "grey").revision == 3
    with pytest.raises(StillNamed):
        store.delete("yarns", "wool", 3)


def test_undo_of_a_creation_that_others_name_is_refused(store):
    store.put("yarns", "wool", {"name": "wool"}, 0)
    store.put("makes", "grey", {"name": "grey", "yarn": "wool"}, 0)
    with pytest.raises(StillNamed):
        store.undo("yarns", "wool", 1)


def test_the_settings_are_a_record_too_and_stay(store):
    assert store.get("household", "household").doc == {"unit": "cm"}
    store.put("household", "household", {"unit": "in", "name": "us"}, 1)
    assert store.undo("household", "household", 2).doc == {"unit": "cm"}
    with pytest.raises(RecordsError, match="change of the settings"):
        store.delete("household", "household", 3)
    with pytest.raises(RecordsError, match="sets"):
        store.put("household", "household", {"unit": "cm", "tape": {"sets": [{"of": "no", "dof": 1, "ratio": 1}]}}, 3)


def test_the_tape_set_of_a_deleted_garment_waits_until_it_is_back(store):
    store.put("garments", "grey", garment(), 0)
    tape = {"revision": 1, "sets": [{"of": "grey", "dof": 4, "ratio": 1.2}]}
    store.put("household", "household", {"unit": "cm", "tape": tape}, 1)
    store.delete("garments", "grey", 1)
    assert store.household().tape.sets == []
    store.export_bundle()
    store.bring_back("garments", "grey")
    assert store.household().tape.sets[0].of == "grey"


# Against a plain model

_KEYS = ("a", "b", "c")
_STEP = st.tuples(
    st.sampled_from(("put", "put", "undo", "delete", "bring_back", "revision")),
    st.sampled_from(_KEYS),
    st.integers(0, 3),
    st.booleans(),
)


class Plain:
    """One record as a list of (document, deleted): what the store must do, without a store."""

    def __init__(self):
        self.revisions = []

    def act(self, act, number, fresh):
        """Return the state that the act leads to; None when it must be refused."""
        now = self.revisions[-1] if self.revisions else None
        if not fresh and act in ("put", "undo", "delete"):
            return None
        if act == "put":
            if now is not None and now[1]:
                return None
            return (f"note {number}", False)
        if now is None:
            return None
        if act == "delete":
            return None if now[1] else (now[0], True)
        if act == "undo":
            return self.revisions[-2] if len(self.revisions) > 1 else (now[0], True)
        if act == "bring_back":
            return (now[0], False)
        if number >= len(self.revisions):
            return None
        return (self.revisions[number][0], False)


@settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(_STEP, max_size=25))
def test_any_sequence_of_changes_does_what_a_plain_model_does(steps):
    models = {key: Plain() for key in _KEYS}
    with tempfile.TemporaryDirectory() as folder, Store.open(Path(folder) / "f.db") as store:
        for act, key, number, fresh in steps:
            model = models[key]
            expected = len(model.revisions) if fresh else len(model.revisions) + 1
            wanted = model.act(act, number, fresh)
            try:
                if act == "put":
                    done = store.put("yarns", key, {"name": key, "notes": f"note {number}"}, expected)
                elif act == "bring_back":
                    done = store.bring_back("yarns", key)
                elif act == "revision":
                    done = store.bring_back("yarns", key, number + 1)
                else:
                    done = getattr(store, act)("yarns", key, expected)
            except (StaleWrite, NotFound):
                assert wanted is None
                continue
            assert wanted is not None
            # Writing what is there already and bringing back what is not deleted make no revision.
            idle = act in ("put", "bring_back") and model.revisions and model.revisions[-1] == wanted
            if not idle:
                model.revisions.append(wanted)
            assert done.revision == len(model.revisions)
        for key, model in models.items():
            for number, (notes, deleted) in enumerate(model.revisions, start=1):
                stored = store.get("yarns", key, number)
                assert stored.deleted == deleted
                assert deleted or stored.doc["notes"] == notes
        living = {
            key: model.revisions[-1][0]
            for key, model in models.items()
            if model.revisions and not model.revisions[-1][1]
        }
        assert {one.id: one.notes for one in store.household().yarns} == living
        assert [one.key for one in store.list("yarns").records] == sorted(living)
