"""What went wrong, as a page: with the form that was sent and everything typed in it, where there was one."""

from __future__ import annotations

from collections.abc import Mapping

from flask import Response, g, request
from werkzeug.exceptions import HTTPException

from fitcheck.records.faults import FitcheckError, RecordsError
from fitcheck.store.faults import OnlyRead
from fitcheck.store.spoilt import RecordUnreadable
from fitcheck.words import deeds
from fitcheck.words.faults import fault_lines
from webui.api.problems import problem_of
from webui.pages import given_back, left_out, views
from webui.pages.context import Page, shown_by

CARRIED = {
    "at", "back", "counts", "do", "field", "form", "given", "how", "id", "key", "kind", "leave", "make", "of", "piece",
    "place", "point", "report", "returns", "revision", "show", "stage", "step", "together", "undo", "way", "which",
}  # fmt: skip
"""Fields that say what a form is about; all others were typed."""


@shown_by("problem.html", "")
class ProblemPage(Page):
    """What went wrong: its sentence, the status and what to do about it.

    sent   every field of the form that was sent with all its texts, to be sent again;  typed: what was typed of it
    again  where it goes
    """

    head: str
    number: int
    detail: str
    sent: Mapping[str, list[str]]
    typed: list[str]
    again: str


def failed(error: Exception) -> Response:
    """What went wrong, as a page; the status is the same as the API's."""
    g.says_what_failed = True
    if request.method == "GET" and isinstance(error, RecordUnreadable):
        return left_out.unreadable(error.kind, error.key)
    told = problem_of(error)
    if request.method == "GET" and left_out.reckoning(error):
        return left_out.failed_over()
    status = told.status_code
    head = deeds.ONLY_READ if isinstance(error, OnlyRead) else deeds.not_done(status)
    detail = _detail(error)
    if request.method != "POST":
        return views.show(ProblemPage(head, status, detail, {}, [], ""), status)
    sent = given_back.sent()
    form = given_back.form_again(sent, given_back.Unkept(head, f"{detail} {deeds.STILL_THERE}"))
    if form is not None:
        form.status_code = status
        return form
    typed = [text for name, text in sent.items() if text.strip() and name not in CARRIED]
    return views.show(
        ProblemPage(head, status, detail, given_back.every_text(), typed, request.full_path.rstrip("?")), status
    )


def _detail(error: Exception) -> str:
    """What to do about a fault."""
    if isinstance(error, HTTPException):
        said = error.description or ""
        # What the framework says of an address that is not there, it says to whoever builds it.
        return deeds.no_such_page(error.code or 0) or said if said == type(error).description else said
    if isinstance(error, FitcheckError):
        return fault_lines(error.faults) if isinstance(error, RecordsError) else str(error)
    # What a fault of the program says may quote what was typed, and helps nobody here.
    return deeds.WENT_WRONG
