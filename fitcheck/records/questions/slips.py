"""What somebody may have meant: the slips of unit, half, decimal mark and eighths that would explain a figure."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence

from fitcheck.records.lengths import UNITS, Length, LengthError, read_length, write_length
from fitcheck.records.questions.figures import Figure
from fitcheck.records.questions.question import Slip, SlipCode
from fitcheck.records.questions.usual import FINEST_READ_MM, NEAR_WANTED, READ_ROUND

UNIT_SLIPS: Mapping[str, SlipCode] = {"in": "inches", "cm": "centimetres", "mm": "millimetres"}
"""Slips of the unit, by the unit that was meant."""

TAKEN_FOR = {"cm": ("in",), "mm": ("in",), "m": ("cm", "in"), "in": ("cm", "mm")}
"""Units that a number may have been read in the place of; a slip by ten has its own rule."""

_INCHES_EIGHTHS = re.compile(r"(\d{1,2})([1-7])(?: in)?", re.ASCII)
NUMBER = r"[-+−]?[\d.,/\s⁄½⅓⅔¼¾⅛⅜⅝⅞-]*[\d½⅓⅔¼¾⅛⅜⅝⅞]"
"""What is typed of a length without its unit, as a pattern."""
_NUMBER = re.compile(NUMBER)


def too_fine(length: Length) -> bool:
    """Whether a length has decimals that no tape tells.

    >>> too_fine(read_length("51.234 cm")), too_fine(read_length("51.23 cm")), too_fine(read_length("20.125 in"))
    (True, False, False)
    """
    return length.resolution_mm < FINEST_READ_MM.get(length.unit, 0.0) * (1 - 1e-9)


def retyped(figure: Figure, unit: str, mm: float) -> str:
    """Return the same number in another unit, as it would be typed; empty where that is not `mm` [mm]."""
    number = _NUMBER.match(figure.length.text)
    meant = f"{number[0].strip()} {unit}" if number else ""
    try:
        return meant if math.isclose(read_length(meant, signed=True).value_mm, mm, rel_tol=1e-9) else ""
    except LengthError:
        return ""


def slips(figure: Figure, *, flat: bool) -> list[Slip]:
    """Return every slip that is known, the likelier first.

    flat  the round measure may have been typed for the flat one
    """
    mm, unit, share = figure.length.value_mm, figure.unit, figure.share
    known: list[Slip] = []
    for other in TAKEN_FOR.get(unit, ()):
        as_other = mm / UNITS[unit] * UNITS[other]
        meant = retyped(figure, other, as_other)
        if meant:
            known.append(Slip(UNIT_SLIPS[other], meant, as_other * share, as_other))
    if flat:
        known.append(_other_length("round_measure", figure, mm / 2))
    eighths = _eighths(figure)
    if eighths is not None:  # after centimetres, before millimetres, which hardly anybody types for inches
        known.insert(1, eighths)
    factors = (0.1, 10.0) if eighths is None else (10.0,)
    return known + [_other_length("ten_times", figure, mm * factor) for factor in factors]


def _other_length(code: SlipCode, figure: Figure, tape_mm: float) -> Slip:
    return Slip(code, write_length(tape_mm, figure.unit), tape_mm * figure.share, tape_mm)


def _eighths(figure: Figure) -> Slip | None:
    """Return two or three bare figures in inches as inches and eighths: 84 is 8 4/8; None for other texts."""
    typed = _INCHES_EIGHTHS.fullmatch(figure.length.text) if figure.unit == "in" else None
    return _other_length("eighths", figure, (int(typed[1]) + int(typed[2]) / 8) * UNITS["in"]) if typed else None


def mm_of(slip: Slip) -> float:
    """The length that a slip of the tape makes of a figure [mm]."""
    assert slip.mm is not None
    return slip.mm


def likeliest(possible: Sequence[Slip], wanted: float | None, expected: float | None = None) -> Slip | None:
    """Return the slip whose result is nearest to the wanted figure [mm]; none where all are far from it.

    expected  what other points make of it [mm], where nothing is wanted
    """
    goal = expected if wanted is None else wanted
    if goal is None:
        return possible[0] if possible else None
    nearest = min(possible, key=lambda slip: abs(math.log(mm_of(slip) / goal)), default=None)
    if nearest is None or (wanted is not None and abs(math.log(mm_of(nearest) / wanted)) > math.log(NEAR_WANTED)):
        return None
    return nearest


def slip_by_ratio(
    figure: Figure, ratio: float, inch: tuple[float, float], usual: tuple[float, float], *, flat: bool
) -> Slip | None:
    """Return the slip that a figure over its expectation [1] speaks for, where its own figure is a usual one [mm]."""
    if inch[0] <= ratio <= inch[1]:
        code = "inches"
    elif flat and READ_ROUND[0] <= ratio <= READ_ROUND[1]:
        code = "round_measure"
    else:
        return None
    alike = (slip for slip in slips(figure, flat=flat) if slip.code == code)
    return next((slip for slip in alike if usual[0] <= mm_of(slip) <= usual[1]), None)
