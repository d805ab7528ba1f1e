"""Lengths as they are typed: read with their unit and resolution, and written to 1 mm or 1/8 in.

Reading is integer arithmetic up to one last division, so every spelling of a length gives the same float.
Only a unit beyond ``UNITS`` ("0.6 decimetre") asks pint, which is imported on the first of them.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from decimal import Decimal
from functools import lru_cache
from types import MappingProxyType
from typing import Any, Literal

from fitcheck.records.faults import Accepts, FitcheckError
from fitcheck.records.frozen import frozen

LengthCode = Literal[
    "empty",
    "negative",
    "plus",
    "two_units",
    "unknown_unit",
    "no_unit",
    "two_marks",
    "fraction_too_big",
    "fraction_and_decimals",
    "denominator",
    "zero_denominator",
    "inches_too_big",
    "not_finite",
    "not_a_length",
]

# mm in one unit as a ratio of whole numbers. Inch 25.4 mm and yard 0.9144 m are exact: international yard and
# pound agreement of 1959.
_RATIOS = {"mm": (1, 1), "cm": (10, 1), "m": (1000, 1), "in": (127, 5), "ft": (1524, 5), "yd": (4572, 5)}

UNITS: Mapping[str, float] = MappingProxyType({name: up / down for name, (up, down) in _RATIOS.items()})
"""Millimetres in one of each unit that a Length can have [mm]."""

INCH_MM, FOUR_INCHES_MM = UNITS["in"], 4 * UNITS["in"]
"""An inch, and the span of a gauge in inches [mm]."""

PARTS = (2, 3, 4, 8, 16, 32, 64)
"""Denominators that are read: the marks of a tape, and thirds (of a yard, of a foot)."""

LONGEST = 60
"""Characters in the longest text that is read as a length."""

_WORDS = {
    "mm": "mm millimetre millimetres millimeter millimeters",
    "cm": "cm centimetre centimetres centimeter centimeters",
    "m": "m metre metres meter meters",
    "in": "in ins inch inches",
    "ft": "ft foot feet",
    "yd": "yd yds yard yards",
}
UNIT_NAMES = {word: name for name, words in _WORDS.items() for word in words.split()}
UNIT_NAMES |= {word + ".": name for word, name in UNIT_NAMES.items()}
UNIT_NAMES |= {'"': "in", "''": "in", "'": "ft"}
"""The unit of UNITS that a word or sign stands for."""

_AMOUNT = r"""(?: (\d*)[.,](\d+) | (?: (\d+) (?: \s+ | -\s? ) )? (\d+)\s*/\s*(\d+) | (\d+) )"""
ONE_LENGTH = "".join(rf"""([+-])?\s* {_AMOUNT} \s*([A-Za-z]+\.?|"|''?)?""".split())
"""One length in one unit, as a pattern: sign, the groups of _AMOUNT, and the unit's word or sign."""
_ONE = re.compile(ONE_LENGTH, re.ASCII)
_FEET_INCHES = re.compile(
    rf"""([+-])?\s* (\d+)\s*(?:'|ft\.?|foot|feet)\s* {_AMOUNT} \s*(?:"|''|in\.?|ins\.?|inch|inches)?""",
    re.ASCII | re.VERBOSE,
)
_EXAMPLE = Accepts("number_with_its_unit", such_as=("58.7 cm", "23 1/8 in"))
_BARE_EXAMPLE = Accepts("number_for_a_length", such_as=("58.7", "23 1/8"))
_UNIT_LIST = Accepts("unit_of_length", units=tuple(UNITS))

CHARACTERS = {
    "½": " 1/2 ",
    "⅓": " 1/3 ",
    "⅔": " 2/3 ",
    "¼": " 1/4 ",
    "¾": " 3/4 ",
    "⅛": " 1/8 ",
    "⅜": " 3/8 ",
    "⅝": " 5/8 ",
    "⅞": " 7/8 ",
    "\u2044": "/",  # fraction slash
    "\u2212": "-",  # real minus
    "\u2010": "-",  # hyphen
    "\u2011": "-",  # hyphen that does not break
    "\u2013": "-",  # en dash
    "″": '"',
    "”": '"',
    "“": '"',
    "′": "'",
    "’": "'",
    "‘": "'",
    "\u00a0": " ",  # no-break space
    "\u2009": " ",  # thin space
    "\u202f": " ",  # narrow no-break space
}
"""What a character is read as. A vulgar fraction keeps a space on both sides: "20⅛" is 20 1/8, "⅓2" is nothing."""
_CHARACTERS = str.maketrans(CHARACTERS)


class LengthError(FitcheckError, ValueError):
    """A text that is not taken as a length.

    code     stable name of the reason
    read     what was read, as typed (cut where it is very long)
    accepts  what would be accepted
    """

    def __init__(self, code: LengthCode, read: str, accepts: Accepts) -> None:
        super().__init__(code, read, accepts)
        self.code: LengthCode = code
        self.read = read
        self.accepts = accepts

    def __str__(self) -> str:
        return f"read {' '.join(self.read.split()) or 'nothing'}, accepted {self.accepts}"


@frozen
class Length:
    """A length as it was read.

    value_mm       [mm]
    resolution_mm  one step of the last place that was typed [mm]: 58.7 cm has 1 mm, 23 1/8 in has 1/8 in,
                   20 in has 1 in
    unit           one of UNITS: the unit that it was typed in (inches for feet with inches, cm for a unit
                   beyond UNITS)
    text           as typed, without the spaces around it
    """

    value_mm: float
    resolution_mm: float
    unit: str
    text: str


def read_length(text: str | int | float, *, unit: str | None = None, signed: bool = False) -> Length:
    """Read one length as it is typed on a form or in a file.

    Decimals with a point or a comma ("58.7 cm", "58,7cm"), fractions (``23 1/8 in``, ``23-1/8"``, ``23⅛``),
    feet with inches (``5 ft 2 in``, ``5' 2"``). No thousands separators.

    text    what was typed; a bare number from JSON counts as typed the way Python writes it
    unit    unit of a text without one; any spelling of one of UNITS
    signed  for overhangs: also "-0,8 cm", "+5 mm" and "level" (or "even"), which is 0 to 1 mm or 1/8 in

    Raises LengthError: with what was read, what would be accepted, and a stable code.
    """
    if not isinstance(text, str):
        return _read_number(text, unit, signed)
    typed = text.strip()
    match = _ONE.fullmatch(typed) if len(typed) <= LONGEST else None
    if match is None:
        return _read_unusual(typed, unit, signed)
    return _from_match(match, typed, unit, signed)


def write_length(mm: float, unit: str, *, signed: bool = False) -> str:
    """Write a length for people, with its unit: "58.7 cm", "587 mm", "23 1/8 in".

    mm, cm and m are written to 1 mm, inches to 1/8 in, feet and yards to their hundredth (3 mm, 9 mm);
    halves go away from zero.

    mm      [mm]
    unit    any spelling of one of UNITS
    signed  also write a plus; a minus is always written and is a real minus (U+2212); zero has no sign

    Raises LengthError: unknown_unit, or not_finite for nan and infinity.
    """
    return f"{write_bare(mm, unit, signed=signed)} {_unit_for_writing(unit)}"


def write_bare(mm: float, unit: str, *, signed: bool = False, parts: int = 8) -> str:
    """Write a length as ``write_length`` does, without the unit.

    parts  the finest part of an inch: 8 or 16
    """
    name = _unit_for_writing(unit)
    if not math.isfinite(mm):
        raise LengthError("not_finite", f"{mm} mm", Accepts("finite_number_of_millimetres"))
    step_mm, decimals = WRITTEN_TO[name] if name != "in" else (UNITS["in"] / parts, 0)
    count = whole_steps(abs(mm), step_mm)
    if count == 0:
        return "0"
    sign = "\u2212" if mm < 0 else "+" if signed else ""
    if name == "in":
        return sign + _mixed(count, parts)
    if decimals == 0:
        return f"{sign}{count}"
    whole, rest = divmod(count, 10**decimals)
    return f"{sign}{whole}.{rest:0{decimals}d}"


def whole_steps(mm: float, step_mm: float) -> int:
    """Whole steps of a length as it is written, halves away from zero.

    A half that floating arithmetic left a hair short still counts as a half.
    """
    count = math.floor(abs(mm) / step_mm + 0.5 + 1e-9)
    return -count if mm < 0 else count


WRITTEN_TO = {
    "mm": (1.0, 0),
    "cm": (1.0, 1),
    "m": (1.0, 3),
    "in": (INCH_MM / 8, 0),
    "ft": (3.048, 2),
    "yd": (9.144, 2),
}
"""The step that each unit is written to [mm], and its decimals. Hundredths of a foot and of a yard: their eighths are
too coarse for knitting (38 mm, 114 mm)."""


def _from_match(match: re.Match[str], typed: str, unit: str | None, signed: bool) -> Length:
    """Length from a match of _ONE."""
    sign, *amount, word = match.groups()
    up, down = _amount(amount, typed)
    if sign is not None:
        up = _with_sign(sign, up, typed, signed)
    if word is None:
        name = _default_unit(unit, typed)
        mm_up, mm_down = _RATIOS[name]
    else:
        known = UNIT_NAMES.get(word) or UNIT_NAMES.get(word.lower())
        if known is not None:
            name = known
            mm_up, mm_down = _RATIOS[name]
        else:
            beyond = _beyond(word.lower().rstrip("."))
            if beyond is None:
                raise _refusal("unknown_unit", typed, _UNIT_LIST)
            name = "cm"
            mm_up, mm_down = beyond
    down *= mm_down
    return Length(up * mm_up / down, mm_up / down, name, typed)


def _amount(groups: Sequence[Any], typed: str) -> tuple[int, int]:
    """The number in the groups of _AMOUNT: numerator and denominator, 1 / denominator its last place."""
    whole, decimals, mixed, above, below, plain = groups
    if decimals is not None:
        return int(f"{whole}{decimals}"), int(10 ** len(decimals))
    if plain is not None:
        return int(plain), 1
    parts = int(below)
    count = int(above)
    if parts not in PARTS:
        raise _wrong_parts(int(mixed or 0), count, parts, typed)
    if count >= parts:
        raise _improper(mixed, above, parts, typed)
    return int(mixed or 0) * parts + count, parts


def _with_sign(sign: str, up: int, typed: str, signed: bool) -> int:
    if not signed:
        without = typed[1:].strip()
        if sign == "-":
            raise _refusal("negative", typed, Accepts("length_without_minus", meant=without))
        raise _refusal("plus", typed, Accepts("length_without_plus", meant=without))
    return -up if sign == "-" else up


def _default_unit(unit: str | None, typed: str) -> str:
    if unit is None:
        raise _refusal("no_unit", typed, Accepts("unit", meant=(f"{typed} cm", f"{typed} in")))
    name = UNIT_NAMES.get(unit.strip().lower()) if isinstance(unit, str) else None
    if name is None:
        raise _refusal("unknown_unit", f"{typed} ({unit})", _UNIT_LIST)
    return name


def _unit_for_writing(unit: str) -> str:
    name = UNIT_NAMES.get(unit.strip().lower()) if isinstance(unit, str) else None
    if name is None:
        raise LengthError("unknown_unit", _shown(str(unit)), _UNIT_LIST)
    return name


def _read_number(number: object, unit: str | None, signed: bool) -> Length:
    """A bare number, as JSON gives it. Whole numbers have a resolution of one unit."""
    if isinstance(number, bool) or not isinstance(number, int | float):
        raise _refusal("not_a_length", repr(number), _example(unit))
    try:
        if not math.isfinite(number):
            raise _refusal("not_finite", str(float(number)), _example(unit))
        text = int.__repr__(number) if isinstance(number, int) else float.__repr__(number)
        negative, digits, exponent = Decimal(text).as_tuple()
        up = int("".join(map(str, digits))) * 10 ** max(int(exponent), 0)
        if negative:
            up = _with_sign("-", up, text, signed)
        name = _default_unit(unit, text)
        mm_up, mm_down = _RATIOS[name]
        down = 10 ** max(-int(exponent), 0) * mm_down
        return Length(up * mm_up / down, mm_up / down, name, text)
    except OverflowError:
        raise _refusal("not_finite", "a number too large to use", _example(unit)) from None


def _read_unusual(typed: str, unit: str | None, signed: bool) -> Length:
    """What the one pattern does not take: other characters, feet with inches, "level", and the refused."""
    if len(typed) > LONGEST:
        raise _refusal("not_a_length", typed, _example(unit))
    plain = typed.translate(_CHARACTERS).strip()
    match = _ONE.fullmatch(plain)
    if match is not None:
        return _from_match(match, typed, unit, signed)
    lower = plain.lower()
    match = _FEET_INCHES.fullmatch(lower)
    if match is not None:
        sign, feet, *amount = match.groups()
        up, down = _amount(amount, typed)
        if up >= 12 * down:
            meant = f"{int(feet) + up // (12 * down)} ft {_mixed(up % (12 * down), down)} in"
            raise _refusal("inches_too_big", typed, Accepts("less_than_a_foot_of_inches", meant=meant))
        up += int(feet) * 12 * down
        if sign is not None:
            up = _with_sign(sign, up, typed, signed)
        return Length(up * 127 / (5 * down), 127 / (5 * down), "in", typed)
    if signed and lower in ("level", "even"):
        name = _default_unit(unit, typed)
        return Length(0.0, 1.0 if name in ("mm", "cm", "m") else INCH_MM / 8, name, typed)
    raise _what_is_wrong(typed, lower, _example(unit))


@lru_cache(maxsize=1)
def _registry() -> Any:
    """pint's units; a third of a second with its import, so made once and only when asked for."""
    import pint

    return pint.UnitRegistry()


@lru_cache(maxsize=256)
def _beyond(word: str) -> tuple[int, int] | None:
    """Millimetres in a unit beyond UNITS as a ratio, or None.

    Only whole unit names of four letters or more ("mile") and metres with a prefix ("dm") between 0.01 mm and
    2 km: pint also knows "cin" and "fm", which are slips of the finger here.
    """
    if len(word) > 20:
        return None
    units = _registry()
    for prefix, name, _plural in units.parse_unit_name(word):
        if name != "meter" and (prefix or len(word) < 4):
            continue
        one = units.Quantity(1.0, prefix + name)
        if one.check("[length]"):
            mm = float(one.to("millimeter").magnitude)
            if 0.01 <= mm <= 2e6:
                return mm.as_integer_ratio()
    return None


# What is refused, and why. Nothing below is reached by a text that is taken.

_MARKS = re.compile(r"[\d.,]*\d[\d.,]*", re.ASCII)
_NOT_FINITE = re.compile(r"[+-]?\s*(?:nan|inf|infinity|∞)\s*(?:[a-z]+\.?|\"|''?)?")
MARK_FOR_SPACE = r"""(\d+)[.,]\s*(\d+)\s*/\s*(\d+)\s*([a-z]*\.?|"|''?)"""
"""A decimal mark where a space stands before a fraction, as a pattern: "16.1/2"."""
_MARK_FOR_SPACE = re.compile(MARK_FOR_SPACE, re.ASCII)
_DECIMAL_AND_FRACTION = re.compile(r"(\d*[.,]\d+)(?:\s+|-\s?)(\d+\s*/\s*\d+)", re.ASCII)
_UNIT_WORD = re.compile(r"[a-z]+\.?|\"|''?", re.ASCII)
_TWO_NUMBERS = re.compile(r"(\d+)\s+(\d+)\s*([a-z]*\.?|\"|''?)", re.ASCII)


def _refusal(code: LengthCode, read: str, accepts: Accepts) -> LengthError:
    return LengthError(code, _shown(read), accepts)


def _shown(read: str) -> str:
    """What was read, short enough to show and safe to write anywhere."""
    short = read if len(read) <= LONGEST else read[: LONGEST - 1] + "…"
    return short.encode("utf-8", "replace").decode("utf-8")


def _example(unit: object) -> Accepts:
    """What a length looks like: where bare numbers are taken, without saying that a unit is needed."""
    return _EXAMPLE if unit is None else _BARE_EXAMPLE


def _what_is_wrong(typed: str, lower: str, example: Accepts) -> LengthError:
    """Say what is wrong with a text that is no length; ``lower`` is it in plain characters."""
    if not lower:
        return _refusal("empty", typed, example)
    if _NOT_FINITE.fullmatch(lower):
        return _refusal("not_finite", typed, example)
    marked = _MARK_FOR_SPACE.fullmatch(lower)
    if marked is not None and marked[4] in ("", *UNIT_NAMES) and 0 < int(marked[2]) < int(marked[3]) in PARTS:
        after = f" {marked[4]}" if marked[4][:1].isalpha() else marked[4]
        meant = f"{marked[1]} {int(marked[2])}/{int(marked[3])}{after}"
        return _refusal("fraction_and_decimals", typed, Accepts("space_before_a_fraction", meant=meant))
    for run in _MARKS.findall(lower):
        marks = [c for c in run if c in ".,"]
        if len(marks) > 1:
            whole, decimals = _one_mark(run, marks)
            either = (f"{whole}.{decimals}", f"{whole},{decimals}")
            return _refusal("two_marks", typed, Accepts("one_decimal_mark", meant=either))
    both = _DECIMAL_AND_FRACTION.search(lower)
    if both is not None:
        number, fraction = both.groups()
        whole = re.split("[.,]", number)[0]
        either = (number, f"{whole} {fraction}" if whole else fraction)
        return _refusal("fraction_and_decimals", typed, Accepts("decimal_or_fraction", meant=either))
    named = [UNIT_NAMES[word] for word in _UNIT_WORD.findall(lower) if word in UNIT_NAMES]
    if len(named) > 1:
        return _refusal("two_units", typed, Accepts("one_unit", meant=tuple(dict.fromkeys(named))))
    lost = re.search(r"(\d+)[.,](?!\d)", lower, re.ASCII)
    if lost is not None:
        return _refusal("not_a_length", typed, Accepts("digit_after_the_mark", meant=(lost[1], f"{lost[1]}.0")))
    two = _TWO_NUMBERS.fullmatch(lower)
    if two is not None:
        meant = f"{two[1]}.{two[2]} {two[3]}".strip()
        return _refusal("not_a_length", typed, Accepts("one_number", meant=meant))
    return _refusal("not_a_length", typed, example)


def _one_mark(run: str, marks: list[str]) -> tuple[str, str]:
    """What a number with several marks was probably meant to be: "51.2.3" 51 and 2, "1,234.5" 1234 and 5."""
    groups = re.split("[.,]", run)
    if marks[-1] not in marks[:-1] and groups[-1] and all(len(group) == 3 for group in groups[1:-1]):
        return "".join(groups[:-1]), groups[-1]
    digits = [group for group in groups if group]
    return (digits[0], digits[1]) if len(digits) > 1 else (digits[0], "0")


def _wrong_parts(whole: int, count: int, parts: int, typed: str) -> LengthError:
    if parts == 0:
        return _refusal("zero_denominator", typed, Accepts("parts_above_0", parts=PARTS))
    # Decimal, because the whole number may be too large for a float.
    decimal = f"{Decimal(whole) + Decimal(count) / Decimal(parts):.3f}".rstrip("0").rstrip(".")
    return _refusal("denominator", typed, Accepts("parts_of_a_tape", parts=PARTS, as_decimal=decimal))


def _improper(mixed: str | None, above: str, parts: int, typed: str) -> LengthError:
    """A fraction of a whole or more: offer the sum, and the space that may be lacking in "231/8"."""
    count = int(above)
    meant: tuple[str, ...] = (_mixed(int(mixed or 0) * parts + count, parts),)
    if mixed is None:
        for place in range(1, len(above)):
            head, tail = above[:place], above[place:]
            if tail[0] != "0" and int(tail) < parts:
                meant = (f"{head} {tail}/{parts}", *meant)
                break
    accepts = (
        Accepts("number_without_fraction", meant=meant)
        if count == parts
        else Accepts("number_and_fraction", meant=meant)
    )
    return _refusal("fraction_too_big", typed, accepts)


def _mixed(count: int, parts: int) -> str:
    """``count`` parts as a whole number and a reduced fraction: 185 eighths are "23 1/8"."""
    whole, rest = divmod(count, parts)
    if rest == 0:
        return str(whole)
    common = math.gcd(rest, parts)
    fraction = f"{rest // common}/{parts // common}"
    return f"{whole} {fraction}" if whole else fraction
