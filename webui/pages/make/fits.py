"""What a make must fit: a garment and one of its measurings, numbers, body and ease; wishes and what is allowed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import Blueprint, Response, request

from fitcheck.records.base import as_typed
from fitcheck.records.lengths import write_length
from fitcheck.records.makes import Make
from fitcheck.records.points import BODY, DECIDING_FIRST, POINTS
from fitcheck.store.stored import Stored
from fitcheck.words import point_name
from webui.pages import ground, views
from webui.pages.drafts import Draft
from webui.pages.make import forms as make_forms

pages = Blueprint("fits", __name__)

THEN = ("body_length", "to_underarm", "hem", "neck_width")
NAMES = {
    "occasion": "The sweater that it must fit",
    "wearer": "Who will wear it",
    "number": "number",
    "meant": "number said",
    "wish": "wish",
    "wish_meant": "wish said",
    "ease": "ease",
    "smaller": "may be smaller by",
    "larger": "may be larger by",
    "allowed_meant": "allowed, said",
}
"""Fields of the form, as a conflict names them."""
MEANT = (("flat", "flat"), ("round", "round"), ("piece", "on the piece"))


@pages.get("/makes/<key>/fits")
def form(key: str) -> Response:
    """The form with what is kept now."""
    stored, make = ground.there("makes", key, make_forms.WHERE)
    return _form(make, Draft(_written(stored)))


@pages.post("/makes/<key>/fits")
def change(key: str) -> Response:
    """Keep what it must fit."""
    stored, make = ground.there("makes", key, make_forms.WHERE, form=True)
    draft = Draft(ground.typed(request.form))
    return make_forms.keep(
        stored,
        draft,
        _document(draft, stored.doc, views.unit()),
        "what it must fit",
        lambda refused: _form(make, refused),
        _written,
        label=_label,
        choices=_choices(),
        usual={"meant": "flat", "wish_meant": "flat", "allowed_meant": "flat"},
    )


def _label(field: str) -> str | None:
    """What a field is called: "Chest: may be smaller by"."""
    name, _, key = field.partition("-")
    return f"{ground.capital(point_name(key))}: {NAMES[name]}" if key in POINTS else NAMES.get(name)


def _choices() -> dict[str, list[tuple[str, str]]]:
    """Sweaters of the wardrobe with their measurings, and who may wear the make."""
    household = ground.household()
    occasions = [("", "no sweater of the wardrobe")]
    for garment in household.garments:
        for occasion in reversed(garment.occasions):
            day = f", measured {ground.day(occasion.on)}" if occasion.on else ""
            occasions.append((f"{garment.id} {occasion.id}", f"{garment.name}{day}"))
    wearers = [("", "nobody in particular"), *((one.id, one.name) for one in household.wearers)]
    return {"occasion": occasions, "wearer": wearers}


def _points(make: Make) -> tuple[list[str], list[str]]:
    """The points of the make: those to see at once, and those that stand folded."""
    kinds = {one.piece for one in make.pieces} or {"back", "front", "sleeve"}
    here = [key for key, point in POINTS.items() if not point.pieces or kinds & set(point.pieces)]
    said = {*make.fits.numbers, *make.fits.ease, *make.wishes, *make.tolerances}
    sleeve = () if kinds & set(BODY) else ("upper_arm", "sleeve_to_underarm", "cuff")
    wanted = [*DECIDING_FIRST, *sleeve, *THEN]
    first = [key for key in here if key in wanted or key in said]
    return sorted(first, key=lambda key: wanted.index(key) if key in wanted else len(wanted)), [
        key for key in here if key not in first
    ]


def _form(make: Make, draft: Draft) -> Response:
    first, rest = _points(make)
    choices = _choices()
    return views.page(
        "fits.html",
        422 if draft.refusals else 200,
        room="makes",
        make=make,
        typed=draft.typed,
        refusals=draft.refusals,
        occasions=choices["occasion"],
        wearers=choices["wearer"],
        first=[POINTS[key] for key in first],
        others=[POINTS[key] for key in rest],
        meant=MEANT,
        usual={key: [_usual(mm) for mm in point.tolerance] for key, point in POINTS.items()},
        from_table=make.size or "" if not make.fits.is_said and make.size_table else "",
        open=any(name.rpartition("-")[2] in rest for name in draft.refusals),
    )


def _usual(mm: float) -> str:
    return views.marked(write_length(mm, views.unit()))


def _written(stored: Stored) -> dict[str, str]:
    """What a kept make must fit, as the form has it."""
    make: Make = stored.record
    typed = {"revision": str(stored.revision), "wearer": make.wearer or ""}
    typed["occasion"] = f"{make.fits.garment} {make.fits.occasion}" if make.fits.garment else ""
    for key, number in make.fits.numbers.items():
        typed |= {f"number-{key}": as_typed(number.length), f"meant-{key}": number.meant}
    for key, ease in make.fits.ease.items():
        typed[f"ease-{key}"] = as_typed(ease)
    for key, wish in make.wishes.items():
        typed |= {f"wish-{key}": as_typed(wish.by), f"wish_meant-{key}": wish.meant}
    for key, allowed in make.tolerances.items():
        typed |= {f"smaller-{key}": as_typed(allowed.smaller), f"larger-{key}": as_typed(allowed.larger)}
        typed[f"allowed_meant-{key}"] = allowed.meant
    return typed


def _document(draft: Draft, document: dict[str, Any], unit: str) -> dict[str, Any]:
    """The make's document with this form's parts put in place of the old ones."""
    numbers: dict[str, Any] = {}
    ease: dict[str, Any] = {}
    wishes: dict[str, Any] = {}
    tolerances: dict[str, Any] = {}
    old: Mapping[str, Any] = document.get("fits", {}).get("numbers", {})
    for key in POINTS:
        if draft.text(f"number-{key}"):
            length = draft.length(f"fits.numbers.{key}", f"number-{key}", unit)
            numbers[key] = {"length": length, "meant": draft.text(f"meant-{key}") or "flat"}
            if old.get(key, {}).get("confirmed") and old[key]["length"] == length:
                numbers[key]["confirmed"] = True
        if draft.text(f"ease-{key}"):
            ease[key] = draft.length(f"fits.ease.{key}", f"ease-{key}", unit)
        if draft.text(f"wish-{key}"):
            by = draft.length(f"wishes.{key}", f"wish-{key}", unit)
            wishes[key] = {"by": by, "meant": draft.text(f"wish_meant-{key}") or "flat"}
        sides = [side for side in ("smaller", "larger") if draft.text(f"{side}-{key}")]
        if sides:
            one = {side: draft.length(f"tolerances.{key}.{side}", f"{side}-{key}", unit) for side in sides}
            usual = dict(zip(("smaller", "larger"), POINTS[key].tolerance, strict=True))
            tolerances[key] = {
                **{side: one.get(side) or f"{usual[side]:g} mm" for side in usual},
                "meant": draft.text(f"allowed_meant-{key}") or "flat",
            }
    there = document.get("fits", {})
    fits: dict[str, Any] = {"numbers": _as_before(numbers, old), "ease": _as_before(ease, there.get("ease", {}))}
    garment, _, occasion = draft.at("fits.garment", "occasion").partition(" ")
    if garment:
        fits |= {"garment": garment, "occasion": occasion}
    fresh = {
        **document,
        "fits": fits,
        "wishes": _as_before(wishes, document.get("wishes", {})),
        "tolerances": _as_before(tolerances, document.get("tolerances", {})),
    }
    wearer = draft.at("wearer", "wearer")
    if wearer:
        fresh["wearer"] = wearer
    else:
        fresh.pop("wearer", None)
    return fresh


def _as_before(fresh: Mapping[str, Any], before: Mapping[str, Any]) -> dict[str, Any]:
    """The points in the order in which they stood, new ones behind: what nobody changed makes no revision."""
    return {key: fresh[key] for key in [*(key for key in before if key in fresh), *fresh]}
