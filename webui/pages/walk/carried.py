"""Readings and rows that a device could not send where it made them: pasted as text at another address.

Each line holds the address and the body of one request that the outbox (`static/outbox.js`) would have sent; it is
answered by the operation that it was meant for, whose ids see to it that nothing is kept twice.
"""

from __future__ import annotations

import json
import time

from flask import Blueprint, Response, current_app, request
from werkzeug.exceptions import HTTPException

from fitcheck.words import carried as words
from webui.api.calls import JSON
from webui.api.operations import PREFIX
from webui.forms.drafts import FORM, Refusal
from webui.pages import given_back, notices, views
from webui.pages.context import Page, shown_by
from webui.rights import may

pages = Blueprint("carried", __name__)

FIELD = "carried"
SECONDS = 1.0
"""How long lines are taken at once [s of processor]: each is a write, slow where a record holds thousands."""
_OPERATIONS = ("api.add_reading_", "api.set_aside_", "api.add_tap")
"""What a device sends by itself; nothing else is carried."""
_LONGEST = 60
"""How much of a line that is refused is read back [characters]."""


@shown_by("carried.html", "")
class CarriedPage(Page):
    """The field for the text.

    told     what was taken of a text, and how many lines of it are left
    typed, refusals   the lines that are left, and what is wrong with the first of them
    """

    told: str
    typed: dict[str, str]
    refusals: dict[str, Refusal]


@pages.get("/walk/carried")
@given_back.draws_form
def field() -> Response:
    """Ask for the text."""
    return _page(dict(given_back.typed() or {}))


@pages.post("/walk/carried")
def take() -> Response:
    """Keep what the lines say; those that are refused stay in the field, the first with its reason."""
    lines = [line for line in request.form.get(FIELD, "").splitlines() if line.strip()]
    if not lines:
        return _page(_with_form(""), {FIELD: Refusal("", words.NOTHING)})
    left, until = {}, time.thread_time() + SECONDS
    for line in dict.fromkeys(lines):
        if why := _refused(line) if time.thread_time() < until else words.NEXT_TIME:
            left[line] = why
    kept = len(dict.fromkeys(lines)) - len(left)
    if not left:
        return notices.go("/walk/carried", words.kept(kept))
    line, why = next(iter(left.items()))
    return _page(_with_form("\n".join(left)), {FIELD: Refusal(_said(line), why)}, words.left(kept, len(left)))


def _with_form(text: str) -> dict[str, str]:
    """What stands in the form that comes back: the text, and the id that the form was made with."""
    return {FIELD: text, FORM: request.form.get(FORM, "")}


def _refused(line: str) -> str:
    """Send what one line holds; return why it was not kept, or nothing."""
    _, found, sent = line.partition(f"{PREFIX}/")
    address, _, body = sent.strip().partition(" ")
    if not found or not body:
        return words.NO_ADDRESS
    try:
        json.loads(body)
    except (ValueError, RecursionError):
        return words.CUT_OFF
    return _sent(f"{PREFIX}/{address}", body)


def _sent(address: str, body: str) -> str:
    """Have a request answered by its operation; return why it was refused, or nothing."""
    routes = current_app.url_map.bind("")
    for method in ("PUT", "POST"):
        try:
            endpoint, path = routes.match(address, method)
        except HTTPException:
            continue
        if endpoint.startswith(_OPERATIONS) and may(views.right(), endpoint):
            with current_app.test_request_context(address, method=method, data=body, content_type=JSON):
                answer = current_app.make_response(current_app.view_functions[endpoint](**path))  # type: ignore[arg-type]
            return "" if answer.status_code < 400 else str(answer.get_json()["detail"])
    return words.NOT_CARRIED


def _said(line: str) -> str:
    """What a person reads of a line."""
    said = line.partition(PREFIX)[0].strip(" :") or line
    return said if len(said) <= _LONGEST else f"{said[:_LONGEST]} ..."


def _page(typed: dict[str, str], refusals: dict[str, Refusal] | None = None, told: str = "") -> Response:
    return views.show(CarriedPage(told, typed, refusals or {}), 422 if refusals else 200)
