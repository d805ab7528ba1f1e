"""The wardrobe: garments that fit, on cards of one scale."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from flask import Blueprint, Response, request, url_for
from markupsafe import Markup

from fitcheck import words
from fitcheck.advice.unanswered import asked_of_each, without
from fitcheck.drawing.cards import card, card_bar, cut
from fitcheck.drawing.garments import body_measures
from fitcheck.drawing.outline import outline_of
from fitcheck.records.garments import Garment
from fitcheck.records.households import Household
from fitcheck.records.questions.question import Question
from fitcheck.store.faults import NotFound
from fitcheck.store.households import LONGEST_PAGE
from fitcheck.words import shelves
from fitcheck.words.dates import write_day
from fitcheck.words.left_out import DRAWINGS
from webui.forms.fields import called
from webui.pages import ground, invented, left_out, views
from webui.pages.context import Page, shown_by
from webui.pages.shelves.garments import asked_words
from webui.pages.shelves.wardrobe_measures import main_measures, newest_lengths

pages = Blueprint("wardrobe", __name__, url_prefix="/wardrobe")
ROOM = "wardrobe"
KIND = "garments"
A_PAGE = 24


pages.add_app_template_filter(write_day, "day")


@shown_by("wardrobe.html", ROOM)
class WardrobePage(Page):
    """Cards at one scale, 24 a page, found by wearer and text."""

    cards: list[dict[str, Any]]
    mixed: bool
    bar: Markup
    alone: bool
    total: int
    wearers: list[tuple[str, str]]
    typed: dict[str, str]
    after: str | None
    later: bool
    deleted: list[tuple[str, str]]


@pages.get("")
def wardrobe() -> Response:
    """Cards at one scale, 24 a page, found by wearer and text."""
    store = ground.store()
    text, wearer = request.args.get("text", "").strip(), request.args.get("wearer", "")
    after = request.args.get("after") or None
    wearers = {listed.key: listed.name for listed in store.list("wearers", limit=LONGEST_PAGE).records}
    wearer = wearer if wearer in wearers else ""
    try:
        listed = store.list(KIND, text=text, wearer=wearer or None, after=after, limit=A_PAGE)
    except NotFound:
        return ground.go(url_for("wardrobe.wardrobe", text=text, wearer=wearer))
    # Only what this page shows is read: the wardrobe may be large.
    garments = store.records(KIND, [entry.key for entry in listed.records])
    total = store.count(KIND)
    shown = [garments[entry.key] for entry in listed.records if entry.key in garments]
    people = store.records("wearers", list({garment.wearer for garment in shown if garment.wearer}))
    cards = _cards(shown, people)
    mixed = total > len(shown) or any(not drawn["invented"] for drawn in cards)
    return views.show(
        WardrobePage(
            cards=cards,
            mixed=mixed,
            bar=ground.svg_markup(card_bar(ground.unit())),
            alone=total == 1,
            total=total,
            wearers=[("", "everybody"), *wearers.items()],
            typed={"text": text, "wearer": wearer},
            after=listed.after,
            later=after is not None,
            deleted=ground.deleted(KIND),
        )
    )


def _cards(garments: Sequence[Garment], people: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The cards of garments, without those that the program fails over: these are named on the page."""
    household = Household.model_construct(wearers=list(people.values()))
    cards = []
    for garment in garments:
        with left_out.named(garment.name, f"/wardrobe/{garment.id}"):
            cards.append(_card(garment, people, asked_of_each(KIND, [garment], household)[garment.id]))
    with left_out.named(DRAWINGS, ""):
        _draw(cards)
    return cards


def _card(garment: Garment, people: Mapping[str, Any], asked: Sequence[Question]) -> dict[str, Any]:
    lengths = newest_lengths(without(garment, [question.place for question in asked]))
    return {
        "key": garment.id,
        "name": ground.short(garment.name),
        "outline": outline_of(body_measures(lengths), piece="back", construction=garment.construction),
        "label": shelves.drawn_with_others(garment.name),
        "measures": [(words.point_name(key), ground.length(lengths[key])) for key in main_measures(lengths)],
        "when": garment.in_time[-1].on,
        "asked": asked_words(asked),
        "invented": invented.is_invented(garment.id, KIND),
        "wearer": called(people.values(), garment.wearer),
    }


def _draw(cards: list[dict[str, Any]]) -> None:
    """Draw all cards of a page at one scale and of one height."""
    height = cut(shown["outline"] for shown in cards)
    for place, shown in enumerate(cards):
        shown["svg"] = ground.svg_markup(card(shown["outline"], shown["label"], ids=f"c{place}", height=height))
