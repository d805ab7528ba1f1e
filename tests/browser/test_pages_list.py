"""The list of pages is whole: each route that shows something stands in it.

That each page answers as the list says is held where they are all read: `tests/webui/test_every_page.py`.
"""

from __future__ import annotations

import json

import pytest

from fitcheck.store import Store
from tests.browser import pages_list
from tests.webui import lent
from webui.app import create_app
from webui.config import Config


@pytest.fixture
def store(tmp_path):
    with Store.open(tmp_path / "fitcheck.db") as opened:
        yield opened


@pytest.fixture
def app(store):
    yield lent.lend(store)
    lent.take_back()


def routes(app):
    """Endpoints that answer a GET, those of the API only where they are pages."""
    asked = {rule.endpoint for rule in app.url_map.iter_rules() if "GET" in rule.methods}
    return {one for one in asked if not one.startswith("api.")} | (asked & set(pages_list.API_PAGES))


def test_every_route_stands_in_the_list_of_pages_or_is_said_to_be_none(app):
    assert routes(app) == set(pages_list.OF_ROUTES) | set(pages_list.NO_PAGES)


def test_a_new_route_that_nobody_listed_is_seen(store):
    app = create_app(store, config=Config(port=80))
    app.add_url_rule("/attic", "attic", lambda: "")
    assert "attic" in routes(app) - set(pages_list.OF_ROUTES) - set(pages_list.NO_PAGES)


def test_the_routes_of_the_api_beside_its_pages_answer_with_data(app):
    paths = json.loads(app.test_client().get("/api/v1/openapi.json").data)["paths"]
    for path, methods in paths.items():
        if "get" not in methods:
            continue
        for kind in methods["get"]["responses"]["200"].get("content", {}):
            assert ("html" in kind) == (path.removeprefix("/api/v1") == "/browse"), (path, kind)


def test_every_page_of_an_empty_household_answers(app):
    client = app.test_client()
    for path in pages_list.EMPTY:
        assert client.get(path).status_code == 200, path
