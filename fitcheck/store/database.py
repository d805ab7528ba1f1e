"""The database file: opened after a look at it, connections lent out, faults in plain words."""

from __future__ import annotations

import os
import sqlite3
import struct
import threading
from collections.abc import Iterator
from contextlib import AbstractContextManager, closing, contextmanager
from pathlib import Path

from fitcheck.store import folders
from fitcheck.store.faults import (
    DatabaseDamaged,
    DatabaseForeign,
    DatabaseLocked,
    DatabaseNewer,
    StoreError,
    plainly,
)
from fitcheck.store.steps import APPLICATION_ID, NEWEST, take_steps

_MAGIC = b"SQLite format 3\x00"
_HEADER = 100  # bytes of the header of a SQLite file (sqlite.org/fileformat2.html, 1.3)
_VERSION_AT, _APPLICATION_AT = 60, 68

BUSY_SECONDS = 5.0
"""How long a change waits for another one [s]."""


class Database:
    """One database file with connections for any number of threads. Use as a context manager, or close it."""

    def __init__(self, path: Path, busy_seconds: float) -> None:
        self.path = path
        self._busy = busy_seconds
        self._idle: list[sqlite3.Connection] = []
        self._guard = threading.Lock()
        # Threads of one process queue here; SQLite's own waiting between processes is a polling one.
        self._writer = threading.Lock()
        self._closed = False

    @classmethod
    def open(cls, path: str | os.PathLike[str], *, busy_seconds: float = BUSY_SECONDS) -> Database:
        """Open a database, or make a new one; an older one is backed up and brought up to date.

        Raises DatabaseNewer, DatabaseForeign, DatabaseDamaged, DatabaseLocked, FolderNotWritable or DiskFull;
        the file is then as it was.
        """
        file = Path(path).absolute()
        folders.made(file.parent)
        version = examine(file, busy_seconds)
        with plainly(file):
            if not file.exists():
                # SQLite would let everybody read it; its -wal and -shm take their permissions from this file.
                os.close(os.open(file, os.O_CREAT | os.O_RDWR, 0o600))
        database = cls(file, busy_seconds)
        try:
            with plainly(file), database._lent() as connection:
                # A new file is one step old from the start, so only a file with tables needs a backup.
                take_steps(connection, file, version)
                # A file that is closed for writing lets a transaction begin; only a change is refused.
                connection.execute("begin immediate")
                connection.execute("update counter set changes = changes")
                connection.execute("rollback")
        except BaseException:
            database.close()
            raise
        return database

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """Lend a connection inside one read transaction: everything read belongs together."""
        with plainly(self.path), self._lent() as connection:
            connection.execute("begin")
            try:
                yield connection
            finally:
                connection.execute("rollback")

    @contextmanager
    def writing(self, *, counts: bool = True) -> Iterator[sqlite3.Connection]:
        """Lend a connection inside one write transaction: all of it is kept and on the disk, or nothing.

        counts  whether what is written may change an answer: whoever keeps one then looks again
        """
        if not self._writer.acquire(timeout=self._busy):
            raise DatabaseLocked(self.path)
        try:
            with plainly(self.path), self._lent() as connection:
                connection.execute("begin immediate")
                before = connection.total_changes
                try:
                    yield connection
                    if counts and connection.total_changes != before:
                        connection.execute("update counter set changes = changes + 1")
                    connection.execute("commit")
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
        with plainly(self.path), self._lent() as connection:
            yield connection

    @contextmanager
    def _lent(self) -> Iterator[sqlite3.Connection]:
        with self._guard:
            if self._closed:
                raise StoreError(f"{self.path} was closed. Open it again.")
            connection = self._idle.pop() if self._idle else None
        if connection is None:
            connection = connected(self.path, self._busy)
        try:
            yield connection
        finally:
            with self._guard:
                if self._closed:
                    connection.close()
                else:
                    self._idle.append(connection)

    def close(self) -> None:
        """Close every connection; what was acknowledged is on the disk already."""
        with self._guard:
            self._closed = True
            idle, self._idle = self._idle, []
        for connection in idle:
            connection.close()

    def __enter__(self) -> Database:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def connected(path: Path, busy_seconds: float = BUSY_SECONDS) -> sqlite3.Connection:
    """Connect to a file that exists, with the settings that keep an acknowledged write."""
    connection = sqlite3.connect(
        f"{path.as_uri()}?mode=rw",
        uri=True,
        timeout=busy_seconds,
        isolation_level=None,
        check_same_thread=False,
    )
    try:
        connection.execute("pragma journal_mode = wal")
        # NORMAL would lose acknowledged writes in a power cut.
        connection.execute("pragma synchronous = full")
        connection.execute("pragma foreign_keys = on")
    except BaseException:
        connection.close()
        raise
    return connection


def examine(path: Path, busy_seconds: float = BUSY_SECONDS) -> int:
    """Look at a file without changing it and return the version of its tables; 0 for a new or empty one.

    Raises DatabaseForeign, DatabaseNewer or DatabaseDamaged.
    """
    log = path.with_name(path.name + "-wal")
    with plainly(path):
        if path.is_dir():
            raise DatabaseForeign(path, "a folder")
        if not path.exists():
            return 0
        with path.open("rb") as file:
            header = file.read(_HEADER)
        unfinished = log.exists() and log.stat().st_size > 0
    if not header and not unfinished:
        return 0
    if header and not header.startswith(_MAGIC[: len(header)]):
        raise DatabaseForeign(path, "another kind of file")
    if header and len(header) < _HEADER:
        raise DatabaseDamaged(path, "it ends in the middle of its first lines")
    if header and not unfinished:
        # Told from the bytes alone, so that a foreign or newer file is not even opened.
        _ours(path, *(struct.unpack_from(">i", header, at)[0] for at in (_APPLICATION_AT, _VERSION_AT)))
    return _looked_through(path, log, busy_seconds)


def _ours(path: Path, application: int, version: int) -> None:
    if application not in (0, APPLICATION_ID):
        raise DatabaseForeign(path, "a database of another program")
    if application == APPLICATION_ID and version > NEWEST:
        raise DatabaseNewer(path, version, NEWEST)


def _looked_through(path: Path, log: Path, busy_seconds: float) -> int:
    """Read every page; nothing is written, not even beside the file where nobody else has it open."""
    in_use = log.exists()
    try:
        return _read_through(path, "mode=ro" if in_use else "mode=ro&immutable=1", busy_seconds)
    except DatabaseDamaged:
        if in_use or not log.exists():
            raise
        # Somebody opened it meanwhile, so that its pages changed under a look that took them as at rest.
        return _read_through(path, "mode=ro", busy_seconds)


def _read_through(path: Path, how: str, busy_seconds: float) -> int:
    with (
        plainly(path),
        # Read-only: closing the last ordinary connection would write an unfinished log into a refused file.
        closing(
            sqlite3.connect(f"{path.as_uri()}?{how}", uri=True, timeout=busy_seconds, isolation_level=None)
        ) as connection,
    ):
        application = connection.execute("pragma application_id").fetchone()[0]
        version = int(connection.execute("pragma user_version").fetchone()[0])
        _ours(path, application, version)
        tables = connection.execute("select count(*) from sqlite_schema").fetchone()[0]
        if application == 0:
            if tables or version:
                raise DatabaseForeign(path, "a database of another program")
            return 0
        said = [row[0] for row in connection.execute("pragma quick_check(3)")]
        if said != ["ok"]:
            raise DatabaseDamaged(path, "; ".join(" ".join(complaint.split()) for complaint in said))
        return version
