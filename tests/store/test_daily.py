"""One backup by itself each day that something changed: N stay, all are told, and what a kill left half done goes."""

from __future__ import annotations

import os
import shutil
import time
from datetime import UTC, date, datetime, timedelta

import pytest

from fitcheck.cli import main
from fitcheck.store import Store, daily
from fitcheck.store.backup_files import DAILY, backups_of, new_name
from fitcheck.store.daily import DAILY_KEPT, LEFT_SECONDS
from fitcheck.words.backups import backup_line
from tests.store.conftest import garment

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)


class Clock(datetime):
    """Stands where the time of day is asked for."""

    at = NOON

    @classmethod
    def now(cls, tz=None):
        return cls.at


@pytest.fixture
def days(monkeypatch):
    """Lets a number of days pass."""
    monkeypatch.setattr(Clock, "at", NOON)
    for module in ("daily", "backup_files"):
        monkeypatch.setattr(f"fitcheck.store.{module}.datetime", Clock)

    def passed(number):
        Clock.at += timedelta(days=number)

    return passed


def of_itself(store):
    return [backup for backup in backups_of(store.path) if backup.why == DAILY]


def test_a_day_on_which_something_changed_has_one_backup(store, days):
    store.tend(still_seconds=0)
    assert of_itself(store) == []  # nobody typed anything yet
    store.put("garments", "grey", garment(), 0)
    store.tend(still_seconds=60)
    assert of_itself(store) == []  # it is being written to
    store.tend(still_seconds=0)
    (made,) = of_itself(store)
    store.put("garments", "brown", garment(), 0)
    store.tend(still_seconds=0)
    assert of_itself(store) == [made]
    with Store.open(made.path) as copy:
        assert [kept.id for kept in copy.household().garments] == ["grey"]


def test_the_next_day_has_what_was_typed_until_then_and_a_day_without_a_change_has_none(store, days):
    store.put("garments", "grey", garment(), 0)
    store.tend(still_seconds=0)
    store.put("garments", "brown", garment(), 0)
    days(1)
    store.tend(still_seconds=0)
    assert len(of_itself(store)) == 2
    for _ in range(3):
        days(1)
        store.tend(still_seconds=0)
    with Store.open(store.path) as anew:  # the service was stopped in between: the latest backup says what it holds
        anew.tend(still_seconds=0)
    latest, _ = of_itself(store)
    with Store.open(latest.path) as copy:
        assert copy.count("garments") == 2


def test_the_latest_stay_and_those_that_were_asked_for(store, days):
    asked = store.back_up()
    for number in range(DAILY_KEPT + 3):
        store.put("garments", f"g{number}", garment(), 0)
        store.tend(still_seconds=0)
        days(1)
    kept = of_itself(store)
    assert len(kept) == DAILY_KEPT
    assert (kept[0].at - kept[-1].at).days == DAILY_KEPT - 1
    assert asked.exists()


def test_what_a_killed_process_left_half_done_is_swept_after_an_hour(store):
    made = store.back_up()
    folder = made.parent
    left = [folder / f".{made.name}.0123abcd.part", folder / f".{made.name}.0123abcd.part-journal"]
    other = folder / ".notes.part"
    for file in (*left, other):
        file.write_bytes(b"half")
    restoring = store.path.with_name(".restoring-x1")
    restoring.mkdir()
    (restoring / "fresh.db").write_bytes(b"half")
    daily.sweep(store.path)
    assert all(file.exists() for file in (*left, restoring))  # somebody may be making them
    before = time.time() - LEFT_SECONDS - 1
    for file in (*left, other, restoring):
        os.utime(file, (before, before))
    store.put("garments", "grey", garment(), 0)
    store.tend(still_seconds=0)
    assert not any(file.exists() for file in (*left, restoring))
    assert made.exists()
    assert other.exists()


def test_the_command_tells_each_with_its_age_and_size(store, capsys):
    assert main(["backup", "--list", "--data", str(store.path)]) == 0
    assert "No backup is there yet." in capsys.readouterr().out
    made = store.back_up()
    older = new_name(store.path, DAILY).with_name(f"{store.path.stem}-daily-2026-01-31T104500123Z.db")
    shutil.copy(made, older)
    assert main(["backup", "--list", "--data", str(store.path)]) == 0
    first, path, second, of_second, *_ = capsys.readouterr().out.splitlines()
    assert (path, of_second) == (f"  {made}", f"  {older}")
    assert "today; 0.1 MB; asked for" in first
    assert "days ago; 0.1 MB; made by itself" in second


@pytest.mark.parametrize(
    ("why", "days_before", "size", "said"),
    [
        ("daily", 0, 1_240_000, "29 Nov 2026, 18:05, today; 1.2 MB; made by itself"),
        ("daily", -32, 10_000, "29 Nov 2026, 18:05, ahead of this clock; 0.1 MB; made by itself"),
        ("", 1, 10_000, "29 Nov 2026, 18:05, yesterday; 0.1 MB; asked for"),
        (
            "version-3",
            9,
            2_000_000,
            "29 Nov 2026, 18:05, 9 days ago; 2.0 MB; made before a newer Fitcheck changed the tables",
        ),
    ],
)
def test_a_backup_in_words(why, days_before, size, said):
    at = datetime(2026, 11, 29, 18, 5)
    assert backup_line(at, size, why, date(2026, 11, 29) + timedelta(days=days_before)) == said
