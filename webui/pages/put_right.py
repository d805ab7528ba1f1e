"""A figure put right where it stands, and one change taken back by itself: from whichever page shows them."""

from __future__ import annotations

from urllib.parse import urlencode

from flask import Blueprint, Response, abort, request

from fitcheck import words
from fitcheck.records.faults import FitcheckError, RecordsError
from fitcheck.records.places import Place
from fitcheck.reports.shapes import Report
from fitcheck.store.changes import Change
from fitcheck.store.faults import LaterChange, NotFound, StillNamed
from fitcheck.store.stored import Stored
from fitcheck.words import deeds, history
from fitcheck.words.phrases import capital
from webui.forms.drafts import Draft
from webui.forms.pieces import reading_at
from webui.pages import given_back, ground, notices, views
from webui.pages.figures import FIX, TYPED
from webui.pages.reading_lines import where_of

pages = Blueprint("put_right", __name__)


@pages.post("/put-right")
def put_right() -> Response:
    """Write another figure in the place of a slip, or set the reading aside; what is no figure comes back beside it."""
    place, reading = where_of(request.form.get("place", "")), request.form.get("reading", "")
    text, back = request.form.get("text", "").strip(), request.form.get("back", "/")
    before = _answer(place.kind, place.key, place.path)
    try:
        if request.form.get("do") == "aside":
            reason = request.form.get("reason", "").strip() or ground.NO_REASON
            done = views.store().set_aside(place, reading, reason[:400])
            return _told(done, before, deeds.READING_ASIDE, place, back)
        # What is no figure the store refuses, and its row says why.
        typed = reading_at(Draft({}), TYPED, text, views.unit(), signed="overhangs" in place.path)
        done = views.store().put_right(place, reading, **typed)
    except NotFound as error:
        abort(404, str(error))
    except RecordsError:
        return _open_again(back, place, reading, text)
    return _told(done, before, deeds.put_right(history.reading_words(typed)), place, back)


@pages.post("/take-back")
def take_back() -> Response:
    """Take back one change of a record: what stood there before stands there again, and all else stays."""
    sent = request.form
    if sent.get("together"):
        return _take_back_together(sent["together"], sent.get("kind", ""), sent.get("key", ""), sent.get("back", "/"))
    kind, key, back = sent.get("kind", ""), sent.get("key", ""), sent.get("back", "/")
    store = views.store()
    try:
        change = next(
            (
                change
                for change in store.changes(kind, key)
                if (str(change.revision), change.address) == (sent.get("revision"), sent.get("address"))
            ),
            None,
        )
        if change is None:
            abort(404, deeds.NO_SUCH_CHANGE)
        before = _answer(kind, key, change.path)
        done = store.take_back(kind, key, change.revision, change.path)
    except NotFound as error:
        abort(404, str(error))
    except LaterChange as error:
        return notices.go(back, history.not_taken_back(error.at))
    except StillNamed as error:
        return notices.go(back, history.not_undone(str(error)))
    except RecordsError as error:
        fault = error.faults[0]
        return notices.go(back, history.not_undone(words.accepted(fault.accepts)))
    if done.deleted:
        return notices.go(ground.list_of(kind), deeds.was_deleted(done.record.name), done, redo=True)
    return _told(done, before, _what(change), Place(kind, key, change.path), back)


def _take_back_together(name: str, kind: str, key: str, back: str) -> Response:
    """Take back a change of several records, all of it or nothing.

    kind, key  of the record whose page comes next, which may go with it
    """
    form, _, at = name.partition(" ")
    store = views.store()
    try:
        undone = store.take_back_together(form, at)
    except NotFound:
        abort(404, deeds.NO_SUCH_CHANGE)
    except LaterChange as error:
        return notices.go(back, history.not_taken_back(error.at))
    except (StillNamed, RecordsError) as error:
        return notices.go(back, history.not_undone(str(error)))
    gone = [of for *of, _ in undone.records if not store.records(of[0], of[1:])]
    if [kind, key] in gone or any(ground.shows(back, *of) for of in gone):
        back = ground.list_of(next((of[0] for of in gone if ground.shows(back, *of)), kind))
    redone = request.form.get("redo") == "yes"
    told = deeds.DONE_AGAIN if redone else f"{history.together(undone.what, undone.count)}."
    return notices.go(back, told, redo=not redone, together=undone)


def _what(change: Change) -> str:
    """What was taken back, in a few words."""
    told = history.told(change.path, change.before, change.after, what=change.what)
    return history.undone(told.what)


def _open_again(back: str, place: Place, reading: str, text: str) -> Response:
    """The page with the row open, and what was typed in it."""
    given_back.refused()
    query = urlencode({FIX: place.at(reading).address, TYPED: text})
    response = notices.go(f"{back}{'&' if '?' in back else '?'}{query}#fix")
    response.status_code = 303
    return response


def _answer(kind: str, key: str, path: tuple[str | int, ...]) -> Report | None:
    """The answer on a make, of the piece that a place is in; None for another record, or where there is none."""
    if kind != "makes":
        return None
    piece = str(path[1]) if path[:1] == ("pieces",) and len(path) > 2 else None
    try:
        return views.report_of(key, piece)
    except FitcheckError:
        return None


def _told(done: Stored, before: Report | None, because: str, place: Place, back: str) -> Response:
    """Go back to the page, which says what the change did."""
    after = _answer(place.kind, place.key, place.path)
    if before is None or after is None:
        return notices.go(back, f"{capital(because)}.", done)
    return notices.go(back, views.changed(before, after, because), done)
