"""From every page of the shelves one step further, with what it is about chosen there already."""

from __future__ import annotations

import re

import pytest

from tests.webui.test_pages_table import heading


def next_of(client, page):
    """Where the buttons of a page lead: address by word."""
    links = re.findall(r'<a class="btn" href="([^"]+)">([^<]+)</a>', client.get(page).text)
    return {word: to.replace("&amp;", "&") for to, word in links}


@pytest.mark.parametrize(
    ("page", "word", "chosen"),
    [
        ("/wardrobe/brown_pullover", "Lay a piece on it", {"garment": "brown_pullover"}),
        ("/wardrobe/brown_pullover", "Plan a sweater from it", {"garment": "brown_pullover"}),
        ("/swatches/grey_at_7", "Swatch another dial", {"yarn": "grey_wool_in_oil", "machine": "standard_bed"}),
        ("/swatches/grey_at_7", "Plan a sweater from it", {"fabric": "grey_wool_in_oil|standard_bed"}),
        ("/people/ines", "Measure a sweater that fits", {"wearer": "ines"}),
        ("/people/ines", "Plan a sweater", {}),
        ("/swatches/yarns/blue_cotton", "Swatch it", {"yarn": "blue_cotton"}),
        ("/swatches/machines/standard_bed", "Swatch on it", {"machine": "standard_bed"}),
    ],
)
def test_the_next_step_has_what_it_is_about_chosen(client, page, word, chosen):
    answer = client.get(next_of(client, page)[word])
    assert answer.status_code == 200
    for name, value in chosen.items():
        select = re.search(rf'<select id="{name}".*?</select>', answer.text, re.S)[0]
        assert re.findall(r'<option value="([^"]*)" selected', select) == [value]


def test_a_piece_that_is_laid_on_a_sweater_of_the_wardrobe_is_compared_with_it(client, store):
    typed = {"piece": "back", "way": "laid", "dry": "yes", "garment": "brown_pullover", "own_chest": "-1.2"}
    made = client.post("/piece", data=typed).headers["Location"]
    make = store.get("makes", made.removeprefix("/makes/")).record
    assert make.fits.garment == "brown_pullover"
    assert [str(one.text) for one in make.pieces[0].stages[0].overhangs["chest"]] == ["-1.2"]
    assert heading(client.get(made).text)
    # With another way of comparing nothing of it is left in the make.
    ways = {**typed, "way": "numbers", "ref_chest": "52", "own_chest": "51"}
    made = client.post("/piece", data=ways).headers["Location"]
    assert store.get("makes", made.removeprefix("/makes/")).record.fits.garment is None


def test_where_it_is_asked_which_fabric_it_is_the_button_leads_to_the_swatches_of_the_make(client, store):
    make = store.get("makes", "grey_pullover").doc
    own = store.get("swatches", make["swatches"][0]).doc
    for key, strands in (("one_strand", 1), ("two_strands", 2)):
        store.put("swatches", key, {**own, "id": key, "name": key, "strands": strands}, 0)
    first = {name: make[name] for name in ("fits", "yarn", "machine") if name in make}
    store.put("makes", "next", {**first, "id": "next", "name": "Next", "swatches": ["one_strand", "two_strands"]}, 0)
    page = client.get("/makes/next").text
    assert heading(page) == "Two or one strand?"
    assert '<a class="btn main" href="/makes/next/settings#swatches">Name its swatches</a>' in page
    assert 'id="swatches"' in client.get("/makes/next/settings").text
