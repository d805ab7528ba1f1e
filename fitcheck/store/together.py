"""What was written at once: the records of one form or file at one instant, told and taken back as one change."""

from __future__ import annotations

import secrets
import sqlite3
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import Any

from fitcheck.records.cross_checks import KINDS
from fitcheck.records.faults import RecordsError
from fitcheck.records.frozen import frozen
from fitcheck.store.changes import Change, changes, take_back
from fitcheck.store.documents import take
from fitcheck.store.faults import LaterChange, NotFound, StillNamed
from fitcheck.store.grown import What
from fitcheck.store.references import check_around
from fitcheck.store.revisions import current, past, put, remove, there
from fitcheck.store.saving import save
from fitcheck.store.steps import instant
from fitcheck.store.stored import Stored

_AN_INSTANT = "2026-11-30T18:40:12.123456+00:00"
"""When several records were written; one record has no more than milliseconds."""
_ORDER = {kind: number for number, kind in enumerate((*KINDS, "household"))}


@frozen
class Together:
    """Records that were written at once.

    form, at  what they were written by, and when: both of them name it
    records   kind, key and revision of each; of a record that was written in several steps, each of them
    what      what was done to them, of the first
    later     when one of them was changed since at a place that was written; None: it is taken back as one
    """

    form: str
    at: str
    records: tuple[tuple[str, str, int], ...]
    what: What
    later: str | None

    @property
    def count(self) -> int:
        """How many records they are."""
        return len({(kind, key) for kind, key, _ in self.records})


def together(connection: sqlite3.Connection, form: str | None, at: str) -> Together | None:
    """Return what was written at once; None where that was one record."""
    if len(at) < len(_AN_INSTANT):
        return None
    rows = connection.execute(
        "select history.kind, history.key, history.revision, history.what, "
        "history.revision = records.revision "
        "or (history.doc = records.doc and history.deleted = records.deleted and not grows) from history "
        "join records using (kind, key) where history.form = ? and history.at = ?",
        (form, at),
    ).fetchall()
    if len(rows) < 2:
        return None
    rows.sort(key=lambda row: (_ORDER[row[0]], row[1]))
    # What stands as it was written has no later change.
    later = (
        change.later.at
        for kind, key, revision, _, stands in rows
        if not stands
        for change in changes(connection, kind, key)
        if change.revision == revision and change.later is not None
    )
    return Together(str(form), at, tuple(row[:3] for row in rows), rows[0][3], next(later, None))


def take_back_together(connection: sqlite3.Connection, form: str, at: str) -> Together:
    """Take back what was written at once, all or nothing, and return that as one change too.

    Raises NotFound where nothing was written so, LaterChange where a later change rests on it, StillNamed where another
    record names one of them, RecordsError where another would not stand so.
    """
    written = together(connection, form, at)
    if written is None:
        raise NotFound("history", form, f"Nothing was written at once at {at}.")
    if written.later is not None:
        raise LaterChange(*written.records[0][:2], "", written.later)
    left: list[Undoing] = []
    for kind, key in dict.fromkeys(record[:2] for record in written.records):
        left += _undoing(connection, kind, key, [of for *record, of in written.records if record == [kind, key]])
    # A record goes after those that name it and comes after those that it names, and whole ones lie between.
    left.sort(key=lambda undoing: (undoing.stands, _ORDER[undoing.kind] * (-1 if undoing.stands else 1)))
    anew, when = secrets.token_urlsafe(12), instant()
    while left:
        left, before = _taken_back(left, anew, when), left
        if len(left) == len(before):
            before[0].act(anew, when)  # says why not
    undone = together(connection, anew, when)
    assert undone is not None
    return undone


@frozen
class Undoing:
    """One step on the way back.

    kind    of the record;  stands: whether what was written stands there, so that it is changed or goes
    act     takes the form and the instant of the change that it is a part of
    """

    kind: str
    stands: bool
    act: Callable[[str, str], object]


def _undoing(connection: sqlite3.Connection, kind: str, key: str, revisions: list[int]) -> list[Undoing]:
    """How a record goes back: as a whole where it is as it was written, else change by change."""
    first, last = min(revisions), max(revisions)
    stored = current(connection, kind, key)
    if stored is not None and stored.revision == last and last - first + 1 == len(revisions):
        return [Undoing(kind, not stored.deleted, partial(_put_back, connection, stored, first))]
    return [
        Undoing(kind, change.after is not None, partial(_put_back_at, connection, change))
        for change in changes(connection, kind, key)
        if change.revision in revisions
    ]


def _put_back(connection: sqlite3.Connection, stored: Stored, first: int, form: str, at: str) -> None:
    """Make a record what it was before a revision, which it had been written in."""
    earlier = past(connection, stored.kind, stored.key, first - 1)
    if earlier is None or earlier.deleted:
        remove(connection, stored, "undone", form=form, at=at)
        return
    taken = take(stored.kind, stored.key, earlier.doc)
    check_around(connection, stored.kind, taken)
    save(connection, stored.kind, stored.key, stored, taken, "undone", form=form, at=at)


def _put_back_at(connection: sqlite3.Connection, change: Change, form: str, at: str) -> None:
    take_back(connection, change.kind, change.key, change.revision, change.path, form=form, at=at)


def _taken_back(every: Sequence[Undoing], form: str, at: str) -> list[Undoing]:
    """Take the steps that can be taken now; return the others."""
    left = []
    for undoing in every:
        try:
            undoing.act(form, at)
        except (StillNamed, RecordsError):
            left.append(undoing)
    return left


def put_with(
    connection: sqlite3.Connection,
    kind: str,
    key: str,
    document: Mapping[str, Any],
    expected_revision: int,
    form: str | None = None,
    *,
    other: tuple[str, str, Mapping[str, Any], int],
) -> Stored:
    """Write a record and another one as one change.

    other  kind, key, document and expected revision of the other

    Raises as `put` does.
    """
    form, at = form or secrets.token_urlsafe(12), instant()
    stored = put(connection, kind, key, document, expected_revision, form, at=at)
    put(connection, *other, form, at=at)
    return stored


def put_for_make(
    connection: sqlite3.Connection,
    kind: str,
    key: str,
    document: Mapping[str, Any],
    expected_revision: int,
    form: str | None = None,
    *,
    make: str,
) -> Stored:
    """Write a swatch that was measured for a make, which names it from now on; both as one change.

    Raises as `put` does.
    """
    form, at = form or secrets.token_urlsafe(12), instant()
    stored = put(connection, kind, key, document, expected_revision, form, at=at)
    of_make = there(connection, "makes", make)
    named = of_make.doc.get(kind, [])
    if key not in named:
        put(connection, "makes", make, {**of_make.doc, kind: [*named, key]}, of_make.revision, form, at=at)
    return stored
