"""The wardrobe: garments that fit, on cards of one scale; one garment with its tapes; any two over one another."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from flask import Blueprint, Response, request, url_for

from fitcheck import words
from fitcheck.advice.ease import ease_of
from fitcheck.drawing.cards import CARD, UNITS_PER_MM, card, card_bar
from fitcheck.drawing.garments import body_measures, garment_drawing, two_over_one_another, written_less
from fitcheck.drawing.history import Measuring, history
from fitcheck.drawing.laid import PLACES
from fitcheck.drawing.outline import outline_of
from fitcheck.estimates.numbers import CannotSay, Estimate, quantity
from fitcheck.records.base import as_typed
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.garments import Garment, Occasion
from fitcheck.records.households import Household
from fitcheck.records.points import DECIDING_FIRST, ORDER, POINTS
from fitcheck.reports.shapes import EaseReport
from fitcheck.store.faults import NotFound, StaleWrite
from fitcheck.store.households import LONGEST_PAGE
from fitcheck.store.revisions import Stored
from webui.pages import invented, views
from webui.pages.conflicts import Choices, conflict
from webui.pages.dates import read_day
from webui.pages.drafts import Draft, Refusal, reading, several, slug, without_empty
from webui.pages.readings import Asked, asked_about
from webui.pages.shelves import ground, shelf
from webui.pages.shelves.unanswered import places_of, without
from webui.pages.shelves.wardrobe_measures import (
    OLD_DAYS,
    Measured,
    in_time,
    latest,
    main_measures,
    measured,
    months_since,
    newest_values,
    pool_of,
)

pages = Blueprint("wardrobe", __name__, url_prefix="/wardrobe")
ROOM = "wardrobe"
KIND = "garments"
A_PAGE = 24
LONG_NAME = 60
"""A name with more characters than this is no part of a heading."""

STATES = (
    ("washed_flat", "washed, dried flat, not worn since"),
    ("worn", "worn"),
    ("unsaid", "not said"),
)
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


@pages.app_template_filter("day")
def _day(when: date | None) -> str:
    return ground.day(when)


# ---- the list ----------------------------------------------------------------------------------------------


@pages.get("")
def wardrobe() -> Response:
    """Cards at one scale, 24 a page, found by wearer and text."""
    store = ground.store()
    text, wearer = request.args.get("text", "").strip(), request.args.get("wearer", "")
    after = request.args.get("after") or None
    wearers = {one.key: one.name for one in store.list("wearers", limit=LONGEST_PAGE).records}
    wearer = wearer if wearer in wearers else ""
    try:
        found = store.list(KIND, text=text, wearer=wearer or None, after=after, limit=A_PAGE)
    except NotFound:
        return ground.go(url_for("wardrobe.wardrobe", text=text, wearer=wearer))
    # Only what this page shows is read: the wardrobe may be large.
    garments = store.records(KIND, [one.key for one in found.records])
    total = store.count(KIND)
    shown = [garments[one.key] for one in found.records if one.key in garments]
    people = store.records("wearers", list({one.wearer for one in shown if one.wearer}))
    cards = [_card(one, people, place) for place, one in enumerate(shown)]
    _cut_below(cards)
    mixed = total > len(shown) or any(not one["invented"] for one in cards)
    return ground.show(
        "wardrobe.html",
        ROOM,
        cards=cards,
        mixed=mixed,
        bar=ground.safe(card_bar(ground.unit())),
        alone=total == 1,
        total=total,
        wearers=[("", "everybody"), *wearers.items()],
        typed={"text": text, "wearer": wearer},
        after=found.after,
        later=after is not None,
        deleted=ground.deleted(KIND),
    )


def _card(garment: Garment, people: Mapping[str, Any], place: int) -> dict[str, Any]:
    alone = Household.model_construct(wearers=list(people.values()), garments=[garment])
    asked = asked_about(KIND, garment, alone)
    values = newest_values(without(garment, asked))
    lengths = body_measures({key: one.value for key, one in values.items()})
    svg = card(
        lengths,
        f"{garment.name}, drawn at one scale with the others",
        ids=f"c{place}",
        construction=garment.construction,
    )
    outline = outline_of(lengths, piece="back", construction=garment.construction)
    when = latest(garment).on
    return {
        "key": garment.id,
        "name": ground.short(garment.name),
        "svg": svg,
        "longest": 0.0 if isinstance(outline, CannotSay) else outline.length_mm,
        "measures": [(words.point_name(key), ground.length(values[key].value)) for key in main_measures(values)],
        "when": when,
        "asked": _asked_words(asked),
        "invented": invented.is_invented(garment.id, KIND),
        "wearer": ground.name_of(people.values(), garment.wearer),
    }


def _asked_words(asked: Iterable[Asked]) -> str:
    """Which points are asked about: "chest and hem are asked about"; empty where none is."""
    keys = list(dict.fromkeys(str(one.steps[-2]) for one in asked if one.reading))
    if not keys:
        return ""
    verb = "is" if len(keys) == 1 else "are"
    return f"{views.listed([words.point_name(key) for key in keys])} {verb} asked about"


def _cut_below(cards: list[dict[str, Any]]) -> None:
    """Cut the empty foot off all cards of a page alike, so that their scale stays one."""
    width, height = CARD
    longest = max((one["longest"] for one in cards), default=0.0)
    known = all(one["longest"] or not one["svg"] for one in cards)
    kept = min(height, 8.0 + longest * UNITS_PER_MM + 8.0) if known else height
    for one in cards:
        svg = one["svg"].replace(f'viewBox="0 0 {width:g} {height:g}"', f'viewBox="0 0 {width:g} {round(kept)}"', 1)
        one["svg"] = ground.safe(svg)


# ---- a new garment, a new occasion, changes ----------------------------------------------------------------


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
    return ground.go(url_for("wardrobe.garment", key=kept.key), said, kept, draft.text("by"))


def _there(key: str, *, form: bool = False) -> tuple[Stored, Garment]:
    return ground.there(KIND, key, "wardrobe", form=form)


@pages.get("/<key>/edit")
def edit(key: str) -> Response:
    """The settings of a garment in a form."""
    stored, one = _there(key)
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
    stored, one = _there(key, form=True)
    draft = Draft(ground.typed(request.form))
    document = {**_settings(draft), "id": key, "occasions": stored.doc["occasions"]}
    revision = ground.revision_of(draft.text("revision"), stored.revision)
    try:
        kept = draft.keep(ground.store(), KIND, key, document, revision)
    except StaleWrite as stale:
        back = url_for("wardrobe.edit", key=key)
        people = [("", "not said"), *((one.id, one.name) for one in ground.household().wearers)]
        choices: Choices = {"wearer": people, "construction": [(one.key, one.name) for one in CONSTRUCTIONS.values()]}
        return conflict(stale, draft, _written, back, ROOM, label=dict(FIELDS).get, choices=choices)
    if kept is None:
        return _form("garment_settings.html", draft, 422, garment=one)
    if kept.revision == stored.revision:
        return ground.go(url_for("wardrobe.garment", key=key))
    return ground.go(url_for("wardrobe.garment", key=key), "Changed.", kept)


@pages.get("/<key>/measure")
def measure(key: str) -> Response:
    """A form for one more measuring, or for more readings of one."""
    _, one = _there(key)
    which = request.args.get("occasion", "")
    occasion = next((occ for occ in one.occasions if occ.id == which), None)
    typed = {"by": ground.measurer(), "anew": "yes", "occasion": occasion.id if occasion else ""}
    if occasion is None:
        typed |= {"on": ground.day(date.today()), "state": "washed_flat"}
    return _form("garment_measure.html", Draft(typed), garment=one, occasion=occasion, construction=one.construction)


@pages.post("/<key>/measure")
def measure_more(key: str) -> Response:
    """Add an occasion, or readings to one that is there: readings are only ever added."""
    stored, one = _there(key, form=True)
    draft = Draft(ground.typed(request.form))
    occasion = next((occ for occ in one.occasions if occ.id == draft.text("occasion")), None)
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
        url_for("wardrobe.garment", key=key), f"Kept {ground.counted(count, 'reading')}.", kept, draft.text("by")
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


# ---- one garment -------------------------------------------------------------------------------------------


@pages.get("/<key>")
def garment(key: str) -> Response:
    """Drawing, readings with their spread, ease, history, and what must fit it."""
    return _show(key)


def _show(key: str, status: int = 200, refusals: Mapping[str, Refusal] | None = None) -> Response:
    _, one = _there(key)
    household = ground.household()
    unit, pool = ground.unit(), pool_of(one, household)
    which = request.args.get("occasion", "")
    occasion = next((occ for occ in one.occasions if occ.id == which), latest(one))
    asked = asked_about(KIND, one, household)
    left = without(one, asked)
    points = measured(next(occ for occ in left.occasions if occ.id == occasion.id), pool)
    values = {key: found.value for key, found in points.items()}
    svg, figures = garment_drawing(
        values,
        unit,
        f"{one.name} as it was measured, with its tapes",
        construction=one.construction,
        mark=ground.mark(),
    )
    rows = sorted(points.values(), key=lambda row: (figures.get(row.key, 99), ORDER[row.key]))
    open_, here = places_of(asked), f"occasions/{one.occasions.index(occasion)}/readings"
    unsure = [key for key in sorted(occasion.readings, key=ORDER.__getitem__) if f"{here}/{key}" in open_]
    told = [_row(row, figures, occasion, asked=row.key in unsure) for row in rows]
    told += [_row_asked(key, occasion) for key in unsure if key not in points]
    others = sorted((g for g in household.garments if g.id != key), key=lambda g: g.name.casefold())
    return ground.show(
        "garment.html",
        ROOM,
        status,
        garment=one,
        long_name=LONG_NAME,
        invented=invented.is_invented(key, KIND),
        asked=asked,
        refusals=refusals,
        typed=request.form,
        occasion=occasion,
        occasions=list(reversed(in_time(one))),
        state=dict(STATES)[occasion.state],
        answer=_answer(one, rows, [key for key in unsure if key not in points]),
        svg=ground.safe(svg),
        rows=told,
        readings=sum(row.count for row in rows),
        once=sum(row.count == 1 for row in rows),
        old=_age(occasion),
        fresh=occasion.on == date.today(),
        wearer=ground.name_of(household.wearers, one.wearer),
        construction=CONSTRUCTIONS[one.construction].name,
        ease=_ease(one, values, household),
        histories=_histories(left, household),
        makes=_makes(one, household),
        others=[(other.id, other.name) for other in others],
    )


shelf.register(pages, KIND, "wardrobe", "/wardrobe", _show)


def _answer(one: Garment, rows: list[Measured], asked: Sequence[str]) -> str:
    """The page's sentence: what it measures where it matters.

    asked  points of which nothing is left but what is asked about
    """
    said = {row.key: f"{words.point_name(row.key)}\u00a0{ground.length(row.value.value)}" for row in rows}
    said |= {key: f"{words.point_name(key)} is asked about" for key in asked}
    told = [said[key] for key in ("chest", "shoulder_width", "body_length") if key in said] or list(said.values())[:3]
    return _named(one, f"{', '.join(told)}." if told else "nothing was measured on this occasion.")


def _named(one: Garment, said: str) -> str:
    """The sentence with the garment's name in front; a very long one stands above it, once and whole."""
    return ground.capital(said) if len(one.name) > LONG_NAME else f"{ground.capital(one.name)}: {said}"


def _place(occasion: Occasion, key: str) -> str:
    """Where the readings of a point stand."""
    return f"occasions/{occasion.id}/readings/{key}"


def _row_asked(key: str, occasion: Occasion) -> dict[str, Any]:
    """A point of which nothing is left but what is asked about."""
    point = POINTS[key]
    return {
        "key": key,
        "name": point.name[:1].upper() + point.name[1:] + (", flat" if point.flat else ""),
        "tape": point.tape,
        "asked": True,
        "spread": "",
        "layings": 0,
        "place": _place(occasion, key),
        "readings": ground.shown_readings(occasion.readings[key]),
    }


def _row(row: Measured, figures: Mapping[str, int], occasion: Occasion, *, asked: bool) -> dict[str, Any]:
    return {
        "key": row.key,
        "figure": figures.get(row.key),
        "name": row.name,
        "tape": POINTS[row.key].tape,
        "value": ground.length(row.value.value),
        "low": ground.figure(row.value.low),
        "high": ground.figure(row.value.high),
        "spread": ground.small(row.spread_mm) if row.count > 1 else "",
        "count": row.count,
        "layings": row.layings,
        "asked": asked,
        "place": _place(occasion, row.key),
        "readings": ground.shown_readings(occasion.readings[row.key]),
    }


def _age(occasion: Occasion) -> int | None:
    """Months since it was measured, where that is long ago; None else."""
    if occasion.on is None or (date.today() - occasion.on).days < OLD_DAYS:
        return None
    return months_since(occasion.on, date.today())


def _ease(one: Garment, values: Mapping[str, Any], household: Household) -> list[str]:
    wearer = next((person for person in household.wearers if person.id == one.wearer), None)
    if wearer is None:
        return []
    flat = {key: Estimate(found.value, found.u) for key, found in values.items()}
    told = []
    for ease in ease_of(flat, wearer):
        shown = EaseReport(ease.key, quantity(ease.ease, "mm"), ease.code or None)
        told.append(words.ease_sentence(shown, ground.unit(), mark=ground.mark()))
    return told


def _histories(one: Garment, household: Household) -> list[dict[str, Any]]:
    """Every point that was read on more than one occasion, the deciding ones first."""
    pool = pool_of(one, household)
    told: dict[str, list[Measuring]] = {}
    for occasion in in_time(one):
        when = ground.day(occasion.on) if occasion.on else occasion.id.replace("_", " ")
        state = {"washed_flat": "washed", "worn": "worn", "unsaid": ""}[occasion.state]
        name = f"{when}, {state}" if state else when
        for key, found in measured(occasion, pool).items():
            q = found.value
            told.setdefault(key, []).append(Measuring(name, q.value, q.low, q.high, occasion.state != "worn"))
    keys = sorted((key for key in told if len(told[key]) > 1), key=ORDER.__getitem__)
    return [
        {
            "name": words.point_name(key),
            "svg": ground.safe(
                history(told[key], ground.unit(), along=POINTS[key].direction != "across", mark=ground.mark())
            ),
            "said": [(row.name, ground.length(row.value)) for row in told[key]],
        }
        for key in keys
    ]


def _makes(one: Garment, household: Household) -> list[dict[str, Any]]:
    """The makes that must fit this garment, with their wishes."""
    told = []
    for make in household.makes:
        if make.fits.garment != one.id:
            continue
        wishes = [
            f"{words.point_name(key)} {ground.length(wish.by.value_mm, signed=True)}"
            f"{' round' if wish.meant == 'round' else ''}"
            for key, wish in make.wishes.items()
        ]
        told.append({"key": make.id, "name": make.name, "wishes": wishes})
    return told


# ---- two over one another ----------------------------------------------------------------------------------


@pages.get("/over")
def over() -> Response:
    """One garment laid over another, and what differs in figures."""
    household = ground.household()
    garments = {one.id: one for one in household.garments}
    names = [(one.id, one.name) for one in sorted(household.garments, key=lambda one: one.name.casefold())]
    first, second = (garments.get(request.args.get(name, "")) for name in ("first", "second"))
    asked = request.args.get("at", "")
    at = asked if asked in PLACES else "shoulders"
    if first is None or second is None or first.id == second.id:
        refusals = {}
        if request.args.get("second"):
            refusals["second"] = Refusal("the same twice" if first else "", "Two different garments.")
        typed = {"first": first.id if first else "", "second": second.id if second else names[-1][0] if names else ""}
        return ground.show("garments_over.html", ROOM, first=None, names=names, typed=typed, refusals=refusals)
    open_ = {one.id: asked_about(KIND, one, household) for one in (first, second)}
    under, upper = (newest_values(without(one, open_[one.id]), pool_of(one, household)) for one in (first, second))
    svg, figures = two_over_one_another(
        under,
        upper,
        ground.unit(),
        f"{second.name} laid over {first.name}, lined up at the {at}",
        at=at,
        constructions=(first.construction, second.construction),
        mark=ground.mark(),
    )
    shared = sorted((key for key in under if key in upper), key=lambda key: (figures.get(key, 99), ORDER[key]))
    return ground.show(
        "garments_over.html",
        ROOM,
        first=first,
        second=second,
        at=at,
        places=PLACES,
        svg=ground.safe(svg),
        names=names,
        typed={"first": first.id, "second": second.id},
        refusals={},
        rows=[_compared(key, under[key], upper[key], figures) for key in shared],
        answer=_over_answer(first, second, under, upper, shared),
        asked=[(one, said) for one in (first, second) if (said := _asked_words(open_[one.id]))],
        only=[
            (one.name, [words.point_name(key) for key in mine if key not in theirs])
            for one, mine, theirs in ((first, under, upper), (second, upper, under))
            if any(key not in theirs for key in mine)
        ],
    )


def _compared(key: str, under: Any, upper: Any, figures: Mapping[str, int]) -> dict[str, Any]:
    off = written_less(upper, under, ground.unit(), ground.parts())
    point = POINTS[key]
    return {
        "figure": figures.get(key),
        "name": point.name[:1].upper() + point.name[1:] + (", flat" if point.flat else ""),
        "first": ground.figure(under.value),
        "second": ground.figure(upper.value),
        "off": ground.figure(off.value, signed=True),
        "likely": f"{ground.figure(off.low, signed=True)} to\u00a0{ground.figure(off.high, signed=True)}",
        "clear": off.low > 0 or off.high < 0,
    }


def _over_answer(first: Garment, second: Garment, under: Any, upper: Any, shared: list[str]) -> str:
    told = []
    for key in shared:
        off = written_less(upper[key], under[key], ground.unit(), ground.parts())
        if off.low > 0 or off.high < 0:
            sides = ("narrower", "wider") if POINTS[key].direction == "across" else ("shorter", "longer")
            size = ground.length(abs(off.value))
            told.append((abs(off.value), f"{words.point_name(key)}\u00a0{size} {sides[off.value > 0]}"))
    name, other = ground.capital(ground.short(second.name, 40)), ground.short(first.name, 40)
    if not shared:
        return f"{name} and {other} have no point in common."
    if not told:
        return f"{name} and {other} cannot be told apart by the tape."
    told.sort(reverse=True)
    return f"{name} beside {other}: {', '.join(text for _, text in told[:3])}."
