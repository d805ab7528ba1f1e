"""A record with faults in it, as far as it could be read: so that everything else in it is checked all the same.

Only built after something was refused, and never handed out. What was refused is None, or empty where several
entries belong; the checks of records against each other know that.
"""

from __future__ import annotations

import json
import types
from collections.abc import Collection, Iterator, Sequence
from dataclasses import field
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BeforeValidator, TypeAdapter, ValidationError
from pydantic_core import PydanticCustomError

from fitcheck.records.base import Record
from fitcheck.records.faults import Accepts
from fitcheck.records.frozen import frozen
from fitcheck.records.places import Path
from fitcheck.records.readings import listed


@frozen
class PartReader:
    """Reads records around what was refused.

    refused  places in the document of everything that was refused
    unit     unit of bare numbers
    around   those places, and every place around them
    """

    refused: Collection[Path]
    unit: str
    around: frozenset[Path] = field(init=False)

    def __post_init__(self) -> None:
        around = frozenset(path[:depth] for path in self.refused for depth in range(len(path) + 1))
        object.__setattr__(self, "around", around)

    def record(self, kind: type[Record], raw: object, place: Path) -> Any:
        """Return the record of a kind that stands at a place, with what was refused left out."""
        if place not in self.around:
            try:
                return kind.model_validate_json(json.dumps(raw), context={"unit": self.unit})
            except ValidationError:  # a shorthand's inside was refused under another place
                raw = None
        written = raw if isinstance(raw, dict) else None
        values: dict[str, Any] = {}
        for name, known in kind.model_fields.items():
            typed = _whole(known.annotation, known.metadata)
            if written is not None and name in written:
                values[name] = self._value(typed, written[name], (*place, name))
            elif written is None or known.is_required():
                values[name] = _nothing(typed)
            else:
                values[name] = known.get_default(call_default_factory=True)
        return kind.model_construct(None, **values)

    def hidden(self, record: Any, place: Path) -> Iterator[tuple[Path, Accepts]]:
        """Yield what the rules of whole records refuse in a partly read one: the models stop before them.

        The rules of a record whose own entries were refused are left out: they could only guess.
        """
        if isinstance(record, list):
            for number, entry in enumerate(record):
                yield from self.hidden(entry, (*place, number))
        elif isinstance(record, dict):
            for key, value in record.items():
                yield from self.hidden(value, (*place, key))
        elif isinstance(record, Record) and place in self.around:
            inside = {name: getattr(record, name) for name in type(record).model_fields}
            whole = all((*place, name) not in self.refused for name in inside) and place not in self.refused
            for name, rule in type(record).__pydantic_decorators__.model_validators.items():
                if whole and rule.info.mode == "after":
                    try:
                        getattr(record, name)()
                    except PydanticCustomError as refusal:
                        yield place, (refusal.context or {})["accepts"]
                    except (TypeError, AttributeError):
                        continue  # the rule needs what could not be read
            for name, value in inside.items():
                yield from self.hidden(value, (*place, name))

    def _value(self, typed: Any, raw: object, place: Path) -> Any:
        kind = _kind(typed)
        if isinstance(kind, type) and issubclass(kind, Record):
            if raw is None or (place in self.around and not isinstance(raw, dict)):
                return _nothing(typed)
            return self.record(kind, raw, place)
        if place not in self.around:
            return self._checked(typed, raw)
        inner = get_args(kind)
        if get_origin(kind) is list:
            if not isinstance(raw, list):
                return [_empty(_kind(inner[0]))] if _may_stand_alone(typed) else []
            return [self._entry(inner[0], entry, (*place, number)) for number, entry in enumerate(raw)]
        if get_origin(kind) is dict and isinstance(raw, dict):
            known = ((key, value) for key, value in raw.items() if self._checked(inner[0], key) is not None)
            return {key: self._value(inner[1], value, (*place, key)) for key, value in known}
        return _nothing(typed)

    def _entry(self, typed: Any, raw: object, place: Path) -> Any:
        """An entry of a list keeps its number, so one that is nothing stays as an empty record."""
        kind = _kind(typed)
        is_record = isinstance(kind, type) and issubclass(kind, Record)
        return self.record(kind, raw, place) if is_record else self._value(typed, raw, place)

    def _checked(self, typed: Any, raw: object) -> Any:
        try:
            return _adapter(typed).validate_json(json.dumps(raw), strict=True, context={"unit": self.unit})
        except ValidationError:
            return _nothing(typed)


_ADAPTERS: dict[str, TypeAdapter[Any]] = {}


def _adapter(typed: Any) -> TypeAdapter[Any]:
    """Return what checks a type; limits of a field cannot be hashed, but they write themselves out in full."""
    written = repr(typed)
    if written not in _ADAPTERS:
        _ADAPTERS[written] = TypeAdapter(typed)
    return _ADAPTERS[written]


def _whole(annotation: Any, metadata: Sequence[Any]) -> Any:
    return Annotated[annotation, *metadata] if metadata else annotation


def _kind(typed: Any) -> Any:
    """Return the type without its wrapping."""
    while True:
        if get_origin(typed) is Annotated:
            typed = get_args(typed)[0]
        elif get_origin(typed) in (Union, types.UnionType):
            typed = next(choice for choice in get_args(typed) if choice is not type(None))
        else:
            return typed


def _may_be_none(typed: Any) -> bool:
    if get_origin(typed) is Annotated:
        typed = get_args(typed)[0]
    return get_origin(typed) in (Union, types.UnionType)


def _may_stand_alone(typed: Any) -> bool:
    """Whether one entry may stand without its list."""
    marks = get_args(typed)[1:] if get_origin(typed) is Annotated else ()
    return any(isinstance(mark, BeforeValidator) and mark.func is listed for mark in marks)


def _nothing(typed: Any) -> Any:
    """Return what stands for a value that was refused."""
    kind = _kind(typed)
    if get_origin(kind) in (list, dict):
        return get_origin(kind)()
    if isinstance(kind, type) and issubclass(kind, Record) and not _may_be_none(typed):
        return _empty(kind)
    return None


def _empty(kind: type[Record]) -> Record:
    values = {name: _nothing(_whole(known.annotation, known.metadata)) for name, known in kind.model_fields.items()}
    return kind.model_construct(None, **values)
