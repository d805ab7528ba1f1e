"""The OpenAPI 3.1 document, made from the table of operations and the schemas."""

from __future__ import annotations

import re
from collections.abc import Sequence
from importlib.metadata import PackageNotFoundError, version
from typing import Any

from fitcheck.records.sheet_kinds import SHEET_KINDS
from webui.api import problems
from webui.api.answered import answered
from webui.api.examples import Example
from webui.api.operations import PREFIX, Operation, Parameter
from webui.api.schemas import DIGEST, KEY, components, ref
from webui.config import PORT
from webui.forms.typed import MOST_REVISION
from webui.pairing.home import COOKIE

_PATH = {
    "key": (KEY, "key of the record"),
    "id": (KEY, "id of the reading, the tap or the piece, unlike any other of the record"),
    "sheet": (KEY, "id of the begun sheet in its make"),
    "digest": (DIGEST, "SHA-256 of the photograph"),
    "piece": ({"type": "string", "enum": list(SHEET_KINDS)}, "kind of a piece still to knit, or of a band to pick up"),
    "stage": ({"type": "integer", "minimum": 1, "maximum": 9999}, "number of the stage, in the order of the piece"),
    "revision": ({"type": "integer", "minimum": 1, "maximum": MOST_REVISION}, "number of the revision"),
}
PAIRED = "paired"
"""Name of the way in which a device at home says that it was paired."""
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
        "servers": _servers(),
        "security": [{}, {PAIRED: []}],
        "tags": [{"name": name} for name in groups],
        "paths": paths,
        "components": {
            "schemas": dict(components()),
            "responses": {
                _problem(status): _bad(status) for status in sorted({kind.status for kind in problems.KINDS})
            },
            "securitySchemes": {PAIRED: _paired()},
        },
    }


def _servers() -> list[dict[str, Any]]:
    """This machine alone, and the address at home."""
    port = {"default": str(PORT), "description": "what --port says"}
    at_home = {"default": "192.168.0.2", "description": "the address that the command prints"}
    return [
        {
            "url": "http://127.0.0.1:{port}",
            "description": "fitcheck serve: this machine alone; nobody logs in",
            "variables": {"port": port},
        },
        {
            "url": "http://{address}:{port}",
            "description": "fitcheck serve --home: the private network, for devices that were paired",
            "variables": {"address": at_home, "port": port},
        },
    ]


def _paired() -> dict[str, str]:
    return {
        "type": "apiKey",
        "in": "cookie",
        "name": COOKIE,
        "description": "The session of a device that was paired at /pair. On this machine itself nothing is asked.",
    }


def _version() -> str:
    try:
        return version("fitcheck")
    except PackageNotFoundError:
        return "0"


def _described(operation: Operation) -> dict[str, Any]:
    named, example = re.findall(r"\{(\w+)\}", operation.path), operation.example
    described: dict[str, Any] = {
        "operationId": operation.name,
        "tags": [operation.group],
        "summary": operation.about,
        "parameters": [
            *(_of_path(name, {**operation.examples, **example.path}.get(name)) for name in named),
            *(_of_request(parameter, example) for parameter in operation.parameters),
        ],
        "responses": {
            **{str(status): _good(operation, status) for status in operation.status},
            **{str(status): _problem_ref(status) for status in operation.every_problem},
        },
        "x-right": operation.right,
    }
    if operation.body is not None:
        sent: dict[str, Any] = {"schema": operation.body}
        if example.body is not None:
            sent["example"] = example.body
        described["requestBody"] = {"required": True, "content": {operation.body_media: sent}}
    return described


def _of_path(name: str, example: str | None) -> dict[str, Any]:
    schema, about = _PATH[name]
    parameter: dict[str, Any] = {"name": name, "in": "path", "required": True, "schema": schema, "description": about}
    if example is not None:
        parameter["example"] = int(example) if schema["type"] == "integer" else example
    return parameter


def _of_request(parameter: Parameter, example: Example) -> dict[str, Any]:
    described = {
        "name": parameter.name,
        "in": parameter.where,
        "required": parameter.required,
        "schema": parameter.schema,
        "description": parameter.about,
    }
    if parameter.name == "If-Match" and example.revision is not None:
        described["example"] = f'"{example.revision}"'
    return described


def _good(operation: Operation, status: int) -> dict[str, Any]:
    answer: dict[str, Any] = {"description": _SAID[status]}
    if status != 304:
        content = {"schema": operation.answers or {"type": "string"}}
        example = answered().get(operation.name)
        if example is not None and example.status == status:
            content["example"] = example.body
        answer["content"] = {operation.media: content}
    if operation.answers is not None and "Revision" in str(operation.answers.get("$ref")):
        answer["headers"] = {"ETag": {"description": "the revision", "schema": {"type": "string"}}}
    return answer


def _problem(status: int) -> str:
    return f"Problem{status}"


def _problem_ref(status: int) -> dict[str, str]:
    return {"$ref": f"#/components/responses/{_problem(status)}"}


def _bad(status: int) -> dict[str, Any]:
    kinds = [kind for kind in problems.KINDS if kind.status == status]
    answer: dict[str, Any] = {
        "description": " Or: ".join(f"{kind.title}. {kind.whole}" for kind in kinds),
        "content": {problems.MEDIA: {"schema": ref("Problem"), "examples": {kind.name: _told(kind) for kind in kinds}}},
    }
    if status == 503:
        answer["headers"] = {"Retry-After": {"description": "seconds", "schema": {"type": "string"}}}
    return answer


def _told(kind: problems.Kind) -> dict[str, Any]:
    """A problem of a kind as it is answered."""
    value = {"type": problems.HELP + kind.name, "title": kind.title, "status": kind.status, "detail": kind.whole}
    return {"summary": kind.title, "description": kind.whole, "value": value}
