"""The sheet of a piece on paper: its measures, what stands on every page, and the piece knitted from its PDF alone."""

from __future__ import annotations

import hashlib
import json
from datetime import datetime
from itertools import pairwise

import pytest

from fitcheck.knitting.counts import Choices, Fabric, SleeveCounts
from fitcheck.knitting.lines import Sheet
from fitcheck.knitting.pieces import plan_piece
from fitcheck.knitting.plan import Plan
from fitcheck.knitting.sheet import sheet
from fitcheck.words.dates import write_day
from tests.browser.conftest import INVENTED, send
from tests.knitting.words_knitter import knit
from tests.pdf_text import Pdf

MM = 96 / 25.4
PT = 96 / 72
FRONT = "/makes/grey_pullover/sheets/front"
SHEETS = {
    "front": FRONT,
    "begun front": "/makes/rust_pullover/sheets/front",
    "sleeve": "/makes/grey_pullover/sheets/sleeve",
    "drop shoulder": "/makes/moss_drop_shoulder/sheets/front",
    "half front": "/makes/grey_cardigan/sheets/right_front",
    "raglan": "/makes/moss_raglan/sheets/front",
    "raglan sleeve": "/makes/moss_raglan/sheets/sleeve",
    "two bands": "/makes/grey_cardigan/sheets/front_band",
    "longer than a page": "/makes/blue_cotton_pullover/sheets/sleeve",
}
HEIGHT_MM = 297 - 15 - 10 - 9
"""What a page holds under its head."""
MEASURED = """(selector) => [...document.querySelectorAll(selector)].map((element) => {
    const box = element.getBoundingClientRect(), style = getComputedStyle(element);
    return [box.width, box.height, parseFloat(style.fontSize)];
})"""
FABRIC = Fabric(4.48, 3.15)


def in_turns() -> Sheet:
    """A sleeve that is widened at one edge after the other: an act a line, more of them than a page holds."""
    plan = plan_piece("sleeve", SleeveCounts(52, 92, 116, FABRIC), Choices(increase="edge"), "drop_shoulder")
    assert isinstance(plan, Plan)
    return sheet(plan, rib_rows=20)


LONG = in_turns().to_json()


@pytest.fixture(scope="module")
def household() -> bytes:
    """The invented household, with one of its makes again as a raglan, and that long sheet begun in another."""
    document = json.loads(INVENTED.read_bytes())
    makes = {make["id"]: make for make in document["makes"]}
    sleeve = {"cuff": 52, "upper_arm": 82, "sleeve_length": 190}
    moss = makes["moss_drop_shoulder"]
    raglan = {**moss, "id": "moss_raglan", "construction": "raglan", "planned": {**moss["planned"], "sleeve": sleeve}}
    makes["blue_cotton_pullover"]["sheets"] = [
        {
            "id": "sleeve-1",
            "piece": "sleeve",
            "number": 1,
            "stitch_mm": FABRIC.w,
            "row_mm": FABRIC.h,
            "digest": hashlib.sha256(LONG.encode()).hexdigest(),
            "at": "2026-11-30T20:00:00Z",
            "sheet": json.loads(LONG),
        }
    ]
    return json.dumps({**document, "makes": [*makes.values(), raglan]}).encode()


def printed(page) -> Pdf:
    page.evaluate("document.fonts.ready")
    return Pdf(page.pdf(prefer_css_page_size=True))


def on_paper(page):
    """A page laid out as it is printed: as wide as between the margins."""
    page.emulate_media(media="print")
    page.evaluate("document.querySelector('main').style.width = '182mm'")
    page.evaluate("document.fonts.ready")
    return page


def columns(page) -> list[float]:
    text = page.locator(".act").first.evaluate("element => getComputedStyle(element).gridTemplateColumns")
    return [float(column.removesuffix("px")) / MM for column in text.split()]


def test_letters_lines_boxes_and_columns_have_their_measures(look_at):
    page = on_paper(look_at(FRONT, viewport={"width": 794, "height": 1000}))
    assert columns(page) == pytest.approx([6, 16, 25.5, 182 - 6 - 16 - 25.5 - 27 - 13 - 5 * 2.5, 27, 13], abs=0.05)
    acts = page.evaluate(MEASURED, ".act")
    assert len(acts) > 30
    assert min(height for _, height, _ in acts) >= 9 * MM
    for selector in (".box", ".tick"):
        boxes = page.evaluate(MEASURED, selector)
        assert {(round(wide / MM, 1), round(high / MM, 1)) for wide, high, _ in boxes} == {(6.0, 6.0)}
    for selector, points in ((".at", 22), (".do", 16), (".note-l", 12)):
        assert {round(letters / PT, 1) for *_, letters in page.evaluate(MEASURED, selector)} == {points}
    assert min(letter.height for letter in printed(page).letters()) > 8.95  # 9 pt, the drawing's too
    assert max(high for _, high, _ in page.evaluate(MEASURED, ".part")) < HEIGHT_MM * MM


@pytest.mark.full
def test_a_bar_of_100_mm_and_the_piece_at_1_to_10_stand_on_it_and_nothing_that_is_pressed(look_at):
    page = on_paper(look_at(FRONT, viewport={"width": 794, "height": 1000}))
    bar = page.locator(".bar-line").evaluate("element => element.getBBox().width * element.getCTM().a")
    assert bar == pytest.approx(100 * MM, abs=0.3)
    drawing = page.locator(".piece-draw")
    assert drawing.bounding_box()["width"] == pytest.approx(100 * MM, abs=1)
    assert page.locator(".knit svg").count() > 30
    for pressed in page.locator("button, .btn, .ask-count, nav, h1").all():
        assert not pressed.is_visible()


@pytest.mark.full
def test_every_page_has_the_head_and_its_number_and_begins_with_a_part(look_at):
    make = next(make for make in json.loads(INVENTED.read_bytes())["makes"] if make["id"] == "rust_pullover")
    begun = datetime.fromisoformat(make["sheets"][0]["at"])
    pages = printed(look_at(SHEETS["begun front"])).rows_of_pages()
    assert len(pages) == 3
    for number, rows in enumerate(pages, 1):
        assert rows[0] == [f"{number} of 3"]
        assert rows[1] == ["Front", make["name"], f"revision 1, {write_day(begun.date())}"]
    assert begins_with_a_part(pages)


@pytest.mark.parametrize(
    "which", [pytest.param(which, marks=[pytest.mark.full] if which != "front" else []) for which in SHEETS]
)
def test_a_sheet_is_knitted_from_the_text_of_its_pdf_and_ends_as_planned(look_at, which):
    page = look_at(SHEETS[which])
    data = page.request.get(page.url.replace("/makes", "/api/v1/makes", 1)).json()["answer"]
    if which == "longer than a page":
        data = json.loads(LONG)
    pages = printed(page).rows_of_pages()
    paper = [cells for rows in pages for cells in rows]
    knitted = knit(paper)
    assert knitted.troubles == []
    assert sorted(stitches for _, stitches in knitted.off) == sorted(data["ends"].values())
    assert knitted.acts == len(data["lines"])
    assert knitted.rows == data["head"]["rows"]
    # A page breaks between parts, or between acts where a part is longer than a page; no act is split.
    assert which == "longer than a page" or begins_with_a_part(pages)
    assert sum(len(boxes_of(rows)) for rows in pages) == len(boxes_of(paper))


def begins_with_a_part(pages: list[list[list[str]]]) -> bool:
    """Whether every page after the first goes on with a part, or with what the words mean."""
    heads = [rows[2] for rows in pages[1:]]
    return all(
        (head[0].isdigit() and "counter from" in head[-1]) or head == ["The words on this sheet"] for head in heads
    )


def boxes_of(rows: list[list[str]]) -> list[list[str]]:
    """Rows of counters over boxes that follow the sentence of their act at once."""
    return [boxes for act, boxes in pairwise(rows) if ", then " in " ".join(act) and boxes[0].isdigit()]


@pytest.mark.full
def test_print_begins_the_sheet_and_prints_it_once(open_page):
    page = open_page(FRONT)
    page.add_init_script("window.printed = 0; window.print = () => { window.printed += 1; };")
    send(page, "Print the sheet")
    page.wait_for_function("() => window.printed === 1")
    assert page.evaluate("location.href").endswith(FRONT)
    assert "Revision 1" in page.locator(".where").inner_text()
    page.reload()
    page.wait_for_timeout(300)
    assert page.evaluate("window.printed") == 0
    # Printed again it is the same sheet.
    send(page, "Print the sheet")
    page.wait_for_function("() => window.printed === 1")
    assert "Revision 1" in page.locator(".where").inner_text()


@pytest.mark.full
def test_without_scripts_print_begins_the_sheet_and_asks_for_the_page_to_be_printed(open_page):
    page = open_page(FRONT, java_script_enabled=False)
    send(page, "Print the sheet")
    assert "Print this page." in page.locator(".strip[role=status]").first.inner_text()
    assert "Revision 1" in page.locator(".where").inner_text()
