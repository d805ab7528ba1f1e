"""What was typed before what stands there now: struck out beside the field, and beside the figure on a make's page.

It is read from the list of changes; nothing is kept for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from fitcheck.records.frozen import frozen
from fitcheck.records.places import Path, Place
from fitcheck.store.changes import Before
from fitcheck.words import history
from fitcheck.words.names import Names, names_of
from webui.forms.drafts import Draft
from webui.forms.fields import Form, Struck
from webui.pages import views

MOST = 3
"""Earlier figures beside a field; the list of changes has them all."""
_OF_PIECE, _OF_MAKE = ("counts", "dial", "rib"), ("planned", "wishes", "tolerances")
"""Figures of a make that its page is about: of each piece, and of the make itself; of its stages the grams."""


@frozen
class PutRightLine:
    """A figure of a make that was another before: what it is, what it is and was; to: where it is typed."""

    what: str
    now: str
    struck: Sequence[Struck]
    to: str


def beside_fields(form: Form, draft: Draft, of: Place) -> dict[str, list[Struck]]:
    """What stood in each field of a form before, by its name.

    of  the document that the form is of, within its record
    """
    store = views.store()
    changes = store.changes(of.kind, of.key)
    if len({change.revision for change in changes}) < 2:
        return {}  # nothing was changed since it was written down
    household, before = store.household(), Before(changes)
    document, names = _at(store.get(of.kind, of.key).doc, of.path), names_of(household)
    choices = form.choices(household)
    struck: dict[str, list[Struck]] = {}
    for name, place in form.places(draft.typed, document):
        labels = dict(choices.get(name, ()))
        if lines := _struck(before, (*of.path, *place), names, labels):
            struck[name] = lines
    for name, place, value in form.overruled(document):
        at = next(change.at for change in changes if (*of.path, *place)[: len(change.path)] == change.path)
        text, lines = history.value_words(place, value, names), struck.setdefault(name, [])
        if text not in [line.text for line in lines]:
            lines.append(Struck(text, history.typed_on(at)))
    return struck


def put_right_lines(key: str) -> list[PutRightLine]:
    """The counts, dials, grams and wishes of a make that were others before, in the order of its record."""
    store = views.store()
    changes = store.changes("makes", key, readings=False)  # none of these figures is read with a tape
    if len({change.revision for change in changes}) < 2:
        return []
    before, names, document = Before(changes), names_of(store.household()), store.get("makes", key).doc
    lines = []
    for place, value in _figures(document):
        if struck := _struck(before, place, names, {}):
            kinds = {place[:4]: _at(document, place[:4]).get("kind", "")} if "stages" in place else {}
            what = history.told(place, None, value, names=names, stages=kinds)
            lines.append(PutRightLine(what.what, what.now, struck, _form_of(key, place)))
    return lines


def _struck(before: Before, path: Path, names: Names, labels: Mapping[str, str]) -> list[Struck]:
    def words(value: Any) -> str:
        return labels.get(str(value)) or history.value_words(path, value, names)

    earlier = before.at(path)
    now = words(earlier[0].now) if earlier and earlier[0].now is not None else ""
    struck: dict[str, Struck] = {}
    for figure in earlier:
        text = words(figure.value)
        if text != now:
            struck.setdefault(text, Struck(text, history.typed_on(figure.at)))
    return [*struck.values()][:MOST]


def _figures(document: Mapping[str, Any]) -> Iterator[tuple[Path, Any]]:
    """The figures of a make that its page is about, with their places."""
    for piece in document.get("pieces", ()):
        at = ("pieces", piece["id"])
        for name in _OF_PIECE:
            yield from _leaves((*at, name), piece.get(name))
        for number, stage in enumerate(piece.get("stages", ())):
            yield from _leaves((*at, "stages", number, "grams"), stage.get("grams"))
    for name in _OF_MAKE:
        yield from _leaves((name,), document.get(name))
    for name in ("numbers", "ease"):
        yield from _leaves(("fits", name), document.get("fits", {}).get(name))


def _leaves(path: Path, value: Any) -> Iterator[tuple[Path, Any]]:
    """What stands within a part of a document, down to single figures; what was confirmed is none."""
    if isinstance(value, Mapping) and "number" not in value and "by" not in value and "length" not in value:
        for name, inside in value.items():
            yield from _leaves((*path, name), inside)
    elif value is not None and not isinstance(value, bool):
        yield path, value


def _at(document: Any, path: Path) -> Any:
    for step in path:
        named = isinstance(document, list) and isinstance(step, str)
        document = next(entry for entry in document if entry["id"] == step) if named else document[step]
    return document


def _form_of(key: str, place: Path) -> str:
    """Where a figure of a make is typed."""
    match place:
        case ("pieces", piece, "counts", point, *_):
            return f"/makes/{key}/pieces/{piece}#count-{point}"
        case ("pieces", piece, "stages", number, _):
            return f"/makes/{key}/pieces/{piece}?stage={number}#grams"
        case ("pieces", piece, "rib", part):
            return f"/makes/{key}/pieces/{piece}#rib_{part}"
        case ("pieces", piece, name, *_):
            return f"/makes/{key}/pieces/{piece}#{name}"
        case ("planned", piece, point):
            return f"/makes/{key}/counts#planned-{piece}-{point}"
        case ("wishes", point, *_):
            return f"/makes/{key}/fits#wish-{point}"
        case _:
            return f"/makes/{key}/fits"
