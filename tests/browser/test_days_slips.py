"""A slip at every step, put right where it was made: typed wrong, typed unlikely, typed and found wrong days later."""

from __future__ import annotations

import json
import re

import pytest

from tests.browser.stories import plain
from tests.browser.test_stories_answer import GREY, HOUSEHOLD

CHEST = "Back, washed, blocked and dry: chest"


@pytest.fixture(scope="module")
def household():
    return json.dumps({**HOUSEHOLD, "makes": [GREY]}).encode()


def read_at_the_chest(person):
    """What was read of the back's chest."""
    readings = dict(person.service.readings("makes", "grey"))
    return [reading["text"] for place, reading in readings.items() if place.endswith("/chest")]


def test_a_slip_at_every_step_is_put_right_in_place(person):
    # A letter among the figures of a garment: everything else that was typed stays.
    person.room("Wardrobe")
    person.follow("Add a garment")
    person.fill("Name", "Blue jumper")
    person.fill("Chest, flat", person.say("5z.0", "2o 1/2"))
    with person.slipping():
        person.press("Put it in the wardrobe")
    assert person.page.get_by_label("Name", exact=True).input_value() == "Blue jumper"
    person.fill("Chest, flat", person.say("52.0", "20 1/2"))
    assert person.press("Put it in the wardrobe").startswith("Blue jumper: chest")
    # A mark left out: it is asked, and what was meant is a button.
    person.room("Swatch book")
    person.fill("Stitches between the marks", "36")
    person.fill("Width between the marks", person.say("164", "65"))
    person.fill("Dial", "7")
    assert person.press("Put it in the book") == "Dial 7: asked about."
    assert "The fabric is reckoned without it until it is answered." in person.text()
    if person.setting.unit == "cm":
        assert person.press("16.4 cm").startswith("Dial 7: 22.0 stitches to 10 cm")
    else:
        person.fill("What the tape says", "6 1/2")
        assert person.press("Type again", exact=True).startswith("Dial 7: 22.2 stitches to 4 in")
    # A count with a letter in it.
    person.room("Table")
    before = person.follow("Open it")
    count = person.page.get_by_label(re.compile(r"^Stitches across the chest\?"))
    count.fill("11w")
    with person.slipping():
        person.press("Keep", count.locator("xpath=ancestor::form"))
    count.fill("112")
    person.press("Keep", count.locator("xpath=ancestor::form"))
    assert person.press("undo") == before
    # A reading that is found wrong days later: tapped, typed again; the old one stays in the history.
    person.unfold("Behind it")
    person.follow("How it was knitted, and what the tape said")
    was = person.say("50.9", "20 1/16")
    person.unfold("Chest, flat")
    person.follow("", person.page.locator("#at-chest"))
    person.page.get_by_label(re.compile("^first reading")).fill("5o.9")
    fix = person.page.locator("form").filter(has=person.page.get_by_label(re.compile("^first reading")))
    person.press("Keep", fix)
    assert "Not taken: 5o.9." in person.text()
    person.page.get_by_label(re.compile("^first reading")).fill(person.say("52.9", "20 7/8"))
    person.press("Keep", fix)
    assert person.told().startswith(f"Was: {before}")
    assert read_at_the_chest(person) == person.say(["52.9"], ["20 7/8"])
    # Found right after all: undone by itself in the list of changes, and what came before stays.
    assert person.follow("What was changed").endswith(".")
    assert was in person.text() or person.setting.unit == "in"
    person.press(f"undo {CHEST}", exact=False)
    assert read_at_the_chest(person) == ["50.9"]
    assert {garment.name for garment in person.household.garments} >= {"Blue jumper"}
    # A day that no calendar has, at the very end.
    person.page.goto(f"{person.service.url}/makes/grey/finish")
    person.fill("Finished on", "31 Feb 2026")
    with person.slipping():
        person.press("Hang it in the wardrobe")
    assert person.page.get_by_label("Finished on", exact=True).input_value() == "31 Feb 2026"
    person.fill("Finished on", "28 Feb 2026")
    assert person.press("Hang it in the wardrobe") == "Is it finished?"
    assert " still to knit." in person.text()
    assert plain(person.press("Finish it all the same")) == "Finished on 28 Feb 2026."
    assert person.press("undo") == before
