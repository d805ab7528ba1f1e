"""Figures that are put right in place: the readings of a point as links, each of which opens a row under itself.

Which one is open stands in the address (`fix`), so that it works without a script; what was typed and refused stands
beside it (`typed`).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from typing import Any
from urllib.parse import urlencode

from flask import request

from fitcheck.records.frozen import frozen
from fitcheck.records.places import Place
from fitcheck.records.readings import Overhang, Reading
from fitcheck.store.changes import Before, Change
from fitcheck.words import history
from webui.forms.drafts import Draft, Refusal
from webui.forms.pieces import reading_at
from webui.forms.typed import without_unit
from webui.pages import ground, views

FIX, TYPED = "fix", "typed"
"""The fields of an address that open a figure, and that say what was typed in it."""


@frozen
class Past:
    """A figure that was typed before: what it said, when that was, and the change that took its place."""

    text: str
    told: str
    change: Change


@frozen
class Chip:
    """One figure: what it says in the page's unit, where its row opens, whether it counts and whether it is open."""

    text: str
    to: str
    aside: bool
    open: bool


@frozen
class InPlace:
    """The open row of a figure.

    page    that shows it, without the row
    label   what the field is called;  value: what stands in it;  unit: of a bare figure
    place   the list that the reading stands in, as a form carries it;  id: of the reading
    told    what is said of the figure as it stands;  text: as it stands
    past    what it said before
    """

    page: str
    label: str
    value: str
    unit: str
    place: str
    id: str
    text: str
    told: str
    aside: str
    refused: Refusal | None
    past: tuple[Past, ...]


@frozen
class Figures:
    """The figures of one list of readings.

    at     id of the list on its page;  chips: one a reading
    open   the one that is being put right
    past   what others of them said before;  changed: how often, in words
    page   that shows them
    """

    at: str
    chips: tuple[Chip, ...]
    open: InPlace | None
    past: tuple[Past, ...]
    changed: str
    page: str


class PutRight:
    """The figures of one record, with what they said before."""

    def __init__(self, kind: str, key: str, page: str = "") -> None:
        """page: the address that shows them, where it is not the record's own."""
        self.kind, self.key, self.page = kind, key, _without_row(page or ground.page_of(kind, key))

    @cached_property
    def _changes(self) -> Sequence[Change]:
        """Every change of the record, the latest first."""
        return views.store().changes(self.kind, self.key)

    @cached_property
    def _before(self) -> Before:
        return Before(self._changes)

    def of(self, place: Place, readings: Sequence[Reading]) -> Figures:
        """The figures of one list of readings."""
        asked = request.args.get(FIX, "")
        open_, past = None, []
        for number, reading in enumerate(readings, start=1):
            before = self._past(place.at(reading.id or ""))
            if asked and place.at(reading.id or "").address == asked:
                open_ = self._open(place, readings, number, before)
            else:
                past += before
        return Figures(
            place.address.replace("/", "-"),
            tuple(self._chip(place, reading, asked) for reading in readings),
            open_,
            tuple(past),
            history.changed_times(len(past)) if past else "",
            self.page,
        )

    def _chip(self, place: Place, reading: Reading, asked: str) -> Chip:
        address = place.at(reading.id or "").address
        query = urlencode({FIX: address})
        to = f"{self.page}{'&' if '?' in self.page else '?'}{query}#fix"
        return Chip(shown(reading), to, bool(reading.set_aside), address == asked)

    def _past(self, place: Place) -> list[Past]:
        """What a reading said before."""
        return [
            Past(_typed(earlier.value), history.typed_at(earlier.at), earlier.change)
            for earlier in self._before.at(place.path)
            if earlier.now is None or earlier.now["text"] != earlier.value["text"]
        ]

    def _written(self, place: Place) -> str:
        """When what stands at a place was written; empty where no change says it."""
        return next((change.at for change in self._changes if place.path[: len(change.path)] == change.path), "")

    def _open(self, place: Place, readings: Sequence[Reading], number: int, past: Iterable[Past]) -> InPlace:
        reading = readings[number - 1]
        text = request.args.get(TYPED)
        refused = None if text is None else refusal(text, views.unit(), signed=isinstance(reading, Overhang))
        others = [other.length.value_mm for other in readings if other.counts and other is not reading]
        apart = ground.small(_apart(reading, others)) if others else ""
        return InPlace(
            self.page,
            f"{history.which_reading(number)}, {views.unit()}",
            without_unit(reading.text, views.unit(), reading.length.unit) if text is None else text,
            views.unit(),
            f"{place.kind} {place.key} {place.address}",
            reading.id or "",
            shown(reading),
            history.about_figure(self._written(place.at(reading.id or "")), apart),
            reading.set_aside or "",
            refused,
            tuple(past),
        )


def _without_row(page: str) -> str:
    """The address of a page with no row open; what else it was asked for stays."""
    asked = request.args.items(multi=True) if request.path == page else ()
    query = urlencode([(name, text) for name, text in asked if name not in (FIX, TYPED)])
    return f"{page}?{query}" if query else page


def _apart(reading: Reading, others: Sequence[float]) -> float:
    """How far a reading lies from the nearest of the others [mm]."""
    return min(abs(reading.length.value_mm - other) for other in others)


def shown(reading: Reading) -> str:
    """A reading in the page's unit."""
    return ground.figure(reading.length.value_mm, signed=isinstance(reading, Overhang))


def _typed(reading: Mapping[str, Any]) -> str:
    """A reading as it was typed, without the unit that the page has anyhow."""
    return without_unit(str(reading["text"]), views.unit(), str(reading.get("unit") or views.unit()))


def refusal(text: str, unit: str, *, signed: bool) -> Refusal | None:
    """Why a figure is not taken; None where it is."""
    draft = Draft({TYPED: text})
    reading_at(draft, TYPED, text.strip(), unit, signed=signed)
    return draft.refusals.get(TYPED)
