"""Taps at the machine: a table of their own, only ever added to.

They make no revision of a make, stand in no list of changes and feed no answer; backup and export have them. The
functions work inside a transaction that the caller holds.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable

from fitcheck.records.begun_sheets import BegunSheet, SheetTaps, Tap
from fitcheck.records.households import by_key
from fitcheck.records.makes import Make
from fitcheck.store.faults import SheetEnded, SheetNotFound, TapBeyondSheet
from fitcheck.store.revisions import there
from fitcheck.store.steps import now


def add_tap(connection: sqlite3.Connection, make: str, sheet: str, tap: Tap) -> bool:
    """Keep a tap; returns whether it is new. The same id sent again is the tap that is here, however it reads.

    A late tap is taken like every other: the latest of a line stands. Raises NotFound without the make, SheetNotFound
    where the make has no such sheet, SheetEnded where it was ended, TapBeyondSheet for a line that it does not have.
    """
    begun = _begun(connection, make, sheet)
    here = connection.execute(
        "select 1 from taps where make = ? and sheet = ? and id = ?", (make, sheet, tap.id)
    ).fetchone()
    if here is not None:
        return False
    if begun.ended:
        raise SheetEnded(make, begun)
    if tap.line >= len(begun.sheet.lines):
        raise TapBeyondSheet(tap.line, len(begun.sheet.lines))
    _insert(connection, make, sheet, [tap])
    return True


def taps_on(connection: sqlite3.Connection, make: str, sheet: str) -> tuple[Tap, ...]:
    """Return the taps on a sheet, in the order in which they came. Raises NotFound and SheetNotFound."""
    _begun(connection, make, sheet)
    return _taps(connection, make, sheet)


def written_taps(connection: sqlite3.Connection, makes: Iterable[str]) -> list[str]:
    """The taps on the sheets of some makes, a line of a household file for each sheet that has any."""
    lines = []
    for make in makes:
        sheets = connection.execute("select distinct sheet from taps where make = ? order by sheet", (make,)).fetchall()
        for (sheet,) in sheets:
            taps = SheetTaps(make=make, sheet=sheet, taps=list(_taps(connection, make, sheet)))
            lines.append(taps.model_dump_json(exclude_defaults=True))
    return lines


def import_taps(connection: sqlite3.Connection, coming: Iterable[SheetTaps]) -> None:
    """Add the taps of a household file to those that are here; one that is here already stays as it is."""
    for sheet_taps in coming:
        _insert(connection, sheet_taps.make, sheet_taps.sheet, sheet_taps.taps)


def _begun(connection: sqlite3.Connection, make: str, sheet: str) -> BegunSheet:
    record = there(connection, "makes", make).record
    assert isinstance(record, Make)
    begun = by_key(record.sheets, sheet)
    if begun is None:
        raise SheetNotFound(make, sheet)
    return begun


def _taps(connection: sqlite3.Connection, make: str, sheet: str) -> tuple[Tap, ...]:
    rows = connection.execute("select doc from taps where make = ? and sheet = ? order by number", (make, sheet))
    return tuple(Tap.model_validate_json(doc) for (doc,) in rows)


def _insert(connection: sqlite3.Connection, make: str, sheet: str, taps: Iterable[Tap]) -> None:
    rows = [
        (make, sheet, tap.id, json.dumps(tap.model_dump(mode="json", exclude_defaults=True)), now()) for tap in taps
    ]
    connection.executemany(
        "insert into taps (make, sheet, id, doc, at) values (?, ?, ?, ?, ?) on conflict do nothing", rows
    )
