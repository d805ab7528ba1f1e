"""The button that pins a make to the newer measuring of its garment."""

from __future__ import annotations

from flask import Blueprint, Response

from fitcheck.words import deeds
from webui.pages import notices, views
from webui.pages.make import changes
from webui.pages.make.found import report_or_404

pages = Blueprint("newer", __name__)


@pages.post("/makes/<key>/newer-measuring")
def newer(key: str) -> Response:
    """Take the latest measuring of the garment as what the make must fit."""
    before = report_or_404(key, None)
    if before.newer is None:
        return notices.go(f"/makes/{key}", deeds.LATEST_ALREADY)
    stored = views.store().get("makes", key)
    document = stored.doc
    document["fits"] = {**document["fits"], "occasion": before.newer.occasion}
    return changes.write(stored, document, before, deeds.NEWER)
