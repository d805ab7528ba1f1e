"""Nothing moves for who asks for less motion: no transition, no animation, no scrolling that glides.

Pages that together have every style sheet and every script are opened as such a browser does, their folds opened, and
used with the keyboard; what a script would have glide is noted.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.browser.conftest import ROOT
from tests.browser.pages_list import WALK, Page
from tests.browser.test_look_on_pages import measure
from tests.browser.visits import opened, visit

NOTED = """
window.moved = [];
for (const of of [Element.prototype, window])
  for (const name of ['scrollIntoView', 'scrollTo', 'scrollBy', 'scroll', 'animate']) {
    const own = of[name];
    if (own) of[name] = function (...given) {
      if (name === 'animate' || given[0]?.behavior === 'smooth') moved.push(name);
      return own.apply(this, given);
    };
  }"""
"""Notes what a script has glide, before any script of the page is there."""
TABLE = "/size-tables/round_neck_pullover"
PAGES = (
    Page("/"),
    Page("/makes/grey_pullover"),
    Page("/makes/grey_pullover/finish"),
    Page("/makes/grey_pullover/fits"),
    Page("/makes/grey_pullover/pieces/back"),
    Page("/makes/grey_pullover/rest"),
    Page("/makes/grey_pullover/rest/seams"),
    Page("/makes/grey_pullover/sheets/front"),
    Page("/makes/grey_pullover/sizes"),
    Page("/makes/rust_pullover/sheets/front/machine", clicks=("#top button:nth-child(2)",)),
    Page(WALK, clicks=("#more",)),
    Page(TABLE, clicks=(".grid-table .cell input >> nth=4",)),
    Page("/settings"),
)
ELSEWHERE = {"api.css", "pair.css", "pair.js"}
"""Of the API's page and of pairing, which show one form."""


@pytest.fixture
def still(chromium):
    """A browser page whose person asks for less motion; inches have a dock for their marks."""
    with opened(chromium, 390, "in", reduced_motion="reduce") as browser_page:
        browser_page.add_init_script(NOTED)
        yield browser_page


@pytest.mark.full
def test_nothing_moves_for_who_asks_for_less_motion(still, demo):
    loaded, found = set(), []
    still.on("request", lambda request: loaded.add(request.url.rpartition("/")[2]))
    for page in PAGES:
        visit(still, demo.url, page)
        for _ in range(4):
            still.keyboard.press("Tab")
        found += [f"{page}: {moving}" for moving in measure(still, "moving")]
    assert still.evaluate("matchMedia('(prefers-reduced-motion: reduce)').matches")
    assert found == []
    there = {path.name for path in Path(ROOT, "webui", "static").iterdir() if re.search(r"[.](css|js)$", path.name)}
    assert there - loaded == ELSEWHERE


@pytest.mark.full
def test_what_would_move_is_seen(still, demo):
    visit(still, demo.url, Page("/makes/grey_pullover"))
    for spoilt in (
        "document.querySelector('h1').scrollIntoView({behavior: 'smooth'})",
        "scrollTo({top: 200, behavior: 'smooth'})",
        "document.querySelector('h1').animate([{opacity: 0}, {opacity: 1}], 2000)",
        "document.querySelector('h1').style.transition = 'color 1s'",
        "document.documentElement.style.scrollBehavior = 'smooth'",
    ):
        seen = len(measure(still, "moving"))
        still.evaluate(f"() => {{ {spoilt}; }}")
        assert len(measure(still, "moving")) > seen, spoilt
