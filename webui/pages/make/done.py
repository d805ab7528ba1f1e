"""The deeds of a make that are ticked as done, without a script: all of them in one form."""

from __future__ import annotations

from flask import Blueprint, Response, abort, request

from fitcheck.reports.choose import ReportError
from fitcheck.store.faults import NotFound
from fitcheck.words import deeds
from webui.forms.typed import whole_number
from webui.pages import notices, views
from webui.pages.make.changes import page_at
from webui.pages.make.found import make_of
from webui.service import service
from webui.taking import AnswerChanged
from webui.ticking import MOST_DEEDS, tick

pages = Blueprint("done", __name__)


@pages.post("/makes/<key>/done")
def done(key: str) -> Response:
    """Keep which deeds are done; where the answer has changed since, the page shows the new ones."""
    piece = request.form.get("of") or None
    to = f"{page_at(key, piece)}#deeds"
    ticked = (whole_number(text, 1, MOST_DEEDS) for text in request.form.getlist("deed"))
    numbers = [number for number in ticked if number is not None]
    make_of(key)
    revision = views.store().get("makes", key).revision
    try:
        kept = tick(service(), key, piece, numbers, request.form.get("report", ""))
    except (NotFound, ReportError) as error:
        abort(404, str(error))
    except AnswerChanged as changed:
        return notices.go(to, str(changed))
    return notices.go(to, deeds.DONE_KEPT, kept if kept.revision != revision else None)
