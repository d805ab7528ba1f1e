"""The database file: opened after a look at it, connections lent out, faults in plain words."""

from __future__ import annotations

import os
import shutil
import sqlite3
import threading
import time
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, suppress
from pathlib import Path
from tempfile import TemporaryDirectory

from fitcheck.store import folders
from fitcheck.store.backup_files import backups_of
from fitcheck.store.examining import examine
from fitcheck.store.faults import (
    DatabaseDamaged,
    DatabaseForeign,
    DatabaseGone,
    DatabaseTaken,
    FolderNotWritable,
    OnlyRead,
    StoreError,
    WritingStill,
    plainly,
)
from fitcheck.store.file_and_log import (
    BUSY_SECONDS,
    READ_AND_WRITTEN,
    READ_AT_REST,
    READ_IN_USE,
    Files,
    files_of,
    log_of,
    written_at,
)
from fitcheck.store.steps import NEWEST, check_version, take_steps


class Database:
    """One database file with connections for any number of threads. Use as a context manager, or close it."""

    def __init__(self, path: Path, busy_seconds: float) -> None:
        self.path = path
        self._busy = busy_seconds
        # Where and how it is opened; a copy of what cannot be opened where it stands goes with it.
        self._at, self._how = path, READ_AND_WRITTEN
        self._copy: TemporaryDirectory[str] | None = None
        self.only_read = False
        self._idle: list[sqlite3.Connection] = []
        self._guard = threading.Condition()
        # Threads of one process queue here; SQLite's own waiting between processes is a polling one.
        self._writer = threading.Lock()
        self._closed = False
        self._opened: Files | None = None
        self._taken = False
        # When something was last written that may stand in the log alone; None: nothing since the log was emptied.
        self._written: float | None = time.monotonic()

    @classmethod
    def open(cls, path: str | os.PathLike[str], *, new: bool = False, busy_seconds: float = BUSY_SECONDS) -> Database:
        """Open a database, or make a new one; an older one is backed up and brought up to date.

        new  whether one is made also where backups say that there was one

        One that is there and cannot be written is opened to be read.

        Raises DatabaseNewer, DatabaseForeign, DatabaseDamaged, LogOrphaned, DatabaseGone, DatabaseLocked,
        FolderNotWritable or DiskFull; the file is then as it was.
        """
        file = Path(path).absolute()
        folders.made(file.parent)
        try:
            version = examine(file, busy_seconds)
            if version == 0 and not new and (backups := backups_of(file)):
                raise DatabaseGone(file, backups[0].path)
            return cls._opened_to_write(file, version, busy_seconds)
        except FolderNotWritable:
            empty = not file.exists() or file.stat().st_size == 0
            if empty or (os.access(file, os.W_OK) and os.access(file.parent, os.W_OK)):
                raise
            return cls.open_to_read(file, busy_seconds=busy_seconds)

    @classmethod
    def _opened_to_write(cls, file: Path, version: int, busy_seconds: float) -> Database:
        """Open a file that was looked through, and make sure that it can be written."""
        with plainly(file):
            if not file.exists():
                # SQLite would let everybody read it; its -wal and -shm take their permissions from this file.
                os.close(os.open(file, os.O_CREAT | os.O_RDWR, 0o600))
        database = cls(file, busy_seconds)
        try:
            with plainly(file), database._lent() as connection:
                check_version(connection, file)
                # A new file is one step old from the start, so only a file with tables needs a backup.
                take_steps(connection, file, version)
                # A file that is closed for writing lets a transaction begin; only a change is refused.
                connection.execute("begin immediate")
                connection.execute("update counter set changes = changes")
                connection.execute("rollback")
            database._opened = files_of(file)
            database.settle()
        except BaseException:
            database.close()
            raise
        return database

    @classmethod
    def open_to_read(cls, path: str | os.PathLike[str], *, busy_seconds: float = BUSY_SECONDS) -> Database:
        """Open a database that is there, to be read alone: neither it nor its log is written, even where both could be.

        An older one, and one with a log on a disk where SQLite can lay nothing beside it, is read in a copy.

        Raises DatabaseNewer, DatabaseForeign, DatabaseDamaged, LogOrphaned, DatabaseGone or DatabaseLocked.
        """
        file = Path(path).absolute()
        database = cls(file, busy_seconds)
        database.only_read = True
        try:
            version = examine(file, busy_seconds)
            if version == 0:
                backups = backups_of(file)
                raise DatabaseGone(file, backups[0].path) if backups else DatabaseForeign(file, "an empty file")
            if version == NEWEST:
                database._how = READ_IN_USE if log_of(file).exists() else READ_AT_REST
                database._opened = files_of(file)
                with database.reading() as connection:
                    connection.execute("select changes from counter").fetchone()
                return database
        except FolderNotWritable:
            pass
        except BaseException:
            database.close()
            raise
        database.close()
        return cls._in_a_copy(file, busy_seconds)

    @classmethod
    def _in_a_copy(cls, file: Path, busy_seconds: float) -> Database:
        """Open a copy of a database and its log that nobody writes; it goes when the database is closed."""
        folder = TemporaryDirectory(prefix="fitcheck-read-")
        try:
            with plainly(file):
                for part in filter(Path.exists, (file, log_of(file))):
                    shutil.copyfile(part, Path(folder.name, part.name))
            copy = Path(folder.name, file.name)
            database = cls._opened_to_write(copy, examine(copy, busy_seconds), busy_seconds)
        except BaseException:
            folder.cleanup()
            raise
        database.path, database.only_read, database._copy = file, True, folder
        return database

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """Lend a connection inside one read transaction: everything read belongs together."""
        with self._as_it_was(), plainly(self.path), self._lent() as connection:
            connection.execute("begin")
            try:
                yield connection
            finally:
                connection.execute("rollback")

    @contextmanager
    def writing(self, *, counts: bool = True) -> Iterator[sqlite3.Connection]:
        """Lend a connection inside one write transaction: all of it is kept and on the disk, or nothing.

        counts  whether what is written may change an answer: whoever keeps one then looks again

        Raises OnlyRead where it cannot be written, DatabaseTaken where the file is not the one that was opened: what
        is written there would be gone.
        """
        if self.only_read:
            raise OnlyRead(self.path)
        if not self._writer.acquire(timeout=self._busy):
            raise WritingStill(self.path)
        try:
            with plainly(self.path), self._lent() as connection:
                self._check_there()
                connection.execute("begin immediate")
                before = connection.total_changes
                try:
                    yield connection
                    if counts and connection.total_changes != before:
                        connection.execute("update counter set changes = changes + 1")
                    self._check_there()
                    connection.execute("commit")
                    self._written = time.monotonic()
                except BaseException:
                    # A full disk makes SQLite roll back by itself; then there is nothing left to roll back.
                    if connection.in_transaction:
                        connection.execute("rollback")
                    raise
        finally:
            self._writer.release()

    def adding(self) -> AbstractContextManager[sqlite3.Connection]:
        """The same for what no answer depends on."""
        return self.writing(counts=False)

    @contextmanager
    def outside_transactions(self) -> Iterator[sqlite3.Connection]:
        """Lend a connection with no transaction: for copies of the whole file."""
        with self._as_it_was(), plainly(self.path), self._lent() as connection:
            yield connection

    @contextmanager
    def _as_it_was(self) -> Iterator[None]:
        """Raise DatabaseTaken where a file that is read as one at rest was written meanwhile."""
        if self._how != READ_AT_REST:
            yield
            return
        before = written_at(self._at)
        try:
            yield
        except DatabaseDamaged:
            if written_at(self._at) != before:
                raise DatabaseTaken(self.path) from None
            raise
        if written_at(self._at) != before:
            raise DatabaseTaken(self.path)

    def check_writable(self) -> None:
        """Raise OnlyRead where nothing may be written, as DatabaseTaken where that came while it was open."""
        if self.only_read:
            raise OnlyRead(self.path)
        self._check_there()

    def _check_there(self) -> None:
        """Raise DatabaseTaken where the file or its log was taken away or replaced, now or before."""
        if self._is_taken():
            raise DatabaseTaken(self.path)

    def _is_taken(self) -> bool:
        if self._opened is not None and not self._taken and files_of(self._at) != self._opened:
            self._taken = True
        return self._taken

    @property
    def kept_from(self) -> type[OnlyRead] | None:
        """What writing would raise, as far as that is known before; None where it may be written."""
        if self.only_read:
            return OnlyRead
        return DatabaseTaken if self._is_taken() else None

    @contextmanager
    def _lent(self) -> Iterator[sqlite3.Connection]:
        connection = self._free() or self._another()
        try:
            yield connection
        finally:
            with self._guard:
                if self._closed:
                    connection.close()
                else:
                    self._idle.append(connection)
                    self._guard.notify()

    def _free(self) -> sqlite3.Connection | None:
        """A connection that nobody has; None where another is to be made."""
        with self._guard:
            # Another connection would be to another file, so that each waits for those that there are.
            if self._taken and not self._guard.wait_for(lambda: self._idle or self._closed, self._busy):
                raise WritingStill(self.path)
            if self._closed:
                raise StoreError(f"{self.path} was closed. Open it again.")
            return self._idle.pop() if self._idle else None

    def _another(self) -> sqlite3.Connection:
        """One connection more, to the file that was opened."""
        try:
            # Looked at before: a connection to another file would take this one's log for its own.
            self._check_there()
        except DatabaseTaken:
            return self._free() or self._another()
        return connected(self._at, self._busy, self._how)

    def settle(self, still_seconds: float = 0.0) -> bool:
        """Write what stands in the log into the file and empty the log, so that the file alone is the whole.

        still_seconds  how long nothing must have been written before [s]

        Returns whether it is so now. Whoever reads or writes meanwhile is not kept waiting: it is done another time.
        """
        written = None if self.only_read else self._written
        if written is None:
            return True
        if time.monotonic() - written < still_seconds or not self._writer.acquire(blocking=False):
            return False
        try:
            with plainly(self.path), self._lent() as connection:
                self._check_there()
                connection.execute("pragma busy_timeout = 0")
                try:
                    busy = connection.execute("pragma wal_checkpoint(truncate)").fetchone()[0]
                finally:
                    connection.execute(f"pragma busy_timeout = {round(self._busy * 1000)}")
                if not busy:
                    self._written = None
                return not busy
        finally:
            self._writer.release()

    def close(self) -> None:
        """Close every connection; what was acknowledged is on the disk already, and in the file where that can be."""
        if self._opened is not None and not self.only_read and not self._closed:
            self._written = time.monotonic()  # a copy into the whole file is no transaction of ours
            with suppress(StoreError):
                self.settle()
        with self._guard:
            self._closed = True
            idle, self._idle = self._idle, []
            self._guard.notify_all()
        for connection in idle:
            connection.close()
        if self._copy is not None:
            self._copy.cleanup()

    def __enter__(self) -> Database:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def connected(path: Path, busy_seconds: float = BUSY_SECONDS, how: str = READ_AND_WRITTEN) -> sqlite3.Connection:
    """Connect to a file that exists, with the settings that keep an acknowledged write."""
    connection = sqlite3.connect(
        f"{path.as_uri()}?{how}",
        uri=True,
        timeout=busy_seconds,
        isolation_level=None,
        check_same_thread=False,
    )
    try:
        if how == READ_AND_WRITTEN:
            connection.execute("pragma journal_mode = wal")
        # NORMAL would lose acknowledged writes in a power cut.
        connection.execute("pragma synchronous = full")
        connection.execute("pragma foreign_keys = on")
    except BaseException:
        connection.close()
        raise
    return connection
