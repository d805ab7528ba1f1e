"""What a person types into a field: numbers, lengths, several readings at once."""

from __future__ import annotations

import re
from collections.abc import Collection
from typing import Any

from fitcheck.records.lengths import LengthError, read_length

NUMBER = re.compile(r"[-−+]?\d{1,12}(?:[.,]\d{1,12})?")
_VULGAR = "½⅓⅔¼¾⅛⅜⅝⅞"
_READING = re.compile(
    rf"[-−+]?(?:\d+\s?[/⁄]\s?\d+|\d+(?:[.,]\d+|\s*[{_VULGAR}]|[\s-]\d+\s?[/⁄]\s?\d+)?|[.,]\d+|[{_VULGAR}])"
    r"(?:\s?(?:cm|mm|inch(?:es)?|ins?)\b\.?|\s?[\"″”])?",
    re.IGNORECASE,
)
"""One reading among several: a whole number takes the fraction behind it, and each its own unit."""
_NUMBER_WITH_UNIT = re.compile(rf"({NUMBER.pattern})\s*([^\W\d_]+\.?|%)?")

MOST_TYPED = 500
"""Readings in one field, at most: more than anybody types."""
STITCHES, ROWS = ("st", "sts", "stitch", "stitches"), ("r", "row", "rows")
HOURS = ("h", "hr", "hrs", "hour", "hours")
"""What a number may have behind it, by what it counts."""
BEHIND = {
    "g": ("g", "gr", "gram", "grams", "gramme", "grammes"),
    "m": ("m", "metre", "metres", "meter", "meters"),
    "%": ("%", "percent"),
}
"""The same by the unit that stands behind its field."""


def as_number(text: str, own: Collection[str] = ()) -> float | int | str:
    """A typed number, either decimal mark; anything else as it is.

    own  what may stand behind it: the words for what the field counts

    >>> as_number("350 g", ("g",)), as_number("84sts.", ("sts",)), as_number("84 rows", ("sts",))
    (350, 84, '84 rows')
    """
    number = _NUMBER_WITH_UNIT.fullmatch(text)
    if number is None or (number[2] and number[2].casefold().rstrip(".") not in own):
        return text
    plain = number[1].replace(",", ".").replace("−", "-")
    return float(plain) if "." in plain else int(plain)


MOST_REVISION = 2**53
"""Number of a revision, at most: the largest that every reader of JSON takes exactly."""


def whole_number(text: str, least: int, most: int) -> int | None:
    """A whole number in plain figures, neither below `least` nor above `most`; None for any other text.

    `int` raises ValueError beyond 4,300 figures, so the length is looked at first.

    >>> whole_number("12", 0, 40), whole_number("41", 0, 40), whole_number("9" * 5_000, 0, 40)
    (12, None, None)
    """
    plain = text.isascii() and text.isdecimal() and len(text) <= len(str(most))
    return int(text) if plain and least <= int(text) <= most else None


def with_unit(text: str, unit: str) -> str:
    """A typed length with its unit: "52" in cm becomes "52 cm"; what is no length stays as it is."""
    try:
        read_length(text, signed=True)
    except LengthError as error:
        return f"{text} {unit}" if error.code == "no_unit" else text
    return text


def own_unit(text: str) -> str:
    """The unit that a typed length says itself; empty for a bare figure, and for what is no length.

    >>> own_unit("17 1/2 in"), own_unit("18")
    ('in', '')
    """
    try:
        return read_length(text, signed=True).unit
    except LengthError:
        return ""


def without_unit(text: str, unit: str, own: str) -> str:
    """A length as a field shows it whose bare figures are of `unit`: without its unit where that is the same.

    own  the unit that the length was typed in

    >>> without_unit("52 cm", "cm", "cm"), without_unit("52", "in", "cm"), without_unit("20 in", "cm", "in")
    ('52', '52 cm', '20 in')
    """
    if any(letter.isalpha() or letter in "\"'″′" for letter in text):
        return text.removesuffix(f" {unit}")
    return text if own == unit else f"{text} {own}"


def reading(text: str, unit: str, **more: Any) -> dict[str, Any]:
    """A reading as it was typed, with the unit that bare figures of the form are in."""
    return {"text": text, "unit": unit, **{name: value for name, value in more.items() if value}}


def several(text: str) -> list[str]:
    """Readings typed in one field: "51.8 52.0", "51,8; 52,0", one a line; fractions keep their whole number.

    What is no row of readings, or more of them than anybody types, stays whole, for the models to refuse.

    >>> several("15 1/2 15 5/8"), several("15½ 15⅝"), several("20 1/8; 20 1/4")
    (['15 1/2', '15 5/8'], ['15½', '15⅝'], ['20 1/8', '20 1/4'])
    >>> several("51,8 52,0")
    ['51,8', '52,0']
    """
    texts: list[str] = []
    for part in re.split(r"[;\n\r|]+|,\s+", text):
        typed, place, readings = part.strip(), 0, []
        while (found := _READING.match(typed, place)) and (found.end() == len(typed) or typed[found.end()].isspace()):
            readings.append(found[0])
            place = found.end() + len(typed[found.end() :]) - len(typed[found.end() :].lstrip())
        texts += readings if readings and place == len(typed) else [typed] if typed else []
    return texts if len(texts) <= MOST_TYPED else [text.strip()]
