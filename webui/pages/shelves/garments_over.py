"""Two garments over one another: one laid over the other, and what differs in figures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from flask import Blueprint, Response, request
from markupsafe import Markup

from fitcheck import words
from fitcheck.advice.unanswered import asked_of_each, without
from fitcheck.drawing.garments import two_over_one_another, written_less
from fitcheck.drawing.laid import PLACES, At
from fitcheck.records.garments import Garment
from fitcheck.records.points import ORDER
from fitcheck.words import shelves, wants
from webui.forms.drafts import Refusal
from webui.forms.garments import point_heading
from webui.pages import ground, views
from webui.pages.context import Page, shown_by
from webui.pages.shelves.garments import asked_words
from webui.pages.shelves.wardrobe_measures import (
    newest_values,
    pool_of,
)

pages = Blueprint("garments_over", __name__, url_prefix="/wardrobe/over")
ROOM = "wardrobe"
KIND = "garments"


@shown_by("garments_over.html", ROOM)
class OverPage(Page):
    """Two garments over one another, or the choice of them.

    names      every garment that can be chosen
    first, second  the two; None while they are not chosen
    at, places     where they are lined up, and where they can be
    svg        the drawing;  rows: points that both have;  only: points that one of them has
    asked      what is asked about one of them
    """

    names: Sequence[tuple[str, str]]
    typed: Mapping[str, str]
    refusals: Mapping[str, Refusal]
    first: Garment | None = None
    second: Garment | None = None
    at: At = "shoulders"
    places: Sequence[At] = PLACES
    svg: Markup | None = None
    rows: Sequence[Mapping[str, Any]] = ()
    answer: str = ""
    asked: Sequence[tuple[Garment, str]] = ()
    only: Sequence[tuple[str, Sequence[str]]] = ()


@pages.get("")
def over() -> Response:
    """One garment laid over another, and what differs in figures."""
    household = ground.household()
    garments = {garment.id: garment for garment in household.garments}
    names = [(garment.id, garment.name) for garment in ground.by_name(household.garments)]
    first, second = (garments.get(request.args.get(name, "")) for name in ("first", "second"))
    asked = request.args.get("at", "")
    at = asked if asked in PLACES else "shoulders"
    if first is None or second is None or first.id == second.id:
        refusals = {}
        if request.args.get("second"):
            refusals["second"] = Refusal("the same twice" if first else "", wants.TWO_GARMENTS)
        typed = {"first": first.id if first else "", "second": second.id if second else names[-1][0] if names else ""}
        return views.show(OverPage(names, typed, refusals))
    open_ = asked_of_each(KIND, (first, second), household)
    under, upper = (
        newest_values(without(garment, [question.place for question in open_[garment.id]]), pool_of(garment, household))
        for garment in (first, second)
    )
    svg, figures = two_over_one_another(
        under,
        upper,
        ground.unit(),
        shelves.laid_over(second.name, first.name, at),
        at=at,
        constructions=(first.construction, second.construction),
        mark=ground.mark(),
    )
    shared = sorted((key for key in under if key in upper), key=lambda key: (figures.get(key, 99), ORDER[key]))
    page = OverPage(
        names,
        {"first": first.id, "second": second.id},
        {},
        first=first,
        second=second,
        at=at,
        svg=ground.svg_markup(svg),
        rows=[_compared(key, under[key], upper[key], figures) for key in shared],
        answer=_over_answer(first, second, under, upper, shared),
        asked=[(garment, said) for garment in (first, second) if (said := asked_words(open_[garment.id]))],
        only=[
            (garment.name, [words.point_name(key) for key in mine if key not in theirs])
            for garment, mine, theirs in ((first, under, upper), (second, upper, under))
            if any(key not in theirs for key in mine)
        ],
    )
    return views.show(page)


def _compared(key: str, under: Any, upper: Any, figures: Mapping[str, int]) -> dict[str, Any]:
    off = written_less(upper, under, ground.unit(), ground.parts())
    return {
        "figure": figures.get(key),
        "name": point_heading(key),
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
            told.append((abs(off.value), shelves.differs_at(key, ground.length(abs(off.value)), off.value)))
    name, other = ground.capital(ground.short(second.name, 40)), ground.short(first.name, 40)
    told.sort(reverse=True)
    return shelves.one_beside_other(name, other, [text for _, text in told[:3]], common=bool(shared))
