"""Examples of the API: each is as its schema says, and is done on the invented household as it stands."""

from __future__ import annotations

from collections.abc import Iterator

import jsonschema
import pytest

from tests.webui.answered import BY_NAME, NO_TEXT, answers, is_kept
from webui.api.answered import answered
from webui.api.calls import JSON
from webui.api.examples import EXAMPLES
from webui.api.problems import KINDS, MEDIA
from webui.api.table import description


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


# Answers


def test_every_answer_that_is_json_has_an_example_that_is_as_its_schema_says():
    for name, operation in described():
        contents = [answer["content"] for answer in operation["responses"].values() if "content" in answer]
        shown = [content[JSON] for content in contents if "example" in content.get(JSON, {})]
        assert len(shown) == is_kept(BY_NAME[name]), f"{name}: python -m tests.webui.answered writes them anew"
        for content in shown:
            valid(content["example"], content["schema"])


def names(told: object) -> object:
    """What is in an answer, by name: a change of figures alone leaves an example true enough."""
    if isinstance(told, dict):
        return {name: names(value) for name, value in told.items()}
    return [names(value) for value in told[:1]] if isinstance(told, list) else None


@pytest.mark.full
def test_every_example_is_done_on_the_invented_household_and_answered_as_described_and_as_was_kept(demo_file, tmp_path):
    for operation, answer in answers(demo_file, tmp_path):
        assert answer.status_code in operation.status, (operation.name, answer.text)
        assert answer.mimetype == operation.media, operation.name
        if operation.answers is not None:
            valid(answer.json, operation.answers)
        if is_kept(operation):
            kept = answered()[operation.name]
            assert (kept.status, names(kept.body)) == (answer.status_code, names(answer.json)), operation.name
