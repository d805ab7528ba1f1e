"""What earlier versions of the program wrote, one of each number: household files and databases, as they wrote them.

``format_1.json`` and ``version_2.sql`` are the bundle and the dump of one store of the program that wrote format 1 and
version 2 of the tables. Its moss sweater has costs that somebody had set, and a change after that.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

HERE = Path(__file__).parent
FORMAT_1 = HERE / "format_1.json"


def version_2(path: Path) -> Path:
    """A database as version 2 of the tables wrote it."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.executescript((HERE / "version_2.sql").read_text(encoding="utf-8"))
    return path
