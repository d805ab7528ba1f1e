"""The button that makes the advised counts the planned ones."""

from __future__ import annotations

import json

from flask import Blueprint, Response, abort, request

from fitcheck.reports.choose import ReportError
from fitcheck.store.faults import NotFound
from fitcheck.words import deeds
from webui.pages import notices, views
from webui.pages.make.changes import page_at
from webui.pages.make.found import make_of
from webui.service import service
from webui.taking import AnswerChanged, take_counts

pages = Blueprint("taken", __name__)


@pages.post("/makes/<key>/take-counts")
def take(key: str) -> Response:
    """Take the counts that the page showed; where the answer has changed since, the page shows the new ones."""
    piece = request.form.get("of") or None
    to = page_at(key, piece)
    try:
        counts = json.loads(request.form.get("counts", ""))
    except (ValueError, RecursionError):
        abort(400, deeds.COUNTS_NO_JSON)
    revision = views.store().get("makes", key).revision if make_of(key) else 0
    try:
        done = take_counts(service(), key, piece, counts, request.form.get("report", ""))
    except (NotFound, ReportError) as error:
        abort(404, str(error))
    except AnswerChanged as changed:
        return notices.go(f"{to}#rest", str(changed))
    return notices.go(f"{to}#rest", deeds.COUNTS_PLANNED, done if done.revision != revision else None)
