"""A make with all that it names as it stood before counts were taken for it, or before it was finished.

The history tells it: of every record the latest revision written until then. The order of its rows tells what was
written first; their times stand still for a millisecond. The functions work inside a transaction that the
caller holds.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping

from fitcheck.records.cross_checks import KINDS
from fitcheck.records.households import Household
from fitcheck.store.documents import links_of
from fitcheck.store.households import put_together
from fitcheck.store.revisions import past
from fitcheck.store.spoilt import RecordUnreadable
from fitcheck.store.stored import HOUSEHOLD, Settings, Stored, read_back

_TAKEN = "exists (select 1 from json_each(doc, '$.taken') where json_extract(value, '$.report') = :report)"
_FINISHED = "json_extract(doc, '$.finished') is not null"


def before_taking(connection: sqlite3.Connection, key: str, report: str) -> Household | None:
    """Return a make and what it names as the counts of a report were taken; None where the history does not tell.

    report  digest of that report
    """
    return _before(connection, key, _TAKEN, {"report": report})


def before_finishing(connection: sqlite3.Connection, key: str) -> Household | None:
    """Return a make and what it names as it stood before it was finished; None where the history does not tell."""
    return _before(connection, key, _FINISHED, {})


def _before(connection: sqlite3.Connection, key: str, holds: str, values: Mapping[str, str]) -> Household | None:
    """As it stood before the revision since which a condition holds; a file that was taken in tells of no before."""
    since = connection.execute(
        f"""
        with whole as (select rowid as row, revision, what, {holds} as holds from history
                       where kind = 'makes' and key = :key and not grows)
        select revision, row, what from whole
        where revision > (select coalesce(max(revision), 0) from whole where not holds) order by revision limit 1
        """,  # noqa: S608 - the condition is one of the two above
        {"key": key, **values},
    ).fetchone()
    if since is None or since[0] == 1 or since[2] == "imported":
        return None
    make = past(connection, "makes", key, since[0] - 1)
    try:
        return _with_all_named(connection, make, since[1]) if make is not None else None
    except RecordUnreadable:
        return None


def _with_all_named(connection: sqlite3.Connection, make: Stored, row: int) -> Household | None:
    """A revision of a make with what it names, directly or through another, before a row; None where one is missing.

    Raises RecordUnreadable.
    """
    there, waiting = {("makes", make.key): make}, links_of("makes", make.doc)
    while waiting:
        link = waiting.pop()
        if link in there:
            continue
        stored = _until(connection, *link, row)
        if stored is None:
            return None
        there[link] = stored
        waiting += links_of(stored.kind, stored.doc)
    settings = _until(connection, HOUSEHOLD, HOUSEHOLD, row)
    if settings is None:
        return None
    lists = {
        kind: [read_back(*link, stored.text) for link, stored in _in_order(connection, kind, there)] for kind in KINDS
    }
    read: Settings = read_back(HOUSEHOLD, HOUSEHOLD, settings.text)
    return put_together(read, lists)


def _until(connection: sqlite3.Connection, kind: str, key: str, row: int) -> Stored | None:
    """The latest revision of a record before a row of the history."""
    revision = connection.execute(
        "select max(revision) from history where kind = ? and key = ? and rowid < ?", (kind, key, row)
    ).fetchone()[0]
    return past(connection, kind, key, revision) if revision else None


def _in_order(
    connection: sqlite3.Connection, kind: str, there: Mapping[tuple[str, str], Stored]
) -> list[tuple[tuple[str, str], Stored]]:
    """The records of a kind in the order of their list, in which a report adds up."""
    rows = connection.execute("select key from records where kind = ? order by position", (kind,))
    return [((kind, key), there[kind, key]) for (key,) in rows if (kind, key) in there]
