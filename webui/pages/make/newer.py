"""The button that pins a make to the newer measuring of its garment."""

from __future__ import annotations

from flask import Blueprint, Response

from fitcheck.store.faults import StaleWrite
from webui.pages import notices, views
from webui.pages.make.page import report_or_404

pages = Blueprint("newer", __name__)


@pages.post("/makes/<key>/newer-measuring")
def newer(key: str) -> Response:
    """Take the latest measuring of the garment as what the make must fit."""
    before = report_or_404(key, None)
    if before.newer is None:
        return notices.go(f"/makes/{key}", "This make fits the latest measuring already.")
    stored = views.store().get("makes", key)
    document = stored.doc
    document["fits"] = {**document["fits"], "occasion": before.newer.occasion}
    try:
        done = views.store().put("makes", key, document, stored.revision)
    except StaleWrite:
        return notices.go(f"/makes/{key}", "It was changed on another device just now. Look again.")
    return notices.go(f"/makes/{key}", views.changed(before, views.report_of(key), "the newer measuring"), done)
