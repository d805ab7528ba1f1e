"""How a piece was knitted: one form a piece, at any time; its stage by name; its readings to be put right in place."""

from __future__ import annotations

import html
import re

import pytest

from fitcheck.records.places import Place
from fitcheck.store.places import lists_of
from tests.webui.lent import lend
from tests.webui.test_pages_wardrobe import fields_in

BACK = "/makes/grey_pullover/pieces/back"
CHEST = Place("makes", "grey_pullover", ("pieces", "back", "stages", 1, "readings", "chest"))


def piece(store, key="back", make="grey_pullover"):
    return next(piece for piece in store.get("makes", make).doc["pieces"] if piece["id"] == key)


def page_of(client, path, status=200):
    answer = client.get(path)
    assert answer.status_code == status
    return answer.get_data(as_text=True)


def fields(page):
    """What stands in every field of the form of the piece."""
    form = page[page.index('<form class="form knitform"') : page.index("</form>", page.index("knitform"))]
    typed = dict(re.findall(r'<input[^>]* name="([^"]+)" type="(?:text)" value="([^"]*)"', form))
    typed |= dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', form))
    typed |= dict(re.findall(r'<input type="radio" name="([^"]+)" value="([^"]*)" checked', form))
    for name, options in re.findall(r'<select id="[^"]+" name="([^"]+)">(.*?)</select>', form, re.S):
        chosen = re.search(r'value="([^"]*)" selected', options)
        typed[name] = chosen[1] if chosen else ""
    return typed


def kept(client, path=BACK, **changed):
    """Open the form, change some of it and send it."""
    typed = {**fields(page_of(client, path)), **changed}
    return client.post(path, data=typed)


def test_the_form_has_what_is_known_of_the_piece(client, store):
    typed = fields(page_of(client, BACK))
    counts = piece(store)["counts"]
    assert typed["count-chest"] == str(counts["chest"].get("counted") or counts["chest"]["knitted"])
    assert (typed["dial"], typed["kind"], typed["on"], typed["hours"]) == ("7", "blocked", "16 Sept 2025", "20")


def test_beside_a_count_stands_what_was_planned_for_the_piece_not_what_its_size_has_by_now(client, store):
    assert piece(store)["counts"]["armhole_depth"]["planned"] == 69
    assert re.findall(r"planned (\d+)", page_of(client, BACK))[:4] == ["118", "120", "94", "36"]
    assert "planned 69" in page_of(client, BACK)
    assert "planned 64" not in page_of(client, BACK)


def test_sent_as_it_stands_the_form_changes_nothing(client, store):
    before = store.get("makes", "grey_pullover").revision
    assert kept(client).status_code == 303
    assert store.get("makes", "grey_pullover").revision == before


def test_counts_rib_dial_grams_lot_and_stage_are_put_right_at_once(client, store):
    typed = {
        "count-shoulder_drop": "9",
        "rib_rows": "22",
        "dial": "7.1",
        "lot": "B",
        "grams": "170 g",
        "kind": "rested",
        "blocking": "",
        "on": "17.9.2025",
        "hours": "24",
    }
    assert kept(client, **typed).status_code == 303
    now = piece(store)
    assert (now["counts"]["shoulder_drop"]["knitted"], now["rib"], now["lot"]) == (9, {"rows": 22}, "B")
    assert now["dial"] == {"number": 7, "marks": 1}
    stage = now["stages"][1]
    assert (stage["kind"], stage["on"], stage["hours"], stage["grams"]) == ("rested", "2025-09-17", 24.0, 170.0)
    assert "blocking" not in stage
    assert stage["readings"]["chest"]
    assert fields(page_of(client, f"{BACK}?stage=1"))["rib_rows"] == "22"


def test_what_was_counted_on_the_piece_is_put_right_as_counted(client, store):
    stored = store.get("makes", "grey_pullover")
    document = stored.doc
    document["pieces"][0]["counts"]["chest"] = {"knitted": 118, "counted": 120, "confirmed": True}
    store.put("makes", "grey_pullover", document, stored.revision)
    kept(client, **{"count-chest": "121"})
    assert piece(store)["counts"]["chest"] == {"knitted": 118, "counted": 121}


def test_an_earlier_stage_is_put_right_too(client, store):
    kept(client, f"{BACK}?stage=0", on="12 Sept 2025")
    assert [stage["on"] for stage in piece(store)["stages"]] == ["2025-09-12", "2025-09-16"]


def test_the_dial_begins_with_the_one_that_was_advised(client, ask):
    stored = ask("GET", "/makes/grey_pullover")[1]
    ask("PUT", "/makes/new", {**stored["record"], "pieces": [], "id": "new", "name": "a new one"}, 0)
    advised = ask("GET", "/makes/new/fabric")[1]["answer"]["dials"]["knit_at"]
    page = page_of(client, "/makes/new/pieces/back")
    assert fields(page)["dial"] == advised
    assert f"advised {advised}<" in page


def test_a_piece_that_nobody_wrote_down_is_begun_without_a_stage(client, store):
    sleeve = "/makes/grey_pullover/pieces/sleeve"
    assert kept(client, sleeve, **{"count-cuff": "56", "dial": "7"}).status_code == 303
    now = piece(store, "sleeve")
    assert (now["counts"]["cuff"], now["piece"], now.get("stages", [])) == ({"knitted": 56}, "sleeve", [])
    assert kept(client, sleeve, kind="off_machine", grams="61").status_code == 303
    assert piece(store, "sleeve")["stages"] == [{"kind": "off_machine", "grams": 61.0}]


@pytest.mark.parametrize(
    ("construction", "piece", "asked"),
    [
        ("set_in", "back", "hem chest shoulder_width neck_width to_underarm armhole_depth shoulder_drop"),
        ("raglan", "back", "hem chest neck_width to_underarm armhole_depth"),
        ("drop_shoulder", "back", "hem chest neck_width to_underarm armhole_depth shoulder_drop"),
        ("set_in", "sleeve", "cuff upper_arm sleeve_to_underarm cap_height"),
        ("raglan", "sleeve", "cuff upper_arm sleeve_to_underarm sleeve_length"),
        ("drop_shoulder", "sleeve", "cuff upper_arm sleeve_to_underarm sleeve_length"),
    ],
)
def test_counts_are_asked_of_what_the_construction_has(empty, construction, piece, asked):
    empty.put("makes", "grey", {"id": "grey", "name": "grey", "construction": construction}, 0)
    page = lend(empty).test_client().get(f"/makes/grey/pieces/{piece}").text
    assert re.findall(r'name="count-(\w+)"', page) == asked.split()
    typed = {f"count-{key}": "40" for key in asked.split()}
    assert lend(empty).test_client().post(f"/makes/grey/pieces/{piece}", data=typed).status_code == 303


def test_what_is_said_of_a_stage_wants_its_name(client, store):
    answer = kept(client, "/makes/grey_pullover/pieces/sleeve", grams="61")
    assert answer.status_code == 422
    assert "off the machine, rested, or washed, blocked and dry" in answer.get_data(as_text=True)
    assert fields(answer.get_data(as_text=True))["grams"] == "61"


def test_what_is_no_count_is_refused_beside_its_field_with_all_else_kept(client, store):
    before = store.get("makes", "grey_pullover").revision
    answer = kept(client, **{"count-chest": "many", "lot": "B"})
    page = answer.get_data(as_text=True)
    assert answer.status_code == 422
    assert 'id="count-chest-refused"' in page
    assert (fields(page)["count-chest"], fields(page)["lot"]) == ("many", "B")
    assert store.get("makes", "grey_pullover").revision == before


def test_stages_are_called_by_their_names(client):
    page = page_of(client, BACK)
    names = re.findall(r'name="kind" value="[a-z_]+"(?: checked)?><span>([^<]+)', page)
    assert names == ["off the machine", "rested", "washed, blocked and dry"]


def test_the_rows_add_up_above_the_rib(client):
    assert "Above the rib <b>185 rows</b>: 108 + 69 + 8." in page_of(client, BACK)


def test_a_piece_that_there_is_none_of_has_no_page(client):
    page_of(client, "/makes/grey_pullover/pieces/pocket", 404)


def test_another_who_changed_it_meanwhile_is_shown_beside(client, store):
    typed = fields(page_of(client, BACK))
    kept(client, lot="B")
    answer = client.post(BACK, data={**typed, "form": "another-form-id-00", "lot": "C"})
    assert answer.status_code == 409
    assert "Lot" in answer.get_data(as_text=True)


# Put right in place


def opened(page):
    """The open row: what its field holds, and the text of the row."""
    row = re.search(r'<form class="inplace.*?</form>', page, re.S)
    assert row is not None
    (tag,) = re.findall(r'<input id="fix-text"[^>]*>', row[0])
    return re.search(r'value="([^"]*)"', tag)[1], " ".join(re.sub(r"<[^>]+>", " ", row[0]).split())


def chips(page, point="chest"):
    at = page.index(f' id="at-{point}"')
    return re.findall(r'<a href="([^"]+)"[^>]*>([^<]+)</a>', page[at : page.index("</p>", at)])


def sent(page, **typed):
    row = re.search(r'<form class="inplace.*?</form>', page, re.S)[0]
    return {**dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', row)), "do": "keep", **typed}


def test_a_figure_opens_a_row_under_itself_without_a_script(client):
    page = page_of(client, BACK)
    assert "inplace" not in page
    to, text = chips(page)[2]
    assert to.endswith("#fix")
    value, told = opened(page_of(client, to.replace("&amp;", "&").removesuffix("#fix")))
    assert value.replace(",", ".") == text == "53.6"
    assert "third reading, cm" in told


def test_a_figure_is_put_right_and_the_old_one_stands_struck_out_with_its_hour(client, store):
    to = chips(page_of(client, BACK))[0][0].removesuffix("#fix")
    answer = client.post("/put-right", data=sent(page_of(client, to), text="52.9"), follow_redirects=True)
    page = answer.get_data(as_text=True)
    assert chips(page)[0][1] == "52.9"
    assert "put right: 52.9 cm" in page
    assert re.search(
        r"Changed once</summary>\s*<ul class=\"past\"><li><s class=\"fig2\">53,2</s><span>typed \d", page
    ) or re.search(r'<s class="fig2">53,2</s><span>typed \d', page)
    assert len(piece(store)["stages"][1]["readings"]["chest"]) == 3


def test_an_old_figure_is_brought_back_from_beside_the_new_one(client, store):
    store.put_right(CHEST, "r11", "52.9", "cm")
    page = page_of(client, BACK)
    undo = re.search(r'<form method="post" action="/take-back".*?</form>', page, re.S)[0]
    hidden = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', undo))
    assert client.post("/take-back", data=hidden).status_code == 303
    assert piece(store)["stages"][1]["readings"]["chest"][0]["text"] == "53,2 cm"


def test_what_is_no_length_comes_back_in_its_row_with_what_would_be_taken(client, store):
    to = chips(page_of(client, BACK))[0][0].removesuffix("#fix")
    before = store.get("makes", "grey_pullover").revision
    answer = client.post("/put-right", data=sent(page_of(client, to), text="52.9.1"))
    assert answer.status_code == 303
    value, told = opened(page_of(client, answer.location.removesuffix("#fix")))
    assert value == "52.9.1"
    assert "Not taken: 52.9.1." in told
    assert store.get("makes", "grey_pullover").revision == before


def test_a_reading_is_set_aside_from_its_row(client, store):
    to = chips(page_of(client, BACK))[0][0].removesuffix("#fix")
    client.post("/put-right", data=sent(page_of(client, to), do="aside", reason="a fold"))
    assert piece(store)["stages"][1]["readings"]["chest"][0]["set_aside"] == "a fold"


def test_a_figure_of_whole_hundreds_is_millimetres_as_everywhere(client, store):
    to = chips(page_of(client, BACK))[0][0].removesuffix("#fix")
    client.post("/put-right", data=sent(page_of(client, to), text="529"))
    assert chips(page_of(client, BACK))[0][1] == "52.9"


def test_in_inches_a_figure_is_put_right_in_inches(client, store):
    client.set_cookie("unit", "in")
    to = chips(page_of(client, BACK))[0][0].removesuffix("#fix")
    page = page_of(client, to)
    assert "first reading, in" in opened(page)[1]
    client.post("/put-right", data=sent(page, text="20 7/8"))
    reading = piece(store)["stages"][1]["readings"]["chest"][0]
    assert (reading["text"], reading["unit"]) == ("20 7/8", "in")


def test_a_reading_that_is_not_there_is_not_put_right(client):
    data = {
        "place": "makes grey_pullover pieces/back/stages/1/readings/chest",
        "reading": "r999",
        "text": "52",
        "back": "/",
    }
    assert client.post("/put-right", data=data).status_code == 404


@pytest.mark.parametrize(
    ("page", "kind", "at"),
    [
        ("/wardrobe/brown_pullover?occasion=washed_in_spring", "garments", "occasions/washed_in_spring/readings/chest"),
        ("/swatches/grey_at_7", "swatches", "stages/0/across"),
    ],
)
def test_what_is_kept_on_a_shelf_is_put_right_in_place_too(client, store, page, kind, at):
    whole = page_of(client, page)
    links = [html.unescape(to) for to in re.findall(r'<a href="([^"]+fix=[^"]+)"', whole)]
    to = next(to for to in links if f"fix={at.replace('/', '%2F')}%2F" in to)
    opened_page = page_of(client, to.removesuffix("#fix"))
    assert re.search(r'<details class="(read|line valued)"[^>]* open>', opened_page)
    told = client.post("/put-right", data=sent(opened_page, text="44.4"), follow_redirects=True)
    assert "Put right: 44.4 cm." in told.get_data(as_text=True)
    assert "occasion=washed_in_spring" in told.request.full_path or kind == "swatches"
    key = page.split("?")[0].rsplit("/", 1)[1]
    texts = [
        entry["text"]
        for path, listed in lists_of(kind, store.get(kind, key).doc)
        if "/".join(map(str, path)) == at
        for entry in listed
    ]
    assert texts[0] == "44.4"


def test_when_and_how_a_swatch_was_read_is_put_right(client, store):
    page = page_of(client, "/swatches/grey_at_7/stages/0")
    typed = {**fields_in(page[page.index('<form class="form sect"') :]), "on": "1 Jan 2024", "grams": "31"}
    assert client.post("/swatches/grey_at_7/stages/0", data=typed).status_code == 303
    stage = store.get("swatches", "grey_at_7").doc["stages"][0]
    assert (stage["on"], stage["grams"]) == ("2024-01-01", 31.0)


@pytest.mark.parametrize("path", ["/swatches/grey_at_7/stages/9", "/wardrobe/brown_pullover/occasions/never"])
def test_what_was_never_read_has_no_date_to_put_right(client, path):
    page_of(client, path, 404)


@pytest.mark.parametrize("page", ["/makes/grey_pullover/walk?begin=1", "/piece", "/makes/grey_pullover/points"])
def test_wherever_a_piece_is_added_its_stage_is_one_of_the_three_names(client, page):
    names = re.findall(r'name="stage" value="[a-z_]+"(?: checked)?><span>([^<]+)', page_of(client, page))
    assert names[-3:] == ["off the machine", "rested", "washed, blocked and dry"]


def test_after_the_wash_the_button_opens_blocked(client):
    page = page_of(client, "/makes/grey_unwashed")
    (to,) = re.findall(r'<a class="btn main" href="([^"]+)">Read it again once it is washed and dry', page)
    assert 'name="stage" value="blocked" checked' in page_of(client, html.unescape(to))


def test_a_piece_off_the_machine_is_walked_at_that_stage(client, store):
    client.post("/makes/grey_pullover/walk/begin", data={"piece": "front", "stage": "off_machine", "dial": "7"})
    assert [stage["kind"] for stage in piece(store, "front")["stages"]] == ["off_machine"]
