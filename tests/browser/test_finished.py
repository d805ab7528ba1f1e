"""A finished sweater on a phone and a desk: what is still to be read first, a line for what matches, at every width."""

from __future__ import annotations

import json

import pytest

from tests.browser.conftest import INVENTED, PHONE, SMALL, send
from tests.browser.test_axe import axe, found  # noqa: F401 - a fixture, and what it finds

HUNG, NOT_YET = "/makes/grey_cardigan/finish", "/makes/grey_pullover/finish"
DESK = {"width": 1280, "height": 900}
SEWN = {
    "chest": ["55.0", "55.2"],
    "hem": ["53.3", "53.2"],
    "shoulder_width": ["41.6", "41.5", "41.7"],
    "sleeve_length": ["60.9", "60.8"],
    "upper_arm": ["18.6", "18.5", "18.6"],
}
"""Readings of the cardigan as it is sewn: its sleeve of 58.8 came out 2.1 cm long, all else as wanted."""
FIT = {"chest": "551.7", "hem": "531.7", "shoulder_width": "416.7", "sleeve_length": "588.0", "upper_arm": "185.3"}
"""What was wanted of it [mm]."""


@pytest.fixture(scope="module")
def household():
    """The invented household, in which the cardigan is finished, hung up and read."""
    document = json.loads(INVENTED.read_bytes())
    make = next(make for make in document["makes"] if make["id"] == "grey_cardigan")
    make |= {"finished": "2026-11-28", "became": "cardigan"}
    allowed = {"smaller": "10 mm", "larger": "10 mm"}
    document["garments"].append(
        {
            "id": "cardigan",
            "name": "grey cardigan",
            "open_front": True,
            "knitted": {
                "dial": "7",
                "counts": {"back": {"chest": 126, "hem": 122}},
                "fit": {key: {"wanted": f"{mm} mm", "u": "1.4 mm", **allowed} for key, mm in FIT.items()},
            },
            "occasions": [{"id": "2026-11-28", "on": "2026-11-28", "state": "washed_flat", "readings": SEWN}],
        }
    )
    return json.dumps(document).encode()


@pytest.mark.parametrize("path", [HUNG, pytest.param(NOT_YET, marks=pytest.mark.full)])
@pytest.mark.parametrize(
    "viewport",
    [SMALL, *(pytest.param(wide, marks=pytest.mark.full) for wide in (PHONE, DESK))],
    ids=["320", "390", "1280"],
)
def test_nothing_is_wider_than_the_screen(look_at, path, viewport):
    page = look_at(path, viewport)
    for letters in ("100%", "200%"):
        page.evaluate("size => { document.documentElement.style.fontSize = size }", letters)
        assert page.evaluate("document.documentElement.scrollWidth") == viewport["width"]


def test_what_matches_is_one_line_of_44_px_and_what_is_off_stands_open(look_at):
    page = look_at(HUNG, PHONE)
    assert page.locator("h1").inner_text() == "The sleeve length came out 2.1\N{NO-BREAK SPACE}cm long."
    lines = page.locator(".finish .line:not([open])")
    assert lines.count() == len(SEWN) - 1
    assert {line.locator("summary").bounding_box()["height"] for line in lines.all()} == {44}
    (off,) = page.locator(".finish .line[open]").all()
    assert off.locator("summary").inner_text().split("\n")[1:] == ["Sleeve length", "long", "+2.1"]
    first = page.locator(".to-type").first.bounding_box()["y"]
    assert first < off.bounding_box()["y"] < lines.first.bounding_box()["y"]


@pytest.mark.full
@pytest.mark.parametrize("path", [HUNG, NOT_YET])
def test_fields_and_buttons_are_high_enough_for_a_thumb(look_at, path):
    page = look_at(path, PHONE)
    targets = page.locator("main :is(.btn, .to-type input, .line > summary)")
    low = [box for target in targets.all() if (box := target.bounding_box()) and box["height"] < 44]
    assert targets.count() > 5
    assert low == []


@pytest.mark.full
def test_readings_are_typed_without_a_script_and_come_back_as_verdicts(open_page):
    page = open_page(HUNG, PHONE, java_script_enabled=False)
    page.get_by_label("Cuff, flat").fill("11.2")
    page.get_by_label("Back neck width, seam to seam", exact=True).fill("17.5 1x")
    send(page, "Keep the readings")
    assert "Not taken: 17.5 1x." in page.locator("main").inner_text()
    assert page.get_by_label("Cuff, flat").input_value() == "11.2"
    page.locator("#at_neck_width").fill("17.5 17.6")
    send(page, "Keep the readings")
    assert page.locator("#p-neck_width, #p-cuff").count() == 2
    assert page.locator("#at_cuff").count() == 0


@pytest.mark.full
def test_one_tap_begins_the_next_one_with_its_dial(open_page):
    page = open_page(HUNG, PHONE)
    page.get_by_role("button", name="Start the next one from it").click()
    page.wait_for_url("**/makes/grey_cardigan_with_buttons_2")
    assert page.locator("h1").inner_text() == "Knit the back first: 126 stitches at the chest, at dial 7."


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("path", [HUNG, NOT_YET])
def test_axe_finds_nothing(look_at, axe, path, scheme):  # noqa: F811 - the fixture
    page = look_at(path, PHONE, color_scheme=scheme)
    assert found(page, axe) == []


@pytest.mark.full
def test_on_paper_nothing_can_be_pressed_and_every_point_stands_in_its_line(look_at):
    page = look_at(HUNG, DESK)
    page.emulate_media(media="print")
    assert page.locator(".btn:visible").count() == 0
    assert page.locator(".finish .line summary:visible").count() == len(SEWN)
