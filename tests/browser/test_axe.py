"""axe-core finds nothing on any page, in any state, in light, dark and forced colours.

axe cannot tell how text on a drawing stands out, and does not see how small it is: `../webui/test_look.py` reckons the
contrast from the style sheet, `test_look_on_pages.py` measures the rest on the pages.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.browser.conftest import INVENTED, running
from tests.browser.pages_list import STATES, WALK, Page
from tests.browser.visits import HEIGHT, opened, others, visit
from tests.store.test_unreadable import spoil
from webui.last_page import last_page

AXE = Path(__file__).resolve().parents[2] / ".ci" / "node_modules" / "axe-core" / "axe.min.js"
INSTALL = "npm install --prefix .ci --no-package-lock --no-audit --no-fund"

RUN = """async (only) => {
  const options = {
    resultTypes: ["violations"],
    rules: {"color-contrast-enhanced": {enabled: true}, "target-size": {enabled: true}},
    // The edge of the tape under the bar is a pseudo element; the words of the bar stand above it, not on it.
    checks: Object.fromEntries(
      ["color-contrast", "color-contrast-enhanced"].map(
        id => [id, {options: {...axe._audit.checks[id].options, ignorePseudo: true}}])),
  };
  if (only) options.runOnly = {type: "tag", values: only};
  const found = await axe.run(document, options);
  return found.violations.flatMap(one => one.nodes.map(node => [
    one.id, node.target.join(" "), [...node.any, ...node.all, ...node.none].map(of => of.message).join("; ")]));
}"""
"""Every rule of axe, and two that are off by default: contrast by AAA, and the size of targets (WCAG 2.2, AA)."""
COLOUR = ["cat.color"]
"""axe's rules about colours: the others see no colour scheme."""


@pytest.fixture(scope="session")
def axe():
    """The source of axe-core.

    It is handed over by the browser's debugger (`evaluate`), which the policy of a page does not bind: so the pages are
    looked at under the very policy that they are served with.
    """
    if not AXE.is_file():
        reason = f"axe-core is not here; with npm on this machine: {INSTALL}"
        if os.environ.get("CI"):
            pytest.fail(f"axe must run in CI: {reason}")
        pytest.skip(reason)
    return AXE.read_text("utf-8")


def found(browser_page, axe, only=None):
    """What axe says of a page as it is shown now, a line per finding."""
    if not browser_page.evaluate("'axe' in window"):
        browser_page.evaluate(axe)
    return [" | ".join(one) for one in browser_page.evaluate(RUN, only)]


MODES = {
    "light": (390, {"color_scheme": "light", "forced_colors": "none"}, None),
    "light, on a desk": (1280, {"color_scheme": "light", "forced_colors": "none"}, None),
    "dark": (390, {"color_scheme": "dark", "forced_colors": "none"}, COLOUR),
    "forced colours": (390, {"color_scheme": "light", "forced_colors": "active"}, COLOUR),
}
"""Per mode: width in px, what is emulated, which rules (None: all)."""


@pytest.fixture(
    scope="module",
    params=["one of each kind", pytest.param("every other page", marks=[pytest.mark.full, pytest.mark.long])],
)
def looked_at(request, axe, demo, bare):
    """The pages that are looked at, with the address of their service: a few that show everything, and all others.

    They are chosen only where axe is: that takes a while.
    """
    one_of_each_kind = request.getfixturevalue("one_of_each_kind")
    return one_of_each_kind if request.param == "one of each kind" else others(demo, bare, one_of_each_kind)


@pytest.fixture(scope="module")
def findings(axe, chromium, looked_at):
    """What axe says of every page, per mode. Each page is loaded once and shown in one mode after another."""
    said = {mode: [] for mode in MODES}
    with opened(chromium, 390) as page:
        for url, one in looked_at:
            visit(page, url, one)
            for mode, (width, emulated, only) in MODES.items():
                page.set_viewport_size({"width": width, "height": HEIGHT})
                page.emulate_media(**emulated)
                said[mode] += [f"{one}: {fault}" for fault in found(page, axe, only)]
    return said


@pytest.mark.parametrize("mode", MODES)
def test_axe_finds_nothing_on_any_page(findings, mode):
    assert findings[mode] == []


def test_axe_finds_nothing_where_no_script_runs(axe, chromium, demo):
    # The walk is another page without its script; the scripts are held back, so that axe itself can run.
    faults = []
    with opened(chromium, 390) as page:
        page.route("**/static/*.js", lambda route: route.abort())
        for one in (
            Page(WALK),
            Page("/makes/grey_pullover/walk?how=overhang"),
            *(one for one in STATES if "walk" in one.path),
        ):
            if not one.clicks:
                visit(page, demo.url, one)
                faults += [f"{one}: {fault}" for fault in found(page, axe)]
    assert faults == []


TYPED = {"name": "Blue jumper", "at_chest": "52.4 52.1", "state": "washed_flat"}
MODES_OF_FAULTS = ({"color_scheme": "light"}, {"color_scheme": "dark"})


def faults_on(page, axe):
    """What axe says of a page of a fault by day and by night, and whether it is wider than the narrowest phone."""
    said = []
    for emulated in MODES_OF_FAULTS:
        page.emulate_media(**emulated)
        said += found(page, axe)
    wide = page.evaluate("document.documentElement.scrollWidth") > 320
    return [*said, "wider than the screen"] if wide else said


@pytest.mark.full
def test_axe_finds_nothing_where_a_record_cannot_be_read_the_database_is_gone_or_everything_failed(
    axe, chromium, services, tmp_path
):
    path = tmp_path / "fitcheck.db"
    with running(services, path, INVENTED.read_bytes()) as service, opened(chromium, 320) as page:
        spoil(path, "yarns", "blue_cotton", revisions=True)
        spoil(path, "garments", "ochre_pullover")
        faults = {}
        for at in ("/unreadable/yarns/blue_cotton", "/wardrobe/ochre_pullover", "/makes/blue_cotton_pullover"):
            visit(page, service.url, Page(at, status=409))
            faults[at] = faults_on(page, axe)
        visit(page, service.url, Page("/no/such/page", status=404))
        faults["no such page"] = faults_on(page, axe)
        path.rename(path.with_name("away.db"))
        visit(page, service.url, Page("/wardrobe/new", TYPED, 503))
        faults["taken away"] = faults_on(page, axe)
        page.route("**/everything-failed", lambda route: route.fulfill(status=500, body=last_page().data))
        visit(page, service.url, Page("/everything-failed", status=500))
        assert page.inner_text("h1") == "That did not work."
        faults["everything failed"] = faults_on(page, axe)
    assert {at: said for at, said in faults.items() if said} == {}


@pytest.mark.parametrize(
    ("selector", "change", "rule"),
    [
        ("label[for=own_chest]", "one => one.remove()", "label"),
        ("html", "one => one.removeAttribute('lang')", "html-has-lang"),
        ("h1", "one => { one.style.color = '#888' }", "color-contrast-enhanced"),
        (".btn.main", "one => { one.style.cssText = 'color:#777;background:#888' }", "color-contrast"),
    ],
)
def test_axe_sees_what_is_taken_from_a_page(axe, chromium, demo, selector, change, rule):
    with opened(chromium, 390) as page:
        visit(page, demo.url, Page("/piece"))
        page.eval_on_selector(selector, change)
        assert any(fault.startswith(f"{rule} |") for fault in found(page, axe))
