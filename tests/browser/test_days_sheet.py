"""A pattern's spreadsheet as it lies on the desk: titles, a merged head, eight sizes, other rows, one typo."""

from __future__ import annotations

import json

import pytest

from tests.browser.stories import plain
from tests.browser.test_stories_from_nothing import PASTE

SIZES = ("XS", "S", "M", "L", "XL", "2XL", "3XL", "4XL")
ROWS = {
    "To fit bust": (
        ("81", "86", "91", "97", "102", "107", "112", "117"),
        ("32", "34", "36", "38", "40", "42", "44", "46"),
    ),
    "Back chest": (
        ("46", "48.5", "51", "54", "56.5", "59", "61.5", "6s"),
        ("18", "19", "20", "21 1/4", "22 1/4", "23 1/4", "24 1/4", "2s 1/4"),
    ),
    "Back chest, stitches": (("104", "110", "116", "122", "128", "134", "140", "146"),) * 2,
    "Yarn, 50 g balls": (("9", "10", "10", "11", "12", "13", "14", "15"),) * 2,
    "Length to underarm": (
        ("36", "37", "38", "38", "39", "39", "40", "40"),
        ("14", "14 1/2", "15", "15", "15 1/2", "15 1/2", "15 3/4", "15 3/4"),
    ),
}
MEANT = ("64", "25 1/4")
"""The chest of the largest size, whose last key slipped."""


@pytest.fixture(scope="module")
def household():
    return json.dumps({"fitcheck": 1, "unit": "cm"}).encode()


def sheet(person):
    """What the spreadsheet copies: two titles, a head over all sizes that were one cell, the sizes, the rows."""
    unit = person.say("cm", "inches")
    rows = [["Winter pullover, sheet 2"], [f"all measures in {unit}"], ["", "Finished sizes"], ["Size", *SIZES]]
    rows += [[name, *person.say(*texts)] for name, texts in ROWS.items()]
    return "".join("\t".join(row + [""] * (9 - len(row))) + "\n" for row in rows)


def paste(person):
    """Into the first cell; without a script into the field of the text."""
    if person.setting.scripted:
        cell = person.page.get_by_role("region", name="Sizes").get_by_role("row").nth(1).get_by_role("textbox").first
        with person.leaving():
            cell.evaluate(PASTE, sheet(person))
        person.see()
    else:
        if not person.page.get_by_label("The table as text").is_visible():
            person.unfold("Paste a whole table")
        person.fill("The table as text", sheet(person))
        person.press("Read it into the grid")


def test_a_spreadsheet_with_titles_a_merged_head_and_a_typo_becomes_a_table_of_eight_sizes(person):
    person.follow("I am planning a sweater")
    person.press("Type or paste a whole size table")
    with person.slipping():
        paste(person)
    said = person.text()
    for left_out in ("Left out: To fit bust.", "Left out: Yarn, 50 g balls.", "Left out: Winter pullover, sheet 2"):
        assert left_out in said
    assert [person.page.get_by_label(f"Name of size {n}").input_value() for n in range(1, 9)] == list(SIZES)
    typo = person.page.get_by_label("Size 4XL, back chest", exact=True)
    assert typo.input_value() == person.say("6s", "2s 1/4")
    assert typo.get_attribute("aria-invalid") == "true"
    assert person.page.locator("[aria-invalid=true]").count() == 1
    # Everything else stays while the one cell is put right.
    person.fill("Name of the table", "Winter pullover")
    typo.fill(person.say(*MEANT))
    assert person.press("Keep the table") == "Knit a swatch first, wash and block it."
    (table,) = person.household.size_tables
    assert [size.name for size in table.sizes] == list(SIZES)
    chests = [size.pieces["back"]["chest"] for size in table.sizes]
    assert [chest.count for chest in chests] == [int(text) for text in ROWS["Back chest, stitches"][0]]
    meant = [*person.say(*ROWS["Back chest"])[:-1], person.say(*MEANT)]
    unit = person.say("cm", "in")
    assert [plain(chest.measure.text) for chest in chests] == [f"{text} {unit}" for text in meant]
    assert all("to_underarm" in size.pieces["back"] for size in table.sizes)
    # On the form that was left the table is chosen already.
    assert person.page.get_by_label("From the size tables", exact=True).locator("option:checked").inner_text() == (
        "Winter pullover"
    )
