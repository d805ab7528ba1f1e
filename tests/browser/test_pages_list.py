"""The list of pages is whole: each route that shows something stands in it, and each page answers as it says."""

from __future__ import annotations

import json
from importlib.resources import files

import pytest

from fitcheck.store import Store
from tests.browser import pages_list
from tests.webui.once import worked_out_once
from webui.answers import Answers
from webui.app import create_app
from webui.config import Config


@pytest.fixture(autouse=True)
def reports_of_the_run(monkeypatch):
    """Equal records have their report worked out once a run."""
    monkeypatch.setattr(Answers, "_computed", worked_out_once)


@pytest.fixture
def store(tmp_path):
    with Store.open(tmp_path / "fitcheck.db") as opened:
        yield opened


@pytest.fixture
def filled(store):
    store.import_bundle((files("demo_garments") / "household.json").read_bytes())
    return store


def routes(app):
    """Endpoints that answer a GET, those of the API only where they are pages."""
    asked = {rule.endpoint for rule in app.url_map.iter_rules() if "GET" in rule.methods}
    return {one for one in asked if not one.startswith("api.")} | (asked & set(pages_list.API_PAGES))


def test_every_route_stands_in_the_list_of_pages_or_is_said_to_be_none(store):
    app = create_app(store, config=Config(port=80))
    assert routes(app) == set(pages_list.OF_ROUTES) | set(pages_list.NO_PAGES)


def test_a_new_route_that_nobody_listed_is_seen(store):
    app = create_app(store, config=Config(port=80))
    app.add_url_rule("/attic", "attic", lambda: "")
    assert "attic" in routes(app) - set(pages_list.OF_ROUTES) - set(pages_list.NO_PAGES)


def test_the_routes_of_the_api_beside_its_pages_answer_with_data(filled):
    client = create_app(filled, config=Config(port=80)).test_client()
    paths = json.loads(client.get("/api/v1/openapi.json").data)["paths"]
    for path, methods in paths.items():
        if "get" not in methods:
            continue
        for kind in methods["get"]["responses"]["200"].get("content", {}):
            assert ("html" in kind) == (path.removeprefix("/api/v1") == "/browse"), (path, kind)


def test_every_page_and_state_answers_as_the_list_says_and_nothing_is_changed(filled):
    app = create_app(filled, config=Config(port=80))
    client = app.test_client()
    before = filled.export_bundle()
    reached = set()
    for page in [*pages_list.pages(filled.household()), *pages_list.STATES]:
        answer = client.post(page.path, data=page.form) if page.form else client.get(page.path)
        assert (answer.status_code, answer.mimetype) == (page.status, "text/html"), str(page)
        if not page.form and page.status == 200:
            reached.add(app.url_map.bind("localhost").match(page.path.partition("?")[0])[0])
    assert reached == set(pages_list.OF_ROUTES)
    assert filled.export_bundle() == before


def test_every_page_of_an_empty_household_answers(store):
    client = create_app(store, config=Config(port=80)).test_client()
    for path in pages_list.EMPTY:
        assert client.get(path).status_code == 200, path
