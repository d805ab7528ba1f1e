"""A make is copied for another person: fabric and counts stay, what it shall fit is asked anew."""

from __future__ import annotations

import pytest

from fitcheck.store import Store
from tests.browser.conftest import INVENTED


@pytest.fixture(scope="module")
def household():
    return INVENTED.read_bytes()


def make_of(person, key):
    """A make as it is kept."""
    with Store.open(person.service.path) as store:
        return store.get("makes", key)


def test_a_make_is_copied_for_another_person_and_asks_what_it_shall_fit(person):
    before = make_of(person, "grey_pullover")
    answer = person.open("Grey pullover for Ines")
    person.unfold("Share")
    assert person.press("A copy for another person") == "What must it fit?"
    assert person.told().startswith("Begun with the same fabric and counts.")
    # Nothing of the other one's body or sweater is left in the form.
    asked = person.page.get_by_label("The sweater that it must fit", exact=True).locator("option:checked")
    assert asked.inner_text() == "no sweater of the wardrobe"
    person.choose("Who will wear it", "Tomas")
    person.choose("The sweater that it must fit", SAND)
    said = person.press("Keep")
    assert said != answer
    assert person.told().startswith("Was: ")
    copies = [make for make in person.household.makes if "another" in make.name]
    (copy,) = copies
    record = before.record
    assert (copy.yarn, copy.machine, copy.swatches, copy.size_table) == (
        record.yarn,
        record.machine,
        record.swatches,
        record.size_table,
    )
    assert copy.wearer == "tomas"
    assert (copy.fits.garment, record.fits.garment) == ("sand_pullover", "brown_pullover")
    assert not copy.pieces
    assert copy.planned["front"] == record.planned["front"]
    assert copy.planned["back"]["chest"] == 120
    # The other make is as it was, and both stand on the Table.
    assert make_of(person, "grey_pullover").revision == before.revision
    person.room("Table")
    assert person.open("for another") == said


SAND = "6 Apr 2025, sand-coloured pullover, worn a good deal"
