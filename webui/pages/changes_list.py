"""One dated list of what was changed: of a record, and of a make with every record that it names."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import groupby

from flask import Blueprint, Response, abort, request

from fitcheck.records.households import Household
from fitcheck.records.makes import Make
from fitcheck.records.places import Path
from fitcheck.store.changes import Change
from fitcheck.store.documents import links_of
from fitcheck.store.faults import NotFound
from fitcheck.words import deeds, history
from fitcheck.words.history import Told
from fitcheck.words.names import record_name
from webui.pages import ground, views
from webui.pages.context import Page, shown_by
from webui.pages.make.found import make_of

pages = Blueprint("changes_list", __name__)

A_PAGE = 60
"""Changes on a page."""
_KINDS = {"garments": "wardrobe", "swatches": "swatches", "wearers": "wardrobe", "size_tables": "swatches"}
"""Kinds of records that have a list of their own, and the room that it stands in."""


@dataclass(frozen=True, slots=True)
class Line:
    """One change: told, with why it cannot be taken back by itself (empty: it can)."""

    change: Change
    told: Told
    rests: str


@dataclass(frozen=True, slots=True)
class Entry:
    """What was changed at once: when, of which record (empty: the one of the page), and each figure."""

    hour: str
    record: str
    lines: list[Line]


@shown_by("changes.html", "makes")
class ChangesPage(Page):
    """What was changed, day by day, the latest first.

    name, to  of the record that the list is about, and where its page stands
    at        address of the list
    """

    name: str
    to: str
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
    names = history.names_of(household)
    every = [change for kind, key in records for change in views.store().changes(kind, key)]
    # Two records that were written in one instant keep their order, the latest first.
    every.sort(key=lambda change: change.at, reverse=True)
    every = [change for change in every if not _told_beside(change, every)]
    page = int(asked) if (asked := request.args.get("page", "")[:4]).isdecimal() else 1
    shown = every[(page - 1) * A_PAGE : page * A_PAGE]
    stages = {f"{kind} {key}": _stages(household, kind, key) for kind, key in records}
    days = [
        (day, [_entry(list(together), own, names, stages) for _, together in groupby(of_day, key=_at_once)])
        for day, of_day in groupby(shown, key=lambda change: history.day_of(change.at))
    ]
    count = -(-len(every) // A_PAGE)
    return views.show(
        ChangesPage(
            name=name,
            to=ground.page_of(*own),
            at=at,
            heading=history.so_many(len(every), history.day_of(every[-1].at) if every else ""),
            days=days,
            listed=[(number, number == page) for number in range(1, count + 1)] if count > 1 else [],
        )
    )


def _at_once(change: Change) -> tuple[str, str, str, int]:
    return change.at, change.kind, change.key, change.revision


def _told_beside(change: Change, every: list[Change]) -> bool:
    """Whether a change says nothing that the others of its revision do not: that counts were taken."""
    return change.kind == "makes" and change.path[:1] in (("taken",), ("done",))


def _entry(
    together: list[Change], own: tuple[str, str], names: history.Names, stages: Mapping[str, Mapping[Path, str]]
) -> Entry:
    first = together[0]
    record = "" if (first.kind, first.key) == own else names.get((first.kind, first.key), first.key)
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
            ),
            history.later_change(change.later.at) if change.later is not None else "",
        )
        for change in together
    ]
    return Entry(history.hour_of(first.at), record, lines)


def _stages(household: Household, kind: str, key: str) -> Mapping[Path, str]:
    """The kind of each stage of a record, by its place."""
    record = next((record for record in getattr(household, kind) if record.id == key), None)
    if isinstance(record, Make):
        return {
            ("pieces", piece.id, "stages", number): stage.kind
            for piece in record.pieces
            for number, stage in enumerate(piece.stages)
        }
    return {("stages", number): stage.kind for number, stage in enumerate(getattr(record, "stages", ()))}
