"""Every test has its own database, filled with the invented household, and the reports of the run."""

from __future__ import annotations

import json
import re
import shutil
from importlib.resources import files
from pathlib import Path

import pytest
from werkzeug.test import TestResponse

from fitcheck.store import Store
from tests.webui import lent
from tests.webui.once import worked_out_once
from webui.answers import Answers

DEMO = json.loads((files("demo_garments") / "household.json").read_bytes())
API = "/api/v1"


@pytest.fixture(autouse=True)
def as_read(monkeypatch):
    """What is read as text is read as a person reads it: a space is a space, a fraction its figures. Bytes stay."""
    whole = TestResponse.get_data

    def get_data(self, as_text=False):
        found = whole(self, as_text)
        if not as_text:
            return found
        return re.sub(r'<(t?span) class="frac">([^<]*)</\1>', r"\2", found.replace("\u00a0", " ").replace("\u2060", ""))

    monkeypatch.setattr(TestResponse, "get_data", get_data)


@pytest.fixture(autouse=True)
def lent_applications():
    """What a test borrowed comes back when it ends."""
    yield
    lent.take_back()


@pytest.fixture(autouse=True)
def reports_of_the_run(monkeypatch):
    """Equal records have their report worked out once a run."""
    monkeypatch.setattr(Answers, "_computed", worked_out_once)


@pytest.fixture
def empty(tmp_path):
    with Store.open(tmp_path / "empty" / "fitcheck.db") as opened:
        yield opened


@pytest.fixture(scope="session")
def demo_file(tmp_path_factory) -> Path:
    """A database with the invented household, made once; every test that writes has a copy."""
    path = tmp_path_factory.mktemp("invented") / "fitcheck.db"
    with Store.open(path) as store:
        store.import_bundle((files("demo_garments") / "household.json").read_bytes())
    return path


@pytest.fixture
def store(tmp_path, demo_file):
    path = tmp_path / "data" / "fitcheck.db"
    path.parent.mkdir()
    with Store.open(shutil.copy(demo_file, path)) as opened:
        yield opened


@pytest.fixture
def app(store):
    return lent.lend(store)


@pytest.fixture
def client(app):
    return app.test_client()


@pytest.fixture
def ask(client):
    """Ask the API; returns status, data, response."""

    def asked(method, path, body=None, revision=None, **more):
        headers = dict(more.pop("headers", {}))
        if revision is not None:
            headers["If-Match"] = f'"{revision}"'
        if body is not None:
            # Written here: the test client would put the names of an object in another order.
            more |= {"data": json.dumps(body), "content_type": "application/json"}
        response = client.open(API + path, method=method, headers=headers, **more)
        data = json.loads(response.data) if response.data and "json" in response.mimetype else None
        return response.status_code, data, response

    return asked
