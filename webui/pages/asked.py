"""Questions about what is unlikely: where an answer goes, and what it writes."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from flask import Response, request

from fitcheck import words
from fitcheck.advice.unanswered import asked_of_each
from fitcheck.records.base import MOST_COUNTED
from fitcheck.records.faults import Accepts, RecordsError, in_words
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household
from fitcheck.records.lengths import LengthError, read_length
from fitcheck.records.places import Place
from fitcheck.records.questions.question import PointsSwapped, Question
from fitcheck.store import Store
from fitcheck.store.stored import Stored
from fitcheck.words import deeds, meant_words, question_asked, slip_words, wants
from fitcheck.words.walking import walk
from webui.forms.drafts import Refusal
from webui.forms.typed import several, whole_number, with_unit
from webui.pages import notices, views


@frozen
class Asked:
    """A question, with how it can be answered."""

    question: Question

    @property
    def place(self) -> Place:
        """Where the answer goes."""
        return self.question.place

    @property
    def said(self) -> str:
        """The question in words."""
        return views.marked(question_asked(self.question), self.question.read)

    @property
    def reading(self) -> bool:
        """Whether it is about one reading, which is set aside and added to, never overwritten."""
        return self.place.reading is not None

    @property
    def of_counts(self) -> bool:
        """Whether it is about a count of stitches or rows of a piece."""
        return self.place.path[-2:-1] == ("counts",)

    @property
    def can_keep(self) -> bool:
        """Whether it can be confirmed where it stands."""
        return self.reading or self.of_counts or self.place.path[-2:-1] == ("numbers",)

    @property
    def can_retype(self) -> bool:
        """Whether another figure can be typed in its place; swapped counts are no single figure."""
        return self.can_keep and (self.of_counts or not self.question.code.startswith("counts_swapped"))

    @property
    def slip(self) -> str:
        """The likely slip as a button says it; empty where none is likely or one button cannot set it right."""
        if self.question.code == "counts_swapped" and self.place.kind == "makes":
            return ""
        meant = meant_words(self.question)
        if not meant:
            return ""
        said = views.marked(slip_words(self.question))
        return f"{said}: {meant}" if self.question.code.startswith("counts_swapped") else said

    @property
    def keep(self) -> str:
        """What the button that keeps it says: which reading, never what its fellows say."""
        return walk("keep", read=self.question.read)


def asked_about(kind: str, record: Any, household: Household) -> list[Asked]:
    """What is unlikely about a record that stands by itself: a garment, a swatch, a person, a size table."""
    return [Asked(question) for question in asked_of_each(kind, [record], household)[record.id]]


def answered(
    questions: Iterable[Asked],
    to: str,
    refused: Callable[[dict[str, Refusal]], Response],
    kept: Callable[[Stored, str], Response],
) -> Response:
    """Answer one of some questions with what was sent: what was meant, typed again, or kept as it is.

    to       where to go where there is nothing to answer any more
    refused  shows what was refused, by the place of its question
    kept     goes on with the record as it is now and what the answer did, in a few words

    Raises StaleWrite where the record was changed at the same moment.
    """
    about, do, typed = request.form.get("place", ""), request.form.get("do", "keep"), request.form.get("text", "")
    asked = next((question for question in questions if str(question.place) == about), None)
    if asked is None:
        return notices.go(to, deeds.answered_already(typed))
    done = settle(views.store(), asked, do, typed, views.unit())
    if isinstance(done, Refusal):
        return refused({about: done})
    return kept(done, answered_words(asked, do, typed))


def settle(store: Store, asked: Asked, do: str, typed: str, unit: str) -> Stored | Refusal:
    """Write the answer to a question: what was meant, typed again, or kept; or say what would be taken.

    do     slip, again or keep
    typed  what was typed again; a bare length is in `unit`
    Raises StaleWrite where the record was changed at the same moment.
    """
    stored = store.get(asked.place.kind, asked.place.key)
    text = asked.question.meant if do == "slip" else typed.strip() if do == "again" else ""
    try:
        if do == "keep":
            changed = _kept(asked, stored.doc)
        elif do == "slip" and asked.question.code.startswith("counts_swapped"):
            changed = _swapped(asked, stored.doc)
        else:
            changed = _retyped(asked, stored.doc, text, unit)
        return store.put(asked.place.kind, asked.place.key, changed, stored.revision)
    except LengthError as error:
        return Refusal(text, words.accepted(error.accepts))
    except RecordsError as error:
        return Refusal(text or error.faults[0].read, words.accepted(error.faults[0].accepts))


def answered_words(asked: Asked, do: str, typed: str) -> str:
    """What an answer did, in a few words."""
    if do == "keep":
        return deeds.KEPT_AS_TYPED
    if asked.question.code.startswith("counts_swapped") and do == "slip":
        return deeds.COUNTS_SWAPPED
    said = views.marked(asked.question.meant) if do == "slip" else typed.strip()
    return deeds.instead_of(said, asked.question.read)


def _inside(asked: Asked, document: dict[str, Any]) -> Any:
    inside: Any = document
    for step in asked.place.path[:-1]:
        inside = inside[step]
    return inside


def _kept(asked: Asked, document: dict[str, Any]) -> dict[str, Any]:
    _inside(asked, document)[asked.place.path[-1]]["confirmed"] = True
    return document


def _retyped(asked: Asked, document: dict[str, Any], text: str, unit: str) -> dict[str, Any]:
    """The document with another figure in the place of the one that was asked about. Raises LengthError."""
    inside, last = _inside(asked, document), asked.place.path[-1]
    if asked.of_counts:
        if (count := whole_number(text, 1, MOST_COUNTED)) is None:
            raise LengthError("not_a_length", text, in_words(wants.WHOLE_NUMBER))
        inside[last] = {**inside[last], "counted": count}
        return document
    if len(lengths := several(text)) > 1:
        raise LengthError("not_a_length", text, Accepts("one_length", meant=tuple(lengths)))
    read_length(text, unit=unit, signed="overhangs" in asked.place.path)
    if not asked.reading:
        inside[last] = {**inside[last], "length": with_unit(text, unit)}
        return document
    old = inside[last]
    old["set_aside"] = f"typed again: {text}"
    same = {name: old[name] for name in ("laying", "look", "by", "tape") if name in old}
    inside.append({"text": text, "unit": unit, **same})
    return document


def _swapped(asked: Asked, document: dict[str, Any]) -> dict[str, Any]:
    """The document with two counts in each other's place."""
    if asked.place.kind == "swatches":
        document["stitches"], document["rows"] = document["rows"], document["stitches"]
        return document
    inside, path_end = _inside(asked, document), asked.place.path[-1]
    if asked.place.kind == "size_tables":
        gauge = inside[path_end]
        gauge["stitches"], gauge["rows"] = gauge["rows"], gauge["stitches"]
        return document
    odd = asked.question.odd
    assert isinstance(odd, PointsSwapped)
    inside[odd.here], inside[odd.other] = inside[odd.other], inside[odd.here]
    return document
