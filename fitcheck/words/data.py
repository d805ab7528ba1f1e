"""Answers as data, ready for JSON: codes and numbers as they are; questions, faults, reasons with their sentences."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.refusals import CannotShape
from fitcheck.records.faults import Fault
from fitcheck.records.questions.question import Question
from fitcheck.words.faults import written_fault
from fitcheck.words.questions import WrittenQuestion, written_question
from fitcheck.words.unshaped import unshaped
from fitcheck.words.why_not import WrittenReason, written_reason

if TYPE_CHECKING:
    from pydantic import TypeAdapter

_AS_THEY_ARE = frozenset({str, int, bool, type(None)})


def json_text(answer: Any, *, indent: int | None = None) -> str:
    """Write an answer as JSON text, full precision; equal records give equal text."""
    return json.dumps(as_data(answer), ensure_ascii=False, allow_nan=False, indent=indent)


def as_data(answer: Any) -> Any:
    """Turn dataclasses into dictionaries, tuples into lists, infinities into None."""
    kind: Any = type(answer)
    if kind in _AS_THEY_ARE:
        return answer
    if isinstance(answer, float):
        return answer if math.isfinite(answer) else None
    names = _names_of(kind)
    if names is not None:
        written = _with_sentences(answer)
        if written is not answer:
            return as_data(written)
        return {name: as_data(getattr(answer, name)) for name in names}
    if isinstance(answer, (list, tuple)):
        return [as_data(value) for value in answer]
    if isinstance(answer, Mapping):
        return {key: as_data(value) for key, value in answer.items()}
    return answer


@cache
def _names_of(kind: type) -> tuple[str, ...] | None:
    """The fields of a dataclass, by name; None of what is none: an answer has thousands of values of few kinds."""
    return tuple(field.name for field in fields(kind)) if is_dataclass(kind) else None


def _with_sentences(answer: Any) -> Any:
    """A question, a fault or a reason as it is written; anything else as it is."""
    if isinstance(answer, Question):
        return written_question(answer)
    if isinstance(answer, Fault):
        return written_fault(answer)
    if isinstance(answer, CannotShape):
        return WrittenReason(answer.code, *unshaped(answer))
    return written_reason(answer) if isinstance(answer, CannotSay) else answer


def report_schema() -> dict[str, Any]:
    """JSON schema (draft 2020-12) of a report as data."""
    from fitcheck.reports.schema import report_type
    from fitcheck.reports.shapes import SCHEMA

    return _schema(report_type(), SCHEMA)


def rest_schema() -> dict[str, Any]:
    """JSON schema (draft 2020-12) of the rest of the sweater as data."""
    from pydantic import TypeAdapter

    from fitcheck.reports.the_rest import SCHEMA, RestAnswer

    return _schema(TypeAdapter(RestAnswer), SCHEMA)


def finished_schema() -> dict[str, Any]:
    """JSON schema (draft 2020-12) of a finished sweater as data."""
    from pydantic import TypeAdapter

    from fitcheck.reports.finished import SCHEMA, Finished

    return _schema(TypeAdapter(Finished), SCHEMA)


def _schema(answer: TypeAdapter[Any], name: str) -> dict[str, Any]:
    from pydantic import TypeAdapter
    from pydantic.json_schema import GenerateJsonSchema

    class WithSentences(GenerateJsonSchema):
        def dataclass_schema(self, schema: Any) -> Any:
            """The shape of a dataclass; of a question and of a reason the shape in which they are written."""
            written = {Question: WrittenQuestion, CannotSay: WrittenReason}.get(schema["cls"])
            if written is not None:
                schema = TypeAdapter(written).core_schema
            return super().dataclass_schema(schema)

        def default_schema(self, schema: Any) -> Any:
            """The shape without its default: nothing is left out of an answer that would have to be put in."""
            return self.generate_inner(schema["schema"])

    shape = answer.json_schema(mode="serialization", schema_generator=WithSentences)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "$id": name, **shape}
