"""A lent application answers as one that was made for the test, and knows nothing of the test before."""

from __future__ import annotations

import re

import pytest

from tests.webui import lent
from webui.app import create_app
from webui.config import Config

PATHS = ("/", "/makes/grey_pullover", "/wardrobe", "/swatches", "/api/v1/makes", "/api/v1/makes/grey_pullover/report")


def answers(app):
    """Bodies of a few pages and answers, as a new device gets them; the ids of new forms are another each time."""
    bodies = [app.test_client().get(path).data for path in PATHS]
    return [re.sub(rb'name="form" value="[\w-]+"', b"", body) for body in bodies]


@pytest.fixture
def used(store):
    """An application that another test used, of a household that is not empty."""
    app = lent.lend(store)
    answers(app)
    lent.take_back()
    return app


def test_a_lent_application_answers_as_a_new_one_does(used, store):
    app = lent.lend(store)
    assert app is used
    assert answers(app) == answers(create_app(store, config=Config(port=80)))


def test_a_lent_application_on_another_database_shows_nothing_of_the_one_before(used, empty, tmp_path):
    app = lent.lend(empty)
    assert app is used
    assert app.test_client().get("/makes/grey_pullover").status_code == 404
    assert answers(app)[0] == answers(create_app(empty, config=Config(port=80)))[0]


def test_two_applications_of_one_test_are_two(store, empty):
    of_store, of_empty = lent.lend(store), lent.lend(empty)
    assert of_store is not of_empty
    assert of_store.test_client().get("/makes/grey_pullover").status_code == 200
