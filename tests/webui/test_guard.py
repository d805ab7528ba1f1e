"""Only this machine, only our own pages, small bodies, and nothing typed in a log."""

from __future__ import annotations

import logging
import os

import pytest

from fitcheck.store.faults import DatabaseLocked, DiskFull
from tests.webui.conftest import API
from webui import guard


@pytest.mark.parametrize(
    ("host", "allowed"),
    [
        ("localhost:8674", True),
        ("LOCALHOST:8674", True),
        ("127.0.0.1:8674", True),
        ("127.8.9.1:8674", True),
        ("[::1]:8674", True),
        ("[::ffff:127.0.0.1]:8674", False),
        ("localhost", False),
        ("localhost:80", False),
        ("localhost:8674:8674", False),
        ("localhost:8674 ", False),
        ("localhost:8674.evil.example", False),
        ("localhost.evil.example:8674", False),
        ("evil.example:8674", False),
        ("evil.example@localhost:8674", False),
        ("192.168.1.4:8674", False),
        ("0.0.0.0:8674", False),
        ("0x7f000001:8674", False),
        ("", False),
        (":8674", False),
    ],
)
def test_only_a_loopback_name_with_our_port_is_answered(host, allowed):
    assert guard.host_allowed(host, 8674) is allowed


@pytest.mark.parametrize("host", ["evil.example", "localhost:81", "localhost:80:80"])
@pytest.mark.parametrize("path", [f"{API}/garments", "/", "/static/api.css", "/nowhere"])
def test_another_host_gets_nothing_of_ours(client, host, path):
    response = client.get(path, headers={"Host": host})
    assert (response.status_code, response.mimetype) == (403, "application/problem+json")


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({}, 200),
        ({"Origin": "http://localhost"}, 200),
        ({"Origin": "http://LOCALHOST"}, 200),
        ({"Sec-Fetch-Site": "same-origin"}, 200),
        ({"Sec-Fetch-Site": "none"}, 200),
        ({"Origin": "http://localhost:8080"}, 403),
        ({"Origin": "https://localhost"}, 403),
        ({"Origin": "http://127.0.0.1"}, 403),
        ({"Origin": "http://evil.example"}, 403),
        ({"Origin": "null"}, 403),
        ({"Origin": ""}, 403),
        ({"Origin": "http://evil.example", "Sec-Fetch-Site": "same-origin"}, 403),
        ({"Sec-Fetch-Site": "cross-site"}, 403),
        ({"Sec-Fetch-Site": "same-site"}, 403),
    ],
)
def test_only_our_own_pages_and_programs_may_change_something(client, headers, status):
    response = client.delete(f"{API}/wearers/juna", headers={"Host": "localhost", "If-Match": '"9"', **headers})
    assert (response.status_code == 403) is (status == 403)
    if status != 403:
        assert response.status_code == 409  # it went as far as the revision


@pytest.mark.parametrize(
    ("method", "path"),
    [
        ("GET", f"{API}/garments"),
        ("GET", f"{API}/garments/nothing"),
        ("PATCH", f"{API}/garments"),
        ("GET", f"{API}/browse"),
        ("GET", "/nowhere"),
        ("GET", "/static/api.css"),
    ],
)
def test_every_answer_carries_the_headers(client, method, path):
    with client.open(path, method=method) as response:
        headers = response.headers
    for name, value in guard.HEADERS.items():
        assert headers[name] == value
    assert "unsafe" not in headers["Content-Security-Policy"]
    assert "Server" not in headers
    assert "Access-Control-Allow-Origin" not in headers


def test_the_page_of_the_api_needs_no_network_and_no_inline_style_or_script(client):
    page = client.get(f"{API}/browse").text
    for never in ("http://", "https://", "<script", "style=", "<style"):
        assert never not in page


def test_a_body_that_is_too_large_is_refused_before_it_is_looked_at(client):
    response = client.post(f"{API}/bundle", data=b" " * 2_000_001, content_type="application/json")
    assert (response.status_code, response.json["type"]) == (413, "/api/v1/browse#too-large")
    assert client.post(f"{API}/bundle", data=b" " * 2_000_000, content_type="application/json").status_code == 422


@pytest.mark.parametrize("path", ["/", f"{API}/garments", f"{API}/nothing"])
def test_nothing_of_ours_stands_in_a_frame_of_any_page(client, path):
    headers = client.get(path).headers
    assert headers["X-Frame-Options"] == "DENY"
    assert "frame-ancestors 'none'" in headers["Content-Security-Policy"]


def test_the_log_has_the_route_and_nothing_that_was_typed(client, caplog):
    caplog.set_level(logging.INFO, "webui.requests")
    client.get(f"{API}/garments/secret-key?text=secret-text")
    client.put(f"{API}/yarns/secret-key", json={"name": "secret-name"}, headers={"If-Match": "0"})
    client.get("/secret-path?secret=1")
    lines = [record.getMessage() for record in caplog.records]
    assert [line.rsplit(" ", 2)[0] for line in lines] == [
        f"GET {API}/garments/<key> 422",
        f"PUT {API}/yarns/<key> 201",
        "GET - 404",
    ]


def test_a_fault_of_the_program_is_a_plain_problem_and_logs_nothing_that_was_typed(app, client, caplog, monkeypatch):
    def fails(*_):
        raise KeyError("secret-name")

    monkeypatch.setattr(app.extensions["fitcheck"].store, "get", fails)
    response = client.get(f"{API}/garments/grey")
    assert (response.status_code, response.mimetype) == (500, "application/problem+json")
    assert "secret" not in response.text + caplog.text
    assert "KeyError in fails" in caplog.text


@pytest.mark.parametrize(("error", "status"), [(DatabaseLocked, 503), (DiskFull, 507)])
def test_what_the_disk_or_another_program_does_is_said_plainly(app, client, store, monkeypatch, error, status):
    def fails(*_):
        raise error(store.path)

    monkeypatch.setattr(app.extensions["fitcheck"].store, "get", fails)
    response = client.get(f"{API}/garments/grey")
    assert (response.status_code, response.mimetype) == (status, "application/problem+json")
    assert "again" in response.json["detail"]
    assert ("Retry-After" in response.headers) is (status == 503)


@pytest.mark.skipif(os.name != "posix", reason="elsewhere nobody can take away a file that is open")
def test_writes_to_a_database_that_is_gone_are_refused_and_reads_are_answered(client, store):
    store.path.unlink()
    response = client.put(f"{API}/yarns/moss", json={"name": "moss"}, headers={"If-Match": '"0"'})
    assert (response.status_code, response.json["type"]) == (503, "/api/v1/browse#only-read")
    assert response.json["detail"].startswith("The database was taken away or replaced while Fitcheck ran.")
    assert client.get(f"{API}/garments").status_code == 200


def test_a_method_that_is_not_there_says_which_are(client):
    response = client.patch(f"{API}/garments/grey")
    assert response.status_code == 405
    assert set(response.headers["Allow"].split(", ")) == {"DELETE", "GET", "HEAD", "PUT"}
