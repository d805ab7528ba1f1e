"""Revisions that only added readings keep these alone: their document is the one before with the readings in it.

So the history of a record grows with its readings and not with their square.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Sequence
from typing import Any, Literal

from fitcheck.records.frozen import frozen
from fitcheck.records.places import Path, Place
from fitcheck.store.places import list_at
from fitcheck.store.spoilt import RecordUnreadable

What = Literal[
    "created",
    "changed",
    "deleted",
    "brought_back",
    "undone",
    "imported",
    "reading_added",
    "reading_set_aside",
    "reading_confirmed",
    "reading_put_right",
]
"""What was done to a record in a revision."""

OF_READINGS: tuple[What, ...] = ("reading_added", "reading_set_aside", "reading_confirmed", "reading_put_right")
"""What was done to readings alone: all else of the record is as it was."""

Added = Sequence[tuple[Path, dict[str, Any]]]
"""Readings with their places, in the order in which they were added."""


@frozen
class Row:
    """A revision as it stands in the history.

    doc    its document, or where it only added readings these;  grows: whether it did
    """

    revision: int
    deleted: bool
    at: str
    what: What
    doc: str
    form: str | None
    grows: bool

    @property
    def added(self) -> Added:
        """The readings that it added, where it grows."""
        return [(tuple(path), reading) for path, reading in json.loads(self.doc)]


def rows_of(connection: sqlite3.Connection, kind: str, key: str, first: int = 1, last: int = 2**62) -> list[Row]:
    """The revisions of a record in their order."""
    rows = connection.execute(
        "select revision, deleted, at, what, doc, form, grows from history "
        "where kind = ? and key = ? and revision between ? and ? order by revision",
        (kind, key, first, last),
    )
    return [
        Row(revision, bool(deleted), at, what, doc, form, bool(grows))
        for revision, deleted, at, what, doc, form, grows in rows
    ]


def row_at(connection: sqlite3.Connection, kind: str, key: str, revision: int) -> tuple[Row, str] | None:
    """One revision and the text of its document; None where there is no such revision."""
    first = connection.execute(
        "select max(revision) from history where kind = ? and key = ? and revision <= ? and not grows",
        (kind, key, revision),
    ).fetchone()[0]
    rows = rows_of(connection, kind, key, first, revision) if first else []
    if not rows or rows[-1].revision != revision:
        return None
    whole, *grew = rows
    return rows[-1], grown(kind, key, whole.doc, [pair for row in grew for pair in row.added]) if grew else whole.doc


def grown(kind: str, key: str, text: str, added: Added) -> str:
    """The text of a document with readings added to it; empty, so that nobody can read it, where they have no place."""
    try:
        document = json.loads(text)
        grow(kind, key, document, added)
    except (ValueError, RecordUnreadable):
        return ""
    return json.dumps(document, ensure_ascii=False, separators=(",", ":"))


def grow(kind: str, key: str, document: dict[str, Any], added: Added) -> None:
    """Add readings to a document where they belong. Raises RecordUnreadable where it has no place for them."""
    try:
        for path, reading in added:
            list_at(Place(kind, key, path), document).append(reading)
    except (TypeError, LookupError, AttributeError):  # NotFound is a LookupError
        raise RecordUnreadable(kind, key) from None


def as_added(kind: str, key: str, before: str, after: str, added: Added) -> str | None:
    """What is kept of a revision that only added readings; None where its document would not come out the same."""
    if grown(kind, key, before, added) != after:
        return None
    return json.dumps([[path, reading] for path, reading in added], ensure_ascii=False, separators=(",", ":"))
