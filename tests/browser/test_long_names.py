"""Names without a space, as long as they may be: no page that lists them is wider than the screen."""

from __future__ import annotations

import pytest

from tests.browser.conftest import SMALL

LONG = "n" * 300
AT = ("/", "/makes", "/makes/m", "/makes/m/settings", "/makes/m/fabric", "/swatches", "/size-tables", "/wardrobe/g")


@pytest.fixture
def household():
    occasion = {"id": "may", "readings": {"chest": "54", "shoulder_width": "41"}}
    across = [{"kind": "blocked", "across": "16.6"}]
    sizes = [{"name": "M", "pieces": {"back": {"chest": {"count": 116}}}}]
    return {
        "fitcheck": 4,
        "unit": "cm",
        "garments": [{"id": "g", "name": LONG, "occasions": [occasion]}],
        "swatches": [{"id": "s", "name": LONG, "dial": "7", "stitches": {"count": 36}, "stages": across}],
        "size_tables": [{"id": "t", "name": LONG, "sizes": sizes}],
        "makes": [{"id": "m", "name": LONG, "fits": {"garment": "g", "occasion": "may"}, "swatches": ["s"]}],
    }


@pytest.mark.full
def test_a_name_as_long_as_it_may_be_makes_no_page_wider_than_the_narrowest_phone(open_page, service):
    page = open_page("/", SMALL)
    wide = []
    for path in AT:
        page.goto(service.url + path)
        page.evaluate("document.querySelectorAll('details').forEach(folded => { folded.open = true })")
        if page.evaluate("document.documentElement.scrollWidth") > SMALL["width"]:
            wide.append(path)
    assert wide == []
