"""The button that makes the advised counts the planned ones."""

from __future__ import annotations

import json

from flask import Blueprint, Response, abort, request

from fitcheck.reports.choose import ReportError
from fitcheck.store.faults import NotFound
from webui.pages import notices, views
from webui.pages.make.page import make_of
from webui.service import service
from webui.taking import AnswerChanged, take_counts

pages = Blueprint("taken", __name__)


@pages.post("/makes/<key>/take-counts")
def take(key: str) -> Response:
    """Take the counts that the page showed; where the answer has changed since, the page shows the new ones."""
    piece = request.form.get("of") or None
    to = f"/makes/{key}" + (f"?piece={piece}" if piece else "")
    try:
        counts = json.loads(request.form.get("counts", ""))
    except ValueError:
        abort(400, "The counts are no JSON.")
    revision = views.store().get("makes", key).revision if make_of(key) else 0
    try:
        done = take_counts(service(), key, piece, counts, request.form.get("report", ""))
    except (NotFound, ReportError) as error:
        abort(404, str(error))
    except AnswerChanged as changed:
        return notices.go(f"{to}#rest", str(changed))
    said = "These counts are the planned ones now."
    return notices.go(f"{to}#rest", said, done if done.revision != revision else None)
