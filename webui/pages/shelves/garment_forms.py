"""The forms of a garment: a new one, its settings, one more measuring."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from flask import Blueprint, Response, request, url_for

from fitcheck.records.constructions import USUAL
from fitcheck.records.garments import Garment, Occasion
from fitcheck.records.households import by_key
from fitcheck.records.places import Place
from fitcheck.records.points import DECIDING_FIRST
from fitcheck.words import deeds, wants
from fitcheck.words.dates import read_day, write_day
from webui.forms.drafts import Draft, slug
from webui.forms.fields import Filled
from webui.forms.garments import MEASURING, MORE, NEW, SETTINGS, point_fields
from webui.pages import given_back, ground, views
from webui.pages.context import Page, shown_by
from webui.pages.shelves import shelf
from webui.pages.shelves.garments import KIND, ROOM, garment_or_404
from webui.pages.strip import Strip, figures_of, strip_of

pages = Blueprint("garment_forms", __name__, url_prefix="/wardrobe")
CHEST = f"at_{DECIDING_FIRST[1]}"
"""The field beside which it stands that no reading was typed."""


@shown_by("garment_form.html", ROOM)
class GarmentFormPage(Page):
    """The form of a new garment; points: those of each construction."""

    form: Filled
    points: Mapping[str, Sequence[str]]
    strip: Strip


@shown_by("garment_settings.html", ROOM)
class GarmentSettingsPage(Page):
    """What is written of a garment."""

    form: Filled
    garment: Garment


@shown_by("garment_measure.html", ROOM)
class GarmentMeasurePage(Page):
    """The form of a measuring; occasion: the one that is read again, None for a new one."""

    form: Filled
    points: Mapping[str, Sequence[str]]
    garment: Garment
    occasion: Occasion | None
    strip: Strip


def _new_form(draft: Draft, status: int = 200) -> Response:
    construction = draft.text("construction") or USUAL
    points = point_fields(construction)
    return views.show(GarmentFormPage(ground.filled(NEW, draft), points, _strip(points, construction)), status)


def _strip(points: Mapping[str, Sequence[str]], construction: str, there: Iterable[str] = ()) -> Strip:
    """The strip beside the points of a garment; those that stand open have a disc.

    there  points that it was read at before
    """
    keys = {part: [name.removeprefix("at_") for name in names] for part, names in points.items()}
    every = [key for part in keys.values() for key in part]
    return strip_of(every, construction=construction, figures=figures_of((*keys["first"], *keys["next"]), there))


def _today() -> dict[str, str]:
    """What a measuring of today begins with."""
    return {**MEASURING.begin(), "on": write_day(date.today()), "by": ground.measurer()}


@pages.get("/new")
@given_back.draws_form
def new() -> Response:
    """An empty form: three points first."""
    return _new_form(ground.begun({**_today(), "wearer": request.args.get("wearer", "")}))


@pages.post("/new")
def add() -> Response:
    """A new garment with its first measuring."""
    draft, unit = ground.draft(), ground.unit()
    document = SETTINGS.read(draft, unit)
    occasion = MEASURING.read(draft, unit, {"id": _occasion_id(draft.text("on"), set())}, ("occasions", 0))
    if not occasion.get("readings"):
        draft.refuse(CHEST, wants.CHEST_FIRST)
    document["occasions"] = [occasion]
    kept = draft.keep_new(ground.store(), KIND, document.get("name", "garment"), document)
    if kept is None:
        return _new_form(draft, 422)
    name = document["name"]
    return ground.go(url_for("garments.garment", key=kept.key), ground.added(name, kept), kept, draft.text("by"))


def _occasion_id(on: str, taken: set[str]) -> str:
    day = read_day(on)
    begin = slug(day.isoformat()) if day else "first"
    number, ident = 1, begin
    while ident in taken:
        number += 1
        ident = f"{begin}_{number}"
    return ident


def _settings(draft: Draft, status: int, garment: Garment) -> Response:
    return views.show(GarmentSettingsPage(ground.filled(SETTINGS, draft, Place(KIND, garment.id)), garment), status)


shelf.register_form(pages, KIND, "wardrobe", SETTINGS, _settings, ROOM)


@pages.get("/<key>/measure")
@given_back.draws_form
def measure(key: str) -> Response:
    """A form for one more measuring, or for more readings of one."""
    _, garment = garment_or_404(key)
    occasion = by_key(garment.occasions, request.args.get("occasion", ""))
    begin = {**MORE.begin(), "by": ground.measurer(), "occasion": occasion.id} if occasion else _today()
    draft = ground.begun(begin)
    return _measuring(draft, garment, by_key(garment.occasions, draft.text("occasion")))


def _measuring(draft: Draft, garment: Garment, occasion: Occasion | None, status: int = 200) -> Response:
    form = MORE if occasion else MEASURING
    points = point_fields(garment.construction)
    there = garment.in_time[-1].readings if garment.occasions else ()
    strip = _strip(points, garment.construction, there)
    return views.show(GarmentMeasurePage(ground.filled(form, draft), points, garment, occasion, strip), status)


@pages.post("/<key>/measure")
def measure_more(key: str) -> Response:
    """Add an occasion, or readings to one that is there: readings are only ever added."""
    stored, garment = garment_or_404(key, form=True)
    draft, unit = ground.draft(), ground.unit()
    document = draft.before(ground.store(), stored)
    occasion = by_key(garment.occasions, draft.text("occasion"))
    if occasion is None:
        ident = _occasion_id(draft.text("on"), {before.id for before in garment.occasions})
        added = MEASURING.read(draft, unit, {"id": ident}, ("occasions", len(garment.occasions)))
        document["occasions"].append(added)
    else:
        number = garment.occasions.index(occasion)
        MORE.read(draft, unit, document["occasions"][number], ("occasions", number))
    count = MORE.added(draft)
    if not count:
        draft.refuse(CHEST, wants.ONE_READING)
    kept = draft.keep(ground.store(), KIND, key, document, stored.revision)
    if kept is None:
        return _measuring(draft, garment, occasion, 422)
    return ground.go(url_for("garments.garment", key=key), deeds.readings_kept(count), kept, draft.text("by"))
