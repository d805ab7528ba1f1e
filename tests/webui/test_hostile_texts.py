"""A text that would be markup, script or a formula, in every field of every record that takes one, stays a text."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from typing import Any

import pytest
from werkzeug.test import Client

from fitcheck.records.cross_checks import KINDS
from fitcheck.records.households import Household
from tests.webui import lent
from tests.webui.conftest import API, DEMO
from tests.webui.forms_found import pages_reached
from tests.webui.made_up_forms import HOSTILE, MARK, ran
from webui.api.schemas import components, name_of

LEAST = 400
"""Longest text of a field that takes any text [characters], at the least."""
READ = {"shaping"}
"""Fields of texts that are read."""
WHERE_SAID = {"size", "set_aside"}
"""Fields that say something by being there: a size of that name, a reading that does not count."""
BEGIN = ("/", "/wardrobe", "/people", "/swatches", "/size-tables", "/settings", "/plan")
FILES = (
    "/settings/readings.csv", "/settings/household.json", "/makes/{0}/drawing.svg",
    f"{API}/makes/{{0}}/rest/drawing.svg", f"{API}/makes/{{0}}/sheets/front/drawing.svg",
    f"{API}/makes/{{0}}/sheets/front/table.csv",
)  # fmt: skip


def _one_of(schema: dict[str, Any], said: object) -> dict[str, Any]:
    """The schema of what is said there, behind its references and ways to write it."""
    while "$ref" in schema:
        schema = components()[schema["$ref"].rpartition("/")[2]]
    kinds = {dict: "object", list: "array", str: "string"}
    for way in schema.get("anyOf", ()):
        known = _one_of(way, said)
        if known.get("type") == kinds.get(type(said)):
            return known
    return schema


def _takes_any_text(schema: dict[str, Any]) -> bool:
    return schema.get("type") == "string" and schema.get("maxLength", 0) >= LEAST and "pattern" not in schema


def with_hostile_texts(schema: dict[str, Any], said: Any, text: str, filled: set[str], field: str = "") -> Any:
    """A record with the text in front of each of its texts, and in each field of a text where nothing was said.

    filled  names of the fields that have it
    """
    schema = _one_of(schema, said)
    if isinstance(said, list):
        return [with_hostile_texts(schema["items"], inside, text, filled, field) for inside in said]
    if isinstance(said, str) and _takes_any_text(schema):
        filled.add(field)
        return f"{text} {said}"
    if not isinstance(said, dict):
        return said
    fields, rest = schema.get("properties", {}), schema.get("additionalProperties") or {}
    free = {name for name, inner in fields.items() if _takes_any_text(_one_of(inner, ""))} - WHERE_SAID
    said = {**dict.fromkeys(sorted(free), ""), **said}
    return {
        name: inside if name in READ else with_hostile_texts(fields.get(name, rest), inside, text, filled, name)
        for name, inside in said.items()
    }


@pytest.fixture
def household() -> Callable[[str], tuple[bytes, set[str]]]:
    """The invented household with a hostile text in every field; what is filled, too."""

    def made(text: str) -> tuple[bytes, set[str]]:
        filled: set[str] = set()
        records = {
            kind: [with_hostile_texts(components()[name_of(kind)], record, text, filled, kind) for record in DEMO[kind]]
            for kind in KINDS
        }
        return json.dumps({**DEMO, **records}).encode(), filled

    return made


def looked_at(client: Client, home: Household, pages: Sequence[str]) -> tuple[int, set[str]]:
    """Look at pages and every file: how often the text is shown, and which kinds of files there were."""
    shown, kinds = 0, set()
    files = [file.format(make.id) for file in FILES for make in home.makes]
    for at in [*pages, *dict.fromkeys(files)]:
        answer = client.get(at)
        assert answer.status_code == 200 or at not in pages, at
        assert ran(answer) == [], at
        if answer.status_code == 200:
            shown += answer.text.count(MARK)
            kinds.add(answer.mimetype)
    return shown, kinds


@pytest.mark.full
@pytest.mark.long
def test_hostile_texts_in_every_field_stay_texts_on_every_page_and_on_paper(empty, household):
    """A page is printed as it stands: what is only on paper stands on it, too."""
    raw, filled = household(HOSTILE[1] + HOSTILE[6])
    assert filled >= {"name", "notes", "fabric", "care_label", "lot", "carriage"}
    empty.import_bundle(raw)
    client = lent.lend(empty).test_client()
    shown, kinds = looked_at(client, empty.household(), [*pages_reached(client, BEGIN, 1)])
    assert shown > 500
    assert kinds == {"text/html", "image/svg+xml", "text/csv", "application/json"}


@pytest.mark.full
def test_a_formula_in_every_field_stays_a_text_in_every_table(empty, household):
    empty.import_bundle(household(HOSTILE[12])[0])
    shown, _ = looked_at(lent.lend(empty).test_client(), empty.household(), [])
    assert shown > 50
