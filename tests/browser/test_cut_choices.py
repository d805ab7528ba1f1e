"""What stands in a field of a phone stands there whole: a day, a yarn's name, the sweater that is chosen."""

from __future__ import annotations

import pytest

from tests.browser.conftest import INVENTED, PHONE

ROOM = """field => {
    const pen = document.createElement('canvas').getContext('2d'), style = getComputedStyle(field);
    pen.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
    const text = field.options ? field.options[field.selectedIndex].text : field.value;
    const arrow = field.options ? 20 : 0;
    const room = field.clientWidth - parseFloat(style.paddingLeft) - parseFloat(style.paddingRight) - arrow;
    return room - pen.measureText(text).width;
}"""
"""How much wider a field is than what stands in it [px]."""


@pytest.fixture(scope="module")
def household():
    return INVENTED.read_bytes()


@pytest.mark.parametrize("page_at", ["/swatches", "/swatches/several"])
def test_day_yarn_and_machine_of_several_swatches_are_not_cut(look_at, page_at):
    page = look_at(page_at, PHONE)
    for field in ("on", "yarn", "machine"):
        assert page.locator(f".several [name={field}]").evaluate(ROOM) >= 0, field


def test_two_measurings_of_one_sweater_differ_before_anything_is_cut(look_at):
    page = look_at("/makes/grey_pullover/fits", PHONE)
    chosen = page.locator("[name=occasion]")
    texts = chosen.locator("option").all_inner_texts()[1:]
    assert len(set(texts)) == len(texts)
    assert all(text[0].isdigit() and len(text) <= 38 for text in texts)
    for at in range(1, len(texts) + 1):
        chosen.select_option(index=at)
        assert chosen.evaluate(ROOM) >= 0
