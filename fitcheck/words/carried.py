"""Sentences about readings and rows that a device carries over as text, from another address of the service."""

from __future__ import annotations

from fitcheck.words.phrases import count_words

NOTHING = "Paste what the phone shows under Still on this phone."
NO_ADDRESS = "A line needs its address and all that stands behind it: copy it whole."
CUT_OFF = "The line is cut off at its end: copy it whole."
NEXT_TIME = "So many lines are taken in parts: send what is left again."
NOT_CARRIED = "Only readings and rows are carried over like this."
COPIED = "Copied."
MARKED = "It is marked: copy it with the phone’s own menu."


def kept(count: int) -> str:
    """What was taken: "3 readings or rows are kept." """
    return "1 reading or row is kept." if count == 1 else f"{count} readings or rows are kept."


def left(kept_now: int, count: int) -> str:
    """What was taken of a text, and how many of its lines are left in the field."""
    stay = f"{count_words(count, 'line')} {'stays' if count == 1 else 'stay'} in the field."
    return f"{kept(kept_now)} {stay}" if kept_now else stay
