"""A figure is tapped and put right where it stands: the field is in hand at once."""

from __future__ import annotations

import pytest

from tests.browser.conftest import INVENTED, PHONE

BACK = "/makes/grey_pullover/pieces/back"


@pytest.fixture(scope="module")
def household():
    return INVENTED.read_bytes()


@pytest.mark.full
def test_a_figure_is_tapped_typed_over_and_kept_in_its_place(service, open_page):
    page = open_page(BACK, PHONE)
    page.click("#at-chest > summary")
    chips = page.locator("#at-chest .chips a")
    for at in range(chips.count()):
        box = chips.nth(at).bounding_box()
        assert box["width"] >= 60
        assert box["height"] >= 44
    before = chips.nth(0).bounding_box()["y"]
    with page.expect_navigation():
        chips.nth(0).click()
    row = page.locator("#at-chest .inplace")
    assert row.bounding_box()["height"] < before
    page.locator("#fix-text:focus").wait_for(timeout=10_000)
    page.fill("#fix-text", "52.9")
    page.keyboard.press("Enter")
    page.wait_for_url(f"**{BACK}")
    page.click("#at-chest > summary")
    assert page.locator("#at-chest .chips a").nth(0).inner_text() == "52.9"
    page.locator("#at-chest summary", has_text="Changed once").click()
    assert page.locator("#at-chest .past s").inner_text() == "53,2"
    assert page.evaluate("document.documentElement.scrollWidth") <= page.viewport_size["width"]


@pytest.mark.full
def test_what_a_field_said_before_stands_under_it_and_moves_no_neighbour(service, open_page):
    page = open_page(BACK, PHONE)
    page.fill("#count-chest", "121")
    with page.expect_navigation():
        page.locator(".knitform .btn.main").click()
    before = page.locator("#count-chest-before")
    assert "120" in before.inner_text()
    assert before.locator("s").evaluate("said => getComputedStyle(said).textDecorationLine") == "line-through"
    tops = {
        page.locator(field).bounding_box()["y"] for field in ("#count-hem", "#count-chest", "#count-shoulder_width")
    }
    assert len(tops) == 1
    assert page.evaluate("document.documentElement.scrollWidth") <= page.viewport_size["width"]
