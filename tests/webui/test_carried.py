"""Readings that a phone could not send: its text is pasted at the new address, and each of them is kept once."""

from __future__ import annotations

import json

import pytest

from tests.webui.conftest import API
from tests.webui.lent import lend
from tests.webui.test_pages_walk import kept, readings
from tests.webui.walk_household import HOUSEHOLD
from webui.pages.walk import carried

CHEST = "pieces/back/stages/0/readings/chest"
AT = f"{API}/makes/pullover/readings"


@pytest.fixture
def store(empty):
    empty.import_bundle(json.dumps(HOUSEHOLD).encode())
    return empty


@pytest.fixture
def client(store):
    return lend(store).test_client()


def line(name, text, said="51.8 cm, chest of the back:"):
    body = {"place": CHEST, "reading": {"id": name, "text": text, "unit": "cm", "look": 1, "laying": 1}}
    return f"{said} {AT}/{name} {json.dumps(body)}"


def pasted(client, *lines):
    return client.post("/walk/carried", data={"carried": "\r\n".join(lines)})


def test_what_a_phone_shows_is_kept_and_once_however_often_it_is_pasted(client, store):
    lines = line("w1", "51.8"), line("w2", "51.6", said=""), line("w1", "51.8")
    for _ in range(2):
        answer = pasted(client, *lines)
        assert answer.status_code == 303
        assert "2 readings or rows are kept." in client.get(answer.location).text
    assert kept(store) == [("chest", "51.8"), ("chest", "51.6")]


def test_a_reading_that_was_taken_back_on_the_phone_is_set_aside(client, store):
    pasted(client, line("w1", "51.8"), f"{AT}/w1/set-aside {json.dumps({'reason': 'taken back while measuring'})}")
    assert kept(store) == []
    assert [reading["text"] for _, reading in readings(store)] == ["51.8"]


@pytest.mark.parametrize(
    ("bad", "why"),
    [
        ("chest 51.8", "A line needs its address"),
        (f"{AT}/w9", "A line needs its address"),
        (line("w9", "51.8")[:-9], "cut off at its end"),
        (line("w9", "51.2.3"), "One decimal mark is enough"),
        (line("w9", "51.8").replace("/pullover/", "/nobody/"), "There is no"),
        (f'{API}/makes/pullover/undo {{"revision": 1}}', "Only readings and rows"),
        (f"{API}/makes/pullover {{}}", "Only readings and rows"),
        (f"{API}/bundle {{}}", "Only readings and rows"),
    ],
)
def test_a_line_that_is_refused_stays_in_the_field_with_its_reason_and_the_others_are_kept(client, store, bad, why):
    before = store.get("makes", "pullover").revision
    answer = pasted(client, line("w1", "51.8"), bad)
    assert answer.status_code == 422
    assert why in answer.text
    assert "1 reading or row is kept. 1 line stays in the field." in answer.text
    typed = answer.text.partition("<textarea")[2].partition(">")[2].partition("</textarea")[0]
    assert typed.replace("&#34;", '"').replace("&quot;", '"') == bad
    assert kept(store) == [("chest", "51.8")]
    assert store.get("makes", "pullover").revision == before + 1


def test_nothing_pasted_says_where_the_text_is(client):
    assert "Still on this phone" in pasted(client).text


def test_more_lines_than_are_taken_at_once_stay_for_the_next_time(client, store, monkeypatch):
    clock = iter(range(9))
    monkeypatch.setattr(carried.time, "thread_time", lambda: next(clock))
    monkeypatch.setattr(carried, "SECONDS", 3)
    answer = pasted(client, line("w1", "51.8"), line("w2", "51.7"), line("w3", "51.9"))
    assert "2 readings or rows are kept. 1 line stays in the field." in answer.text
    assert "send what is left again" in answer.text
    assert len(kept(store)) == 2
