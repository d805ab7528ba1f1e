"""What every shelf of records does alike: delete, bring back, set a reading aside, answer a question about one."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import Any

from flask import Blueprint, Response, abort, request

from fitcheck import words
from fitcheck.records.faults import RecordsError
from fitcheck.store.faults import NotFound, StaleWrite, StillNamed, StoreError
from fitcheck.store.stored import Stored
from fitcheck.words import deeds
from fitcheck.words.names import record_name
from fitcheck.words.phrases import spaced
from webui.forms.drafts import Draft, Refusal
from webui.forms.fields import Document, Form
from webui.pages import given_back, ground, notices
from webui.pages.asked import answered, asked_about
from webui.pages.conflicts import conflict
from webui.pages.notices import Notice

Draw = Callable[[Draft, int, Any], Response]
"""Draws a form: with what was typed in it, the status, and the record that it is of."""
Told = Callable[[bool], str | Notice]
"""Says what a change did, handed whether it changed anything."""
Show = Callable[[str, int, Mapping[str, Refusal]], Response]
"""Shows one record again: its key, the status, and what was refused by the place of its question."""


def register(pages: Blueprint, kind: str, place: str, home: str, show: Show | None = None, under: str = "") -> None:
    """Put on a blueprint what its records have in common.

    kind   of the records
    place  where they stand, in words: "wardrobe"
    home   the address of that place
    show   None where nothing is questioned
    under  path of the records below the blueprint's own
    """

    views_of = {"delete": partial(_take_away, kind, place, home), "back": partial(_bring_back, kind)}
    if show is not None:
        views_of |= {"answer": partial(_answer, kind, place, show)}
    for name, view in views_of.items():
        endpoint = name.replace("-", "_") + (f"_{kind}" if under else "")
        pages.add_url_rule(f"{under}/<key>/{name}", endpoint, view, methods=["POST"])


def _plainly(key: str) -> Told:
    return lambda changed: deeds.CHANGED if changed else ""


def register_form(
    pages: Blueprint,
    kind: str,
    place: str,
    form: Form,
    draw: Draw,
    room: str,
    to: str = "",
    path: str = "/<key>/edit",
    begin: Callable[[str], Told] = _plainly,
    usual: Callable[[Document], str] | None = None,
) -> None:
    """Put on a blueprint the page on which a record is changed.

    kind   of the records
    place  where they stand, in words: "wardrobe"
    draw   draws the form
    to     address of the page that comes next; the record's own where it is empty
    path   of the page below the blueprint's own
    begin  is called with the key before the change; what it returns says afterwards what the change did
    usual  what a record is called that nobody named: its name follows what is changed until somebody names it
    """

    @given_back.draws_form
    def edit(key: str) -> Response:
        stored, record = ground.record_or_404(kind, key, place)
        return draw(ground.begun(ground.written(form, stored).typed), 200, record)

    def change(key: str) -> Response:
        stored, record = ground.record_or_404(kind, key, place, form=True)
        draft = ground.draft()
        document = form.read(draft, ground.unit(), draft.before(ground.store(), stored))
        if usual is not None and stored.doc.get("name") and document.get("name", "") in ("", usual(stored.doc)):
            document["name"] = usual(document)
        again = partial(draw, draft, 422, record)
        return keep(stored, draft, document, form, again, to or ground.page_of(kind, key), room, begin(key))

    ending = "" if path == "/<key>/edit" else f"_{kind}"
    pages.add_url_rule(path, f"edit{ending}", edit, methods=["GET"])
    pages.add_url_rule(path, f"change{ending}", change, methods=["POST"])


def keep(
    stored: Stored,
    draft: Draft,
    document: Document,
    form: Form,
    again: Callable[[], Response],
    to: str,
    room: str,
    told: Told | None = None,
) -> Response:
    """Keep a record as a form of it says: with both texts where somebody else was faster, else refused or kept.

    stored    the record as it is now, before the change
    document  what the form made of it
    again     shows the form with what was refused
    to        address of the page that comes next
    told      says what the change did
    """
    told = told or _plainly(stored.key)
    revision = ground.revision_of(draft.text("revision"), stored.revision)
    try:
        kept = draft.keep(ground.store(), stored.kind, stored.key, document, revision)
    except StaleWrite as stale:
        return conflict(stale, draft, form, request.path, room)
    if kept is None:
        return again()
    changed = kept.revision != stored.revision
    return ground.go(to, told(changed), kept if changed else None, draft.text("by"))


def _take_away(kind: str, place: str, home: str, key: str) -> Response:
    """Delete a record that nothing names and go back to where it stood."""
    stored, record = ground.record_or_404(kind, key, place)
    name = record_name(record)
    try:
        gone = ground.store().delete(kind, key, stored.revision)
    except StillNamed as error:
        return ground.go(ground.page_of(kind, key), deeds.still_named(name, *_named(error.names)))
    except StaleWrite:
        return ground.go(ground.page_of(kind, key), deeds.NOT_DELETED)
    return ground.go(home, deeds.was_deleted(name), gone)


def _named(names: Sequence[tuple[str, str]]) -> tuple[list[str], int]:
    """Which records name one: two of them, and how many more do."""
    told = []
    for kind, key in names[:2]:
        try:
            told.append(ground.store().get(kind, key).doc.get("name") or spaced(key))
        except StoreError:
            told.append(spaced(key))
    return told, len(names) - len(told)


def _bring_back(kind: str, key: str) -> Response:
    """Bring back a deleted record and go to its page."""
    try:
        kept = ground.store().bring_back(kind, key)
    except RecordsError as error:
        fault = error.faults[0]
        told = deeds.not_brought_back(fault.read, words.accepted(fault.accepts))
        return ground.go(ground.list_of(kind), told)
    except NotFound as error:
        abort(404, str(error))
    return ground.go(ground.page_of(kind, key), deeds.is_back(record_name(kept.record)), kept)


def _answer(kind: str, place: str, show: Show, key: str) -> Response:
    """Answer a question: what was meant, typed again, or kept as it is; it goes back to where it was asked."""
    _, record = ground.record_or_404(kind, key, place)
    to = notices.local(request.form.get("back") or ground.page_of(kind, key))
    return answered(
        asked_about(kind, record, ground.household()),
        to,
        lambda refusals: show(key, 422, refusals),
        lambda done, said: ground.go(to, f"{ground.capital(said)}.", done),
    )
