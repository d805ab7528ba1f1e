"""The look measured on every page as Chromium lays it out: text, targets, room, focus, forced colours, grey.

Each page is loaded once in each unit, with everything that is folded opened; a test then reads what was measured there.
README's line looks at five pages on the narrowest phone; `full` at one page of each kind, `long` at every other page,
at all widths.
"""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise
from pathlib import Path

import pytest

from tests.browser.conftest import FLAGS, browser_here
from tests.browser.pages_list import WALK, Page
from tests.browser.visits import HEIGHT, every, opened, others, visit

QUICK = {"cm": (320,)}
"""Per unit the widths that README's line looks at a page in [CSS px].

A page in a 1280 px window at 400 % is 320 px wide: WCAG 2.2, 1.4.10.
"""
FIVE = ("/", "/makes/grey_pullover", "/makes/grey_pullover/fits", "/swatches", WALK)
"""Pages of the demo that README's line looks at: the Table, the answer, one of its forms, the swatch book, the walk."""
IN_CI = {"cm": (320, 1280, 390), "in": (390,)}
WIDTHS = {"cm": (320, 1280, 390), "in": (390, 1280)}
"""Per unit the widths under `full` and `long`; in inches only where something is drawn."""
SETTINGS = {f"{width} {unit}": width for unit, widths in WIDTHS.items() for width in widths}
LARGE = {width: f"{width} cm, text of 200 %" for width in (1280, 390)}
"""Settings in which a page is looked at in letters twice as large too."""


SYSTEM = ["CanvasText", "Canvas", "GrayText", "Highlight", "HighlightText", "LinkText", "ButtonText", "ButtonFace"]
"""Colours of the system that forced colours leave."""
MEASURE = Path(__file__).with_name("measure.js").read_text("utf-8")


def measure(browser_page, what, *given):
    """Measure something of a page as it is now shown, with one of the functions of `measure.js`."""
    return browser_page.evaluate(f"given => {{ {MEASURE}; return measure.{what}(...given); }}", list(given))


@pytest.fixture(
    scope="module",
    params=[
        "five pages",
        pytest.param("one of each kind", marks=pytest.mark.full),
        pytest.param("every other page", marks=[pytest.mark.full, pytest.mark.long]),
    ],
)
def look(request, demo, bare):
    """The pages that are looked at, and at which widths."""
    if request.param == "five pages":
        return [(demo.url, Page(path)) for path in FIVE], QUICK
    one_of_each_kind = request.getfixturevalue("one_of_each_kind")
    if request.param == "one of each kind":
        return one_of_each_kind, IN_CI
    return others(demo, bare, one_of_each_kind), WIDTHS


@pytest.fixture(scope="module")
def measured(chromium, look):
    """What Chromium laid out: setting -> (page, measures), for every page, loaded once in each unit.

    What is seen with the keyboard and in forced colours is looked at in centimetres, at the last width.
    """
    pages, of_unit = look
    found = defaultdict(list)
    drawn = set()
    for unit, widths in of_unit.items():
        with opened(chromium, widths[0], unit) as browser_page:
            for url, page in pages:
                if unit == "in" and (url, page.path) not in drawn:
                    continue
                visit(browser_page, url, page)
                for width in widths:
                    browser_page.set_viewport_size({"width": width, "height": HEIGHT})
                    of = measure(browser_page, "laidOut")
                    found[f"{width} {unit}"].append((page, of))
                    if of["drawn"]:
                        drawn.add((url, page.path))
                    if unit == "cm" and width in LARGE:
                        found[LARGE[width]].append((page, measured_large(browser_page)))
                if unit == "cm":
                    of["focus"] = measure(browser_page, "focused")
                    browser_page.emulate_media(forced_colors="active")
                    of["unseen"], of["signs"] = measure(browser_page, "forced", SYSTEM), measure(browser_page, "signs")
                    of["focus in forced colours"] = measure(browser_page, "focused")
                    browser_page.emulate_media(forced_colors="none")
    return found


def measured_large(browser_page):
    """What is laid out where the browser's own size of text is twice the usual 16 px (WCAG 2.2, 1.4.4)."""
    debugger = browser_page.context.new_cdp_session(browser_page)
    for size in (32, 16):
        debugger.send("Page.setFontSizes", {"fontSizes": {"standard": size, "fixed": size * 13 // 16}})
        assert browser_page.evaluate("getComputedStyle(document.documentElement).fontSize") == f"{size}px"
        if size == 32:
            of = measure(browser_page, "laidOut")
    debugger.detach()
    return of


def faults(measured, kind, settings=SETTINGS):
    """Everything of one kind that was found, with where."""
    return [
        f"{page}, {setting}: {one}"
        for setting in settings
        for page, of in measured[setting]
        for one in of.get(kind, ())
    ]


def small(measured, kind, least, settings):
    """Texts under a size in px, with where."""
    return [
        f"{page}, {setting}: {size:.2f} px: {said}"
        for setting in settings
        for page, of in measured[setting]
        for size, said in of[kind]
        if size < least - 0.005  # a viewBox of 288 in 288 px has scale 1 but for the last digits
    ]


def test_text_in_drawings_is_12_px_at_320_and_never_under_11_and_a_half(measured):
    assert small(measured, "drawn", 12, ["320 cm"]) == []
    assert small(measured, "drawn", 11.5, SETTINGS) == []


def test_text_is_12_px_on_a_phone_and_never_under_11_and_a_half(measured):
    assert small(measured, "read", 12, ["320 cm", "390 cm", "390 in"]) == []
    assert small(measured, "read", 11.5, SETTINGS) == []


def test_labels_of_a_drawing_do_not_meet(measured):
    assert faults(measured, "labels") == []


def test_no_page_scrolls_sideways_even_at_400_percent(measured):
    assert [
        f"{page}, {setting}: {of['wide']} px"
        for setting, width in SETTINGS.items()
        for page, of in measured[setting]
        if of["wide"] > width
    ] == []


def test_nothing_is_cut_off_and_nothing_lies_on_something_else(measured):
    assert faults(measured, "cut") == []
    assert faults(measured, "over") == []


def test_fields_beside_one_another_stand_at_one_height_and_fill_their_columns(measured):
    assert faults(measured, "uneven") == []


def test_only_what_can_be_followed_is_underlined(measured):
    assert faults(measured, "dressed") == []


def test_nothing_moves(measured):
    # So whoever asks for less motion has it already.
    assert faults(measured, "moves") == []


def too_small(targets, least=24):
    """Targets smaller than the least and not spaced either (WCAG 2.2, 2.5.8: a circle of 24 px round each is free)."""
    found = []
    for one in targets:
        if one["wide"] >= least - 0.01 and one["high"] >= least - 0.01:
            continue
        for other in targets:
            if other is one:
                continue
            across = max(other["left"] - one["x"], one["x"] - other["right"], 0)
            down = max(other["top"] - one["y"], one["y"] - other["bottom"], 0)
            if across**2 + down**2 < (least / 2) ** 2:
                found.append(f"{one['said']}: {one['wide']:.1f} x {one['high']:.1f} px")
                break
    return found


def test_the_rule_of_targets_sees_a_small_one_beside_another_and_leaves_a_lonely_one():
    def target(x, y, wide, high):
        return {"said": "", "wide": wide, "high": high, "x": x, "y": y, "left": x - wide / 2, "right": x + wide / 2,
                "top": y - high / 2, "bottom": y + high / 2}  # fmt: skip

    assert too_small([target(0, 0, 40, 18), target(0, 20, 40, 18)]) != []
    assert too_small([target(0, 0, 40, 18), target(0, 60, 40, 18)]) == []
    assert too_small([target(0, 0, 24, 24), target(0, 24, 24, 24)]) == []


def test_targets_are_24_px_in_both_directions_or_stand_alone(measured):
    assert [
        f"{page}, {setting}: {one}"
        for setting in SETTINGS
        for page, of in measured[setting]
        for one in too_small(of["targets"])
    ] == []


def test_what_is_measured_is_not_nothing(measured, look, request):
    pages, of_unit = look
    one_of_each_kind = None if of_unit is QUICK else request.getfixturevalue("one_of_each_kind")
    for setting in (f"{width} {unit}" for unit, widths in of_unit.items() for width in widths):
        assert measured[setting]
        assert all(of["read"] and of["targets"] for _, of in measured[setting])
        if pages is one_of_each_kind:
            assert sum(len(of["drawn"]) for _, of in measured[setting]) > 500
    seen = measured[f"{of_unit['cm'][-1]} cm"]
    assert len(seen) == len(pages)
    assert all(of.keys() >= {"focus", "focus in forced colours", "unseen", "signs"} for _, of in seen)
    for width in LARGE.keys() & of_unit["cm"]:
        assert len(measured[LARGE[width]]) == len(pages)
    if pages is one_of_each_kind:
        assert sum(of["fields"] for _, of in measured["1280 cm"]) > 100
        words = {word for _, of in seen for word, _ in of["signs"]}
        assert {"matches", "differs", "too close to call", "cannot say"} <= words


# 200 % text


def is_too_large(page, of):
    """What of a page at a size of text is cut off, lies on something else, or is wider than the window."""
    return [
        *(f"{page}: {one}" for one in (*of["cut"], *of["over"])),
        *([f"{page}: {of['wide']} px wide"] if of["wide"] > 1280 else []),
    ]


def test_text_of_200_percent_is_neither_cut_off_nor_overlapping_nor_sideways(measured):
    assert [one for page, of in measured[LARGE[1280]] for one in is_too_large(page, of)] == []


@pytest.mark.full
@pytest.mark.long
def test_text_of_200_percent_from_the_start_is_the_same(chromium, demo, bare):
    # As somebody sets it: the browser has that size of text before it loads a page.
    found = []
    flags = [*FLAGS, "--blink-settings=defaultFontSize=32"]
    large = chromium.browser_type.launch(executable_path=browser_here(), args=flags)
    with opened(large, 1280) as browser_page:
        for url, page in every(demo, bare):
            visit(browser_page, url, page)
            assert browser_page.evaluate("getComputedStyle(document.documentElement).fontSize") == "32px"
            found += is_too_large(page, measure(browser_page, "laidOut"))
    large.close()
    assert found == []


def test_text_of_200_percent_makes_no_page_wider_than_a_phone(measured):
    assert [f"{page}: {of['wide']} px" for page, of in measured[LARGE[390]] if of["wide"] > 390] == []


# Forced colours, grey


def test_forced_colours_leave_every_line_and_every_choice_to_be_seen(measured):
    assert faults(measured, "unseen") == []


def test_the_signs_of_verdicts_differ_in_form_so_that_grey_and_forced_colours_lose_nothing(measured):
    forms = defaultdict(set)
    for setting in SETTINGS:
        for _, of in measured[setting]:
            for word, form in of.get("signs", ()):
                forms[word].add(form)
    # Two words for the same sign: right at the edge of what is allowed, and more tape would tell or would not.
    forms["too close to call"] |= forms.pop("right at the edge", set())
    # And two things: a point that matches, and edges that join, with ease or without.
    for word in [word for word in forms if word == "fits" or word.startswith("eases ")]:
        forms["matches"] |= forms.pop(word)
    for word, of in forms.items():
        for other in set(forms) - {word}:
            assert not of & forms[other], (word, other)


def test_whatever_takes_the_focus_shows_it(measured):
    assert faults(measured, "focus") == []
    assert faults(measured, "focus in forced colours") == []


@pytest.mark.parametrize(
    "path",
    ["/", *(pytest.param(path, marks=pytest.mark.full) for path in ("/makes/grey_pullover", WALK, "/piece", "/plan"))],
)
def test_the_tab_key_reaches_everything_in_the_order_of_the_page_and_is_never_caught(chromium, demo, path):
    with opened(chromium, 390) as browser_page:
        visit(browser_page, demo.url, Page(path))
        there = browser_page.evaluate(
            '[...document.querySelectorAll("a[href], button, input:not([type=hidden], [type=radio]), select, summary,'
            " textarea, [tabindex='0']\")].filter(one => one.checkVisibility({visibilityProperty: true})"
            " && one.tabIndex >= 0).length"
        )
        # Where the focus begins is the page's choice; round the page it comes back there.
        reached = []
        for _ in range(2 * there + 80):
            browser_page.keyboard.press("Tab")
            one = measure(browser_page, "inHand")
            if reached and one == reached[0]:
                break
            reached += [one] if one else []
        assert len({said + str(top) for said, top in reached}) >= there
        # Down the page but for the one jump from its end to its beginning; things in one row may lie a little higher.
        back = [(one, two) for one, two in pairwise([*reached, reached[0]]) if two[1] < one[1] - 60]
        assert len(back) == 1, back


# The measures themselves

SPOILT = {
    "drawn": ("svg text", "font-size: 6px", lambda of: min(size for size, _ in of["drawn"]) < 11.5),
    "read": ("h1", "font-size: 10px", lambda of: min(size for size, _ in of["read"]) < 11.5),
    "cut": ("h1", "white-space: nowrap; width: 20px; margin-left: 200px", lambda of: of["cut"]),
    "hidden": ("h1", "height: 10px; overflow: hidden", lambda of: of["cut"]),
    "over": ("h1", "margin-bottom: -60px", lambda of: of["over"]),
    "wide": ("main", "min-width: 500px", lambda of: of["wide"] > 390),
    "moves": (".btn", "transition: color 1s", lambda of: of["moves"]),
    "dressed": ("h1", "text-decoration: underline", lambda of: of["dressed"]),
    "targets": (".units button", "min-width: 0; width: 10px; padding: 0", lambda of: too_small(of["targets"])),
}


@pytest.mark.full
def test_the_measures_see_what_is_spoilt(chromium, demo):
    with opened(chromium, 390) as browser_page:
        visit(browser_page, demo.url, Page("/makes/grey_pullover"))
        for what, (selector, style, seen) in SPOILT.items():
            assert not seen(measure(browser_page, "laidOut")), what
            spoilt = browser_page.locator(selector)
            was = spoilt.evaluate_all("every => every.map(one => one.style.cssText)")
            spoilt.evaluate_all(f"every => every.forEach(one => {{ one.style.cssText += '; {style}' }})")
            assert seen(measure(browser_page, "laidOut")), what
            spoilt.evaluate_all("(every, was) => every.forEach((one, at) => { one.style.cssText = was[at] })", was)


@pytest.mark.full
def test_labels_that_are_moved_onto_one_another_are_seen(chromium, demo):
    with opened(chromium, 390) as browser_page:
        visit(browser_page, demo.url, Page("/makes/grey_pullover"))
        assert measure(browser_page, "laidOut")["labels"] == []
        browser_page.eval_on_selector_all(
            ".overlay text", "every => { every[1].setAttribute('x', every[0].getAttribute('x'));"
            " every[1].setAttribute('y', every[0].getAttribute('y')); }"
        )  # fmt: skip
        assert measure(browser_page, "laidOut")["labels"] != []


@pytest.mark.full
def test_a_focus_without_an_outline_and_a_line_of_its_own_colour_are_seen(chromium, demo):
    with opened(chromium, 390, forced_colors="active") as browser_page:
        visit(browser_page, demo.url, Page("/makes/grey_pullover"))
        browser_page.eval_on_selector(".btn", "one => { one.style.outline = 'none' }")
        assert [one for one in measure(browser_page, "focused") if one.startswith("no outline")]
        browser_page.eval_on_selector("svg .o-piece", "one => { one.style.stroke = '#123456' }")
        assert measure(browser_page, "forced", SYSTEM) != []
