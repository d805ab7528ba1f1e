"""Stories are told at two settings in README's line: over four of them, everything meets."""

from __future__ import annotations

from itertools import pairwise, product

from tests.browser.stories import SETTINGS, settings_of


def parts(setting):
    return setting.width, setting.scripted, setting.unit


def test_the_two_settings_of_a_story_differ_in_everything_and_four_stories_have_all_of_them():
    told = []
    for story in range(4):
        ours, others = settings_of(story)
        one, other = map(parts, ours)
        assert all(mine != yours for mine, yours in zip(one, other, strict=True))
        assert sorted(map(parts, ours + others)) == sorted(product((390, 1280), (False, True), ("cm", "in")))
        told += ours
    assert set(told) == set(SETTINGS)
    assert all(settings_of(story + 4) == settings_of(story) for story in range(4))
    assert all(settings_of(one) != settings_of(other) for one, other in pairwise(range(5)))
