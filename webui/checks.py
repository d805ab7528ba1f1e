"""A record checked as if it were written: everything that is wrong with it, or everything that is unlikely."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from typing import Any

from fitcheck.records.cross_checks import KINDS
from fitcheck.records.faults import Fault, RecordsError
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household
from fitcheck.records.places import Place
from fitcheck.records.questions import questions
from fitcheck.records.questions.question import Question
from fitcheck.store import Store
from fitcheck.store.bundle import settings_of
from fitcheck.store.documents import links_of, take
from fitcheck.store.households import put_together
from fitcheck.store.places import doubled, overwritten
from fitcheck.store.references import check_around
from fitcheck.store.revisions import current, there
from fitcheck.store.stored import HOUSEHOLD


@frozen
class Checked:
    """What a check found; questions are asked only where nothing is wrong."""

    faults: tuple[Fault, ...] = ()
    questions: tuple[Question, ...] = ()


def check(store: Store, kind: str, key: str, document: Mapping[str, Any]) -> Checked:
    """Check a document as if it were written as this record; nothing is written. Raises NotFound for a kind."""
    with store.database.reading() as connection:
        try:
            taken = take(kind, key, document)
            before = current(connection, kind, key)
            faults = doubled(kind, taken.data)
            if before is not None and not before.deleted:
                faults += overwritten(kind, before.doc, taken.data)
            if faults:
                raise RecordsError(faults)
            check_around(connection, kind, taken)
        except RecordsError as wrong:
            return Checked(wrong.faults)
        return Checked((), _asked(connection, kind, key, taken.record, taken.data))


def questions_of(store: Store, kind: str, key: str) -> tuple[Question, ...]:
    """Return what is unlikely in a record as it is kept, and was not confirmed. Raises NotFound."""
    with store.database.reading() as connection:
        stored = there(connection, kind, key)
        return _asked(connection, kind, key, stored.record, stored.doc)


def _asked(
    connection: sqlite3.Connection, kind: str, key: str, record: Any, document: Mapping[str, Any]
) -> tuple[Question, ...]:
    if kind == HOUSEHOLD:
        return ()
    household = _around(connection, kind, key, record, document)
    own = Place(kind, key)
    return tuple(question for question in questions(household) if question.place.within(own))


def _around(connection: sqlite3.Connection, kind: str, key: str, record: Any, document: Mapping[str, Any]) -> Household:
    """A household of the record and what it names, directly or through another."""
    records: dict[tuple[str, str], Any] = {(kind, key): record}
    open_links = links_of(kind, document)
    while open_links:
        link = open_links.pop()
        if link in records:
            continue
        named = current(connection, *link)
        if named is not None and not named.deleted:
            records[link] = named.record
            open_links += links_of(link[0], named.doc)
    lists = {listed: [kept for (of, _), kept in records.items() if of == listed] for listed in KINDS}
    return put_together(settings_of(connection), lists)
