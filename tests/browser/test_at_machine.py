"""At the machine: a network that is cut, a page loaded again, a service that starts anew; two devices; sizes."""

from __future__ import annotations

import json
import re
import urllib.request
from itertools import product

import pytest

from tests.browser.conftest import INVENTED, PHONE, send
from tests.browser.stories import expect

SHEET = "/makes/grey_pullover/sheets/front/machine"
PROGRESS = "/api/v1/makes/grey_pullover/sheets/front-1/progress"
SMALL_PHONE = {"width": 360, "height": 640}
LYING = {"width": 844, "height": 390}
SIZES = (SMALL_PHONE, PHONE, LYING)
BEGIN = re.compile("^Begin")


@pytest.fixture(scope="module")
def household():
    return INVENTED.read_bytes()


def begun(open_page, viewport=SMALL_PHONE, **more):
    page = open_page(SHEET, viewport=viewport, **more)
    if page.get_by_role("button", name=BEGIN).count():
        send(page, BEGIN)
    return page


def tap(page):
    page.wait_for_timeout(420)
    page.locator("#done").click()


def tap_to(page, act):
    while act not in page.locator("h1").inner_text():
        tap(page)


def progress(service):
    with urllib.request.urlopen(service.url + PROGRESS, timeout=10) as answer:
        return json.load(answer)


@pytest.mark.full
def test_a_cut_network_a_page_loaded_again_and_a_service_started_anew_keep_the_act_once(service, open_page):
    page = begun(open_page)
    tap_to(page, "Mark both edges")  # row 40
    page.wait_for_function("() => Outbox.taps('grey_pullover/front/front-1').length === 0")
    page.route("**/taps/*", lambda route: route.abort())
    tap(page)
    assert page.locator(".figure").inner_text() == "66"
    expect(page.locator("#strip")).to_contain_text("on this phone so far")
    assert progress(service)["next"] == 3
    page.reload()
    assert page.locator(".figure").inner_text() == "66"
    service.stop()
    tap(page)
    assert page.locator(".figure").inner_text() == "80"
    service.start()
    page.unroute("**/taps/*")
    page.reload()
    page.wait_for_function("() => Outbox.taps('grey_pullover/front/front-1').length === 0")
    assert page.locator(".figure").inner_text() == "80"
    told = progress(service)
    assert told["done"] == [0, 1, 2, 3, 4]
    assert told["next"] == 5


@pytest.mark.full
def test_taps_close_together_count_once_and_another_device_is_said_and_does_not_make_this_one_jump(service, open_page):
    page = begun(open_page)
    figure = page.locator(".figure").inner_text()
    other = begun(open_page)
    before = progress(service)["next"]
    page.evaluate("() => { for (let tap = 0; tap < 2; tap += 1) document.getElementById('done').click(); }")
    page.wait_for_function("() => Outbox.taps('grey_pullover/front/front-1').length === 0")
    there = page.locator(".figure").inner_text()
    assert progress(service)["next"] == len(progress(service)["done"]) == before + 1
    other.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    place = f"row {there}" if there else "another act"
    expect(other.locator("#strip")).to_contain_text(f"On another device: it is {place} there.")
    assert other.locator(".figure").inner_text() == figure
    other.get_by_role("button", name="Go there").click()
    assert other.locator(".figure").inner_text() == there


@pytest.mark.full
def test_a_typed_row_says_what_lies_between_and_goes_there(service, open_page):
    page = begun(open_page)
    tap_to(page, "Widen 1")  # row 33
    page.get_by_role("button", name="my counter shows").click()
    page.locator("#row").fill("110")
    assert "Here it is row 33. Up to 110 lie 8 acts:" in re.sub(r"\s+", " ", page.locator("#now").inner_text())
    assert re.sub(r"\s+", " ", page.locator("#done").inner_text()).strip() == "All done go to row 110"
    tap(page)
    assert page.locator(".figure").inner_text() == "110"
    assert "narrow one at both sides, first of three" in page.locator("#polite").inner_text().lower()
    page.get_by_role("button", name="one row back").click()
    assert page.locator(".figure").inner_text() == "109"


@pytest.mark.full
def test_two_taps_at_once_go_one_act_back_too(service, open_page):
    page = begun(open_page)
    tap_to(page, "Widen 1")
    back = page.get_by_role("button", name="one row back")
    back.dblclick()
    assert page.locator(".figure").inner_text() == ""
    assert "Set the counter" in page.locator("h1").inner_text()
    page.wait_for_timeout(420)
    back.click()
    assert "Cast on" in page.locator("h1").inner_text()


# The screen

ASKS = """() => {
  window.asked = [];
  const wakeLock = { request: (kind) => { window.asked.push(kind); return %s; } };
  Object.defineProperty(Navigator.prototype, "wakeLock", { configurable: true, get: () => wakeLock });
}"""
"""Stands for the wake lock of a browser, and notes what is asked of it."""
STAY_ON = "The screen: set your screen to stay on."


def with_screen(open_page, script):
    """The page at the machine in a browser whose wake lock is as a script has it, loaded again."""
    page = begun(open_page)
    # The browser's own may still be refused while the page is loaded again: that it was said is forgotten after that.
    forget = "sessionStorage.forgot = localStorage.removeItem('fitcheck.awake') || 1"
    page.add_init_script(f"({script})(); if (!sessionStorage.forgot) {{ {forget}; }}")
    page.reload()
    page.wait_for_selector(".act-b")
    return page


def seen_again(page):
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")


@pytest.mark.full
def test_a_screen_that_can_be_kept_on_is_asked_for_and_again_whenever_it_is_seen_again(service, open_page):
    page = with_screen(open_page, ASKS % "Promise.resolve({})")
    assert page.evaluate("asked") == ["screen"]
    seen_again(page)
    assert page.evaluate("asked") == ["screen", "screen"]
    page.evaluate("Object.defineProperty(document, 'visibilityState', { configurable: true, get: () => 'hidden' })")
    seen_again(page)
    assert page.evaluate("asked") == ["screen", "screen"]
    assert page.locator("#strip").is_hidden()


@pytest.mark.full
@pytest.mark.parametrize(
    "script", ["() => { delete Navigator.prototype.wakeLock; }", ASKS % "Promise.reject(new Error('no'))"],
    ids=["where there is none", "where it is refused"],
)  # fmt: skip
def test_a_screen_that_is_not_kept_on_is_said_once(service, open_page, script):
    page = with_screen(open_page, script)
    page.wait_for_selector("#strip:not([hidden])")
    assert page.locator("#strip").inner_text() == STAY_ON
    tap(page)
    assert page.locator("#strip").is_hidden()
    page.reload()
    page.wait_for_selector(".act-b")
    seen_again(page)
    page.wait_for_timeout(50)
    assert page.locator("#strip").is_hidden()


# Without a script


@pytest.mark.full
def test_without_a_script_each_act_is_a_form_that_goes_on_back_and_to_a_typed_row(service, open_page):
    page = begun(open_page, java_script_enabled=False)
    for act in ("Set the counter", "Widen 1", "Mark both edges"):
        send(page, re.compile("^Done"))
        assert act in page.locator("h1").inner_text()
    send(page, re.compile("one row back"))
    assert "Widen 1" in page.locator("h1").inner_text()
    page.get_by_role("link", name="my counter shows").click()
    page.get_by_label("My counter shows").fill("110")
    send(page, re.compile("^Look"))
    assert "Up to 110 lie 8 acts:" in re.sub(r"\s+", " ", page.locator("#now").inner_text())
    send(page, re.compile("^All done go to row 110"))
    assert page.locator(".figure").inner_text() == "110"
    assert progress(service)["next"] == 2 + 8


# Sizes


@pytest.mark.full
def test_at_letters_of_twice_the_size_nothing_is_wider_than_the_screen_and_done_stays_on_it(service, open_page):
    page = begun(open_page)
    for size in (*SIZES, {"width": 320, "height": 568}):
        page.set_viewport_size(size)
        page.evaluate("document.documentElement.style.fontSize = '32px'")
        for jump in (False, True):
            if jump:
                page.get_by_role("button", name="my counter shows").click()
                page.locator("#row").fill("110")
            wide, top, bottom, left, right = page.evaluate(
                """() => { const box = document.getElementById('done').getBoundingClientRect();
                return [document.documentElement.scrollWidth - innerWidth, box.top, innerHeight - box.bottom, box.left,
                innerWidth - box.right]; }"""
            )
            assert wide <= 0, (size, jump)
            assert min(top, bottom, left, right) >= 0, (size, jump)
        page.get_by_role("button", name="no, stay").click()
    tap(page)
    assert page.locator(".figure").inner_text() == ""


SMALLEST = {"width": 320, "height": 640}


LETTERS = {"32px": ".act-b", "16px": "#now > :last-child"}
"""Sizes of letters, each with what must stand above Done at it."""
ABOVE = ("", '<p><span><b>Not kept yet:</b> on this phone so far.</span> <a href="#waiting">What waits</a></p>')
"""What stands above the act: nothing, or the longest line with something to tap in it."""


@pytest.mark.full
def test_the_act_stands_above_done_at_letters_of_twice_the_size_too(service, open_page):
    page = begun(open_page)
    for _ in range(9):
        for size, (letters, lowest), above in product((SMALL_PHONE, SMALLEST, PHONE, LYING), LETTERS.items(), ABOVE):
            page.set_viewport_size(size)
            under, over, way = page.evaluate(
                """([letters, lowest, above]) => {
                  document.documentElement.style.fontSize = letters;
                  const strip = document.getElementById('strip'), box = (node) => node.getBoundingClientRect();
                  strip.hidden = !above;
                  strip.innerHTML = above;
                  const act = box(document.querySelector(lowest)), button = box(document.getElementById('done'));
                  const others = [...document.querySelectorAll('.top a,.top button,.strip a')].map(box);
                  return [act.bottom - (button.left >= act.right ? innerHeight : button.top),
                    document.documentElement.scrollHeight - innerHeight,
                    Math.min(...others.map((b) => Math.hypot(Math.max(0, button.top - b.bottom),
                      Math.max(0, button.left - b.right))))];
                }""",
                [letters, lowest, above],
            )
            shown = (size, letters, above, page.locator("h1").inner_text())
            assert under <= 0, shown
            assert letters == "32px" or over <= 0, shown
            assert way >= 122, shown
        tap(page)


@pytest.mark.parametrize(
    ("viewport", "share", "most"),
    [
        pytest.param(SMALL_PHONE, 1 / 3, 5, marks=pytest.mark.full),
        pytest.param(PHONE, 2 / 5, 2, marks=pytest.mark.full),
        pytest.param(SMALL_PHONE, 1 / 3, None, marks=[pytest.mark.full, pytest.mark.long]),
        pytest.param(PHONE, 2 / 5, None, marks=[pytest.mark.full, pytest.mark.long]),
        pytest.param(LYING, 4 / 5, 3, marks=pytest.mark.full),
        pytest.param(LYING, 4 / 5, None, marks=[pytest.mark.full, pytest.mark.long]),
    ],
    ids=str,
)
def test_figure_button_and_the_way_between_targets_are_large_enough(service, open_page, viewport, share, most):
    page = begun(open_page, viewport)
    count = page.evaluate("JSON.parse(document.getElementById('machine-data').textContent).acts.length")
    seen = 0
    while seen < (most or count + 1):  # the pause between the halves among them
        # Where a slow service makes a longer line stand above the act, it goes by itself.
        for _ in range(100):
            if page.locator("#strip").inner_text() in ("", STAY_ON):
                break
            page.wait_for_timeout(50)
        told = page.evaluate(
            """() => {
              const box = (node) => node.getBoundingClientRect(), button = box(document.getElementById('done'));
              const others = [...document.querySelectorAll('.top a,.top button,.strip a,.strip button')].map(box);
              const figure = document.querySelector('.figure');
              return { height: button.height / innerHeight, foot: innerHeight - button.bottom,
                way: Math.min(...others.filter((b) => b.height).map((b) =>
                  Math.hypot(Math.max(0, button.top - b.bottom), Math.max(0, button.left - b.right)))),
                low: Math.min(...others.filter((b) => b.height).map((b) => b.height)),
                figure: figure ? parseFloat(getComputedStyle(figure).fontSize) * .65 : 122,
                over: document.documentElement.scrollHeight - innerHeight,
                wide: document.documentElement.scrollWidth - innerWidth, act: document.querySelector('h1').innerText };
            }"""
        )
        assert (told["height"] >= share, told["way"] >= 122, told["low"] >= 44, told["figure"] >= 122) == 4 * (True,), (
            told
        )
        assert max(told["over"], told["wide"], -told["foot"]) <= 0, told
        seen += 1
        tap(page)
    assert most or page.title().startswith("At the machine")


# A phone with no room, a device that was removed

SCOPE = "grey_pullover/front/front-1"


@pytest.mark.full
def test_in_forced_colours_the_figure_leaves_the_carriage_above_it_to_be_seen(service, open_page):
    page = begun(open_page)
    page.emulate_media(forced_colors="active")
    covered = len(page.locator(".stands").screenshot())  # as a picture: a blank one takes a tenth
    page.locator(".figure").evaluate("figure => { figure.style.visibility = 'hidden'; }")
    assert covered == pytest.approx(len(page.locator(".stands").screenshot()), rel=0.1)


@pytest.mark.full
def test_a_phone_without_room_goes_on_with_the_services_word_alone(service, open_page):
    page = begun(open_page)
    page.evaluate(
        "() => { Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); }; }"
    )
    page.route("**/taps/*", lambda route: route.abort())
    act, before = page.locator("h1").inner_text(), progress(service)["next"]
    tap(page)
    expect(page.locator("#strip")).to_contain_text("the next act comes once the service has this one")
    assert page.locator("h1").inner_text() == act
    page.unroute("**/taps/*")
    page.evaluate("Outbox.send()")
    page.wait_for_selector("#strip", state="hidden")
    assert page.locator("h1").inner_text() != act
    assert progress(service)["next"] == before + 1


@pytest.mark.full
def test_a_removed_device_goes_on_and_its_rows_are_carried_over_as_text(service, open_page):
    page = begun(open_page)
    before = progress(service)["next"]
    problem = {"status": 401, "content_type": "application/problem+json", "body": "{}"}
    page.route("**/taps/*", lambda route: route.fulfill(**problem))
    tap(page)
    tap(page)
    page.wait_for_selector("text=2 rows are safe on this phone.")
    assert page.get_by_role("link", name="To pairing").get_attribute("target") == "_blank"
    there = open_page("/walk/carried")
    there.fill("#carried", page.input_value("#waiting-text"))
    there.click("text=Keep them")
    there.wait_for_selector("text=2 readings or rows are kept.")
    assert progress(service)["next"] == before + 2
    page.unroute("**/taps/*")
    page.evaluate("Outbox.send()")
    page.wait_for_function(f"() => Outbox.taps('{SCOPE}').length === 0")
    assert progress(service)["next"] == before + 2
