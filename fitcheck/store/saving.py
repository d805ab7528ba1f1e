"""How revisions are written: record, history and links of each, of many records in as few statements as of one.

The functions work inside a transaction that the caller holds.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence

from fitcheck.records.frozen import frozen
from fitcheck.store.documents import Taken
from fitcheck.store.grown import What
from fitcheck.store.steps import now
from fitcheck.store.stored import Stored


@frozen
class Saving:
    """One record on its way to its next revision.

    before    as it was, deleted or not; None: there never was one
    taken     its checked document; None deletes it and keeps the document as it was
    position  its place among the records of its kind; None: where it was, a new one after the last
    grows     what is kept of a revision that only added readings (`as_added`); None: its whole document
    """

    kind: str
    key: str
    before: Stored | None
    taken: Taken | None
    what: What
    position: int | None = None
    grows: str | None = None

    def saved(self, at: str) -> Stored:
        """The record as it stands then."""
        assert self.taken is not None or self.before is not None
        text = self.taken.text if self.taken else self.before.text if self.before else ""
        return Stored(self.kind, self.key, self.before.revision + 1 if self.before else 1, self.taken is None, at, text)


def save(
    connection: sqlite3.Connection,
    kind: str,
    key: str,
    before: Stored | None,
    taken: Taken | None,
    what: What,
    *,
    form: str | None = None,
    at: str | None = None,
) -> Stored:
    """Write a checked document as the next revision; see `Saving` and `save_all`."""
    return save_all(connection, [Saving(kind, key, before, taken, what)], form=form, at=at)[0]


def save_all(
    connection: sqlite3.Connection, savings: Sequence[Saving], *, form: str | None = None, at: str | None = None
) -> list[Stored]:
    """Write many records, each once.

    form, at  id of the form or file that they are written by, and when, where several records are one change
    """
    at = at or now()
    saved = [saving.saved(at) for saving in savings]
    both = list(zip(savings, saved, strict=True))
    _write_records(connection, both)
    connection.executemany(
        "insert into history (kind, key, revision, deleted, at, what, doc, form, grows) "
        "values (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        [_of_history(saving, stored, form) for saving, stored in both],
    )
    _write_links(connection, savings)
    return saved


def _write_records(connection: sqlite3.Connection, both: Sequence[tuple[Saving, Stored]]) -> None:
    new, changed, deleted = [], [], []
    after: dict[str, int] = {}
    for saving, stored in both:
        kind, key, position = saving.kind, saving.key, saving.position
        if saving.taken is None:
            deleted.append((stored.revision, stored.at, kind, key))
            continue
        columns = saving.taken.columns
        if saving.before is not None:
            changed.append((stored.revision, *columns, stored.at, stored.text, position, kind, key))
            continue
        if position is None:
            position = after[kind] = (after.get(kind) or _last(connection, kind)) + 1
        new.append((kind, key, position, *columns, stored.at, stored.text))
    connection.executemany(
        "insert into records (kind, key, revision, deleted, position, name, sort, wearer, search, updated, doc) "
        "values (?, ?, 1, 0, ?, ?, ?, ?, ?, ?, ?)",
        new,
    )
    connection.executemany(
        "update records set revision = ?, deleted = 0, name = ?, sort = ?, wearer = ?, search = ?, "
        "updated = ?, doc = ?, position = coalesce(?, position) where kind = ? and key = ?",
        changed,
    )
    connection.executemany(
        "update records set revision = ?, deleted = 1, updated = ? where kind = ? and key = ?", deleted
    )


def _last(connection: sqlite3.Connection, kind: str) -> int:
    """The last place of a record among those of its kind."""
    row = connection.execute("select coalesce(max(position), 0) from records where kind = ?", (kind,))
    return int(row.fetchone()[0])


def _of_history(saving: Saving, stored: Stored, form: str | None) -> tuple[object, ...]:
    """A revision as it stands in the history: whole, or where it only added readings these alone."""
    whole = (saving.kind, saving.key, stored.revision, int(stored.deleted), stored.at, saving.what)
    return (*whole, saving.grows or stored.text, form, int(saving.grows is not None))


def _write_links(connection: sqlite3.Connection, savings: Sequence[Saving]) -> None:
    earlier = [(saving.kind, saving.key) for saving in savings if saving.before is not None]
    connection.executemany("delete from links where kind = ? and key = ?", earlier)
    connection.executemany(
        "insert into links (kind, key, to_kind, to_key) values (?, ?, ?, ?)",
        [
            (saving.kind, saving.key, *link)
            for saving in savings
            if saving.taken is not None
            for link in saving.taken.links
        ],
    )
