"""People: whose garments they are, and their body measures, from which ease is reckoned."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from flask import Blueprint, Response, request, url_for

from fitcheck import words
from fitcheck.advice.tape import taped
from fitcheck.estimates.numbers import quantity
from fitcheck.records.places import Path, write_address
from fitcheck.records.points import ORDER, POINTS
from fitcheck.records.wearers import Wearer
from fitcheck.store.faults import StaleWrite
from fitcheck.store.stored import Stored
from webui.pages import ground, invented
from webui.pages.conflicts import conflict
from webui.pages.drafts import Draft, Refusal, reading, several, without_empty
from webui.pages.readings import asked_about
from webui.pages.shelves import shelf
from webui.pages.shelves.unanswered import lists_asked_about, without

pages = Blueprint("wearers", __name__, url_prefix="/people")
ROOM = "wardrobe"
KIND = "wearers"
BODY = ("chest", "waist", "hem", "shoulder_width", "upper_arm", "cuff", "sleeve_to_underarm", "armhole_depth")
"""Points that are read on a body; chest, waist, hem, upper arm and cuff round the body."""
FIELDS = (("name", "Name"), ("measured", "Measured on"), ("child", "Child"), ("notes", "Notes"))
_ON_A_BODY = {"hem": "hips", "cuff": "wrist", "sleeve_to_underarm": "arm to underarm"}


def _name(key: str) -> str:
    name = _ON_A_BODY.get(key, words.point_name(key))
    return ground.capital(name) + (", round" if POINTS[key].flat else "")


@pages.get("")
def wearers() -> Response:
    """Everybody of the household."""
    household = ground.household()
    people = [
        {
            "key": one.id,
            "name": one.name,
            "when": one.measured,
            "points": len(one.body),
            "garments": sum(garment.wearer == one.id for garment in household.garments),
        }
        for one in sorted(household.wearers, key=lambda one: one.name.casefold())
    ]
    return ground.show("people.html", ROOM, people=people, deleted=ground.deleted(KIND))


def _form(draft: Draft, status: int = 200, person: Wearer | None = None) -> Response:
    chosen = [*BODY, *(sorted(set(person.body) - set(BODY), key=ORDER.__getitem__) if person else ())]
    points = [(f"at_{key}", _name(key), "") for key in chosen]
    return ground.show(
        "person_form.html", ROOM, status, typed=draft.typed, refusals=draft.refusals, points=points, person=person
    )


def _document(draft: Draft, before: dict[str, Any] | None = None) -> dict[str, Any]:
    """The record of a form; readings are added to those that are there."""
    if not draft.text("name"):
        draft.refuse("name", "A name: the first name is enough.")
    before = before or {}
    body = {key: list(found) for key, found in before.get("body", {}).items()}
    for key in POINTS:
        field = f"at_{key}"
        for text in several(draft.text(field)):
            listed = body.setdefault(key, [])
            draft.at(f"body.{key}[{len(listed)}]", field)
            listed.append(reading(text, ground.unit(), by=draft.text("by")))
    head = list(before.get("head", []))
    for text in several(draft.text("head")):
        draft.at(f"head[{len(head)}]", "head")
        head.append(reading(text, ground.unit(), by=draft.text("by")))
    document: dict[str, Any] = {
        "name": draft.at("name", "name"),
        "measured": draft.day("measured", "measured"),
        "body": body,
        "head": head,
        "notes": draft.at("notes", "notes"),
    }
    if draft.text("child"):
        document["child"] = True
    return without_empty(document)


@pages.get("/new")
def new() -> Response:
    """An empty form."""
    return _form(Draft({"measured": ground.day(date.today()), "by": ground.measurer()}))


@pages.post("/new")
def add() -> Response:
    """A new person; body measures may follow later."""
    draft = Draft(ground.typed(request.form))
    document = _document(draft)
    kept = draft.keep_new(ground.store(), KIND, draft.text("name"), document)
    if kept is None:
        return _form(draft, 422)
    said = f"{document['name']} belongs to the household now."
    return ground.go(url_for("wearers.person", key=kept.key), said, kept, draft.text("by"))


@pages.get("/<key>")
def person(key: str) -> Response:
    """One person: what was read on the body, and their garments."""
    return _show(key)


def _show(key: str, status: int = 200, refusals: Mapping[str, Refusal] | None = None) -> Response:
    _, one = ground.there(KIND, key, "list of people")
    household = ground.household()
    asked = asked_about(KIND, one, household)
    left, open_ = without(one, asked), lists_asked_about(asked)
    rows = [
        _row(point, _name(point), ("body", point), one.body[point], left.body.get(point, []), open_)
        for point in sorted(one.body, key=ORDER.__getitem__)
    ]
    if one.head:
        rows.append(_row("head", "Head, round", ("head",), one.head, left.head, open_))
    return ground.show(
        "person.html",
        ROOM,
        status,
        person=one,
        short=ground.short(one.name),
        asked=asked,
        invented=invented.is_invented(key, KIND),
        refusals=refusals,
        typed=request.form,
        rows=[row for row in rows if row],
        garments=[(garment.id, garment.name) for garment in household.garments if garment.wearer == key],
    )


def _row(
    key: str, name: str, path: Path, readings: list[Any], sure: list[Any], asked: frozenset[Path]
) -> dict[str, Any]:
    """One measure: what the readings that are not asked about make it, and all of them."""
    said = taped(sure)
    row = {"key": key, "name": name, "place": write_address(path), "asked": path in asked}
    row["readings"] = ground.shown_readings(readings)
    if said is None:
        return row if row["asked"] else {}
    q = quantity(said.estimate, "mm")
    return row | {"value": ground.length(q.value), "low": ground.figure(q.low), "high": ground.figure(q.high)}


@pages.get("/<key>/edit")
def edit(key: str) -> Response:
    """The form of a person: readings typed here are added."""
    stored, one = ground.there(KIND, key, "list of people")
    return _form(Draft({**_written(stored), "by": ground.measurer()}), person=one)


def _written(stored: Stored) -> dict[str, str]:
    """What is kept of a person as the form has it; readings are not in it, for they are added."""
    one: Wearer = stored.record
    return {
        "name": one.name,
        "measured": ground.day(one.measured),
        "notes": one.notes,
        "child": "yes" if one.child else "",
        "revision": str(stored.revision),
    }


@pages.post("/<key>/edit")
def change(key: str) -> Response:
    """Change what is written, and add readings."""
    stored, one = ground.there(KIND, key, "list of people", form=True)
    draft = Draft(ground.typed(request.form))
    document = {**_document(draft, stored.doc), "id": key}
    revision = ground.revision_of(draft.text("revision"), stored.revision)
    try:
        kept = draft.keep(ground.store(), KIND, key, document, revision)
    except StaleWrite as stale:
        labels = {**dict(FIELDS), **{f"at_{point}": _name(point) for point in POINTS}, "head": "Head, round"}
        added = ["head", *(f"at_{point}" for point in POINTS)]
        back = url_for("wearers.edit", key=key)
        return conflict(stale, draft, _written, back, ROOM, label=labels.get, added=["by", *added])
    if kept is None:
        return _form(draft, 422, one)
    said, stored_now = ("Changed.", kept) if kept.revision != stored.revision else ("", None)
    return ground.go(url_for("wearers.person", key=key), said, stored_now, draft.text("by"))


shelf.register(pages, KIND, "list of people", "/people", _show)
