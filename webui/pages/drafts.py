"""From a form to a record: what was typed, which field each part of it came from, and what was refused.

The records' own models judge what was typed, so a page and a file refuse alike. Nothing typed is lost: a refused
form is shown again with `typed` in its fields and `refusals` beside them.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Iterable, Mapping
from typing import Any, NamedTuple

from fitcheck.records.faults import Fault, RecordsError
from fitcheck.records.lengths import LengthError, read_length
from fitcheck.records.points import POINTS
from fitcheck.store import Store
from fitcheck.store.faults import NotFound, StaleWrite
from fitcheck.store.stored import Stored
from webui.pages import dates

NUMBER = re.compile(r"[-−+]?\d{1,12}(?:[.,]\d{1,12})?")
_NUMBER_WITH_UNIT = re.compile(rf"({NUMBER.pattern})\s*([^\W\d_]+\.?|%)?")
_STITCHES, _ROWS = ("st", "sts", "stitch", "stitches"), ("r", "row", "rows")
_GRAMS = ("g", "gr", "gram", "grams", "gramme", "grammes")
_OWN: Mapping[str, tuple[str, ...]] = {
    "stitches": _STITCHES,
    "rows": _ROWS,
    "edge_stitches": _STITCHES,
    "multiple": _STITCHES,
    "balance": _STITCHES,
    "grams": _GRAMS,
    "load_grams": _GRAMS,
    "hours": ("h", "hr", "hrs", "hour", "hours"),
    "strands": ("strand", "strands", "end", "ends"),
    "needles": ("needle", "needles"),
    "marks": ("mark", "marks"),
    "washes": ("wash", "washes"),
    "percent": ("%", "percent"),
    "growth_along_percent": ("%", "percent"),
    "growth_across_percent": ("%", "percent"),
    "tex": ("tex",),
    "m_per_100g": ("m", "metre", "metres", "meter", "meters"),
}
"""What a number may have behind it, by the field of the record that it is for."""
_PAGES = frozenset(("new", "over", "paste", "fabrics", "swatches", "yarns", "machines", "keep"))
"""Names of pages that stand where a record's key stands."""
_MINUS = re.compile(r"(?<=\s)-(?=\d)")
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
        self._fields: dict[str, str] = {}

    def text(self, field: str) -> str:
        """What was typed in a field, without the spaces around it."""
        return self.typed.get(field, "").strip()

    def refuse(self, field: str, accepts: str) -> None:
        """Refuse a field; its first refusal stays."""
        self.refusals.setdefault(field, Refusal(self.text(field), accepts))

    def at(self, place: str, field: str) -> str:
        """Remember which field a place of the document came from, and return what was typed in it."""
        self._fields[place] = field
        return self.text(field)

    def number(self, place: str, field: str) -> float | int | str:
        """A number with either decimal mark, also with its own unit behind it: "350 g" of grams.

        Anything else stays as typed, for the models to refuse.
        """
        return as_number(self.at(place, field), _own_words(place))

    def length(self, place: str, field: str, unit: str) -> str:
        """A length with its unit: a bare figure is of `unit`."""
        return with_unit(self.at(place, field), unit)

    def day(self, place: str, field: str) -> str:
        """A date as the records have it, 2025-03-31, from any of the ways in which it may be typed."""
        text = self.at(place, field)
        found = dates.read_day(text)
        if text and found is None:
            self.refuse(field, dates.ACCEPTS)
        return found.isoformat() if found else text

    def thickness(self, place: str, field: str, unit: str) -> str:
        """The thickness of a fabric, with its unit: in centimetres a bare 3 is hardly meant."""
        text = self.length(place, field, unit)
        try:
            thick = read_length(text, unit=unit).value_mm > THICKEST_MM
        except LengthError:
            return text  # the models say what is the matter with it
        if thick:
            self.refuse(field, "Knitted fabric is hardly thicker than 2 cm; millimetres are written behind it: 3 mm.")
        return text

    def refuse_faults(self, faults: Iterable[Fault]) -> None:
        """Put each fault beside the field that it is about; what belongs to none goes to the whole form."""
        for fault in faults:
            field = self._field_of(fault.place)
            accepts = fault.accepts.replace(", without quotes", "").replace(" in quotes", "")
            accepts = _MINUS.sub("\u2212", accepts)
            if field is None:
                self.refusals.setdefault(WHOLE, Refusal(_bare(fault.read), accepts))
            else:
                self.refusals.setdefault(field, Refusal(self.text(field), accepts))

    def _field_of(self, place: str) -> str | None:
        while place:
            if place in self._fields:
                return self._fields[place]
            parts = (f"{place}.", f"{place}[")
            for known, field in self._fields.items():
                if known.startswith(parts):
                    return field
            place = place[: max(place.rfind("."), place.rfind("["), 0)]
        return None

    @property
    def fits(self) -> bool:
        """Whether nothing was refused."""
        return not self.refusals

    def keep(self, store: Store, kind: str, key: str, document: Mapping[str, Any], revision: int) -> Stored | None:
        """Write the document; None where it was refused. Raises StaleWrite when somebody else was faster."""
        if not self.fits:
            return None
        try:
            return store.put(kind, key, document, revision)
        except RecordsError as error:
            self.refuse_faults(error.faults)
            return None

    def keep_new(self, store: Store, kind: str, name: str, document: Mapping[str, Any]) -> Stored | None:
        """Write a new record under a key made from its name."""
        for _ in range(20):
            key = free_key(store, kind, name)
            try:
                return self.keep(store, kind, key, {**document, "id": key}, 0)
            except StaleWrite:
                continue
        raise RuntimeError("no free key after twenty tries")


def _bare(read: str) -> str:
    return read.strip('"')


def as_number(text: str, own: Collection[str] = ()) -> float | int | str:
    """A typed number, either decimal mark; anything else as it is.

    own  what may stand behind it: the words for what the field counts

    >>> as_number("350 g", ("g",)), as_number("84sts.", ("sts",)), as_number("84 rows", ("sts",))
    (350, 84, '84 rows')
    """
    found = _NUMBER_WITH_UNIT.fullmatch(text)
    if found is None or (found[2] and found[2].casefold().rstrip(".") not in own):
        return text
    plain = found[1].replace(",", ".").replace("−", "-")
    return float(plain) if "." in plain else int(plain)


def _own_words(place: str) -> tuple[str, ...]:
    """What may stand behind a number: "stitches.count" takes "84 sts", a count of a length rows."""
    *before, last = [part for part in re.split(r"[.\[\]]+", place) if part]
    if last in ("count", "counted", "knitted", "planned") and before:
        last = before[-1]
    if last in POINTS:
        last = {"across": "stitches", "along": "rows"}.get(POINTS[last].direction, "")
    return _OWN.get(last, ())


def with_unit(text: str, unit: str) -> str:
    """A typed length with its unit: "52" in cm becomes "52 cm"; what is no length stays as it is."""
    try:
        read_length(text, signed=True)
    except LengthError as error:
        return f"{text} {unit}" if error.code == "no_unit" else text
    return text


def reading(text: str, unit: str, **more: Any) -> dict[str, Any]:
    """A reading as it was typed, with the unit that bare figures of the form are in."""
    return {"text": text, "unit": unit, **{name: value for name, value in more.items() if value}}


def several(text: str) -> list[str]:
    """Readings typed in one field: "51.8 52.0", "51,8; 52,0", one a line; fractions keep their whole number.

    >>> several("20 1/8; 20 1/4")
    ['20 1/8', '20 1/4']
    >>> several("51,8 52,0")
    ['51,8', '52,0']
    """
    parts = [part.strip() for part in re.split(r"[;\n\r|]+|,\s+", text) if part.strip()]
    found: list[str] = []
    for part in parts:
        plain = part.split()
        alone = len(plain) > 1 and all(NUMBER.fullmatch(one) for one in plain)
        found += plain if alone else [part]
    return found


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


def without_empty(document: Mapping[str, Any]) -> dict[str, Any]:
    """The document without fields that were left empty, so that they count as not said."""
    return {name: value for name, value in document.items() if value not in ("", None, [], {})}
