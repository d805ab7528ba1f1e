"""The phone drops the tab in the middle of each form: what was typed is there again, and is gone once it was taken."""

from __future__ import annotations

import re
from dataclasses import dataclass

import pytest

from tests.browser.conftest import INVENTED

PUT_BACK = re.compile("^Put back what you typed at ")


@pytest.fixture(scope="module")
def household():
    return INVENTED.read_bytes()


@dataclass(frozen=True)
class Begun:
    """A form in the middle of which the tab is dropped.

    at      its address
    typed   label and text of the fields that were filled by then
    sent    the button that sends it
    folded  the fold that a field is in
    """

    at: str
    typed: dict[str, str]
    sent: str
    folded: str = ""


FORMS = (
    Begun("/wardrobe/new", {"Name": "Blue jumper", "Chest, flat": "52.0 52.1"}, "Put it in the wardrobe"),
    Begun("/people/new", {"Name": "Mara", "Notes": "likes it loose"}, "Keep"),
    Begun("/swatches/yarns/new", {"Name": "Moss wool"}, "Keep"),
    Begun("/swatches/machines/new", {"Name": "Old bed", "Needles on the bed": "180"}, "Keep"),
    Begun(
        "/swatches/new", {"Stitches between the marks": "36", "Width between the marks": "16.4"}, "Put it in the book"
    ),
    Begun("/size-tables/new", {"Name of the table": "Winter pullover"}, "Keep the table"),
    Begun("/makes/grey_pullover/settings", {"Name": "grey pullover of the winter"}, "Keep"),
    Begun("/makes/grey_pullover/fits", {"wish, + or −": "+1.0"}, "Keep"),
    Begun("/makes/grey_pullover/pieces/back", {"grams": "231"}, "Keep"),
    Begun("/makes/grey_pullover/points", {"Chest, back": "53.4"}, "Keep"),
    Begun("/makes/grey_pullover/finish", {"Finished on": "28 Nov 2026"}, "Only finish it"),
)


def typed_now(person, begun):
    """What stands in the fields of a form now."""
    return {label: person.page.get_by_label(label, exact=True).first.input_value() for label in begun.typed}


def test_the_phone_drops_the_tab_in_the_middle_of_each_form(person):
    for begun in FORMS:
        person.page.goto(person.service.url + begun.at)
        person.see()
        empty = typed_now(person, begun)
        for label, text in begun.typed.items():
            person.page.get_by_label(label, exact=True).first.fill(text)
        person.drop()
        if not person.setting.scripted:  # nothing is kept, and nothing says that it was
            assert typed_now(person, begun) == empty, begun.at
            assert person.page.get_by_text(PUT_BACK).count() == 0
            continue
        assert typed_now(person, begun) == begun.typed, begun.at
        assert person.page.get_by_text(PUT_BACK).count() == 1, begun.at
        if begun.at == "/size-tables/new":  # a table of a name alone is refused; it begins empty again
            person.page.get_by_text("Start empty").click()
            assert typed_now(person, begun) == empty
            continue
        person.press(begun.sent)
        if begun.at.endswith("/finish"):
            person.press("Finish it all the same")
        person.page.goto(person.service.url + begun.at)
        person.see()
        assert person.page.get_by_text(PUT_BACK).count() == 0, begun.at
    if person.setting.scripted:
        home = person.household
        assert {"Blue jumper", "Mara", "Moss wool", "Old bed"} <= {
            record.name for kind in (home.garments, home.wearers, home.yarns, home.machines) for record in kind
        }
        (grey,) = (make for make in home.makes if make.id == "grey_pullover")
        assert grey.name == "grey pullover of the winter"
        assert str(grey.finished) == "2026-11-28"
