"""What is left out until a question about it is answered: what is said rests on the other readings until then."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import Any, TypeVar

from pydantic import BaseModel

from fitcheck.records.cross_checks import KINDS
from fitcheck.records.households import Household
from fitcheck.records.places import Path, Place
from fitcheck.records.questions import questions
from fitcheck.records.questions.question import Question
from fitcheck.records.swatches import Swatch

Record = TypeVar("Record", bound=BaseModel)

OF_COUNTS = ("counts_swapped", "rows_to_stitches")
"""Questions whose place is a reading while it is the counts that are in doubt: nothing of the swatch is left then."""


def asked_of_each(kind: str, records: Sequence[Any], household: Household) -> dict[str, list[Question]]:
    """What is unlikely about records that stand by themselves, by key: garments, swatches, people or size tables."""
    people = household.wearers if kind == "garments" else []
    alone = {name: [] for name in KINDS} | {"wearers": people, kind: list(records)}
    asked: dict[str, list[Question]] = {record.id: [] for record in records}
    for question in questions(household.model_copy(update=alone)):
        if question.place.kind == kind:
            asked[question.place.key].append(question)
    return asked


def without(record: Record, asked: Iterable[Place]) -> Record:
    """The record without the readings that are asked about; a list that has no other is left out of its mapping."""
    left: Record = _left(record, {place.path for place in asked if place.reading is not None})
    return left


def lists_asked_about(asked: Iterable[Place]) -> frozenset[Path]:
    """The lists in a record that the readings stand in that are asked about: ("stages", 0, "across")."""
    return frozenset(place.around.path for place in asked if place.reading is not None)


def sure_of(swatch: Swatch, asked: Sequence[Question]) -> Swatch | None:
    """The swatch without what is asked about; None where nothing is left of it."""
    if any(question.code in OF_COUNTS for question in asked):
        return None
    left = without(swatch, [question.place for question in asked])
    return left if any(stage.across or stage.along for stage in left.stages) else None


def _left(value: Any, gone: Collection[Path]) -> Any:
    """A value without what stands at some places in it."""
    if not gone:
        return value
    inside: dict[Any, list[Path]] = {}
    for head, *rest in filter(None, gone):
        inside.setdefault(head, []).append(tuple(rest))
    if isinstance(value, BaseModel):
        left = {str(name): _left(getattr(value, str(name)), paths) for name, paths in inside.items()}
        return value.model_copy(update=left)
    if isinstance(value, dict):
        entries = {key: _left(entry, inside.get(key, ())) for key, entry in value.items()}
        return {key: entry for key, entry in entries.items() if entry}
    listed = ((entry, inside.get(number, ())) for number, entry in enumerate(value))
    return [_left(entry, paths) for entry, paths in listed if () not in paths]
