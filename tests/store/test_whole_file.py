"""The database is whole by itself; a log without its file is kept, and no household is lost sight of."""

from __future__ import annotations

import shutil
import sqlite3
import time
from contextlib import closing

import pytest

from fitcheck.store import Store
from fitcheck.store.backup_files import backups_of, new_name
from fitcheck.store.backups import restore
from fitcheck.store.faults import DatabaseGone, LogOrphaned
from fitcheck.store.file_and_log import BUSY_SECONDS
from tests.store.conftest import garment


def log_of(path):
    return path.with_name(path.name + "-wal")


def kept_in_the_file_alone(path, tmp_path):
    """The garments in a copy of the one file, as somebody takes it along."""
    alone = tmp_path / "alone" / "copy.db"
    alone.parent.mkdir(exist_ok=True)
    shutil.copy(path, alone)
    with closing(sqlite3.connect(f"{alone.as_uri()}?mode=ro&immutable=1", uri=True)) as connection:
        return [key for (key,) in connection.execute("select key from records where kind = 'garments' order by key")]


def test_after_a_still_while_the_file_alone_is_the_whole(store, tmp_path):
    store.put("garments", "grey", garment(), 0)
    assert kept_in_the_file_alone(store.path, tmp_path) == []
    store.tend(still_seconds=60)
    assert kept_in_the_file_alone(store.path, tmp_path) == []  # it is being written to
    store.tend(still_seconds=0)
    assert kept_in_the_file_alone(store.path, tmp_path) == ["grey"]
    assert log_of(store.path).stat().st_size == 0


def test_nobody_waits_for_that(store):
    store.put("garments", "grey", garment(), 0)
    with store.database.reading() as connection:
        connection.execute("select count(*) from records").fetchone()
        store.put("garments", "brown", garment(), 0)
        begun = time.monotonic()
        store.tend(still_seconds=0)  # somebody reads what stood before
        assert time.monotonic() - begun < BUSY_SECONDS / 2
        assert log_of(store.path).stat().st_size > 0
    store.tend(still_seconds=0)
    assert log_of(store.path).stat().st_size == 0


def test_a_log_that_was_left_is_taken_in_when_it_is_opened(store, tmp_path):
    store.put("garments", "grey", garment(), 0)
    killed = tmp_path / "killed" / "f.db"
    killed.parent.mkdir()
    shutil.copy(store.path, killed)
    shutil.copy(log_of(store.path), log_of(killed))
    with Store.open(killed):
        assert kept_in_the_file_alone(killed, tmp_path) == ["grey"]


def test_when_it_stops_the_file_is_whole_though_another_has_it_open(store, tmp_path):
    with Store.open(store.path) as other:
        other.put("garments", "grey", garment(), 0)
    assert kept_in_the_file_alone(store.path, tmp_path) == ["grey"]


@pytest.mark.parametrize("left", ["nothing", "an empty file"])
def test_a_log_without_its_file_is_refused_and_kept(store, tmp_path, left):
    store.put("garments", "grey", garment(), 0)
    path = tmp_path / "lost" / "f.db"
    path.parent.mkdir()
    shutil.copy(log_of(store.path), log_of(path))
    if left != "nothing":
        path.touch()
    before = log_of(path).read_bytes()
    for new in (False, True):
        with pytest.raises(LogOrphaned, match=r"f\.db-wal is there and holds changes"):
            Store.open(path, new=new)
    assert log_of(path).read_bytes() == before
    kept = restore(path, store.back_up(tmp_path / "copy.db"))
    assert "damaged" in kept.name
    assert before in [part.read_bytes() for part in kept.parent.iterdir() if "damaged" in part.name]
    with Store.open(path) as again:
        assert [kept.id for kept in again.household().garments] == ["grey"]


@pytest.mark.parametrize("left", ["nothing", "an empty file"])
def test_a_database_that_is_gone_beside_its_backups_is_no_new_household(store, left):
    store.put("garments", "grey", garment(), 0)
    older, newest = store.back_up(), store.back_up()
    store.close()
    store.path.unlink()
    if left != "nothing":
        store.path.touch()
    with pytest.raises(DatabaseGone) as caught:
        Store.open(store.path)
    assert str(older) not in str(caught.value)
    assert f"fitcheck restore --data {store.path} {newest}" in str(caught.value)
    assert f"fitcheck serve --new --data {store.path}" in str(caught.value)
    assert not store.path.exists() or store.path.read_bytes() == b""
    with Store.open(store.path, new=True) as anew:
        assert anew.count("garments") == 0
    assert [backup.path for backup in backups_of(store.path)] == [newest, older]


def test_it_is_brought_back_by_the_command_that_was_named(store):
    store.put("garments", "grey", garment(), 0)
    backup = store.back_up()
    store.close()
    store.path.unlink()
    assert restore(store.path, backup) is None
    with Store.open(store.path) as again:
        assert [kept.id for kept in again.household().garments] == ["grey"]


def test_backups_of_another_database_in_the_folder_do_not_count(store):
    store.back_up()
    with Store.open(store.path.with_name("fit.db")) as other:
        assert other.count("garments") == 0


def test_backups_are_told_by_name_with_their_moment_and_why(tmp_path):
    path = tmp_path / "fit.db"
    made = [new_name(path), new_name(path, "daily"), new_name(path, "version-3", "ab12")]
    made[0].parent.mkdir()
    older = made[0].with_name("fit-2026-01-31T104500123+.db")
    for file in (*made, older, made[0].with_name("fit-2026-99-31T104500123Z.db"), made[0].with_name("fit-notes.db")):
        file.write_bytes(b"12")
    assert all(file.stem.endswith("Z") or file.stem.endswith("Z-ab12") for file in made)
    told = backups_of(path)
    assert {backup.path for backup in told} == {*made, older}
    assert sorted(backup.why for backup in told) == ["", "", "daily", "version-3"]
    assert (told[-1].path, told[-1].size) == (older, 2)
    assert told[-1].at.isoformat() == "2026-01-31T10:45:00.123000+00:00"
