"""What is said of backups: when each was made and why, how old and how large it is, and which stay."""

from __future__ import annotations

from datetime import date, datetime

from fitcheck.words.dates import write_day
from fitcheck.words.phrases import count_words

NONE = "No backup is there yet. One is made by itself each day that something changed."


def backup_line(at: datetime, size: int, why: str, today: date) -> str:
    """One backup: "29 Nov 2026, 18:40, yesterday; 1.2 MB; made by itself".

    at    when it was made, in local time;  size: how large it is [bytes]
    why   "daily", "version-3" or nothing, as the store has it
    """
    reason = {"daily": "made by itself", "": "asked for"}.get(why, "made before a newer Fitcheck changed the tables")
    when = f"{write_day(at)}, {at.hour}:{at.minute:02d}, {_age((today - at.date()).days)}"
    return f"{when}; {max(size / 1e6, 0.1):.1f} MB; {reason}"


def _age(days: int) -> str:
    if days < 0:
        return "ahead of this clock"
    if days == 0:
        return "today"
    return "yesterday" if days == 1 else f"{count_words(days, 'day')} ago"


def which_stay(daily: int) -> str:
    """Which backups are kept; daily: how many of those that are made by themselves."""
    return (
        f"One is made by itself each day that something changed; the latest {daily} of these stay. "
        "One that was asked for stays until you delete it."
    )
