"""The phone at the table, under the network's rules from 127.0.0.2: nobody but a paired device is answered.

All figures are invented.
"""

from __future__ import annotations

import http.client
import json
import re
from contextlib import closing
from datetime import date, timedelta

import pytest

from fitcheck.store import Store
from fitcheck.store.devices import SESSION_DAYS
from fitcheck.store.faults import DatabaseLocked, DiskFull
from fitcheck.words import home as say
from tests.webui.home_served import ADDRESS, FORM, HTML, served
from webui.rights import may

DATA = ("grey_pullover", "Grey pullover", "rust", "Ines", "Juna")
"""Words of the invented household."""


@pytest.fixture
def home(store):
    with served(store) as running:
        yield running


EVERY = [pytest.param(23, id="some"), pytest.param(1, id="all", marks=pytest.mark.full)]
"""Every how manieth address is asked."""


def addresses(app, every):
    """Addresses of the application with each of their methods, filled with what the household has."""
    filled = {"key": "grey_pullover", "make": "grey_pullover", "piece": "front", "kind": "makes", "filename": "make.js"}
    for rule in sorted(app.url_map.iter_rules(), key=lambda rule: (rule.rule, rule.endpoint))[::every]:
        path = re.sub(r"<(?:\w+:)?(\w+)>", lambda part: filled.get(part[1], "1"), rule.rule)
        for method in sorted(rule.methods - {"HEAD", "OPTIONS"}):
            yield rule.endpoint, method, path


@pytest.mark.parametrize("every", EVERY)
def test_an_unpaired_device_gets_the_same_401_whatever_it_asks_for(home, app, every):
    page = home.ask("GET", "/nowhere", **HTML)
    problem = home.ask("GET", "/api/v1/nowhere")
    assert (page.status, problem.status, problem.kind) == (401, 401, "not-paired")
    assert say.PAIR_HEAD in page.text
    asked = 0
    for _, method, path in addresses(app, every):
        for accept, same in ((HTML, page), ({}, problem)):
            answer = home.ask(method, path, **accept)
            expected = problem if path.startswith("/api/") else same
            assert (answer.status, answer.text) == (401, expected.text), (method, path)
            assert {name: value for name, value in answer.headers.items() if name != "Date"} == {
                name: value for name, value in expected.headers.items() if name != "Date"
            }
            asked += 1
    assert asked > 450 / every
    assert not any(word in page.text + problem.text for word in DATA)


def test_the_page_of_pairing_is_whole_at_the_first_try(home):
    page = home.ask("GET", "/pair", **HTML)
    assert page.status == 401
    for elsewhere in ('src="', "@import", "@font-face", '<link rel="stylesheet"', "//"):
        assert elsewhere not in re.sub(r"<script>.*?</script>|/\*.*?\*/", "", page.text, flags=re.S)
    policy = page.headers["Content-Security-Policy"]
    assert policy.startswith("default-src 'none'; style-src 'sha256-")
    assert "unsafe" not in policy
    assert page.headers["Cache-Control"] == "no-store"


def test_a_code_pairs_one_device_and_none_after_it(home, store):
    code = str(home.home.pairing.invite("measure"))
    answer = home.ask("POST", "/pair", f"code={code.lower().replace('-', ' ')}&name=Juna", **FORM)
    assert (answer.status, answer.headers["Location"]) == (303, "/")
    cookie = answer.headers["Set-Cookie"]
    assert re.fullmatch(
        r"device=[\w-]{43}; Expires=[^;]+; Max-Age=7776000; HttpOnly; Path=/; SameSite=Strict", cookie
    ), cookie
    again = home.ask("POST", "/pair", f"code={code}&name=Mallory", **FORM)
    assert (again.status, "Set-Cookie" in again.headers) == (401, False)
    assert say.NOT_THIS_CODE in again.text
    assert [(device.name, device.right) for device in store.devices(date.today())] == [("Juna", "measure")]


def test_the_file_knows_no_session_but_its_sha_256(home, store):
    secret = home.pair().removeprefix("device=")
    kept = b"".join(file.read_bytes() for file in store.path.parent.iterdir())
    assert b"phone" in kept
    assert secret.encode() not in kept


def test_pairing_wants_the_origin_of_the_page_itself(home):
    code = home.home.pairing.invite("everything")
    for origin in ("", "null", "http://evil.example", f"http://{ADDRESS}", f"http://127.0.0.1:{home.here}"):
        answer = home.ask("POST", "/pair", f"code={code}", Origin=origin, **FORM)
        assert (answer.status, "Set-Cookie" in answer.headers) == (403, False)
    assert home.home.pairing.code == code


def test_another_name_gets_nothing_also_from_a_paired_device(home):
    cookie = home.pair("everything")
    for host in ("localhost", "evil.example", "127.0.0.1", "127.0.0.3", "127.0.0.2.evil.example", ""):
        for port in (home.home.port, home.here, 80):
            answer = home.ask("GET", "/", Host=f"{host}:{port}", Cookie=cookie, **HTML)
            assert (answer.status, answer.kind) == (403, "refused")


def test_a_name_that_stands_for_the_address_is_answered(store):
    with served(store, "Knitting.home.arpa") as home:
        host = f"knitting.home.arpa:{home.home.port}"
        cookie = home.pair("everything")
        assert home.ask("GET", "/api/v1/yarns", Host=host, Cookie=cookie).status == 200
        sent = {"Host": host, "Cookie": cookie, **FORM}
        assert home.ask("POST", "/unit", "unit=in", Origin=f"http://{host}", **sent).status == 303
        assert home.ask("POST", "/unit", "unit=in", **sent).status == 403  # another name of ours is another origin


def test_this_machines_own_socket_asks_for_no_pairing_and_knows_no_name_of_the_home(home):
    with closing(http.client.HTTPConnection("127.0.0.1", home.here, timeout=30)) as connection:
        for host, status in ((f"localhost:{home.here}", 200), (home.home.hosts[0], 403)):
            connection.request("GET", "/api/v1/garments", headers={"Host": host})
            answer = connection.getresponse()
            assert (answer.status, len(answer.read()) > 0) == (status, True)


def test_something_is_changed_at_home_from_our_own_pages_alone(home):
    cookie = home.pair("everything")
    sent = {"Cookie": cookie, "If_Match": '"9"'}
    right = home.home.url.rstrip("/")
    assert home.ask("DELETE", "/api/v1/wearers/juna", **sent).status == 409
    for origin in ("", "null", right.replace("http", "https"), f"http://{ADDRESS}", "http://evil.example"):
        assert home.ask("DELETE", "/api/v1/wearers/juna", Origin=origin, **sent).status == 403
    # There a program that sends no Origin may change something; at home it may not.
    assert home.ask("DELETE", "/api/v1/wearers/juna", Origin="", Sec_Fetch_Site="same-origin", **sent).status == 403


@pytest.mark.parametrize("every", EVERY)
def test_a_measuring_device_gets_what_its_right_names_and_nothing_else(home, app, every):
    cookie = home.pair("measure")
    for endpoint, method, path in [("table.table", "GET", "/"), *addresses(app, every)]:
        answer = home.ask(method, path, Cookie=cookie, **HTML)
        if endpoint == "table.table":
            assert (answer.status, answer.headers["Location"]) == (303, "/makes")
        elif may("measure", endpoint):
            assert answer.status not in (401, 403), (method, path)
        else:
            assert answer.status == 403, (method, path)
            assert not any(word in answer.text for word in DATA[1:]), (method, path)
    assert home.ask("GET", "/nowhere", Cookie=cookie).kind == "not-for-this-device"


def test_a_measuring_device_keeps_a_reading_and_sets_it_aside(home, store):
    cookie = home.pair("measure")
    make = "grey_pullover"
    at = f"/api/v1/makes/{make}/readings/home-0001"
    body = json.dumps({"place": "pieces/back/stages/1/readings/chest", "reading": {"text": "54.1 cm"}})
    before = store.get("makes", make).revision
    sent = {"Cookie": cookie, "Content_Type": "application/json"}
    assert home.ask("PUT", at, body, **sent).status == 200
    assert home.ask("POST", f"{at}/set-aside", json.dumps({"reason": "slipped"}), **sent).status == 200
    assert store.get("makes", make).revision == before + 2


def test_a_removed_device_is_a_stranger_at_once(home, store):
    cookie = home.pair("everything", "tablet")
    assert home.ask("GET", "/api/v1/yarns", Cookie=cookie).status == 200
    store.remove_device("tablet")
    answer = home.ask("GET", "/api/v1/yarns", Cookie=cookie)
    assert (answer.status, answer.kind) == (401, "not-paired")
    assert home.home.known == set()


def test_a_session_that_nobody_was_given_is_none(home):
    home.pair("everything")
    for cookie in ("device=", "device=" + "A" * 43, "device=../../x", "x=1; device=\xe9", "DEVICE=1"):
        assert home.ask("GET", "/api/v1/garments", Cookie=cookie).status == 401


def test_a_device_that_comes_by_stays_paired_and_one_that_does_not_is_forgotten(home, store):
    cookie = home.pair("measure")
    for days, status in ((SESSION_DAYS - 1, 200), (SESSION_DAYS, 401)):
        with store.database.writing() as connection:
            connection.execute("update devices set last_seen = ?", (str(date.today() - timedelta(days=days)),))
        answer = home.ask("GET", "/api/v1/makes", Cookie=cookie)
        assert answer.status == status
        assert ("Max-Age=7776000" in answer.headers.get("Set-Cookie", "")) is (status == 200)


def test_a_device_is_answered_also_where_the_day_cannot_be_noted(home, store, monkeypatch):
    def fails(*_):
        raise DiskFull(store.path)

    cookie = home.pair("measure")
    with store.database.writing() as connection:
        connection.execute("update devices set last_seen = ?", (str(date.today() - timedelta(days=1)),))
    monkeypatch.setattr(Store, "see_device", fails)
    answer = home.ask("GET", "/api/v1/makes", Cookie=cookie)
    assert (answer.status, "Set-Cookie" in answer.headers) == (200, False)


def test_guessed_codes_are_bounded_by_address_and_in_all(home):
    code = home.home.pairing.invite("everything")
    for number in range(20):
        source = f"127.0.0.{10 + number // 5}"
        assert home.ask("POST", "/pair", f"code=AAAA-{number:04}", source, **FORM).status == 401
    assert home.ask("POST", "/pair", f"code={code}", "127.0.0.10", **FORM).status == 429
    assert home.ask("POST", "/pair", f"code={code}", "127.0.0.20", **FORM).status == 401  # void for everybody
    assert home.home.pairing.code is None


def test_before_pairing_a_body_or_a_header_of_more_than_16_kb_is_refused_unread(home):
    assert home.ask("POST", "/pair", "code=" + "A" * 16_000, **FORM).status == 413
    assert home.ask("POST", "/api/v1/bundle", "x" * 15_000).status == 401
    assert home.ask("POST", "/api/v1/bundle", "x" * 16_000).status == 413  # by the server, before it is asked
    assert home.ask("GET", "/", X="y" * 16_000).status == 431
    cookie = home.pair("everything")
    sent = {"Cookie": cookie, "Content_Type": "application/json"}
    assert home.ask("POST", "/api/v1/bundle", " " * 100_000, **sent).status == 422


@pytest.mark.parametrize("fault", [DatabaseLocked, KeyError])
def test_where_the_file_cannot_be_read_nobody_is_let_in_and_told_anything(home, store, monkeypatch, fault):
    cookie = home.pair("everything")

    def fails(*_):
        raise fault(store.path)

    monkeypatch.setattr(Store, "device_of", fails)
    for path, accept in (("/settings", HTML), ("/api/v1/garments", {}), ("/nowhere", HTML)):
        answer = home.ask("GET", path, Cookie=cookie, **accept)
        assert answer.status == (503 if fault is DatabaseLocked else 500)
        assert say.NO_COME_BACK in answer.text
        assert not any(word in answer.text for word in (*DATA, str(store.path)))


def test_a_code_can_be_used_again_where_it_could_not_be_kept_that_the_phone_is_paired(home, store, monkeypatch):
    code = home.home.pairing.invite("measure")

    def fails(*_):
        raise DiskFull(store.path)

    with monkeypatch.context() as patch:
        patch.setattr(Store, "add_device", fails)
        answer = home.ask("POST", "/pair", f"code={code}&name=Juna", **FORM)
    assert (answer.status, "Set-Cookie" in answer.headers) == (503, False)
    assert say.CANNOT_PAIR in answer.text
    assert home.ask("POST", "/pair", f"code={code}&name=Juna", **FORM).status == 303


def test_the_settings_of_this_machine_make_codes_and_those_of_a_device_do_not(home, store):
    def here(method, path, body=None):
        with closing(http.client.HTTPConnection("127.0.0.1", home.here, timeout=30)) as connection:
            connection.request(method, path, body, {"Content-Type": FORM["Content_Type"], "Accept": "text/html"})
            answer = connection.getresponse()
            return answer.status, answer.read().decode()

    assert "pair-code" not in here("GET", "/settings")[1]
    for right in ("measure", "everything"):
        assert here("POST", "/settings/devices/invite", f"right={right}")[0] == 303
        page = here("GET", "/settings")[1]
        code = home.home.pairing.code
        assert code.right == right
        assert f'<p class="pair-code">{code}</p>' in page
        assert 'class="qr"' in page
        assert f"{home.home.url}pair" in page
        assert say.code_lasts(right, 10) in page
    cookie = home.pair("everything", "tablet")
    code = home.home.pairing.invite("everything")
    page = home.ask("GET", "/settings", Cookie=cookie, **HTML)
    assert page.status == 200
    assert str(code) not in page.text
    assert "/settings/devices/invite" not in page.text
    assert home.ask("POST", "/settings/devices/invite", "right=everything", Cookie=cookie, **FORM).status == 403
    assert home.home.pairing.code == code
    assert "tablet" in page.text
    assert here("POST", "/settings/devices/remove", "name=tablet")[0] == 303
    assert store.devices(date.today()) == ()
    assert home.ask("GET", "/settings", Cookie=cookie).status == 401
