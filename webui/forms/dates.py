"""Dates as people write and type them: the same in every form."""

from __future__ import annotations

import re
from datetime import date

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "June", "July", "Aug", "Sept", "Oct", "Nov", "Dec")
_LONG = (
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
)
ACCEPTS = "A date such as 25 Nov 2026, 25.11.2026 or 2026-11-25."
_ISO = re.compile(r"(\d{4})-(\d\d)-(\d\d)", re.ASCII)
_POINTS = re.compile(r"(\d\d?)\. ?(\d\d?)\. ?(\d{4})", re.ASCII)
_WORD = re.compile(r"(\d\d?)\.? ([A-Za-z]{3,9})\.?,? (\d{4})", re.ASCII)


def write_day(when: date | None) -> str:
    """A date as people write it: "25 Nov 2026"; nothing where there is none."""
    return f"{when.day} {MONTHS[when.month - 1]} {when.year}" if when else ""


def read_day(text: str) -> date | None:
    """The date that was typed; None for anything else. 11/25/2026 is none, for 3/4/2026 reads in two ways.

    >>> read_day("25 Nov 2026") == read_day("25.11.2026") == read_day("2026-11-25") == date(2026, 11, 25)
    True
    """
    plain = " ".join(text.split())
    if found := _ISO.fullmatch(plain):
        year, month, day = map(int, found.groups())
    elif found := _POINTS.fullmatch(plain):
        day, month, year = map(int, found.groups())
    elif found := _WORD.fullmatch(plain):
        day, month, year = int(found[1]), _month(found[2].lower()), int(found[3])
    else:
        return None
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _month(word: str) -> int:
    """1 to 12; 0 for a word that names no month. Three letters or more of its name are enough."""
    return next((number for number, name in enumerate(_LONG, 1) if name.startswith(word)), 0)
