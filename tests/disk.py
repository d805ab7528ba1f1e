"""No test waits until the disk has what it wrote.

With ``synchronous = off`` SQLite hands a transaction to the system and goes on. It outlives the process that wrote it,
a killed one too, and only not a power cut (https://sqlite.org/pragma.html#pragma_synchronous). A new file waits
longest, 20 ms, when it is given a log: here it gets that before it is opened.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from functools import wraps
from pathlib import Path

from fitcheck.store import database


def go_on_at_once() -> None:
    """From here on no database of this process waits for the disk."""
    as_served = database.connected

    @wraps(as_served)
    def connected(path: Path, *given: object, **more: object) -> sqlite3.Connection:
        if path.is_file() and path.stat().st_size == 0:
            with closing(sqlite3.connect(path, isolation_level=None)) as new:
                new.execute("pragma synchronous = off")
                new.execute("pragma journal_mode = wal")
        connection = as_served(path, *given, **more)  # type: ignore[arg-type]
        connection.execute("pragma synchronous = off")
        return connection

    database.connected = connected
