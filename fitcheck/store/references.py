"""Records that name one another: checked when one of them changes, with only these read from the store."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from typing import Any

from fitcheck.records.cross_checks import KINDS, Shelf, cross_checks
from fitcheck.records.faults import Accepts, Fault, RecordsError
from fitcheck.records.households import TapePool
from fitcheck.records.places import WHOLE, write_path
from fitcheck.records.refusals import first_told
from fitcheck.store.documents import Taken
from fitcheck.store.stored import HOUSEHOLD, read_back

Link = tuple[str, str]


def check_alone(kind: str, taken: Taken, before: Any) -> None:
    """Check what one record says against itself; the records that it names are taken as right.

    before  the record as it stands: what an earlier program let in there is refused to nobody
    """
    if kind == HOUSEHOLD:
        return
    own = kind, taken.record.id
    named = {own, *taken.links}
    if faults := _faults({own: taken.record}, named, own):
        _refuse(faults, _faults({own: before}, named, own))


def check_around(connection: sqlite3.Connection, kind: str, taken: Taken, before: Any = None) -> None:
    """Check a record with the records that it names and those that name it.

    before  the record as it stands: what an earlier program let in there, or into the others, is refused to nobody,
            else nothing of it could be changed; None where there is none

    Raises RecordsError; a fault in another record has its place from that record, ``makes/grey: size``.
    """
    if kind == HOUSEHOLD:
        _check_tape(connection, taken)
        return
    own = (kind, taken.record.id)
    around = [*taken.links, *naming(connection, *own)]
    records: dict[Link, Any] = {own: taken.record}
    named = {own}
    for other in around:
        if other not in records and (text := _text(connection, other)) is not None:
            records[other] = read_back(*other, text)
            named.add(other)
    rows = {
        link
        for other in records
        for link in connection.execute("select to_kind, to_key from links where kind = ? and key = ?", other)
        if other != own
    }
    named |= rows  # what stands in the store names only what is there
    if not _faults(records, named, own):
        return
    # Once more with every name, so that the message can say what there is.
    named |= set(connection.execute("select kind, key from records where deleted = 0"))
    faults = _faults(records, named, own)
    del records[own]
    _refuse(faults, _faults(records if before is None else {own: before, **records}, named, own))


def naming(connection: sqlite3.Connection, kind: str, key: str) -> list[Link]:
    """Return the records that name a record."""
    names: list[Link] = connection.execute(
        "select kind, key from links where to_kind = ? and to_key = ? order by kind, key", (kind, key)
    ).fetchall()
    return names


def _refuse(faults: Sequence[Fault], stood: Sequence[Fault]) -> None:
    """Refuse what was not there before."""
    if new := [fault for fault in faults if fault not in stood]:
        raise RecordsError(new)


def _faults(records: dict[Link, Any], named: set[Link], own: Link) -> list[Fault]:
    """What does not go together; of one's own record the place alone is told, of others their names too."""
    numbers: dict[str, dict[int, Any]] = {kind: {} for kind in KINDS}
    for (kind, _), record in records.items():
        numbers[kind][len(numbers[kind])] = record
    names = {kind: frozenset(key for of, key in named if of == kind) for kind in KINDS}
    faults = []
    for refusal in first_told(cross_checks(Shelf(TapePool(), numbers, names))):
        if not refusal.path:
            faults.append(Fault(WHOLE, refusal.read, refusal.accepts))
            continue
        kind, number = str(refusal.path[0]), int(refusal.path[1])
        there = (kind, numbers[kind][number].id)
        place = write_path(refusal.path[2:])
        faults.append(Fault(place if there == own else f"{'/'.join(there)}: {place}", refusal.read, refusal.accepts))
    return faults


def _text(connection: sqlite3.Connection, link: Link) -> str | None:
    row = connection.execute("select doc from records where kind = ? and key = ? and deleted = 0", link).fetchone()
    return row[0] if row else None


def _check_tape(connection: sqlite3.Connection, taken: Taken) -> None:
    faults = [
        Fault(f"tape.sets[{number}].of", frozen.of, Accepts("id_that_is_here"))
        for number, frozen in enumerate(taken.record.tape.sets)
        if connection.execute("select 1 from records where key = ? and kind <> 'household'", (frozen.of,)).fetchone()
        is None
    ]
    if faults:
        raise RecordsError(faults)
