"""On the pages of a device that may only measure nothing else is offered."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser

import pytest

from webui.pages.offered import offered
from webui.pairing.home import AT_HOME, PAIR, Home
from webui.rights import may

HOME = Home("192.168.1.20", 8674)
MAKES = ("rust_pullover", "moss_drop_shoulder", "grey_pullover")
PAGES = ("", "/rest", "/rest/seams", "/rest/yarn", "/sheets/front", "/sheets/front/machine", "/walk", "/walk?begin=1")
SOME = ["/makes/rust_pullover", "/makes/rust_pullover/rest/yarn", "/makes/rust_pullover/walk?begin=1"]
EVERY = ["/makes", *(f"/makes/{make}{page}" for make in MAKES for page in (*PAGES, "/pencil", "/points"))]


class _Ways(HTMLParser):
    """Where a page leads: method and address of each form, link and script's request."""

    def __init__(self):
        super().__init__()
        self.ways = []

    def handle_starttag(self, tag, attrs):
        has = dict(attrs)
        if tag == "form":
            self.ways.append((has.get("method", "get").upper(), has.get("action")))
        if tag in ("a", "area") and not (has.get("href") or "#").startswith(("#", "?")):
            self.ways.append(("GET", has["href"]))
        self.ways += [("PUT", has[name]) for name in ("data-put",) if has.get(name)]
        self.ways += [("POST", has["formaction"])] if has.get("formaction") else []


@pytest.fixture
def measuring(client, store):
    """Asks as a phone that was paired to measure."""
    from datetime import date

    from webui.pairing.home import digest_of

    store.add_device(digest_of("s" * 43), "phone", "measure", date.today())
    client.set_cookie("device", "s" * 43, domain=HOME.address)

    def asked(path, **form):
        headers = {"Accept": "text/html", "Origin": HOME.url.rstrip("/")}
        sent = {"method": "POST", "data": form} if form else {}
        return client.open(path, base_url=HOME.url, headers=headers, environ_overrides={AT_HOME: HOME}, **sent)

    return asked


def leads(app, page, path):
    """Endpoints that a page leads to, each with its way."""
    found = _Ways()
    found.feed(page)
    adapter = app.url_map.bind("localhost")
    for method, to in found.ways:
        if to == PAIR:  # answered before any endpoint is, and to whoever asks
            continue
        endpoint, _ = adapter.match(re.split(r"[?#]", to or path)[0] or path, method=method)
        yield endpoint, (method, to)


@pytest.mark.parametrize(
    "path", [*SOME, *(pytest.param(path, marks=pytest.mark.full) for path in EVERY if path not in SOME)]
)
def test_every_way_from_a_page_is_one_that_a_measuring_device_may_go(measuring, app, path):
    answer = measuring(path)
    assert answer.status_code in (200, 303), path
    ways = list(leads(app, answer.get_data(as_text=True), path))
    assert [way for endpoint, way in ways if not may("measure", endpoint)] == []
    assert ways or answer.status_code == 303


def test_what_it_may_is_offered(measuring, app):
    of_make = {endpoint for endpoint, _ in leads(app, measuring("/makes/rust_pullover").text, "/makes/rust_pullover")}
    assert {"walk.show_walk", "rest_page.rest", "table.unit", "table.makes"} <= of_make
    yarn = {endpoint for endpoint, _ in leads(app, measuring("/makes/rust_pullover/rest/yarn").text, "/")}
    assert "yarn.keep" in yarn
    walk = {endpoint for endpoint, _ in leads(app, measuring("/makes/rust_pullover/walk").text, "/")}
    assert "walk.keep" in walk or "walk_begin.begin" in walk


def test_the_deeds_of_an_advice_stand_there_to_be_read(measuring, client):
    here = client.get("/makes/moss_drop_shoulder").get_data(as_text=True)
    there = measuring("/makes/moss_drop_shoulder").get_data(as_text=True)
    deeds = re.findall(r'<span class="what">(.*?)</span>', here)
    assert len(deeds) == 3
    for deed in deeds:
        assert f"<b>{deed}</b>" in there


def test_a_page_for_everything_is_not_shown_where_one_for_measuring_was_kept(measuring, client):
    client.set_cookie("device", "s" * 43, domain="localhost")  # a page is kept for a device's cookies too
    for _ in range(2):
        assert "/settings" not in measuring("/makes/rust_pullover").get_data(as_text=True)
        assert "/settings" in client.get("/makes/rust_pullover").get_data(as_text=True)


def test_all_else_of_a_page_stays_as_it_is(app):
    page = (
        '<!doctype html>\n<p title=\'a "b"\'>9&nbsp;in&#160;10 &amp; <br><svg viewBox="0 0 1 1"><path d="M0 0"/></svg>'
        "<script>if (1 < 2) '<a href=\"/settings\">'</script>%s</p>"
    )
    out = (
        '<a href="/wardrobe/brown">the brown pullover</a><a class="btn" href="/settings">Settings</a>'
        '<form method="post" action="/undo"><button>undo</button></form>'
        '<div class="btns"> <a class="btn" href="/plan">Plan</a></div><button name="leave">Add</button>'
    )
    out += '<a class="btn" href="#count">Type it</a><a href="#count">Say how</a>'
    out += '<form id="count" method="post" action="/undo"></form>'
    stays = (
        '<a href="?page=2">2</a><a href="/makes">makes</a><form method="post" action="/unit"><button>cm</button></form>'
    )
    stays += '<a href="#here">below</a><h2 id="here">Here</h2>'
    with app.test_request_context("/makes"):
        assert offered(page % (out + stays), "measure") == page % ("<span>the brown pullover</span>" + stays)


def test_a_link_of_a_drawing_becomes_a_part_of_the_drawing(app):
    with app.test_request_context("/makes"):
        page = '<svg><a href="/wardrobe/brown"><path d="M0 0"/></a></svg><a href="/wardrobe/brown">brown</a>'
        assert offered(page, "measure") == '<svg><g><path d="M0 0"/></g></svg><span>brown</span>'


def test_what_a_measuring_device_may_not_send_it_may_not_paste_either(measuring, client, store):
    line = f"/api/v1/wearers/juna/readings/p1 {json.dumps({'place': 'head', 'reading': {'text': '52.1 cm'}})}"
    before = store.get("wearers", "juna").revision
    assert measuring("/walk/carried", carried=line).status_code == 422
    assert store.get("wearers", "juna").revision == before
    assert client.post("/walk/carried", data={"carried": line}).status_code in (303, 422)
    assert store.get("wearers", "juna").revision == before + 1
