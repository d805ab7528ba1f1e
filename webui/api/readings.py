"""Readings over the API: added once by the id that the asker made, set aside, confirmed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask import Response

from fitcheck.records.places import Place
from fitcheck.records.refusals import shown
from fitcheck.store.faults import NotFound
from fitcheck.store.places import lists_of
from fitcheck.store.stored import Stored
from webui.api.calls import Call, refuse
from webui.api.records import changed
from webui.service import service

PLACE_LONGEST = 300


def added(kind: str, call: Call) -> Response:
    """Add a reading; the same once more is the same reading."""
    body = call.object(("place", "reading"), needed=("place", "reading"))
    place, said = body["place"], body["reading"]
    if not isinstance(place, str) or not 0 < len(place) <= PLACE_LONGEST:
        refuse("place", shown(place), "Where the reading stands: occasions/first/readings/chest.")
    if isinstance(said, bool) or not isinstance(said, (str, int, float, dict)):
        refuse("reading", shown(said), 'A reading: "51.6 cm", or an object with its text.')
    reading: dict[str, Any] = said if isinstance(said, dict) else {"text": said}
    if reading.setdefault("id", call.path["id"]) != call.path["id"]:
        refuse("reading.id", shown(reading["id"]), "The id of the address, or none.")
    return changed(service().store.add_reading(Place.of_readings(kind, call.path["key"], place), reading))


def set_aside(kind: str, call: Call) -> Response:
    """Set a reading aside with a reason; it stays, and does not count any more."""
    reason = call.object(("reason",), needed=("reason",))["reason"]
    if not isinstance(reason, str):
        refuse("reason", shown(reason), "The reason, in a few words: the tape had slipped.")

    return changed(_where_it_stands(kind, call, lambda place, name: service().store.set_aside(place, name, reason)))


def confirmed(kind: str, call: Call) -> Response:
    """Confirm a reading that was questioned."""
    return changed(_where_it_stands(kind, call, lambda place, name: service().store.confirm(place, name)))


def _where_it_stands(kind: str, call: Call, act: Callable[[Place, str], Stored]) -> Stored:
    """Do something with a reading where it stands now: its id is its own in its record, its place may move."""
    key, name = call.path["key"], call.path["id"]
    try:
        return act(_place(kind, key, name), name)
    except NotFound:
        # A stage was put in before it between looking and doing.
        return act(_place(kind, key, name), name)


def _place(kind: str, key: str, name: str) -> Place:
    document = service().store.get(kind, key).doc
    for path, readings in lists_of(kind, document):
        if any(reading["id"] == name for reading in readings):
            return Place(kind, key, path)
    raise NotFound(kind, key, f"There is no reading {name!r} in {kind}/{key}. Look for a slip in its id.")
