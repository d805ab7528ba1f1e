"""How many keys and taps a garment and a swatch take, from the start page until they are kept."""

from __future__ import annotations

import json

import pytest

from tests.browser.stories import plain

MOST = {"garment of six points": 45, "swatch of two stages": 25}
"""Keys and taps."""
SIX = {
    "Shoulder width": ("41.2", "16.2"),
    "Chest, flat": ("52.1", "20.5"),
    "Armhole depth, straight": ("21.0", "8.2"),
    "Body length": ("64.0", "25.2"),
    "Length to underarm": ("39.1", "15.4"),
    "Hem width, flat": ("50.2", "19.8"),
}


@pytest.fixture(scope="module")
def household():
    return json.dumps({"fitcheck": 1, "unit": "cm"}).encode()


def enter(person, label, text):
    """Tap a field and type into it."""
    person.hand.tap(person.page.get_by_label(label, exact=True))
    person.hand.type(text)


def go(person, role, name):
    """Tap what leads on."""
    with person.leaving():
        person.hand.tap(person.page.get_by_role(role, name=name, exact=True))
    return person.see()


def test_a_garment_of_six_points_takes_45_keys_and_taps_and_a_swatch_of_two_stages_25(person):
    hand = person.hand
    hand.count = 0
    go(person, "link", "Wardrobe")
    go(person, "link", "Lay a sweater flat and measure it")
    enter(person, "Name", "Blue")
    for label, texts in SIX.items():
        enter(person, label, person.say(*texts))
    assert go(person, "button", "Put it in the wardrobe").startswith("Blue: chest")
    # Two links, five for the name, a tap and three or four keys a point, the button.
    assert hand.count <= MOST["garment of six points"]
    (blue,) = person.household.garments
    read = {point: [one.text for one in texts] for point, texts in blue.occasions[0].readings.items()}
    assert sorted(read.values()) == sorted([person.say(*texts)] for texts in SIX.values())
    hand.count = 0
    go(person, "link", "Swatch book")
    enter(person, "Stitches between the marks", "36")
    enter(person, "Width between the marks", person.say("16.9", "6.6"))
    enter(person, "Dial", "7")
    person.hand.count += 1
    person.pick("off the machine")
    go(person, "button", "Put it in the book")
    go(person, "link", "Washed and blocked: read it")
    enter(person, "Width over 36 stitches", person.say("16.4", "6.4"))
    # 36 stitches over 16.4 cm are 22.0 in 10 cm; over 6.4 in 22.5 in 4 in.
    said = plain(go(person, "button", "Keep the readings"))
    assert said.startswith(person.say("Dial 7: 22.0 stitches to 10 cm", "Dial 7: 22.5 stitches to 4 in"))
    assert hand.count <= MOST["swatch of two stages"]
