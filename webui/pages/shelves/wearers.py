"""People: whose garments they are, and their body measures, from which ease is reckoned."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from flask import Blueprint, Response, url_for

from fitcheck.advice.tape import taped
from fitcheck.advice.unanswered import lists_asked_about, without
from fitcheck.estimates.numbers import quantity
from fitcheck.records.places import Path, Place
from fitcheck.records.points import ORDER, POINTS
from fitcheck.records.wearers import Wearer
from fitcheck.words.dates import write_day
from webui.forms.drafts import Draft, Refusal
from webui.forms.fields import Filled
from webui.forms.wearers import BODY, HEAD, WEARER, body_heading
from webui.pages import given_back, ground, invented, views
from webui.pages.asked import Asked, asked_about
from webui.pages.context import Page, shown_by
from webui.pages.figures import PutRight
from webui.pages.shelves import shelf

pages = Blueprint("wearers", __name__, url_prefix="/people")
ROOM = "wardrobe"
KIND = "wearers"


@shown_by("people.html", ROOM)
class PeoplePage(Page):
    """Everybody of the household."""

    people: list[dict[str, int | str | date | None]]
    deleted: list[tuple[str, str]]


@pages.get("")
def wearers() -> Response:
    """Everybody of the household."""
    household = ground.household()
    people = [
        {
            "key": person.id,
            "name": person.name,
            "when": person.measured,
            "points": len(person.body) + bool(person.head),
            "garments": sum(garment.wearer == person.id for garment in household.garments),
        }
        for person in ground.by_name(household.wearers)
    ]
    return views.show(PeoplePage(people=people, deleted=ground.deleted(KIND)))


@shown_by("person_form.html", ROOM)
class PersonFormPage(Page):
    """The form of a person."""

    form: Filled
    points: list[str]
    person: Wearer | None


def _form(draft: Draft, status: int = 200, person: Wearer | None = None) -> Response:
    read = {*person.body} if person else set()
    others = sorted(({key for key in POINTS if draft.text(f"at_{key}")} | read) - {*BODY}, key=ORDER.__getitem__)
    points = [f"at_{key}" for key in (*BODY, *others)]
    form = ground.filled(WEARER, draft, Place(KIND, person.id) if person else None)
    return views.show(PersonFormPage(form=form, points=points, person=person), status)


@pages.get("/new")
@given_back.draws_form
def new() -> Response:
    """An empty form."""
    return _form(ground.begun({"measured": write_day(date.today()), "by": ground.measurer()}))


@pages.post("/new")
def add() -> Response:
    """A new person; body measures may follow later."""
    draft = ground.draft()
    document = WEARER.read(draft, ground.unit())
    kept = draft.keep_new(ground.store(), KIND, draft.text("name"), document)
    if kept is None:
        return _form(draft, 422)
    said = ground.added(document["name"], kept)
    return ground.go(url_for("wearers.person", key=kept.key), said, kept, draft.text("by"))


@shown_by("person.html", ROOM)
class PersonPage(Page):
    """One person with their measures and garments."""

    person: Wearer
    short: str
    asked: list[Asked]
    invented: bool
    refusals: Mapping[str, Refusal] | None
    rows: list[dict[str, Any]]
    garments: list[tuple[str, str]]


@pages.get("/<key>")
def person(key: str, status: int = 200, refusals: Mapping[str, Refusal] | None = None) -> Response:
    """One person: what was read on the body, and their garments."""
    _, person = ground.record_or_404(KIND, key, "list of people")
    household = ground.household()
    asked = asked_about(KIND, person, household)
    places = [question.place for question in asked]
    left, open_ = without(person, places), lists_asked_about(places)
    put_right = PutRight(KIND, key)
    rows = [
        _row(
            put_right, point, body_heading(point), ("body", point), person.body[point], left.body.get(point, []), open_
        )
        for point in sorted(person.body, key=ORDER.__getitem__)
    ]
    if person.head:
        rows.append(_row(put_right, "head", HEAD, ("head",), person.head, left.head, open_))
    return views.show(
        PersonPage(
            person=person,
            short=ground.short(person.name),
            asked=asked,
            invented=invented.is_invented(key, KIND),
            refusals=refusals,
            rows=[row for row in rows if row],
            garments=[(garment.id, garment.name) for garment in household.garments if garment.wearer == key],
        ),
        status,
    )


def _row(
    put_right: PutRight, key: str, name: str, path: Path, readings: list[Any], sure: list[Any], asked: frozenset[Path]
) -> dict[str, Any]:
    """One measure: what the readings that are not asked about make it, and all of them."""
    said = taped(sure)
    figures = put_right.of(Place(KIND, put_right.key, path), readings)
    row = {"key": key, "name": name, "figures": figures, "asked": path in asked}
    row["readings"] = ground.shown_readings(readings)
    if said is None:
        return row if row["asked"] else {}
    q = quantity(said.estimate, "mm")
    return row | {"value": ground.length(q.value), "low": ground.figure(q.low), "high": ground.figure(q.high)}


shelf.register(pages, KIND, "list of people", "/people", person)
shelf.register_form(pages, KIND, "list of people", WEARER, _form, ROOM)
