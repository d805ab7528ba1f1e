"""What the program fails over does not take the rest of the sweater along: a reason stands in its place."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.faults import where_of

LOG = "fitcheck.rest"
"""The log that says what failed; logging itself is no part of a start where nothing does."""
Outcome = TypeVar("Outcome")


def or_why(work: Callable[[], Outcome], of: str) -> Outcome | CannotSay:
    """What a piece of work comes to; where the program fails over it, the reason `failed`, and a line in the log.

    of  what it is about: a kind of piece or band, a seam, the yarn

    What the fault says is left out of both: it may quote what was typed.
    """
    try:
        return work()
    except Exception as fault:
        import logging

        logging.getLogger(LOG).error("the %s failed: %s", of, where_of(fault))
        return CannotSay("failed", of=of)


def or_else(work: Callable[[], Outcome], of: str, otherwise: Outcome) -> Outcome:
    """As `or_why`, where what it is about has a place of its own: where the program fails, what stands there then."""
    outcome = or_why(work, of)
    return otherwise if isinstance(outcome, CannotSay) else outcome
