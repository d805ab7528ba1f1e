"""What a form wrote when it was sent before: sent again it changes the same record and makes no second one.

A form carries an id that was made with it, and each revision that it writes keeps that id.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping, Sequence
from typing import Any

from fitcheck.records.frozen import frozen
from fitcheck.store.revisions import past, there
from fitcheck.store.stored import Stored

Readings = Sequence[Mapping[str, Any]]


@frozen
class Sent:
    """A record that a form wrote before.

    now     the record as it stands
    before  its document before the form was first sent; None where the form made the record
    wrote   its document as the form left it last
    """

    now: Stored
    before: dict[str, Any] | None
    wrote: dict[str, Any]

    def again(self, document: Mapping[str, Any]) -> dict[str, Any]:
        """Return the record with the form as it is sent now.

        document  what the form makes of `before`

        What changed between the two sendings is changed in the record as it stands; what others did to it meanwhile
        stays. A reading that is another now is set aside, and the new one is added.
        """
        changed: dict[str, Any] = _changed(self.wrote, self.now.doc, dict(document))
        return changed


def sent(connection: sqlite3.Connection, form: str, kind: str, key: str | None = None) -> Sent | None:
    """Return what a form wrote of a kind of records, or of one of them; None where it wrote nothing that stands.

    A record that was deleted since is none: the form sent again makes it anew.
    """
    row = connection.execute(
        "select history.key, min(history.revision), max(history.revision) from history join records using (kind, key) "
        "where form = ? and kind = ? and key = coalesce(?, key) and records.deleted = 0 "
        "group by history.key order by max(at) desc limit 1",
        (form, kind, key),
    ).fetchone()
    if row is None:
        return None
    key, first, last = row
    before, wrote = past(connection, kind, key, first - 1), past(connection, kind, key, last)
    assert wrote is not None  # the row is of it
    return Sent(there(connection, kind, key), None if before is None or before.deleted else before.doc, wrote.doc)


def _changed(wrote: Any, now: Any, again: Any) -> Any:
    """What stands now, with what is another in `again` than in `wrote`; None stands for nothing there."""
    if again == wrote:
        return now
    if isinstance(again, dict) and isinstance(now, dict):
        before = wrote if isinstance(wrote, dict) else {}
        parts = {name: _changed(before.get(name), now.get(name), again.get(name)) for name in {**now, **again}}
        return {name: part for name, part in parts.items() if part is not None}
    if _are_readings(wrote) or _are_readings(now):
        return _read_again(wrote or [], now or [], again or [])
    if isinstance(again, list) and isinstance(now, list) and _are_parts(now) and _are_parts(again):
        return _parts_again(wrote or [], now, again)
    return again


def _are_readings(listed: Any) -> bool:
    return isinstance(listed, list) and any(isinstance(entry, dict) and "text" in entry for entry in listed)


def _are_parts(listed: Readings) -> bool:
    return all(isinstance(entry, dict) for entry in listed)


def _parts_again(wrote: Readings, now: Readings, again: Readings) -> list[Any]:
    """A list of stages, measurings or pieces: those in the same place are the same, those beyond were added since.

    A part keeps its id, by which its readings are known. A piece that is another now is added, and the readings of the
    one that stood in its place are set aside; so are those of a part that is left out now.
    """
    gone = [(at, _set_aside(part)) for at, part in enumerate(now[: len(wrote)]) if at >= len(again)]
    out = [at for at, part in gone if part == now[at]]
    parts = [dict(gone).get(at, part) for at, part in enumerate(now) if at not in out]
    for at, part in enumerate(again):
        stood = now[at] if at < len(now) else None
        if stood is None or stood.get("piece") != part.get("piece"):
            parts += [part]
            if stood is not None:
                parts[at] = _set_aside(stood)
        else:
            kept = {"id": stood["id"]} if "id" in stood else {}
            parts[at] = {**_changed(wrote[at] if at < len(wrote) else None, stood, part), **kept}
    return parts


def _set_aside(inside: Any) -> Any:
    """A part of a document with every reading in it set aside."""
    if isinstance(inside, list):
        return [_set_aside(entry) for entry in inside]
    if not isinstance(inside, dict):
        return inside
    if "text" in inside:
        return {"set_aside": "typed again", **inside}
    return {name: _set_aside(entry) for name, entry in inside.items()}


def _read_again(wrote: Readings, now: Readings, again: Readings) -> list[dict[str, Any]]:
    """Readings of a point: the form's own of the first sending beside those of this one, in their order."""
    earlier = {reading.get("id") for reading in again}
    first = [reading for reading in wrote if reading["id"] not in earlier and not reading.get("set_aside")]
    new = [dict(reading) for reading in again if "id" not in reading]
    there = {reading["id"]: dict(reading) for reading in now}
    for at, reading in enumerate(first):
        same = at < len(new) and _says(new[at]) == _says(reading)
        if same and reading["id"] in there:
            new[at] = {}
        elif not same and reading["id"] in there and not there[reading["id"]].get("set_aside"):
            said = new[at]["text"] if at < len(new) else "nothing"
            there[reading["id"]]["set_aside"] = f"typed again: {said}"
    return [*there.values(), *filter(None, new)]


def _says(reading: Mapping[str, Any]) -> tuple[Any, Any]:
    return reading["text"], reading.get("unit")
