"""The unit is switched in the middle of a form: what was typed is there again, each length in its own unit."""

from __future__ import annotations

import pytest

from tests.browser.conftest import INVENTED, PHONE, SMALL


@pytest.fixture(scope="module")
def household():
    return INVENTED.read_bytes()


def switch(page, unit):
    with page.expect_navigation():
        page.click(f'.units button[value="{unit}"]')


def values(page, *ids):
    return [page.input_value(f"#{one}") for one in ids]


def test_a_half_filled_garment_keeps_what_was_typed_with_the_unit_of_each_length(open_page):
    page = open_page("/wardrobe/new")
    page.fill("#name", "Blue jumper")
    page.select_option("#state", "worn")
    page.fill("#washes", "2")
    page.fill("#at_chest", "51.8 52,0")
    page.fill("#at_shoulder_width", "16 1/2 in")
    page.fill("#at_armhole_depth", "19 3/4; 20")
    page.uncheck('input[name="anew"]')
    page.click("summary:has-text('The fabric and how it is worn')")
    page.fill("#thickness", "3 mm")
    page.check('input[name="rib"]')
    switch(page, "in")
    assert page.get_attribute('.units button[value="in"]', "aria-pressed") == "true"
    assert values(page, "name", "state", "washes", "thickness") == ["Blue jumper", "worn", "2", "3 mm"]
    assert values(page, "at_chest", "at_shoulder_width", "at_armhole_depth") == [
        "51.8 cm; 52,0 cm",
        "16 1/2 in",
        "19 3/4 cm; 20 cm",
    ]
    assert not page.is_checked('input[name="anew"]')
    assert page.is_checked('input[name="rib"]')
    assert page.is_visible("#thickness")
    page.fill("#at_hem", "20 1/8")
    switch(page, "cm")
    assert values(page, "at_chest", "at_hem") == ["51.8 cm; 52,0 cm", "20 1/8 in"]
    with page.expect_navigation():
        page.click("text=Put it in the wardrobe")
    assert page.url.endswith("/wardrobe/blue_jumper")


@pytest.mark.full
def test_what_was_refused_is_kept_too(look_at):
    page = look_at("/wardrobe/new")
    page.fill("#name", "Blue jumper")
    page.fill("#at_chest", "51.2.3")
    with page.expect_navigation():
        page.click("text=Put it in the wardrobe")
    assert page.is_visible("#at_chest-refused")
    switch(page, "in")
    assert values(page, "name", "at_chest") == ["Blue jumper", "51.2.3 cm"]


@pytest.mark.full
def test_a_grid_that_grew_keeps_its_size_its_measures_and_its_counts(look_at):
    page = look_at("/size-tables/new")
    with page.expect_navigation():
        page.click("text=One more size")
    page.fill("#name", "plain pullover")
    page.fill("#c_0_3", "54")
    page.fill("#c_1_3", "114")
    page.fill("#row_2", "back hem, stitches")
    page.fill("#c_2_0", "110")
    switch(page, "in")
    assert values(page, "name", "c_0_3", "c_1_3", "c_2_0") == ["plain pullover", "54 cm", "114", "110"]


@pytest.mark.parametrize(
    ("label", "of_counts"),
    [
        ("Chest, 12sts", True),
        pytest.param("Cuff counts", True, marks=pytest.mark.full),
        pytest.param("Arrow", False, marks=pytest.mark.full),
    ],
)
def test_page_and_script_tell_a_row_of_counts_by_the_same_words(look_at, label, of_counts):
    page = look_at("/size-tables/new")
    for was in ("back chest" if of_counts else "back chest, stitches", label):
        page.fill("#row_0", was)
    lengths = "() => document.querySelector('#c_0_0').hasAttribute('data-length')"
    assert page.evaluate(lengths) is not of_counts
    with page.expect_navigation():
        page.click("text=One more size")
    assert page.evaluate(lengths) is not of_counts


@pytest.mark.full
def test_nothing_of_one_form_comes_into_another_and_no_line_says_what_nobody_missed(look_at):
    page = look_at("/wardrobe/new")
    page.fill("#name", "Blue jumper")
    switch(page, "in")
    assert page.locator(".strip.back").count() == 0
    page.goto(page.url.replace("/wardrobe/new", "/people/new"))
    assert values(page, "name") == [""]


@pytest.mark.full
@pytest.mark.parametrize("size", [SMALL, PHONE], ids=["320", "390"])
def test_the_cell_that_is_typed_in_is_never_under_the_names_or_off_the_screen(look_at, size):
    page = look_at("/size-tables/new", size)
    page.click("#c_0_0")
    seen = """async () => {
      await new Promise(requestAnimationFrame);
      const cell = document.activeElement.getBoundingClientRect(), wrap = document.querySelector(".grid-wrap");
      const names = wrap.querySelector("tbody .what").getBoundingClientRect(), box = wrap.getBoundingClientRect();
      return [document.activeElement.id, cell.left >= names.right - 1 && cell.right <= box.right + 1]; }"""
    rows = int(page.input_value('input[name="rows"]'))
    for press in ["Enter"] * (2 * rows + 1) + ["Shift+Tab", "Shift+Tab", "Tab", "Tab"]:
        page.keyboard.press(press)
        at, visible = page.evaluate(seen)
        assert visible, (press, at)
    assert at.startswith("c_"), at


@pytest.mark.full
def test_names_take_no_more_than_a_third_of_a_phone_and_are_read_whole(look_at):
    page = look_at("/size-tables/round_neck_pullover", PHONE)
    found = page.eval_on_selector_all(
        ".grid-table .seen",
        """all => all.map(
             one => [one.getBoundingClientRect().width, one.scrollWidth <= one.clientWidth, one.textContent])""",
    )
    assert found
    assert max(width for width, _, _ in found) <= PHONE["width"] / 3
    assert [text for _, whole, text in found if not whole] == []


@pytest.mark.full
def test_a_refused_cell_of_another_size_is_scrolled_into_sight(look_at):
    page = look_at("/size-tables/new", SMALL)
    page.fill("#name", "plain pullover")
    page.fill("#c_0_2", "wide")
    with page.expect_navigation():
        page.click("text=Keep the table")
    cell, wrap = (page.locator(one).bounding_box() for one in ("#c_0_2", ".grid-wrap"))
    names = page.locator("tbody .what").first.bounding_box()
    assert cell["x"] >= names["x"] + names["width"] - 1
    assert cell["x"] + cell["width"] <= wrap["x"] + wrap["width"] + 1
