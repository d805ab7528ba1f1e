"""Readings: only ever added, each once by its id; set aside with a reason; confirmed when questioned; put right.

A reading that is put right stays the same reading; what was typed first stands in the history. Each change is looked
through first and written then, so that nobody waits while it is looked through.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import ValidationError

from fitcheck.records.base import Record
from fitcheck.records.faults import Accepts, Fault, RecordsError
from fitcheck.records.frozen import frozen
from fitcheck.records.lengths import read_length
from fitcheck.records.places import Path, Place
from fitcheck.records.readings import Overhang, Reading
from fitcheck.store.documents import Taken, take
from fitcheck.store.faults import IdTaken, NotFound
from fitcheck.store.grown import What, as_added, rows_of
from fitcheck.store.places import content_of, list_at, lists_of, numbered
from fitcheck.store.references import check_alone
from fitcheck.store.revisions import current, there
from fitcheck.store.saving import Saving, save_all
from fitcheck.store.stored import Stored


class Adding:
    """Readings that are added to one record as one change.

    Raises NotFound where there is no such record.
    """

    def __init__(self, connection: sqlite3.Connection, kind: str, key: str) -> None:
        self._connection = connection
        self._before = there(connection, kind, key)
        self._data = self._before.doc
        self._by_id = {
            reading["id"]: (path, reading) for path, readings in lists_of(kind, self._data) for reading in readings
        }
        self._added: list[tuple[Path, Path]] = []

    def add(self, where: Place, reading: Mapping[str, Any] | Record | str | float) -> Path | None:
        """Add a reading; return where it stands, with the number of each entry of a list; None: it is here already.

        Raises NotFound for a place that is not there, IdTaken for another reading with its id.
        """
        readings, plain = list_at(where, self._data), _plain(reading)
        own = plain.get("id")
        there_already = self._by_id.get(own) if isinstance(own, str) else None
        if there_already is not None:
            if self._is_here(where, plain, *there_already):
                return None
            raise IdTaken(where.kind, where.key, there_already[1]["id"], there_already[1])
        readings.append(plain)
        if isinstance(own, str):
            self._by_id[own] = where.path, plain
        stands = (*numbered(where.path, self._data), len(readings) - 1)
        self._added.append((where.path, stands))
        return stands

    def _is_here(self, where: Place, reading: Mapping[str, Any], path: Path, there_already: dict[str, Any]) -> bool:
        if path != where.path:
            return False
        return _same(where, reading, there_already) or _stood(self._connection, where, reading)

    def ready(self) -> Ready:
        """Look through what was added. Raises RecordsError for readings that are refused."""
        before = self._before
        if not self._added:
            return Ready(before, None, "reading_added")
        taken = take(before.kind, before.key, self._data)
        check_alone(before.kind, taken, before.record)
        added = [(path, _entry(taken.data, stands)) for path, stands in self._added]
        grows = as_added(before.kind, before.key, before.text, taken.text, added)
        return Ready(before, taken, "reading_added", grows)


@frozen
class Ready:
    """A change of one record that was looked through and only waits to be written.

    before  the record as it was then;  taken: as it is to be, None where nothing changes
    grows   as of `Saving`
    """

    before: Stored
    taken: Taken | None
    what: What
    grows: str | None = None

    def stands(self, connection: sqlite3.Connection) -> bool:
        """Whether nobody changed the record since."""
        now_there = current(connection, self.before.kind, self.before.key)
        return now_there is not None and now_there.revision == self.before.revision

    @property
    def saving(self) -> Saving:
        """How it is written."""
        before = self.before
        return Saving(before.kind, before.key, before, self.taken, self.what, grows=self.grows)

    def keep(self, connection: sqlite3.Connection) -> Stored:
        """Write it as the next revision; without a change, return the record as it is."""
        return self.before if self.taken is None else save_all(connection, [self.saving])[0]


def _entry(inside: Any, path: Path) -> Any:
    """What stands at a place of a document, whose lists are told by number."""
    for step in path:
        inside = inside[step]
    return inside


def added(connection: sqlite3.Connection, where: Place, reading: Mapping[str, Any] | Record | str | float) -> Ready:
    """Add a reading to the record as it is now.

    The same reading with the same id again is one reading and makes no revision, also where it was put right since;
    another with that id raises IdTaken. Raises RecordsError for a reading that is refused, NotFound for a place that
    is not there.
    """
    adding = Adding(connection, where.kind, where.key)
    adding.add(where, reading)
    return adding.ready()


def set_aside(connection: sqlite3.Connection, where: Place, reading_id: str, reason: str) -> Ready:
    """Set a reading aside with a reason: it stays, and does not count any more."""
    reason = reason.strip()
    if not reason:
        raise RecordsError((Fault("set_aside", '""', Accepts("reason")),))
    return _marked(connection, where, reading_id, {"set_aside": reason}, "reading_set_aside")


def confirmed(connection: sqlite3.Connection, where: Place, reading_id: str) -> Ready:
    """Confirm a reading that was questioned: it stays as typed and is not asked about again."""
    return _marked(connection, where, reading_id, {"confirmed": True}, "reading_confirmed")


def put_right(connection: sqlite3.Connection, where: Place, reading_id: str, text: str, unit: str) -> Ready:
    """Write another figure in the place of a slip: the reading stays in its laying and round, and is asked about anew.

    unit  of a bare figure
    Raises RecordsError for a figure that is refused, NotFound for a reading that is not there.
    """
    marks = {"text": text, "unit": unit, "confirmed": False}
    return _marked(connection, where, reading_id, marks, "reading_put_right")


def _marked(
    connection: sqlite3.Connection, where: Place, reading_id: str, marks: Mapping[str, Any], what: What
) -> Ready:
    before = there(connection, where.kind, where.key)
    data = before.doc
    readings = list_at(where, data)
    reading = next((entry for entry in readings if entry.get("id") == reading_id), None)
    if reading is None:
        said = f"There is no reading {reading_id!r} at {where.address} in {where.kind}/{where.key}."
        raise NotFound(where.kind, where.key, said)
    reading.update(marks)
    taken = take(where.kind, where.key, data)
    return Ready(before, None if taken.text == before.text else taken, what)


def _plain(reading: Mapping[str, Any] | Record | str | float) -> dict[str, Any]:
    if isinstance(reading, Record):
        data: dict[str, Any] = json.loads(reading.model_dump_json(exclude_defaults=True))
        return data
    return dict(reading) if isinstance(reading, Mapping) else {"text": reading}


def _same(where: Place, reading: Mapping[str, Any], there_already: Mapping[str, Any]) -> bool:
    """Whether a reading says what the one that stands there says, however it is written."""
    model = Overhang if "overhangs" in where.path else Reading
    try:
        read = model.model_validate_json(json.dumps(reading, default=str))
    except (ValidationError, ValueError):
        return False
    mine, theirs = ({**content_of(said), "unit": unit_read(said)} for said in (_plain(read), there_already))
    return mine == theirs


def _stood(connection: sqlite3.Connection, where: Place, reading: Mapping[str, Any]) -> bool:
    """Whether a reading says what stood under its id at an earlier revision: a phone may send again what it sent."""
    earlier = (
        entry
        for row in rows_of(connection, where.kind, where.key)
        for path, entry in (row.added if row.grows else _entries(where.kind, json.loads(row.doc)))
        if path == where.path
    )
    return any(entry["id"] == reading["id"] and _same(where, reading, entry) for entry in earlier)


def _entries(kind: str, data: Mapping[str, Any]) -> Iterator[tuple[Path, dict[str, Any]]]:
    """Every reading of a document with the place of its list."""
    return ((path, entry) for path, listed in lists_of(kind, data) for entry in listed)


def unit_read(reading: Mapping[str, Any]) -> str:
    """The unit that the text of a reading is read in: its own ("21 cm" where inches stand), else the one beside it."""
    return read_length(reading["text"], unit=reading.get("unit"), signed=True).unit
