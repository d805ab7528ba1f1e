"""The pages of sizes and swatches in a real browser: how long they are, and that what belongs side by side is there."""

from __future__ import annotations

import json

import pytest

from tests.browser.conftest import INVENTED
from tests.records.test_pasted_tables import EIGHT

PHONE, WIDE = {"width": 390, "height": 844}, {"width": 1280, "height": 900}


@pytest.fixture(scope="module")
def household():
    """The invented one, with a pullover of which nothing is knitted yet."""
    invented = json.loads(INVENTED.read_bytes())
    make = next(make for make in invented["makes"] if make["id"] == "grey_pullover")
    planned = {name: value for name, value in make.items() if name != "pieces"}
    invented["makes"].append({**planned, "id": "planned", "name": "grey pullover to come"})
    return json.dumps(invented).encode()


def height(page):
    return page.evaluate("document.documentElement.scrollHeight")


def columns_of(page):
    """Where each size's column begins, and its name, from the left."""
    return page.evaluate("""[...document.querySelectorAll("#sizes thead th")]
      .map((head) => [head.getBoundingClientRect().left, head.querySelector("b").textContent])
      .sort((a, b) => a[0] - b[0])""")


def test_the_sizes_of_a_make_stand_on_a_phone_in_2400_with_the_best_column_first(look_at):
    page = look_at("/makes/planned/sizes", PHONE)
    assert height(page) <= 2400  # 4,962 before
    clicks = page.locator(".tape-table thead a")
    assert clicks.count() == 6
    assert min(min(clicks.nth(at).bounding_box()[side] for side in ("width", "height")) for at in range(6)) >= 44
    heads = columns_of(page)
    best = page.locator("#sizes thead .best b").inner_text()
    assert heads[0][1] == best
    assert heads[0][0] < PHONE["width"]


@pytest.mark.full
def test_at_a_table_top_screen_the_columns_stand_as_the_pattern_has_them(look_at):
    page = look_at("/makes/planned/sizes", WIDE)
    heads = columns_of(page)
    assert [name for _, name in heads] == ["1", "2", "3", "4", "5", "6"]


@pytest.mark.full
def test_a_pasted_table_of_eight_sizes_fits_on_a_table_top_screen(look_at):
    page = look_at("/size-tables/new", WIDE)
    page.evaluate("document.querySelectorAll('details').forEach((fold) => { fold.open = true; })")
    page.fill("#pasted", EIGHT)
    with page.expect_navigation():
        page.click("button[value=paste]")
    assert page.locator("#size_7").input_value() == "Men XL"
    grid = page.locator(".grid-wrap")
    assert grid.evaluate("(grid) => grid.scrollWidth - grid.clientWidth") <= 0
