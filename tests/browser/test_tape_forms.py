"""Forms that are filled with a tape in the hand: the strip, the dock of eighths, where the focus goes."""

from __future__ import annotations

import pytest

from tests.browser.conftest import PHONE, ROOT

DESK = {"width": 1280, "height": 900}
INCHES = {"name": "unit", "value": "in", "domain": "127.0.0.1", "path": "/"}


@pytest.fixture(scope="module")
def household():
    return (ROOT / "demo_garments" / "household.json").read_bytes()


def stroke(page, key, part=".t-line"):
    """How wide a tape of the drawing is drawn, and whether it can be seen."""
    return page.evaluate(
        """([key, part]) => {
          const style = getComputedStyle([...document.querySelectorAll(`.hand .of-${key} ${part}`)]
            .find(one => one.closest("svg").getBoundingClientRect().width));
          return [parseFloat(style.strokeWidth), style.visibility]; }""",
        [key, part],
    )


def said(page):
    return [one.inner_text() for one in page.locator(".hand .say p").all() if one.is_visible()]


def test_the_tape_of_the_field_in_hand_lights_up_without_a_script(look_at):
    page = look_at("/wardrobe/new", PHONE, java_script_enabled=False)
    assert said(page) == ["The sweater, laid flat\nTap a field: its tape lights up here."]
    thin, _ = stroke(page, "chest")
    page.focus("#at_chest")
    assert stroke(page, "chest")[0] > 2 * thin
    assert stroke(page, "shoulder_width")[0] == thin
    assert len(said(page)) == 1
    assert said(page)[0].startswith("Chest, flat\n")
    page.focus("#at_upper_arm")
    assert page.locator(".hand .on-sleeve").is_visible()
    assert not page.locator(".hand .on-body").is_visible()
    page.click("summary:has-text('The other points')")
    assert stroke(page, "waist")[1] == "hidden"
    page.focus("#at_waist")
    assert stroke(page, "waist")[1] == "visible"
    box = page.locator(".hand").bounding_box()
    assert box["y"] == pytest.approx(0, abs=1)  # it stays at the top while the fields go by
    assert box["height"] < PHONE["height"] / 4


@pytest.mark.full
def test_a_tap_on_a_mark_puts_the_eighths_behind_the_inches_and_keeps_the_field_in_hand(look_at):
    page = look_at("/wardrobe/new", PHONE, has_touch=True)
    page.context.add_cookies([INCHES])
    page.reload()
    dock = page.locator(".dock")
    assert dock.count() == 0
    page.tap("#at_chest")
    page.keyboard.type("20")
    box = dock.bounding_box()
    assert box["y"] + box["height"] == pytest.approx(PHONE["height"], abs=1)
    marks = dock.locator("button")
    assert all(mark.bounding_box()["height"] >= 44 and mark.bounding_box()["width"] >= 40 for mark in marks.all())
    marks.nth(2).tap()
    assert page.input_value("#at_chest") == "20 1/4"
    marks.nth(5).tap()
    assert page.input_value("#at_chest") == "20 5/8"
    assert page.evaluate("document.activeElement.id") == "at_chest"
    assert dock.locator("[aria-pressed=true]").all_inner_texts() == ["5/8"]
    page.keyboard.type("; 21")  # a second reading has its own
    marks.nth(1).tap()
    assert page.input_value("#at_chest") == "20 5/8; 21 1/8"
    marks.nth(0).tap()
    assert page.input_value("#at_chest") == "20 5/8; 21"
    page.tap("#name")  # a name has none
    assert dock.count() == 0


@pytest.mark.full
def test_the_pencil_form_that_is_typed_in_has_the_marks_of_an_inch_too(look_at):
    page = look_at("/makes/grey_pullover/pencil/typed", PHONE, has_touch=True)
    page.context.add_cookies([INCHES])
    page.reload()
    page.tap("#chest-0")
    page.keyboard.type("20")
    page.locator(".dock button").nth(2).tap()
    assert page.input_value("#chest-0") == "20 1/4"


@pytest.mark.full
@pytest.mark.parametrize(("unit", "size"), [("cm", PHONE), ("in", DESK)])
def test_there_is_no_dock_in_centimetres_or_on_a_table_top_screen(look_at, unit, size):
    page = look_at("/wardrobe/new", size)
    page.context.add_cookies([{**INCHES, "value": unit}])
    page.reload()
    page.focus("#at_chest")
    assert page.locator(".dock").count() == 0


@pytest.mark.full
def test_the_focus_jumps_only_where_there_is_a_keyboard_and_never_past_the_heading(look_at):
    there = "[document.activeElement.id, scrollY, document.querySelector('h1').getBoundingClientRect().top >= 0]"
    desk = look_at("/piece?way=numbers", {"width": 1280, "height": 1200})
    assert desk.evaluate(there) == ["ref_shoulder_width", 0, True]
    low = look_at("/piece?way=numbers", {"width": 1280, "height": 600})  # the field is below what is seen
    assert low.evaluate(there) == ["", 0, True]
    phone = look_at("/piece?way=numbers", {"width": 390, "height": 2000}, has_touch=True, is_mobile=True)  # nor there
    assert phone.evaluate(there) == ["", 0, True]


@pytest.mark.full
def test_fields_are_as_wide_as_what_goes_in_and_stand_several_in_a_row(look_at):
    page = look_at("/people/new", PHONE)
    chest, waist, name = (page.locator(one).bounding_box() for one in ("#at_chest", "#at_waist", "#name"))
    assert chest["y"] == waist["y"]
    assert name["width"] > 2 * chest["width"]
    desk = look_at("/swatches/new", DESK)
    assert desk.locator("#stitches").bounding_box()["width"] < 180
    assert len({desk.locator(one).bounding_box()["y"] for one in ("#stitches", "#across", "#dial")}) == 1
    small = look_at("/people/new", {"width": 320, "height": 568})
    small.evaluate("document.documentElement.style.fontSize = '32px'")
    assert small.evaluate("document.documentElement.scrollWidth") == 320


@pytest.mark.full
def test_what_it_shall_fit_is_a_list_of_five_with_a_drawing_each(look_at):
    page = look_at("/piece", PHONE)
    five = page.locator(".five button")
    assert five.count() == 5
    assert all(one.bounding_box()["height"] >= 64 and one.locator("svg.pic").count() == 1 for one in five.all())
    desk = look_at("/piece", DESK)
    assert len({one.bounding_box()["y"] for one in desk.locator(".five button").all()}) == 1


@pytest.mark.full
def test_at_letters_of_twice_the_size_a_name_stands_above_its_field_and_not_under_it(look_at):
    for path, field in (("/makes/grey_pullover/points", "#own_chest"), ("/swatches/several", "#machine")):
        page = look_at(path, {"width": 390, "height": 844})
        page.evaluate("document.documentElement.style.fontSize = '32px'")
        name = page.locator(f"label[for={field[1:]}]").first.bounding_box()
        box = page.locator(field).bounding_box()
        assert name["y"] + name["height"] <= box["y"] + 1, path
        assert box["width"] > 300, path
