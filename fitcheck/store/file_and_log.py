"""A database file and its log: where they stand, which files they are now, and how they are opened."""

from __future__ import annotations

from pathlib import Path

Files = tuple[tuple[int, int] | None, ...]
"""Device and inode of a database and of its log; None where there is none."""

READ_AND_WRITTEN, READ_IN_USE, READ_AT_REST = "mode=rw", "mode=ro", "mode=ro&immutable=1"
"""How a file is opened (sqlite.org/uri.html). One at rest is read with nothing beside it: nobody may write it then."""

BUSY_SECONDS = 5.0
"""How long a change waits for another one [s]."""


def log_of(path: Path) -> Path:
    """Where SQLite keeps what was written and is not in the file yet."""
    return path.with_name(path.name + "-wal")


def files_of(path: Path) -> Files:
    """Which files stand under the names of a database and its log now."""
    return tuple(_file(part) for part in (path, log_of(path)))


def _file(path: Path) -> tuple[int, int] | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def written_at(path: Path) -> tuple[int, int] | None:
    """Size and time of the last change of a file; None where there is none."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_size, found.st_mtime_ns
