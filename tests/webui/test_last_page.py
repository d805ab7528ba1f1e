"""Where everything fails: the last page, cookies of a stranger, addresses and methods that are none."""

from __future__ import annotations

import random
from itertools import cycle

import pytest

from fitcheck.words.deeds import NOT_UNDONE
from tests.webui.conftest import API
from webui.pages import given_back, notices, settings, views

COOKIES = (notices.COOKIE, views.SEEN_COOKIE, given_back.TAKEN, *settings.COOKIES)


@pytest.fixture
def broken_page(app, monkeypatch):
    """An application whose page of what went wrong goes wrong too, with something typed in what it says."""

    def broken(*_, **__):
        raise ZeroDivisionError("51,8 of Ines")

    monkeypatch.setattr("fitcheck.words.deeds.not_done", broken)
    monkeypatch.setattr("webui.api.problems.written", broken)
    return app


def test_a_fault_of_the_page_that_says_what_went_wrong_is_a_page_without_values(broken_page, client, caplog):
    answer = client.get("/no/such/page?chest=51,8")
    assert (answer.status_code, answer.mimetype) == (500, "text/html")
    assert answer.headers["X-Frame-Options"] == "DENY"
    assert "That did not work." in answer.text
    assert "51,8" not in answer.text + caplog.text
    assert "ZeroDivisionError in broken" in caplog.text
    assert client.post("/no/such/page", data={"chest": "51,8"}).data == answer.data
    assert client.get(f"{API}/garments/%00").data == answer.data


@pytest.mark.parametrize("back", ["//[", "http://[", "//evil.example", "https://evil.example/", "/\\evil.example", "x"])
def test_no_form_leads_out_of_the_service(client, back):
    assert client.post("/unit", data={"unit": "cm", "back": back}).location == "/"


def test_a_word_in_the_place_of_a_method_is_not_logged(client, caplog):
    caplog.set_level("INFO")
    assert client.open("/", method="SECRET-51,8").status_code == 405
    assert "SECRET" not in caplog.text
    assert [line.getMessage().split()[:2] for line in caplog.records] == [["-", "-"]]


@pytest.mark.parametrize("name", COOKIES)
def test_whatever_another_port_put_into_a_cookie_every_page_answers(client, name):
    draw = random.Random(name)
    texts = ["", ".", ":", "a:b.c:d", "51,8", "x" * 3000, "\xff\xfe", "\xe4", '"\\000"', '"\\377', "%00", "<b>", "{}"]
    texts += ["".join(chr(draw.randint(33, 255)) for _ in range(draw.randint(1, 60))) for _ in range(4)]
    pages = cycle(("/makes/grey_unwashed", "/settings", "/wardrobe/new", "/no/page"))
    for text, path in zip(texts, pages, strict=False):
        headers = {"Cookie": f"{name}={text.replace(';', '')}"}
        assert client.get(path, headers=headers).status_code == (404 if path == "/no/page" else 200), (path, text)


def test_a_notice_that_is_not_ours_says_nothing_and_is_taken_off_the_device(client):
    client.set_cookie(notices.COOKIE, "deleted everything")
    answer = client.get("/")
    assert "deleted everything" not in answer.text
    assert f"{notices.COOKIE}=; Expires" in answer.headers["Set-Cookie"]
    assert client.get_cookie(notices.COOKIE) is None


def test_a_page_that_says_what_went_wrong_leaves_the_notice_for_the_next_one(client):
    client.post("/undo", data={"kind": "yarns", "key": "blue_cotton", "revision": "7"})
    assert NOT_UNDONE not in client.get("/no/such/page").text
    assert NOT_UNDONE in client.get("/").text
    assert NOT_UNDONE not in client.get("/wardrobe").text
