"""Reports, each computed once: kept until a record that it was computed from changes.

Kept under the revisions of everything that it used, which one query tells; so an answer can never be older than
the records.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from fitcheck.records.frozen import frozen
from fitcheck.store import Store
from fitcheck.store.bundle import settings_of
from fitcheck.store.households import named_by_make, state
from webui.cache import Cache

if TYPE_CHECKING:
    from fitcheck.reports.shaped import Depth
    from fitcheck.reports.shapes import Report
    from fitcheck.reports.steps import Steps
    from fitcheck.reports.the_rest import TheRest


@frozen
class Text:
    """An answer as JSON, with the tag that tells it from every other."""

    raw: bytes
    tag: str


@dataclass(slots=True)
class Answer:
    """The rest of a make with the steps of its answer, their report, and what was made of it; each part once."""

    rest: TheRest
    _reports: dict[Depth, Report] = field(default_factory=dict)
    _texts: dict[str, Text] = field(default_factory=dict)

    @property
    def report(self) -> Report:
        """The report; put together on first use."""
        return self._shaped("whole")

    @property
    def shown(self) -> Report:
        """The report as the page of its make shows it."""
        return self._shaped("page")

    @property
    def listed(self) -> Report:
        """The report as a list of makes needs it."""
        return self._shaped("listed")

    def _shaped(self, depth: Depth) -> Report:
        if depth not in self._reports:
            from fitcheck.reports.shaped import shaped

            self._reports[depth] = self._reports.get("whole") or shaped(self.rest, depth)
        return self._reports[depth]

    @property
    def told(self) -> Steps:
        """The steps of the answer."""
        return self.rest.told

    def text(self, name: str, make: Callable[[Report], Any]) -> Text:
        """Return a part of the answer as JSON; made from plain data on first use."""
        text = self._texts.get(name)
        if text is None:
            text = self._texts[name] = written(make(self.report))
        return text

    def whole(self) -> Text:
        """Return the whole report as JSON."""
        from fitcheck.words.data import as_data

        return self.text("report", as_data)


def written(data: Any) -> Text:
    """Write plain data as JSON, with its tag."""
    raw = json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode()
    return Text(raw, hashlib.sha256(raw).hexdigest()[:32])


class Answers:
    """The reports of a store; any thread may ask."""

    def __init__(self, store: Store, cache: Cache) -> None:
        self._store = store
        self._cache = cache

    def of(self, make: str, piece: str | None = None) -> Answer:
        """Return the answer for a make; None as piece is the last one that was read.

        Raises NotFound, ReportError for a piece that is not there, or what the store raises.
        """
        return self._cache.get(
            "report", lambda: (make, piece, self._used(make)), lambda: self._computed(make, piece), (make, piece)
        )

    def rest_of(self, make: str) -> TheRest:
        """Return the rest of the sweater of a make, as its report has it; raises as `of`."""
        return self.of(make).rest

    def _used(self, make: str) -> tuple[Any, ...]:
        with self._store.database.reading() as connection:
            return used(connection, make)

    def _computed(self, make: str, piece: str | None) -> Answer:
        from fitcheck.reports.shaped import rest_of

        return Answer(rest_of(self._store.make_household(make), make, piece))


def used(connection: sqlite3.Connection, make: str) -> tuple[Any, ...]:
    """Return the revisions of everything that a make's report is computed from. Raises NotFound.

    The place of a record in its list counts too, for a report adds up in that order.
    """
    rows = named_by_make(connection, make, "records.kind, records.key, records.revision, records.position")
    return state(connection)[0], settings_of(connection).model_dump_json(), tuple(rows)
