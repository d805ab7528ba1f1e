"""A phone at the table: plain http under a name of the house, where a browser has little of what it has on loopback.

The service is in this process, on 127.0.0.2 under the network's rules; the browser reaches it by a name, which is no
secure context.
"""

from __future__ import annotations

import json
from contextlib import contextmanager

import pytest

from fitcheck.store import Store
from fitcheck.store.places import lists_of
from fitcheck.words import sharing
from tests.browser.conftest import PHONE, send
from tests.browser.test_walk import WALK, tap, until
from tests.webui import lent
from tests.webui.home_served import served
from tests.webui.walk_household import HOUSEHOLD

MISSING = """() => ({ secure: isSecureContext, there: [
  ["serviceWorker", navigator.serviceWorker], ["clipboard", navigator.clipboard], ["wakeLock", navigator.wakeLock],
  ["share", navigator.share], ["locks", navigator.locks], ["storage", navigator.storage],
  ["randomUUID", crypto.randomUUID], ["subtle", crypto.subtle],
].filter(([, there]) => there).map(([name]) => name) })"""


@pytest.fixture
def store(tmp_path):
    with Store.open(tmp_path / "fitcheck.db") as opened:
        opened.import_bundle(json.dumps(HOUSEHOLD).encode())
        yield opened
    lent.take_back()


@pytest.fixture
def phone(chromium):
    """A phone with nothing on it; a fault of a script fails the test."""
    context = chromium.new_context(viewport=PHONE)
    faults = []
    context.on("weberror", lambda error: faults.append(str(error.error)))
    context.on("console", lambda said: faults.append(said.text) if "Content Security" in said.text else None)
    yield context
    context.close()
    assert faults == []


@contextmanager
def at_home(store, name="table.home.arpa"):
    """The service under a name, and its address as the phone types it."""
    with served(store, name) as home:
        yield home, f"http://{name}:{home.home.port}"


def paired(phone, home, url, right="measure"):
    """Pair the phone as its camera does, which reads the code behind the #."""
    page = phone.new_page()
    page.goto(f"{url}/pair#{home.home.pairing.invite(right)}")
    assert "#" not in page.url
    page.get_by_role("button", name="Pair it").click()
    page.wait_for_url(f"{url}/makes" if right == "measure" else f"{url}/")
    return page


def kept(store):
    """Readings that count, in the order of the database."""
    lists = lists_of("makes", store.get("makes", "pullover").doc)
    return [reading["text"] for _, readings in lists for reading in readings if not reading.get("set_aside")]


def test_a_device_that_is_removed_mid_walk_keeps_what_it_reads_and_sends_it_once_it_is_paired_again(store, phone):
    with at_home(store) as (home, url):
        paired(phone, home, url).close()
        walk = phone.new_page()
        walk.goto(url + WALK)
        assert walk.evaluate(MISSING) == {"secure": False, "there": []}
        tap(walk, "41.2")
        until(walk, "Outbox.waiting().length === 0")
        assert kept(store) == ["41.2"]
        store.remove_device("Phone")
        for text in ("51.8", "20.6", "17.1"):
            tap(walk, text)
        walk.wait_for_selector("#pair:not([hidden])")
        assert walk.inner_text("#pair-told") == "Pair again; 3 readings are safe on this phone."
        with phone.expect_page() as opened:
            walk.click("text=Pair this phone")
        page = opened.value
        page.wait_for_load_state()
        shown = page.input_value("#waiting-text")
        assert [line.partition(" cm,")[0] for line in shown.splitlines()] == ["51.8", "20.6", "17.1"]
        page.fill("#code", str(home.home.pairing.invite("measure")))
        page.get_by_role("button", name="Pair it").click()
        page.wait_for_selector("text=3 readings were on this phone; kept now.")
        assert kept(store) == ["41.2", "51.8", "20.6", "17.1"]
        # The walk beside it stands where it was, and knows that they are kept.
        walk.bring_to_front()
        walk.evaluate("Outbox.send()")
        until(walk, "document.getElementById('pair').hidden")
        assert walk.inner_text("#name") == "Hem, flat"
        tap(walk, "50.4")
        until(walk, "Outbox.waiting().length === 0")
        assert kept(store) == ["41.2", "51.8", "20.6", "17.1", "50.4"]


@pytest.mark.full
def test_readings_of_an_old_address_are_pasted_at_the_new_one_and_kept_once(store, phone):
    with at_home(store) as (home, old):
        paired(phone, home, old).close()
        walk = phone.new_page()
        walk.goto(old + WALK)
        tap(walk, "41.2")
        until(walk, "Outbox.waiting().length === 0")
    lent.take_back()
    tap(walk, "51.8")
    tap(walk, "20.6")
    until(walk, "Outbox.trouble === 'away'")
    walk.click("#more")
    walk.click("#waiting button")
    assert walk.inner_text("#waiting [role=status]") == "Copied."
    text = walk.input_value("#waiting-text")
    with at_home(store, "moved.home.arpa") as (home, new):
        page = paired(phone, home, new)
        page.goto(f"{new}{WALK}")
        page.click("#more")
        page.click("text=readings from another address")
        for _ in range(2):
            page.fill("#carried", text)
            send(page, "Keep them")
            assert page.get_by_text("2 readings or rows are kept.").is_visible()
    assert kept(store) == ["41.2", "51.8", "20.6"]


@pytest.mark.full
def test_a_phone_that_is_locked_and_let_go_of_sends_when_it_is_unlocked(store, phone):
    with at_home(store) as (home, url):
        paired(phone, home, url).close()
        phone.add_init_script("window.setInterval = () => 0")  # so that it does not simply try again in a while
        walk = phone.new_page()
        walk.goto(url + WALK)
        walk.route("**/readings/*", lambda route: route.abort())
        tap(walk, "41.2")
        until(walk, "Outbox.trouble === 'away'")
        walk.click("#pad [data-key='5']")
        devtools = phone.new_cdp_session(walk)
        devtools.send("Page.setWebLifecycleState", {"state": "frozen"})
        walk.unroute("**/readings/*")
        devtools.send("Page.setWebLifecycleState", {"state": "active"})
        walk.evaluate("document.dispatchEvent(new Event('visibilitychange'))")  # as a phone says that it is unlocked
        until(walk, "Outbox.waiting().length === 0")
        assert kept(store) == ["41.2"]
        assert walk.input_value("#reading") == "5"


@pytest.mark.full
def test_on_plain_http_a_form_comes_back_as_it_was_typed_and_an_answer_is_copied(store, phone):
    with at_home(store) as (home, url):
        paired(phone, home, url, "everything")
        page = phone.new_page()
        code = home.home.pairing.invite("measure")
        page.goto(f"{url}/pair#{code}")  # it is paired already
        assert page.url == f"{url}/#top"
        page.goto(f"{url}/people/new")
        page.locator("#name").press_sequentially("Juna")
        until(page, "Object.keys(localStorage).some(key => key.startsWith('fitcheck.draft.'))")
        page.reload()
        page.wait_for_selector("text=Put back what you typed")
        assert page.input_value("#name") == "Juna"
        page.goto(f"{url}/makes/pullover")
        page.click("#share summary")
        page.get_by_role("button", name="Copy the answer").click()
        until(page, "document.querySelector('#share [role=status]').textContent")
        assert page.inner_text("#share [role=status]") == sharing.FOR_SCRIPT["copied"]
