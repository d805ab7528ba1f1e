"""What was typed: questions about what is unlikely, and their answers."""

from __future__ import annotations

import json

from fitcheck.records.frozen import frozen
from fitcheck.records.points import POINTS
from fitcheck.records.questions.lengths_of_a_point import FAR_FROM_NEIGHBOURS
from fitcheck.records.questions.question import CountOff, PointsSwapped, Question, RowsToStitches, StitchSize
from fitcheck.words.odd import asked_where, odd_said, points_swapped_meant
from fitcheck.words.phrases import capital

_MOST_READ = 60
"""Characters of something typed that are repeated in a message."""
_IT = {
    "inches": "was inches",
    "centimetres": "was centimetres",
    "millimetres": "was millimetres",
    "round_measure": "is the round measure",
    "half_measure": "was half",
    "folded": "was folded",
}
"""What was read, by its slip: "It was inches", "Was it inches?"."""
_WITH_MEANT = {"round_measure": "flat", "half_measure": "whole"}
"""Slips that are told with what was meant, and what that is."""


@frozen
class WrittenQuestion:
    """One thing that is unlikely, with the likely slip; it can be confirmed and then stays as typed.

    place  path inside the file or form
    read   what was read, as typed
    odd    why it is odd, one sentence
    slip   the likely slip, in a few words ("It was inches"); empty when none is likely
    meant  what the value would be if it was that slip, as text; empty when none is likely
    code   stable name of the rule that asked
    """

    __pydantic_config__ = {"title": "Question"}  # noqa: RUF012

    place: str
    read: str
    odd: str
    slip: str = ""
    meant: str = ""
    code: str = ""


def written_question(question: Question, place: str | None = None) -> WrittenQuestion:
    """A question as it is written down as data.

    place  where it stands in a document; None writes the record with its id
    """
    at = str(question.place) if place is None else place
    odd = odd_said(question).whole
    return WrittenQuestion(at, question.read, odd, slip_words(question), meant_words(question), question.code)


def question_asked(question: Question) -> str:
    """What was read and why it is odd, without the likely slip."""
    said = odd_said(question)
    count_told = question.count is not None and isinstance(question.odd, StitchSize | CountOff)
    return said.whole if said.head or count_told else f"{asked_where(question, shortened(question.read))} {said.rest}"


def question_sentence(question: Question) -> str:
    """A question: what was read, why it is odd, the likely slip."""
    return " ".join(part for part in (question_asked(question), slip_asked(question)) if part)


def meant_words(question: Question) -> str:
    """What would have been typed without the slip; empty where that is not known."""
    return points_swapped_meant(question.odd) if isinstance(question.odd, PointsSwapped) else question.meant


def slip_words(question: Question) -> str:
    """The likely slip, in a few words: "It was inches"; empty where none is likely."""
    slip = question.slip
    if slip is None:
        return ""
    if slip.code in _IT:
        what = _WITH_MEANT.get(slip.code)
        return f"It {_IT[slip.code]}{f': {slip.meant} {what}' if what else ''}"
    if slip.code == "counts_swapped":
        return "Counts swapped"
    if slip.code == "count_off":
        return f"{slip.meant} {_counted_at(question)}"
    return slip.meant


def slip_asked(question: Question) -> str:
    """The likely slip, asked; empty where none is likely or the reason asks it already."""
    slip = question.slip
    if slip is None or slip.code == "eighths":
        return ""
    if slip.code in _IT:
        verb, _, noun = _IT[slip.code].partition(" ")
        what = _WITH_MEANT.get(slip.code)
        return f"{capital(verb)} it {noun}: {slip.meant}{f' {what}' if what else ''}?"
    if slip.code == "counts_swapped":
        return f"Counts swapped: {meant_words(question)}?" if isinstance(question.odd, PointsSwapped) else ""
    return f"{slip_words(question)}?"


def _counted_at(question: Question) -> str:
    point = question.place.point
    return "rows" if point and POINTS[point].direction == "along" else "stitches"


def question_answers(question: Question) -> tuple[str, ...]:
    """How to answer in the file: what to type if it was the likely slip, and how to keep what was typed."""
    told = []
    if question.slip and question.slip.code == "counts_swapped":
        told.append("If they are swapped, swap the two counts.")
    elif question.slip:
        meant = question.meant
        so = f"it {_IT[question.slip.code]}" if question.slip.code in _IT else f"{meant} was meant"
        told.append(f"If {so}, type {_quoted(meant)} instead.")
    elif question.code != FAR_FROM_NEIGHBOURS:
        told.append("If it is a slip, type what the tape says instead.")
    if question.count is not None:
        return (*told, "To keep it:", f'{{"knitted": {question.count}, "confirmed": true}}')
    if "numbers" in question.place.path:
        return (*told, "To keep it:", f'{{"length": {_quoted(question.read)}, "confirmed": true}}')
    if question.place.reading is None:
        return (*told, "If it is so, leave it as it is.")
    keep = 'To keep it, add "confirmed": true to that reading'
    if isinstance(question.odd, RowsToStitches):
        return (*told, f"{keep}.")
    # By itself and without a full stop: it is copied into the file.
    return (*told, f"{keep}:", f'{{"text": {_quoted(question.read)}, "confirmed": true}}')


def _quoted(text: str) -> str:
    """A text as it stands in the file."""
    return json.dumps(text, ensure_ascii=False)


def shortened(read: str) -> str:
    """What was typed, in one line and no longer than a message bears."""
    one_line = " ".join(read.split())
    return one_line if len(one_line) <= _MOST_READ else one_line[: _MOST_READ - 1] + "…"
