"""The description of the API: as OpenAPI, and as a page that needs no network."""

from __future__ import annotations

import json
from typing import Any

from flask import Response, render_template

from webui.answers import written
from webui.api import problems
from webui.api.calls import Call, tagged
from webui.api.openapi import document as described


def document(call: Call) -> Response:
    """The OpenAPI document."""
    return tagged(written(described()))


def page(call: Call) -> Response:
    """The page of the API."""
    from webui.api import PREFIX
    from webui.api.table import OPERATIONS

    groups: dict[str, list[Any]] = {}
    for operation in OPERATIONS:
        groups.setdefault(operation.group, []).append(operation)
    schemas = described()["components"]["schemas"]
    text = render_template(
        "api/browse.html",
        prefix=PREFIX,
        groups=groups,
        problems=problems.KINDS,
        schemas={name: json.dumps(schema, ensure_ascii=False, indent=1) for name, schema in sorted(schemas.items())},
        schema_name=_schema_name,
    )
    return Response(text, mimetype="text/html")


def _schema_name(schema: Any) -> str | None:
    where = schema.get("$ref") if isinstance(schema, dict) else None
    return where.rpartition("/")[2] if where else None
