"""The description of the API: complete, true of every answer, and wide enough for every way to write a record."""

from __future__ import annotations

import json
import os

import jsonschema
import pytest
from werkzeug.routing import Rule

from fitcheck.records.cross_checks import KINDS
from fitcheck.words.data import report_schema
from tests.invented import in_turn
from tests.webui.conftest import API, DEMO
from webui.api.problems import KINDS as PROBLEMS
from webui.api.schemas import _each_once, components, name_of
from webui.api.table import OPERATIONS, description


def valid(data, name):
    """Check data against one of the named schemas."""
    whole = {"$ref": f"#/components/schemas/{name}", "components": {"schemas": dict(components())}}
    jsonschema.Draft202012Validator(whole).validate(data)


def test_every_route_of_the_api_is_in_the_table_and_the_other_way_round(app):
    def as_described(rule: Rule) -> str:
        return rule.rule.replace("<", "{").replace(">", "}")

    routes = {
        (method, as_described(rule))
        for rule in app.url_map.iter_rules()
        if rule.rule.startswith(API)
        for method in rule.methods - {"HEAD", "OPTIONS"}
    }
    described = {(method.upper(), path) for path, methods in description()["paths"].items() for method in methods}
    assert routes == described
    assert len(described) == len(OPERATIONS)
    assert len({one.name for one in OPERATIONS}) == len(OPERATIONS)


def test_every_reference_leads_to_a_schema():
    text = json.dumps(description())
    referred = {part.split('"')[0] for part in text.split('"#/components/schemas/')[1:]}
    assert referred <= set(components())
    for schema in components().values():
        jsonschema.Draft202012Validator.check_schema(schema)


def test_a_name_of_two_schemas_is_refused():
    with pytest.raises(ValueError, match="read DoneDeeds twice"):
        _each_once({"DoneDeeds": {}, "Make": {}}, {"DoneDeeds": {}})


def test_a_part_of_the_report_and_a_record_never_share_a_name():
    records = {name_of(kind) for kind in KINDS}
    for kind in KINDS:
        records |= set(KINDS[kind].model_json_schema().get("$defs", {}))
    assert not records & set(report_schema()["$defs"])


@pytest.mark.parametrize("kind", KINDS)
def test_every_record_of_the_demo_as_it_was_typed_is_well_formed(kind):
    for record in DEMO[kind]:
        valid(record, name_of(kind))


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("Reading", "51.6 cm"),
        ("Reading", 51.6),
        ("Reading", {"text": 51.6, "laying": 2}),
        ("Counts", 122),
        ("Counts", "122"),
        ("Counts", {"counted": "122"}),
        ("Dial", "7··"),
        ("Tolerance", "1 cm"),
        ("WhatIf", {"counts": {"chest": 120}, "dial": "7.1", "planned": {"front": {"chest": 119}}}),
    ],
)
def test_the_short_ways_of_writing_are_well_formed(name, data):
    valid(data, name)


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("Reading", {"txt": "51.6 cm"}),
        ("Counts", 0),
        ("Counts", {"counted": 5001}),
        ("Wearer", {"name": "a", "body": {"elbow": ["30 cm"]}}),
        ("Garment", {"name": "a"}),
        ("Dial", 7.1),
        ("WhatIf", {"dials": 7}),
    ],
)
def test_what_is_refused_is_not_well_formed(name, data):
    with pytest.raises(jsonschema.ValidationError):
        valid(data, name)


@pytest.mark.parametrize("make", in_turn([one["id"] for one in DEMO["makes"]]))
def test_every_answer_on_the_demo_is_as_described(ask, make):
    for path, name in (("report", "Report"), ("verdict", "Verdict"), ("fabric", "Fabric"), ("sizes", "Sizes")):
        valid(ask("GET", f"/makes/{make}/{path}")[1], name)


def test_every_problem_stands_on_the_page_that_its_type_leads_to(client):
    page = client.get(f"{API}/browse").text
    for kind in PROBLEMS:
        assert f'id="{kind.name}"' in page
    for operation in OPERATIONS:
        assert f'id="{operation.name}"' in page


@pytest.fixture
def run():
    """`contract.run`; without its library, which extra `dev` brings, the test is skipped, but never in CI."""
    if not os.environ.get("CI"):
        pytest.importorskip("schemathesis", reason="schemathesis is not here (extra dev)")
    from tests.webui.contract import run

    return run


A_FEW = "^(report|what_if|[a-z_]+_(swatches|wearers)|get_household|import_readings)$"
"""Operations that stand for all: every kind of record has the same ones, and the same code answers them."""


@pytest.mark.full
@pytest.mark.parametrize(
    ("examples", "only", "share"), [(1, A_FEW, 0.4), pytest.param(3, None, 1.0, marks=pytest.mark.long)]
)
def test_made_up_requests_find_nothing(app, run, examples, only, share):
    """Every check of the library; `contract.py` says which answers are allowed, and runs it longer.

    README's line asks every operation for what nobody should ask (`test_odd_requests.py`).
    """
    found = run(app, examples=examples, only=only)
    print(f"{found.requests} requests: {dict(sorted(found.statuses.items()))}")
    assert found.errors == []
    assert found.failures == []
    assert found.requests > 5000 * share
    assert found.statuses[200] > 60 * share
    assert not [status for status in found.statuses if status >= 500]


@pytest.mark.full
def test_made_up_requests_would_find_an_error_of_the_program(app, run, monkeypatch):
    """The run has teeth: it finds an error of the program."""
    store = app.extensions["fitcheck"].store
    known = type(store).history

    def fails_on_some(self, kind, key):
        if kind == "yarns":
            raise KeyError(key)
        return known(self, kind, key)

    monkeypatch.setattr(type(store), "history", fails_on_some)
    found = run(app, examples=1, only="^history_yarns$")
    assert any("/yarns/{key}/history" in one and "Server error" in one for one in found.failures)
