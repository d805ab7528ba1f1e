"""Reports, each computed once: kept until a record that it was computed from changes.

Kept under the revisions of everything that it used, which one query tells; so an answer can never be older than
the records. In between, as long as nothing at all was changed, not even that is asked.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from fitcheck.store import Store
from fitcheck.store.bundle import settings_of
from fitcheck.store.households import State, make_household, state
from fitcheck.store.revisions import there

if TYPE_CHECKING:
    from fitcheck.records.households import Household
    from fitcheck.reports.shapes import Report

KEPT = 32
"""Reports that are kept; the one that was asked for longest ago goes first."""


@dataclass(frozen=True, slots=True)
class Text:
    """An answer as JSON, with the tag that tells it from every other."""

    raw: bytes
    tag: str


@dataclass(slots=True)
class Answer:
    """A report with the records that it is of, and what was made of it; each part is made once."""

    report: Report
    household: Household
    _texts: dict[str, Text] = field(default_factory=dict)

    def text(self, name: str, make: Callable[[Report], Any]) -> Text:
        """Return a part of the answer as JSON; made from plain data on first use."""
        found = self._texts.get(name)
        if found is None:
            found = self._texts[name] = written(make(self.report))
        return found

    def whole(self) -> Text:
        """Return the whole report as JSON."""
        return self.text("report", lambda report: report.to_data())


def written(data: Any) -> Text:
    """Write plain data as JSON, with its tag."""
    raw = json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode()
    return Text(raw, hashlib.sha256(raw).hexdigest()[:32])


@dataclass(slots=True)
class _Place:
    """A place for an answer; whoever comes while it is being computed waits for it."""

    guard: threading.Lock = field(default_factory=threading.Lock)
    answer: Answer | None = None


class Answers:
    """The reports of a store; any thread may ask."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._guard = threading.Lock()
        self._places: OrderedDict[tuple[Any, ...], _Place] = OrderedDict()
        self._latest: OrderedDict[tuple[str, str | None], tuple[State, Answer]] = OrderedDict()
        self.computed = 0
        """How many reports were computed; the rest were kept."""

    def of(self, make: str, piece: str | None = None) -> Answer:
        """Return the answer for a make; None as piece is the last one that was read.

        Raises NotFound, ReportError for a piece that is not there, or what the store raises.
        """
        asked = (make, piece)
        with self._store.database.reading() as connection:
            at = state(connection)
            latest = self._latest.get(asked)
            if latest is not None and latest[0] == at:
                return latest[1]
            key = (*asked, *used(connection, make))
            place = self._place(key)
            household = make_household(connection, make) if place.answer is None else None
        with place.guard:
            if place.answer is None:
                from fitcheck.reports.shaped import report

                assert household is not None
                place.answer = Answer(report(household, make=make, piece=piece), household)
                with self._guard:
                    self.computed += 1
            found = place.answer
        with self._guard:
            self._latest[asked] = (at, found)
            self._latest.move_to_end(asked)
            while len(self._latest) > KEPT:
                self._latest.popitem(last=False)
        return found

    def _place(self, key: tuple[Any, ...]) -> _Place:
        with self._guard:
            place = self._places.setdefault(key, _Place())
            self._places.move_to_end(key)
            while len(self._places) > KEPT:
                self._places.popitem(last=False)
            return place


def used(connection: sqlite3.Connection, make: str) -> tuple[Any, ...]:
    """Return the revisions of everything that a make's report is computed from. Raises NotFound.

    The place of a record in its list counts too, for a report adds up in that order.
    """
    there(connection, "makes", make)
    token = state(connection)[0]
    rows = connection.execute(
        """
        with recursive named (kind, key) as (
            values ('makes', ?)
            union
            select links.to_kind, links.to_key from named
            join links on links.kind = named.kind and links.key = named.key
        )
        select records.kind, records.key, records.revision, records.position from named
        join records on records.kind = named.kind and records.key = named.key
        where records.deleted = 0
        order by records.kind, records.position
        """,
        (make,),
    ).fetchall()
    return token, settings_of(connection).model_dump_json(), tuple(rows)
