"""Readings as CSV, out and in: a table that any spreadsheet opens, one reading a line."""

from __future__ import annotations

import csv
import io
import secrets
import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NoReturn

from fitcheck.records.bounds import MOST_ROWS
from fitcheck.records.faults import Accepts, Fault, RecordsError, in_words
from fitcheck.records.frozen import frozen
from fitcheck.records.places import Place, write_path
from fitcheck.records.refusals import MOST_TOLD
from fitcheck.store.faults import StoreError
from fitcheck.store.places import PATTERNS, lists_of
from fitcheck.store.readings import Adding, Ready, unit_read
from fitcheck.store.saving import save_all
from fitcheck.store.steps import instant
from fitcheck.store.stored import Stored, readable

COLUMNS = (
    "record kind",
    "key",
    "place",
    "point",
    "text",
    "unit",
    "at",
    "by",
    "tape",
    "laying",
    "look",
    "set aside",
    "confirmed",
    "id",
)
_NEEDED = ("record kind", "key", "place", "text")
_FIELDS = {"set aside": "set_aside"}
_FREE_TEXT = ("text", "by", "tape", "set aside")
# A spreadsheet would reckon a text that begins like this; a quote before it is taken off on the way in.
_LIKE_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "'")
_LONGEST = 20_000_000


@frozen
class Added:
    """What came in: readings added, and readings that were here already with the same id and content.

    records   each record that was added to, as it is now
    form, at  what they were written by as one change, and when
    """

    added: int
    already_here: int
    records: tuple[Stored, ...] = ()
    form: str = ""
    at: str = ""


def write_readings(connection: sqlite3.Connection) -> str:
    """Write every reading of every record that is not deleted, set aside or not."""
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\r\n")  # RFC 4180
    table.writerow(COLUMNS)
    for kind in PATTERNS:
        rows = connection.execute(
            "select key, doc from records where kind = ? and deleted = 0 order by position", (kind,)
        )
        for key, text in rows:
            if not readable(kind, text):
                continue  # what is kept of it is spoilt; all other readings go out
            doc = Stored(kind, key, 1, False, "", text).doc
            for path, readings in lists_of(kind, doc):
                place = Place(kind, key, path)
                before = place.around if place.point else place
                table.writerows(_row(before, place.point or "", reading) for reading in readings)
    return out.getvalue()


def _row(place: Place, point: str, reading: Mapping[str, Any]) -> list[str]:
    row = {"record kind": place.kind, "key": place.key, "place": place.address, "point": point}
    reading = {**reading, "unit": unit_read(reading)}
    for name in COLUMNS[4:]:
        value = reading.get(_FIELDS.get(name, name), "")
        said = "yes" if value is True else str(value)
        row[name] = f"'{said}" if name in _FREE_TEXT and said.startswith(_LIKE_A_FORMULA) else said
    return list(row.values())


def added(connection: sqlite3.Connection, text: str) -> ReadyTable:
    """Add the readings of a CSV, all or none, as one revision of each record and one change of all.

    Needs the columns record kind, key, place and text; the others may be missing or empty. A reading whose id
    is here with the same content is passed over. Separated by commas, by semicolons as some spreadsheets write it,
    or by tabs as cells are that were copied.

    Raises RecordsError with the first faults, by line, and how many more there are.
    """
    table = _Table(connection)
    for number, (line, row) in enumerate(_rows(text)):
        if number == MOST_ROWS:
            _refuse("one more", Accepts("rows_of_a_table", most=MOST_ROWS), line)
        table.add(line, row)
    return table.ready()


@frozen
class ReadyTable:
    """The readings of a table, looked through: they only wait to be written.

    records  each record that is added to;  count: how many readings are added
    here     how many were here already
    """

    records: tuple[Ready, ...]
    count: int
    here: int

    def stands(self, connection: sqlite3.Connection) -> bool:
        """Whether nobody changed one of the records since."""
        return all(ready.stands(connection) for ready in self.records)

    def keep(self, connection: sqlite3.Connection) -> Added:
        """Write all of it as one change."""
        form, at = secrets.token_urlsafe(12), instant()
        kept = save_all(connection, [ready.saving for ready in self.records], form=form, at=at)
        return Added(self.count, self.here, tuple(kept), form, at)


class _Table:
    """The readings of a table on their way in: what is added to each record, and every fault by line."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        self._faults: list[Fault] = []
        self._adding: dict[tuple[str, str], Adding] = {}
        self._lines: dict[tuple[str, str], dict[str, int]] = {}
        self._here = 0

    def add(self, line: int, row: Mapping[str, str]) -> None:
        """Add the reading of a line, or tell its fault."""
        where, reading = _reading(row)
        record = where.kind, where.key
        try:
            adding = self._adding.get(record) or Adding(self._connection, *record)
            self._adding[record] = adding
            path = adding.add(where, reading)
        except StoreError as error:
            read = f"{where.kind}/{where.key}, {where.address}"
            self._faults.append(Fault("row", read, in_words(str(error)), line))
        else:
            if path is None:
                self._here += 1
            else:
                self._lines.setdefault(record, {})[write_path(path)] = line

    def ready(self) -> ReadyTable:
        """Look through all of it; raises RecordsError with the faults in the order of the lines."""
        records = []
        for record, lines in self._lines.items():
            try:
                records.append(self._adding[record].ready())
            except RecordsError as error:
                self._faults += [_on_its_line(fault, lines) for fault in error.faults]
        if self._faults:
            raise RecordsError(_first_told(sorted(self._faults, key=lambda fault: fault.line or 0)))
        return ReadyTable(tuple(records), sum(map(len, self._lines.values())), self._here)


def _first_told(faults: Sequence[Fault]) -> list[Fault]:
    """MOST_TOLD faults, and how many more there are."""
    more = len(faults) - MOST_TOLD
    rest = Fault("row", f"{more:,} more", Accepts("places_told_then"), faults[MOST_TOLD].line) if more > 0 else None
    return [*faults[:MOST_TOLD], *filter(None, [rest])]


def _on_its_line(fault: Fault, lines: Mapping[str, int]) -> Fault:
    """A fault with the line of the reading that it is in; of more than one, with the first of its readings."""
    around = [fault.place]
    while around[-1]:
        around.append(around[-1][: max(around[-1].rfind("."), around[-1].rfind("["), 0)])
    own = next((lines[place] for place in around if place in lines), None)
    if own is None:
        own = next(line for place in around for at, line in lines.items() if at.startswith(place))
    return Fault(fault.place, fault.read, fault.accepts, own)


def _rows(text: str) -> Iterator[tuple[int, dict[str, str]]]:
    text = text.removeprefix("\ufeff")
    if len(text) > _LONGEST:
        _refuse("a longer table", Accepts("characters_of_a_table", most=_LONGEST))
    first = text.split("\n", 1)[0]
    table = csv.reader(io.StringIO(text, newline=""), delimiter=max(",;\t", key=first.count))
    try:
        names = [name.strip().lower() for name in next(table, [])]
        if missing := [name for name in _NEEDED if name not in names]:
            _refuse(f"no column {', '.join(missing)}", Accepts("first_line_with_columns", names=COLUMNS))
        if unknown := [name for name in names if name not in COLUMNS]:
            _refuse(f"the column {unknown[0]!r}", Accepts("columns", names=COLUMNS))
        if len(set(names)) < len(names):
            _refuse("a column twice", Accepts("each_column_once"))
        for row in table:
            if any(cell.strip() for cell in row):
                if len(row) > len(names):
                    _refuse(f"{len(row)} cells", Accepts("cells_of_the_first_line", count=len(names)), table.line_num)
                yield table.line_num, dict(zip(names, row, strict=False))
    except csv.Error as error:
        _refuse(str(error), Accepts("table_of_a_spreadsheet"), table.line_num)


def _refuse(read: str, accepts: Accepts, line: int = 0) -> NoReturn:
    """Refuse a row, or without its line the heading of the table."""
    raise RecordsError((Fault("row" if line else "heading", read, accepts, line or 1),))


def _reading(row: Mapping[str, str]) -> tuple[Place, dict[str, Any]]:
    place, point = row.get("place", "").strip(), row.get("point", "").strip()
    address = f"{place}/{point}" if point else place
    where = Place.of_readings(row["record kind"].strip(), row.get("key", "").strip(), address)
    reading: dict[str, Any] = {}
    for name in COLUMNS[4:]:
        said = row.get(name, "").strip()
        if name in _FREE_TEXT:
            said = said.removeprefix("'")
        if not said and name != "text":
            continue
        value: Any = said
        if name in ("laying", "look") and said.isascii() and said.isdigit() and len(said) < 10:
            value = int(said)
        elif name == "confirmed" and said.lower() in ("yes", "no"):
            value = said.lower() == "yes"
        reading[_FIELDS.get(name, name)] = value
    return where, reading
