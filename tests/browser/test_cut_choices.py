"""What stands in a field of a phone stands there whole: a day, a yarn's name; of a sweater's what tells it apart."""

from __future__ import annotations

import re

import pytest

from tests.browser.conftest import INVENTED, PHONE

SEEN = """field => {
    const pen = document.createElement('canvas').getContext('2d'), style = getComputedStyle(field);
    pen.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
    const arrow = field.options ? 20 : 0;
    const room = field.clientWidth - parseFloat(style.paddingLeft) - parseFloat(style.paddingRight) - arrow;
    const texts = field.options ? [...field.options].map(option => option.text) : [field.value];
    const seen = text => {
        let letters = text.length;
        while (pen.measureText(text.slice(0, letters)).width > room) letters -= 1;
        return text.slice(0, letters);
    };
    return {texts, seen: texts.map(seen), at: field.options ? field.selectedIndex : 0};
}"""
"""Every text that can stand in a field, how much of each is seen, and which of them stands there."""


@pytest.fixture(scope="module")
def household():
    return INVENTED.read_bytes()


@pytest.mark.full
def test_day_yarn_and_machine_of_several_swatches_are_not_cut(look_at):
    page = look_at("/swatches/several", PHONE)
    for name in ("on", "yarn", "machine"):
        field = page.locator(f".several [name={name}]").evaluate(SEEN)
        assert field["seen"][field["at"]] == field["texts"][field["at"]] != "", name


@pytest.mark.full
def test_two_measurings_of_one_sweater_differ_before_anything_is_cut(look_at):
    page = look_at("/makes/grey_pullover/fits", PHONE)
    seen = page.locator("[name=occasion]").evaluate(SEEN)["seen"][1:]
    assert all(re.match(r"\d\d? \w+ \d{4}, \w", text) for text in seen)
    assert len(set(seen)) == len(seen) > 2
