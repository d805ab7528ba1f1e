"""The two buttons that say whether the garment is copied as it was read (fit rule 37)."""

from __future__ import annotations

from flask import Blueprint, Response, abort, request

from fitcheck.words import deeds
from fitcheck.words import pages as say
from webui.forms.fits import AS_READ
from webui.pages import views
from webui.pages.make import changes
from webui.pages.make.found import report_or_404

pages = Blueprint("as_read", __name__)


@pages.post("/makes/<key>/as-read")
def as_read(key: str) -> Response:
    """Keep whether the garment is copied as it was read."""
    of, copied = request.form.get("of") or None, request.form.get("copied", "")
    if copied not in AS_READ:
        abort(404, deeds.NO_SUCH_ANSWER)
    before = report_or_404(key, of)
    stored = views.store().get("makes", key)
    document = stored.doc
    document["fits"] = {**document.get("fits", {}), "as_read": AS_READ[copied]}
    return changes.write(stored, document, before, say.AS_READ_ANSWERED[copied], of)
