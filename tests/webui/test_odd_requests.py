"""Every operation of the API, asked for what nobody should ask: refused as it is described, and nothing breaks.

`test_openapi.py` has a library make up many more requests from the description, under `full`.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache
from itertools import cycle, product
from typing import Any

import jsonschema
import pytest

from tests.webui import lent
from tests.webui.conftest import API, DEMO
from webui.api.calls import JSON
from webui.api.operations import Operation
from webui.api.schemas import components
from webui.api.table import IF_MATCH, OPERATIONS

BODIES: tuple[Any, ...] = (None, [], {}, "x", 5, -1.5, True, [[]], {"id": None}, {"name": ["a", {"b": 1}]}, 10**30)
ODD: tuple[Any, ...] = (None, [None], "\x00", -1, {"a": [{}]}, 300 * "x")
RAW = (b"", b"{", b"\xff\xfe", b"[" * 3000, b'{"a": NaN}', b'{"a": 1, "a": 2}')
ALIKE = {"wearers", "yarns", "machines", "swatches", "size_tables"}
"""Kinds of record that have the operations of garments and makes, answered by the same code: CI asks them."""
TEXTS = ("", "\x00", "-1", "99999999999999999999", "no_such", "a'b\"c", "٣")


@cache
def problem() -> jsonschema.Draft202012Validator:
    """What an answer that refuses must be; made by the first test that asks, and not where tests are only collected."""
    whole = {"$ref": "#/components/schemas/Problem", "components": {"schemas": dict(components())}}
    return jsonschema.Draft202012Validator(whole)


def body_of(operation: Operation) -> Any:
    """A body that the operation takes, as far as one record of the demo is one."""
    return DEMO[operation.group][0] if operation.group in DEMO and isinstance(DEMO[operation.group], list) else {}


def requests(operation: Operation, *, every: bool) -> Iterator[dict[str, Any]]:
    """Requests of one operation, each wrong in one way: path, query, header or body.

    every  whether each field of a record is wrong in every way, and not in one of them
    """
    path, headers = API + operation.path, {"If-Match": '"1"'}
    for name, example in operation.examples.items():
        path = path.replace(f"{{{name}}}", example)
    right = {"path": path, "headers": headers}
    if operation.body is not None:
        right |= {"data": json.dumps(body_of(operation)), "content_type": operation.body_media}
    yield right
    if IF_MATCH in operation.parameters:
        yield right | {"headers": {}}
        yield from (right | {"headers": {"If-Match": text.strip("\x00")}} for text in TEXTS)
    for name in operation.examples:
        yield from (right | {"path": API + _with(operation, name, text)} for text in ("no_such", "%00", 70 * "x", "٣"))
    for parameter in operation.parameters:
        if parameter.where == "query":
            yield from (right | {"query_string": {parameter.name: text}} for text in TEXTS)
    yield right | {"query_string": {"nobody_asked": "1"}}
    if operation.body is None:
        return
    yield right | {"content_type": "text/html"}
    yield from (right | {"data": raw} for raw in RAW)
    if operation.body_media == JSON:
        yield from (right | {"data": json.dumps(body)} for body in BODIES)
    if operation.method == "PUT" and operation.group in DEMO:
        whole = body_of(operation)
        odd = product(whole, ODD) if every else zip(whole, cycle(ODD), strict=False)
        yield from (right | {"data": json.dumps(whole | {name: value})} for name, value in odd)


def _with(operation: Operation, part: str, text: str) -> str:
    path = operation.path
    for name, example in operation.examples.items():
        path = path.replace(f"{{{name}}}", text if name == part else example)
    return path


def wrong(client: Any, operation: Operation, *, every: bool = False) -> list[str]:
    """What is wrong with the answers of an operation: broken, not described, or a problem that is none."""
    described = {*operation.status, *operation.every_problem, 404} - {500}
    told = []
    for asked in requests(operation, every=every):
        answer = client.open(method=operation.method, **asked)
        if answer.status_code not in described:
            told.append(f"{operation.name} answers {answer.status_code} to {asked!r:.300}")
        elif answer.status_code >= 400 and (
            answer.mimetype != "application/problem+json" or not problem().is_valid(json.loads(answer.data))
        ):
            told.append(f"{operation.name}: no problem as described in answer to {asked!r:.300}")
    return told


@pytest.mark.parametrize(
    "operation",
    [pytest.param(one, id=one.name, marks=pytest.mark.full if one.group in ALIKE else []) for one in OPERATIONS],
)
def test_what_nobody_should_ask_is_refused_as_described(client, operation):
    assert wrong(client, operation) == []


@pytest.mark.full
@pytest.mark.long
@pytest.mark.parametrize("operation", [one for one in OPERATIONS if one.method == "PUT"], ids=lambda one: one.name)
def test_no_field_takes_what_nobody_should_send(client, operation):
    assert wrong(client, operation, every=True) == []


def test_an_error_of_the_program_would_be_seen(store, monkeypatch):
    client = lent.lend(store).test_client()
    operation = next(one for one in OPERATIONS if one.name == "history_yarns")
    assert wrong(client, operation) == []

    def fails(self, kind, key):
        raise KeyError(key)

    monkeypatch.setattr(type(store), "history", fails)
    assert any("history_yarns answers 500" in one for one in wrong(client, operation))
