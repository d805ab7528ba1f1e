"""The page of two who changed one record at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import ClassVar

from fitcheck.records.frozen import frozen
from webui.pages.context import Page


@frozen
class Side:
    """One of the two texts of a field: as the form carries it, and as it is read."""

    value: str
    said: str


@frozen
class ConflictRow:
    """A field that differs. ours: the text that was typed here is chosen to begin with."""

    name: str
    label: str
    mine: Side
    theirs: Side
    ours: bool


@frozen
class ConflictPage(Page):
    """What was typed here beside what was kept meanwhile, field by field, each chosen by itself.

    action, back  address of the form, which takes the choices, and where to go instead
    hidden        fields that go along
    gone          the record was deleted meanwhile: it is offered back with what was typed
    rows, added   fields that differ, and readings that both added
    """

    template: ClassVar[str] = "conflict.html"
    room: str  # type: ignore[misc]  # of the record that two changed at once
    action: str
    back: str
    hidden: Mapping[str, str]
    gone: bool = False
    rows: Sequence[ConflictRow] = ()
    added: Sequence[tuple[str, str]] = ()
