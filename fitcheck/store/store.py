"""The store of one household: what the service, the command and a notebook work with."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from fitcheck.records.base import Record
from fitcheck.records.households import Household
from fitcheck.records.places import Place
from fitcheck.store import backups, bundle, households, readings, readings_csv, revisions
from fitcheck.store.database import BUSY_SECONDS, Database
from fitcheck.store.faults import NotFound
from fitcheck.store.folders import FILE, data_folder
from fitcheck.store.revisions import Revision
from fitcheck.store.stored import Stored


class Store:
    """One household in one database file; any thread may use it. Each call is one transaction.

    On return of a call that writes, the change is on the disk. Errors are StoreError and RecordsError; after
    one the data is as it was.
    """

    def __init__(self, database: Database) -> None:
        self.database = database
        self._shelves = households.Shelves()

    @classmethod
    def open(cls, path: str | os.PathLike[str] | None = None, *, busy_seconds: float = BUSY_SECONDS) -> Store:
        """Open the database, or make it; None is the usual place of this system.

        Raises DatabaseNewer, DatabaseForeign, DatabaseDamaged, DatabaseLocked, FolderNotWritable or DiskFull.
        """
        file = data_folder() / FILE if path is None else Path(path)
        return cls(Database.open(file, busy_seconds=busy_seconds))

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

    def put(self, kind: str, key: str, document: Mapping[str, Any] | Record, expected_revision: int) -> Stored:
        """Write a record; see `revisions.put`."""
        with self.database.writing() as connection:
            return revisions.put(connection, kind, key, document, expected_revision)

    def delete(self, kind: str, key: str, expected_revision: int) -> Stored:
        """Delete a record that no other names; see `revisions.delete`."""
        with self.database.writing() as connection:
            return revisions.delete(connection, kind, key, expected_revision)

    def undo(self, kind: str, key: str, expected_revision: int) -> Stored:
        """Undo the latest change of a record; see `revisions.undo`."""
        with self.database.writing() as connection:
            return revisions.undo(connection, kind, key, expected_revision)

    def bring_back(
        self, kind: str, key: str, revision: int | None = None, *, expected_revision: int | None = None
    ) -> Stored:
        """Bring back what was deleted, or an earlier revision; see `revisions.bring_back`."""
        with self.database.writing() as connection:
            return revisions.bring_back(connection, kind, key, revision, expected_revision)

    def history(self, kind: str, key: str) -> tuple[Revision, ...]:
        """Return what happened to a record, the latest first."""
        with self.database.reading() as connection:
            return revisions.history(connection, kind, key)

    # Readings

    def add_reading(self, where: Place, reading: Mapping[str, Any] | Record | str | float) -> Stored:
        """Add a reading to the list at a place; see `readings.add_reading`."""
        with self.database.writing() as connection:
            return readings.add_reading(connection, where, reading)

    def set_aside(self, where: Place, reading_id: str, reason: str) -> Stored:
        """Set a reading aside with a reason."""
        with self.database.writing() as connection:
            return readings.set_aside(connection, where, reading_id, reason)

    def confirm(self, where: Place, reading_id: str) -> Stored:
        """Confirm a reading that was questioned."""
        with self.database.writing() as connection:
            return readings.confirm(connection, where, reading_id)

    # Lists and households

    def list(
        self,
        kind: str,
        *,
        wearer: str | None = None,
        text: str | None = None,
        after: str | None = None,
        limit: int = 24,
        deleted: bool = False,
    ) -> households.RecordsPage:
        """Return one page of a list by name; see `households.page`."""
        with self.database.reading() as connection:
            return households.page(
                connection, kind, wearer=wearer, text=text, after=after, limit=limit, deleted=deleted
            )

    def count(self, kind: str) -> int:
        """Return how many records of a kind are kept now."""
        with self.database.reading() as connection:
            return households.count(connection, kind)

    def records(self, kind: str, keys: Sequence[str]) -> dict[str, Any]:
        """Return some records of a kind by key, however many there are; those that are not there are left out."""
        with self.database.reading() as connection:
            return self._shelves.records(connection, kind, keys)

    def household(self) -> Household:
        """Return everything that is kept now; the same object until something changes."""
        with self.database.reading() as connection:
            return self._shelves.household(connection)

    def make_household(self, key: str) -> Household:
        """Return one make and what it names: enough for its report, however large the wardrobe is."""
        with self.database.reading() as connection:
            return households.make_household(connection, key)

    # Out and in

    def export_bundle(self) -> bytes:
        """Return everything that is kept now as a household file."""
        with self.database.reading() as connection:
            return bundle.export_bundle(connection)

    def import_bundle(self, raw: bytes, how: bundle.How = "merge") -> bundle.Imported:
        """Take a household file in, all or nothing; see `bundle.import_bundle`."""
        opened = bundle.open_bundle(raw)
        with self.database.writing() as connection:
            return bundle.import_bundle(connection, opened, how)

    def readings_as_csv(self) -> str:
        """Return every reading as CSV."""
        with self.database.reading() as connection:
            return readings_csv.write_readings(connection)

    def add_readings_from_csv(self, text: str) -> readings_csv.Added:
        """Add the readings of a CSV, all or none; see `readings_csv.add_readings`."""
        with self.database.writing() as connection:
            return readings_csv.add_readings(connection, text)

    def back_up(self, to: str | os.PathLike[str] | None = None) -> Path:
        """Copy everything, history too, into one new file; None is the folder of backups beside this one."""
        return backups.back_up(self.database, None if to is None else Path(to))
