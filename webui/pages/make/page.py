"""One make, the page that matters: the answer, the path, the drawing, the points, the rest, and what is behind it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import Blueprint, Response, jsonify, request
from markupsafe import Markup

from fitcheck.records.makes import Make
from fitcheck.reports.shapes import Report
from fitcheck.words.phone import STALE
from fitcheck.words.phrases import spaced
from webui.pages import views
from webui.pages.context import Page, shown_by
from webui.pages.make.answer import Answer, answer_of
from webui.pages.make.asks import Asks, asks_of
from webui.pages.make.behind import Behind, behind
from webui.pages.make.drawing import Drawing, drawing_of
from webui.pages.make.found import listed_report_or_404, make_of, shown_report_or_404
from webui.pages.make.path import Tick, path_of
from webui.pages.make.point_list import PointList, points_of
from webui.pages.make.rest import RestPart, rest_of
from webui.pages.make.share import Sharing, sharing_of
from webui.pages.page_cache import kept

pages = Blueprint("makes", __name__)


@shown_by("make.html", "makes")
class MakePage(Page):
    """What the page of a make shows, part by part.

    of       the piece that the address asks for; empty for the latest
    pieces   every piece that stands: its key and its name
    typed, refusals   of a form on it that was refused
    """

    make: Make
    report: Report
    of: str
    pieces: list[tuple[str, str]]
    answer: Answer
    asks: Asks
    ticks: tuple[Tick, ...]
    drawing: Drawing
    points: PointList
    rest: RestPart | None
    behind: Behind
    sharing: Sharing
    sheet: Markup
    typed: Mapping[str, str]
    refusals: dict[str, Any]


@pages.get("/makes/<key>")
def make(key: str) -> Response:
    """The answer on a make; `piece` chooses a piece, `at` where the two outlines are lined up."""
    return kept(lambda: show(key))


def show(key: str, *, status: int = 200, refusals: dict[str, Any] | None = None) -> Response:
    """Render the page of a make, also when a form on it was refused."""
    record, of = make_of(key), request.args.get("piece") or request.form.get("of", "")
    report = shown_report_or_404(key, of or None)
    drawing = drawing_of(report, record, views.store().get("makes", key).revision)
    page = MakePage(
        make=record,
        report=report,
        of=of,
        pieces=[(piece.id, spaced(piece.id)) for piece in record.standing],
        answer=answer_of(report, record, of),
        asks=asks_of(report, record),
        ticks=path_of(record, report),
        drawing=drawing,
        points=points_of(report, record, views.household_of(key, of or None)),
        rest=rest_of(report),
        behind=behind(report, record),
        sharing=sharing_of(record, drawing, of),
        sheet=drawing.sheet,
        typed=request.form,
        refusals=refusals or {},
    )
    return views.looked(views.show(page, status), key, report.digest)


@pages.get("/makes/<key>/now")
def now(key: str) -> Response:
    """The digest of the answer as it is now, and what came in last: an open page asks whether it has grown stale."""
    report = listed_report_or_404(key, None)
    record = make_of(key)
    named = [("makes", key), ("garments", record.fits.garment), ("size_tables", record.size_table)]
    named += [("swatches", swatch) for swatch in record.swatches]
    latest = max(views.store().get(kind, named_key).at for kind, named_key in named if named_key)
    return jsonify(digest=report.digest, readings=report.head.readings, at=latest, say=STALE)
