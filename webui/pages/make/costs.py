"""Costs that an older file had set, taken over: kept as they are, or given up for the usual ones."""

from __future__ import annotations

from flask import Blueprint, Response, request

from fitcheck.store.faults import StaleWrite
from webui.pages import notices, views
from webui.pages.make.page import make_of, report_or_404

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
    try:
        done = views.store().put("makes", key, document, stored.revision)
    except StaleWrite:
        return notices.go(f"/makes/{key}", "It was changed on another device just now. Look again.")
    because = "the usual costs" if usual else "the costs kept"
    return notices.go(f"/makes/{key}", views.changed(before, views.report_of(key), because), done)
