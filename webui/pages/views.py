"""What every page needs: the store, the unit, the report of a make, "Was ... Now ..." with undo, and rendering."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any, Literal

from flask import Flask, Response, g, make_response, render_template, request
from jinja2 import pass_context
from markupsafe import Markup

from fitcheck.drawing.look import PAGE
from fitcheck.drawing.rulers import zone_sign
from fitcheck.records.households import Household, by_key
from fitcheck.reports.granted import cautions_of_yarn
from fitcheck.reports.shapes import Report
from fitcheck.store import Store
from fitcheck.store.faults import StoreError
from fitcheck.store.stored import HOUSEHOLD
from fitcheck.words import (
    Mark,
    Said,
    advised,
    carried,
    caution_sentence,
    history,
    home,
    knitted,
    pasting,
    photographs,
    point_name,
    sharing,
    shelves,
    walking,
    zone_word,
)
from fitcheck.words import pages as words_pages
from fitcheck.words.changed import changed as changed_words
from fitcheck.words.figures import Tape
from fitcheck.words.phone import DOCK, DRAFTS
from fitcheck.words.phrases import capital
from webui.api.operations import Needs
from webui.forms.drafts import form_id
from webui.forms.fields import ADDED
from webui.pages import given_back, invented
from webui.pages.context import Page
from webui.pages.fractions import as_set
from webui.pages.notices import Notice, forget, said_once
from webui.pages.offered import offered
from webui.pages.unbroken import unparted
from webui.rights import may
from webui.service import service

PageUnit = Literal["cm", "in"]

UNIT_COOKIE = "unit"
MARK_COOKIE = "mark"
SEEN_COOKIE = "seen"
MOST_SEEN, DIGEST_KEPT = 24, 8
A_YEAR = 365 * 24 * 3600

ROOMS = (
    ("Table", "/", "table", "table.table"),
    ("Wardrobe", "/wardrobe", "wardrobe", "wardrobe.wardrobe"),
    ("Swatch book", "/swatches", "swatches", "swatch_book.book"),
    ("Makes", "/makes", "makes", "table.makes"),
    ("Settings", "/settings", "settings", "settings.settings"),
)
"""Links of the bar: name, address, key and endpoint."""

_COMPUTED = re.compile(r"(?<![\d.])(\d+)\.(\d+)(?![\d.])")
"""A decimal, and no date like 25.11.2026."""


def store() -> Store:
    """The store of this service."""
    return service().store


def right() -> Needs:
    """What the device that asks may."""
    has: Needs = g.get("right", "measure")
    return has


def unit() -> PageUnit:
    """The unit that lengths are shown and typed in: the one last chosen on this device, else the household's."""
    if "unit" not in g:  # asked for every length of a page, read once
        chosen = request.cookies.get(UNIT_COOKIE)
        g.unit = chosen if chosen in ("cm", "in") else _household_unit()
    return "in" if g.unit == "in" else "cm"


def take_unit(unit: PageUnit) -> None:
    """Show what is left of this request in a unit."""
    g.unit = unit
    g.pop("tape", None)


def _household_unit() -> str:
    try:
        unit: str = store().get(HOUSEHOLD, HOUSEHOLD).record.unit
    except StoreError:
        return "cm"  # a page that says what is the matter with the store still wants a unit
    return unit


def mark() -> Mark:
    """The decimal mark that figures are shown with on this device."""
    return "," if request.cookies.get(MARK_COOKIE) == "comma" else "."


def tape() -> Tape:
    """How lengths are written on this device."""
    if "tape" not in g:  # as the unit: asked for every length of a page
        g.tape = Tape(unit(), mark())
    written: Tape = g.tape
    return written


def marked(text: str, typed: str = "") -> str:
    """A text with the decimals in it written with this device's mark.

    typed  what stands in it as it was typed, and stays so
    """
    if mark() == ".":
        return text
    parts = text.split(typed) if typed else [text]
    return typed.join(_COMPUTED.sub(r"\1,\2", part) for part in parts)


# Reports


def report_of(make: str, piece: str | None = None) -> Report:
    """The report on a make; kept until a record that it is a function of changes. Raises NotFound, ReportError."""
    return _as_invented(make, service().answers.of(make, piece).report)


def shown_report_of(make: str, piece: str | None = None) -> Report:
    """The same as the page of its make shows it, of the fabric in short."""
    return _as_invented(make, service().answers.of(make, piece).shown)


def listed_report_of(make: str, piece: str | None = None) -> Report:
    """The same as a list of makes needs it, without what swatches and size table answer where there is a verdict."""
    return _as_invented(make, service().answers.of(make, piece).listed)


def _as_invented(make: str, report: Report) -> Report:
    if invented.is_invented(make):
        report = replace(report, head=replace(report.head, invented=True))
    return report


def household_of(make: str, piece: str | None = None) -> Household:
    """The records that the report on a make is a function of, and no others. Raises as report_of does."""
    return service().answers.of(make, piece).told.given.household


def answer_of(report: Report) -> Said:
    """The recommendation with the sentence that stands as a page's heading."""
    return advised(report, tape())


def changed(before: Report, after: Report, because: str) -> Notice:
    """What a change did to the answer, in the device's unit and mark."""
    told = changed_words(before, after, because, tape())
    return Notice(told.text, told.counted, told.points)


def cautions_of(yarn: str | None) -> tuple[str, ...]:
    """What can ruin a piece of a yarn as it is washed and blocked: stands where that is done."""
    return tuple(map(caution_sentence, cautions_of_yarn(by_key(store().household().yarns, yarn))))


# What was looked at last on this device


def changed_since_looked(make: str, digest: str) -> bool:
    """Whether the answer on a make is another than the one that this device showed last."""
    seen = _seen().get(make)
    return seen is not None and seen != digest[:DIGEST_KEPT]


def looked(response: Response, make: str, digest: str) -> Response:
    """Remember on this device which answer it showed."""
    g.looked = make, digest
    seen = _seen()
    seen.pop(make, None)
    kept = [*seen.items(), (make, digest[:DIGEST_KEPT])][-MOST_SEEN:]
    told = ".".join(f"{make_key}:{other}" for make_key, other in kept)
    response.set_cookie(SEEN_COOKIE, told, max_age=A_YEAR, httponly=True, samesite="Lax")
    return response


def _seen() -> dict[str, str]:
    parts = (look.partition(":") for look in request.cookies.get(SEEN_COOKIE, "").split("."))
    return {key: digest for key, _, digest in parts if digest}


# Rendering


def show(page: Page, status: int = 200) -> Response:
    """Render a page from what it shows."""
    text = render_template(page.template, **page.given())
    has = right()
    response = make_response(offered(text, has) if has == "measure" else text, status)
    forget(response)
    return response


def svg_markup(svg: str) -> Markup:
    """A drawing of ours, safe to stand in a page as it is: every text in it was escaped when it was drawn."""
    return Markup(svg)  # noqa: S704 - escaped as it was drawn


def prepare(app: Flask) -> None:
    """Give every template what base.html and macros.html use."""

    @app.context_processor
    def _given() -> dict[str, Any]:
        return {
            "unit": unit(),
            "path": request.full_path.rstrip("?"),
            "filled": request.method == "POST" or given_back.typed() is not None,
            "unkept": given_back.unkept(),
            "rooms": [room for room in ROOMS if may(right(), room[3])],
            "said_once": said_once,
            "zone_sign": lambda code, difference=0.0: svg_markup(zone_sign(code, difference, look=PAGE)),
            "zone_word": zone_word,
            "point_name": point_name,
        }

    # Handed the context, so that a constant is not marked once for every device while the template is compiled.
    app.jinja_env.filters["marked"] = pass_context(lambda context, text: marked(text))
    app.jinja_env.globals.update(say=words_pages, shelves=shelves, walking=walking, pasting=pasting)
    app.jinja_env.globals.update(history=history, as_knitted=knitted, photographs=photographs, sharing_words=sharing)
    app.jinja_env.globals.update(carried_words=carried)
    app.jinja_env.globals.update(home=home, may=lambda endpoint: may(right(), endpoint))
    app.jinja_env.globals.update(drafts=DRAFTS, dock=DOCK, new_form=form_id, back_to=given_back.back_to, adding=ADDED)
    app.jinja_env.finalize = as_set
    app.jinja_env.filters["unparted"] = unparted
    app.jinja_env.filters["capital"] = capital
