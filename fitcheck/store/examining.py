"""What a file is, told without changing it: a database of ours, of which version, whole; or why it is not opened."""

from __future__ import annotations

import sqlite3
import struct
from contextlib import closing
from pathlib import Path

from fitcheck.store.faults import DatabaseDamaged, DatabaseForeign, DatabaseNewer, LogOrphaned, plainly
from fitcheck.store.file_and_log import BUSY_SECONDS, READ_AT_REST, READ_IN_USE, log_of
from fitcheck.store.steps import APPLICATION_ID, NEWEST

_MAGIC = b"SQLite format 3\x00"
_HEADER = 100  # bytes of the header of a SQLite file (sqlite.org/fileformat2.html, 1.3)
_VERSION_AT, _APPLICATION_AT = 60, 68


def examine(path: Path, busy_seconds: float = BUSY_SECONDS) -> int:
    """Look at a file without changing it and return the version of its tables; 0 for a new or empty one.

    Raises DatabaseForeign, DatabaseNewer, DatabaseDamaged or LogOrphaned.
    """
    log = log_of(path)
    with plainly(path):
        if path.is_dir():
            raise DatabaseForeign(path, "a folder")
        header = b""
        if path.exists():
            with path.open("rb") as file:
                header = file.read(_HEADER)
        unfinished = log.exists() and log.stat().st_size > 0
    if not header:
        if unfinished:
            raise LogOrphaned(path, str(log))
        return 0
    if not header.startswith(_MAGIC[: len(header)]):
        raise DatabaseForeign(path, "another kind of file")
    if len(header) < _HEADER:
        raise DatabaseDamaged(path, "it ends in the middle of its first lines")
    if not unfinished:
        # Told from the bytes alone, so that a foreign or newer file is not even opened.
        _ours(path, *(struct.unpack_from(">i", header, at)[0] for at in (_APPLICATION_AT, _VERSION_AT)))
    return _looked_through(path, log, busy_seconds)


def _ours(path: Path, application: int, version: int) -> None:
    if application not in (0, APPLICATION_ID):
        raise DatabaseForeign(path, "a database of another program")
    if application == APPLICATION_ID and version > NEWEST:
        raise DatabaseNewer(path, version, NEWEST)
    if application == APPLICATION_ID and version < 1:
        raise DatabaseDamaged(path, f"it says version {version} of its tables, which no Fitcheck wrote")


def _looked_through(path: Path, log: Path, busy_seconds: float) -> int:
    """Read every page; nothing is written, not even beside the file where nobody else has it open."""
    in_use = log.exists()
    try:
        return _read_through(path, READ_IN_USE if in_use else READ_AT_REST, busy_seconds)
    except DatabaseDamaged:
        if in_use or not log.exists():
            raise
        # Somebody opened it meanwhile, so that its pages changed under a look that took them as at rest.
        return _read_through(path, READ_IN_USE, busy_seconds)


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
