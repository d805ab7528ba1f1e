"""Who may ask at home: nobody but a device that was paired, and that only what its right allows.

Which rules hold is told by the socket that accepted the request, never by what stands in it.
"""

from __future__ import annotations

import secrets
from contextlib import suppress
from datetime import date

from flask import Response, g, redirect, request
from werkzeug.exceptions import HTTPException

from fitcheck.store.devices import LONGEST_NAME, SESSION_DAYS, Device
from fitcheck.store.faults import StoreError
from fitcheck.words import home as say
from webui import request_log
from webui.api.operations import PREFIX
from webui.api.problems import problem
from webui.at_home.pair_page import pair_page
from webui.config import UNPAIRED_BODY
from webui.pages.not_here import not_here
from webui.pages.notices import local
from webui.pairing.codes import TooMany
from webui.pairing.home import COOKIE, PAIR, Home, digest_of, session_of
from webui.rights import may
from webui.service import service

SAFE = ("GET", "HEAD", "OPTIONS")
"""Methods that change nothing."""
MEASURES_AT = "/makes"
"""Where a device that may only measure begins."""


def asked_at_home(home: Home) -> Response | None:
    """Answer a request that the socket at home accepted; None where the application may."""
    g.right = "measure"  # the least, until its device is known
    try:
        return _asked(home)
    except Exception as error:
        # Whatever fails, nobody is let in by it, and a stranger is shown no page of ours.
        request_log.unexpected(error)
        return problem("failed", say.NO_COME_BACK)


def _asked(home: Home) -> Response | None:
    host = request.headers.get("Host", "").lower()
    if host not in home.hosts:
        return problem("refused", say.ELSEWHERE)
    ours = request.headers.get("Origin", "").lower() == f"http://{host}"
    try:
        device = _device(home)
    except StoreError as error:
        request_log.unexpected(error)
        return _stranger(503, say.NO_COME_BACK)
    if device is None:
        if (request.method, request.path) != ("POST", PAIR):
            return _stranger(401)
        return _pair(home) if ours else problem("refused", say.ONLY_OWN_PAGES)
    g.right = device.right
    if request.method not in SAFE and not ours:
        return problem("refused", say.ONLY_OWN_PAGES)
    if request.path == PAIR:
        return _to("/#top")  # else a browser would take the code along
    if may(device.right, request.endpoint):
        return None
    if request.endpoint == "table.table":
        return _to(MEASURES_AT)
    return not_here() if _wants_page() else problem("not-for-this-device", f"{say.MEASURES_HEAD} {say.MEASURES_TOLD}")


def stay_paired(response: Response) -> Response:
    """Let a device that came by on another day keep its session for as long as one that was just paired."""
    if g.get("seen_today"):
        _set_session(response, request.cookies[COOKIE])
    return response


def _device(home: Home) -> Device | None:
    """The device of a request; it is looked up each time, so that one that was removed is none at once."""
    session = session_of(request.headers.get("Cookie", ""))
    if session is None:
        return None
    store, today = service().store, date.today()
    device = store.device_of(session, today)
    if device is None:
        home.known.discard(session)
        return None
    home.known.add(session)
    if device.last_seen != today and not store.only_read:
        with suppress(StoreError):  # it came all the same
            store.see_device(session, today)
            g.seen_today = True
    return device


def _stranger(status: int, told: str = "") -> Response:
    """What whoever is not paired gets, whatever was asked for."""
    if _wants_page():
        return pair_page(status, told)
    return problem("not-paired" if status == 401 else "busy", told or say.NOT_PAIRED)


def _pair(home: Home) -> Response:
    """Pair a device with the code that it sent."""
    if (request.content_length or 0) > UNPAIRED_BODY:
        return problem("too-large", say.NOT_PAIRED)
    try:
        typed, name, to = (request.form.get(field, "") for field in ("code", "name", "to"))
    except HTTPException:
        typed = name = to = ""
    try:
        code = home.pairing.use(typed, request.remote_addr or "")
    except TooMany:
        return pair_page(429, say.WAIT_A_MINUTE, name)
    if code is None:
        return pair_page(401, say.NOT_THIS_CODE, name)
    session = secrets.token_urlsafe(32)
    printed = "".join(letter for letter in name if letter.isprintable())[:LONGEST_NAME]
    try:
        service().store.add_device(digest_of(session), printed, code.right, date.today())
    except StoreError as error:
        request_log.unexpected(error)
        home.pairing.give_back(code)
        return pair_page(503, say.CANNOT_PAIR, name)
    home.known.add(digest_of(session))
    g.right = code.right
    return _set_session(_to(local(to)), session)


def _set_session(response: Response, session: str) -> Response:
    response.set_cookie(COOKIE, session, max_age=SESSION_DAYS * 86400, httponly=True, samesite="Strict")
    return response


def _to(path: str) -> Response:
    response = redirect(path, 303)
    assert isinstance(response, Response)
    return response


def _wants_page() -> bool:
    """Whether somebody looks at the answer: a script asks for anything, a browser for a page."""
    return not request.path.startswith(PREFIX) and "text/html" in request.headers.get("Accept", "")
