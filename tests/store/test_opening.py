"""Opening: where it is, who may read it, and every file that is refused stays as it was."""

from __future__ import annotations

import os
import sqlite3
import stat
import sys
import threading
from contextlib import closing
from pathlib import Path

import pytest

from fitcheck.records.faults import FitcheckError
from fitcheck.store import Store, steps
from fitcheck.store.backup_files import BACKUPS
from fitcheck.store.faults import (
    DatabaseDamaged,
    DatabaseForeign,
    DatabaseLocked,
    DatabaseNewer,
    DiskFull,
    FolderNotWritable,
    StoreError,
)
from fitcheck.store.folders import data_folder
from tests import old
from tests.store import version_1
from tests.store.conftest import as_nobody, garment

POSIX = os.name == "posix"


def refused(path, fault):
    """Open a file that must be refused and left as it was, with nothing new beside it."""
    before, names = path.read_bytes(), sorted(one.name for one in path.parent.iterdir())
    with pytest.raises(fault) as caught:
        Store.open(path, busy_seconds=0.1)
    assert path.read_bytes() == before
    assert sorted(one.name for one in path.parent.iterdir()) == names
    assert str(path) in str(caught.value)
    assert isinstance(caught.value, StoreError)
    assert isinstance(caught.value, FitcheckError)
    return str(caught.value)


def written(path):
    with Store.open(path) as store:
        for number in range(60):
            store.put("garments", f"g{number}", garment(f"garment {number}"), 0)
    return path


def test_the_usual_folder_of_each_system(monkeypatch, tmp_path):
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "share"))
    assert data_folder() == tmp_path / "share" / "fitcheck"
    # XDG Base Directory Specification: a path in it that is not absolute is invalid and ignored.
    for other in ("", "relative/share"):
        monkeypatch.setenv("XDG_DATA_HOME", other)
        assert data_folder() == tmp_path / ".local" / "share" / "fitcheck"
    monkeypatch.setattr(sys, "platform", "darwin")
    assert data_folder() == tmp_path / "Library" / "Application Support" / "Fitcheck"
    monkeypatch.setattr(sys, "platform", "win32")
    monkeypatch.setenv("APPDATA", str(tmp_path / "Roaming"))
    assert data_folder() == tmp_path / "Roaming" / "Fitcheck"


def test_without_a_path_the_usual_folder_is_used_and_only_its_owner_reads_it(monkeypatch, tmp_path):
    monkeypatch.setattr("fitcheck.store.store.data_folder", lambda: tmp_path / "share" / "fitcheck")
    with Store.open() as store:
        store.put("garments", "grey", garment(), 0)
        assert store.path == tmp_path / "share" / "fitcheck" / "fitcheck.db"
        if POSIX:
            assert stat.S_IMODE(store.path.parent.stat().st_mode) == 0o700
            files = list(store.path.parent.iterdir())
            assert len(files) == 3
            assert {stat.S_IMODE(file.stat().st_mode) for file in files} == {0o600}


def test_what_was_written_is_there_when_it_is_opened_again(tmp_path):
    written(tmp_path / "f.db")
    with Store.open(tmp_path / "f.db") as store:
        assert len(store.household().garments) == 60


def test_the_connections_keep_an_acknowledged_write(waits_for_the_disk, store):
    with store.database.outside_transactions() as connection:
        asked = {
            name: connection.execute(f"pragma {name}").fetchone()[0]
            for name in ("journal_mode", "synchronous", "foreign_keys")
        }
        tables = connection.execute("select name, strict from pragma_table_list where schema = 'main'").fetchall()
    assert asked == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}
    assert {name for name, strict in tables if strict} == {
        *("records", "history", "counter", "links", "photographs", "taps", "devices", "home")
    }


def test_a_document_that_is_no_json_does_not_get_into_the_table(store):
    with pytest.raises(sqlite3.IntegrityError), store.database.writing() as connection:
        connection.execute("update records set doc = '{'")


def test_a_database_of_a_newer_version_is_refused_by_name(tmp_path):
    path = written(tmp_path / "f.db")
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("pragma user_version = 99")
    assert "version 99" in refused(path, DatabaseNewer)


@pytest.mark.parametrize("number", [-1, 0, -(2**31)])
def test_a_version_that_no_fitcheck_wrote_is_told_plainly(tmp_path, number):
    path = written(tmp_path / "f.db")
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(f"pragma user_version = {number}")
    assert f"version {number} of its tables, which no Fitcheck wrote" in refused(path, DatabaseDamaged)


@pytest.mark.parametrize("build", [version_1.build, old.version_3, old.version_7])
@pytest.mark.parametrize("number", [1, 3, 5, steps.NEWEST])
def test_tables_of_another_version_than_the_file_says_are_told_plainly(tmp_path, build, number):
    path = build(tmp_path / "f.db")
    with closing(sqlite3.connect(path)) as connection:
        its_own = connection.execute("pragma user_version").fetchone()[0]
        connection.execute(f"pragma user_version = {number}")
    before = dump(path)
    if number == its_own:
        Store.open(path).close()
        return
    with pytest.raises(DatabaseDamaged, match=f"its tables are others than version {number}, which it says"):
        Store.open(path)
    assert dump(path) == before


def test_a_newer_database_with_an_unfinished_log_is_left_with_its_log(tmp_path):
    path = written(tmp_path / "f.db")
    holder = sqlite3.connect(path, isolation_level=None)
    holder.execute("pragma user_version = 99")
    copy = tmp_path / "copy" / "f.db"
    copy.parent.mkdir()
    for end in ("", "-wal"):
        copy.with_name(f"f.db{end}").write_bytes(path.with_name(f"f.db{end}").read_bytes())
    holder.close()
    before = [copy.with_name(f"f.db{end}").read_bytes() for end in ("", "-wal")]
    assert len(before[1]) > 0
    with pytest.raises(DatabaseNewer):
        Store.open(copy)
    assert [copy.with_name(f"f.db{end}").read_bytes() for end in ("", "-wal")] == before


def test_a_database_of_another_program_is_refused(tmp_path):
    for number, pragma in enumerate(("application_id = 77", "user_version = 1", "user_version = 0")):
        path = tmp_path / f"other{number}.db"
        with closing(sqlite3.connect(path)) as connection:
            connection.execute("create table accounts (name text)")
            connection.execute(f"pragma {pragma}")
            connection.commit()
        assert "another program" in refused(path, DatabaseForeign)


@pytest.mark.parametrize("content", [b"Dear diary,\n" * 50, b"\x89PNG\r\n", b"{}", b"\x00" * 4096, b"SQLite format 3 "])
def test_another_kind_of_file_is_refused(tmp_path, content):
    path = tmp_path / "notes.db"
    path.write_bytes(content)
    refused(path, DatabaseForeign)


def test_a_folder_in_place_of_the_file_is_refused(tmp_path):
    with pytest.raises(DatabaseForeign, match="a folder"):
        Store.open(tmp_path)


def test_an_empty_file_is_a_new_database(tmp_path):
    (tmp_path / "f.db").touch()
    with Store.open(tmp_path / "f.db") as store:
        assert store.household().unit == "cm"


@pytest.mark.parametrize("share", [0.0005, 0.3, 0.9])
def test_a_truncated_file_is_refused_as_damaged(tmp_path, share):
    path = written(tmp_path / "f.db")
    whole = path.read_bytes()
    path.write_bytes(whole[: int(len(whole) * share)])
    refused(path, DatabaseDamaged)


def test_a_file_with_rubbish_in_the_middle_is_refused_as_damaged(tmp_path):
    path = written(tmp_path / "f.db")
    whole = bytearray(path.read_bytes())
    whole[8192:16384] = b"\xa5" * 8192
    path.write_bytes(whole)
    assert "Restore" in refused(path, DatabaseDamaged)


def test_damage_while_it_is_open_is_told_plainly(tmp_path):
    path = written(tmp_path / "f.db")
    with Store.open(path) as store:
        with path.open("r+b") as file:
            file.seek(4096)
            file.write(b"\xa5" * (path.stat().st_size - 4096))
        with pytest.raises(DatabaseDamaged):
            store.household()


def test_a_database_that_another_program_holds_is_locked(tmp_path):
    path = written(tmp_path / "f.db")
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("begin immediate")
        with pytest.raises(DatabaseLocked, match="another program"):
            Store.open(path, busy_seconds=0.1)
    with Store.open(path, busy_seconds=0.1) as store, closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("begin immediate")
        with pytest.raises(DatabaseLocked):
            store.put("garments", "new", garment(), 0)
        assert len(store.list("garments", limit=100).records) == 60
        other.execute("rollback")
        store.put("garments", "new", garment(), 0)


def test_a_writer_that_holds_on_for_too_long_in_this_process_is_locked_too(tmp_path):
    with Store.open(tmp_path / "f.db", busy_seconds=0.1) as store:
        inside, done = threading.Event(), threading.Event()

        def hold():
            with store.database.writing():
                inside.set()
                done.wait(10)

        holder = threading.Thread(target=hold)
        holder.start()
        inside.wait(10)
        with pytest.raises(DatabaseLocked):
            store.put("garments", "new", garment(), 0)
        done.set()
        holder.join()
        store.put("garments", "new", garment(), 0)


def test_a_folder_that_cannot_be_made_is_told(tmp_path):
    (tmp_path / "file").write_text("a file where a folder should be")
    with pytest.raises(FolderNotWritable, match="file"):
        Store.open(tmp_path / "file" / "data" / "fitcheck.db")


if POSIX:

    def test_a_folder_that_is_closed_for_writing_is_told(open_folder):
        open_folder.chmod(0o555)
        assert as_nobody(lambda: Store.open(open_folder / "f.db")) == "FolderNotWritable"
        assert as_nobody(lambda: Store.open(open_folder / "data" / "f.db")) == "FolderNotWritable"
        assert list(open_folder.iterdir()) == []

    def test_a_folder_that_may_be_written_is_no_trouble_to_the_same_child(open_folder):
        open_folder.chmod(0o777)
        assert as_nobody(lambda: Store.open(open_folder / "f.db").close()) == "none"


def limit_pages(store, more):
    """Leave room for `more` pages only, as a disk that fills does."""
    with store.database.outside_transactions() as connection:
        pages = connection.execute("pragma page_count").fetchone()[0]
        connection.execute(f"pragma max_page_count = {pages + more}")


def test_a_full_disk_is_told_and_every_acknowledged_write_is_there(tmp_path):
    path = written(tmp_path / "f.db")
    with Store.open(path) as store:
        limit_pages(store, 20)
        acknowledged = []

        def fill():
            for number in range(1000):
                store.put("garments", f"new{number}", garment("x" * 300, notes="y" * 2000), 0)
                acknowledged.append(f"new{number}")

        with pytest.raises(DiskFull, match="Make room"):
            fill()
        assert 0 < len(acknowledged) < 100
        # What can be read and what is small enough still works.
        assert len(store.household().garments) == 60 + len(acknowledged)
    with Store.open(path) as store:
        kept = {one.id for one in store.household().garments if one.id.startswith("new")}
        assert kept == set(acknowledged)
        store.put("garments", "after", garment(), 0)


def test_an_import_onto_a_full_disk_leaves_nothing(tmp_path):
    with Store.open(tmp_path / "one.db") as one:
        for number in range(200):
            one.put("garments", f"g{number}", garment(notes="y" * 1000), 0)
        bundle = one.export_bundle()
    with Store.open(tmp_path / "two.db") as two:
        before = two.export_bundle()
        limit_pages(two, 30)
        with pytest.raises(DiskFull):
            two.import_bundle(bundle)
        assert two.export_bundle() == before


# Steps


def dump(path):
    with closing(sqlite3.connect(path)) as connection:
        return list(connection.iterdump())


def test_an_old_database_is_backed_up_and_brought_up_to_date(tmp_path):
    path = version_1.build(tmp_path / "data" / "f.db")
    before = dump(path)
    with Store.open(path) as store:
        assert store.get("makes", "grey").revision == 2
        assert store.bring_back("yarns", "old").revision == 3
        with pytest.raises(StoreError, match="makes/grey"):
            store.delete("wearers", "ida", 1)
        assert [one.id for one in store.make_household("grey").wearers] == ["ida"]
    (backup,) = (path.parent / BACKUPS).iterdir()
    assert "version-1" in backup.name
    assert dump(backup) == before
    with Store.open(path):
        assert len(list((path.parent / BACKUPS).iterdir())) == 1


def test_a_step_by_step_database_has_the_same_tables_as_a_new_one(tmp_path):
    tables = []
    for path in (version_1.build(tmp_path / "a" / "f.db"), tmp_path / "b" / "f.db"):
        Store.open(path).close()
        with closing(sqlite3.connect(path)) as connection:
            found = connection.execute("select type, name, sql from sqlite_schema order by type, name").fetchall()
            version = connection.execute("pragma user_version").fetchone()
        squeezed = [(kind, name, "".join((sql or "").split()).lower()) for kind, name, sql in found]
        tables.append((squeezed, version))
    assert tables[0] == tables[1]


def test_a_step_that_fails_leaves_the_database_at_the_step_before(tmp_path, monkeypatch):
    path = version_1.build(tmp_path / "f.db")
    before = dump(path)

    def breaks(connection):
        connection.execute("create table links (half text)")
        connection.execute("delete from records")
        raise sqlite3.OperationalError("in the middle")

    monkeypatch.setattr(steps, "STEPS", (steps.STEPS[0], breaks))
    with pytest.raises(sqlite3.OperationalError):
        Store.open(path)
    assert dump(path) == before
    monkeypatch.undo()
    with Store.open(path) as store:
        assert store.get("makes", "grey").revision == 2


def test_without_room_for_the_backup_no_step_is_taken(tmp_path, monkeypatch):
    path = version_1.build(tmp_path / "f.db")
    before = dump(path)
    (tmp_path / BACKUPS).write_text("a file where the folder should be")
    with pytest.raises(FolderNotWritable):
        Store.open(path)
    assert dump(path) == before


def test_two_that_open_an_old_database_at_once_both_get_it(tmp_path):
    path = version_1.build(tmp_path / "f.db")
    faults = []

    def opens():
        try:
            Store.open(path).close()
        except Exception as error:
            faults.append(error)

    threads = [threading.Thread(target=opens) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []
    with Store.open(path) as store:
        assert store.get("makes", "grey").revision == 2


def test_a_closed_store_says_so(tmp_path):
    store = Store.open(tmp_path / "f.db")
    store.close()
    with pytest.raises(StoreError, match="closed"):
        store.household()
