"""What a field said before stands struck out beside it with its day, read from the list of changes."""

from __future__ import annotations

import re

import pytest

from tests.webui.test_knitted import BACK, kept, page_of
from tests.webui.test_pages_wardrobe import fields_in


def struck(page, field):
    """What stands struck out beside a field: figures and when they were typed."""
    listed = re.search(rf'<ul class="before label" id="{field}-before">(.*?)</ul>', page, re.S)
    return re.findall(r"<s>(.*?)</s> (typed \d+ \w+ \d{4})", listed[1]) if listed else []


def sent_again(client, path, **changed):
    """Open a form, change some of it and send it."""
    page = page_of(client, path)
    form = page[page.index('<form class="') :]
    answer = client.post(path, data={**fields_in(form), **changed})
    assert answer.status_code == 303, answer.get_data(as_text=True)
    return page_of(client, path)


def test_a_form_of_what_was_never_changed_strikes_nothing_out(client):
    assert 'class="before' not in page_of(client, BACK)
    assert 'class="before' not in page_of(client, "/makes/grey_pullover/fits")


def test_a_count_a_dial_and_grams_stand_struck_out_beside_their_fields(client, store):
    kept(client, **{"count-chest": "121", "dial": "7.1", "grams": "170"})
    kept(client, grams="171")
    page = page_of(client, BACK)
    for field, text in {"count-chest": "120", "dial": "7", "grams": "170"}.items():
        (line,) = [line for line in struck(page, field) if line[0] == text]
        assert re.fullmatch(r"typed \d+ \w+ \d{4}", line[1])
    assert struck(page, "lot") == []


def test_the_latest_stands_first_and_what_stands_there_again_is_not_struck_out(client):
    for count in ("121", "122", "120", "123", "120"):
        kept(client, **{"count-chest": count})
    assert [text for text, _ in struck(page_of(client, BACK), "count-chest")] == ["123", "122", "121"]


def test_a_field_is_described_by_what_it_said_before(client):
    kept(client, **{"count-chest": "121"})
    (tag,) = re.findall(r'<input id="count-chest"[^>]*>', page_of(client, BACK))
    assert "count-chest-before" in re.search(r'aria-describedby="([^"]*)"', tag)[1].split()


def test_a_wish_that_was_taken_back_stands_struck_out(client):
    sent_again(client, "/makes/grey_pullover/fits", **{"wish-chest": "+1 cm"})
    page = sent_again(client, "/makes/grey_pullover/fits", **{"wish-chest": ""})
    assert struck(page, "wish-chest")[0][0] == "+1 cm"


def test_a_sweater_that_was_fitted_before_stands_struck_out_by_its_name(client, store):
    other = next(garment for garment in store.household().garments if garment.id != "brown_pullover")
    page = sent_again(client, "/makes/grey_pullover/fits", occasion=f"{other.id} {other.occasions[0].id}")
    assert [text for text, _ in struck(page, "occasion")] == [store.get("garments", "brown_pullover").doc["name"]]


def table(store):
    return store.household().size_tables[0]


def test_a_cell_of_a_size_table_stands_struck_out_in_its_cell(client, store):
    path = f"/size-tables/{table(store).id}"
    before = fields_in(page_of(client, path))
    name = next(name for name, text in before.items() if re.fullmatch(r"c_\d+_\d+", name) and text.isdecimal())
    page = sent_again(client, path, **{name: str(int(before[name]) + 2)}, do="keep")
    assert [text for text, _ in struck(page, name)] == [before[name]]
    others = [other for other in re.findall(r'id="(c_\d+_\d+)-before"', page) if other != name]
    assert others == []


def test_a_cell_is_followed_where_a_size_was_put_in_before_its_own(client, store):
    key = table(store).id
    stored = store.get("size_tables", key)
    document = stored.doc
    piece = next(iter(document["sizes"][0]["pieces"]))
    point = next(iter(document["sizes"][0]["pieces"][piece]))
    document["sizes"][0]["pieces"][piece][point]["count"] = 97
    stored = store.put("size_tables", key, document, stored.revision)
    document["sizes"][0]["pieces"][piece][point]["count"] = 98
    stored = store.put("size_tables", key, document, stored.revision)
    document["sizes"].insert(0, {"name": "tiny", "pieces": {piece: {point: {"count": 61}}}})
    store.put("size_tables", key, document, stored.revision)
    page = page_of(client, f"/size-tables/{key}")
    told = {name: struck(page, name) for name in re.findall(r'id="(c_\d+_\d+)-before"', page)}
    (name,) = [name for name, lines in told.items() if "97" in [text for text, _ in lines]]
    assert name.endswith("_1")
    assert fields_in(page)[name] == "98"


@pytest.mark.parametrize(
    ("path", "field", "typed", "again"),
    [
        ("/swatches/grey_at_7/edit", "mast_tension", "4", "5"),
        ("/swatches/grey_at_7/stages/0", "grams", "31", "32"),
        ("/makes/grey_pullover/settings", "depth-hem", "5 cm", "6 cm"),
        ("/swatches/yarns/grey_wool_in_oil", "grams_1", "410", "405"),
        ("/wardrobe/brown_pullover/edit", "name", "brown", "brown one"),
    ],
)
def test_one_way_for_every_record(client, path, field, typed, again):
    sent_again(client, path, **{field: typed})
    page = sent_again(client, path, **{field: again})
    assert struck(page, field)[0][0] == typed


def put_right(client, make="grey_pullover"):
    """What the page of a make says was put right: each line in words, and where it leads."""
    page = page_of(client, f"/makes/{make}")
    if 'id="put-right"' not in page:
        return {}
    part = page[page.index('id="put-right"') :]
    lines = re.findall(r'<li><a href="([^"]+)">(.*?)</li>', part[: part.index("</ul>")], re.S)
    return {" ".join(re.sub(r"<[^>]+>", " ", line).split()): to for to, line in lines}


def test_the_page_of_a_make_says_which_of_its_figures_were_others_before(client, store):
    assert put_right(client) == {}
    kept(client, **{"count-chest": "121", "dial": "7.1", "grams": "170"})
    kept(client, grams="171", lot="B")
    sent_again(client, "/makes/grey_pullover/fits", **{"wish-chest": "+1 cm"})
    sent_again(client, "/makes/grey_pullover/fits", **{"wish-chest": "+1.5 cm"})
    told = {re.sub(r"typed \d+ \w+ \d{4}", "typed", line): to for line, to in put_right(client).items()}
    assert told == {
        "Back: stitches at the chest, as counted 121 before: 120 typed": f"{BACK}#count-chest",
        "Back: dial 7.1 before: 7 typed": f"{BACK}#dial",
        "Back, washed, blocked and dry: weight in grams 171 before: 170 typed before: 166 typed": (
            f"{BACK}?stage=1#grams"
        ),
        "Chest, wished +1.5 cm before: +1 cm typed": "/makes/grey_pullover/fits#wish-chest",
    }


def test_every_figure_that_was_put_right_leads_to_its_field(client):
    kept(client, **{"count-chest": "121", "rib_rows": "22", "grams": "170"})
    kept(client, rib_rows="23", grams="171")
    lines = put_right(client)
    assert len(lines) == 3
    for to in lines.values():
        path, _, at = to.partition("#")
        assert f'id="{at}"' in page_of(client, path)


def test_what_was_said_to_be_knitted_stands_struck_out_once_the_piece_is_counted(client, store):
    stored = store.get("makes", "grey_pullover")
    document = stored.doc
    document["pieces"][0]["counts"]["hem"] = {"knitted": 116}
    store.put("makes", "grey_pullover", document, stored.revision)
    client.post("/makes/grey_pullover/count", data={"point": "hem", "count": "117", "of": ""})
    page = page_of(client, BACK)
    assert re.search(r'<input id="count-hem"[^>]* value="117"', page)
    assert "116" in [text for text, _ in struck(page, "count-hem")]
