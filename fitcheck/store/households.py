"""The household put together from the store: all of it, or what one make names; and lists page by page."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Sequence
from contextlib import suppress
from typing import Any

from fitcheck.records.cross_checks import KINDS
from fitcheck.records.frozen import frozen
from fitcheck.records.households import FORMAT, Household
from fitcheck.store.bundle import settings_of, settings_readable
from fitcheck.store.documents import model_of
from fitcheck.store.faults import NotFound
from fitcheck.store.revisions import there
from fitcheck.store.spoilt import RecordUnreadable
from fitcheck.store.stored import HOUSEHOLD, Settings, read_back

State = tuple[str, int]
Named = tuple[str, str]
Known = dict[tuple[str, int], tuple[int, Any]]
"""What was read before: revision and record by kind and number."""


def state(connection: sqlite3.Connection) -> State:
    """Return what tells one state of the store from every other."""
    token, changes = connection.execute("select token, changes from counter").fetchone()
    return token, changes


class Shelves:
    """The whole household, kept from one call to the next: only records that changed are read again."""

    def __init__(self) -> None:
        self._guard = threading.Lock()
        self._state: State | None = None
        self._household: Household | None = None
        self._left_out: tuple[Named, ...] = ()
        self._token = ""
        self._records: Known = {}

    def _known(self, at: State) -> Known:
        """What was read of this file before."""
        if self._token != at[0]:
            self._token, self._records = at[0], {}
        return self._records

    def household(self, connection: sqlite3.Connection) -> Household:
        """Return the household as it is now, in the order in which its records came.

        A record that cannot be read is left out: nothing else waits for it.
        """
        at = state(connection)
        with self._guard:
            if self._household is None or self._state != at:
                self._read_all(connection, at)
            assert self._household is not None
            return self._household

    def left_out(self, connection: sqlite3.Connection) -> tuple[Named, ...]:
        """Return the records that cannot be read, as (kind, key), in their order."""
        self.household(connection)
        return self._left_out

    def _read_all(self, connection: sqlite3.Connection, at: State) -> None:
        known = self._known(at)
        kept: Known = {}
        left_out: list[Named] = [] if settings_readable(connection) else [(HOUSEHOLD, HOUSEHOLD)]
        lists: dict[str, list[Any]] = {kind: [] for kind in KINDS}
        rows = connection.execute(
            "select kind, key, number, revision from records where deleted = 0 and kind <> 'household' "
            "order by kind, position"
        ).fetchall()
        for kind, key, number, revision in rows:
            try:
                kept[kind, number] = entry = _read(connection, known, kind, number, revision)
            except RecordUnreadable:
                left_out.append((kind, key))
            else:
                lists[kind].append(entry[1])
        self._household = put_together(settings_of(connection), lists)
        self._state, self._records, self._left_out = at, kept, tuple(left_out)

    def records(self, connection: sqlite3.Connection, kind: str, keys: Sequence[str]) -> dict[str, Any]:
        """Return some records by key; those that are not there, or cannot be read, are left out.

        What was read before is not read again.
        """
        at = state(connection)
        marks = ",".join("?" * len(keys))
        rows = connection.execute(
            f"select key, number, revision from records where kind = ? and deleted = 0 and key in ({marks})",  # noqa: S608 - marks alone
            (kind, *keys),
        ).fetchall()
        with self._guard:
            known = self._known(at)
            records = {}
            for key, number, revision in rows:
                with suppress(RecordUnreadable):
                    known[kind, number] = entry = _read(connection, known, kind, number, revision)
                    records[key] = entry[1]
            return records


def _read(connection: sqlite3.Connection, known: Known, kind: str, number: int, revision: int) -> tuple[int, Any]:
    """A record with its revision, from what is known where it was not changed."""
    entry = known.get((kind, number))
    if entry is None or entry[0] != revision:
        key, text = connection.execute("select key, doc from records where number = ?", (number,)).fetchone()
        entry = revision, read_back(kind, key, text)
    return entry


def named_by_make(connection: sqlite3.Connection, key: str, columns: str) -> list[Any]:
    """Return columns of the records of a make and of what it names, in their order. Raises NotFound."""
    there(connection, "makes", key)
    return connection.execute(
        f"""
        with recursive named (kind, key) as (
            values ('makes', ?)
            union
            select links.to_kind, links.to_key from named
            join links on links.kind = named.kind and links.key = named.key
        )
        select {columns} from named
        join records on records.kind = named.kind and records.key = named.key
        where records.deleted = 0
        order by records.kind, records.position
        """,  # noqa: S608 - columns are the callers' own
        (key,),
    ).fetchall()


def make_household(connection: sqlite3.Connection, key: str) -> Household:
    """Return the household with only one make and what it names, directly or through another.

    The report on that make is the same as from the whole household. Raises NotFound, or RecordUnreadable.
    """
    lists: dict[str, list[Any]] = {kind: [] for kind in KINDS}
    for kind, named, text in named_by_make(connection, key, "records.kind, records.key, records.doc"):
        lists[kind].append(read_back(kind, named, text))
    return put_together(settings_of(connection), lists)


def put_together(settings: Settings, lists: dict[str, list[Any]]) -> Household:
    """Return the household of its settings and its records by kind."""
    fields = {name: getattr(settings, name) for name in Settings.model_fields}
    return Household.model_validate({"fitcheck": FORMAT, **fields, **lists})


@frozen
class Listed:
    """One line of a list."""

    key: str
    name: str
    wearer: str | None
    revision: int
    updated: str


@frozen
class RecordsPage:
    """One page of a list by name; `after` is the key to go on after, None on the last page."""

    records: tuple[Listed, ...]
    after: str | None


LONGEST_PAGE = 500


def count(connection: sqlite3.Connection, kind: str) -> int:
    """Return how many records of a kind there are."""
    records: int = connection.execute(
        "select count(*) from records where kind = ? and deleted = 0", (kind,)
    ).fetchone()[0]
    return records


def page(
    connection: sqlite3.Connection,
    kind: str,
    *,
    wearer: str | None = None,
    text: str | None = None,
    after: str | None = None,
    limit: int = 24,
    deleted: bool = False,
) -> RecordsPage:
    """List records by name.

    text   looked for in key, name, fabric and notes; large and small letters are alike
    after  key of the record after which the page begins
    """
    model_of(kind)
    limit = max(1, min(limit, LONGEST_PAGE))
    asked: list[str] = ["kind = ?", "deleted = ?"]
    values: list[str | int] = [kind, int(deleted)]
    if wearer is not None:
        asked, values = [*asked, "wearer = ?"], [*values, wearer]
    if text and text.strip():
        asked, values = [*asked, "instr(search, ?) > 0"], [*values, text.strip().casefold()]
    if after is not None:
        # The values themselves, not a query inside the query: only these are sought in the index as a pair.
        last = connection.execute("select sort from records where kind = ? and key = ?", (kind, after)).fetchone()
        if last is None:
            raise NotFound(kind, after, f"There is no {after!r} in {kind} to go on after.")
        asked, values = [*asked, "(sort, key) > (?, ?)"], [*values, last[0], after]
    conditions = " and ".join(asked)  # written above, with marks for values
    rows = connection.execute(
        f"select key, name, wearer, revision, updated from records where {conditions} order by sort, key limit ?",  # noqa: S608
        (*values, limit + 1),
    ).fetchall()
    records = tuple(Listed(*row) for row in rows[:limit])
    return RecordsPage(records, records[-1].key if len(rows) > limit else None)
