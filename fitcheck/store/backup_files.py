"""The backups beside a database: how they are named, and which are there."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path

from fitcheck.records.frozen import frozen
from fitcheck.store.faults import plainly

BACKUPS = "backups"
"""Folder beside the database for the copies that Fitcheck makes."""
DAILY = "daily"
"""Why a backup was made that was made by itself."""
_WHEN = "%Y-%m-%dT%H%M%S%f"
_NAME = re.compile(
    r"-(?:(?P<why>daily|version-\d+)-)?(?P<when>\d{4}-\d\d-\d\dT\d{9})"
    r"[Z+]"  # older programs cut "+0000" after its first character
    r"(?:-[0-9a-f]+)?\.db"
)


@frozen
class Backup:
    """One backup of a database.

    at    when it was made, UTC
    size  how large it is [bytes]
    why   `DAILY` where it was made by itself, "version-3" where the tables were brought up to date, else ""
    """

    path: Path
    at: datetime
    size: int
    why: str


def new_name(database: Path, why: str = "", apart: str = "") -> Path:
    """Where a new backup of a database goes; apart: what tells it from another of the same moment."""
    when = datetime.now(UTC).strftime(_WHEN)[:-3] + "Z"
    return database.parent / BACKUPS / ("-".join(filter(None, (database.stem, why, when, apart))) + ".db")


def backups_of(database: Path) -> tuple[Backup, ...]:
    """The backups in the folder beside a database that are its own, the newest first."""
    folder = database.parent / BACKUPS
    with plainly(folder):
        names = sorted(folder.iterdir()) if folder.is_dir() else []
        found = [_read(file, database.stem) for file in names]
    return tuple(sorted((backup for backup in found if backup), key=lambda backup: backup.at, reverse=True))


def _read(file: Path, stem: str) -> Backup | None:
    """What the name of a file says, where it is a backup of a database of that name."""
    if not file.name.startswith(stem):
        return None
    match = _NAME.fullmatch(file.name, len(stem))
    if match is None:
        return None
    try:
        at = datetime.strptime(match["when"], _WHEN).replace(tzinfo=UTC)
        return Backup(file, at, file.stat().st_size, match["why"] or "")
    except (ValueError, FileNotFoundError):  # no day of a calendar; gone meanwhile
        return None
