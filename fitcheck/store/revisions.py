"""Every change is a revision: written, undone, deleted and brought back, with nothing ever lost.

The functions work inside a transaction that the caller holds.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from fitcheck.records.base import Record
from fitcheck.records.faults import Accepts, Fault, RecordsError
from fitcheck.records.frozen import frozen
from fitcheck.store.documents import Taken, model_of, take
from fitcheck.store.faults import NotFound, StaleWrite, StillNamed
from fitcheck.store.grown import What, row_at
from fitcheck.store.places import doubled, overwritten
from fitcheck.store.references import check_around, naming
from fitcheck.store.saving import save
from fitcheck.store.stored import HOUSEHOLD, Stored, readable


@frozen
class Revision:
    """One entry of a record's history, without its document."""

    revision: int
    at: str
    what: What
    deleted: bool


def current(connection: sqlite3.Connection, kind: str, key: str) -> Stored | None:
    """Return a record as it is now, deleted or not; None when there never was one."""
    row = connection.execute(
        "select revision, deleted, updated, doc from records where kind = ? and key = ?", (kind, key)
    ).fetchone()
    return Stored(kind, key, row[0], bool(row[1]), row[2], row[3]) if row else None


def there(connection: sqlite3.Connection, kind: str, key: str) -> Stored:
    """Return a record that is not deleted, or raise NotFound."""
    model_of(kind)
    stored = current(connection, kind, key)
    if stored is None:
        raise NotFound(kind, key, f"There is no {key!r} in {kind}. Look for a slip in its name.")
    if stored.deleted:
        raise NotFound(kind, key, f"{kind}/{key} was deleted. Bring it back first.", deleted=True)
    return stored


def past(connection: sqlite3.Connection, kind: str, key: str, revision: int) -> Stored | None:
    """Return one revision of a record; None when there is no such revision."""
    if not 1 <= revision < 2**63:
        return None
    found = row_at(connection, kind, key, revision)
    if found is None:
        return None
    row, text = found
    return Stored(kind, key, revision, row.deleted, row.at, text)


def put(
    connection: sqlite3.Connection,
    kind: str,
    key: str,
    document: Mapping[str, Any] | Record | Taken,
    expected_revision: int,
    form: str | None = None,
    *,
    at: str | None = None,
) -> Stored:
    """Write a document; 0 is the revision of a record that is not there yet.

    form  id of the form that was sent, kept with the revision: it makes one record of a kind
    at    the instant of a change of several records; None: now

    Writing what is there already makes no revision. Raises RecordsError, StaleWrite or NotFound.
    """
    taken = document if isinstance(document, Taken) else take(kind, key, document)
    before = _fresh(connection, kind, key, expected_revision, taken.data)
    if before is None and form and _made(connection, kind, form):
        raise StaleWrite(kind, key, mine=taken.data, theirs=None, base=None)
    if before is not None:
        if before.deleted:
            there(connection, kind, key)
        if before.text == taken.text:
            return before
    faults = doubled(kind, taken.data)
    stands = before is not None and readable(kind, before.text)
    if before is not None and stands:
        faults += overwritten(kind, before.doc, taken.data)
    if faults:
        raise RecordsError(faults)
    check_around(connection, kind, taken, before.record if before is not None and stands else None)
    return save(connection, kind, key, before, taken, "changed" if before else "created", form=form, at=at)


def _made(connection: sqlite3.Connection, kind: str, form: str) -> bool:
    """Whether a form made a record that stands: whoever sent it twice at once is told here, within the change."""
    return (
        connection.execute(
            "select 1 from history join records using (kind, key) "
            "where form = ? and kind = ? and what = 'created' and records.deleted = 0",
            (form, kind),
        ).fetchone()
        is not None
    )


def delete(connection: sqlite3.Connection, kind: str, key: str, expected_revision: int) -> Stored:
    """Delete a record: it is kept and can be brought back. Raises StillNamed, StaleWrite or NotFound."""
    before = _fresh(connection, kind, key, expected_revision, None)
    if before is None or before.deleted:
        before = there(connection, kind, key)
    return remove(connection, before, "deleted")


def undo(connection: sqlite3.Connection, kind: str, key: str, expected_revision: int) -> Stored:
    """Make a new revision equal to the one before this; an undo can be undone the same way.

    A garment that a make was hung up as goes along, and comes along again, where nothing was done to it since.
    """
    before = _fresh(connection, kind, key, expected_revision, None)
    if before is None:
        before = there(connection, kind, key)
    earlier = past(connection, kind, key, before.revision - 1)
    if earlier is None and kind == HOUSEHOLD:
        raise NotFound(kind, key, "Nothing was changed yet, so there is nothing to undo.")
    if earlier is None or earlier.deleted:
        return remove(connection, before, "undone")
    came, goes = earlier.doc.get("became"), before.doc.get("became")
    if kind == "makes" and came != goes:
        _hang_again(connection, came)
    undone = _again(connection, before, earlier, "undone")
    if kind == "makes" and came != goes:
        _take_down(connection, goes)
    return undone


def _hang_again(connection: sqlite3.Connection, garment: str | None) -> None:
    """Bring back the garment that a make became, where it was deleted."""
    stored = current(connection, "garments", garment) if garment else None
    if stored is not None and stored.deleted:
        _again(connection, stored, stored, "brought_back")


def _take_down(connection: sqlite3.Connection, garment: str | None) -> None:
    """Delete the garment that a make became, where it is as it was hung up and no other record names it."""
    stored = current(connection, "garments", garment) if garment else None
    first = past(connection, "garments", garment, 1) if garment else None
    if stored is None or first is None or stored.deleted or stored.text != first.text:
        return
    if not naming(connection, "garments", stored.key):
        remove(connection, stored, "undone")


def bring_back(
    connection: sqlite3.Connection,
    kind: str,
    key: str,
    revision: int | None = None,
    expected_revision: int | None = None,
) -> Stored:
    """Make a new revision equal to an earlier one; without a number, bring back what was deleted.

    Raises RecordsError when it names something that is not there any more, StaleWrite or NotFound.
    """
    before = current(connection, kind, key)
    if expected_revision is not None:
        before = _fresh(connection, kind, key, expected_revision, None)
    if before is None:
        before = there(connection, kind, key)
    if revision is None:
        return _again(connection, before, before, "brought_back") if before.deleted else before
    earlier = past(connection, kind, key, revision)
    if earlier is None:
        raise NotFound(kind, key, f"{kind}/{key} has no revision {revision}; its latest: {before.revision}.")
    return _again(connection, before, earlier, "brought_back")


def _fresh(
    connection: sqlite3.Connection, kind: str, key: str, expected: int, mine: Mapping[str, Any] | None
) -> Stored | None:
    model_of(kind)
    now_there = current(connection, kind, key)
    if (now_there.revision if now_there else 0) != expected:
        raise StaleWrite(kind, key, mine=mine, theirs=now_there, base=past(connection, kind, key, expected))
    return now_there


def _again(connection: sqlite3.Connection, before: Stored, earlier: Stored, what: What) -> Stored:
    kind, key = before.kind, before.key
    taken = take(kind, key, earlier.doc)
    check_around(connection, kind, taken)
    return save(connection, kind, key, before, taken, what)


def remove(
    connection: sqlite3.Connection, before: Stored, what: What, *, form: str | None = None, at: str | None = None
) -> Stored:
    """Write a revision in which a record is deleted: it is kept and can be brought back. Raises StillNamed."""
    if before.kind == HOUSEHOLD:
        raise RecordsError((Fault(HOUSEHOLD, "a deletion", Accepts("change_of_the_settings")),))
    if names := naming(connection, before.kind, before.key):
        raise StillNamed(before.kind, before.key, names)
    return save(connection, before.kind, before.key, before, None, what, form=form, at=at)


def last_readable(connection: sqlite3.Connection, kind: str, key: str) -> Stored | None:
    """Return the latest revision of a record that can be read; None where none can."""
    latest = current(connection, kind, key)
    for revision in range(latest.revision if latest else 0, 0, -1):
        stored = past(connection, kind, key, revision)
        if stored is not None and readable(kind, stored.text):
            return replace(stored, deleted=False)
    return None


def history(connection: sqlite3.Connection, kind: str, key: str) -> tuple[Revision, ...]:
    """Return the history of a record, the latest first."""
    model_of(kind)
    rows = connection.execute(
        "select revision, at, what, deleted from history where kind = ? and key = ? order by revision desc",
        (kind, key),
    ).fetchall()
    if not rows:
        there(connection, kind, key)
    return tuple(Revision(number, at, what, bool(deleted)) for number, at, what, deleted in rows)
