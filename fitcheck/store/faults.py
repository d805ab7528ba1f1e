"""What can go wrong with the database, each with a plain message that ends with the next step."""

# ruff: noqa: N818 - these name what is the matter, as the caller catches it
from __future__ import annotations

import errno
import shlex
import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, ClassVar

from fitcheck.records.begun_sheets import BegunSheet
from fitcheck.store.spoilt import StoreError as StoreError
from fitcheck.store.stored import Stored


class FileFault(StoreError):
    """Base class of what is the matter with a file.

    said  the message, with {path}, and {detail} where something more is known
    """

    said: ClassVar[str]

    def __init__(self, path: Path, detail: str = "") -> None:
        super().__init__(self.said.format(path=path, detail=detail))


class DatabaseNewer(StoreError):
    """The file was written by a newer Fitcheck."""

    def __init__(self, path: Path, found: int, known: int) -> None:
        super().__init__(
            f"{path} was written by a newer Fitcheck (version {found} of its tables; this program knows "
            f"{known}). Nothing was changed. Open it with the newer program."
        )


class DatabaseForeign(FileFault):
    """The file is something else than a database of Fitcheck."""

    said = "{path} is {detail}, not a database of Fitcheck. Nothing was changed. Choose another file or folder."


class DatabaseDamaged(FileFault):
    """The file is a database of Fitcheck, but parts of it cannot be read."""

    said = (
        "{path} is damaged: {detail}. It was left as it is. Restore the latest backup, or copy the file to a safe "
        "place first."
    )


class LogOrphaned(DatabaseDamaged):
    """The log of a database is there without it: SQLite would delete it, and with it what stands in no other file."""

    said = (
        "{path} is missing or empty, but its log {detail} is there and holds changes. Nothing was changed. Put the "
        "file back beside its log, or restore a backup: fitcheck restore."
    )


class DatabaseGone(StoreError):
    """The file is not there or empty, but backups of it are: it was not always so."""

    def __init__(self, path: Path, newest: Path) -> None:
        restore = shlex.join(["fitcheck", "restore", "--data", str(path), str(newest)])
        anew = shlex.join(["fitcheck", "serve", "--new", "--data", str(path)])
        super().__init__(
            f"{path} is missing or empty, but backups of it are there. Nothing was changed. Restore the newest:\n"
            f"  {restore}\nor begin anew:\n  {anew}"
        )


class DatabaseLocked(FileFault):
    """Another program holds the database for longer than we wait."""

    said = "{path} is held by another program. Nothing was changed. Close the other program, then try again."


class OnlyRead(FileFault):
    """The database is read and not written; whatever was to be written was not."""

    said = (
        "{path} is only read: nothing can be written there. Nothing was changed. Allow writing there, then stop "
        "Fitcheck and start it again."
    )


class DatabaseTaken(OnlyRead):
    """The file was deleted, renamed or replaced while it was open: from then on what was open is only read."""

    said = (
        "The database was taken away or replaced while Fitcheck ran. Nothing was written. Stop Fitcheck and start it "
        "again."
    )


class WritingStill(DatabaseLocked):
    """A change of this program itself holds the database for longer than we wait."""

    said = "{path} is held by another change of Fitcheck's own. Nothing was changed. Wait a moment, then try again."


class FolderNotWritable(FileFault):
    """The folder or the file cannot be written."""

    said = "{path} cannot be written: {detail}. Nothing was changed. Allow writing there, or choose another folder."


class DiskFull(FileFault):
    """There is no room for the change."""

    said = "No room left for {path}. Nothing was changed. Make room on the disk, then try again."


class DiskFails(FileFault):
    """The disk gave an error of its own."""

    said = (
        "The disk with {path} gave an error: {detail}. Nothing was changed. Check the disk, and keep a backup on "
        "another one."
    )


class AlreadyThere(FileFault):
    """A file of this name is there already and is not overwritten."""

    said = "{path} is there already and stays as it is. Choose another name."


class SheetNotFound(StoreError):
    """The make has no sheet of that name: it was never begun, or it was removed.

    make, sheet  what was asked for
    """

    def __init__(self, make: str, sheet: str) -> None:
        self.make, self.sheet = make, sheet
        super().__init__(f"makes/{make} has no sheet {sheet!r}. Open the sheet anew and go on from the row it shows.")


class SheetEnded(StoreError):
    """Nothing is tapped on a sheet that was ended.

    sheet  the sheet
    """

    def __init__(self, make: str, sheet: BegunSheet) -> None:
        self.make, self.sheet = make, sheet
        super().__init__(
            f"Sheet {sheet.id!r} of makes/{make} was ended; the tap was not taken. Open the sheet that replaced it."
        )


class TapBeyondSheet(StoreError):
    """A line that the sheet does not have."""

    def __init__(self, line: int, lines: int) -> None:
        super().__init__(
            f"line: read {line}; 0 to {lines - 1}, the lines of the sheet, are accepted. Reload the sheet."
        )


class NotFound(StoreError, LookupError):
    """There is no such record, revision, place or reading; `kind` and `key` say which record was meant."""

    def __init__(self, kind: str, key: str, said: str, *, deleted: bool = False) -> None:
        super().__init__(said)
        self.kind, self.key, self.deleted = kind, key, deleted

    def __str__(self) -> str:
        return str(self.args[0])


class StaleWrite(StoreError):
    """Somebody else changed the record since it was read: nothing was written, both versions are here.

    mine    the document that was to be written; None for an undo or a deletion
    theirs  the record as it is now; None when there never was one
    base    the revision that mine was made from; None when there is no such revision
    """

    def __init__(
        self,
        kind: str,
        key: str,
        *,
        mine: Mapping[str, Any] | None,
        theirs: Stored | None,
        base: Stored | None,
    ) -> None:
        now = "it is not there" if theirs is None else f"it is at revision {theirs.revision} now"
        if theirs is not None and theirs.deleted:
            now += " and deleted"
        super().__init__(
            f"{kind}/{key} was changed meanwhile: {now}. Nothing was written. Look at both versions, then save again."
        )
        self.kind, self.key, self.mine, self.theirs, self.base = kind, key, mine, theirs, base


class LaterChange(StoreError):
    """A change cannot be taken back by itself: a later one stands at the same place.

    at  when that was, UTC
    """

    def __init__(self, kind: str, key: str, address: str, at: str) -> None:
        super().__init__(
            f"{address or 'The record'} in {kind}/{key} was changed again at {at}. Nothing was taken back. "
            "Take the later change back first."
        )
        self.kind, self.key, self.address, self.at = kind, key, address, at


class IdTaken(StoreError):
    """A reading with this id is there already and says something else."""

    def __init__(self, kind: str, key: str, reading_id: str, there: Mapping[str, Any]) -> None:
        super().__init__(
            f"{kind}/{key} has a reading {reading_id} already ({there.get('text', '')}). Readings are never "
            "overwritten: give the new one another id, or set the old one aside."
        )
        self.kind, self.key, self.reading_id, self.there = kind, key, reading_id, dict(there)


class StillNamed(StoreError):
    """Other records name this one, so it cannot be deleted; `names` lists them as (kind, key)."""

    def __init__(self, kind: str, key: str, names: Sequence[tuple[str, str]]) -> None:
        super().__init__(
            f"{kind}/{key} is named by {_listed(names)}. It was kept. Take it out there first, or delete those first."
        )
        self.kind, self.key, self.names = kind, key, tuple(names)


class ImportConflicts(StoreError):
    """A bundle brings other versions of records that are here; nothing was imported.

    records  the records, as (kind, key)
    """

    def __init__(self, records: Sequence[tuple[str, str]]) -> None:
        super().__init__(
            f"These records are here already and differ: {_listed(records)}. Nothing was imported. Import with "
            "update to take the file's, or give them another id in the file."
        )
        self.records = tuple(records)


def _listed(records: Sequence[tuple[str, str]]) -> str:
    """Records by kind and key, twenty of them."""
    more = f" and {len(records) - 20} more" if len(records) > 20 else ""
    return ", ".join(f"{kind}/{key}" for kind, key in records[:20]) + more


class BundleTooLarge(StoreError):
    """The household does not fit into a bundle that could be opened again."""

    def __init__(self, size: str, most: str) -> None:
        super().__init__(
            f"The bundle would have {size}; one of {most} at most can be opened again. Make a backup instead: it holds "
            "everything."
        )


_DAMAGED = {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB}
_LOCKED = {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}
_CLOSED = {sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM, sqlite3.SQLITE_AUTH}


@contextmanager
def plainly(path: Path) -> Iterator[None]:
    """Turn what SQLite and the system say about `path` into a StoreError."""
    try:
        yield
    except sqlite3.Error as error:
        raise _of_sqlite(path, error) from error
    except OSError as error:
        raise _of_system(path, error) from error


def _of_sqlite(path: Path, error: sqlite3.Error) -> Exception:
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF  # the extended code carries the plain one below
    said = str(error)
    if code in _LOCKED:
        return DatabaseLocked(path)
    if code == sqlite3.SQLITE_FULL:
        return DiskFull(path)
    if code in _DAMAGED:
        return DatabaseDamaged(path, said)
    if code in _CLOSED:
        return FolderNotWritable(path, said)
    if code == sqlite3.SQLITE_IOERR:
        return DiskFails(path, said)
    return error


def _of_system(path: Path, error: OSError) -> StoreError:
    said = error.strerror or str(error)
    if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        return DiskFull(path)
    if error.errno == errno.EIO:
        return DiskFails(path, said)
    return FolderNotWritable(path, said)
