"""One dated list of what was changed: of a record, and of a make with every record that it names."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from itertools import groupby
from typing import ClassVar

from flask import Blueprint, Response, abort, request

from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household, by_key
from fitcheck.records.makes import Make
from fitcheck.records.places import Path
from fitcheck.store.changes import Change
from fitcheck.store.documents import links_of
from fitcheck.store.faults import NotFound
from fitcheck.store.together import Together
from fitcheck.words import deeds, history
from fitcheck.words.history import Told
from fitcheck.words.names import Names, names_of, record_name
from webui.pages import ground, views
from webui.pages.context import Page
from webui.pages.make.found import make_of
from webui.pages.notices import name_of

pages = Blueprint("changes_list", __name__)

Wholes = Mapping[tuple[str | None, str], Together]
"""Changes of several records, by what they were written by and when."""
_TOLD_AS_ONE = ("imported", "undone")
"""What is told of all the records of a change by one line; else each of them is told."""
A_PAGE = 60
"""Changes on a page."""
_KINDS = {"garments": "wardrobe", "swatches": "swatches", "wearers": "wardrobe", "size_tables": "swatches"}
"""Kinds of records that have a list of their own, and the room that it stands in."""


@frozen
class Line:
    """One change: told, with why it cannot be taken back by itself (empty: it can)."""

    change: Change
    told: Told
    rests: str


@frozen
class Whole:
    """A change of several records: what names it, and why it is not taken back (empty: it is)."""

    together: str
    told: str
    rests: str


@frozen
class Entry:
    """What was changed at once: when, of which record (empty: the one of the page), and each figure.

    whole  the change of several records that it is, taken back as one; its lines then have no button of their own
    """

    hour: str
    record: str
    lines: list[Line]
    whole: Whole | None = None


@frozen
class ChangesPage(Page):
    """What was changed, day by day, the latest first.

    room      of the record that the list is about
    name, to, own  of the record that the list is about, where its page stands, and its kind and key
    at        address of the list
    """

    template: ClassVar[str] = "changes.html"
    room: str  # type: ignore[misc]  # each record's own
    name: str
    to: str
    own: tuple[str, str]
    at: str
    heading: str
    days: list[tuple[str, list[Entry]]]
    listed: list[tuple[int, bool]]


@pages.get("/makes/<key>/changes")
def of_make(key: str) -> Response:
    """What was changed of a make: of itself, and of what it must fit, its yarn, its swatches and its sizes."""
    make = make_of(key)
    stored = views.store().get("makes", key)
    named = [(kind, other) for kind, other in links_of("makes", stored.doc) if kind != "makes"]
    return _list(make.name, [("makes", key), *named], f"/makes/{key}/changes")


@pages.get("/changes/<kind>/<key>")
def of_record(kind: str, key: str) -> Response:
    """What was changed of a record that stands by itself."""
    if kind not in _KINDS:
        abort(404, deeds.NO_SUCH_CHANGE)
    try:
        record = views.store().get(kind, key).record
    except NotFound as error:
        abort(404, str(error))
    return _list(record_name(record), [(kind, key)], f"/changes/{kind}/{key}")


def _list(name: str, records: list[tuple[str, str]], at: str) -> Response:
    own = records[0]
    household = ground.household()
    names = names_of(household)
    every = [change for kind, key in records for change in views.store().changes(kind, key)]
    # Two records that were written in one instant keep their order, the latest first.
    every.sort(key=lambda change: change.at, reverse=True)
    every = [change for change in every if not _told_beside(change)]
    wholes = _wholes(every)
    every = [change for number, change in enumerate(every) if not _told_once(change, every[:number], wholes)]
    page = int(asked) if (asked := request.args.get("page", "")[:4]).isdecimal() else 1
    shown = every[(page - 1) * A_PAGE : page * A_PAGE]
    stages = {f"{kind} {key}": _stages(household, kind, key) for kind, key in records}
    days = [
        (
            day,
            [_entry(list(once), own, names, stages, wholes) for _, once in groupby(of_day, partial(_at_once, wholes))],
        )
        for day, of_day in groupby(shown, key=lambda change: history.day_of(change.at))
    ]
    count = -(-len(every) // A_PAGE)
    return views.show(
        ChangesPage(
            room=ground.room_of(own[0]),
            name=name,
            to=ground.page_of(*own),
            own=own,
            at=at,
            heading=history.so_many(len(every), history.day_of(every[-1].at) if every else ""),
            days=days,
            listed=[(number, number == page) for number in range(1, count + 1)] if count > 1 else [],
        )
    )


def _told_beside(change: Change) -> bool:
    """Whether a change says nothing that the others of its revision do not: that counts were taken."""
    return change.kind == "makes" and change.path[:1] in (("taken",), ("done",))


def _wholes(every: list[Change]) -> Wholes:
    """The changes of several records among some changes."""
    named = {(change.form, change.at) for change in every if change.form is not None}
    known = {(form, at): views.store().together(form, at) for form, at in named}
    return {name: together for name, together in known.items() if together is not None}


def _told_once(change: Change, before: list[Change], wholes: Wholes) -> bool:
    """Whether a change is of a file that was taken in, or taken back, and another one of it stands in the list."""
    together = wholes.get((change.form, change.at))
    return (
        together is not None
        and together.what in _TOLD_AS_ONE
        and any((other.form, other.at) == (change.form, change.at) for other in before)
    )


def _at_once(wholes: Wholes, change: Change) -> tuple[str, ...]:
    """What the changes of one entry have in common: their revision, or the change of several records."""
    if (change.form, change.at) in wholes:
        return (change.at,)
    return change.at, change.kind, change.key, str(change.revision)


def _entry(
    together: list[Change],
    own: tuple[str, str],
    names: Names,
    stages: Mapping[str, Mapping[Path, str]],
    wholes: Wholes,
) -> Entry:
    first = together[0]
    whole = wholes.get((first.form, first.at))
    if whole is not None and whole.what in _TOLD_AS_ONE:
        return Entry(history.hour_of(first.at), "", [], _whole(whole))
    record = "" if whole is not None else _name(first, own, names)
    lines = [
        Line(
            change,
            history.told(
                change.path,
                change.before,
                change.after,
                what=change.what,
                names=names,
                stages=stages[f"{change.kind} {change.key}"],
                of=_name(change, own, names) if whole is not None else "",
            ),
            history.later_change(change.later.at) if change.later is not None else "",
        )
        for change in together
    ]
    return Entry(history.hour_of(first.at), record, lines, _whole(whole) if whole is not None else None)


def _name(change: Change, own: tuple[str, str], names: Names) -> str:
    """Of which record a change is; empty: the one of the page."""
    of = (change.kind, change.key)
    return "" if of == own else names.get(of, change.key)


def _whole(together: Together) -> Whole:
    told = history.together(together.what, together.count) if together.what in _TOLD_AS_ONE else ""
    rests = history.later_change(together.later) if together.later is not None else ""
    return Whole(name_of(together), told, rests)


def _stages(household: Household, kind: str, key: str) -> Mapping[Path, str]:
    """The kind of each stage of a record, by its place."""
    record = by_key(getattr(household, kind), key)
    if isinstance(record, Make):
        return {
            ("pieces", piece.id, "stages", number): stage.kind
            for piece in record.pieces
            for number, stage in enumerate(piece.stages)
        }
    return {("stages", number): stage.kind for number, stage in enumerate(getattr(record, "stages", ()))}
