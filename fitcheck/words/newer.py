"""That the garment was measured again since."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.reports.shapes import Head, NewerMeasuring
from fitcheck.words.dates import day_words
from fitcheck.words.names import points_named, reference_name
from fitcheck.words.phrases import capital


def measured_again(newer: NewerMeasuring, head: Head) -> str:
    """That the garment was measured again, and which measuring this make fits."""
    again = f" on {day_words(newer.on)}" if newer.on else " since"
    fits = f"of {day_words(newer.pinned_on)}" if newer.pinned_on else "before that"
    told = f"{capital(reference_name(head))} was measured again{again}; this make fits the measuring {fits}."
    return f"{told} {_unread(newer.unread)}" if newer.unread else told


def _unread(keys: Sequence[str]) -> str:
    """What is judged no more where the newer measuring is taken."""
    was, are = ("was", "it is") if len(keys) == 1 else ("were", "they are")
    return f"{capital(points_named(keys))} {was} not read then: with the newer one {are} judged no more."
