"""Readings that a closed walk left on the phone: whichever page is opened next sends them, each exactly once."""

from __future__ import annotations

import json

import pytest

from tests.browser.conftest import PHONE
from tests.browser.test_walk import WALK, kept, tap, until
from tests.webui.walk_household import HOUSEHOLD


@pytest.fixture(scope="module")
def household():
    return json.dumps(HOUSEHOLD).encode()


def leave_behind(service, open_page, *texts):
    """Read with the service gone and close the walk; returns the phone that the readings are on."""
    page = open_page(WALK)
    service.stop()
    for text in texts:
        tap(page, text)
    until(page, f"Outbox.trouble === 'away' && Outbox.waiting().length === {len(texts)}")
    context = page.context
    page.close()
    service.start()
    assert kept(service) == []
    return context


def open_on(context, service, path):
    page = context.new_page()
    page.goto(service.url + path)
    return page


@pytest.mark.full  # README's line has the same with a device that was removed: test_phone_at_home.py
def test_a_reading_left_on_the_phone_is_sent_from_the_wardrobe_once_and_a_line_says_so(service, open_page):
    context = leave_behind(service, open_page, "41.2")
    page = open_on(context, service, "/wardrobe")
    page.wait_for_selector("text=1 reading was on this phone; kept now.")
    assert kept(service) == [("shoulder_width", "41.2")]
    assert page.evaluate("Object.keys(localStorage).filter(key => key.startsWith('fitcheck.'))") == []
    again = open_on(context, service, "/settings")
    again.wait_for_load_state("networkidle")
    assert again.locator("text=on this phone").count() == 0
    assert [one["text"] for _, one in service.readings("makes", "pullover")] == ["41.2"]


@pytest.mark.full
def test_several_pages_opened_at_once_keep_each_reading_once(service, open_page):
    context = leave_behind(service, open_page, "41.2", "51.8")
    pages = [context.new_page() for _ in range(3)]
    for page, path in zip(pages, ("/", "/swatches", "/makes/pullover"), strict=True):
        page.goto(service.url + path, wait_until="commit")
    for page in pages:
        until(page, "!Object.keys(localStorage).some(key => key.startsWith('fitcheck.reading'))")
    assert sorted(kept(service)) == [("chest", "51.8"), ("shoulder_width", "41.2")]
    assert len(service.readings("makes", "pullover")) == 2


@pytest.mark.full
def test_a_reading_that_the_service_refuses_leads_back_into_its_walk(service, open_page):
    context = leave_behind(service, open_page, "41.2")
    page = context.new_page()
    page.route(
        "**/readings/*",
        lambda route: route.fulfill(
            status=422, content_type="application/problem+json", body='{"detail": "Too long for a bed."}'
        ),
    )
    page.goto(service.url + "/wardrobe")
    page.wait_for_selector("text=Not kept: 41.2. Too long for a bed.")
    page.unroute("**/readings/*")
    page.click("text=Look at it in its walk")
    page.wait_for_selector("#refusal:not([hidden])")
    assert page.input_value("#reading") == "41.2"
    assert kept(service) == []


@pytest.mark.full
def test_a_page_fetches_the_outbox_only_where_something_waits(service, open_page):
    page = open_page("/wardrobe", PHONE)
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    page.reload()
    page.wait_for_load_state("networkidle")
    assert any(url.endswith("leftover.js") for url in asked)
    assert not any(url.endswith("outbox.js") for url in asked)


# A phone that drops a page, or is about to leave it; what else becomes of it: test_phone_at_home.py


@pytest.mark.full
def test_a_figure_that_stands_in_the_field_comes_back_when_the_phone_dropped_the_page(open_page):
    page = open_page(WALK)
    tap(page, "41.2")
    page.click("#pad [data-key='5']")
    page.click("#pad [data-key='1']")
    page.reload()
    assert (page.inner_text("#name"), page.input_value("#reading")) == ("Chest, flat", "51")
    page.click("#pad [data-key=rub]")
    page.click("#pad [data-key=rub]")
    page.reload()
    assert page.input_value("#reading") == ""


@pytest.mark.full
def test_a_page_is_left_without_asking_but_not_while_something_waits_for_the_service(service, open_page):
    page = open_page(WALK)
    asked = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    tap(page, "41.2")
    until(page, "Outbox.waiting().length === 0")
    page.reload()
    assert asked == []
    page.route("**/readings/*", lambda route: route.abort())
    tap(page, "51.8")
    until(page, "Outbox.trouble === 'away'")
    page.reload()
    assert asked == ["beforeunload"]
