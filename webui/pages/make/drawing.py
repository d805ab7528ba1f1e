"""The drawing of a make's page: the piece over what is wanted, its legend, and the windows of true size."""

from __future__ import annotations

from datetime import date

from flask import request
from markupsafe import Markup

from fitcheck.drawing.details import details
from fitcheck.drawing.laid import PLACES, At
from fitcheck.drawing.look import PAGE
from fitcheck.drawing.outline import kind_of
from fitcheck.drawing.overlay import AT_WORDS, on_page
from fitcheck.drawing.sheet import sheet
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.frozen import frozen
from fitcheck.records.makes import Make
from fitcheck.reports.shapes import Report
from webui.pages import views
from webui.pages.views import svg_markup


@frozen
class Drawing:
    """What is drawn.

    overlay     the piece over what is wanted; empty where there is no outline, and not_drawn says why
    legend      words of the lines and hatchings that occur;  ids: prefix of the ids that their samples point to
    told        what its title block says: labels and texts
    at, places  where the two are lined up, and where they can be, each with its word
    windows     of true size, each with its caption
    sheet       the sheet for paper
    """

    overlay: Markup
    legend: tuple[str, ...]
    ids: str
    told: tuple[tuple[str, str], ...]
    at: At
    places: tuple[tuple[At, str], ...]
    windows: tuple[tuple[Markup, str], ...]
    sheet: Markup
    not_drawn: str


def drawing_of(report: Report, record: Make, revision: int) -> Drawing:
    """Draw the piece of a report; `at` of the address says where the two are lined up."""
    unit, mark = views.unit(), views.mark()
    at: At = next((place for place in PLACES if place == request.args.get("at")), "shoulders")
    drawn = on_page(report, unit, at=at, construction=record.construction, mark=mark, look=PAGE)
    windows = details(report, unit, at=at, construction=record.construction, mark=mark, look=PAGE)
    on_paper = sheet(
        report,
        unit,
        at=at,
        construction=record.construction,
        dated=date.today().isoformat(),
        revision=f"revision {revision}",
        mark=mark,
    )
    return Drawing(
        svg_markup(drawn.svg if drawn else ""),
        drawn.legend if drawn else (),
        drawn.ids if drawn else "",
        drawn.told if drawn else (),
        at,
        _places(report),
        tuple((svg_markup(svg), told) for svg, told in windows),
        svg_markup(on_paper),
        CONSTRUCTIONS[record.construction].not_drawn,
    )


def _places(report: Report) -> tuple[tuple[At, str], ...]:
    """Where the two outlines can be lined up, each with its word; a place that another stands for is left out."""
    words_at = AT_WORDS[kind_of(report.head.piece_kind or "back")]
    by_word = {words_at[place]: place for place in reversed(PLACES)}
    return tuple((place, word) for word, place in reversed(by_word.items()))
