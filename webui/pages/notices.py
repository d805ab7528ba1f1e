"""What is said once, on the page that comes next: what was done, with a button that takes it back.

The notice stays in the service; the device carries a random name of it and nothing else.
"""

from __future__ import annotations

import secrets
from dataclasses import replace
from urllib.parse import urlsplit

from flask import Response, g, redirect, request

from fitcheck.records.frozen import frozen
from fitcheck.store.stored import Stored
from fitcheck.store.together import Together
from webui.service import service

COOKIE = "said"
_KIND = "notice"
TEN_MINUTES = 600


@frozen
class Undo:
    """Which change a button takes back: the record and the revision that the change made.

    redo      the change was itself an undo, so that the button brings back what was there before it
    together  names the change of several records that it was; empty: of one
    """

    kind: str
    key: str
    revision: int
    redo: bool = False
    together: str = ""


@frozen
class Notice:
    """What is said: its text, the list folded under it with its title, and what can be taken back."""

    text: str
    fold: str = ""
    folded: tuple[str, ...] = ()
    undo: Undo | None = None


def name_of(together: Together) -> str:
    """What a change of several records is called where it is to be taken back: by what it was written, and when."""
    return f"{together.form} {together.at}"


def go(
    to: str,
    said: str | Notice = "",
    done: Stored | None = None,
    *,
    redo: bool = False,
    together: Together | None = None,
) -> Response:
    """Send the browser to a page of ours, which then says this once.

    done      the record as a change left it, which a button takes back
    redo      the change was itself an undo
    together  the change of several records, which the button takes back instead
    """
    response = redirect(local(to), 303)
    assert isinstance(response, Response)
    if said:
        undo = Undo(done.kind, done.key, done.revision, redo) if done is not None else None
        if together is not None:
            undo = Undo(*together.records[0], redo, name_of(together))
        notice = replace(said, undo=undo) if isinstance(said, Notice) else Notice(said, undo=undo)
        name = secrets.token_urlsafe(12)
        service().cache.keep(_KIND, name, notice)
        response.set_cookie(COOKIE, name, max_age=TEN_MINUTES, httponly=True, samesite="Lax")
    return response


def said_once() -> Notice | None:
    """The notice for this device, which is then forgotten by it; None where there is none.

    A page that says what went wrong says nothing else: the notice waits for the next one.
    """
    if g.get("says_what_failed"):
        return None
    g.said_shown = True
    notice: Notice | None = service().cache.kept(_KIND, request.cookies.get(COOKIE, ""))
    return notice


def forget(response: Response) -> None:
    """Take the notice's name back from the device once it is said, or where it names none of ours."""
    if request.cookies.get(COOKIE) and g.get("said_shown"):
        response.delete_cookie(COOKIE, httponly=True, samesite="Lax")


def local(to: str) -> str:
    """A path of this service; anything else becomes the start page."""
    try:
        parts = urlsplit(to)
    except ValueError:  # //[ begins an address that has no end
        return "/"
    if parts.scheme or parts.netloc or not to.startswith("/") or to.startswith("//") or "\\" in to:
        return "/"
    return to
