"""The style sheet: contrast by WCAG 2.2's formula, in light, dark and print; nothing is asked for from elsewhere."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import webui

STATIC = Path(webui.__file__).with_name("static")
CSS = (STATIC / "fitcheck.css").read_text("utf-8")
SHEETS = {one.name: one.read_text("utf-8") for one in sorted(STATIC.glob("*.css"))}
BLOCKS = [
    dict(re.findall(r"--([\w-]+):(#[0-9A-Fa-f]{3,6})\b", block)) for block in re.findall(r":root\{(.*?)\}", CSS, re.S)
]
SCHEMES = dict(zip(("light", "dark", "print"), (one for one in BLOCKS if one), strict=True))


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2, 'relative luminance')."""
    digits = colour[1:] if len(colour) == 7 else "".join(2 * one for one in colour[1:])
    channels = (int(digits[place : place + 2], 16) / 255 for place in (0, 2, 4))
    r, g, b = (one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in channels)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one: str, other: str) -> float:
    """Contrast ratio (WCAG 2.2, 'contrast ratio')."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_formula_gives_21_for_black_on_white():
    # WCAG 2.2: ratios range from 1 to 21
    assert contrast("#000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#fff") == pytest.approx(4.48, abs=0.005)  # the usual example of one just too light


@pytest.mark.parametrize("scheme", ["light", "dark", "print"])
@pytest.mark.parametrize("ground", ["paper", "shade", "tint"])
def test_text_reaches_triple_a_on_every_ground_but_small_labels_on_the_tint(scheme, ground):
    tokens = SCHEMES[scheme]
    for text in ("ink", "ink-2", "pencil"):
        # ink-2 and pencil on the tint are 6.7 to 6.99: AA, as the look says
        least = 6.6 if ground == "tint" and text != "ink" else 7.0
        assert contrast(tokens[text], tokens[ground]) >= least, (scheme, text, ground)


@pytest.mark.parametrize("scheme", ["light", "dark", "print"])
@pytest.mark.parametrize("ground", ["paper", "shade", "tint"])
def test_borders_of_controls_reach_three(scheme, ground):
    assert contrast(SCHEMES[scheme]["line"], SCHEMES[scheme][ground]) >= 3.0


def test_every_file_that_a_style_sheet_asks_for_is_here():
    asked = {one for css in SHEETS.values() for one in re.findall(r"url\(([^)#]+)\)", css)}
    assert asked
    for one in asked:
        assert (STATIC / one).is_file(), one
    assert not [name for name, css in SHEETS.items() if "http" in css or "@import" in css]


def test_the_fonts_come_with_their_licence_and_are_fonts():
    folder = STATIC / "fonts"
    assert "SIL Open Font License" in (folder / "OFL.txt").read_text("utf-8")
    for font in folder.glob("*.woff2"):
        assert font.read_bytes()[:4] == b"wOF2"


@pytest.mark.parametrize("name", SHEETS)
def test_nothing_moves_and_nothing_casts_a_shadow(name):
    assert not re.search(r"animation|transition|@keyframes", SHEETS[name])
    shadows = re.findall(r"box-shadow:([^;}]*)", SHEETS[name])
    assert all(" 0 var(--pencil)" in one for one in shadows)  # only the line under a field in hand, without blur


@pytest.mark.parametrize("name", SHEETS)
def test_colours_stand_only_in_the_tokens(name):
    # So that the ratios above hold for whatever is drawn with them.
    rules = re.sub(r":root\{.*?\}", "", SHEETS[name], flags=re.S)
    assert not re.search(r"#[0-9A-Fa-f]{3,8}\b(?=[^{}]*\})|\b(?:rgba?|hsla?|oklch)\(", rules)
