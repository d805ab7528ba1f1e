"""A copy of a whole database that is in use: complete in one file, or not there at all."""

from __future__ import annotations

import os
import secrets
import sqlite3
from contextlib import closing
from pathlib import Path

from fitcheck.store.devices import left_out_of
from fitcheck.store.faults import AlreadyThere, DatabaseDamaged, plainly


def copied(source: sqlite3.Connection, to: Path) -> Path:
    """Copy the database behind a connection into a new file, which is checked and on the disk on return.

    The devices that were paired stay out of it: a copy is carried away, and whoever has it is none of them.

    Copying the file itself would lose what still stands in its log.
    """
    part = to.with_name(f".{to.name}.{secrets.token_hex(4)}.part")
    with plainly(to):
        try:
            os.close(os.open(part, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
            with closing(sqlite3.connect(part, isolation_level=None)) as target:
                source.backup(target)
                # One file without a log beside it, so that it can be carried away.
                target.execute("pragma journal_mode = delete")
                left_out_of(target)
                if target.execute("pragma quick_check(1)").fetchone()[0] != "ok":
                    raise DatabaseDamaged(to, "the copy does not read back")
            _flushed(part)
            if to.exists():
                raise AlreadyThere(to)
            part.replace(to)
            _flushed(to.parent)
        finally:
            for leftover in (
                part,
                *(part.with_name(part.name + end) for end in ("-journal", "-wal", "-shm")),
            ):
                leftover.unlink(missing_ok=True)
    return to


def _flushed(path: Path) -> None:
    if path.is_dir() and os.name == "nt":
        return  # Windows flushes names of files by itself and opens no folders
    handle = os.open(path, os.O_RDONLY if os.name != "nt" else os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
