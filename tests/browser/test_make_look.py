"""The page of a make holds its measures: how high it is on a phone, what the first screen shows, how the columns end.

The measures are those of the page's own sample: eight points, of which one differs and one is too close to call.
"""

from __future__ import annotations

import json
import re

import pytest

from tests.browser.conftest import PHONE, ROOT
from tests.browser.test_look_on_pages import measure

ONE_CLOSE = "/makes/one_close"
DEEDS = "/makes/moss_drop_shoulder"
DESK = {"width": 1280, "height": 900}
NARROW = {"width": 320, "height": 700}
HIGHEST = 2400
"""Of the page on a phone, with eight points of which two are open [CSS px]."""
FIRST_SCREEN = 710
"""Where the path ends on a phone, so that it stands on the first screen [CSS px]."""


@pytest.fixture(scope="module")
def household():
    """The invented household as somebody's own, with a make whose hem is right at the edge of what is allowed."""
    home = json.loads((ROOT / "demo_garments" / "household.json").read_bytes())
    home["invented"] = False
    (grey,) = [make for make in home["makes"] if make["id"] == "grey_pullover"]
    close = json.loads(json.dumps({**grey, "id": "one_close", "name": "Grey pullover"}))
    back = close["pieces"][0]
    (blocked,) = [stage for stage in back["stages"] if stage["kind"] == "blocked"]
    blocked["readings"]["hem"] = [{"text": text, "laying": n} for n, text in enumerate(("52.2", "52.0", "52.3"), 1)]
    back["counts"]["hem"] = {"planned": 116, "knitted": 116, "counted": 116}
    close["planned"]["front"]["hem"] = 116
    home["makes"].append(close)
    return json.dumps(home).encode()


def sizes(page, selector):
    """Width and height of everything that a selector finds [CSS px]."""
    boxes = "every => every.map(one => one.getBoundingClientRect()).map(box => [box.width, box.height])"
    return page.eval_on_selector_all(selector, boxes)


def words_of(page, selector):
    """How many words each paragraph has that a selector finds."""
    return page.eval_on_selector_all(selector, "every => every.map(one => one.textContent.trim().split(/\\s+/).length)")


def test_on_a_phone_the_page_is_short_and_the_answer_stands_on_the_first_screen(look_at):
    page = look_at(ONE_CLOSE, PHONE)
    assert page.locator(".opened > li").count() == 2
    assert page.locator(".line").count() == 6
    assert page.evaluate("document.documentElement.scrollHeight") <= HIGHEST
    assert all(high <= 190 for _, high in sizes(page, ".opened > li"))
    for selector in ("h1", ".told", ".btn.main", ".path5"):
        assert page.locator(selector).bounding_box()["y"] < FIRST_SCREEN, selector
    path = page.locator(".path5").bounding_box()
    assert path["y"] + path["height"] <= FIRST_SCREEN
    assert len(page.inner_text("h1")) <= 70
    assert max(words_of(page, ".because")) <= 25
    # What a hand meets is large enough for it.
    assert all(high >= 44 for _, high in sizes(page, ".line > summary"))
    assert all(wide >= 71.5 and high >= 44 for wide, high in sizes(page, ".path5 a"))
    assert all(high >= 48 for _, high in sizes(page, ".answer .btn"))
    # Windows of true size are for where there is room; their letters go with them.
    assert not page.locator(".windows").first.is_visible()
    assert not page.locator(".overlay .d-let").first.is_visible()
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
    assert max(words_of(page, "main p, main li > span")) <= 40


@pytest.mark.full
def test_a_fraction_of_an_inch_is_drawn_as_one_and_copied_as_it_is_typed(look_at):
    page = look_at(ONE_CLOSE, PHONE)
    page.context.add_cookies([{"name": "unit", "value": "in", "url": page.url}])
    page.reload()
    page.evaluate("document.fonts.ready")
    widths = """every => every.map(one => {
        const set = one.getBoundingClientRect().width;
        one.style.font = getComputedStyle(one).font;
        one.style.fontFeatureSettings = one.style.fontVariantNumeric = "normal";
        const plain = one.getBoundingClientRect().width;
        one.removeAttribute("style");
        return set / plain;
    })"""
    narrower = page.locator("main .frac:visible").evaluate_all(widths)
    assert len(narrower) > 10
    assert max(narrower) < 0.8
    assert page.locator("svg tspan.frac").count() > 5
    chest = page.locator("#p-chest .nums").first
    assert "5/8 in narrow" in chest.inner_text().replace("\u00a0", " ")
    page.evaluate("""() => getSelection().selectAllChildren(document.querySelector("#p-chest .nums b"))""")
    assert page.evaluate("getSelection().toString()").replace("\u00a0", " ") == "5/8 in narrow"


@pytest.mark.full
def test_deeds_are_ticked_and_stay_ticked(service, open_page):
    page = open_page(DEEDS, PHONE)
    assert page.locator(".deed").count() == 3
    assert all(high <= 115 for _, high in sizes(page, ".deed-list > ol > li"))
    assert not page.get_by_role("button", name="Keep what is done").is_visible()
    with page.expect_response("**/done*") as kept:
        page.locator(".deed input").nth(1).check()
    assert kept.value.status == 200
    page.reload()
    assert [box.is_checked() for box in page.locator(".deed input").all()] == [False, True, False]
    # A tick that could not be kept is taken back and says so.
    page.route("**/done*", lambda route: route.abort())
    page.locator(".deed input").first.click()
    page.wait_for_selector(".deed-list [role=status]:not([hidden])")
    assert not page.locator(".deed input").first.is_checked()


def test_at_a_desk_the_drawing_is_as_wide_as_the_list_and_both_columns_end_together(look_at):
    page = look_at(ONE_CLOSE, DESK)
    sheet, points = (page.locator(selector).bounding_box() for selector in (".board .sheet", ".board .points"))
    assert sheet["width"] == pytest.approx(points["width"], abs=1)
    assert points["x"] - sheet["x"] - sheet["width"] == pytest.approx(48, abs=1)
    last = page.locator(".points .line").last.bounding_box()
    assert abs(sheet["y"] + sheet["height"] - last["y"] - last["height"]) <= 100
    assert page.locator(".windows figure").count() == 2
    page.emulate_media(media="print")
    wide = [wide for wide, _ in sizes(page, "svg.detail")]
    assert wide == pytest.approx([42 / 25.4 * 96] * 2, abs=0.5)


@pytest.mark.parametrize("path", [ONE_CLOSE, pytest.param(DEEDS, marks=pytest.mark.full)])
def test_at_letters_twice_as_large_nothing_is_wider_than_the_narrowest_phone(look_at, path):
    page = look_at(path, NARROW)
    debugger = page.context.new_cdp_session(page)
    for size in (16, 32):
        debugger.send("Page.setFontSizes", {"fontSizes": {"standard": size, "fixed": size * 13 // 16}})
        assert page.evaluate("getComputedStyle(document.documentElement).fontSize") == f"{size}px"
        of = measure(page, "laidOut")
        assert of["wide"] <= NARROW["width"]
        assert (of["cut"], of["over"], of["labels"]) == ([], [], [])
        assert min(high for high, _ in of["drawn"]) >= 12 - 0.005
    debugger.detach()


@pytest.mark.full
def test_on_paper_a_garment_is_one_sheet_and_the_drawing_of_a_make_is_on_the_first(look_at):
    page = look_at("/wardrobe/brown_pullover", DESK)
    assert page.locator(".line.valued").count() == 12
    assert len(re.findall(rb"/Type\s*/Page\b", page.pdf(prefer_css_page_size=True))) == 1
    page = look_at(ONE_CLOSE, {"width": 688, "height": 1000})  # 182 mm, between the margins of a sheet
    page.emulate_media(media="print")
    overlay = page.locator("svg.overlay").bounding_box()
    assert overlay["y"] + overlay["height"] <= 269 / 25.4 * 96  # what a sheet has between its margins
    assert not page.locator("#drawing .align").is_visible()
    # A table is whole on its sheet, and nothing that was folded is lost.
    breaks = "every => [...new Set(every.map(one => getComputedStyle(one).breakInside))]"
    assert page.eval_on_selector_all("table", breaks) == ["avoid"]
    assert all(high > 0 for _, high in sizes(page, "main details:not(.noprint) > .folded"))


@pytest.mark.full
def test_every_make_fits_and_its_columns_end_together(look_at, untouched, household):
    page = look_at("/", NARROW)
    for make in json.loads(household)["makes"]:
        page.goto(f"{untouched.url}/makes/{make['id']}")
        assert len(page.inner_text("h1")) <= 70, make["id"]
        for width in (320, 390, 720, 1280):
            page.set_viewport_size({"width": width, "height": 844})
            assert page.evaluate("document.documentElement.scrollWidth") <= width, (make["id"], width)
        if page.locator(".opened > li").count() < 3 and page.locator(".line").count() > 3:
            sheet = page.locator(".board .sheet").bounding_box()
            last = page.locator(".points .line").last.bounding_box()
            assert abs(sheet["y"] + sheet["height"] - last["y"] - last["height"]) <= 100, make["id"]
