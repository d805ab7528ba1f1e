"""What is said of records that cannot be read, and of answers that cannot be worked out: each named, with its cure."""

from __future__ import annotations

from fitcheck.words.names import kind_name
from fitcheck.words.phrases import capital, count_words, key_words

SETTINGS = "the household’s settings"


def record(kind: str, key: str) -> str:
    """A record that nobody can read the name of: "the yarn grey wool"."""
    return SETTINGS if kind == "household" else f"the {kind_name(kind)} {key_words(key)}"


def left_out(kind: str, key: str) -> str:
    """The line of a record that cannot be read, where it is left out."""
    return f"Left out, because it cannot be read: {record(kind, key)}."


def more(count: int) -> str:
    """How many further lines there are."""
    return f"Left out as well: {count_words(count, 'more record')}."


def not_worked_out(name: str) -> str:
    """The line of a record whose figures cannot be worked out."""
    return f"Left out, because the program failed over it: {name}. What was typed of it is kept."


DRAWINGS = "the drawings"
TAPE = "how steady the tape is"
DEVICES = "the devices"

UNREADABLE_WHY = "What is kept of it is spoilt: another program wrote there, or the disk did. Everything else stands."
NOTHING_EARLIER = "No earlier version of it can be read. Restore a backup to have it again."


def unreadable(kind: str, key: str) -> str:
    """The heading of the page of a record that cannot be read."""
    return f"{capital(record(kind, key))} cannot be read."


def bring_back(day: str) -> str:
    """The button that brings an earlier version back."""
    return f"Bring back how it was on {day}"


def is_back(kind: str, key: str) -> str:
    """That it is back."""
    return f"{capital(record(kind, key))} can be read again, as it was then."


def failed_over(name: str) -> str:
    """The heading of a page whose figures cannot be worked out."""
    return f"{capital(name)} cannot be worked out." if name else "This page cannot be worked out."


FAILED_WHY = (
    "The program failed while it reckoned. What was typed is kept: put it right or take it back under its changes, "
    "or take everything out in the settings."
)


def at_start(count: int) -> str:
    """What the service says of it when it starts; empty where every record can be read."""
    if not count:
        return ""
    which, it = ("is", "it") if count == 1 else ("are", "them")
    return f"{count_words(count, 'record')} cannot be read and {which} left out; every page names {it}.\n"
