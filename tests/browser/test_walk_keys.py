"""What the keys of the walk do to what stands in its field, and that Keep stays on the screen."""

from __future__ import annotations

import json

import pytest

from tests.browser.conftest import PHONE, SMALL
from tests.browser.test_walk import WALK, in_unit, kept, name, settled
from tests.webui.walk_household import HOUSEHOLD

LYING = {"width": 844, "height": 390}


@pytest.fixture(scope="module")
def household():
    return json.dumps(HOUSEHOLD).encode()


def reading(page):
    return page.input_value("#reading")


def press(page, *keys):
    for key in keys:
        page.click(f"#pad [data-key='{key}']")


@pytest.mark.full
def test_after_undo_the_first_key_takes_the_place_of_what_was_read_and_rub_out_mends_it(service, open_page):
    page = open_page(WALK, **in_unit("in"))
    press(page, *"16")
    page.check("input[name=eighths][value='3']", force=True)
    press(page, "keep", "undo")
    assert (name(page), reading(page), page.inner_text("#part")) == ("Shoulder", "16", "3/8")
    press(page, *"15")
    assert (reading(page), page.inner_text("#part")) == ("15", "")
    press(page, "keep", "undo", "rub", "7")
    assert reading(page) == "17"
    press(page, "keep", "undo")
    page.keyboard.type("18")
    page.keyboard.press("Enter")
    settled(page)
    assert kept(service) == [("shoulder_width", "18")]


@pytest.mark.full
def test_two_marks_are_not_taken_and_decimals_that_no_tape_tells_are_asked_about(service, open_page):
    page = open_page(WALK)
    press(page, "4", "1", "mark", "mark", "2")
    assert reading(page) == "41.2"  # tapped twice by a heavy thumb
    press(page, "mark", "3", "keep")
    assert "Not taken: 41.2.3. One decimal mark is enough: 41.2 or 41,2." in page.inner_text("#refusal")
    press(page, "rub", "rub", "3", "4", "keep")
    assert page.inner_text("#ask-odd") == "41.234 cm? No tape tells so many decimals."
    assert page.inner_text("#ask-slip") == "41.2 cm"
    page.click("#ask-slip")
    # Kept as it is typed, the figure is asked about as every other.
    press(page, "1", "2", "0", "mark", "0", "0", "1", "keep")
    page.click("#ask-keep")
    assert "120.001 cm for the chest" in page.inner_text("#ask-odd")
    page.click("#ask-again")
    settled(page)
    assert kept(service) == [("shoulder_width", "41.2 cm")]


@pytest.mark.full
@pytest.mark.parametrize("unit", ["cm", "in"])
def test_keep_stays_on_the_screen_with_letters_twice_as_large_and_on_a_phone_that_lies(look_at, unit):
    for viewport, letters in ((SMALL, 32), (PHONE, 32), (LYING, 16), (LYING, 32)):
        page = look_at(f"{WALK}?point=chest", viewport, **in_unit(unit))
        page.evaluate(f"document.documentElement.style.fontSize = '{letters}px'")
        for part in ("#reading", "#pad [data-key=keep]", "#unit"):
            box = page.locator(part).bounding_box()
            assert box["y"] >= 0, (viewport, letters, part)
            assert box["y"] + box["height"] <= viewport["height"], (viewport, letters, part)
            assert box["height"] >= 44, (viewport, letters, part)
        assert page.evaluate("document.documentElement.scrollWidth") <= viewport["width"]
        if letters == 16:
            assert page.evaluate("document.documentElement.scrollHeight") <= viewport["height"]
        page.context.close()


@pytest.mark.full
def test_the_unit_is_changed_on_the_spot_and_what_was_typed_stays(service, open_page):
    page = open_page(WALK)
    press(page, "4", "1", "mark", "2")
    page.click("#unit")
    assert (reading(page), page.inner_text("#unit")) == ("41.2 cm", "in")
    assert page.is_visible("#eighths")
    page.click("#unit")
    assert (reading(page), page.inner_text("#unit")) == ("41.2", "cm")
    assert not page.is_visible("#eighths")
    page.click("#unit")
    press(page, "keep")
    press(page, *"20")
    page.check("input[name=eighths][value='3']", force=True)
    page.click("#unit")
    assert reading(page) == "20 3/8 in"
    press(page, "keep")
    settled(page)
    assert kept(service) == [("shoulder_width", "41.2 cm"), ("chest", "20 3/8 in")]
    # The page comes back in the unit that was chosen last.
    with page.expect_response(lambda answer: answer.url.endswith("/unit")):
        page.click("#unit")
    page.reload()
    assert page.inner_text("#unit") == "in"
