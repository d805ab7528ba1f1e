"""Two who changed one record at once: both texts side by side, this or that for every field; nothing is lost."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass

from flask import Response
from werkzeug.datastructures import MultiDict

from fitcheck.store.faults import StaleWrite
from fitcheck.store.stored import Stored
from webui.pages import ground
from webui.pages.drafts import Draft

Typed = Mapping[str, str]
Choices = Mapping[str, Sequence[tuple[str, str]]]


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two texts of a field: as the form carries it, and as it is read."""

    value: str
    said: str


@dataclass(frozen=True, slots=True)
class Row:
    """A field that differs. ours: the text that was typed here is chosen to begin with."""

    name: str
    label: str
    mine: Side
    theirs: Side
    ours: bool


def conflict(
    stale: StaleWrite,
    draft: Draft,
    form_of: Callable[[Stored], Typed],
    back: str,
    room: str,
    *,
    label: Callable[[str], str | None] = lambda name: None,
    choices: Choices | None = None,
    added: Collection[str] = (),
    usual: Typed | None = None,
    align: Callable[[Sequence[Typed]], Sequence[Typed]] = lambda forms: forms,
) -> Response:
    """Show what was typed here beside what was kept meanwhile, field by field, each chosen by itself.

    form_of  the form of a kept record, as it would be shown
    back     address of the form, which takes the choices
    label    what a field is called; None for its name in words
    choices  what the values of a field are called
    added    fields whose readings are added: both stay, so there is nothing to choose
    usual    what a field holds while nobody touches it, where that is not nothing
    align    brings the fields of several forms into one order, where their names depend on it
    """
    if stale.theirs is None or stale.theirs.deleted:
        return ground.gone(MultiDict(draft.typed), back)
    forms = [_content(draft.typed), _content(form_of(stale.theirs))]
    forms.append(_content(form_of(stale.base)) if stale.base is not None else {})
    mine, theirs, base = align(forms)
    rows = []
    for name in dict.fromkeys([*theirs, *mine]):
        untouched = (usual or {}).get(name.partition("-")[0], "")
        texts = [_one(form.get(name, ""), untouched) for form in (mine, theirs, base)]
        if name in added or texts[0] == texts[1]:
            continue
        said = dict((choices or {}).get(name, ()))
        sides = [Side(text, said.get(text, text)) for text in texts[:2]]
        named = label(name) or ground.capital(name.replace("_", " ").replace("-", " "))
        # Who left a field as it was takes the other's change.
        rows.append(Row(name, named, sides[0], sides[1], texts[0] != texts[2]))
    chosen = {row.name for row in rows}
    rest = {name: value for name, value in mine.items() if name not in chosen and value}
    return ground.show(
        "conflict.html",
        room,
        409,
        gone=False,
        rows=rows,
        hidden={**rest, "revision": str(stale.theirs.revision)},
        added=[(called, mine[name]) for name in added if (called := label(name)) and mine.get(name)],
        action=back,
        back=back,
    )


def _content(form: Typed) -> dict[str, str]:
    return {name: value for name, value in form.items() if name not in ground.NOT_CONTENT}


def _one(text: str, usual: str) -> str:
    """A text as it counts: lines end alike, and what nobody touched says nothing."""
    plain = text.strip().replace("\r\n", "\n")
    return "" if plain == usual else plain
