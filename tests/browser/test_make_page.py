"""The page of a make in a real browser: it says when it has grown stale, and a reading set aside is taken back."""

from __future__ import annotations

import json
import urllib.request
from datetime import UTC, datetime

import pytest

from tests.browser.conftest import INVENTED, PHONE

MAKE = "/makes/grey_pullover"
WIDE = {"width": 1280, "height": 900}


@pytest.fixture(scope="module")
def household():
    return INVENTED.read_bytes()


def blocked_stage(service):
    with urllib.request.urlopen(f"{service.url}/api/v1{MAKE}", timeout=10) as answer:
        make = json.loads(answer.read())["record"]
    stages = make["pieces"][0]["stages"]
    return max(place for place, one in enumerate(stages) if one["kind"] == "blocked")


def add_reading(service, text, name):
    """Add a reading of the back's chest as another device would."""
    place = f"pieces/back/stages/{blocked_stage(service)}/readings/chest"
    body = json.dumps({"place": place, "reading": {"text": text, "unit": "cm"}}).encode()
    asked = urllib.request.Request(
        f"{service.url}/api/v1{MAKE}/readings/{name}",
        data=body,
        method="PUT",
        headers={"Content-Type": "application/json"},
    )
    with urllib.request.urlopen(asked, timeout=10) as answer:
        assert answer.status in (200, 201)


def look_again(page):
    """What the browser tells a page that comes into view again."""
    page.evaluate("dispatchEvent(new Event('visibilitychange'))")


def look_again_at_nothing_new(page):
    """The service is asked, and the page shows no strip after its answer."""
    with page.expect_response("**/now*") as asked:
        look_again(page)
    asked.value.finished()
    page.wait_for_timeout(50)
    assert not page.is_visible("#stale")


@pytest.mark.full
def test_an_open_page_says_above_the_answer_that_a_reading_came_in_and_moves_nothing(service, open_page):
    page = open_page(MAKE, WIDE)
    page.focus("#drawing .align a >> nth=1")
    focused = page.evaluate("document.activeElement.textContent")
    look_again_at_nothing_new(page)
    before = datetime.now(UTC)
    add_reading(service, "55.5", "from-another-phone")
    look_again(page)
    page.wait_for_selector("#stale", state="visible")
    told = page.inner_text("#stale")
    assert told.startswith("A reading came in at ")
    minutes = [int(part) for part in told.split(" at ")[1][:5].split(":")]
    clock = "(at) => { const d = new Date(at); return [d.getHours(), d.getMinutes()]; }"
    local = page.evaluate(clock, before.isoformat())
    assert (60 * (minutes[0] - local[0]) + minutes[1] - local[1]) % (24 * 60) <= 1
    assert page.evaluate("document.activeElement.textContent") == focused
    strip, head = page.locator("#stale").bounding_box(), page.locator("h1").bounding_box()
    assert strip["y"] + strip["height"] <= head["y"]
    with page.expect_navigation():
        page.click("#stale a")
    assert "From 25 readings" in page.inner_text("main")
    look_again_at_nothing_new(page)


@pytest.mark.full
def test_a_reading_that_is_set_aside_says_was_and_now_and_undo_takes_it_back(service, open_page):
    page = open_page(MAKE, PHONE)
    head = page.inner_text("h1")
    for _ in range(3):
        chest = page.locator("#p-chest")
        if not chest.locator("form").first.is_visible():
            chest.locator("summary").first.click()
        with page.expect_navigation():
            chest.locator("form button").first.click()
    said = page.inner_text("main .strip[role=status] p")
    assert "Was: " in said
    assert "Now: " in said
    folded = page.locator("main .strip[role=status] .all-changes")
    folded.locator("summary").click()
    assert page.locator("#p-chest .aside").count() == 3 or "not compared" in folded.inner_text()
    with page.expect_navigation():
        page.click(".strip[role=status] button")
    assert "Undone" in page.inner_text("main .strip[role=status] p")
    assert page.locator("#p-chest .aside").count() == 2
    assert page.inner_text("h1").startswith(head.split(".")[0])


@pytest.mark.full
def test_lining_up_elsewhere_redraws_without_the_page_jumping(look_at):
    page = look_at(MAKE, PHONE)
    drawn = page.evaluate("document.querySelector('#drawing svg').outerHTML")
    link = page.locator("#drawing .align a", has_text="hem")
    link.scroll_into_view_if_needed()
    at = page.evaluate("scrollY")
    link.click()
    page.wait_for_selector("#drawing .align a[aria-current] >> text=hem")
    assert page.evaluate("document.querySelector('#drawing svg').outerHTML") != drawn
    assert abs(page.evaluate("scrollY") - at) <= 1
    assert page.evaluate("location.href").endswith("?at=hem#drawing")
    assert page.evaluate("document.activeElement.textContent") == "hem"


@pytest.mark.full
def test_the_drawing_stays_in_view_beside_the_last_point(look_at):
    page = look_at(MAKE, WIDE)
    page.locator(".points .line").last.scroll_into_view_if_needed()
    box = page.locator("#drawing .sheet").bounding_box()
    last = page.locator(".points .line").last.bounding_box()
    assert box["y"] < last["y"] + last["height"]
    assert box["y"] + box["height"] > last["y"]
    assert box["height"] <= WIDE["height"]


@pytest.mark.parametrize(
    "path", [f"{MAKE}/sizes", *(pytest.param(path, marks=pytest.mark.full) for path in (MAKE, f"{MAKE}/fabric"))]
)
def test_no_page_of_a_make_scrolls_sideways(look_at, path):
    page = look_at(path, {"width": 320, "height": 800})
    for width in (320, 1280):
        page.set_viewport_size({"width": width, "height": 800})
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_on_paper_the_folds_are_open_and_nothing_is_cut_off(look_at):
    page = look_at(MAKE, {"width": 680, "height": 900})
    page.emulate_media(media="print")
    seen = page.evaluate("""() => [...document.querySelectorAll("main details:not(.noprint) .folded")]
      .map((one) => one.getBoundingClientRect().height)""")
    assert len(seen) > 8
    assert min(seen) > 0
    wide = page.evaluate("""() => [...document.querySelectorAll(".points .nums, .count-table")]
      .filter((one) => one.scrollWidth > one.clientWidth + 1).length""")
    assert wide == 0
    assert page.evaluate("document.querySelector('.printed .check-bar').getBoundingClientRect().width") > 0


@pytest.mark.full
def test_the_page_weighs_less_than_130_kb_without_its_fonts(untouched, chromium):
    context = chromium.new_context(viewport=PHONE)
    page = context.new_page()
    sent = {}
    page.on("response", lambda answer: sent.update({answer.url: len(answer.body())}))
    page.goto(untouched.url + MAKE, wait_until="networkidle")
    context.close()
    weighed = {url: size for url, size in sent.items() if "/fonts/" not in url and "/now" not in url}
    print(f"{sum(weighed.values()) / 1000:.1f} kB: {sorted(weighed.values(), reverse=True)}")
    assert len(weighed) >= 5
    assert sum(weighed.values()) < 130_000


@pytest.mark.full
def test_on_paper_nothing_is_asked_headings_stay_and_measured_is_clearly_thicker_than_drawn_in(look_at):
    page = look_at("/makes/grey_miscounted", WIDE)
    asked = "document.querySelectorAll('main :is(.ask,input,button)').values().filter((one) => one.checkVisibility())"
    assert page.evaluate(f"[...{asked}].length") > 0
    page.emulate_media(media="print")
    assert page.evaluate(f"[...{asked}].length") == 0
    breaks = page.evaluate(
        "[...document.querySelectorAll('main :is(h1,h2,h3,h4,summary)')].map((one) => getComputedStyle(one).breakAfter)"
    )
    assert set(breaks) == {"avoid"}
    thick, thin = (
        float(page.evaluate(f"getComputedStyle(document.querySelector('.print-sheet .{name}')).strokeWidth")[:-2])
        for name in ("o-piece", "o-thin")
    )
    # A unit of the sheet is 0.256 mm: 0.7 mm at least against 0.25 at most.
    assert thick * 0.256 >= 0.7
    assert thin * 0.256 <= 0.25
