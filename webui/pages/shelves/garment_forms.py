"""The forms of a garment: a new one, its settings, one more measuring."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from flask import Blueprint, Response, request, url_for

from fitcheck.records.base import as_typed
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.garments import Garment
from fitcheck.records.households import by_key
from fitcheck.records.points import DECIDING_FIRST, POINTS
from fitcheck.store.faults import StaleWrite
from fitcheck.store.stored import Stored
from webui.pages import ground
from webui.pages.conflicts import Choices, conflict
from webui.pages.dates import read_day
from webui.pages.drafts import Draft, reading, several, slug, without_empty
from webui.pages.shelves.garments import KIND, LONG_NAME, ROOM, STATES, there

pages = Blueprint("garment_forms", __name__, url_prefix="/wardrobe")
FIELDS = (
    ("name", "Name"),
    ("wearer", "For"),
    ("construction", "Built with"),
    ("fabric", "Fabric"),
    ("thickness", "Thickness"),
    ("growth_along_percent", "Grows in length"),
    ("growth_across_percent", "Grows in width"),
    ("rib", "Rib"),
    ("negative_ease", "Worn stretched"),
    ("open_front", "Open front"),
    ("notes", "Notes"),
)
"""Fields of the settings, as a conflict names them."""
NEXT_POINTS = ("body_length", "to_underarm", "hem", "neck_width", "sleeve_length", "upper_arm", "cuff")
"""Points that a form asks for after the three that decide; the others stand folded."""


def _point_fields(construction: str = "set_in") -> dict[str, list[tuple[str, str, str]]]:
    """Points for a form, the deciding ones first: (field, name, where the tape goes)."""
    lacks = CONSTRUCTIONS[construction].lacks if construction in CONSTRUCTIONS else {}

    def of(keys: Any) -> list[tuple[str, str, str]]:
        named = []
        for key in keys:
            point = POINTS[key]
            name = point.name[:1].upper() + point.name[1:] + (", flat" if point.flat else "")
            named.append((f"at_{key}", name, point.tape))
        return named

    first = [key for key in DECIDING_FIRST if key not in lacks]
    following = [key for key in NEXT_POINTS if key not in lacks]
    rest = [key for key in POINTS if key not in first and key not in following and key not in lacks]
    return {"first": of(first), "next": of(following), "rest": of(rest)}


def _readings(draft: Draft, place: str) -> dict[str, list[dict[str, Any]]]:
    """The readings of a form: one field per point, several readings in one field, one laying each."""
    found: dict[str, list[dict[str, Any]]] = {}
    for key in POINTS:
        field = f"at_{key}"
        texts = several(draft.text(field))
        if not texts:
            continue
        for number in range(len(texts)):
            draft.at(f"{place}.{key}[{number}]", field)
        draft.at(f"{place}.{key}", field)
        anew = draft.text("anew") == "yes"
        found[key] = [
            reading(text, ground.unit(), by=draft.text("by"), laying=number + 1 if anew else None)
            for number, text in enumerate(texts)
        ]
    return found


def _settings(draft: Draft) -> dict[str, Any]:
    """The garment's own fields, as the models take them."""
    if not draft.text("name"):
        draft.refuse("name", "A name that tells it from the others: brown pullover.")
    document: dict[str, Any] = {
        "name": draft.at("name", "name"),
        "wearer": draft.at("wearer", "wearer"),
        "construction": draft.at("construction", "construction"),
        "fabric": draft.at("fabric", "fabric"),
        "thickness": draft.thickness("thickness", "thickness", ground.unit()),
        "growth_along_percent": draft.number("growth_along_percent", "growth_along_percent"),
        "growth_across_percent": draft.number("growth_across_percent", "growth_across_percent"),
        "notes": draft.at("notes", "notes"),
    }
    for name in ("rib", "negative_ease", "open_front"):
        if draft.text(name):
            document[name] = True
    return without_empty(document)


def _occasion(draft: Draft, number: int, ident: str) -> dict[str, Any]:
    at = f"occasions[{number}]"
    return without_empty(
        {
            "id": ident,
            "on": draft.day(f"{at}.on", "on"),
            "state": draft.at(f"{at}.state", "state"),
            "washes": draft.number(f"{at}.washes", "washes"),
            "readings": _readings(draft, f"{at}.readings"),
            "notes": draft.at(f"{at}.notes", "occasion_notes"),
        }
    )


def _occasion_id(on: str, taken: set[str]) -> str:
    day = read_day(on)
    begin = slug(day.isoformat()) if day else "first"
    number, ident = 1, begin
    while ident in taken:
        number += 1
        ident = f"{begin}_{number}"
    return ident


def _form(template: str, draft: Draft, status: int = 200, **more: Any) -> Response:
    household = ground.household()
    construction = draft.text("construction") or more.pop("construction", "set_in")
    return ground.show(
        template,
        ROOM,
        status,
        typed=draft.typed,
        refusals=draft.refusals,
        points=_point_fields(construction),
        constructions=[(one.key, one.name) for one in CONSTRUCTIONS.values()],
        wearers=[("", "not said"), *((one.id, one.name) for one in household.wearers)],
        states=STATES,
        **more,
    )


@pages.get("/new")
def new() -> Response:
    """An empty form: three points first."""
    typed = {"on": ground.day(date.today()), "state": "washed_flat", "by": ground.measurer(), "anew": "yes"}
    return _form("garment_form.html", Draft(typed))


@pages.post("/new")
def add() -> Response:
    """A new garment with its first measuring."""
    draft = Draft(ground.typed(request.form))
    document = _settings(draft)
    occasion = _occasion(draft, 0, _occasion_id(draft.text("on"), set()))
    if not occasion.get("readings"):
        draft.refuse(f"at_{DECIDING_FIRST[1]}", "One point is enough to begin with; the chest is best.")
    document["occasions"] = [occasion]
    kept = draft.keep_new(ground.store(), KIND, document.get("name", "garment"), document)
    if kept is None:
        return _form("garment_form.html", draft, 422)
    name = document["name"]
    said = f"{ground.capital(name) if len(name) <= LONG_NAME else 'It'} is in the wardrobe."
    return ground.go(url_for("garments.garment", key=kept.key), said, kept, draft.text("by"))


@pages.get("/<key>/edit")
def edit(key: str) -> Response:
    """The settings of a garment in a form."""
    stored, one = there(key)
    return _form("garment_settings.html", Draft(_written(stored)), garment=one)


def _written(stored: Stored) -> dict[str, str]:
    """The settings of a kept garment as their form has them."""
    one: Garment = stored.record
    return {
        "name": one.name,
        "wearer": one.wearer or "",
        "construction": one.construction,
        "fabric": one.fabric,
        "thickness": as_typed(one.thickness) if one.thickness else "",
        "growth_along_percent": _typed(one.growth_along_percent),
        "growth_across_percent": _typed(one.growth_across_percent),
        "notes": one.notes,
        "rib": "yes" if one.rib else "",
        "negative_ease": "yes" if one.negative_ease else "",
        "open_front": "yes" if one.open_front else "",
        "revision": str(stored.revision),
    }


def _typed(value: float | None) -> str:
    return "" if value is None else f"{value:g}"


@pages.post("/<key>/edit")
def change(key: str) -> Response:
    """Change the settings; readings stay as they are."""
    stored, one = there(key, form=True)
    draft = Draft(ground.typed(request.form))
    document = {**_settings(draft), "id": key, "occasions": stored.doc["occasions"]}
    revision = ground.revision_of(draft.text("revision"), stored.revision)
    try:
        kept = draft.keep(ground.store(), KIND, key, document, revision)
    except StaleWrite as stale:
        back = url_for("garment_forms.edit", key=key)
        people = [("", "not said"), *((one.id, one.name) for one in ground.household().wearers)]
        choices: Choices = {"wearer": people, "construction": [(one.key, one.name) for one in CONSTRUCTIONS.values()]}
        return conflict(stale, draft, _written, back, ROOM, label=dict(FIELDS).get, choices=choices)
    if kept is None:
        return _form("garment_settings.html", draft, 422, garment=one)
    if kept.revision == stored.revision:
        return ground.go(url_for("garments.garment", key=key))
    return ground.go(url_for("garments.garment", key=key), "Changed.", kept)


@pages.get("/<key>/measure")
def measure(key: str) -> Response:
    """A form for one more measuring, or for more readings of one."""
    _, one = there(key)
    which = request.args.get("occasion", "")
    occasion = by_key(one.occasions, which)
    typed = {"by": ground.measurer(), "anew": "yes", "occasion": occasion.id if occasion else ""}
    if occasion is None:
        typed |= {"on": ground.day(date.today()), "state": "washed_flat"}
    return _form("garment_measure.html", Draft(typed), garment=one, occasion=occasion, construction=one.construction)


@pages.post("/<key>/measure")
def measure_more(key: str) -> Response:
    """Add an occasion, or readings to one that is there: readings are only ever added."""
    stored, one = there(key, form=True)
    draft = Draft(ground.typed(request.form))
    occasion = by_key(one.occasions, draft.text("occasion"))
    document = stored.doc
    if occasion is None:
        taken = {occ.id for occ in one.occasions}
        number = len(one.occasions)
        added = _occasion(draft, number, _occasion_id(draft.text("on"), taken))
        document["occasions"].append(added)
        count = sum(len(found) for found in added.get("readings", {}).values())
    else:
        number = one.occasions.index(occasion)
        readings = _readings(draft, f"occasions[{number}].readings")
        count = sum(len(found) for found in readings.values())
        _append(draft, document["occasions"][number].setdefault("readings", {}), readings, number)
    if not count:
        draft.refuse(f"at_{DECIDING_FIRST[1]}", "One reading at least, at any point.")
    kept = draft.keep(ground.store(), KIND, key, document, stored.revision)
    if kept is None:
        return _form("garment_measure.html", draft, 422, garment=one, occasion=occasion, construction=one.construction)
    return ground.go(
        url_for("garments.garment", key=key), f"Kept {ground.counted(count, 'reading')}.", kept, draft.text("by")
    )


def _append(draft: Draft, there: dict[str, Any], readings: Mapping[str, list[dict[str, Any]]], number: int) -> None:
    for point, added in readings.items():
        before = there.setdefault(point, [])
        layings = [one.get("laying", 0) for one in before]
        for place, one in enumerate(added):
            draft.at(f"occasions[{number}].readings.{point}[{len(before) + place}]", f"at_{point}")
            if "laying" in one:
                one["laying"] = max(layings, default=0) + place + 1
        before += added
