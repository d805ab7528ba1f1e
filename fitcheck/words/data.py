"""Answers as data, ready for JSON: codes and numbers as they are; questions, faults, reasons with their sentences."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
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


def json_text(answer: Any, *, indent: int | None = None) -> str:
    """Write an answer as JSON text, full precision; equal records give equal text."""
    return json.dumps(as_data(answer), ensure_ascii=False, allow_nan=False, indent=indent)


def as_data(answer: Any) -> Any:
    """Turn dataclasses into dictionaries, tuples into lists, infinities into None."""
    if isinstance(answer, Question):
        answer = written_question(answer)
    if isinstance(answer, Fault):
        answer = written_fault(answer)
    if isinstance(answer, CannotShape):
        answer = WrittenReason(answer.code, *unshaped(answer))
    elif isinstance(answer, CannotSay):
        answer = written_reason(answer)
    if is_dataclass(answer) and not isinstance(answer, type):
        return {field.name: as_data(getattr(answer, field.name)) for field in fields(answer)}
    if isinstance(answer, Mapping):
        return {key: as_data(value) for key, value in answer.items()}
    if isinstance(answer, (list, tuple)):
        return [as_data(value) for value in answer]
    if isinstance(answer, float):
        return answer if math.isfinite(answer) else None
    return answer


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
