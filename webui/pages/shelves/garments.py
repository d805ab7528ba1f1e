"""One garment: its drawing with its tapes, its readings, ease, history, and what must fit it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from flask import Blueprint, Response, request
from markupsafe import Markup

from fitcheck import words
from fitcheck.advice.ease import ease_of
from fitcheck.advice.unanswered import lists_asked_about, without
from fitcheck.drawing.garments import garment_drawing
from fitcheck.drawing.history import history
from fitcheck.drawing.rows import Kind, Row
from fitcheck.estimates.numbers import Estimate, quantity
from fitcheck.records.constructions import CONSTRUCTIONS, Construction
from fitcheck.records.garments import Garment, Occasion
from fitcheck.records.households import Household, by_key
from fitcheck.records.places import Place
from fitcheck.records.points import ORDER, POINTS
from fitcheck.records.questions.question import Question
from fitcheck.reports.shapes import EaseReport
from fitcheck.store.stored import Stored
from fitcheck.words import shelves
from fitcheck.words.as_knitted import as_knitted
from fitcheck.words.dates import write_day
from fitcheck.words.phrases import spaced
from fitcheck.words.walking import where_the_tape_lies
from webui.forms.drafts import Refusal
from webui.forms.fields import called
from webui.forms.garments import STATES, point_heading
from webui.pages import ground, invented, views
from webui.pages.asked import Asked, asked_about
from webui.pages.context import Page, shown_by
from webui.pages.figures import FIX, PutRight
from webui.pages.photographs import Beside, beside
from webui.pages.shelves import shelf
from webui.pages.shelves.wardrobe_measures import (
    OLD_DAYS,
    Measured,
    measured,
    months_since,
    pool_of,
)

pages = Blueprint("garments", __name__, url_prefix="/wardrobe")
ROOM = "wardrobe"
KIND = "garments"


def garment_or_404(key: str, *, form: bool = False) -> tuple[Stored, Garment]:
    """A garment with its revision, as ground.record_or_404 gives it."""
    return ground.record_or_404(KIND, key, "wardrobe", form=form)


@shown_by("garment.html", ROOM)
class GarmentPage(Page):
    """One garment: drawing, readings with their spread, ease, history, and what must fit it."""

    garment: Garment
    beside: Beside
    long_name: int
    invented: bool
    asked: list[Asked]
    refusals: Mapping[str, Refusal] | None
    occasion: Occasion
    occasions: list[Occasion]
    state: str
    answer: str
    svg: Markup
    rows: list[dict[str, Any]]
    readings: int
    once: int
    old: int | None
    fresh: bool
    wearer: str
    built: Construction
    ease: list[str]
    histories: list[dict[str, Any]]
    knitted: tuple[str, ...]
    made: str
    makes: list[dict[str, Any]]
    others: list[tuple[str, str]]


def occasion_of(address: str) -> str:
    """The measuring that a reading is of, by its address; empty where the address is of none."""
    kind, _, rest = address.partition("/")
    return rest.partition("/")[0] if kind == "occasions" else ""


@pages.get("/<key>")
def garment(key: str, status: int = 200, refusals: Mapping[str, Refusal] | None = None) -> Response:
    """Drawing, readings with their spread, ease, history, and what must fit it."""
    _, garment = garment_or_404(key)
    household = ground.household()
    unit, pool = ground.unit(), pool_of(garment, household)
    which = request.args.get("occasion") or occasion_of(request.args.get(FIX, ""))
    occasion = next((occ for occ in garment.occasions if occ.id == which), garment.in_time[-1])
    asked = asked_about(KIND, garment, household)
    places = [question.place for question in asked]
    left = without(garment, places)
    points = measured(next(occ for occ in left.occasions if occ.id == occasion.id), pool)
    values = {key: point.value for key, point in points.items()}
    svg, figures = garment_drawing(
        values,
        unit,
        shelves.drawn_with_tapes(garment.name),
        construction=garment.construction,
        mark=ground.mark(),
    )
    rows = sorted(points.values(), key=lambda row: (figures.get(row.key, 99), ORDER[row.key]))
    asked_at = _asked_at(garment, occasion, places)
    others = [other for other in ground.by_name(household.garments) if other.id != key]
    return views.show(
        GarmentPage(
            garment=garment,
            beside=beside(KIND, key, garment.photographs),
            long_name=shelves.LONGEST_NAME,
            invented=invented.is_invented(key, KIND),
            asked=asked,
            refusals=refusals,
            occasion=occasion,
            occasions=list(reversed(garment.in_time)),
            state=dict(STATES)[occasion.state],
            answer=_answer(garment, rows, [key for key in asked_at if key not in points]),
            svg=ground.svg_markup(svg),
            rows=_rows(garment, occasion, rows, figures, asked_at),
            readings=sum(row.count for row in rows),
            once=sum(row.count == 1 for row in rows),
            old=_age(occasion),
            fresh=occasion.on == date.today(),
            wearer=called(household.wearers, garment.wearer),
            built=CONSTRUCTIONS[garment.construction],
            ease=_ease(garment, values, household),
            histories=_histories(left, household),
            knitted=as_knitted(garment.knitted, unit) if garment.knitted is not None else (),
            made=next((make.id for make in household.makes if make.became == garment.id), ""),
            makes=_makes(garment, household),
            others=[(other.id, other.name) for other in others],
        ),
        status,
    )


shelf.register(pages, KIND, "wardrobe", "/wardrobe", garment)


def asked_words(asked: Iterable[Question]) -> str:
    """Which points are asked about: "chest and hem are asked about"; empty where none is."""
    places = [question.place for question in asked if question.place.reading is not None]
    keys = list(dict.fromkeys(place.point for place in places if place.point))
    return shelves.asked_about(keys) if keys else ""


def _answer(garment: Garment, rows: list[Measured], asked: Sequence[str]) -> str:
    """The page's sentence: what it measures where it matters.

    asked  points of which nothing is left but what is asked about
    """
    said = {row.key: f"{words.point_name(row.key)}\u00a0{ground.length(row.value.value)}" for row in rows}
    said |= {key: shelves.asked_about([key]) for key in asked}
    told = [said[key] for key in ("chest", "shoulder_width", "body_length") if key in said] or list(said.values())[:3]
    return shelves.garment_measures(garment.name, told)


def _asked_at(garment: Garment, occasion: Occasion, places: Sequence[Place]) -> list[str]:
    """The points of a measuring of which a reading is asked about, in the order of the catalogue."""
    lists, here = lists_asked_about(places), ("occasions", garment.occasions.index(occasion), "readings")
    return [key for key in sorted(occasion.readings, key=ORDER.__getitem__) if (*here, key) in lists]


def _rows(
    garment: Garment,
    occasion: Occasion,
    measured: Sequence[Measured],
    figures: Mapping[str, int],
    asked_at: Sequence[str],
) -> list[dict[str, Any]]:
    """The points with their readings; last those of which nothing is left but what is asked about.

    figures  of the drawing, by point
    """
    put_right, built = PutRight(KIND, garment.id), CONSTRUCTIONS[garment.construction]
    rows = [
        _row(put_right, built, point.key, occasion, point, figures.get(point.key), asked=point.key in asked_at)
        for point in measured
    ]
    known = {point.key for point in measured}
    return rows + [_row(put_right, built, key, occasion) for key in asked_at if key not in known]


def _row(
    put_right: PutRight,
    built: Construction,
    key: str,
    occasion: Occasion,
    measured: Measured | None = None,
    figure: int | None = None,
    *,
    asked: bool = True,
) -> dict[str, Any]:
    """A point with its readings; measured: without it nothing is left of them but what is asked about."""
    row = {
        "key": key,
        "figure": figure,
        "name": point_heading(key),
        "tape": where_the_tape_lies(key, built),
        "asked": asked,
        "figures": put_right.of(
            Place(KIND, put_right.key, ("occasions", occasion.id, "readings", key)), occasion.readings[key]
        ),
        "readings": ground.shown_readings(occasion.readings[key]),
        "spread": "",
        "layings": 0,
    }
    if measured is None:
        return row
    return row | {
        "value": ground.length(measured.value.value),
        "low": ground.figure(measured.value.low),
        "high": ground.figure(measured.value.high),
        "spread": ground.small(measured.spread_mm) if measured.count > 1 else "",
        "layings": measured.layings,
    }


def _age(occasion: Occasion) -> int | None:
    """Months since it was measured, where that is long ago; None else."""
    if occasion.on is None or (date.today() - occasion.on).days < OLD_DAYS:
        return None
    return months_since(occasion.on, date.today())


def _ease(garment: Garment, values: Mapping[str, Any], household: Household) -> list[str]:
    wearer = by_key(household.wearers, garment.wearer)
    if wearer is None:
        return []
    flat = {key: Estimate(point.value, point.u) for key, point in values.items()}
    told = []
    for ease in ease_of(flat, wearer):
        shown = EaseReport(ease.key, quantity(ease.ease, "mm"), ease.code or None)
        told.append(words.ease_sentence(shown, ground.tape()))
    return told


def _histories(garment: Garment, household: Household) -> list[dict[str, Any]]:
    """Every point that was read on more than one occasion, the deciding ones first."""
    pool = pool_of(garment, household)
    told: dict[str, list[Row]] = {}
    for occasion in garment.in_time:
        when = write_day(occasion.on) if occasion.on else spaced(occasion.id)
        state = {"washed_flat": "washed", "worn": "worn", "unsaid": ""}[occasion.state]
        name = f"{when}, {state}" if state else when
        kind: Kind = "assumed" if occasion.state == "worn" else "read"
        for key, point in measured(occasion, pool).items():
            q = point.value
            told.setdefault(key, []).append(Row(name, q.value, q.low, q.high, kind))
    keys = sorted((key for key in told if len(told[key]) > 1), key=ORDER.__getitem__)
    return [
        {
            "name": words.point_name(key),
            "svg": ground.svg_markup(
                history(told[key], ground.unit(), along=POINTS[key].direction != "across", mark=ground.mark())
            ),
            "said": [(row.name, ground.length(row.value)) for row in told[key]],
        }
        for key in keys
    ]


def _makes(garment: Garment, household: Household) -> list[dict[str, Any]]:
    """The makes that must fit this garment, with their wishes."""
    told = []
    for make in household.makes:
        if make.fits.garment != garment.id:
            continue
        wishes = [
            f"{words.point_name(key)} {ground.length(wish.by.value_mm, signed=True)}"
            f"{' round' if wish.meant == 'round' else ''}"
            for key, wish in make.wishes.items()
        ]
        told.append({"key": make.id, "name": make.name, "wishes": wishes})
    return told
