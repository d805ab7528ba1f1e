"""The description of the API: as OpenAPI, and as a page that needs no network."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from flask import Response, render_template

from webui.answers import written
from webui.api import problems
from webui.api.answered import answered
from webui.api.calls import tagged
from webui.api.operations import PREFIX, Operation


def document(described: Mapping[str, Any]) -> Response:
    """The OpenAPI document."""
    return tagged(written(described))


def page(operations: Sequence[Operation], described: Mapping[str, Any]) -> Response:
    """The page of these operations, which the OpenAPI document describes."""
    groups: dict[str, list[Any]] = {}
    for operation in operations:
        groups.setdefault(operation.group, []).append(operation)
    schemas = described["components"]["schemas"]
    text = render_template(
        "api/browse.html",
        prefix=PREFIX,
        groups=groups,
        problems=problems.KINDS,
        schemas={name: json.dumps(schema, ensure_ascii=False, indent=1) for name, schema in sorted(schemas.items())},
        schema_name=_schema_name,
        sent_to=_sent_to,
        body_of=_body_of,
        answer_of=_answer_of,
    )
    return Response(text, mimetype="text/html")


def _schema_name(schema: Any) -> str | None:
    where = schema.get("$ref") if isinstance(schema, dict) else None
    return where.rpartition("/")[2] if where else None


def _sent_to(operation: Operation) -> str:
    """The line with which the example of an operation begins: PUT /api/v1/wearers/nora."""
    path = operation.path
    for name, part in {**operation.examples, **operation.example.path}.items():
        path = path.replace(f"{{{name}}}", part)
    return f"{operation.method} {PREFIX}{path}"


def _answer_of(operation: Operation) -> str:
    """What its example is answered, in short; empty where that is no JSON."""
    answer = answered().get(operation.name)
    return json.dumps(answer.body, ensure_ascii=False, indent=1) if answer is not None else ""


def _body_of(operation: Operation) -> str:
    body = operation.example.body
    return body if isinstance(body, str) else json.dumps(body, ensure_ascii=False, indent=1)
