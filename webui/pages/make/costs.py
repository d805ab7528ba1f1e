"""Costs that an older file had set, taken over: kept as they are, or given up for the usual ones."""

from __future__ import annotations

from flask import Blueprint, Response, request

from fitcheck.words import deeds
from webui.pages import notices, views
from webui.pages.make import changes
from webui.pages.make.found import make_of, report_or_404

pages = Blueprint("costs", __name__)

TAKEN_OVER = ("rip_extra", "knit_extra", "printed_counts")
"""The costs that an older file said otherwise."""


@pages.post("/makes/<key>/costs")
def costs(key: str) -> Response:
    """Say no more that costs were taken over; with `usual`, the usual ones stand again."""
    record, before = make_of(key), report_or_404(key, None)
    stored = views.store().get("makes", key)
    document = stored.doc
    if record.costs.before is None:
        return notices.go(f"/makes/{key}")
    usual = bool(request.form.get("usual"))
    gone = ("before", *TAKEN_OVER) if usual else ("before",)
    document["costs"] = {name: work for name, work in document["costs"].items() if name not in gone}
    return changes.write(stored, document, before, deeds.USUAL_COSTS if usual else deeds.COSTS_KEPT)
