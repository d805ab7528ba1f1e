"""The drawing of a make as a file: it opens by itself, in the person's unit and decimal mark."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from fitcheck.store import Store
from webui.app import create_app

from .test_pages_table import Browser

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def browser(tmp_path_factory):
    with Store.open(tmp_path_factory.mktemp("files") / "household.sqlite") as store:
        found = Browser(create_app(store).test_client(), store)
        found.post("/invented")
        yield found


def file_of(browser, path, name, value):
    browser.client.set_cookie(name, value)
    answer = browser.get(path)
    browser.client.delete_cookie(name)
    return answer


def words_of(answer):
    return [one.text for one in ET.fromstring(answer.data).iter(f"{SVG}text")]


def test_the_drawing_of_a_make_comes_as_an_svg_file_with_a_name(browser):
    answer = browser.get("/makes/grey_pullover/drawing.svg")
    assert answer.status_code == 200
    assert answer.mimetype == "image/svg+xml"
    assert answer.headers["Content-Disposition"] == 'inline; filename="grey_pullover-back.svg"'
    root = ET.fromstring(answer.data)
    assert root.tag == f"{SVG}svg"
    assert float(root.get("width")) == 288
    assert "A, chest: 0.7" in " ".join(words_of(answer))
    assert not [one for one in root.iter() if one.get("style") or one.tag == f"{SVG}style"]


def test_unit_mark_piece_and_line_up_are_the_persons(browser):
    inches = file_of(browser, "/makes/grey_pullover/drawing.svg", "unit", "in")
    assert "8 in" in words_of(inches)
    comma = words_of(file_of(browser, "/makes/grey_pullover/drawing.svg", "mark", "comma"))
    assert "53,4" in comma
    assert "53.4" not in comma
    sleeve = browser.get("/makes/grey_cardigan/drawing.svg?piece=left_sleeve&at=hem")
    assert ET.fromstring(sleeve.data).find(f"{SVG}title").text.endswith("lined up at the cuff.")
    assert browser.get("/makes/grey_cardigan/drawing.svg?piece=left_sleeve&at=elbow").status_code == 200


def test_what_is_not_there_or_cannot_be_drawn_is_a_page_that_says_so(browser):
    assert browser.get("/makes/no_such_make/drawing.svg").status_code == 404
    answer = browser.get("/makes/grey_unwashed/drawing.svg?piece=no_such_piece")
    assert answer.status_code == 404
    assert answer.mimetype == "text/html"
