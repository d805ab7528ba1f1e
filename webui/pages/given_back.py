"""Forms that come back with everything typed: after a fault, and from a page that they led to.

A form that leads to a page where something is added is laid by under a random name, which that page carries; once the
new record is kept, or given up, the form is opened again with the record chosen.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, TypeVar
from urllib.parse import urlencode, urlsplit

from flask import Flask, Response, current_app, g, make_response, redirect, request
from werkzeug.datastructures import MultiDict
from werkzeug.exceptions import HTTPException, RequestEntityTooLarge

from fitcheck.records.frozen import frozen
from fitcheck.store.stored import Stored
from webui import request_log
from webui.config import LARGEST_GIVEN_BACK
from webui.forms.drafts import FORM, FORM_ID
from webui.service import service

_KIND = "form"
TAKEN, MOST_TAKEN = "taken", 8
"""The cookie, read by a script, that tells the device which forms were taken: it then forgets their drafts."""
LEAVE, RETURNS, GIVEN = "leave", "returns", "given"
"""The button that leaves a form for another; which form a page leads back to; which one an address opens again."""
ADDED_AT = {
    "wearers": "/people/new",
    "garments": "/wardrobe/new",
    "yarns": "/swatches/yarns/new",
    "machines": "/swatches/machines/new",
    "swatches": "/swatches/new",
    "size_tables": "/size-tables/new",
}
"""Where a record of a kind is added."""
View = TypeVar("View", bound=Callable[..., Any])


@frozen
class Left:
    """A form that was left: its address, the field that waits for a new record, and what was typed."""

    at: str
    field: str
    typed: Mapping[str, str]


@frozen
class Unkept:
    """Why a form was not kept, as its page says it."""

    head: str
    detail: str


def joined(form: MultiDict[str, str]) -> dict[str, str]:
    """What a form sent, by field: of a field that came several times, all of it."""
    return {name: " ".join(form.getlist(name)) for name in form}


def draws_form(view: View) -> View:
    """Mark a view of an address that draws the form which is sent there: it begins with what `typed` says."""
    view.gives_back = True  # type: ignore[attr-defined]
    return view


def typed() -> Mapping[str, str] | None:
    """What was typed in the form that this page draws, before it failed or was left; None where it begins anew."""
    given: Mapping[str, str] | None = g.get("given_back")
    if given is not None:
        return given
    left = _left(request.args.get(GIVEN, ""))
    return left.typed if left is not None and urlsplit(left.at).path == request.path else None


# After a fault


def unkept() -> Unkept | None:
    """Why the form on this page was not kept; None where nothing failed."""
    told: Unkept | None = g.get("unkept")
    return told


def sent() -> dict[str, str]:
    """What the form of a failed request sent, also where it was too much to be taken."""
    try:
        return joined(request.form)
    except RequestEntityTooLarge:
        request.max_content_length, request.max_form_memory_size = LARGEST_GIVEN_BACK, None
    try:
        return joined(request.form)
    except HTTPException:
        return {}


def every_text() -> dict[str, list[str]]:
    """The same, with each text of a field that came several times by itself: joined it would be another one."""
    return request.form.to_dict(flat=False) if sent() else {}


def form_again(fields: Mapping[str, str], why: Unkept) -> Response | None:
    """The page of the form that was sent, with its fields as they were; None where no page draws them."""
    try:
        endpoint, arguments = current_app.create_url_adapter(request).match(method="GET")  # type: ignore[union-attr]
        view = current_app.view_functions[endpoint]
        if not getattr(view, "gives_back", False):
            return None
        g.given_back, g.unkept = fields, why
        return make_response(view(**arguments))
    except HTTPException:
        return None
    except Exception as error:  # the page that says what failed does not fail with it
        request_log.unexpected(error)
        return None
    finally:
        g.pop("given_back", None)


def refused() -> None:
    """Say that a form was not taken though the next page is asked for: what was typed stands in that page's address."""
    g.refused = True


# From a page that it led to


def register(app: Flask) -> None:
    """Lay a form by where its button that leads elsewhere was pressed; tell the device which forms were taken."""

    @app.before_request
    def leaving() -> Response | None:
        if request.method != "POST" or request.mimetype != "application/x-www-form-urlencoded":
            return None
        kind, _, field = request.form.get(LEAVE, "").partition(" ")
        if kind not in ADDED_AT:
            return None
        fields = {name: text for name, text in joined(request.form).items() if name != LEAVE}
        name = _lay_by(Left(request.path, field, fields))
        return _to(ADDED_AT[kind], {RETURNS: name})

    @app.after_request
    def told(response: Response) -> Response:
        gone_on = request.method == "POST" and response.status_code == 303 and not g.get("refused")
        if gone_on and not request.form.get(LEAVE):
            form = request.form.get(FORM, "")
            if FORM_ID.fullmatch(form):
                before = request.cookies.get(TAKEN, "").split(".")[1 - MOST_TAKEN :]
                response.set_cookie(TAKEN, ".".join([*filter(None, before), form]), samesite="Lax")
        return response


def back_to(name: str) -> str:
    """The address that opens a form again which was laid by; empty where none has that name."""
    left = _left(name)
    return "" if left is None else f"{left.at}?{urlencode({GIVEN: name})}"


def with_new(name: str, added: Stored) -> str:
    """The same with a new record chosen in the field that waits for it, at that field."""
    left = _left(name)
    if left is None:
        return ""
    before = left.typed.get(left.field, "")
    chosen = f"{before} {added.key}".strip() if left.field == added.kind else _choice(left.field, added)
    return f"{back_to(_lay_by(replace(left, typed={**left.typed, left.field: chosen}), name))}#{left.field}"


def _choice(field: str, added: Stored) -> str:
    """What a field has for a record: most have its key."""
    match field:
        case "occasion":
            return f"{added.key} {added.record.in_time[-1].id}"
        case "fabric":
            return f"{added.record.yarn or ''}|{added.record.machine or ''}"
        case _:
            return added.key


def _lay_by(left: Left, name: str = "") -> str:
    name = name or secrets.token_urlsafe(12)
    service().cache.keep(_KIND, name, left)
    return name


def _left(name: str) -> Left | None:
    left: Left | None = service().cache.kept(_KIND, name) if name else None
    return left


def _to(address: str, query: Mapping[str, str]) -> Response:
    response = redirect(f"{address}?{urlencode(query)}", 303)
    assert isinstance(response, Response)
    return response
