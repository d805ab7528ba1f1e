"""A change of a make from its page: written, and told with what it did to the answer."""

from __future__ import annotations

from flask import Response

from fitcheck.reports.shapes import Report
from fitcheck.store.faults import StaleWrite
from fitcheck.store.stored import Stored
from fitcheck.words import deeds
from webui.forms.fields import Document
from webui.pages import notices, views


def page_at(key: str, piece: str | None) -> str:
    """Where the page of a make stands, with the piece that was asked for."""
    return f"/makes/{key}" + (f"?piece={piece}" if piece else "")


def write(stored: Stored, document: Document, before: Report, because: str, piece: str | None = None) -> Response:
    """Write a make and go back to its page, which says what changed; where another device was faster, says that.

    stored   the make before the change, from which the document was made
    before   the answer before it
    because  what was changed: "the newer measuring"
    piece    that was asked for
    """
    try:
        done = views.store().put("makes", stored.key, document, stored.revision)
    except StaleWrite:
        return notices.go(page_at(stored.key, piece), deeds.CHANGED_ELSEWHERE)
    return told(done, before, because, piece)


def told(done: Stored, before: Report, because: str, piece: str | None = None) -> Response:
    """Go back to the page of a make, which says what a change did to the answer that was there before."""
    after = views.report_of(done.key, piece)
    return notices.go(page_at(done.key, piece), views.changed(before, after, because), done)
