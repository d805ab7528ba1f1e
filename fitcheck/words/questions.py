"""What was typed: questions about what is unlikely, their answers, and what is not taken."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass

from fitcheck.records.faults import Fault, Question
from fitcheck.records.plausibility import FAR_FROM_NEIGHBOURS
from fitcheck.words.phrases import capital, sentence

_MOST_READ = 60
"""Characters of something typed that are repeated in a message."""
_ABOUT_COUNTS = ("counts_swapped", "rows_to_stitches")
"""Questions whose place is a reading while what was read is a count."""


@dataclass(frozen=True, slots=True)
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
    return WrittenQuestion(at, question.read, question.odd, question.slip, question.meant, question.code)


def question_asked(question: Question) -> str:
    """What was read and why it is odd, without the likely slip."""
    read = shortened(question.read)
    told = [] if question.odd.startswith(read) else [f"{read}?"]
    if question.odd:
        told.append(sentence(question.odd))
    return " ".join(told)


def question_sentence(question: Question) -> str:
    """A question: what was read, why it is odd, the likely slip."""
    return " ".join(part for part in (question_asked(question), slip_asked(question)) if part)


def slip_asked(question: Question) -> str:
    """The likely slip, asked; empty where none is likely or the reason asks it already."""
    slip, meant = question.slip.strip().rstrip("."), question.meant.strip()
    number = meant.split(" ", 1)[0]
    if slip and f"{capital(slip)}?" in question.odd:
        return ""
    slip = re.sub(r"^It (is|was) ", lambda found: f"{found[1].capitalize()} it ", slip)
    if slip and meant and number not in slip:
        return f"{capital(slip)}: {meant}?"
    return f"{capital(slip or meant)}?" if slip or meant else ""


def question_answers(question: Question) -> tuple[str, ...]:
    """How to answer in the file: what to type if it was the likely slip, and how to keep what was typed."""
    told = []
    slip, meant = question.slip.strip().rstrip("."), question.meant.strip()
    if question.code in ("counts_swapped", "counts_swapped_points"):
        told.append("If they are swapped, swap the two counts.")
    elif meant:
        so = f"it {slip[3:].split(':')[0]}" if slip.startswith("It ") else f"{meant} was meant"
        told.append(f"If {so}, type {_quoted(meant)} instead.")
    elif question.code != FAR_FROM_NEIGHBOURS:
        told.append("If it is a slip, type what the tape says instead.")
    for part, field in (("counts", "knitted"), ("numbers", "length")):
        if part in question.place.path:
            read = question.read.split()[0] if field == "knitted" else _quoted(question.read)
            return (*told, "To keep it:", f'{{"{field}": {read}, "confirmed": true}}')
    if question.place.reading is None:
        told.append("If it is so, leave it as it is.")
        return tuple(told)
    keep = 'To keep it, add "confirmed": true to that reading'
    if question.code in _ABOUT_COUNTS:
        return (*told, f"{keep}.")
    # By itself and without a full stop: it is copied into the file.
    return (*told, f"{keep}:", f'{{"text": {_quoted(question.read)}, "confirmed": true}}')


def _quoted(text: str) -> str:
    """A text as it stands in the file."""
    return json.dumps(text, ensure_ascii=False)


def question_buttons(question: Question) -> tuple[str, ...]:
    """What can be answered: the likely slip, type again, keep."""
    slip = (capital(question.slip.strip()),) if question.slip.strip() else ()
    return (*slip, "Type again", f"Keep {shortened(question.read)}")


def fault_sentence(fault: Fault) -> str:
    """A refusal: where, what was read, and what is taken."""
    where = f"Line {fault.line}, {fault.place}." if fault.line else f"At {fault.place}."
    read = shortened(fault.read).rstrip(".") or "nothing typed"
    # Names of fields and units keep their small letters: they are to be typed so.
    stop = "" if fault.accepts.endswith((".", "?", "!")) else "."
    return f"{where} Not taken: {read}. {fault.accepts}{stop}"


def shortened(read: str) -> str:
    """What was typed, in one line and no longer than a message bears."""
    one_line = " ".join(read.split())
    return one_line if len(one_line) <= _MOST_READ else one_line[: _MOST_READ - 1] + "…"
