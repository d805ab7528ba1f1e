"""What the pages of wardrobe, swatch book, size tables, plan, people and settings share."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, TypeVar

from flask import Response, abort, request
from werkzeug.datastructures import MultiDict

from fitcheck.records.garments import Garment
from fitcheck.records.households import Household
from fitcheck.records.lengths import write_bare
from fitcheck.records.places import Place
from fitcheck.records.size_tables import SizeTable
from fitcheck.records.wearers import Wearer
from fitcheck.store.faults import NotFound
from fitcheck.store.stored import Stored
from fitcheck.store.together import Together
from fitcheck.words import deeds
from fitcheck.words.figures import spread_words
from fitcheck.words.phrases import capital, spaced
from webui.forms.drafts import FORM, Draft
from webui.forms.fields import Filled, Form
from webui.pages import given_back, invented, notices, views
from webui.pages.conflict_page import ConflictPage
from webui.pages.earlier import beside_fields
from webui.pages.views import mark, store, svg_markup, tape, unit

__all__ = ["capital", "mark", "store", "svg_markup", "tape", "unit"]

Named = TypeVar("Named", Garment, Wearer, SizeTable)

MEASURER_COOKIE = "by"
PARTS_COOKIE = "parts"
LONGEST_TEXT = 40_000
"""Characters in a field, at most: a whole size table can be pasted."""
NO_REASON = "no reason was given"
"""Why a reading was set aside where nobody said it."""
NOT_CONTENT = ("revision", "do", "bring_back", FORM)
"""Fields of forms that say what to do, not what to keep."""
PLACES = {
    "garments": "/wardrobe/",
    "swatches": "/swatches/",
    "yarns": "/swatches/yarns/",
    "machines": "/swatches/machines/",
    "size_tables": "/size-tables/",
    "wearers": "/people/",
    "makes": "/makes/",
}
"""Where the page of a record stands, by its kind."""
ROOMS_OF = {"garments": "wardrobe", "wearers": "wardrobe", "makes": "makes"}
"""The room of the bar that a record stands in, by its kind; all others stand in the swatch book."""
BACK = {"makes": "bring-back"}
"""Where below its page a deleted record is brought back, if not at `back`."""


def household() -> Household:
    """Everything that is kept now."""
    return store().household()


def parts() -> int:
    """The finest part of an inch that figures are written to on this device: 8 or 16."""
    return 16 if request.cookies.get(PARTS_COOKIE) == "16" else 8


def measurer() -> str:
    """Who measured last on this device."""
    return request.cookies.get(MEASURER_COOKIE, "")[:60]


def figure(mm: float, *, signed: bool = False) -> str:
    """A length without its unit."""
    written = tape()
    inches = written.unit == "in"
    text = write_bare(mm, "in", signed=signed, parts=parts()) if inches else written.bare(mm, signed=signed)
    return text.replace(" ", "\u00a0")  # a whole number and its fraction stay on one line


def length(mm: float, *, signed: bool = False) -> str:
    """A length with its unit."""
    return f"{figure(mm, signed=signed)}\u00a0{tape().unit}"


def small(mm: float) -> str:
    """How far readings lie apart: millimetres show what a tape can tell."""
    return spread_words(mm, unit(), parts())


def decimal(value: float, decimals: int) -> str:
    """A plain number."""
    return tape().number(value, decimals)


def short(name: str, most: int = 60) -> str:
    """A name for a heading: a very long one is cut, and stands whole elsewhere on the page."""
    return name if len(name) <= most else f"{name[: most - 1].rstrip()}…"


def typed(values: MultiDict[str, str]) -> dict[str, str]:
    """What a form sent, by field; what is ticked several times stands in one field."""
    fields = given_back.joined(values)
    if any(len(text) > LONGEST_TEXT for text in fields.values()):
        abort(413, deeds.TOO_LONG)
    return fields


def by_name(records: Iterable[Named]) -> list[Named]:
    """Records in the order of their names."""
    return sorted(records, key=lambda record: record.name.casefold())


def draft() -> Draft:
    """What the form that was sent has typed in it."""
    return Draft(typed(request.form))


def begun(begin: Mapping[str, str]) -> Draft:
    """What a form has in it when its page is opened: what was typed before it failed or was left, else `begin`."""
    fields = given_back.typed()
    returns = request.args.get(given_back.RETURNS, "")
    return Draft(fields if fields is not None else {**begin, given_back.RETURNS: returns})


def written(form: Form, stored: Stored) -> Draft:
    """A kept record as its form has it, and who measures now."""
    return Draft({**form.write(stored.record, unit()), "by": measurer(), "revision": str(stored.revision)})


def filled(form: Form, draft: Draft, of: Place | None = None) -> Filled:
    """A form as a page draws it; of: the document that it changes, whose earlier figures stand struck out in it."""
    return Filled(form, draft, household(), beside_fields(form, draft, of) if of is not None else None)


def added(name: str, stored: Stored) -> str:
    """What is said of a record that a form made: now, or when it was sent before."""
    return deeds.added(stored.kind, name) if stored.revision == 1 else deeds.kept_again(stored.kind, name)


def go(
    to: str,
    said: str | notices.Notice = "",
    stored: Stored | None = None,
    by: str | None = None,
    together: Together | None = None,
) -> Response:
    """Go to a page of ours that says once what was done, with a button to take it back.

    by        who measured, to be remembered on this device
    together  the change of several records that it was
    """
    if stored is not None and (returns := request.form.get(given_back.RETURNS)):
        to = given_back.with_new(returns, stored) or to
    response = notices.go(to, said, stored, together=together)
    if by:
        response.set_cookie(MEASURER_COOKIE, by[:60], max_age=views.A_YEAR, httponly=True, samesite="Lax")
    return response


def record_or_404(kind: str, key: str, where: str, *, form: bool = False) -> tuple[Stored, Any]:
    """A record with its revision; a page that says what to do where there is none.

    form  what was typed into a form comes along: where the record was deleted meanwhile, it is offered back with it
    """
    try:
        stored = store().get(kind, key)
    except NotFound as error:
        name = spaced(key)
        if not error.deleted:
            abort(404, deeds.not_there(name, where))
        if request.form.get("bring_back"):
            stored = store().bring_back(kind, key)
        elif form:
            abort(gone(request.form, request.path))
        else:
            abort(404, deeds.deleted_from(name, where))
    return stored, stored.record


def gone(form: MultiDict[str, str], back: str) -> Response:
    """The record of a form was deleted meanwhile: bring it back with what was typed, or leave it."""
    hidden = {name: text for name, text in given_back.joined(form).items() if name not in NOT_CONTENT}
    hidden |= {"bring_back": "yes", FORM: form.get(FORM, "")}
    return views.show(ConflictPage("", back, "/", hidden, gone=True), 409)


def page_of(kind: str, key: str) -> str:
    """Where a record's page stands."""
    return f"{PLACES[kind]}{key}"


def shows(path: str, kind: str, key: str) -> bool:
    """Whether a page of ours is that of a record, or lies below it."""
    return f"{path.partition('?')[0]}/".startswith(f"{page_of(kind, key)}/")


def list_of(kind: str) -> str:
    """Where the records of a kind are listed, also those that were deleted."""
    return "/swatches" if kind in ("yarns", "machines") else PLACES[kind].rstrip("/")


def room_of(kind: str) -> str:
    """The room of the bar that a record of a kind stands in."""
    return ROOMS_OF.get(kind, "swatches")


def revision_of(text: str, now: int) -> int:
    """The revision that a form was made from; a form that does not say means the one that is there now."""
    return int(text) if text.isdecimal() and len(text) < 10 else now


def deleted(*kinds: str) -> list[tuple[str, str]]:
    """Deleted records of some kinds: name, and where to post to bring each back.

    What went with the invented household is not among them.
    """
    return [
        (record.name or spaced(record.key), f"{page_of(kind, record.key)}/{BACK.get(kind, 'back')}")
        for kind in kinds
        for record in store().list(kind, deleted=True, limit=100).records
        if not invented.put_away(household(), kind, record.key)
    ]


def shown_readings(readings: Iterable[Any]) -> list[dict[str, Any]]:
    """Readings in the unit of the page; beside it as they were typed, where that is written otherwise."""
    listed = []
    for reading in readings:
        text = figure(reading.length.value_mm)
        typed = reading.text if _says_unit(reading.text) else f"{reading.text} {reading.length.unit}"
        same = typed.split() == [*text.split(), unit()]
        why = reading.set_aside not in (None, "", NO_REASON)
        listed.append(
            {"id": reading.id, "text": text, "typed": "" if same else typed, "aside": reading.set_aside, "why": why}
        )
    return listed


def _says_unit(text: str) -> bool:
    return any(letter.isalpha() or letter in "\"'″′" for letter in text)
