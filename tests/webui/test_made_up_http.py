"""Requests as bytes: what two could read differently is refused, and no made-up one breaks or stops the server."""

from __future__ import annotations

import random

import pytest
from waitress.adjustments import Adjustments

from tests.webui.home_served import served
from tests.webui.made_up_http import HEADERS, MAKERS, At, Found, Sent, request, sockets, try_out, wrong
from webui.parser import Parser

HERE = At(("127.0.0.1", 80), b"localhost")
CHUNKED, LENGTH = b"Transfer-Encoding: chunked", b"Content-Length: 4"


def error(raw):
    parser = Parser(Adjustments())
    parser.received(raw)
    return parser.error.code if parser.error else None


@pytest.mark.parametrize(
    ("lines", "version", "code"),
    [
        ([LENGTH], b"1.1", None),
        ([CHUNKED], b"1.1", None),
        ([CHUNKED, LENGTH], b"1.1", 400),
        ([LENGTH, CHUNKED], b"1.1", 400),
        ([LENGTH, LENGTH], b"1.1", 400),
        ([CHUNKED], b"1.0", 400),
        ([b"Transfer-Encoding: gzip"], b"1.1", 501),
        ([b"Content-Length: " + b"1" * 5_000], b"1.1", 400),
    ],
)
def test_what_two_could_read_as_different_requests_is_refused(lines, version, code):
    assert error(request(HERE, *lines, first=b"POST / HTTP/" + version)) == code


def test_an_address_that_is_none_is_refused():
    assert error(request(HERE, first=b"GET http://[/ HTTP/1.1")) == 400


@pytest.mark.full
def test_made_up_requests_are_answered_in_time_or_refused_and_the_server_goes_on(store):
    with served(store) as home:
        for name, at in sockets(home).items():
            found = Found()
            try_out(at, len(MAKERS), random.Random(1), found)
            assert found.wrong == [], name
            assert len(found.kinds) == len(MAKERS)
            assert found.statuses[at.innocent] > 0


def test_an_answer_that_is_wrong_would_be_seen():
    lines = "".join(f"{name}: {value}\r\n" for name, value in HEADERS.items()).encode()
    right = b"HTTP/1.1 200 OK\r\n" + lines + b"Content-Length: 2\r\n\r\nok"
    asked = Sent("", b"GET / HTTP/1.1")
    assert list(wrong(asked, right, head=False)) == []
    assert list(wrong(asked, b"", head=False)) == ["no answer"]
    assert list(wrong(asked, 2 * right, head=False)) == ["2 answers"]
    assert "status 500" in list(wrong(asked, right.replace(b"200 OK", b"500 X"), head=False))
    assert list(wrong(asked, b"Traceback", head=False))
    assert any("without" in told for told in wrong(asked, b"HTTP/1.1 200 OK\r\n\r\n", head=False))
