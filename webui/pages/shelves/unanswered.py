"""Readings that are asked about and not answered yet: what a page says rests on the others until then."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, TypeVar

from pydantic import BaseModel

from fitcheck.records.households import Household
from fitcheck.records.places import Path
from webui.pages.readings import Asked

Record = TypeVar("Record", bound=BaseModel)

OF_COUNTS = ("counts_swapped", "rows_to_stitches")
"""Questions whose place is a reading while it is the counts that are in doubt: nothing of the swatch is left then."""


def without(record: Record, asked: Iterable[Asked]) -> Record:
    """The record without the readings that are asked about; a list that has no other is left out of its mapping."""
    gone = {one.place.path for one in asked if one.reading}
    return _left(record, (), gone) if gone else record


def lists_asked_about(asked: Iterable[Asked]) -> frozenset[Path]:
    """The lists in a record that the readings stand in that are asked about: ("stages", 0, "across")."""
    return frozenset(one.place.around.path for one in asked if one.reading)


def _left(value: Any, at: Path, gone: set[Path]) -> Any:
    heads = {one[len(at)] for one in gone if len(one) > len(at) and one[: len(at)] == at}
    if not heads:
        return value
    if isinstance(value, BaseModel):
        return value.model_copy(update={str(n): _left(getattr(value, str(n)), (*at, n), gone) for n in heads})
    if isinstance(value, dict):
        found = {key: _left(inside, (*at, key), gone) for key, inside in value.items()}
        return {key: inside for key, inside in found.items() if inside}
    return [_left(inside, (*at, n), gone) for n, inside in enumerate(value) if (*at, n) not in gone]


def sure(household: Household, asked: Mapping[str, Sequence[Asked]]) -> Household:
    """The household in which swatches are without what is asked about; one that has no width left is not in it."""
    if not asked:
        return household
    kept = []
    for one in household.swatches:
        about = asked.get(one.id, ())
        if any(each.question.code in OF_COUNTS for each in about):
            continue
        left = without(one, about)
        if any(stage.across or stage.along for stage in left.stages):
            kept.append(left)
    return household.model_copy(update={"swatches": kept})
