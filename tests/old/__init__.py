"""What earlier versions of the program wrote, one of each number: household files and databases, as they wrote them.

``format_1.json`` and ``version_2.sql`` are the bundle and the dump of one store of the program that wrote format 1 and
version 2 of the tables. Its moss sweater has costs that somebody had set, and a change after that. ``version_3.sql`` is
the dump of the store that took that bundle in, of the program that wrote version 3, with another change; and
``format_2.json`` and ``version_4.sql`` are the bundle and the dump of one that the program of those numbers wrote.
``version_5.sql`` is the dump of the store that took ``format_2.json`` in, of the program that wrote version 5, with
deeds that are done. ``format_3.json`` and ``version_6.sql`` are the bundle and the dump of one store of the program of
those numbers, with the rows of a band and a photograph.
``version_7.sql`` is the dump of the store that took that bundle in, of the program that wrote version 7, with readings
that were added one by one; ``version_8.sql`` that of the program that wrote version 8, alike.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

HERE = Path(__file__).parent
FORMAT_1 = HERE / "format_1.json"
FORMAT_2 = HERE / "format_2.json"
FORMAT_3 = HERE / "format_3.json"


def version_2(path: Path) -> Path:
    """A database as version 2 of the tables wrote it."""
    return _built(path, "version_2.sql")


def version_3(path: Path) -> Path:
    """A database as version 3 of the tables wrote it."""
    return _built(path, "version_3.sql")


def version_4(path: Path) -> Path:
    """A database as version 4 of the tables wrote it."""
    return _built(path, "version_4.sql")


def version_5(path: Path) -> Path:
    """A database as version 5 of the tables wrote it."""
    return _built(path, "version_5.sql")


def version_6(path: Path) -> Path:
    """A database as version 6 of the tables wrote it."""
    return _built(path, "version_6.sql")


def version_7(path: Path) -> Path:
    """A database as version 7 of the tables wrote it."""
    return _built(path, "version_7.sql")


def version_8(path: Path) -> Path:
    """A database as version 8 of the tables wrote it."""
    return _built(path, "version_8.sql")


def _built(path: Path, dump: str) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.executescript((HERE / dump).read_text(encoding="utf-8"))
    return path
