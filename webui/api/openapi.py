"""The OpenAPI 3.1 document, made from the table of operations and the schemas."""

from __future__ import annotations

import re
from collections.abc import Sequence
from importlib.metadata import PackageNotFoundError, version
from typing import Any

from fitcheck.records.sheet_kinds import SHEET_KINDS
from webui.api import problems
from webui.api.operations import PREFIX, Operation, Parameter
from webui.api.schemas import DIGEST, KEY, components, ref

_PATH = {
    "key": (KEY, "key of the record"),
    "id": (KEY, "id of the reading, the tap or the piece, unlike any other of the record"),
    "sheet": (KEY, "id of the begun sheet in its make"),
    "digest": (DIGEST, "SHA-256 of the photograph"),
    "piece": ({"type": "string", "enum": list(SHEET_KINDS)}, "kind of a piece still to knit, or of a band to pick up"),
    "stage": ({"type": "integer", "minimum": 1, "maximum": 9999}, "number of the stage, in the order of the piece"),
    "revision": ({"type": "integer", "minimum": 1, "maximum": 2**53}, "number of the revision"),
}
_SAID = {200: "Done", 201: "Written, a new record", 304: "Nothing has changed since the tag that was sent"}


def document(operations: Sequence[Operation]) -> dict[str, Any]:
    """Return the document of these operations."""
    paths: dict[str, Any] = {}
    for operation in operations:
        at = paths.setdefault(PREFIX + operation.path, {})
        at[operation.method.lower()] = _described(operation)
    groups = list(dict.fromkeys(operation.group for operation in operations))
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Fitcheck",
            "version": _version(),
            "description": "Everything that is kept and everything that is computed. Lengths are millimetres in "
            "answers; in records they are as they were typed. Every change is a revision and can be undone.",
        },
        "tags": [{"name": name} for name in groups],
        "paths": paths,
        "components": {"schemas": dict(components())},
    }


def _version() -> str:
    try:
        return version("fitcheck")
    except PackageNotFoundError:
        return "0"


def _described(operation: Operation) -> dict[str, Any]:
    named = re.findall(r"\{(\w+)\}", operation.path)
    described: dict[str, Any] = {
        "operationId": operation.name,
        "tags": [operation.group],
        "summary": operation.about,
        "parameters": [
            *(_of_path(name, operation.examples.get(name)) for name in named),
            *(_of_request(parameter) for parameter in operation.parameters),
        ],
        "responses": {
            **{str(status): _good(operation, status) for status in operation.status},
            **{str(status): _bad(status) for status in operation.every_problem},
        },
    }
    if operation.body is not None:
        described["requestBody"] = {"required": True, "content": {operation.body_media: {"schema": operation.body}}}
    return described


def _of_path(name: str, example: str | None) -> dict[str, Any]:
    schema, about = _PATH[name]
    parameter: dict[str, Any] = {"name": name, "in": "path", "required": True, "schema": schema, "description": about}
    if example is not None:
        parameter["example"] = int(example) if schema["type"] == "integer" else example
    return parameter


def _of_request(parameter: Parameter) -> dict[str, Any]:
    return {
        "name": parameter.name,
        "in": parameter.where,
        "required": parameter.required,
        "schema": parameter.schema,
        "description": parameter.about,
    }


def _good(operation: Operation, status: int) -> dict[str, Any]:
    answer: dict[str, Any] = {"description": _SAID[status]}
    if status != 304:
        answer["content"] = {operation.media: {"schema": operation.answers or {"type": "string"}}}
    if operation.answers is not None and "Revision" in str(operation.answers.get("$ref")):
        answer["headers"] = {"ETag": {"description": "the revision", "schema": {"type": "string"}}}
    return answer


def _bad(status: int) -> dict[str, Any]:
    kinds = [kind for kind in problems.KINDS if kind.status == status]
    answer: dict[str, Any] = {
        "description": " Or: ".join(f"{kind.title}. {kind.about}" for kind in kinds),
        "content": {problems.MEDIA: {"schema": ref("Problem")}},
    }
    if status == 503:
        answer["headers"] = {"Retry-After": {"description": "seconds", "schema": {"type": "string"}}}
    return answer
