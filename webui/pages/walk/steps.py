"""The measuring walk: where its readings are kept, what the phone asks about, and what was typed without it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from statistics import median
from typing import Any

from fitcheck.advice.rounds import How, Round, Step, counting
from fitcheck.records import lengths
from fitcheck.records.base import LONGEST_MM
from fitcheck.records.faults import in_words
from fitcheck.records.garments import Garment
from fitcheck.records.households import by_key
from fitcheck.records.lengths import LengthError, read_length, write_bare
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import HALF_FRONTS, POINTS, PieceKind
from fitcheck.records.questions import slips
from fitcheck.records.questions import usual as rules
from fitcheck.records.questions.lengths_of_a_point import ReadOn
from fitcheck.records.readings import Reading
from fitcheck.records.repeatability import OVERHANG, TAPE
from fitcheck.words import point_name
from fitcheck.words.odd import AGAINST
from fitcheck.words.phone import WALK
from fitcheck.words.phrases import capital
from fitcheck.words.walking import walk

_MORE = re.compile(r"([a-z_.]{1,60}):([23]):([2-4])")
MOST_READINGS = 12
"""Readings of one point up to which the phone knows the critical range."""
EIGHTHS = ("0", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8")
"""The marks of an inch of tape, by their number."""


def carried_on(round_: Round, more: str, steps: Sequence[Step]) -> Round:
    """A round whose point is read several times, from what its pages carry along: "chest:3:2", look 3, twice.

    The first of those readings changes the answer, and with it the round to come.
    """
    asked = _MORE.fullmatch(more)
    if asked is None or all(step.id != asked[1] for step in steps):
        return round_
    step_id, look, times = asked[1], int(asked[2]), int(asked[3])
    there = set(round_.steps) if round_.look == look else set()
    kept = tuple(step.id for step in steps if step.id == step_id or step.id in there or step.looks >= look)
    return Round(look, kept, {step_id: times})


# What the phone asks about


def wanted_mm(make: Make, kind: PieceKind, garment: Garment | None) -> dict[str, float]:
    """What each point of a piece is compared with when it is typed [mm]: the sweater's or the wanted figure."""
    flat: dict[str, float] = {}
    occasion = by_key(garment.occasions, make.fits.occasion) if garment else None
    if occasion is not None:
        for key, readings in occasion.readings.items():
            if values := [reading.length.value_mm for reading in counting(readings)]:
                flat[key] = median(values)
    for key, number in make.fits.numbers.items():
        flat[key] = number.length.value_mm * POINTS[key].flat_share(number.meant)
    return {key: mm * POINTS[key].on_piece(kind) for key, mm in flat.items() if kind in POINTS[key].pieces}


def check_of(step: Step, piece: Piece, references: Mapping[str, float], how: How) -> dict[str, Any]:
    """What the phone needs to question a reading of a step, by the rules of records/questions."""
    half = piece.piece in HALF_FRONTS
    of_piece = step.side == "piece"
    on = ReadOn(dict(references), half=half and of_piece, piece=of_piece)
    low, high = on.usual(step.point)
    return {
        "name": POINTS[step.point].name,
        "overhang": [on.largest_overhang(step.point, count) for count in (1, 2)] if how == "overhang" else None,
        "low": low,
        "high": high,
        "flat": on.flat(step.point),
        "references": dict(references) if of_piece and how != "overhang" else {},
        "source": AGAINST[on.source],
        "proportions": not on.half,
        "per_piece": POINTS[step.point].on_piece(piece.piece),
    }


def rules_for_phone(unit: str) -> dict[str, Any]:
    """The numbers of records/questions that the phone's questions use."""
    return {
        "unit": unit,
        "proportions": dict(rules.PROPORTIONS),
        "names": {key: POINTS[key].name for key in rules.PROPORTIONS},
        "inch": list(rules.READ_IN_INCHES),
        "inch_by_proportion": list(rules.INCHES_BY_PROPORTION),
        "round": list(rules.READ_ROUND),
        "near": rules.NEAR_WANTED,
        "tape_hand": asdict(TAPE),
        "overhang_hand": asdict(OVERHANG),
        "critical": [rules.critical_range(count) for count in range(2, MOST_READINGS + 1)],
    }


def tape_for_phone() -> dict[str, Any]:
    """How a length is read and written, by records/lengths.py: patterns, names, characters and units [mm]."""
    return {
        "one_length": lengths.ONE_LENGTH,
        "mark_for_space": lengths.MARK_FOR_SPACE,
        "number": slips.NUMBER,
        "characters": lengths.CHARACTERS,
        "names": lengths.UNIT_NAMES,
        "units": dict(lengths.UNITS),
        "written_to": lengths.WRITTEN_TO,
        "parts": lengths.PARTS,
        "longest": lengths.LONGEST,
        "longest_mm": LONGEST_MM,
        "finest": rules.FINEST_READ_MM,
        "taken_for": slips.TAKEN_FOR,
        "slips": dict(slips.UNIT_SLIPS),
    }


# What was typed without JavaScript

_WHOLE = re.compile(r"\d{0,4}")


def typed_text(reading: str, eighths: str = "", sign: str = "") -> str:
    """Put the figure, the eighths of an inch and the way an overhang lies together, as a person would write it.

    Raises LengthError where they do not go together.

    >>> typed_text("20", "3")
    '20 3/8'
    >>> typed_text("1.5", sign="short")
    '−1.5'
    """
    text = reading.strip()
    part = EIGHTHS[int(eighths)] if eighths in tuple("1234567") else ""
    if part:
        if not _WHOLE.fullmatch(text):
            raise LengthError("fraction_and_decimals", f"{text} and {part}", in_words(WALK["whole_inches"]))
        text = f"{text} {part}".strip()
    if sign == "level":
        if text.strip("0., ") and text.lower() not in ("level", "even"):
            raise LengthError("not_a_length", text, in_words(WALK["level_means_0"]))
        return "level"
    if sign in ("out", "short") and text and text[0] not in "+-−–":
        return f"{'+' if sign == 'out' else '−'}{text}"
    return text


def in_other_unit(text: str, before: str, after: str) -> str:
    """What was typed in one unit as it stands in a field of another: with its own unit behind it.

    >>> in_other_unit("51.8", "cm", "in"), in_other_unit("51.8 cm", "in", "cm"), in_other_unit("", "cm", "in")
    ('51.8 cm', '51.8', '')
    """
    labelled = f"{text} {before}" if text[-1:].isnumeric() else text
    return labelled.removesuffix(f" {after}")


def needs_sign(text: str, unit: str) -> bool:
    """Whether an overhang does not say which way it lies."""
    try:
        length = read_length(text, unit=unit, signed=True)
    except LengthError:
        return False
    return length.value_mm > 0 and not text.startswith("+")


def spread_words(readings: Sequence[Reading], parts: int = 8) -> str:
    """Readings of one point beside each other, shown once the latest is kept: "51.8, 51.6: 0.2 apart".

    parts  the finest part of an inch that is written: 8 or 16
    """
    if len(readings) < 2:
        return ""
    values = [reading.length.value_mm for reading in readings]
    apart = write_bare(max(values) - min(values), readings[-1].length.unit, parts=parts)
    return walk("apart", readings=", ".join(reading.text for reading in readings), apart=apart)


def title_of(point: str) -> str:
    """A point's name as a heading; widths of a round measure say that they are flat."""
    return f"{capital(point_name(point))}{', flat' if POINTS[point].flat else ''}"
