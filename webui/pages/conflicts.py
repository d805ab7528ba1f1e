"""Two who changed one record at once: both texts side by side, this or that for every field; nothing is lost."""

from __future__ import annotations

from collections.abc import Mapping

from flask import Response
from werkzeug.datastructures import MultiDict

from fitcheck.store.faults import StaleWrite
from fitcheck.words.phrases import key_words
from webui.forms.drafts import FORM, Draft
from webui.forms.fields import Form
from webui.pages import ground, views
from webui.pages.conflict_page import ConflictPage, ConflictRow, Side

Typed = Mapping[str, str]


def conflict(stale: StaleWrite, draft: Draft, form: Form, back: str, room: str) -> Response:
    """Show what was typed here beside what was kept meanwhile, field by field, each chosen by itself.

    Readings are added: both stay, so there is nothing to choose.

    back   address of the form, which takes the choices
    """
    if stale.theirs is None or stale.theirs.deleted:
        return ground.gone(MultiDict(draft.typed), back)
    forms = [_content(draft.typed), _content(ground.written(form, stale.theirs).typed)]
    forms.append(_content(ground.written(form, stale.base).typed) if stale.base is not None else {})
    mine, theirs, base = form.beside(forms)
    choices = form.choices(ground.household())
    added = [field.name for field in form if field.kind == "readings"]
    apart = {*added, *(field.name for field in form if not field.path)}
    keys = {field.name for field in form if field.kind == "keys"}
    rows = []
    for name in dict.fromkeys([*theirs, *mine]):
        untouched = form.usual.get(name.partition("-")[0], "")
        texts = [_one(typed.get(name, ""), untouched) for typed in (mine, theirs, base)]
        if name in apart or texts[0] == texts[1]:
            continue
        said = dict(choices.get(name, ()))
        several = [text.split() if name in keys else [text] for text in texts[:2]]
        sides = [
            Side(text, ", ".join(said.get(part, part) for part in parts))
            for text, parts in zip(texts[:2], several, strict=True)
        ]
        named = form.label(name, mine) or ground.capital(key_words(name))
        # Who left a field as it was takes the other's change.
        rows.append(ConflictRow(name, named, sides[0], sides[1], texts[0] != texts[2]))
    chosen = {row.name for row in rows}
    rest = {name: value for name, value in mine.items() if name not in chosen and value}
    return views.show(
        ConflictPage(
            rows=rows,
            hidden={**rest, "revision": str(stale.theirs.revision), FORM: draft.text(FORM)},
            added=[(called, mine[name]) for name in added if (called := form.label(name, mine)) and mine.get(name)],
            action=back,
            back=back,
            room=room,
        ),
        409,
    )


def _content(form: Typed) -> dict[str, str]:
    return {name: value for name, value in form.items() if name not in ground.NOT_CONTENT}


def _one(text: str, usual: str) -> str:
    """A text as it counts: lines end alike, and what nobody touched says nothing."""
    plain = text.strip().replace("\r\n", "\n")
    return "" if plain == usual else plain
