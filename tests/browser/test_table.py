"""The Table in a real browser: how long it is, its columns, and what can be hit."""

from __future__ import annotations

import pytest

from tests.browser.conftest import PHONE, SMALL

LONGEST = 1847 + 100
"""The list of the invented makes on a phone: of twelve as long as in the sample, and a line more [px]."""


def opened(chromium, demo, viewport):
    page = chromium.new_context(viewport=viewport).new_page()
    page.goto(demo.url)
    return page


def test_thirteen_makes_are_a_short_list_on_a_phone_each_a_target_of_its_own(chromium, demo):
    page = opened(chromium, demo, PHONE)
    assert page.locator(".acts > li").count() == 13
    assert page.evaluate("document.documentElement.scrollHeight") <= LONGEST
    # The whole line is the link: its outline too leads to the make.
    line = page.locator(".acts > li").first
    box, to = line.bounding_box(), line.locator("a.do").get_attribute("href")
    assert box["height"] >= 48
    page.mouse.click(box["x"] + 20, box["y"] + box["height"] / 2)
    page.wait_for_url(f"**{to}")
    page.context.close()


@pytest.mark.full
def test_three_groups_stand_side_by_side_on_a_table_top_screen_with_outlines_of_one_scale(chromium, demo):
    page = opened(chromium, demo, {"width": 1280, "height": 900})
    boxes = [group.bounding_box() for group in page.locator(".group").all()]
    assert len(boxes) == 3
    assert max(box["y"] for box in boxes) == pytest.approx(min(box["y"] for box in boxes), abs=1)
    # The doors are at the height of the heading, so the list begins on the first screen.
    assert boxes[0]["y"] < 220
    widths = page.eval_on_selector_all(".acts svg path", "all => all.map(one => one.getBoundingClientRect().width)")
    assert 36 <= max(widths) <= 44
    assert min(widths) < 0.7 * max(widths)  # a child's
    page.context.close()


@pytest.mark.full
def test_letters_twice_as_large_make_no_page_wider_than_the_screen(chromium, demo):
    page = opened(chromium, demo, SMALL)
    for path in ("/", "/makes", "/makes/grey_pullover/finish"):
        page.goto(demo.url + path)
        page.evaluate("document.documentElement.style.fontSize = '32px'")
        assert page.evaluate("document.documentElement.scrollWidth") <= SMALL["width"], path
    page.context.close()
