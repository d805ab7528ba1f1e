"""Two garments over one another: one laid over the other, and what differs in figures."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import Blueprint, Response, request

from fitcheck import words
from fitcheck.advice.unanswered import asked_of_each, without
from fitcheck.drawing.garments import two_over_one_another, written_less
from fitcheck.drawing.laid import PLACES
from fitcheck.records.garments import Garment
from fitcheck.records.points import ORDER, POINTS
from webui.forms.drafts import Refusal
from webui.forms.garments import point_heading
from webui.pages import ground
from webui.pages.shelves.garments import asked_words
from webui.pages.shelves.wardrobe_measures import (
    newest_values,
    pool_of,
)

pages = Blueprint("garments_over", __name__, url_prefix="/wardrobe/over")
ROOM = "wardrobe"
KIND = "garments"


@pages.get("")
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
    open_ = asked_of_each(KIND, (first, second), household)
    under, upper = (
        newest_values(without(one, [question.place for question in open_[one.id]]), pool_of(one, household))
        for one in (first, second)
    )
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
        asked=[(one, said) for one in (first, second) if (said := asked_words(open_[one.id]))],
        only=[
            (one.name, [words.point_name(key) for key in mine if key not in theirs])
            for one, mine, theirs in ((first, under, upper), (second, upper, under))
            if any(key not in theirs for key in mine)
        ],
    )


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
