"""What is left out until a question about it is answered: what is said rests on the other readings until then."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
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
    gone = {place.path for place in asked if place.reading is not None}
    return _left(record, (), gone) if gone else record


def lists_asked_about(asked: Iterable[Place]) -> frozenset[Path]:
    """The lists in a record that the readings stand in that are asked about: ("stages", 0, "across")."""
    return frozenset(place.around.path for place in asked if place.reading is not None)


def sure_of(swatch: Swatch, asked: Sequence[Question]) -> Swatch | None:
    """The swatch without what is asked about; None where nothing is left of it."""
    if any(question.code in OF_COUNTS for question in asked):
        return None
    left = without(swatch, [question.place for question in asked])
    return left if any(stage.across or stage.along for stage in left.stages) else None


def _left(value: Any, at: Path, gone: set[Path]) -> Any:
    heads = {path[len(at)] for path in gone if len(path) > len(at) and path[: len(at)] == at}
    if not heads:
        return value
    if isinstance(value, BaseModel):
        inside = {str(name): _left(getattr(value, str(name)), (*at, name), gone) for name in heads}
        return value.model_copy(update=inside)
    if isinstance(value, dict):
        entries = {key: _left(entry, (*at, key), gone) for key, entry in value.items()}
        return {key: entry for key, entry in entries.items() if entry}
    return [_left(entry, (*at, n), gone) for n, entry in enumerate(value) if (*at, n) not in gone]
