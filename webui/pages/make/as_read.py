"""The two buttons that say whether the garment is copied as it was read (fit rule 37)."""

from __future__ import annotations

from flask import Blueprint, Response, abort, request

from fitcheck.store.faults import StaleWrite
from fitcheck.words import pages as say
from webui.forms.fits import AS_READ
from webui.pages import notices, views
from webui.pages.make.page import report_or_404

pages = Blueprint("as_read", __name__)


@pages.post("/makes/<key>/as-read")
def as_read(key: str) -> Response:
    """Keep whether the garment is copied as it was read."""
    of, copied = request.form.get("of") or None, request.form.get("copied", "")
    if copied not in AS_READ:
        abort(404, "That answer is not there.")
    before = report_or_404(key, of)
    stored = views.store().get("makes", key)
    document = stored.doc
    document["fits"] = {**document.get("fits", {}), "as_read": AS_READ[copied]}
    to = f"/makes/{key}" + (f"?piece={of}" if of else "")
    try:
        done = views.store().put("makes", key, document, stored.revision)
    except StaleWrite:
        return notices.go(to, "It was changed on another device just now. Look again.")
    return notices.go(to, views.changed(before, views.report_of(key, of), say.AS_READ_ANSWERED[copied]), done)
