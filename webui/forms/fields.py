"""What a form is: its fields, each with its name, what it is called, how it is typed and where it stands in the record.

From one spec a form is drawn (`input` in macros.html), read into a document, written from a record, and its fields
are named beside a conflict.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any, ClassVar, Literal

from fitcheck.records.base import as_typed
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household, by_key
from fitcheck.records.lengths import Length
from fitcheck.records.machines import Dial
from fitcheck.records.places import Path
from fitcheck.words.dates import write_day
from fitcheck.words.names import record_name, told_apart
from webui.forms.drafts import Draft, Refusal
from webui.forms.typed import BEHIND, reading, several, without_unit

Kind = Literal[
    "text",
    "lines",
    "choice",
    "pick",
    "check",
    "keys",
    "day",
    "count",
    "decimal",
    "length",
    "bare_length",
    "thickness",
    "readings",
]
"""How a field is typed.

choice, pick  one of several, in a list or as buttons;  keys: several of several
length        as it was typed, with its unit;  bare_length: in the page's unit, which stands behind it
readings      several lengths, which are added to those that are there
"""
Pairs = Sequence[tuple[str, str]]
"""What there is to choose: value and label."""
Document = dict[str, Any]
ADDED: Mapping[str, str] = {
    "wearers": "Add a person",
    "garments": "Measure a sweater",
    "yarns": "Add a yarn",
    "machines": "Add a machine",
    "swatches": "Add a swatch",
    "size_tables": "Add a size table",
}
"""What adding a record of a kind is called, from a form that can name it."""
NOWHERE: Path = ()
"""The place of a field that says how others are read and is not kept by itself."""


@frozen
class Field:
    """One field of a form.

    name      its name in the form
    label     what it is called; alone: the same where no neighbour explains it
    kind      how it is typed
    hint      what stands under it
    choices   what there is to choose, of the household where it depends on that
    place     where its value stands in the record; its name where nothing else is said
    group     which part of the form it is in
    after     its unit, behind it
    own       words that a number may have behind it, beside that unit
    begin     what a new form has in it
    needed    what would be taken where it is left empty;  required: the browser sees to that
    unsaid    the value of the record that is an empty field
    wide      across the whole form;  rows: lines to type in
    short     a few letters go in
    adds      kind of the records among which it chooses, where one can be added on the way
    """

    name: str
    label: str
    kind: Kind = "text"
    hint: str = ""
    choices: Pairs | Callable[[Household], Pairs] = ()
    place: Path | None = None
    group: str = ""
    after: str = ""
    own: tuple[str, ...] = ()
    begin: str = ""
    needed: str = ""
    required: bool = False
    unsaid: Any = None
    wide: bool = False
    rows: int = 3
    alone: str = ""
    adds: str = ""
    short: bool = False

    @property
    def is_short(self) -> bool:
        """Whether what goes in is short: a figure, or a few letters."""
        return self.short or self.kind in ("count", "decimal", "bare_length", "readings")

    @property
    def path(self) -> Path:
        """Where its value stands in the record."""
        return (self.name,) if self.place is None else self.place

    def read(self, draft: Draft, unit: str, under: Path, before: Any) -> Any:
        """What was typed, as the models take it; None where it was left empty.

        unit    of a bare figure
        under   where the document of the form stands in the record
        before  what stands at its place now
        """
        if self.needed and not draft.text(self.name):
            draft.refuse(self.name, self.needed)
        path = (*under, *self.path)
        match self.kind:
            case "count" | "decimal":
                return draft.number(path, self.name, (*self.own, *BEHIND.get(self.after, ())))
            case "length" | "bare_length":
                return draft.length(path, self.name, self.after or unit)
            case "thickness":
                return draft.thickness(path, self.name, unit)
            case "day":
                return draft.day(path, self.name)
            case "check":
                return True if draft.at(path, self.name) else None
            case "pick":
                return draft.at(path, self.name) or self.begin
            case "keys":
                return draft.at(path, self.name).split()
            case "readings":
                return self._added(draft, unit, path, before or [])
            case _:
                return draft.at(path, self.name)

    def _added(self, draft: Draft, unit: str, path: Path, before: list[Document]) -> list[Document]:
        """The readings that are there and those that were typed; each is of a laying of its own where that is said."""
        anew = draft.text("anew") == "yes"
        laying = max((entry.get("laying", 0) for entry in before), default=0)
        readings = list(before)
        for number, text in enumerate(several(draft.text(self.name)), start=1):
            draft.at((*path, len(readings)), self.name)
            own = laying + number if anew else None
            readings.append(reading(text, unit, by=draft.text("by"), laying=own))
        draft.at(path, self.name)
        return readings

    def write(self, record: Any, unit: str) -> str:
        """The value of a record as the field has it. Readings are not in it, for they are added."""
        value = record if self.path and self.kind != "readings" else None
        for step in self.path if value is not None else ():
            value = value.get(step) if isinstance(value, Mapping) else getattr(value, str(step), None)
        if value is None or value == self.unsaid:
            return ""
        match value:
            case bool():
                return "yes" if value else ""
            case float():
                return f"{value:g}"
            case date():
                return write_day(value)
            case Dial():
                return value.written()
            case Length():
                bare = self.kind == "bare_length" or self.after
                return without_unit(value.text, self.after or unit, value.unit) if bare else as_typed(value)
            case list():
                return " ".join(value)
            case _:
                return str(value)


def group(name: str, *fields: Field) -> tuple[Field, ...]:
    """Fields that are a part of their form."""
    return tuple(replace(field, group=name) for field in fields)


@frozen
class Rows:
    """A list of the record, an entry a row of fields; what the form has no room for stays as it is."""

    name: str
    rows: tuple[tuple[Field, ...], ...]


@frozen
class Form:
    """The spec of a form. `read` and `write` are overridden where fields hang together.

    usual  what a field holds while nobody touches it, by the first part of its name, where that is not nothing
    """

    usual: ClassVar[Mapping[str, str]] = {}
    parts: tuple[Field | Rows, ...]

    def __iter__(self) -> Iterator[Field]:
        for part in self.parts:
            if isinstance(part, Rows):
                for row in part.rows:
                    yield from row
            else:
                yield part

    def begin(self) -> dict[str, str]:
        """What a new form has in its fields."""
        return {field.name: field.begin for field in self if field.begin}

    def read(self, draft: Draft, unit: str, document: Document | None = None, under: Path = ()) -> Document:
        """The document with what was typed in its places.

        What was left empty is taken out of it, readings are added, and what the form has no field for stays.
        unit   of a bare figure
        under  where the document stands in the record
        """
        document = {} if document is None else document
        for part in self.parts:
            if isinstance(part, Rows):
                entries = document.get(part.name, [])[len(part.rows) :]
                typed = [row for row in part.rows if any(draft.text(field.name) for field in row)]
                read = [Form(row).read(draft, unit, {}, (*under, part.name, at)) for at, row in enumerate(typed)]
                put(document, (part.name,), [*read, *entries])
            elif part.path:
                value = part.read(draft, unit, under, inside(document, part.path))
                put(document, part.path, value)
        return document

    def write(self, record: Any, unit: str) -> dict[str, str]:
        """The fields as a record fills them."""
        typed: dict[str, str] = {}
        for part in self.parts:
            if isinstance(part, Rows):
                for row, entry in zip(part.rows, getattr(record, part.name), strict=False):
                    typed |= Form(row).write(entry, unit)
            else:
                typed[part.name] = part.write(record, unit)
        return typed

    def added(self, draft: Draft) -> int:
        """How many readings were typed."""
        return sum(len(several(draft.text(field.name))) for field in self if field.kind == "readings")

    def beside(self, forms: Sequence[Mapping[str, str]]) -> list[dict[str, str]]:
        """Several fillings of the form brought together, so that the same stands in the same field."""
        return [dict(typed) for typed in forms]

    def places(self, typed: Mapping[str, str], document: Document) -> Iterator[tuple[str, Path]]:
        """Where the figure of each field stands in the document; what is added, ticked or long text has none.

        typed  a filling of the form;  document: what it is of, as the store has it
        """
        for part in self.parts:
            if isinstance(part, Rows):
                for number, row in enumerate(part.rows):
                    yield from ((field.name, (part.name, number, *field.path)) for field in row)
            elif part.path and part.kind not in ("readings", "lines", "keys", "check"):
                yield part.name, part.path

    def overruled(self, document: Document) -> Iterator[tuple[str, Path, Any]]:
        """Figures of the document that no field shows, because another one counts: field, place and figure."""
        return iter(())

    def label(self, name: str, typed: Mapping[str, str]) -> str | None:
        """What a field is called where it stands alone; None for what is no field of the form.

        typed  a filling of the form, of whose names some are called by what stands in others
        """
        return next((field.alone or field.label for field in self if field.name == name), None)

    def choices(self, household: Household) -> dict[str, Pairs]:
        """What there is to choose, by field."""
        return {
            field.name: field.choices(household) if callable(field.choices) else field.choices
            for field in self
            if field.choices
        }


@frozen
class Struck:
    """A figure that was typed before: what it said, and when that was."""

    text: str
    told: str


class Filled:
    """A form as a page draws it: its fields, what was typed in them, what there is to choose, what was refused in the
    order of the fields.

    earlier  what stood in its fields before, by name
    """

    def __init__(
        self, form: Form, draft: Draft, household: Household, earlier: Mapping[str, Sequence[Struck]] | None = None
    ) -> None:
        self.earlier = earlier or {}
        self.fields = {field.name: field for field in form}
        self.typed: Mapping[str, str] = draft.typed
        at = {name: place for place, name in enumerate(self.fields)}
        by_place = sorted(draft.refusals.items(), key=lambda refused: at.get(refused[0], len(at)))
        self.refusals: Mapping[str, Refusal] = dict(by_place)
        self.choices = form.choices(household)

    def group(self, name: str) -> list[str]:
        """The fields of a part of the form."""
        return [field.name for field in self.fields.values() if field.group == name]

    def refused(self, group: str) -> bool:
        """Whether anything of a part was refused."""
        return any(name in self.refusals for name in self.group(group))

    def said(self, group: str) -> bool:
        """Whether anything of a part was typed or refused."""
        return self.refused(group) or any(self.typed.get(name) for name in self.group(group))


def named(kind: str, none: str = "") -> Callable[[Household], Pairs]:
    """The records of a kind to choose from, by name; none: what choosing nothing is called, where that is offered."""

    def choices(household: Household) -> Pairs:
        records = getattr(household, kind)
        names = told_apart(records) if kind == "swatches" else {record.id: record_name(record) for record in records}
        pairs = list(names.items())
        return [("", none), *pairs] if none else pairs

    return choices


def called(records: Iterable[Any], key: str | None) -> str:
    """The name of a record among others, without one its key in words; empty where it is not among them."""
    record = by_key(records, key)
    return "" if record is None else record_name(record)


def inside(document: Document, path: Path) -> Any:
    """What stands at a place of a document; None where nothing does."""
    value: Any = document
    for step in path:
        value = value.get(step) if isinstance(value, dict) else None
    return value


def put(document: Document, path: Path, value: Any) -> None:
    """Put a value at its place; nothing takes it out, and with it what is empty without it."""
    step, *rest = map(str, path)
    if rest:
        within = document.setdefault(step, {})
        put(within, tuple(rest), value)
        value = within
    if value in (None, "", [], {}):
        document.pop(step, None)
    else:
        document[step] = value
