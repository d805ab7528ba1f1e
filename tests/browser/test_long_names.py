"""Names without a space and with many, as long as they may be: no page is wider for them, no text lies on another."""

from __future__ import annotations

import json

import pytest

from tests.browser.conftest import INVENTED, SMALL
from tests.browser.test_look_on_pages import measure
from tests.browser.visits import OPEN

LONG = "n" * 300
WORDS = "the lovingly knitted Sunday pullover with pockets and a hood for great-grandmother"
AT = (
    "/",
    "/makes",
    "/makes/grey_pullover",
    "/makes/grey_pullover/settings",
    "/makes/grey_pullover/fabric",
    "/swatches",
    "/size-tables",
    "/wardrobe",
    "/wardrobe/brown_pullover",
    "/people",
    "/people/ines",
)


@pytest.fixture(scope="module")
def household():
    """The invented one, with such names in turn."""
    home = json.loads(INVENTED.read_bytes())
    for kind in ("makes", "garments", "wearers", "yarns", "machines", "swatches", "size_tables"):
        for number, record in enumerate(home[kind]):
            record["name"] = f"{WORDS} {number}" if number % 2 else LONG
    return json.dumps(home).encode()


@pytest.mark.full
@pytest.mark.parametrize("width", [SMALL["width"], 1280])
def test_no_page_is_wider_or_overlaid_for_names_as_long_as_they_may_be(look_at, untouched, width):
    page = look_at("/", {**SMALL, "width": width})
    found = []
    for path in AT:
        page.goto(untouched.url + path)
        page.evaluate(OPEN)
        of = measure(page, "laidOut")
        found += [(path, of["wide"])] if of["wide"] > width else []
        found += [(path, one) for one in (*of["over"], *of["cut"])]
    assert found == []
