"""What a report on one screen says below its answer: what is asked, and what costs most certainty."""

from __future__ import annotations

from fitcheck.records.frozen import frozen
from fitcheck.reports.shapes import Report
from fitcheck.words.figures import Tape
from fitcheck.words.granted import assumed_sentence, help_sentences
from fitcheck.words.phrases import count_words
from fitcheck.words.questions import question_sentence

MOST_ASKED = 3
"""Questions that one screen bears."""
COSTLIEST = 2
"""Assumptions that one screen bears: those that most of the doubt comes from."""
MORE = (
    "With --all the command prints the rest: every other way, the figures behind each point, fabric, sizes, and all "
    "that was taken for granted."
)
"""Where the rest is."""


@frozen
class Short:
    """What stands below the answer on one screen: a label and its sentences each."""

    parts: tuple[tuple[str, tuple[str, ...]], ...]


def short_of(report: Report, tape: Tape) -> Short:
    """Say what is asked, what would help first, and the assumptions that cost most."""
    asked = [question_sentence(question) for question in report.questions[:MOST_ASKED]]
    left = len(report.questions) - len(asked)
    if left:
        asked.append(f"And {count_words(left, 'question')} more.")
    granted = [
        assumed_sentence(assumed, tape, head=report.head, points=report.points)
        for assumed in report.assumed[:COSTLIEST]
    ]
    parts = (
        ("Questions", tuple(asked)),
        ("Taken for granted, what costs most", tuple(granted)),
        ("What would help most", help_sentences(report)[:1]),
    )
    return Short(tuple((label, sentences) for label, sentences in parts if sentences))
