"""Examples of the API: each is as its schema says, and is done on the invented household as it stands."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator

import jsonschema
import pytest
from werkzeug.test import Client, TestResponse

from fitcheck.store import Store
from tests.jpegs import jpeg
from tests.webui import lent
from tests.webui.conftest import API
from webui.api.examples import EXAMPLES
from webui.api.operations import Operation
from webui.api.problems import KINDS, MEDIA
from webui.api.table import OPERATIONS, description

BY_NAME = {operation.name: operation for operation in OPERATIONS}
NO_TEXT = {"keep_photograph"}
"""What is sent is no text: the picture of the test."""


def valid(data: object, schema: dict) -> None:
    whole = {**schema, "components": description()["components"]}
    jsonschema.Draft202012Validator(whole).validate(data)


def described() -> Iterator[tuple[str, dict]]:
    for methods in description()["paths"].values():
        for operation in methods.values():
            yield operation["operationId"], operation


def test_every_operation_has_an_example_of_all_that_it_needs_and_each_is_as_its_schema_says():
    names = {name for name, _ in described()}
    assert set(EXAMPLES) <= names
    for name, operation in described():
        for parameter in operation["parameters"]:
            if parameter["required"]:
                valid(parameter["example"], parameter["schema"])
        for content in operation.get("requestBody", {"content": {}})["content"].values():
            if name not in NO_TEXT:
                valid(content["example"], content["schema"])


def test_an_example_that_is_not_as_its_schema_says_would_be_seen():
    schema = next(one for name, one in described() if name == "put_wearers")["requestBody"]["content"]
    with pytest.raises(jsonschema.ValidationError):
        valid({"name": "Nora", "size": 3}, schema["application/json"]["schema"])


def test_every_kind_of_problem_is_described_with_its_code_its_meaning_and_what_to_do_next():
    responses = description()["components"]["responses"]
    told = {
        name: example for answer in responses.values() for name, example in answer["content"][MEDIA]["examples"].items()
    }
    assert set(told) == {kind.name for kind in KINDS}
    for kind in KINDS:
        valid(told[kind.name]["value"], {"$ref": "#/components/schemas/Problem"})
        assert told[kind.name]["value"]["type"].endswith(f"#{kind.name}")
        assert told[kind.name]["description"] == f"{kind.about} {kind.then}"
        assert all(text.endswith(".") for text in (kind.about, kind.then))


def test_on_this_machine_nobody_logs_in_and_at_home_the_cookie_of_a_paired_device_does():
    whole = description()
    assert whole["security"] == [{}, {"paired": []}]
    paired = whole["components"]["securitySchemes"]["paired"]
    assert (paired["in"], paired["name"]) == ("cookie", "device")
    assert [server["url"] for server in whole["servers"]] == ["http://127.0.0.1:{port}", "http://{address}:{port}"]
    assert {operation["x-right"] for _, operation in described()} == {"measure", "everything"}


def done(client: Client, operation: Operation) -> TestResponse:
    """Do the example of an operation, after those that go before it."""
    example = operation.example
    before = [done(client, BY_NAME[name]) for name in example.after]
    path, body = operation.path, example.body
    for name, part in {**operation.examples, **example.path}.items():
        path = path.replace(f"{{{name}}}", part)
    if operation.name == "get_photograph":
        path = f"/photographs/{before[0].json['photograph']}"
    answer = ask(client, operation, path, jpeg() if operation.name in NO_TEXT else body)
    if answer.status_code == 409 and isinstance(body, dict):
        # No example can know the digest of a report: the problem says it, and what to send instead.
        answer = ask(client, operation, path, {name: answer.json.get(name, body[name]) for name in body})
    return answer


def ask(client: Client, operation: Operation, path: str, body: object) -> TestResponse:
    revision = operation.example.revision
    headers = {} if revision is None else {"If-Match": f'"{revision}"'}
    raw = body if isinstance(body, str | bytes) else json.dumps(body)
    sent = {} if operation.body is None else {"data": raw, "content_type": operation.body_media}
    return client.open(API + path, method=operation.method, headers=headers, **sent)


@pytest.mark.full
def test_every_example_is_done_on_the_invented_household_and_answered_as_described(demo_file, tmp_path):
    for operation in OPERATIONS:
        with Store.open(shutil.copy(demo_file, tmp_path / "fitcheck.db")) as store:
            answer = done(lent.lend(store).test_client(), operation)
            assert answer.status_code in operation.status, (operation.name, answer.text)
            assert answer.mimetype == operation.media, operation.name
            if operation.answers is not None:
                valid(answer.json, operation.answers)
            lent.take_back()
