"""The base of every record: strict, frozen, unknown fields refused; and small types that records share."""

import re
from dataclasses import replace
from decimal import Decimal
from functools import lru_cache
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationInfo
from pydantic_core import PydanticCustomError, core_schema

from fitcheck.records.faults import Accepts
from fitcheck.records.frozen import frozen
from fitcheck.records.lengths import LONGEST, Length, LengthError, read_length


class Record(BaseModel):
    """A thing that was written down. Nothing computed is kept in it; unknown fields are refused.

    Its checks are built when the first one is read, in one go for all that stands in it: the start of the program
    does not wait for them. Nor has it to compile what a field is: modules of records do without
    ``from __future__ import annotations``, which would hand pydantic a text of it.
    """

    model_config = ConfigDict(
        extra="forbid", frozen=True, strict=True, allow_inf_nan=False, str_strip_whitespace=True, defer_build=True
    )


def no_entries() -> list[Any]:
    """What a list holds that nobody wrote: of `list` itself pydantic reads the signature as text, field by field."""
    return []


Key = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9_-]{0,63}$")]
"""Name of a record inside a household: small letters, figures, - and _; 64 characters at most."""

Text = Annotated[str, Field(max_length=400)]
"""One line typed by a person."""

Note = Annotated[str, Field(max_length=20_000)]
"""Free text of a person."""


def unit_of(info: ValidationInfo) -> str | None:
    """Return the file's unit, which stands in the validation context: the unit of bare numbers."""
    return (info.context or {}).get("unit")


def _from_figures(value: object) -> object:
    """Take a count in quotes: who puts quotes around every entry means the number."""
    text = value.strip() if isinstance(value, str) else ""
    return int(text) if len(text) < 6 and text.isascii() and text.removeprefix("-").isdigit() else value


FROM_FIGURES = BeforeValidator(_from_figures)
"""Before a count: figures in quotes count as the number."""
MOST_COUNTED = 5000
"""Stitches or rows that one count tells, at most."""
Count = Annotated[int, FROM_FIGURES, Field(ge=1, le=MOST_COUNTED)]

LONGEST_MM = 100_000.0
"""Longest length that a record takes [mm]: 100 m. Nothing in a sweater comes near it."""


@lru_cache(maxsize=8192)
def length_typed(text: str, unit: str | None, *, signed: bool) -> Length:
    """Read a typed length; the same text is looked at many times on the way to one answer."""
    return read_length(text, unit=unit, signed=signed)


def length_of(text: object, unit: str | None, *, signed: bool = False, in_list: bool = False) -> Length:
    """Read a typed length, text or bare number, in `unit`; a refusal becomes a fault of the field.

    in_list  whether several may stand in a list there

    A length without a sign is above zero. A bare number that JSON wrote with an exponent gets plain digits as
    its text, so that its text alone can be read again.
    """
    try:
        if unit is None or isinstance(unit, str):
            if isinstance(text, str):
                return _taken(text, unit, signed=signed)
            if isinstance(text, int | float):
                return _number_taken(text, unit, signed=signed)
        if isinstance(text, Length):
            return text
        length = read_length(text, unit=unit, signed=signed)  # type: ignore[arg-type]
    except LengthError as error:
        raise refused(_accepted_instead(text, error, unit, signed=signed, in_list=in_list)) from error
    return _within_limits(length, signed=signed)


@lru_cache(maxsize=8192)
def _taken(text: str, unit: str | None, *, signed: bool) -> Length:
    return _within_limits(length_typed(text, unit, signed=signed), signed=signed)


@lru_cache(maxsize=8192, typed=True)
def _number_taken(number: float, unit: str | None, *, signed: bool) -> Length:
    length = read_length(number, unit=unit, signed=signed)
    if "e" in length.text:
        length = replace(length, text=f"{Decimal(length.text):f}")
    return _within_limits(length, signed=signed)


def _within_limits(length: Length, *, signed: bool) -> Length:
    """The length itself; refused where no record takes one like it."""
    if abs(length.value_mm) > LONGEST_MM:
        raise refused(Accepts("length_at_most", most="100 m"))
    if not signed and length.value_mm <= 0:
        raise refused(Accepts("length_above_0"))
    if len(as_typed(length)) > LONGEST:
        raise refused(Accepts("characters_of_a_length", most=LONGEST))
    return length


_BETWEEN_LENGTHS = re.compile(r"\s*;\s*|\s*,\s+|\s+and\s+")


def _accepted_instead(text: object, error: LengthError, unit: str | None, *, signed: bool, in_list: bool) -> Accepts:
    """Say what would be accepted, also where several lengths stand in one text or a sign could be meant."""
    parts = _BETWEEN_LENGTHS.split(text.strip()) if isinstance(text, str) and len(text) <= LONGEST else []
    if len(parts) > 1 and all(_is_length(part, unit) for part in parts):
        if in_list:
            return Accepts("list_of_readings", meant=tuple(parts))
        return Accepts("one_length", meant=tuple(parts))
    if signed and error.code in ("not_a_length", "empty") and "such_as" in error.accepts.values:
        return Accepts("length_with_its_sign", such_as=("+0.8 cm", "−5 mm", "level"))
    return error.accepts


def _is_length(text: str, unit: str | None) -> bool:
    try:
        read_length(text, unit=unit, signed=True)
    except LengthError:
        return False
    return True


def refused(accepts: Accepts) -> PydanticCustomError:
    """What a model raises where it refuses something; ``records.refusals`` makes a fault of it."""
    return PydanticCustomError("refused", "{accepts}", {"accepts": accepts})


def _plain(value: object, info: ValidationInfo) -> Length:
    return _with_unit(length_of(value, unit_of(info)))


def _signed(value: object, info: ValidationInfo) -> Length:
    return _with_unit(length_of(value, unit_of(info), signed=True))


def _with_unit(length: Length) -> Length:
    """The length with a text that says its unit."""
    return Length(length.value_mm, length.resolution_mm, length.unit, as_typed(length))


_AS_TYPED: dict[str, Any] = {
    "anyOf": [{"type": "string", "minLength": 1}, {"type": "number"}],
    "description": "a length as typed: '58,7 cm', '23 1/8 in', or a bare number in the file's unit",
}


def as_typed(length: Length) -> str:
    """Write a length back as it was typed; a bare number gets the unit that it was read in."""
    return f"{length.text} {length.unit}" if length.text[-1:].isnumeric() else length.text


@frozen
class _Typed:
    """How pydantic reads and writes a length: by our own grammar alone, so it need not look into `Length`."""

    signed: bool

    def __get_pydantic_core_schema__(self, *_: object) -> core_schema.CoreSchema:
        return core_schema.with_info_plain_validator_function(
            _signed if self.signed else _plain,
            serialization=core_schema.plain_serializer_function_ser_schema(
                as_typed, return_schema=core_schema.str_schema()
            ),
        )

    def __get_pydantic_json_schema__(self, *_: object) -> dict[str, Any]:
        return dict(_AS_TYPED)


TypedLength = Annotated[Length, _Typed(signed=False)]
"""A length given once (a band's depth, a wish for a size), kept with its text and unit."""

SignedLength = Annotated[Length, _Typed(signed=True)]
"""A length with a sign: a wish, an ease."""
