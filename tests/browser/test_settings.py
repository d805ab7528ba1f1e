"""A story is told at one setting in README's line: over eight of them, all eight have their turn."""

from __future__ import annotations

import re
from itertools import accumulate, combinations, pairwise, product
from pathlib import Path

from tests.browser.stories import DAYS_AT, SCREENS, SETTINGS, STORIES_BEFORE, opposite, setting_of


def test_eight_stories_have_every_setting_and_two_in_a_row_have_another():
    told = [setting_of(story) for story in range(8)]
    parts = sorted((setting.width, setting.scripted, setting.unit) for setting in told)
    assert parts == sorted(product((390, 1280), (False, True), ("cm", "in")))
    assert len(SETTINGS) == 8
    assert all(setting_of(one) != setting_of(other) for one, other in pairwise(range(12)))


def test_the_opposite_has_another_screen_another_unit_and_scripts_where_there_were_none():
    for setting in SETTINGS:
        other = opposite(setting)
        assert setting.phone != other.phone
        assert setting.scripted != other.scripted
        assert setting.unit != other.unit


def test_the_stories_are_counted_through_from_file_to_file():
    files = sorted(Path(__file__).parent.glob("test_stories_*.py"))
    stories = [len(re.findall(r"^def test_", file.read_text("utf-8"), re.MULTILINE)) for file in files]
    assert dict(zip((file.stem for file in files), accumulate([0, *stories]), strict=False)) == STORIES_BEFORE
    assert sum(stories) >= len(SETTINGS)


def test_whole_days_are_told_on_every_screen_by_day_and_night_and_any_two_of_the_rest_meet():
    assert {(at.width, at.height, at.dark) for at in DAYS_AT} == {
        (*at, dark) for at in SCREENS for dark in (True, False)
    }
    parts = [(str(at.width), at.dark, f"scripts {at.scripted}", at.unit) for at in DAYS_AT]
    for one, other in combinations(range(4), 2):
        every = {(part[one], part[other]) for part in parts}
        assert len(every) == len({part[one] for part in parts}) * len({part[other] for part in parts})
