"""A story that begins with a fabric and a pattern's size table: which dial, which size, and the plan kept as a make."""

from __future__ import annotations

import json

import pytest

from tests.browser.stories import plain

WIDTHS = {"6": "16.0", "7": "17.2", "8": "18.4"}
"""Of 40 stitches, washed and blocked [cm]: 4.0, 4.3 and 4.6 mm a stitch."""
COUNTS = {"S": 104, "M": 112, "L": 120}
HOUSEHOLD = {
    "fitcheck": 1,
    "unit": "cm",
    "yarns": [{"id": "grey", "name": "Grey wool", "fibres": [{"fibre": "wool", "percent": 100}]}],
    "machines": [{"id": "bed", "name": "Standard bed", "needles": 200}],
    "swatches": [
        {
            "id": f"at_{dial}",
            "name": f"grey at {dial}",
            "yarn": "grey",
            "machine": "bed",
            "dial": dial,
            "stitches": {"count": 40},
            "stages": [{"kind": "blocked", "on": "2025-03-01", "across": [width, width]}],
        }
        for dial, width in WIDTHS.items()
    ],
    "size_tables": [
        {
            "id": "plain",
            "name": "Plain pullover",
            "gauge": {"stitches": 21.7, "over": "10 cm"},
            "sizes": [
                {"name": name, "pieces": {"back": {"chest": {"count": count}}}} for name, count in COUNTS.items()
            ],
        }
    ],
}


@pytest.fixture(scope="module")
def household():
    return json.dumps(HOUSEHOLD).encode()


def test_a_sweater_is_planned_with_its_dial_and_size_and_two_sizes_side_by_side_and_kept(person):
    person.follow("I am planning a sweater")
    person.fill("Chest", person.say("50.5", "19 7/8"))
    person.choose("From the swatch book", "Grey wool (3)")
    person.choose("From the size tables", "Plain pullover")
    # At dial 8 a stitch is 4.6 mm; each size has two stitches in its seams (assumed): (104 - 2) x 4.6 = 469 mm,
    # (112 - 2) x 4.6 = 506, (120 - 2) x 4.6 = 543. Wanted are 505, so M; S and L are 3.6 and 3.8 cm off.
    assert person.press("Which size?").startswith("Knit size M at dial 8.")
    # 21.7 stitches in 10 cm are 4.61 mm a stitch.
    assert "dial 8" in person.text()
    sizes = person.table("Every size in this fabric", "Chest, flat")
    finished = [one.split()[0:2] if person.setting.unit == "in" else one.split()[0] for one in sizes]
    assert finished == person.say(["46.9", "50.6", "54.3"], [["18", "1/2"], ["19", "7/8"], ["21", "3/8"]])
    person.unfold("Size M beside size")
    assert person.text().count("Size M beside size") == 2  # the heading, and what it says
    person.choose("Beside the best size", "S")
    assert person.press("Show").startswith("Knit size M at dial 8.")
    beside = person.table("Two sizes side by side", "Chest, flat")
    assert person.say("0.1 cm wide", "wide") in beside[0] or "as wanted" in beside[0]
    assert person.say("3.6 cm narrow", "1 3/8 in narrow") in beside[1]
    assert "Size M beside size S" in person.text()
    assert not person.household.makes
    person.fill("What the sweater is called", "Winter one")
    person.press("Keep it as a make")
    assert person.told().startswith("Winter one is among the makes.")
    person.unfold("Behind it")
    assert "Knit size M at dial 8." in person.text()
    assert "Winter one" in plain(person.page.get_by_role("main").inner_text())
    (make,) = person.household.makes
    assert (make.name, make.size_table, set(make.swatches)) == ("Winter one", "plain", {"at_6", "at_7", "at_8"})
    wanted = make.fits.numbers["chest"]
    assert wanted.length.value_mm == pytest.approx(person.say(505, 19.875 * 25.4))
    person.room("Table")
    assert "Winter one" in person.text()
