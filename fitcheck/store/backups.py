"""Backups of the whole database while it is in use, and the way back."""

from __future__ import annotations

import os
import secrets
import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path

from fitcheck.store import folders
from fitcheck.store.backup_files import new_name
from fitcheck.store.copies import copied
from fitcheck.store.database import Database, connected
from fitcheck.store.examining import examine
from fitcheck.store.faults import DatabaseDamaged, DatabaseForeign, NotFound, plainly
from fitcheck.store.steps import check_version, take_steps

RESTORING = ".restoring-"
"""How a folder begins in which a backup is made ready to be restored."""


def back_up(database: Database, to: Path | None = None) -> Path:
    """Copy everything, history too, into one new file; without a name, into the folder of backups."""
    if to is None:
        to = new_name(database.path)
    folders.made(to.parent)
    with database.outside_transactions() as connection:
        return copied(connection, to.absolute())


def restore(path: Path, backup: Path) -> Path | None:
    """Make the database at `path` equal to a backup, also while it is in use.

    What was there is backed up first; a damaged file is put aside whole. Returns where it is kept, None when
    there was nothing. The backup is looked through and brought up to date in a copy first, so that a bad one
    changes nothing.
    """
    path, backup = path.absolute(), backup.absolute()
    with plainly(backup):
        if not backup.exists():
            raise NotFound("backup", str(backup), f"There is no file {backup}. Look for a slip in its name.")
    version = examine(backup)
    if version == 0:
        raise DatabaseForeign(backup, "an empty file")
    folders.made(path.parent)
    with plainly(path), tempfile.TemporaryDirectory(prefix=RESTORING, dir=path.parent) as folder:
        fresh = Path(folder) / "fresh.db"
        with closing(sqlite3.connect(f"{backup.as_uri()}?mode=ro", uri=True)) as source:
            copied(source, fresh)
        with closing(connected(fresh)) as connection:
            check_version(connection, backup)
            take_steps(connection, fresh, version)
            connection.execute("update counter set changes = changes + 1, token = ?", (secrets.token_hex(8),))
            connection.execute("pragma journal_mode = delete")
        try:
            before = examine(path)
        except DatabaseDamaged:
            return _in_place_of_damaged(path, fresh)
        with Database.open(path, new=True) as database:
            database.check_writable()
            kept = back_up(database) if before else None
            with closing(sqlite3.connect(fresh)) as source, database.outside_transactions() as connection:
                source.backup(connection)
        return kept


def _in_place_of_damaged(path: Path, fresh: Path) -> Path:
    """Put a damaged file aside with its log, also a log alone; return where it is kept."""
    kept = path.with_name(new_name(path, "damaged").name)
    aside = []
    for end in ("", "-wal", "-shm"):
        part = path.with_name(path.name + end)
        if part.exists():
            aside.append(part.replace(kept.with_name(kept.name + end)))
    os.replace(fresh, path)
    return aside[0]
