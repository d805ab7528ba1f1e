"""Devices that were paired: what is kept of them, how long, and that no copy has them. All names are invented."""

from __future__ import annotations

import json
from datetime import date, timedelta

import pytest

from fitcheck.store import Store
from fitcheck.store.backups import restore
from fitcheck.store.devices import SESSION_DAYS, Device
from tests import old

DAY = date(2026, 11, 30)
PHONE, TABLET = "a1" * 32, "b2" * 32


@pytest.fixture
def paired(full):
    """A household with a phone that may measure and a tablet that may do everything."""
    full.add_device(PHONE, "Juna's phone", "measure", DAY)
    full.add_device(TABLET, "Tablet", "everything", DAY)
    return full


def test_a_device_is_known_by_its_session_with_its_name_its_right_and_its_days(paired):
    assert paired.device_of(PHONE, DAY) == Device("Juna's phone", "measure", DAY, DAY)
    assert paired.device_of("c3" * 32, DAY) is None
    later = DAY + timedelta(days=3)
    paired.see_device(PHONE, later)
    assert [(device.name, device.first_seen, device.last_seen) for device in paired.devices(later)] == [
        ("Juna's phone", DAY, later),
        ("Tablet", DAY, DAY),
    ]


def test_a_name_that_is_another_devices_gets_a_number(paired):
    names = [paired.add_device(str(number) * 64, " Tablet ", "measure", DAY).name for number in (3, 4)]
    assert names == ["Tablet 2", "Tablet 3"]
    assert paired.add_device("5" * 64, "  ", "measure", DAY).name == "Phone"


def test_a_device_that_does_not_come_by_for_ninety_days_is_none_any_more(paired):
    last, gone = DAY + timedelta(days=SESSION_DAYS - 1), DAY + timedelta(days=SESSION_DAYS)
    assert paired.device_of(PHONE, last) is not None
    paired.see_device(TABLET, last)
    assert paired.device_of(PHONE, gone) is None
    assert [device.name for device in paired.devices(gone)] == ["Tablet"]
    assert paired.sessions(gone) == {TABLET}


def test_a_removed_device_is_none_and_another_of_that_name_there_is_not(paired):
    assert paired.remove_device("Tablet") is True
    assert paired.remove_device("Tablet") is False
    assert paired.device_of(TABLET, DAY) is None
    assert paired.sessions(DAY) == {PHONE}


def test_the_address_at_which_devices_find_it_is_the_latest(store):
    assert store.last_home() is None
    for home in (("192.168.1.20", 8674), ("192.168.1.21", 8700)):
        store.keep_home(*home)
        assert store.last_home() == home


def test_no_answer_has_to_be_made_anew_for_a_device(full):
    def changes():
        with full.database.reading() as connection:
            return connection.execute("select changes from counter").fetchone()

    before = changes()
    full.add_device(PHONE, "phone", "measure", DAY)
    full.see_device(PHONE, DAY)
    full.remove_device("phone")
    full.keep_home("192.168.1.20", 8674)
    assert changes() == before


def test_no_export_and_no_backup_has_a_byte_of_them(paired, tmp_path):
    paired.keep_home("192.168.1.20", 8674)
    before = paired.path.read_bytes() + paired.path.with_name(paired.path.name + "-wal").read_bytes()
    copy = paired.back_up(tmp_path / "copy.db").read_bytes()
    for secret in (PHONE, TABLET, "Juna's phone", "192.168.1.20"):
        assert secret.encode() in before
        assert secret.encode() not in copy + paired.export_bundle()
    assert len(paired.devices(DAY)) == 2
    with Store.open(tmp_path / "copy.db") as copied:
        assert (copied.devices(DAY), copied.last_home()) == ((), None)
        assert copied.export_bundle() == paired.export_bundle()


def test_whoever_restores_pairs_anew(paired, tmp_path):
    backup = paired.back_up(tmp_path / "copy.db")
    restore(paired.path, backup)
    assert (paired.devices(DAY), paired.device_of(PHONE, DAY)) == ((), None)


def test_a_household_that_is_taken_in_leaves_them(paired):
    paired.import_bundle(paired.export_bundle(), "replace")
    assert len(paired.devices(DAY)) == 2
    assert "devices" not in json.loads(paired.export_bundle())


def test_a_database_from_before_devices_takes_one_and_is_undone_over_the_step(tmp_path):
    with Store.open(old.version_8(tmp_path / "old.db")) as store:
        before = store.export_bundle()
        stored = store.get("makes", "moss-sweater")
        assert (stored.revision, stored.doc["notes"]) == (2, "the eighth evening")
        store.add_device(PHONE, "phone", "measure", DAY)
        store.put("makes", "moss-sweater", {**stored.doc, "notes": "the ninth"}, 2)
        store.undo("makes", "moss-sweater", 3)
        assert store.export_bundle() == before
        assert len(store.devices(DAY)) == 1
        store.undo("garments", "brown-pullover", 3)
        texts = [
            reading.text for reading in store.get("garments", "brown-pullover").record.occasions[0].readings["chest"]
        ]
        assert texts[-1] == "51.5 cm"
