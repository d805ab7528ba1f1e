"""The strip beside a form: a drawing for each point that is typed, lit by rules of style that the catalogue writes."""

from __future__ import annotations

import re

import pytest

from fitcheck.drawing.strip import PIECES, kind_of_point, strip_drawings
from fitcheck.drawing.tapes import key_figures
from fitcheck.records.points import POINTS
from tests.webui.test_pages_wardrobe import Browser
from webui.pages.strip import figures_of, tapes_css

FORMS = (
    "/wardrobe/new",
    "/wardrobe/brown_pullover/measure",
    "/piece",
    "/piece?piece=sleeve&way=ease",
    "/piece?way=both",
    "/makes/grey_pullover/points",
    "/makes/grey_pullover/points?piece=sleeve&how=overhangs",
    "/makes/grey_pullover/fits",
)


@pytest.fixture
def browser(store):
    return Browser(store)


@pytest.mark.parametrize("path", FORMS)
def test_every_point_of_a_form_has_its_place_in_the_strip_and_its_words(browser, path):
    page = browser.get(path)
    assert 'href="/tapes.css"' in page
    fields = set(re.findall(r'class="[^"]*\bat-(\w+)', page))
    hand = re.search(r'<div class="hand.*?</div></div>', page, re.S)[0]
    assert fields == set(re.findall(r'<p class="for-(\w+)" id="tape_\1">', hand))
    assert len(fields) >= 3
    drawn = set(re.findall(r'class="of-(\w+)', hand))
    assert drawn <= fields
    # What has no tape on the drawing has its words alone.
    assert {key for key in fields - drawn if POINTS[key].lies is not None} <= {"armhole_edge", "panel_width"}
    assert set(re.findall(r'aria-describedby="tape_(\w+)', page)) >= fields - (fields if "/fits" in path else set())


def test_the_rules_light_up_the_tape_of_every_point_and_no_other(browser):
    answer = browser.client.get("/tapes.css")
    rules = answer.get_data(as_text=True)
    assert (answer.mimetype, rules) == ("text/css", tapes_css())
    for key in POINTS:
        own = [rule for rule in rules.splitlines() if rule.startswith(f"form:has(.at-{key}:focus-within)")]
        lit = {found for rule in own for found in re.findall(r"\.(?:of|for)-(\w+)", rule)}
        assert lit == {key}
        assert any(f".on-{kind_of_point(key)}{{display:block}}" in rule for rule in own)
        assert any(f".hand .for-{key}{{display:block}}" in rule for rule in own)  # what is said of it
    assert "url(" not in rules
    again = browser.client.get("/tapes.css", headers={"If-None-Match": answer.headers["ETag"]})
    assert again.status_code == 304


def test_discs_stand_within_the_drawing_and_off_one_another():
    for kind, piece in PIECES.items():
        keys = [key for key in POINTS if kind_of_point(key) == kind][:7]
        (drawing,) = strip_drawings(keys, piece=piece, figures=key_figures(keys))
        left, top, width, height = map(float, drawing.box.split())
        discs = [
            tuple(map(float, found)) for found in re.findall(r'cx="([\d.-]+)" cy="([\d.-]+)" r="20"', drawing.inside)
        ]
        assert len(discs) == drawing.inside.count('class="t-key"') > 1
        for x, y in discs:
            assert left + 20 <= x <= left + width - 20
            assert top + 20 <= y <= top + height - 20
        apart = [((x - u) ** 2 + (y - v) ** 2) ** 0.5 for at, (x, y) in enumerate(discs) for u, v in discs[at + 1 :]]
        assert min(apart) >= 40


def test_a_tape_without_a_disc_is_there_only_while_its_field_is_in_hand():
    (drawing,) = strip_drawings(["chest", "waist"], piece="back", figures={"chest": 1})
    assert '<g class="of-chest"><path' in drawing.inside
    assert '<g class="of-waist bare"><path' in drawing.inside
    assert drawing.inside.count("<circle") == 1


def test_points_of_a_garment_are_drawn_on_the_piece_that_has_them():
    drawings = strip_drawings(["chest", "upper_arm", "panel_width"])
    assert [drawing.kind for drawing in drawings] == ["body", "sleeve", "panel"]
    assert ["of-upper_arm" in drawing.inside for drawing in drawings] == [False, True, False]


@pytest.mark.parametrize(
    ("form", "page"),
    [
        ("/makes/grey_pullover/points", "/makes/grey_pullover"),
        ("/makes/grey_pullover/fits", "/makes/grey_pullover"),
        ("/wardrobe/brown_pullover/measure", "/wardrobe/brown_pullover"),
    ],
)
def test_a_point_has_the_same_figure_on_a_form_as_on_the_page_of_its_record(browser, form, page):
    drawn = {key: re.search(rf'id="(?:p|at)-{key}".*?<i[^>]*>(\d+)</i>', browser.get(page), re.S) for key in SHOWN}
    asked = {key: re.search(rf'[ "]at-{key}[ "].*?<i class="key">(\d+)</i>', browser.get(form), re.S) for key in SHOWN}
    assert {key: found[1] for key, found in asked.items()} == {key: found[1] for key, found in drawn.items()}
    assert len({found[1] for found in asked.values()}) == len(SHOWN)


def test_the_points_of_a_sleeve_are_counted_after_those_of_the_body():
    figures = figures_of(["sleeve_length", "chest", "upper_arm", "hem"], there=["neck_width"])
    assert figures == {"chest": 2, "hem": 3, "sleeve_length": 4, "upper_arm": 5}


SHOWN = ("shoulder_width", "chest", "armhole_depth", "to_underarm", "hem", "neck_width")
"""Points that both have."""
