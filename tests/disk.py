"""No test waits until the disk has what it wrote.

With ``synchronous = off`` SQLite hands a transaction to the system and goes on. It outlives the process that wrote it,
a killed one too, and only not a power cut (https://sqlite.org/pragma.html#pragma_synchronous).
"""

from __future__ import annotations

import sqlite3
from functools import wraps

from fitcheck.store import database


def go_on_at_once() -> None:
    """From here on no database of this process waits for the disk."""
    as_served = database.connected

    @wraps(as_served)
    def connected(*given: object, **more: object) -> sqlite3.Connection:
        connection = as_served(*given, **more)  # type: ignore[arg-type]
        connection.execute("pragma synchronous = off")
        return connection

    database.connected = connected
