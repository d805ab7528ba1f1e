"""Backups while it is in use, and the way back, also over a damaged database."""

from __future__ import annotations

import os
import sqlite3
import stat
import threading
from contextlib import closing

import pytest

from fitcheck.store import Store
from fitcheck.store.backups import restore
from fitcheck.store.faults import (
    AlreadyThere,
    DatabaseDamaged,
    DatabaseForeign,
    DatabaseNewer,
    DiskFull,
    FolderNotWritable,
    NotFound,
    StoreError,
)
from tests.store import version_1
from tests.store.conftest import garment


def test_a_backup_holds_everything_with_its_history_in_one_file(full, tmp_path):
    full.put("garments", "grey", garment(), 0)
    full.delete("garments", "grey", 1)
    to = full.back_up(tmp_path / "safe" / "copy.db")
    assert [one.name for one in to.parent.iterdir()] == ["copy.db"]
    # Bytes 18 and 19 (sqlite.org/fileformat2.html, 1.3.3): 1 is a file that needs no log beside it, 2 one that does.
    assert to.read_bytes()[18:20] == b"\x01\x01"
    if os.name == "posix":
        assert stat.S_IMODE(to.stat().st_mode) == 0o600
    with Store.open(to) as copy:
        assert copy.export_bundle() == full.export_bundle()
        assert copy.history("garments", "grey") == full.history("garments", "grey")


def test_without_a_name_it_goes_beside_the_database(full):
    first, second = full.back_up(), full.back_up()
    assert first.parent == second.parent == full.path.parent / "backups"
    assert first != second


def test_a_backup_does_not_overwrite_anything(full, tmp_path):
    (tmp_path / "copy.db").write_text("precious")
    with pytest.raises(AlreadyThere):
        full.back_up(tmp_path / "copy.db")
    assert (tmp_path / "copy.db").read_text() == "precious"
    assert [one.name for one in tmp_path.iterdir() if "part" in one.name] == []


def test_a_backup_that_cannot_be_written_leaves_nothing(full, tmp_path):
    (tmp_path / "file").touch()
    with pytest.raises(FolderNotWritable):
        full.back_up(tmp_path / "file" / "copy.db")


def test_a_backup_taken_while_others_write_is_whole(full, tmp_path):
    stop, written = threading.Event(), []

    def write():
        while not stop.is_set():
            number = len(written)
            full.put("yarns", f"y{number}", {"name": "x" * 200}, 0)
            written.append(number)

    writer = threading.Thread(target=write)
    writer.start()
    copies = [(full.back_up(tmp_path / f"{n}.db"), len(written)) for n in range(5)]
    stop.set()
    writer.join()
    for path, at_least in copies[1:]:
        with Store.open(path) as copy:
            keys = {one.id for one in copy.household().yarns} - {"moss-wool"}
            assert keys == {f"y{number}" for number in range(len(keys))}
            assert len(keys) <= at_least + 1


def test_a_restore_brings_back_what_was_and_keeps_what_is(full, tmp_path):
    old = full.export_bundle()
    backup = full.back_up(tmp_path / "copy.db")
    bytes_before = backup.read_bytes()
    full.put("garments", "grey", garment(), 0)
    new = full.export_bundle()
    full.close()
    kept = restore(full.path, backup)
    with Store.open(full.path) as store, Store.open(kept) as before:
        assert store.export_bundle() == old
        assert before.export_bundle() == new
        store.put("garments", "after", garment(), 0)
    assert backup.read_bytes() == bytes_before
    assert [one.name for one in full.path.parent.iterdir() if "restoring" in one.name] == []


def test_a_restore_while_it_is_open_shows_at_once_and_no_old_household_is_given(full, tmp_path):
    backup = full.back_up(tmp_path / "copy.db")
    before = full.household()
    # Equally many changes on both sides: a count alone could not tell the two states apart.
    changed = full.put("garments", "grey", garment(), 0)
    assert full.household() != before
    restore(full.path, backup)
    assert full.household() == before
    with pytest.raises(NotFound):
        full.get("garments", "grey")
    full.put("garments", "grey", garment("another"), 0)
    assert full.household().garments[-1].name == "another" != changed.record.name
    with full.database.outside_transactions() as connection:
        assert connection.execute("pragma journal_mode").fetchone() == ("wal",)


def test_a_restore_of_an_old_backup_brings_it_up_to_date_and_leaves_the_backup(full, tmp_path):
    backup = version_1.build(tmp_path / "old.db")
    before = backup.read_bytes()
    restore(full.path, backup)
    assert full.make_household("grey").wearers[0].id == "ida"
    assert backup.read_bytes() == before


def test_a_restore_over_a_damaged_database_puts_the_damaged_file_aside(full, tmp_path):
    backup, old = full.back_up(tmp_path / "copy.db"), full.export_bundle()
    full.close()
    broken = full.path.read_bytes()[:5000]
    full.path.write_bytes(broken)
    with pytest.raises(DatabaseDamaged):
        Store.open(full.path)
    kept = restore(full.path, backup)
    assert kept.read_bytes() == broken
    with Store.open(full.path) as store:
        assert store.export_bundle() == old


def test_a_restore_where_there_was_nothing(full, tmp_path):
    backup = full.back_up(tmp_path / "copy.db")
    assert restore(tmp_path / "new" / "fitcheck.db", backup) is None
    with Store.open(tmp_path / "new" / "fitcheck.db") as store:
        assert store.export_bundle() == full.export_bundle()


def bad_backups(folder, store):
    good = store.back_up(folder / "good.db")
    (folder / "text.db").write_text("Dear diary")
    (folder / "empty.db").touch()
    (folder / "cut.db").write_bytes(good.read_bytes()[:20000])
    newer = store.back_up(folder / "newer.db")
    with closing(sqlite3.connect(newer)) as connection:
        connection.execute("pragma user_version = 99")
    odd = store.back_up(folder / "odd.db")
    with closing(sqlite3.connect(odd)) as connection:
        connection.execute("pragma user_version = 3")
    return {
        "odd.db": DatabaseDamaged,
        "text.db": DatabaseForeign,
        "empty.db": DatabaseForeign,
        "cut.db": DatabaseDamaged,
        "newer.db": DatabaseNewer,
        "nothing.db": NotFound,
    }


def test_a_backup_that_is_no_good_changes_nothing(full, tmp_path):
    before = full.export_bundle()
    names = sorted(one.name for one in full.path.parent.iterdir())
    for name, fault in bad_backups(tmp_path, full).items():
        with pytest.raises(fault) as caught:
            restore(full.path, tmp_path / name)
        assert isinstance(caught.value, StoreError)
        assert full.export_bundle() == before
        assert sorted(one.name for one in full.path.parent.iterdir()) == names


def test_a_backup_onto_a_full_disk_leaves_nothing(full, tmp_path, monkeypatch):
    """The target of the copy is limited to a few pages, as a disk that fills does."""
    connect = sqlite3.connect

    def small(path, **how):
        connection = connect(path, **how)
        connection.execute("pragma max_page_count = 3")
        return connection

    monkeypatch.setattr("fitcheck.store.copies.sqlite3.connect", small)
    before = full.export_bundle()
    (tmp_path / "safe").mkdir()
    with pytest.raises(DiskFull):
        full.back_up(tmp_path / "safe" / "copy.db")
    assert list((tmp_path / "safe").iterdir()) == []
    monkeypatch.undo()
    assert full.export_bundle() == before
