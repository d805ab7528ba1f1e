"""A database that is deleted, renamed over or replaced while it is open: no write is acknowledged and lost."""

from __future__ import annotations

import os
import shutil
import threading

import pytest

from fitcheck.store import Store
from fitcheck.store.faults import DatabaseTaken
from tests.store.conftest import garment


def deleted(path):
    path.unlink()


def moved_away(path):
    path.rename(path.with_name("elsewhere.db"))


def renamed_over(path):
    other = path.with_name("other.db")
    with Store.open(other) as store:
        store.put("yarns", "other", {"name": "of another household"}, 0)
    other.rename(path)


def replaced_with_its_log(path):
    renamed_over(path)
    for end in ("-wal", "-shm"):
        path.with_name(path.name + end).unlink()


def log_deleted(path):
    path.with_name(path.name + "-wal").unlink()


WAYS = [deleted, moved_away, renamed_over, replaced_with_its_log, log_deleted]

if os.name == "posix":  # elsewhere nobody can take away a file that is open

    @pytest.mark.parametrize("take", WAYS)
    def test_no_write_is_acknowledged_once_the_file_is_another(store, take):
        store.put("garments", "grey", garment(), 0)
        take(store.path)
        for number in range(20):
            with pytest.raises(DatabaseTaken) as caught:
                store.put("garments", f"g{number}", garment(), 0)
            assert str(caught.value) == (
                "The database was taken away or replaced while Fitcheck ran. Nothing was written. Stop Fitcheck and "
                "start it again."
            )

    @pytest.mark.parametrize("take", WAYS)
    def test_what_was_open_is_read_still_by_any_number_at_once(store, take):
        store.put("garments", "grey", garment(), 0)
        take(store.path)
        read, faults = [], []

        def reads():
            try:
                read.append([kept.id for kept in store.household().garments])
            except Exception as error:
                faults.append(error)

        threads = [threading.Thread(target=reads) for _ in range(8)]
        with store.database.reading():  # the only connection is lent, so that another would be made
            for thread in threads:
                thread.start()
        for thread in threads:
            thread.join()
        assert (faults, read) == ([], [["grey"]] * 8)

    def test_a_file_that_goes_while_a_change_is_written_takes_the_change_with_it(store):
        def writes():
            with store.database.writing() as connection:
                connection.execute("update records set updated = updated")
                store.path.unlink()

        with pytest.raises(DatabaseTaken):
            writes()

    def test_the_file_that_took_its_place_is_left_alone(store, tmp_path):
        store.put("garments", "grey", garment(), 0)
        renamed_over(store.path)
        before = store.path.read_bytes()
        with pytest.raises(DatabaseTaken):
            store.put("garments", "brown", garment(), 0)
        store.household()
        store.close()
        assert store.path.read_bytes() == before

    def test_a_file_that_was_put_back_is_only_read_until_it_is_opened_again(store):
        kept = store.path.with_name("kept.db")
        os.link(store.path, kept)
        store.path.unlink()
        with pytest.raises(DatabaseTaken):
            store.put("garments", "grey", garment(), 0)
        kept.rename(store.path)
        with pytest.raises(DatabaseTaken):
            store.put("garments", "grey", garment(), 0)
        with Store.open(store.path) as again:
            again.put("garments", "grey", garment(), 0)


def test_a_copy_made_beside_it_and_a_second_service_on_it_take_nothing_away(store, tmp_path):
    shutil.copy(store.path, tmp_path / "copy.db")
    with Store.open(store.path) as other:
        other.put("garments", "grey", garment(), 0)
    store.put("garments", "brown", garment(), 0)
    assert len(store.household().garments) == 2
