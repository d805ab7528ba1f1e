"""What is asked about is left out of what the shelves say until it is answered, and each page says so."""

from __future__ import annotations

import html
import re

import pytest

from fitcheck.store import Store
from tests.webui.test_pages_wardrobe import NEW, Browser, buttons, place_of


@pytest.fixture
def bare(empty):
    return Browser(empty)


@pytest.fixture
def browser(store):
    return Browser(store)


def text(page):
    """What stands on a page, without its drawings."""
    plain = re.sub(r"<(svg|head).*?</\1>", " ", page, flags=re.S)
    return html.unescape(" ".join(re.sub(r"<[^>]+>", " ", plain).split())).replace(" ,", ",")


def heading(page):
    return text(re.search(r"<h1>(.*?)</h1>", page, re.S)[0])


def row(page, key):
    return text(re.search(rf'<details class="line[^>]* id="at-{key}" open>.*?</details>', page, re.S)[0])


def test_the_other_reading_of_a_point_counts_alone_until_the_question_is_answered(bare):
    page = bare.after("/wardrobe/new", **NEW, at_chest="54,0 540", at_shoulder_width="41", anew="yes")
    assert heading(page) == "Blue jumper: chest 54.0 cm, shoulder 41.0 cm."
    alone = re.search(r"54\.0 cm likely (5\d\.\d) to (5\d\.\d) Without what is asked about", row(page, "chest"))
    assert 53 < float(alone[1]) < 54 < float(alone[2]) < 55
    assert "4860 mm" not in page
    page = bare.after("/wardrobe/blue_jumper/answer", place=place_of(page), do="keep")
    assert heading(page).startswith("Blue jumper: chest 297.0 cm")


def test_a_point_of_which_nothing_else_was_read_is_said_to_be_asked_about(bare):
    page = bare.after("/wardrobe/new", **NEW, at_chest="540", at_shoulder_width="41", at_body_length="62")
    assert heading(page) == "Blue jumper: chest is asked about, shoulder 41.0 cm, body length 62.0 cm."
    assert "Asked about and not answered yet" in row(page, "chest")
    assert "540" not in re.search(r"<svg.*?</svg>", page, re.S)[0]
    assert "chest is asked about" in text(bare.get("/wardrobe"))
    assert "540" not in text(bare.get("/wardrobe"))
    bare.post("/wardrobe/blue_jumper/answer", place=place_of(page), do="slip")
    assert "chest 54.0 cm" in text(bare.get("/wardrobe"))


def test_two_over_one_another_leave_out_what_is_asked_about_and_say_of_which(bare):
    bare.post("/wardrobe/new", **NEW, at_chest="540", at_shoulder_width="41", at_body_length="62")
    bare.post("/wardrobe/new", **{**NEW, "name": "Red jumper"}, at_chest="54", at_shoulder_width="43")
    page = text(bare.get("/wardrobe/over?first=blue_jumper&second=red_jumper"))
    assert "Left out: chest is asked about at Blue jumper" in page
    assert "486" not in page


def test_a_fabric_is_known_without_a_height_that_is_asked_about_and_repeats_the_question(bare):
    sent = {"stitches": "40", "across": "17.8", "rows": "60", "dial": "7"}
    path = "/swatches/fabrics?yarn=&machine="
    bare.post("/swatches/new", **sent, along="21")

    def gauge(things):
        return text(re.search(rf"{things}, blocked and dry.*?</tr>", bare.get(path), re.S)[0])

    sure = gauge("rows")
    bare.post("/swatches/dial_7/delete")
    bare.post("/swatches/new", **sent, along="21 in")
    page = bare.get(path)
    assert re.search(r"dry 28\.\d", sure)
    assert re.search(r"dry 22\.\d", gauge("stitches"))
    assert gauge("rows") == "rows, blocked and dry assumed"
    assert "Left out until it is answered: dial 7" in text(page)
    assert "It was centimetres" in buttons(page)
    swatch = bare.get("/swatches/dial_7_2")
    assert "22.5 stitches" in heading(swatch)
    assert "rows" not in heading(swatch)
    assert "Asked about" in text(bare.get("/swatches"))
    bare.post("/swatches/dial_7_2/answer", place=place_of(page), do="slip")
    assert gauge("rows") == sure


def test_nothing_of_a_swatch_is_left_where_its_counts_are_asked_about(bare):
    page = bare.after("/swatches/new", stitches="60", across="17.8", rows="40", along="20", dial="7")
    assert "Counts swapped" in " ".join(buttons(page))
    assert heading(page) == "Dial 7: asked about."
    assert "33.7" not in text(bare.get("/swatches/fabrics?yarn=&machine="))


def test_a_body_measure_that_is_asked_about_has_no_figure(bare):
    page = bare.after("/people/new", name="Ines", at_chest="375", at_waist="76")
    assert "Asked about and not answered yet" in text(page)
    assert "375.0 cm likely" not in text(page)
    assert "76.0 cm likely" in text(page)


def test_with_a_decimal_comma_questions_hints_and_answers_have_it_and_what_was_typed_stays(bare):
    bare.client.set_cookie("mark", "comma")
    page = bare.after("/wardrobe/new", **NEW, at_chest="108.2", at_shoulder_width="41")
    assert "54,1" in " ".join(buttons(page))
    assert "Keep 108.2 cm" in buttons(page)
    assert "54,1" in text(bare.after("/wardrobe/blue_jumper/answer", place=place_of(page), do="slip"))
    assert "51,8 52,0 51,9" in bare.get("/wardrobe/new")
    assert "16,7 16,5 16,6" in bare.get("/swatches/new")
    assert "25.11.2026" in bare.post("/wardrobe/new", 422, on="soon")
    bare.post("/unit", unit="in", back="/")
    assert "20 1/8 20 1/4" in bare.get("/wardrobe/new")


def test_hints_have_the_mark_of_each_device_whichever_asked_first(bare):
    first, second = bare.client, bare.client.application.test_client()
    second.set_cookie("mark", "comma")
    for path, point, comma in (
        ("/wardrobe/new", "51.8 52.0 51.9", "51,8 52,0 51,9"),
        ("/swatches/new", "16.7 16.5 16.6", "16,7 16,5 16,6"),
    ):
        assert point in first.get(path).get_data(as_text=True)
        assert comma in second.get(path).get_data(as_text=True)
        assert point in first.get(path).get_data(as_text=True)


def test_with_a_decimal_comma_what_is_usually_allowed_has_it(browser):
    assert "usually 1.0 cm" in text(browser.get("/makes/grey_pullover/fits"))
    browser.client.set_cookie("mark", "comma")
    page = text(browser.get("/makes/grey_pullover/fits"))
    assert "usually 1,0 cm" in page
    assert "usually 1.0 cm" not in page


def test_ease_that_was_typed_stands_in_the_line_that_opens_and_a_narrower_allowance_stands_open(bare):
    bare.store.put("wearers", "juna", {"name": "Juna", "body": {"chest": ["70 cm"]}}, 0)
    allowed = {"hem": {"smaller": "5 mm", "larger": "5 mm"}}
    make = {"name": "School", "wearer": "juna", "fits": {"ease": {"chest": "8 cm"}}, "tolerances": allowed}
    bare.store.put("makes", "school", make, 0)
    page = bare.get("/makes/school/fits")
    assert "<details><summary>Ease 8 cm round, and what is allowed" in page
    assert page.count("<details open><summary>Ease, and what is allowed") == 1


def test_a_reading_is_set_aside_with_ones_own_reason_or_with_none(bare):
    bare.after("/wardrobe/new", **NEW, at_chest="51.8 52.0 51.9")
    garment = bare.store.get("garments", "blue_jumper").record
    first, second, _ = (one.id for one in garment.occasions[0].readings["chest"])
    place = f"occasions/{garment.occasions[0].id}/readings/chest"
    row = bare.get(f"/wardrobe/blue_jumper?fix={place}/{first}")
    assert 'name="reason" autocomplete="off">' in row
    page = text(
        bare.after(
            "/put-right",
            do="aside",
            back="/wardrobe/blue_jumper",
            place=f"garments blue_jumper {place}",
            reading=first,
            reason="",
        )
    )
    assert "51.8 cm: set aside" in page
    assert "51.8 cm: set aside," not in page
    page = text(
        bare.after(
            "/put-right",
            do="aside",
            back="/wardrobe/blue_jumper",
            place=f"garments blue_jumper {place}",
            reading=second,
            reason="the cat lay on it",
        )
    )
    assert "52.0 cm: set aside, the cat lay on it" in page


def test_a_very_long_name_stands_once_and_whole_at_the_top_of_its_page(bare):
    name = "The pullover that was knitted for the wedding of the youngest niece in the spring of 1987"
    page = bare.after("/wardrobe/new", **{**NEW, "name": name}, at_chest="52", at_shoulder_width="41")
    top = page[page.index("<body>") : page.index('<div class="btns')]
    assert text(top).count("The pullover that was knitted") == 1
    assert name in text(top)
    assert heading(page) == "Chest 52.0 cm, shoulder 41.0 cm."


def test_what_is_invented_is_marked_beside_ones_own_and_not_among_itself(browser):
    assert "invented" not in text(browser.get("/swatches")).replace("(invented)", "")
    browser.post("/wardrobe/new", **NEW, at_chest="52", at_shoulder_width="41")
    cards = re.findall(r"<li><a href=\"/wardrobe/.*?</li>", browser.get("/wardrobe"), re.S)
    assert [("Blue jumper" in one, "invented" in text(one)) for one in cards] == [
        ("Blue jumper" in one, "Blue jumper" not in one) for one in cards
    ]
    browser.post("/swatches/new", stitches="40", across="17.8", dial="7")
    page = browser.get("/swatches")
    rows = re.findall(r'<li(?: class="out")?><a href="/swatches/.*?</li>', page, re.S)
    assert len(rows) > 3
    assert [text(one) for one in rows if "Invented" not in text(one)] == ["dial 7 22.5 st"]
    assert "invented" in text(page[page.index("<h2>Yarns") :])
    assert "invented" in text(browser.get("/wardrobe/brown_pullover"))
    assert "invented" not in text(browser.get("/wardrobe/blue_jumper"))


def test_what_went_with_the_invented_household_is_not_counted_among_the_deleted(tmp_path):
    with Store.open(tmp_path / "own.db") as store:
        browser = Browser(store)
        browser.post("/invented")
        browser.post("/wardrobe/new", **NEW, at_chest="52")
        browser.post("/wardrobe/blue_jumper/delete")
        browser.post("/makes/grey_unwashed/delete")
        assert "can be brought back (2)" in browser.get("/settings")
        assert "can be brought back (1)" in browser.get("/wardrobe")
        browser.post("/invented/remove")
        assert "can be brought back (1)" in browser.get("/settings")
        assert "can be brought back (1)" in browser.get("/wardrobe")
        assert "can be brought back" not in browser.get("/swatches")
        assert "can be brought back" not in browser.get("/makes")
        browser.post("/wardrobe/blue_jumper/back")
        browser.post("/invented")
        assert browser.get("/makes/grey_unwashed")


def test_a_book_without_a_swatch_shows_its_yarns_and_machines(bare):
    assert "<h2>Yarns</h2>" not in bare.get("/swatches")
    bare.post("/swatches/yarns/new", name="grey wool")
    page = bare.get("/swatches")
    assert "A swatch needs 3 numbers." in page
    assert 'href="/swatches/yarns/grey_wool"' in page
    assert "Add a machine" in page


def test_a_kept_table_has_its_rows_in_the_order_in_which_they_were_typed(bare):
    rows = ["sleeve length", "back hem", "back chest", "back chest, stitches"]
    sent = {"name": "plain", "columns": "1", "rows": "4", "size_0": "1", "measures": "flat", "do": "keep"}
    sent |= {f"row_{number}": name for number, name in enumerate(rows)}
    sent |= {"c_0_0": "45", "c_1_0": "50", "c_2_0": "52", "c_3_0": "114"}
    page = bare.after("/size-tables/new", **sent)
    assert re.findall(r'<input id="row_\d" name="row_\d" value="([^"]*)"', page) == rows


def test_the_unit_is_switched_back_to_a_grid_of_the_same_size(bare):
    page = bare.post("/size-tables/new", 200, columns="3", rows="9", do="column")
    back = html.unescape(re.search(r'name="back" value="([^"]*)"', page)[1])
    assert 'id="c_0_3"' in bare.get(bare.post("/unit", unit="in", back=back))
    assert 'id="c_0_4"' not in bare.get(back)
    assert bare.get("/size-tables/new?columns=99999&rows=x").count('id="c_0_') == 3


def test_a_make_says_whose_the_reading_is_that_it_asks_about(bare):
    bare.after("/wardrobe/new", **NEW, at_chest="54,0 58,9", at_shoulder_width="41", anew="yes")
    read = {"stages": [{"kind": "blocked", "readings": {"shoulder_width": ["42.1 cm"]}}]}
    fits = {"garment": "blue_jumper", "occasion": bare.store.get("garments", "blue_jumper").record.occasions[0].id}
    make = {"name": "Grey", "fits": fits, "pieces": [{"id": "back", "piece": "back", **read}]}
    bare.store.put("makes", "grey", make, 0)
    page = text(bare.get("/makes/grey"))
    assert "Blue jumper: 58,9 cm for the chest? 4.9 cm from your other reading." in page
