"""How long pages are on a phone, and what of them is printed.

What is settled is one line that opens, what only explains stands in one fold. On paper nothing is cut at the edge,
nothing can be pressed, and a form says what was typed and chosen.
"""

from __future__ import annotations

import pytest

from tests.browser.conftest import INVENTED, PHONE

PLANNED = "/plan?garment=brown_pullover&fabric=grey_wool_in_oil|standard_bed&table=round_neck_pullover"
ROOMY = 2360
"""What a page may measure so that 2,400 leaves room for a line or two more [CSS px]."""
HIGHEST = {
    "/wardrobe/brown_pullover": ROOMY,  # twelve points; 5,091 with two lines and a fold each
    "/swatches/fabrics?yarn=grey_wool_in_oil&machine=standard_bed": ROOMY,  # 4,278 with every click and chart open
    "/swatches/grey_at_7": ROOMY,  # three stages; 2,421 with two lines of links each
    "/makes/grey_pullover/fabric": ROOMY,  # 4,707; 2,566 with every swatch by itself open
    "/makes/grey_miscounted/fabric": ROOMY,  # 2,537
    "/makes/grey_pullover/sizes?beside=2": ROOMY,  # two sizes open; 2,497 with a line for "narrow"
    "/makes/grey_unwashed": 2200,  # 2,660 with three open points and two open fields
    "/makes/blue_cotton_loose": 2300,  # 2,925
    "/makes/grey_pulled_long": ROOMY,  # 3,076: four points to look at, two deeds, two pieces to choose from
    "/makes/moss_drop_shoulder": ROOMY,  # 3,080: three deeds, what to read before rows come off
    "/swatches": ROOMY,  # five fabrics; 2,956 with the grid of several swatches, which has a page of its own
    "/size-tables/round_neck_pullover": ROOMY,  # 28 rows of 46; 2,912 with its name and printed gauge open
    "/makes/grey_pullover/pieces/back": ROOMY,  # 2,743 with the readings of each of eight points open
    "/settings": 2350,  # 2,548 with the household's name open, 3,271 with what is taken in
    "/makes/grey_pullover/rest/seams": 1900,  # 3,126 with seven seams and the band's runs open
    "/makes/grey_cardigan/rest/seams": 2250,  # 3,895
    "/makes/childs_school_pullover/fits": ROOMY,  # 2,754 with the ease of three points open
    "/makes/grey_pullover/settings": ROOMY,  # 2,679 with every swatch of the household open
    "/makes/grey_pullover/rest": ROOMY,  # 2,674 with two lines a count
    "/makes/blue_cotton_pullover/rest": ROOMY,  # 2,752 with what binds open
    "/makes/rust_pullover/rest/yarn": ROOMY,  # 2,978: six rows, four ways out, two forms of weights
    PLANNED: ROOMY,  # 2,860 with three rulers and the dial's answer open
}
"""Pages of the invented household with what each may measure from top to bottom [CSS px]."""


@pytest.fixture(scope="module")
def household():
    """The invented household."""
    return INVENTED.read_bytes()


@pytest.mark.parametrize(
    "path", [pytest.param(path, marks=[] if path == "/makes/grey_unwashed" else pytest.mark.full) for path in HIGHEST]
)
def test_a_page_is_short_on_a_phone(look_at, path):
    page = look_at(path, PHONE)
    assert page.evaluate("document.documentElement.scrollHeight") <= HIGHEST[path]
    assert page.evaluate("document.documentElement.scrollWidth") == PHONE["width"]


@pytest.mark.full
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


PRINTED = (
    "/wardrobe/brown_pullover",
    "/swatches/fabrics?yarn=grey_wool_in_oil&machine=standard_bed",
    "/makes/grey_pullover/fabric",
    "/makes/grey_unwashed",
    "/settings",
    PLANNED,
    "/makes/grey_pullover/pencil",
    "/piece?piece=back&way=laid",
)
"""Pages of every kind that is printed otherwise than it is shown."""
PRINTED_TOO = (
    "/",
    "/makes/grey_pullover/sizes",
    "/makes/grey_pullover/settings",
    "/makes/grey_pullover/pieces/back",
    "/makes/grey_pullover/points",
    "/size-tables/round_neck_pullover",
    "/swatches",
    "/makes/rust_pullover/sheets/front/machine",
    "/makes/grey_unwashed/walk?round=next",
)
"""Others, of which each has something of those."""
PAST_THE_EDGE = """edge => [...document.querySelectorAll('main *')].filter(one => {
  const box = one.getBoundingClientRect();
  return box.width && box.height && box.right > edge + 1 && !one.closest('svg, .vh');
}).map(one => one.outerHTML.slice(0, 80))"""


@pytest.mark.parametrize(
    "path",
    [PLANNED, *(pytest.param(path, marks=pytest.mark.full) for path in (*PRINTED, *PRINTED_TOO) if path != PLANNED)],
)
def test_on_paper_nothing_is_cut_and_nothing_can_be_pressed(look_at, path):
    page = look_at(path, {"width": 794, "height": 1123})  # A4, which is what a style sheet is asked for in print
    page.emulate_media(media="print")
    page.evaluate("document.querySelector('main').style.width = '688px'")  # 182 mm, between its margins
    box = page.locator("main").bounding_box()
    assert page.evaluate(PAST_THE_EDGE, box["x"] + box["width"]) == []
    pressed = page.locator(
        "button:visible:not([aria-pressed=true]), a.btn:visible, input[type=file]:visible, nav:visible"
    )
    assert pressed.all_inner_texts() == []
    # Nothing chosen stands in the colour of the paper.
    chosen = page.locator(".pick input:checked + span:visible, [aria-pressed=true]:visible, [aria-current]:visible")
    colours = "all => all.map(one => getComputedStyle(one).color)"
    assert set(chosen.evaluate_all(colours)) <= {"rgb(0, 0, 0)"}


BROKEN_WORDS = """() => {
  const found = [], range = document.createRange();
  const nodes = document.createTreeWalker(document.querySelector('main'), NodeFilter.SHOW_TEXT);
  for (let node; (node = nodes.nextNode());) {
    if (node.parentElement.closest('svg, .vh') || !node.parentElement.checkVisibility()) continue;
    for (const word of node.data.matchAll(/[\\p{L}\\d.,]+/gu)) {
      range.setStart(node, word.index);
      range.setEnd(node, word.index + word[0].length);
      if (new Set([...range.getClientRects()].map(box => Math.round(box.top))).size > 1) found.push(word[0]);
    }
  }
  return found;
}"""


@pytest.mark.full
@pytest.mark.parametrize(
    "path", ["/makes/grey_pulled_long", "/makes/grey_pullover/rest", "/makes/rust_pullover/rest/yarn"]
)
def test_in_letters_twice_as_large_no_word_is_broken(look_at, path):
    page = look_at(path, PHONE)
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    assert page.evaluate(BROKEN_WORDS) == []
