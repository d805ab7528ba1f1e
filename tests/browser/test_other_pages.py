"""Pages of others in the same browser: they read nothing of ours, change nothing, and show nothing of ours in a frame.

On this machine's own socket, where nobody is paired, and at home from 127.0.0.2 under the network's rules, where the
browser holds the cookie of a device that may do everything.
"""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread
from urllib.parse import urlsplit
from uuid import uuid4

import pytest

from fitcheck.store import Store
from fitcheck.store.households import state
from tests.browser.conftest import PHONE
from tests.browser.test_phone_at_home import at_home
from tests.browser.test_walk import until
from tests.webui import lent
from tests.webui.walk_household import HOUSEHOLD

OURS = ("brown pullover", "green pullover", "blue pullover", "Fitcheck", '"garments"')
"""Words of the household and of our pages."""

READS = """async (ours) => {
  const told = {};
  const attempt = async (name, act) => { try { told[name] = await act(); } catch (refused) { told[name] = ""; } };
  for (const path of ["/", "/api/v1/garments", "/api/v1/bundle", "/walk/leftover", "/settings/household.json"]) {
    await attempt("cors " + path, async () => (await fetch(ours + path, { credentials: "include" })).text());
    await attempt("no-cors " + path, async () =>
      (await fetch(ours + path, { mode: "no-cors", credentials: "include" })).text());
  }
  const loaded = (tag, key, path) => new Promise((done) => {
    const element = document.createElement(tag);
    Object.assign(element, { [key]: ours + path, onload: () => done("loaded"), onerror: () => done("") });
    if (tag === "link") element.rel = "stylesheet";
    document.body.append(element);
  });
  for (const [tag, key, path] of [["img", "src", "/static/icon-180.png"], ["script", "src", "/static/walk_reading.js"],
    ["script", "src", "/api/v1/garments"], ["link", "href", "/static/fitcheck.css"],
    ["img", "src", "/makes/pullover/drawing.svg"]]) {
    await attempt(tag + " " + path, () => loaded(tag, key, path));
  }
  const beside = window.open(ours + "/");
  await attempt("window", async () => {
    for (let tries = 0; tries < 100; tries += 1) { // as long as it is empty still, it is of this page
      const { innerHTML } = beside.document.documentElement;
      if (innerHTML.length > 60) return innerHTML;
      await new Promise((done) => setTimeout(done, 50));
    }
    return "never";
  });
  return told;
}"""
WRITES = """async (ours) => {
  const send = async (method, path, type, body) => {
    for (const mode of ["cors", "no-cors"]) {
      try {
        await fetch(ours + path, { method, mode, body, credentials: "include", headers: { "Content-Type": type } });
      } catch (refused) { /* by the browser, which may have sent it all the same */ }
    }
  };
  const place = "pieces/back/stages/0/readings/chest";
  const reading = JSON.stringify({ place, reading: { text: "51.8 cm" } });
  for (const type of ["text/plain", "application/json", "application/x-www-form-urlencoded"]) {
    await send("PUT", "/api/v1/makes/pullover/readings/other-1", type, reading);
    await send("POST", "/api/v1/bundle", type, JSON.stringify({ fitcheck: 1, unit: "in" }));
    await send("POST", "/walk/carried", type,
      "carried=" + encodeURIComponent("/api/v1/makes/pullover/readings/other-1 " + reading));
  }
  await send("DELETE", "/api/v1/makes/both", "text/plain", "");
  for (const [path, fields] of FORMS) {
    const form = document.createElement("form"), frame = document.createElement("iframe");
    frame.name = "into" + Math.random();
    Object.assign(form, { method: "post", action: ours + path, target: frame.name });
    Object.entries(fields).forEach(([name, value]) => {
      const input = document.createElement("input");
      Object.assign(input, { type: "hidden", name, value });
      form.append(input);
    });
    document.body.append(frame, form);
    form.submit();
  }
  await new Promise((done) => setTimeout(done, 500));
}"""
FRAME = """(ours) => {
  const frame = document.createElement("iframe");
  frame.src = ours + "/";
  document.body.append(frame);
}"""
SENT = """async ([path, fields]) => (await fetch(path, { method: "POST", body: new URLSearchParams(fields) })).ok"""
FORM = ("/makes/pullover/walk", {"step": "chest", "id": "other-2", "reading": "51.8"})
"""A form of ours as another page would send it."""


@pytest.fixture(scope="module")
def store(tmp_path_factory):
    with Store.open(tmp_path_factory.mktemp("ours") / "fitcheck.db") as opened:
        opened.import_bundle(json.dumps(HOUSEHOLD).encode())
        yield opened
    lent.take_back()


@pytest.fixture(scope="module", params=["here", "home"])
def ours(request, store, chromium):
    """Our address, and a browser that it answers."""
    with at_home(store) as (home, url):
        context = chromium.new_context(viewport=PHONE)
        if request.param == "here":
            url = f"http://127.0.0.1:{home.here}"
        else:
            session = home.pair("everything").removeprefix("device=")
            context.add_cookies(
                [{"name": "device", "value": session, "url": url, "httpOnly": True, "sameSite": "Strict"}]
            )
        page = context.new_page()
        assert page.goto(f"{url}/").status == 200
        yield url, context
        context.close()


class OtherPage(BaseHTTPRequestHandler):
    """An empty page."""

    def do_GET(self):
        self.send_response(200)
        self.send_header("Content-Type", "text/html")
        self.end_headers()
        self.wfile.write(b"<!doctype html><title>other</title><body>")

    def log_message(self, *_):
        pass


@pytest.fixture(scope="module", params=["another site", "another port"])
def other(request, ours):
    """A page of somebody else's in the same browser, from a server of its own: else the browser keeps it from ours."""
    url, context = ours
    host, address = "elsewhere.example", "127.0.0.3"
    if request.param == "another port":
        host, address = urlsplit(url).hostname, "127.0.0.1" if "127.0.0.1" in url else "127.0.0.2"
    with ThreadingHTTPServer((address, 0), OtherPage) as server:
        Thread(target=server.serve_forever).start()
        page = context.new_page()
        page.goto(f"http://{host}:{server.server_port}/")
        yield page
        page.close()
        server.shutdown()


def kept(store):
    with closing(sqlite3.connect(store.path)) as connection:
        return state(connection)


@pytest.mark.full
def test_a_page_of_somebody_else_reads_nothing(ours, other):
    url, _ = ours
    told = other.evaluate(READS, url)
    assert len(told) == 16
    assert {name: text[:80] for name, text in told.items() if text} == {}


@pytest.mark.full
def test_a_page_of_somebody_else_shows_nothing_of_ours_in_a_frame(ours, other):
    url, _ = ours
    other.evaluate(FRAME, url)
    until(other, "frames.length === 1")
    other.wait_for_timeout(500)
    assert not any(word in other.frames[1].content() for word in OURS)


@pytest.mark.full
def test_a_page_of_somebody_else_changes_nothing_and_ours_would(ours, other, store):
    url, context = ours
    before = kept(store)
    other.evaluate(WRITES.replace("FORMS", json.dumps([FORM, ("/settings", {"unit": "in", "form": "x" * 20})])), url)
    assert kept(store) == before
    own = context.new_page()
    own.goto(f"{url}/makes/pullover")
    to, fields = FORM
    assert own.evaluate(SENT, [to, {**fields, "id": f"own-{uuid4().hex}"}])
    assert kept(store) != before


@pytest.mark.full
def test_our_service_under_a_name_that_was_rebound_to_it_answers_nothing(ours):
    url, context = ours
    name = "here.rebound.example" if "127.0.0.1" in url else "rebound.example"
    page = context.new_page()
    for path in ("/", "/api/v1/garments", "/static/walk.js", "/pair"):
        answer = page.goto(f"http://{name}:{urlsplit(url).port}{path}")
        assert answer.status == 403
        assert not any(word in answer.text() for word in OURS[:3])
