"""Dates and times as people write and type them: the same everywhere."""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import MINYEAR, date, datetime

MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
SHORT_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "June", "July", "Aug", "Sept", "Oct", "Nov", "Dec")
ACCEPTS = "A date such as 25 Nov 2026, 25.11.2026 or 2026-11-25."
_ISO = re.compile(r"(\d{4})-(\d\d)-(\d\d)", re.ASCII)
_POINTS = re.compile(r"(\d\d?)\. ?(\d\d?)\. ?(\d{4})", re.ASCII)
_WORD = re.compile(r"(\d\d?)\.? ([A-Za-z]{3,9})\.?,? (\d{4})", re.ASCII)


def write_day(when: date | None) -> str:
    """A date as people write it: "25 Nov 2026"; nothing where there is none."""
    return f"{when.day} {SHORT_MONTHS[when.month - 1]} {when.year}" if when else ""


def day_and_month(when: date) -> str:
    """A day of this year: "25 November"."""
    return f"{when.day} {MONTHS[when.month - 1]}"


def day_words(iso: str) -> str:
    """A day or time in ISO text as people write it: "31 Mar 2025, 9:05"; other text as it is.

    A time that says its zone is told by the clock of this house.
    """
    try:
        at = datetime.fromisoformat(iso)
    except ValueError:
        return iso
    at = at.astimezone() if at.tzinfo else at
    return f"{write_day(at)}, {at.hour}:{at.minute:02d}" if len(iso) > len("2025-03-31") else write_day(at)


def read_day(text: str) -> date | None:
    """The date that was typed; None for anything else. 11/25/2026 is none, for 3/4/2026 reads in two ways.

    >>> read_day("25 Nov 2026") == read_day("25.11.2026") == read_day("2026-11-25") == date(2026, 11, 25)
    True
    """
    try:
        return date(*parts) if (parts := _parts(text)) else None
    except ValueError:
        return None


def no_day(text: str) -> str:
    """What is accepted where a text is no date; of one whose month is too short, how many days that has.

    >>> no_day("29 Feb 2026")
    'A day of that month: February 2026 has 28.'
    """
    year, month, day = _parts(text) or (0, 0, 0)
    if not (year >= MINYEAR and 1 <= month <= len(MONTHS) and day):
        return ACCEPTS
    return f"A day of that month: {MONTHS[month - 1]} {year} has {monthrange(year, month)[1]}."


def _parts(text: str) -> tuple[int, int, int] | None:
    """Year, month and day as they were typed, whether there is such a day or not."""
    plain = " ".join(text.split())
    if typed := _ISO.fullmatch(plain):
        return int(typed[1]), int(typed[2]), int(typed[3])
    if typed := _POINTS.fullmatch(plain):
        return int(typed[3]), int(typed[2]), int(typed[1])
    typed = _WORD.fullmatch(plain)
    return (int(typed[3]), _month(typed[2]), int(typed[1])) if typed else None


def _month(word: str) -> int:
    """1 to 12; 0 for a word that names no month. Three letters or more of its name are enough."""
    return next((number for number, name in enumerate(MONTHS, 1) if name.lower().startswith(word.lower())), 0)
