"""What is asked of how a piece was made, and never guessed: its dial, with what the field begins with; its wash."""

from __future__ import annotations

from flask import Blueprint, Response, abort, request

from fitcheck.records.places import Path
from fitcheck.reports.shapes import Report
from fitcheck.store.stored import Stored
from fitcheck.words import deeds, wants
from fitcheck.words import pages as say
from webui.forms.drafts import Draft
from webui.forms.fields import Document
from webui.forms.pieces import DIAL
from webui.pages import views
from webui.pages.make import changes
from webui.pages.make.asks import dial_doubted
from webui.pages.make.found import report_or_404
from webui.pages.make.page import show
from webui.pages.make.told import again_at

pages = Blueprint("dials", __name__)


def next_dial(report: Report) -> str:
    """The dial that was advised or planned for the next piece, as it is written; empty where none was.

    A piece that is knitted again at another dial has that one; later pieces keep the dial of those before them, said or
    not; the first one has the likeliest of the dials that were swatched.
    """
    again = again_at(report)
    return again or (report.fabric.dials.knit_at if report.fabric is not None else None) or ""


def keep_dial(draft: Draft, stored: Stored, document: Document, at: Path) -> Stored | None:
    """Keep a make with the dial that was typed for the piece at a path of it; None where it was refused."""
    piece = document["pieces"][at[1]]
    if text := draft.at((*at, "dial"), DIAL.name):
        piece["dial"] = text
    return draft.keep(views.store(), "makes", stored.key, document, stored.revision)


def _place(document: Document, report: Report) -> int:
    """Number of the piece of a report in its make."""
    at = next((n for n, piece in enumerate(document.get("pieces", [])) if piece["id"] == report.head.piece), None)
    if at is None:
        abort(404, deeds.NO_SUCH_PIECE)
    return at


@pages.post("/makes/<key>/felted")
def felted(key: str) -> Response:
    """Keep whether the piece on the table felted."""
    of, answer = request.form.get("of") or None, request.form.get("felted", "")
    if answer not in say.FELTED_ANSWERED:
        abort(404, deeds.NO_SUCH_ANSWER)
    before = report_or_404(key, of)
    stored = views.store().get("makes", key)
    document = stored.doc
    document["pieces"][_place(document, before)]["felted"] = answer == "yes"
    return changes.write(stored, document, before, say.FELTED_ANSWERED[answer], of)


@pages.post("/makes/<key>/dial")
def dial(key: str) -> Response:
    """Keep the dial at which the piece on the table was knitted."""
    of = request.form.get("of") or None
    before = report_or_404(key, of)
    stored = views.store().get("makes", key)
    document, draft = stored.doc, Draft(request.form.to_dict())
    at = _place(document, before)
    if not draft.text(DIAL.name):
        draft.refuse(DIAL.name, wants.DIAL_NUMBER)
    if dial_doubted(before):
        document["pieces"][at]["dial_confirmed"] = True
    done = keep_dial(draft, stored, document, ("pieces", at)) if draft.fits else None
    if done is None:
        return show(key, status=422, refusals=draft.refusals)
    return changes.told(done, before, deeds.dial(draft.text(DIAL.name)), of)
