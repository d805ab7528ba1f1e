"""A piece is on my table: an answer from three points, no names, no make and no swatches asked.

What was typed is kept as a make dated today, and a sweater that was measured beside it joins the wardrobe.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from itertools import count
from typing import Any

from flask import Blueprint, Response, request

from fitcheck.drawing.tapes import key_figures
from fitcheck.records.households import by_key
from fitcheck.records.points import POINTS, Point
from fitcheck.store.stored import Stored
from fitcheck.words import deeds, wants
from fitcheck.words import pages as say
from fitcheck.words.dates import day_and_month
from fitcheck.words.names import of_day
from webui.forms.drafts import Draft, Refusal
from webui.forms.fields import Document, Field
from webui.forms.pieces import DIAL, FIRST, NOTES, STAGES, WAYS, read_taped, stage_kind, tape_fields
from webui.pages import given_back, ground, notices, views
from webui.pages.context import Page, shown_by
from webui.pages.strip import Strip, strip_of

pages = Blueprint("piece", __name__)

PIECES = (("back", "back"), ("front", "front"), ("sleeve", "sleeve"))


@pages.get("/piece")
@given_back.draws_form
def ask() -> Response:
    """The form, with back, dry and laid on a sweater preset; or another set of fields, with everything typed kept.

    The choices come as a GET, so that the browser's Back returns to the form and never asks to send it anew.
    """
    given = given_back.typed()
    typed = {"stage": "blocked", **(ground.typed(request.args) if given is None else given)}
    piece, way = _chosen(typed)
    asked = typed.pop("show", "")
    if asked in FIRST:
        piece = asked
    elif asked in dict(WAYS):
        typed, way = _crossed(typed, way, asked), asked
    return _form(typed, piece=piece, way=way)


@pages.post("/piece")
def take() -> Response:
    """Keep what was typed and go to its answer."""
    typed = ground.typed(request.form)
    piece, way = _chosen(typed)
    draft = Draft(typed)
    make = _keep(draft, piece, way)
    if make is None:
        return _form(typed, piece=piece, way=way, draft=draft)
    if make.revision > 1:
        return ground.go(f"/makes/{make.key}", ground.added(make.record.name, make), make)
    return notices.go(f"/makes/{make.key}", deeds.KEPT_TODAY)


def _chosen(typed: Mapping[str, str]) -> tuple[str, str]:
    """The piece and the way of a form, or those that are preset."""
    piece, way = typed.get("piece", ""), typed.get("way", "")
    return piece if piece in FIRST else "back", way if way in dict(WAYS) else "laid"


def _crossed(typed: Mapping[str, str], before: str, after: str) -> dict[str, str]:
    """The fields under another way: an overhang is no width, so each kind of figure waits aside for its own way."""
    if (before == "laid") == (after == "laid"):
        return dict(typed)
    aside, back = ("laid:", "flat:") if before == "laid" else ("flat:", "laid:")
    moved = {}
    for name, value in typed.items():
        if name.startswith(back):
            moved[name.removeprefix(back)] = value
        else:
            moved[aside + name if name.startswith(("own_", "way_")) else name] = value
    return moved


@shown_by("piece.html", "table")
class PiecePage(Page):
    """A piece on the table: its three points, and what it shall fit."""

    typed: Mapping[str, str]
    waiting: dict[str, str]
    refusals: dict[str, Refusal]
    piece: str
    way: str
    pieces: tuple[tuple[str, str], ...]
    ways: tuple[tuple[str, str], ...]
    notes: Mapping[str, str]
    because: str
    points: list[tuple[Point, tuple[Field, ...]]]
    strip: Strip
    garments: list[tuple[str, str]]
    dial: Field
    stages: tuple[tuple[str, str], ...]


def _form(typed: Mapping[str, str], *, piece: str, way: str, draft: Draft | None = None) -> Response:
    garments = [garment for garment in views.store().household().garments if any(o.readings for o in garment.occasions)]
    figures = key_figures(FIRST[piece])
    return views.show(
        PiecePage(
            typed=typed,
            waiting={name: value for name, value in typed.items() if ":" in name and value},
            refusals=draft.refusals if draft else {},
            piece=piece,
            way=way,
            pieces=PIECES,
            ways=WAYS,
            notes=NOTES,
            because=say.first_answer(piece),
            points=[(POINTS[key], tape_fields(key, way, piece)) for key in figures],
            strip=strip_of([*figures], piece=piece, figures=figures),
            garments=[("", "which sweater?"), *((garment.id, garment.name) for garment in reversed(garments))]
            if garments
            else [],
            dial=DIAL,
            stages=STAGES,
        ),
        422 if draft else 200,
    )


def _keep(draft: Draft, piece: str, way: str) -> Stored | None:
    """Write what was typed; return the make, None where something was refused."""
    store, today = views.store(), date.today()
    name = _name(draft, piece)
    read = read_taped(draft, FIRST[piece], way, piece, views.unit())
    make: dict[str, Any] = {"name": name, "started": today.isoformat(), **read.make}
    stage: dict[str, Any] = {
        "kind": stage_kind(draft.text("stage")),
        "on": today.isoformat(),
        **read.stage,
    }
    said = draft.at(("pieces", 0, "dial"), DIAL.name)
    make["pieces"] = [{"id": piece, "piece": piece, **({"dial": said} if said else {}), "stages": [stage]}]
    if way == "wardrobe" or (way == "laid" and draft.text("garment")):
        garment = by_key(store.household().garments, draft.text("garment"))
        if garment is None:
            draft.refuse("garment", wants.WHICH_GARMENT)
        else:
            make["fits"] = {"garment": garment.id, "occasion": garment.in_time[-1].id}
    if not read.stage and draft.fits:
        draft.refuse(f"own_{FIRST[piece][0]}", wants.FIRST_POINT)
    if not draft.fits:
        return None
    beside = _beside(draft, way, read.reference)
    if beside is not None:
        make |= _named(beside)
    kept = draft.keep_new(store, "makes", name, make) if draft.fits else None
    if kept is None and beside is not None and beside.revision == 1:
        store.delete(beside.kind, beside.key, beside.revision)
    return kept


def _name(draft: Draft, piece: str) -> str:
    """What the make is called: its piece and the day, numbered where several were kept that day."""
    if (sent := draft.sent(views.store(), "makes")) is not None:
        return str(sent.wrote["name"])
    taken = {made.name for made in views.store().household().makes}
    day = day_and_month(date.today())
    alike = (of_day(piece, day, number) for number in count(1))
    return next(name for name in alike if name not in taken)


def _beside(draft: Draft, way: str, reference: Document) -> Stored | None:
    """Write the sweater or the body that was read beside the piece; None where neither was, or it was refused."""
    today = date.today()
    day = day_and_month(today)
    if way == "both":
        occasion = {"id": today.isoformat(), "on": today.isoformat(), "readings": reference}
        name = of_day("sweater", day)
        return draft.keep_new(views.store(), "garments", name, {"name": name, "occasions": [occasion]})
    if way == "ease":
        name = of_day("body", day)
        wearer = {"name": name, "measured": today.isoformat(), "body": reference}
        return draft.keep_new(views.store(), "wearers", name, wearer)
    return None


def _named(beside: Stored) -> Document:
    """How a make names the sweater or the body that was read beside its piece."""
    if beside.kind == "wearers":
        return {"wearer": beside.key}
    return {"fits": {"garment": beside.key, "occasion": beside.record.occasions[-1].id}}
