"""That the garment was measured again since."""

from __future__ import annotations

from fitcheck.reports.shapes import Head, NewerMeasuring
from fitcheck.words.dates import day_words
from fitcheck.words.names import reference_name
from fitcheck.words.phrases import capital


def measured_again(newer: NewerMeasuring, head: Head) -> str:
    """That the garment was measured again, and which measuring this make fits."""
    again = f" on {day_words(newer.on)}" if newer.on else " since"
    fits = f"of {day_words(newer.pinned_on)}" if newer.pinned_on else "before that"
    return f"{capital(reference_name(head))} was measured again{again}; this make fits the measuring {fits}."
