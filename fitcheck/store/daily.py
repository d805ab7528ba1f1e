"""One backup by itself each day that something changed; older ones of these and what was left half done are swept."""

from __future__ import annotations

import re
import shutil
import sqlite3
import time
from contextlib import closing
from datetime import datetime
from pathlib import Path

from fitcheck.store.backup_files import BACKUPS, DAILY, Backup, backups_of, new_name
from fitcheck.store.backups import RESTORING, back_up
from fitcheck.store.database import Database
from fitcheck.store.faults import plainly

DAILY_KEPT = 10
"""How many of the backups that are made by themselves stay."""
LEFT_SECONDS = 3600.0
"""How old a half-made copy is before it is taken for one that was left by a killed process [s]."""
_PART = re.compile(r"\..+\.db\.[0-9a-f]{8}\.part(?:-journal|-wal|-shm)?")
_State = tuple[int, str, int]
"""How often something changed, of which database, and how many taps there are."""


class Daily:
    """Makes one backup a day of a database that is served, once something changed since the latest."""

    def __init__(self, database: Database) -> None:
        self._database = database
        self._swept = ""
        self._backed_up: _State | None = None

    def tend(self) -> Path | None:
        """Make today's backup where it is missing and something changed; return where it is.

        Raises DiskFull, FolderNotWritable or another fault of the disk; no half of a backup is left then.
        """
        today = datetime.now().astimezone().date().isoformat()
        if self._swept != today:
            sweep(self._database.path)
            self._swept = today
        with self._database.reading() as connection:
            now = _state(connection)
        if now == self._backed_up:
            return None
        backups = backups_of(self._database.path)
        if any(backup.why == DAILY and _day(backup) == today for backup in backups):
            return None
        if now[0] == 0 or (backups and _state_of(backups[0].path) == now):
            self._backed_up = now
            return None
        made = back_up(self._database, new_name(self._database.path, DAILY))
        for older in [backup for backup in backups if backup.why == DAILY][DAILY_KEPT - 1 :]:
            with plainly(older.path):
                older.path.unlink(missing_ok=True)
        return made


def _day(backup: Backup) -> str:
    return backup.at.astimezone().date().isoformat()


def _state(connection: sqlite3.Connection) -> _State:
    row = connection.execute("select changes, token, (select count(*) from taps) from counter").fetchone()
    return int(row[0]), str(row[1]), int(row[2])


def _state_of(backup: Path) -> _State | None:
    """The state that a backup holds; None where that cannot be read, as of an older version."""
    try:
        with closing(sqlite3.connect(f"{backup.as_uri()}?mode=ro&immutable=1", uri=True)) as connection:
            return _state(connection)
    except sqlite3.Error:
        return None


def sweep(database: Path) -> None:
    """Delete what a killed process left half done beside a database: parts of copies, folders of a restore."""
    before = time.time() - LEFT_SECONDS
    folder = database.parent / BACKUPS
    with plainly(folder):
        parts = [file for file in folder.iterdir() if _PART.fullmatch(file.name)] if folder.is_dir() else []
        for left in (*parts, *database.parent.glob(f"{RESTORING}*")):
            if left.stat().st_mtime < before:
                shutil.rmtree(left) if left.is_dir() else left.unlink(missing_ok=True)
