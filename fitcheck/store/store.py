"""The store of one household: what the service, the command and a notebook work with."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from contextlib import AbstractContextManager
from pathlib import Path
from sqlite3 import Connection
from typing import IO, Any, Concatenate, ParamSpec, Protocol, TypeVar

from fitcheck.records.base import Record
from fitcheck.records.households import Household
from fitcheck.records.photographs import cleaned
from fitcheck.store import (
    album,
    as_it_was,
    backups,
    bundle,
    changes,
    devices,
    finishing,
    forms,
    households,
    make_file,
    photographs,
    readings,
    readings_csv,
    revisions,
    taps,
    together,
)
from fitcheck.store.backup_files import Backup, backups_of
from fitcheck.store.daily import Daily
from fitcheck.store.database import Database
from fitcheck.store.documents import take
from fitcheck.store.faults import NotFound, OnlyRead
from fitcheck.store.file_and_log import BUSY_SECONDS
from fitcheck.store.folders import FILE, data_folder
from fitcheck.store.stored import Stored

STILL_SECONDS = 3.0
"""How long nothing is written before the log is taken into the file [s]."""

Asked = ParamSpec("Asked")
Answer = TypeVar("Answer")
Kept = TypeVar("Kept", covariant=True)


def _method(
    transaction: Callable[[Database], AbstractContextManager[Connection]],
    act: Callable[Concatenate[Connection, Asked], Answer],
) -> Callable[Concatenate[Store, Asked], Answer]:
    """A function of a connection as a method of the store, in a transaction of its own."""

    def method(store: Store, /, *asked: Asked.args, **named: Asked.kwargs) -> Answer:
        with transaction(store.database) as connection:
            return act(connection, *asked, **named)

    method.__doc__ = act.__doc__
    return method


class _Ready(Protocol[Kept]):
    """A change that was looked through and only waits to be written."""

    def stands(self, connection: Connection) -> bool:
        """Whether it still rests on what is there."""

    def keep(self, connection: Connection) -> Kept:
        """Write it."""


def _prepared(
    prepare: Callable[Concatenate[Connection, Asked], _Ready[Kept]],
) -> Callable[Concatenate[Store, Asked], Kept]:
    """A change as a method of the store: looked through before anybody waits for it, and written then.

    Where somebody else changed meanwhile what it rests on, it is looked through once more within the change.
    """

    def method(store: Store, /, *asked: Asked.args, **named: Asked.kwargs) -> Kept:
        with store.database.reading() as connection:
            ready = prepare(connection, *asked, **named)
        with store.database.writing() as connection:
            if not ready.stands(connection):
                ready = prepare(connection, *asked, **named)
            return ready.keep(connection)

    method.__doc__ = prepare.__doc__
    return method


class Store:
    """One household in one database file; any thread may use it. Each call is one transaction.

    Its methods are functions of the modules beside this one, where their docstrings stand, in one transaction each.
    On return of a call that writes, the change is on the disk. Errors are StoreError and RecordsError; after
    one the data is as it was.
    """

    def __init__(self, database: Database) -> None:
        self.database = database
        self._shelves = households.Shelves()
        self._daily = Daily(database)

    @classmethod
    def open(
        cls, path: str | os.PathLike[str] | None = None, *, new: bool = False, busy_seconds: float = BUSY_SECONDS
    ) -> Store:
        """Open the database, or make it; None is the usual place of this system.

        new  whether it is made also where backups say that there was one

        Raises DatabaseNewer, DatabaseForeign, DatabaseDamaged, LogOrphaned, DatabaseGone, DatabaseLocked,
        FolderNotWritable or DiskFull.
        """
        file = data_folder() / FILE if path is None else Path(path)
        return cls(Database.open(file, new=new, busy_seconds=busy_seconds))

    @classmethod
    def open_to_read(cls, path: str | os.PathLike[str]) -> Store:
        """Open a database that is there, to be read alone: nothing of it is written. Raises as `open` does."""
        return cls(Database.open_to_read(path))

    def close(self) -> None:
        """Close the database."""
        self.database.close()

    def __enter__(self) -> Store:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @property
    def path(self) -> Path:
        """Where the database is."""
        return self.database.path

    @property
    def only_read(self) -> bool:
        """Whether nothing can be written, so that every change raises OnlyRead."""
        return self.database.only_read

    @property
    def kept_from(self) -> type[OnlyRead] | None:
        """Why nothing can be written now; None where it can."""
        return self.database.kept_from

    def tend(self, still_seconds: float | None = None) -> None:
        """What is done now and then while it is served.

        Once nothing was written for some seconds, the file is made whole and, each day that something changed, copied.
        still_seconds  how many they are [s]; None: the usual

        Raises DatabaseTaken, DiskFull or another fault of the disk; the data is then as it was.
        """
        if not self.only_read and self.database.settle(STILL_SECONDS if still_seconds is None else still_seconds):
            self._daily.tend()

    # Records

    def get(self, kind: str, key: str, revision: int | None = None) -> Stored:
        """Return a record as it is now, or one revision of it, also of a deleted one. Raises NotFound."""
        with self.database.reading() as connection:
            if revision is None:
                return revisions.there(connection, kind, key)
            stored = revisions.past(connection, kind, key, revision)
            if stored is None:
                revisions.there(connection, kind, key)
                raise NotFound(kind, key, f"{kind}/{key} has no revision {revision}.")
            return stored

    def put(
        self,
        kind: str,
        key: str,
        document: Mapping[str, Any] | Record,
        expected_revision: int,
        form: str | None = None,
        *,
        at: str | None = None,
    ) -> Stored:
        """Write a document; see `revisions.put`. It is looked through before anybody has to wait for it."""
        taken = take(kind, key, document)
        with self.database.writing() as connection:
            return revisions.put(connection, kind, key, taken, expected_revision, form, at=at)

    delete = _method(Database.writing, revisions.delete)
    undo = _method(Database.writing, revisions.undo)
    finish = _method(Database.writing, finishing.finish)
    bring_back = _method(Database.writing, revisions.bring_back)
    history = _method(Database.reading, revisions.history)
    last_readable = _method(Database.reading, revisions.last_readable)
    before_taking = _method(Database.reading, as_it_was.before_taking)
    before_finishing = _method(Database.reading, as_it_was.before_finishing)
    take_back = _method(Database.writing, changes.take_back)
    changes = _method(Database.reading, changes.changes)
    take_back_together = _method(Database.writing, together.take_back_together)
    put_for_make = _method(Database.writing, together.put_for_make)
    put_with = _method(Database.writing, together.put_with)
    together = _method(Database.reading, together.together)
    sent = _method(Database.reading, forms.sent)

    # Readings

    add_reading = _prepared(readings.added)
    set_aside = _prepared(readings.set_aside)
    confirm = _prepared(readings.confirmed)
    put_right = _prepared(readings.put_right)

    # At the machine

    add_tap = _method(Database.adding, taps.add_tap)
    taps_on = _method(Database.reading, taps.taps_on)

    # Devices at home

    add_device = _method(Database.adding, devices.add_device)
    device_of = _method(Database.reading, devices.device_of)
    see_device = _method(Database.adding, devices.see_device)
    sessions = _method(Database.reading, devices.sessions)
    remove_device = _method(Database.adding, devices.remove_device)
    last_home = _method(Database.reading, devices.last_home)
    keep_home = _method(Database.adding, devices.keep_home)
    devices = _method(Database.reading, devices.devices)

    # Lists and households

    list = _method(Database.reading, households.page)
    count = _method(Database.reading, households.count)
    make_household = _method(Database.reading, households.make_household)

    def records(self, kind: str, keys: Sequence[str]) -> dict[str, Any]:
        """Return some records of a kind by key, however many there are; those that are not there are left out."""
        with self.database.reading() as connection:
            return self._shelves.records(connection, kind, keys)

    def household(self) -> Household:
        """Return every record that is kept now, without taps; the same object until something changes.

        A record that cannot be read is left out.
        """
        with self.database.reading() as connection:
            return self._shelves.household(connection)

    def left_out(self) -> tuple[tuple[str, str], ...]:
        """Return the records that `household` leaves out because they cannot be read, as (kind, key)."""
        with self.database.reading() as connection:
            return self._shelves.left_out(connection)

    # Photographs

    def keep_photograph(self, raw: bytes) -> str:
        """Clean a photograph, keep it, and return its SHA-256. Raises RecordsError for what is none, or too large."""
        photograph = cleaned(raw)
        with self.database.writing() as connection:
            return photographs.keep_photograph(connection, photograph)

    photograph = _method(Database.reading, photographs.photograph)
    photographs_here = _method(Database.reading, photographs.photographs_here)
    photographs_kept = _method(Database.reading, photographs.photographs_kept)
    sweep_photographs = _method(Database.writing, photographs.sweep)

    # Out and in

    export_make = _method(Database.reading, make_file.export_make)
    export_album = _method(Database.reading, album.export_album)
    export_bundle = _method(Database.reading, bundle.export_bundle)
    readings_as_csv = _method(Database.reading, readings_csv.write_readings)
    add_readings_from_csv = _prepared(readings_csv.added)

    def import_bundle(self, raw: bytes, how: bundle.How = "merge") -> bundle.Imported:
        """Take a household file in, all or nothing; see `bundle.import_bundle`."""
        opened = bundle.open_bundle(raw)
        with self.database.writing() as connection:
            return bundle.import_bundle(connection, opened, how)

    def import_album(self, file: IO[bytes], how: bundle.How = "merge") -> bundle.Imported:
        """Take a household file with its photographs in; raises as `Album` and `bundle.import_bundle` do.

        The photographs come first, one at a time: nobody waits for all of them. Where the records, all or nothing, are
        not taken then, they go as all do that no revision names.
        """
        opened = album.Album(file)
        for photograph in opened.photographs():
            with self.database.adding() as connection:
                photographs.keep_photograph(connection, photograph)
        with self.database.writing() as connection:
            return bundle.import_bundle(connection, opened.opened, how)

    def backups(self) -> tuple[Backup, ...]:
        """The backups beside the database, the newest first."""
        return backups_of(self.path)

    def back_up(self, to: str | os.PathLike[str] | None = None) -> Path:
        """Copy everything, history too, into one new file; None is the folder of backups beside this one."""
        return backups.back_up(self.database, None if to is None else Path(to))
