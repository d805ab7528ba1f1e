"""What the pages of wardrobe, swatch book, size tables, plan, people and settings share."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from flask import Response, abort, request

from fitcheck import words
from fitcheck.records.cross_checks import KINDS
from fitcheck.records.faults import RecordsError
from fitcheck.records.households import Household
from fitcheck.records.lengths import write_bare, write_length
from fitcheck.records.plausibility import questions
from fitcheck.records.readings import Reading
from fitcheck.store import Store
from fitcheck.store.faults import NotFound, StaleWrite, StillNamed, StoreError
from fitcheck.store.revisions import Stored
from fitcheck.words import Mark, Unit
from webui.pages import views
from webui.pages.drafts import Draft
from webui.pages.views import drawn as safe

__all__ = ["safe"]

MARK_COOKIE = "mark"
MEASURER_COOKIE = "by"
_FEW = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "June", "July", "Aug", "Sept", "Oct", "Nov", "Dec")
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


def store() -> Store:
    """The store of this service."""
    return views.store()


def household() -> Household:
    """Everything that is kept now."""
    return store().household()


def unit() -> Unit:
    """The unit that lengths are shown and typed in on this device."""
    return views.unit()


def mark() -> Mark:
    """The decimal mark that figures are shown with on this device."""
    return "," if request.cookies.get(MARK_COOKIE) == "comma" else "."


def measurer() -> str:
    """Who measured last on this device."""
    return request.cookies.get(MEASURER_COOKIE, "")[:60]


def figure(mm: float, *, signed: bool = False) -> str:
    """A length without its unit."""
    # A whole number and its fraction stay on one line.
    return words.figure(mm, unit(), mark=mark(), signed=signed).replace(" ", "\u00a0")


def length(mm: float, *, signed: bool = False) -> str:
    """A length with its unit."""
    return f"{figure(mm, signed=signed)}\u00a0{unit()}"


def small(mm: float) -> str:
    """How far readings lie apart: millimetres show what a tape can tell."""
    if unit() == "in":
        return write_length(mm, "in") if write_bare(mm, "in") != "0" else "less than 1/8 in"
    return f"{round(mm)} mm" if mm >= 0.5 else "nothing"


def decimal(value: float, decimals: int) -> str:
    """A plain number."""
    return words.decimal(value, decimals, mark=mark())


def day(when: date | None) -> str:
    """A date as people write it."""
    return f"{when.day} {_MONTHS[when.month - 1]} {when.year}" if when else ""


def capital(text: str) -> str:
    """The text with a capital at its beginning; the rest stays as it is."""
    return text[:1].upper() + text[1:]


def short(name: str, most: int = 60) -> str:
    """A name for a heading: a very long one is cut, and stands whole elsewhere on the page."""
    return name if len(name) <= most else f"{name[: most - 1].rstrip()}…"


def counted(count: int, noun: str, plural: str = "") -> str:
    """A number of things: "1 reading", "3 readings"."""
    return f"{count} {noun if count == 1 else plural or noun + 's'}"


def few(count: int) -> str:
    """A small number as a word."""
    return _FEW[count] if 0 <= count < len(_FEW) else str(count)


def name_of(records: Iterable[Any], key: str | None) -> str:
    """Name of a record among others; empty where there is none."""
    return next((one.name or one.id.replace("_", " ") for one in records if one.id == key), "")


def typed(values: Any, most: int = 40_000) -> dict[str, str]:
    """What a form sent, by field."""
    return {name: value[:most] for name, value in values.items()}


def show(template: str, room: str, status: int = 200, **given: Any) -> Response:
    """Render a page of a room."""
    return views.page(template, status, room=room, **given)


def go(to: str, said: str = "", stored: Stored | None = None, by: str | None = None) -> Response:
    """Go to a page of ours that says once what was done, with a button to take it back.

    by  who measured, to be remembered on this device
    """
    undo = views.Undo(stored.kind, stored.key, stored.revision) if stored is not None else None
    response = views.go(to, said, undo)
    if by:
        response.set_cookie(MEASURER_COOKIE, by[:60], max_age=views.A_YEAR, httponly=True, samesite="Lax")
    return response


def there(kind: str, key: str, where: str) -> tuple[Stored, Any]:
    """A record with its revision; a page that says what to do where there is none."""
    try:
        stored = store().get(kind, key)
    except NotFound as error:
        name = key.replace("_", " ")
        if error.deleted:
            abort(404, f"{capital(name)} was deleted. It can be brought back at the foot of the {where}.")
        abort(404, f"There is no {name} in the {where}. Look for a slip in its name.")
    return stored, stored.record


def revision_of(text: str, now: int) -> int:
    """The revision that a form was made from; a form that does not say means the one that is there now."""
    return int(text) if text.isdecimal() and len(text) < 10 else now


def deleted(*kinds: str) -> list[tuple[str, str]]:
    """Deleted records of some kinds: name, and where to post to bring each back."""
    return [
        (one.name or one.key.replace("_", " "), f"{PLACES[kind]}{one.key}/back")
        for kind in kinds
        for one in store().list(kind, deleted=True, limit=100).records
    ]


def bring_back(kind: str, key: str) -> Response:
    """Bring back a deleted record and go to its page."""
    try:
        kept = store().bring_back(kind, key)
    except RecordsError as error:
        fault = error.faults[0]
        return go(PLACES[kind].rstrip("/"), f"Not brought back: {fault.read}. {fault.accepts}")
    except NotFound as error:
        abort(404, str(error))
    name = kept.record.name or key.replace("_", " ")
    return go(f"{PLACES[kind]}{key}", f"{capital(name)} is back.", kept)


def take_away(kind: str, key: str, revision: int, name: str, back: str) -> Response:
    """Delete a record that nothing names and go back to where it stood."""
    try:
        gone = store().delete(kind, key, revision)
    except StillNamed as error:
        return go(f"{PLACES[kind]}{key}", f"{capital(name)} was kept, because {named_by(error.names)} it.")
    except StaleWrite:
        return go(f"{PLACES[kind]}{key}", "It was changed meanwhile, so nothing was deleted. Look at it again.")
    return go(back, f"{capital(name)} was deleted. It can be brought back.", gone)


def named_by(names: Sequence[tuple[str, str]]) -> str:
    """Which records name one, as a subject with its verb: "grey pullover and two more name"."""
    told = []
    for kind, key in names[:2]:
        try:
            told.append(store().get(kind, key).doc.get("name") or key.replace("_", " "))
        except StoreError:
            told.append(key.replace("_", " "))
    more = len(names) - len(told)
    if more:
        told.append(f"{few(more)} more")
    return f"{views.listed(told)} name{'s' if len(names) == 1 else ''}"


def conflict(stale: StaleWrite, draft: Draft, back: str, room: str, fields: Sequence[tuple[str, str]]) -> Response:
    """Both texts side by side, what was typed here and what came in meanwhile; nothing is lost.

    fields  name of a field of the form and of the record, and its label
    """
    theirs = stale.theirs.doc if stale.theirs is not None else {}
    rows = [
        (label, draft.text(name), _written(theirs.get(name)))
        for name, label in fields
        if draft.text(name) != _written(theirs.get(name))
    ]
    latest = stale.theirs.revision if stale.theirs is not None else 0
    hidden = {**{name: value for name, value in draft.typed.items() if name != "revision"}, "revision": str(latest)}
    return show("conflict.html", room, 409, rows=rows, hidden=hidden, action=back, back=back)


def _written(value: Any) -> str:
    if value is None or value is False:
        return ""
    if value is True:
        return "yes"
    if isinstance(value, dict):
        return " ".join(str(one) for one in value.values())
    return str(value)


def shown_readings(readings: Iterable[Any]) -> list[dict[str, Any]]:
    """Readings as they were typed, each with its unit."""
    return [
        {
            "id": one.id,
            "text": one.text if _says_unit(one.text) else f"{one.text} {one.length.unit}",
            "aside": one.set_aside,
        }
        for one in readings
    ]


def _says_unit(text: str) -> bool:
    return any(letter.isalpha() or letter in "\"'″′" for letter in text)


def set_aside(kind: str, key: str) -> Response:
    """Set a reading of a record aside, with the reason that was typed."""
    place, ident = request.form.get("place", ""), request.form.get("reading", "")
    reason = request.form.get("reason", "").strip()[:400] or "the tape had slipped"
    try:
        kept = store().set_aside((kind, key, place), ident, reason)
    except NotFound as error:
        abort(404, str(error))
    return go(f"{PLACES[kind]}{key}", "Set aside: it stays written down and does not count any more.", kept)


_STEP = re.compile(r"[^.\[\]]+")


def asked(kind: str, record: Any) -> list[dict[str, Any]]:
    """What is unlikely about a record: what was read, why it is odd, and the reading to keep, if it is one."""
    now = household()
    people = now.wearers if kind == "garments" else []
    alone = {name: [] for name in KINDS} | {"wearers": people, kind: [record]}
    found = []
    for question in questions(now.model_copy(update=alone)):
        if not question.place.startswith(f"{kind}["):
            continue
        steps = _STEP.findall(question.place)[2:]
        ident = _reading_at(record, steps)
        found.append(
            {
                "asked": words.question_asked(question),
                "slip": f"{capital(question.slip)}: {question.meant}?" if question.slip and question.meant else "",
                "reading": ident,
                "place": _store_place(kind, record, steps[:-1]) if ident else "",
                "read": question.read,
            }
        )
    return found


def _reading_at(record: Any, steps: Sequence[str]) -> str:
    """The id of the reading at a place inside a record; empty where it is something else."""
    at = record
    for step in steps:
        try:
            at = at[int(step)] if isinstance(at, list) else at[step] if isinstance(at, dict) else getattr(at, step)
        except (ValueError, LookupError, AttributeError):
            return ""
    return at.id or "" if isinstance(at, Reading) else ""


def _store_place(kind: str, record: Any, steps: Sequence[str]) -> str:
    if kind == "garments":
        return "/".join(["occasions", record.occasions[int(steps[1])].id, *steps[2:]])
    return "/".join(steps)


def confirm(kind: str, key: str) -> Response:
    """Keep a reading that was questioned."""
    try:
        kept = store().confirm((kind, key, request.form.get("place", "")), request.form.get("reading", ""))
    except NotFound as error:
        abort(404, str(error))
    return go(f"{PLACES[kind]}{key}", "Kept as it was typed.", kept)


_NOUNS = {
    "garments": ("garment", "garments"),
    "wearers": ("person", "people"),
    "swatches": ("swatch", "swatches"),
    "yarns": ("yarn", "yarns"),
    "machines": ("machine", "machines"),
    "size_tables": ("size table", "size tables"),
    "makes": ("make", "makes"),
}


def noun(kind: str, *, many: bool = False) -> str:
    """What one record of a kind is called, or several."""
    return _NOUNS.get(kind, (kind, kind))[many]
