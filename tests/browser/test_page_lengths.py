"""How long pages are on a phone: what is settled is one line that opens, what only explains stands in one fold."""

from __future__ import annotations

import pytest

from tests.browser.conftest import INVENTED, PHONE

HIGHEST = {
    "/wardrobe/brown_pullover": 2400,  # twelve points; 5,091 with two lines and a fold each
    "/swatches/fabrics?yarn=grey_wool_in_oil&machine=standard_bed": 2600,  # 4,278 with every click and chart open
    "/makes/grey_pullover/fabric": 2600,  # 4,707
}
"""Pages of the invented household with what each may measure from top to bottom [CSS px]."""


@pytest.fixture(scope="module")
def household():
    """The invented household."""
    return INVENTED.read_bytes()


@pytest.mark.parametrize("path", HIGHEST)
def test_a_page_is_short_on_a_phone(look_at, path):
    page = look_at(path, PHONE)
    assert page.evaluate("document.documentElement.scrollHeight") <= HIGHEST[path]
    assert page.evaluate("document.documentElement.scrollWidth") == PHONE["width"]


def test_a_point_of_a_garment_is_one_line_that_opens_to_its_tape_and_readings(look_at):
    page = look_at("/wardrobe/brown_pullover", PHONE)
    lines = page.locator(".line.valued")
    assert lines.count() == 12
    assert {line.bounding_box()["height"] for line in lines.all()[:-1]} == {45}  # with the rule between two
    chest = page.locator("#at-chest")
    assert chest.locator("summary").inner_text().split("\n") == ["5", "Chest, flat", "54.1\N{NO-BREAK SPACE}cm"]
    chest.locator("summary").click()
    assert chest.get_by_text("likely 53.8 to 54.3").nth(1).is_visible()
    assert [link.inner_text() for link in chest.locator(".chips a").all()] == ["53.8", "54.2", "54.1", "54.1"]


@pytest.mark.parametrize("path", [path for path in HIGHEST if "fabric" in path])
def test_on_paper_no_table_of_a_fabric_is_cut(look_at, path):
    page = look_at(path, {"width": 794, "height": 1123})  # A4, which is what a style sheet is asked for in print
    page.emulate_media(media="print")
    page.evaluate("document.querySelector('main').style.width = '688px'")  # 182 mm, between its margins
    box = page.locator("main").bounding_box()
    edge = box["x"] + box["width"]
    tables = page.eval_on_selector_all("table", "all => all.map(one => one.getBoundingClientRect().right)")
    assert len(tables) == 5
    assert max(tables) <= edge + 0.5
