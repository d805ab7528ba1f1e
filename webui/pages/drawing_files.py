"""Drawings as files that open by themselves, with the light look, wherever they are taken."""

from __future__ import annotations

from flask import Blueprint, Response, abort, request

from fitcheck.drawing.laid import PLACES, At
from fitcheck.drawing.overlay import overlay
from fitcheck.words import deeds
from webui.pages import ground, views
from webui.pages.make.found import make_of, report_or_404

pages = Blueprint("drawing_files", __name__)


@pages.get("/makes/<key>/drawing.svg")
def make_drawing(key: str) -> Response:
    """The drawing of a make with its windows of true size; `piece` and `at` as on its page."""
    record = make_of(key)
    report = report_or_404(key, request.args.get("piece") or None)
    at: At = next((place for place in PLACES if place == request.args.get("at")), "shoulders")
    svg = overlay(report, views.unit(), at=at, construction=record.construction, mark=ground.mark(), file=True)
    if not svg:
        abort(404, deeds.NO_OUTLINE)
    name = "-".join(part for part in (key, report.head.piece) if part)
    answer = Response(svg, mimetype="image/svg+xml")
    answer.headers["Content-Disposition"] = f'inline; filename="{name}.svg"'
    return answer
