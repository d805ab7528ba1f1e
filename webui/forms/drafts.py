"""From a form to a record: what was typed, which field each part of it came from, and what was refused.

The records' own models judge what was typed, so a page and a file refuse alike. Nothing typed is lost: a refused
form is shown again with `typed` in its fields and `refusals` beside them.
"""

from __future__ import annotations

import re
import secrets
import unicodedata
from collections.abc import Callable, Collection, Iterable, Mapping
from typing import Any, NamedTuple

from fitcheck import words
from fitcheck.records.faults import Fault, RecordsError
from fitcheck.records.lengths import LengthError, read_length
from fitcheck.records.places import Path, read_path
from fitcheck.store import Store
from fitcheck.store.documents import take
from fitcheck.store.faults import NotFound, StaleWrite
from fitcheck.store.forms import Sent
from fitcheck.store.stored import Stored
from fitcheck.words import dates, wants
from webui.forms.typed import as_number, with_unit

_PAGES = frozenset(("new", "over", "paste", "fabrics", "several", "swatches", "yarns", "machines", "keep"))
"""Names of pages that stand where a record's key stands."""
FORM = "form"
"""The field with the id that a form was made with."""
FORM_ID = re.compile(r"[\w-]{16,64}", re.ASCII)
THICKEST_MM = 20.0
"""Thicker than this no fabric of a machine is [mm] (common practice, no source)."""
WHOLE = "this form"
"""Where a refusal stands that belongs to no field."""


class Refusal(NamedTuple):
    """What was read in a field, and what would be taken."""

    read: str
    accepts: str


class Draft:
    """One form on its way to a record.

    typed     everything that was typed, by field
    refusals  refusals by field, in the order in which they were found
    """

    def __init__(self, typed: Mapping[str, str]) -> None:
        self.typed = dict(typed)
        self.refusals: dict[str, Refusal] = {}
        self._fields: dict[Path, str] = {}

    def text(self, field: str) -> str:
        """What was typed in a field, without the spaces around it."""
        return self.typed.get(field, "").strip()

    def refuse(self, field: str, accepts: str) -> None:
        """Refuse a field; its first refusal stays."""
        self.refusals.setdefault(field, Refusal(self.text(field), accepts))

    def at(self, path: Path, field: str) -> str:
        """Remember which field a part of the document came from, and return what was typed in it."""
        self._fields[path] = field
        return self.text(field)

    def number(self, path: Path, field: str, own: Collection[str] = ()) -> float | int | str:
        """A number with either decimal mark, also with its own unit behind it: "350 g" of grams.

        own  the words for what the field counts

        Anything else stays as typed, for the models to refuse.
        """
        return as_number(self.at(path, field), own)

    def length(self, path: Path, field: str, unit: str) -> str:
        """A length with its unit: a bare figure is of `unit`."""
        return with_unit(self.at(path, field), unit)

    def day(self, path: Path, field: str) -> str:
        """A date as the records have it, 2025-03-31, from any of the ways in which it may be typed."""
        text = self.at(path, field)
        day = dates.read_day(text)
        if text and day is None:
            self.refuse(field, dates.no_day(text))
        return day.isoformat() if day else text

    def thickness(self, path: Path, field: str, unit: str) -> str:
        """The thickness of a fabric, with its unit: in centimetres a bare 3 is hardly meant."""
        text = self.length(path, field, unit)
        try:
            thick = read_length(text, unit=unit).value_mm > THICKEST_MM
        except LengthError:
            return text  # the models say what is the matter with it
        if thick:
            self.refuse(field, wants.TOO_THICK)
        return text

    def refuse_faults(self, faults: Iterable[Fault]) -> None:
        """Put each fault beside the field that it is about; what belongs to none goes to the whole form."""
        for fault in faults:
            field = self._field_of(read_path(fault.place))
            accepts = words.accepted(fault.accepts, on_page=True)
            if field is None:
                self.refusals.setdefault(WHOLE, Refusal(_bare(fault.read), accepts))
            else:
                self.refusals.setdefault(field, Refusal(self.text(field), accepts))

    def _refuse_all(self, kind: str, key: str, document: Mapping[str, Any]) -> None:
        """Refuse the other fields too that the models would refuse: whoever types again does so once."""
        try:
            take(kind, key, document)
        except RecordsError as error:
            self.refuse_faults(fault for fault in error.faults if self._has(read_path(fault.place)))

    def _has(self, path: Path) -> bool:
        """Whether a field was read into this place, or around it."""
        return any(path[:depth] in self._fields for depth in range(len(path), 0, -1))

    def _field_of(self, path: Path) -> str | None:
        """The field of a place: its own, else that of a part of it where something was typed, else further out."""
        for depth in range(len(path), 0, -1):
            around = path[:depth]
            if around in self._fields:
                return self._fields[around]
            fields = [field for known, field in self._fields.items() if known[:depth] == around]
            if fields:
                return next((field for field in fields if self.text(field)), fields[0])
        return None

    @property
    def fits(self) -> bool:
        """Whether nothing was refused."""
        return not self.refusals

    @property
    def form(self) -> str | None:
        """The id that the form was made with; None where it carries none."""
        ident = self.text(FORM)
        return ident if FORM_ID.fullmatch(ident) else None

    def sent(self, store: Store, kind: str, key: str | None = None) -> Sent | None:
        """What this form wrote of a kind of records, or of one of them, when it was sent before."""
        return store.sent(self.form, kind, key) if self.form else None

    def before(self, store: Store, stored: Stored) -> dict[str, Any]:
        """The document that the form is read into: the record as it stood before the form was first sent."""
        sent = self.sent(store, stored.kind, stored.key)
        return stored.doc if sent is None or sent.before is None else sent.before

    def keep(
        self,
        store: Store,
        kind: str,
        key: str,
        document: Mapping[str, Any],
        revision: int,
        put: Callable[..., Stored] | None = None,
    ) -> Stored | None:
        """Write the document; None where it was refused. Raises StaleWrite when somebody else was faster.

        document  what the form makes of `before`; where the form was sent before, it changes what it wrote then
        put       how it is written when it is sent for the first time, where that is not the store's own
        """
        if not self.fits:
            self._refuse_all(kind, key, document)
            return None
        try:
            if (sent := self.sent(store, kind, key)) is None:
                try:
                    return (put or store.put)(kind, key, document, revision, self.form)
                except StaleWrite:
                    # Tapped twice: the other one was faster.
                    if (sent := self.sent(store, kind, key)) is None:
                        raise
            return store.put(kind, key, sent.again(document), sent.now.revision, self.form)
        except RecordsError as error:
            self.refuse_faults(error.faults)
            return None

    def keep_new(
        self,
        store: Store,
        kind: str,
        name: str,
        document: Mapping[str, Any],
        put: Callable[..., Stored] | None = None,
    ) -> Stored | None:
        """Write a new record under a key made from its name, or once more the one that this form made.

        put  as of `keep`
        """
        for _ in range(20):
            sent = self.sent(store, kind)
            key = free_key(store, kind, name) if sent is None else sent.now.key
            try:
                return self.keep(store, kind, key, {**document, "id": key}, 0, put)
            except StaleWrite:
                continue
        raise RuntimeError("no free key after twenty tries")


def form_id() -> str:
    """A new id for a form."""
    return secrets.token_urlsafe(12)


def _bare(read: str) -> str:
    return read.strip('"')


def slug(name: str) -> str:
    """A key made from a name: small letters, figures and _, 56 at most.

    >>> slug("Blåe Jacke (2)")
    'blae_jacke_2'
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    words = re.findall(r"[a-z0-9]+", plain)
    return "_".join(words)[:56].strip("_") or "unnamed"


def free_key(store: Store, kind: str, name: str) -> str:
    """A key made from a name that no record of the kind has or had."""
    begin = slug(name)
    if begin in _PAGES:
        begin += "_"
    for number in range(1, 10_000):
        key = begin if number == 1 else f"{begin}_{number}"
        try:
            store.get(kind, key)
        except NotFound as error:
            if not error.deleted:
                return key
    raise RuntimeError(f"no free key like {begin}")
