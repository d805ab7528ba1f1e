"""The base of every record: strict, frozen, unknown fields refused; and small types that records share."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Annotated, Any

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainSerializer,
    ValidationInfo,
    WithJsonSchema,
)
from pydantic_core import PydanticCustomError

from fitcheck.records.lengths import LONGEST, Length, LengthError, read_length


class Record(BaseModel):
    """A thing that was written down. Nothing computed is kept in it; unknown fields are refused."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, allow_inf_nan=False, str_strip_whitespace=True)


Key = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9_-]{0,63}$")]
"""Name of a record inside a household: small letters, figures, - and _; 64 characters at most."""

Text = Annotated[str, Field(max_length=400)]
"""One line typed by a person."""

Note = Annotated[str, Field(max_length=20_000)]
"""Free text of a person."""


def unit_of(info: ValidationInfo) -> str | None:
    """Return the file's unit, which stands in the validation context: the unit of bare numbers."""
    return (info.context or {}).get("unit")


LONGEST_MM = 100_000.0
"""Longest length that a record takes [mm]: 100 m. Nothing in a sweater comes near it."""


def length_of(text: object, unit: str | None, *, signed: bool = False) -> Length:
    """Read a typed length, text or bare number, in `unit`; a refusal becomes a fault of the field.

    A length without a sign is above zero. A bare number that JSON wrote with an exponent gets plain digits as
    its text, so that its text alone can be read again.
    """
    if isinstance(text, Length):
        return text
    try:
        length = read_length(text, unit=unit, signed=signed)  # type: ignore[arg-type]
    except LengthError as error:
        raise _refused(error.read, error.accepts) from error
    if abs(length.value_mm) > LONGEST_MM:
        raise _refused(length.text, "A length is 100 m at most.")
    if not signed and length.value_mm <= 0:
        raise _refused(length.text, "A length is more than 0; leave it out where there is nothing to read.")
    if not isinstance(text, str) and "e" in length.text:
        length = replace(length, text=f"{Decimal(length.text):f}")
    if len(as_typed(length)) > LONGEST:
        raise _refused(length.text, f"A length is written in {LONGEST} characters at most, with its unit.")
    return length


def _refused(read: str, accepts: str) -> PydanticCustomError:
    return PydanticCustomError("length", "{accepts}", {"read": read, "accepts": accepts})


def _plain(value: object, info: ValidationInfo) -> Length:
    length = length_of(value, unit_of(info))
    return replace(length, text=as_typed(length))


def _signed(value: object, info: ValidationInfo) -> Length:
    length = length_of(value, unit_of(info), signed=True)
    return replace(length, text=as_typed(length))


_AS_TYPED: dict[str, Any] = {
    "anyOf": [{"type": "string", "minLength": 1}, {"type": "number"}],
    "description": "a length as typed: '58,7 cm', '23 1/8 in', or a bare number in the file's unit",
}


def as_typed(length: Length) -> str:
    """Write a length back as it was typed; a bare number gets the unit that it was read in."""
    return f"{length.text} {length.unit}" if length.text[-1:].isnumeric() else length.text


_TYPED = PlainSerializer(as_typed, return_type=str)

TypedLength = Annotated[Length, BeforeValidator(_plain), _TYPED, WithJsonSchema(_AS_TYPED)]
"""A length given once (a band's depth, a wish for a size), kept with its text and unit."""

SignedLength = Annotated[Length, BeforeValidator(_signed), _TYPED, WithJsonSchema(_AS_TYPED)]
"""A length with a sign: a wish, an ease."""
