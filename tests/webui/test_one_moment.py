"""What somebody is answered is as new as his question, and never older than what his own device changed."""

from __future__ import annotations

from contextlib import ExitStack

import pytest

from fitcheck.records.places import Place
from webui.cache import Cache
from webui.pages import page_cache
from webui.service import service, service_of

READING = {"place": "pieces/back/stages/0/readings/chest", "reading": "51.637 cm"}
PHONE, LAPTOP = {"REMOTE_ADDR": "127.0.0.7"}, {"REMOTE_ADDR": "127.0.0.8"}


@pytest.fixture
def told(monkeypatch):
    """What the cache is told of who asks and who changed something."""
    told, asked, changed = [], Cache.asked, Cache.changed
    monkeypatch.setattr(Cache, "asked", lambda cache, who=None: told.append(("asks", who)) or asked(cache, who))
    monkeypatch.setattr(Cache, "changed", lambda cache, who: told.append(("changed", who)) or changed(cache, who))
    return told


def test_a_page_may_be_a_little_older_than_the_question_an_answer_of_the_api_not(client, told):
    client.get("/people", environ_overrides=PHONE)
    client.get("/api/v1/makes/grey_pullover/report", environ_overrides=PHONE)
    assert told == [("asks", "127.0.0.7"), ("asks", None)]


def test_who_changes_something_is_known_before_he_is_answered(client, told):
    client.put("/api/v1/makes/grey_pullover/readings/late", json=READING, environ_overrides=PHONE)
    client.post("/unit", data={"unit": "in"}, environ_overrides=PHONE)
    assert told == [("changed", "127.0.0.7")] * 2


def test_nothing_is_left_of_a_question_once_it_is_answered(client, app, store):
    client.get("/makes/grey_pullover")
    store.add_reading(Place.of_readings("makes", "grey_pullover", READING["place"]), READING["reading"])
    with app.app_context():
        make = service().answers.of("grey_pullover").told.given.make
    assert make.pieces[0].stages[0].readings["chest"][-1].text == READING["reading"]


def test_a_page_is_kept_of_nothing_that_is_older_than_what_it_is_kept_under(client, store, monkeypatch):
    real, calls = page_cache._key, []

    def key():
        calls.append(None)
        if len(calls) == 2:  # it is our turn: somebody was answered since we asked, and then something was changed
            service().answers.of("grey_pullover")
            store.add_reading(Place.of_readings("makes", "grey_pullover", READING["place"]), READING["reading"])
        return real()

    monkeypatch.setattr(page_cache, "_key", key)
    client.get("/makes/grey_pullover")
    assert "51.637 cm" in client.get("/makes/grey_pullover").get_data(as_text=True)


def test_a_page_may_lack_what_another_device_changed_a_moment_ago_while_others_are_answered(client, app, monkeypatch):
    monkeypatch.setattr("webui.cache.LATE_S", 60.0)  # a busy machine renders longer than a second

    def page():
        return client.get("/makes/grey_pullover", environ_overrides=PHONE).data

    def changes(of, others):
        before, path = page(), f"/api/v1/makes/grey_pullover/readings/with-{others}-others"
        with ExitStack() as answered:
            for _ in range(others):
                answered.enter_context(service_of(app).cache.answering())
            client.put(path, json=READING, environ_overrides=of)
            return page() != before

    assert not changes(LAPTOP, others=1)
    assert changes(PHONE, others=2)
    assert changes(LAPTOP, others=0)
