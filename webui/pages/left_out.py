"""What a page goes without: records that cannot be read, and those that the program fails over. Each is named.

So no single record, and no single estimate, stops a page.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from typing import Any

from flask import Blueprint, Flask, Response, g, redirect, request, url_for
from werkzeug.exceptions import HTTPException

from fitcheck.records.faults import FitcheckError
from fitcheck.records.frozen import frozen
from fitcheck.store.faults import DatabaseTaken
from fitcheck.store.spoilt import RecordUnreadable, StoreError
from fitcheck.words import deeds
from fitcheck.words import left_out as words
from fitcheck.words.dates import write_day
from fitcheck.words.phrases import key_words
from webui import request_log
from webui.forms.typed import MOST_REVISION, whole_number
from webui.pages import ground, views
from webui.pages.context import Page, shown_by
from webui.service import service

pages = Blueprint("left_out", __name__, url_prefix="/unreadable")
MOST_LINES = 5


@frozen
class Line:
    """One record that a page goes without: the sentence, and where to see to it; empty where nothing leads on."""

    said: str
    to: str


@contextmanager
def named(name: str, to: str) -> Iterator[None]:
    """Go on without what fails within, and name it on the page.

    name  what is left out;  to: its own page
    """
    try:
        yield
    except HTTPException:
        raise
    except RecordUnreadable as error:
        note(Line(words.left_out(error.kind, error.key), _see(error.kind, error.key)))
    except Exception as error:
        if isinstance(error, StoreError):
            raise
        request_log.unexpected(error)
        note(Line(words.not_worked_out(name), to))


def note(line: Line) -> None:
    """Name on the page that is being made what it goes without."""
    g.setdefault("left_out", []).append(line)


def lines() -> list[Line]:
    """What this page goes without, each once, and at most a few of them."""
    try:
        unreadable = service().store.left_out()
    except FitcheckError:
        unreadable = ()  # a page that says what is the matter with the store
    every = [Line(words.left_out(*link), _see(*link)) for link in unreadable]
    every = [line for line in dict.fromkeys([*every, *g.get("left_out", ())]) if line.to != g.get("seen_to")]
    beyond = len(every) - MOST_LINES
    return every[:MOST_LINES] + ([Line(words.more(beyond), "")] if beyond > 0 else [])


def nothing_kept() -> str:
    """What every page says while nothing can be written; empty where it can."""
    why = service().store.kept_from
    if why is None:
        return ""
    return deeds.START_AGAIN if why is DatabaseTaken else deeds.ALLOW_WRITING


def _see(kind: str, key: str) -> str:
    return url_for("left_out.see", kind=kind, key=key)


@shown_by("left_out.html", "")
class LeftOutPage(Page):
    """A record that cannot be read, or a page that the program failed over.

    earlier  the revision that can be brought back; None where there is none;  word: on its button
    back     where it is brought back
    doors    where to go on: name and address
    """

    stamp: str
    head: str
    why: list[str]
    earlier: int | None
    word: str
    back: str
    doors: list[tuple[str, str]]


@pages.get("/<kind>/<key>")
def see(kind: str, key: str) -> Response:
    """What can be done about a record that cannot be read; the record's own page where it can."""
    if (kind, key) in service().store.left_out():
        return unreadable(kind, key)
    ground.store().get(kind, key)
    answer = redirect(ground.page_of(kind, key) if kind in ground.PLACES else "/settings", 303)
    assert isinstance(answer, Response)
    return answer


@pages.post("/<kind>/<key>")
def bring_back(kind: str, key: str) -> Response:
    """Bring back the version of a record that could be read last."""
    revision = whole_number(request.form.get("revision", ""), 0, MOST_REVISION)
    kept = ground.store().bring_back(kind, key, revision or 0)
    to = ground.page_of(kind, key) if kind in ground.PLACES else "/settings"
    return ground.go(to, words.is_back(kind, key), kept)


def unreadable(kind: str, key: str) -> Response:
    """The page of a record that cannot be read."""
    g.seen_to = _see(kind, key)  # no line above says once more what the page is about
    last = ground.store().last_readable(kind, key)
    page = LeftOutPage(
        stamp="Cannot be read",
        head=words.unreadable(kind, key),
        why=[words.UNREADABLE_WHY, *([] if last else [words.NOTHING_EARLIER])],
        earlier=last.revision if last else None,
        word=words.bring_back(write_day(date.fromisoformat(last.at[:10]))) if last else "",
        back=g.seen_to,
        doors=[("To the settings", "/settings")],
    )
    return views.show(page, 409)


def failed_over() -> Response:
    """The page in the place of one that the program failed over: what was typed is kept, and is got at from here."""
    of: dict[str, Any] = request.view_args or {}
    key, room = of.get("key", ""), f"/{request.path.split('/')[1]}"
    kind = next((kind for kind, place in ground.PLACES.items() if key and request.path.startswith(place)), "")
    doors = [("To the settings", "/settings"), ("To the table", "/")]
    if kind:
        doors.insert(0, ("Its changes", url_for("changes_list.of_record", kind=kind, key=key)))
    elif room not in ("/settings", "/"):
        doors.insert(0, ("Where it stands", room))
    page = LeftOutPage("", words.failed_over(key_words(key) if key else ""), [words.FAILED_WHY], None, "", "", doors)
    return views.show(page)


def reckoning(error: Exception) -> bool:
    """Whether an error came up while a page was worked out from records, so that they stand and the page can say so."""
    if isinstance(error, FitcheckError | HTTPException | OSError | MemoryError):
        return False
    trace = error.__traceback__
    while trace is not None:
        module = trace.tb_frame.f_globals.get("__name__", "")
        if module.startswith("webui.pages.") and not module.endswith((".failed", ".given_back", ".views")):
            return True
        trace = trace.tb_next
    return False


def register(app: Flask) -> None:
    """Give every page the lines of what it goes without, and of a store that keeps nothing."""
    app.context_processor(lambda: {"goes_without": lines, "nothing_kept": nothing_kept})
