"""The page of one make, and what is done on it: questions, counts, readings set aside, what it must fit, settings."""

from __future__ import annotations

import html
import re
import shutil
from importlib.resources import files
from pathlib import Path

import pytest

from fitcheck.drawing.laid import PLACES
from fitcheck.records.places import Place
from fitcheck.store import Store
from fitcheck.words import advised
from fitcheck.words.pages import more_asked
from tests.invented import household, in_turn, report_of
from tests.webui.lent import lend
from webui.config import PORT
from webui.pages.make.asks import MOST_ASKED

from .test_pages_table import LAID, Browser, heading
from .test_pages_wardrobe import chosen, sides


@pytest.fixture(scope="module")
def invented_file(tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("invented") / "household.sqlite"
    with Store.open(path) as store:
        Browser(lend(store, PORT).test_client(), store).post("/invented")
    return path


@pytest.fixture
def browser(tmp_path: Path, invented_file: Path):
    with Store.open(shutil.copy(invented_file, tmp_path)) as store:
        yield Browser(lend(store, PORT).test_client(), store)


def said(page: str) -> str:
    found = re.search(r'<div class="strip" role="status"><p>(.*?)</p>', page, re.S)
    return html.unescape(found[1]) if found else ""


def undo_of(page: str) -> dict[str, str]:
    form = re.search(r'<form method="post" action="/undo">(.*?)</form>', page, re.S)
    assert form
    return {name: html.unescape(value) for name, value in re.findall(r'name="(\w+)" value="([^"]*)"', form[1])}


def fields_of(page: str) -> dict[str, str | list[str]]:
    """What a browser would send of the page's main form, untouched."""
    form = re.search(r'<form class="form".*?</form>', page, re.S)
    assert form
    found: dict[str, str | list[str]] = {}
    for tag in re.findall(r"<input[^>]*>", form[0]):
        name, value = re.search(r'name="([^"]*)"', tag), re.search(r'value="([^"]*)"', tag)
        assert name
        text = html.unescape(value[1]) if value else ""
        if 'type="checkbox"' in tag:
            ticked = found.setdefault(name[1], [])
            assert isinstance(ticked, list)
            ticked.extend([text] if " checked" in tag else [])
        elif 'type="radio"' not in tag or " checked" in tag:
            found[name[1]] = text
    for name, options in re.findall(r'<select[^>]*name="([^"]*)"[^>]*>(.*?)</select>', form[0], re.S):
        chosen = re.search(r'value="([^"]*)" selected', options) or re.search(r'value="([^"]*)"', options)
        assert chosen
        found[name] = html.unescape(chosen[1])
    for name, text in re.findall(r'<textarea[^>]*name="([^"]*)"[^>]*>(.*?)</textarea>', form[0], re.S):
        found[name] = html.unescape(text)
    return found


@pytest.mark.parametrize("key", in_turn(make.id for make in household().makes))
def test_every_invented_make_has_its_answer_as_the_one_heading(browser, key):
    page = browser.read(f"/makes/{key}")
    if browser.store.get("makes", key).record.finished:
        assert heading(page).startswith("Finished on ")
        return
    told = advised(report_of(key))
    head = html.unescape(heading(page))
    assert head == told.head
    assert head[-1] in ".?"
    for part in (told.because, *told.paragraphs):
        assert html.escape(part, quote=False) in page.replace("&#39;", "'")
    # Several deeds are a list, the one of the heading too; each says when. One alone stands among the counts.
    listed = re.findall(r'<span class="what">(.*?)</span> <span class="when[^"]*">(.*?)</span>', page)
    assert [(html.unescape(what).lower(), when) for what, when in listed] == [
        (deed.ended.lower(), deed.when) for deed in told.all_deeds if len(told.all_deeds) > 1
    ]
    assert len(told.all_deeds) != 1 or 'class="new"' in page


def test_the_points_stand_with_sign_word_figures_and_ruler_and_the_drawing_has_their_keys(browser):
    page = browser.read("/makes/grey_pullover")
    assert page.count('id="p-') == page.count('class="ruler"') == 8
    chest = re.search(r'<li id="p-chest">.*?</li>', page, re.S)
    assert chest
    assert "differs" in chest[0]
    assert re.search(r"<b>1\.5.cm narrow</b>, likely 1\.0 to 1\.9; 1\.0 allowed", chest[0])
    assert "wanted 54.9, measured 53.4" in chest[0]
    # What matches is one line each; what is not settled stands open.
    assert page.count('<li id="p-') == 1
    assert re.findall(r'<details class="line" id="p-(\w+)">', page)[0] == "neck_width"
    assert "Seven match" in page
    figure = re.search(r'<h3 class="pt"><i>(\d)</i>', chest[0])
    assert figure
    assert f'data-point="{figure[1]}"' in page


def test_after_the_back_what_a_front_must_measure_shows_what_the_back_lacks(browser):
    chest = {}
    for piece in ("back", "front"):
        page = browser.read(f"/makes/grey_pulled_long?piece={piece}")
        chest[piece] = html.unescape(re.search(r'id="p-chest">.*?</li>', page, re.S)[0])
    lacks = re.search(r"<b>([\d.]+).cm narrow</b>", chest["back"])[1]
    assert re.search(rf"wanted 58\.2, and {lacks} that the back lacks, measured \d", chest["front"])
    # Where nothing lies beside it, what is wanted is one figure.
    assert (
        " lacks" not in browser.read("/makes/grey_pullover")[: browser.read("/makes/grey_pullover").index('id="rest"')]
    )


def test_the_outlines_can_be_lined_up_elsewhere_by_a_link_without_javascript(browser):
    pages = {at: browser.read(f"/makes/grey_pullover?at={at}") for at in PLACES}
    for at, page in pages.items():
        assert f'href="?at={at}#drawing" aria-current="true"' in page
    moved = {re.search(r'class="mv" transform="([^"]*)"', page)[1] for page in pages.values()}
    assert len(moved) == 3
    assert "?at=shoulders#drawing" in browser.read("/makes/grey_pullover?at=elsewhere")


def test_why_cost_chance_and_the_other_ways_stand_under_the_answer(browser):
    page = browser.read("/makes/grey_pullover")
    told = re.search(r'<dl class="told">.*?</dl>', page, re.S)[0]
    figures = dict(re.findall(r'<dt>(.*?)</dt>\s*<dd class="fig">(.*?)</dd>', told))
    assert {label: html.unescape(figure) for label, figure in figures.items()} == {
        "Chance that all fits": "19 in 20",
        "Cost: of the back’s work": "a fiftieth",
        "Why": "0.5 cm",
    }
    assert re.search(r'with nothing changed\s+<b class="nb">1 in 10</b>', told)
    assert "narrower than is allowed at the chest." in told
    assert told.count("v17h-5z") == 19  # teeth of the tape
    ways = re.search(r'<ol class="ways5">.*?</ol>', page, re.S)[0]
    # The advised way first; of seven ways three would change nothing: they are no choice, and stand in one line.
    assert re.findall(r'<li id="way-\w+"><span>(.*?)</span>', ways) == [
        "Other counts for the rest",
        "Carry on as planned",
        "Block again",
        "Knit again",
    ]
    assert "left out" not in ways
    assert '<p class="label">Alter the lower end, because ' in page
    assert '<p class="label">Measure again, because ' in page
    assert page.count("btn main") == 1


def test_a_question_is_answered_by_typing_again_and_was_becomes_now_with_undo(browser):
    at = "/makes/moss_pullover_slip"
    page = browser.read(at)
    place = html.unescape(re.search(r'name="place" value="([^"]+)"', page)[1])
    answer = browser.post(f"{at}/answer", place=place, do="again", text="55.0")
    assert answer.status_code == 303
    page = browser.read(at)
    assert said(page).startswith("Was: ")
    assert "Now: Carry on. " in said(page)
    assert 'id="questions"' not in page
    assert "typed again: 55.0" in page
    assert said(browser.read(at)) == ""  # said once
    browser.post(f"{at}/answer", place=place, do="keep")
    assert said(browser.read(at)) == "That question is answered already."


def test_undo_takes_an_answered_question_back(browser):
    at = "/makes/moss_pullover_slip"
    place = html.unescape(re.search(r'name="place" value="([^"]+)"', browser.read(at))[1])
    before = browser.store.get("makes", "moss_pullover_slip").doc
    browser.post(f"{at}/answer", place=place, do="keep")
    page = browser.read(at)
    assert browser.store.get("makes", "moss_pullover_slip").doc != before
    assert browser.post("/undo", **undo_of(page)).headers["Location"] == at
    assert browser.store.get("makes", "moss_pullover_slip").doc == before
    assert said(browser.read(at)) == "Undone: it is as it was before."


def test_undo_changes_nothing_when_something_else_came_in_meanwhile(browser):
    at = "/makes/moss_pullover_slip"
    place = html.unescape(re.search(r'name="place" value="([^"]+)"', browser.read(at))[1])
    browser.post(f"{at}/answer", place=place, do="keep")
    back = undo_of(browser.read(at))
    kept = browser.store.get("makes", "moss_pullover_slip")
    browser.store.put("makes", kept.key, {**kept.doc, "notes": "something else"}, kept.revision)
    browser.post("/undo", **back)
    assert browser.store.get("makes", kept.key).doc["notes"] == "something else"


def assert_told_first(page, field):
    """What was refused is said above the answer, with a link to its field: on a phone the field is further down."""
    assert page.index("<b>Not taken yet.</b>") < page.index("<h1>")
    assert f'<a href="#{html.escape(field)}">' in page
    assert len(re.findall(f' id="{re.escape(html.escape(field))}"', page)) == 1


def test_what_cannot_be_read_as_a_length_stays_in_the_field_of_the_question(browser):
    at = "/makes/moss_pullover_slip"
    place = html.unescape(re.search(r'name="place" value="([^"]+)"', browser.read(at))[1])
    answer = browser.post(f"{at}/answer", place=place, do="again", text="55,0,1")
    page = answer.get_data(as_text=True)
    assert answer.status_code == 422
    assert "<b>Not taken: 55,0,1.</b>" in page
    assert_told_first(page, place)
    assert re.search(r'<input[^>]* name="text"[^>]* value="55,0,1"', page)


def test_inches_typed_as_centimetres_are_put_right_with_one_button(browser):
    make = browser.post(
        "/piece", piece="back", way="numbers", stage="blocked",
        ref_chest="52", own_chest="20.4", ref_shoulder_width="41", own_shoulder_width="41.5",
    ).headers["Location"]  # fmt: skip
    page = browser.read(make)
    assert ">It was inches</button>" in page
    place = html.unescape(re.search(r'name="place" value="([^"]+)"', page)[1])
    browser.post(f"{make}/answer", place=place, do="slip")
    # 20.4 in = 518.16 mm
    assert "measured 51.8" in browser.read(make)


def test_a_reading_set_aside_stays_listed_and_counts_no_more(browser):
    at = "/makes/grey_pullover"
    page = browser.read(at)
    place, which = re.search(
        r'"place" value="([^"]+)"><p class="whose">.*?"which" value="([^"]+)"', page, re.S
    ).groups()
    browser.post(f"{at}/aside", place=html.unescape(place), which=which)
    page = browser.read(at)
    assert "From 23 readings" in page
    assert "set aside: no reason was given" in page
    browser.post("/undo", **undo_of(page))
    assert "From 24 readings" in browser.read(at)


def test_stitches_across_the_chest_are_asked_after_the_answer_and_kept_as_counted(browser):
    make = browser.post("/piece", **LAID, own_chest="-1.1").headers["Location"]
    assert "Stitches across the chest?" in browser.read(make)
    refused = browser.post(f"{make}/count", point="chest", count="12x")
    assert refused.status_code == 422
    assert 'value="12x"' in refused.get_data(as_text=True)
    assert_told_first(refused.get_data(as_text=True), "count")
    browser.post(f"{make}/count", point="chest", count="122")
    assert "Stitches across the chest?" not in browser.read(make)
    piece = browser.store.get("makes", make.removeprefix("/makes/")).doc["pieces"][0]
    assert piece["counts"]["chest"]["counted"] == 122


def test_more_points_are_added_to_what_was_read_and_reading_again_is_another_look(browser):
    make = browser.post("/piece", **LAID, own_chest="-1.1").headers["Location"]
    page = browser.read(f"{make}/points")
    assert 'name="own_hem"' in page
    browser.post(
        f"{make}/points", piece="back", how="overhangs", stage="same", anew="yes",
        own_hem="0.5", way_hem="out", own_chest="-1.3",
    )  # fmt: skip
    stage = browser.store.get("makes", make.removeprefix("/makes/")).doc["pieces"][0]["stages"][0]
    assert [one["text"] for one in stage["overhangs"]["chest"]] == ["-1.1", "-1.3"]
    assert stage["overhangs"]["chest"][1]["look"] == 2
    assert stage["overhangs"]["chest"][1]["laying"] == 2
    assert stage["overhangs"]["hem"][0]["text"] == "+0.5"
    assert "look" not in stage["overhangs"]["hem"][0]


@pytest.mark.parametrize("form", ["fits", pytest.param("settings", marks=pytest.mark.full)])
def test_a_form_that_nobody_touched_changes_nothing(browser, form):
    for make in browser.store.household().makes:
        before = browser.store.get("makes", make.id)
        answer = browser.client.post(
            f"/makes/{make.id}/{form}",
            data=fields_of(browser.read(f"/makes/{make.id}/{form}")),
            base_url="http://localhost:8674",
        )
        assert answer.status_code == 303, make.id
        assert browser.store.get("makes", make.id).revision == before.revision, make.id


def test_a_number_typed_for_the_chest_is_what_it_must_fit(browser):
    at = "/makes/grey_pullover"
    fields = fields_of(browser.read(f"{at}/fits"))
    refused = browser.post(f"{at}/fits", **{**fields, "number-chest": "5x"})
    assert refused.status_code == 422
    assert 'id="number-chest-refused"><b>Not taken: 5x.</b>' in refused.get_data(as_text=True)
    browser.post(f"{at}/fits", **{**fields, "number-chest": "105", "meant-chest": "round"})
    number = browser.store.get("makes", "grey_pullover").doc["fits"]["numbers"]["chest"]
    assert number == {"length": "105 cm", "meant": "round"}
    page = browser.read(at)
    assert said(page) == (
        "Was: Carry on. Knit the front wider: chest 126, hem 120 stitches. For the front: 126 stitches instead of "
        "120 at the chest, 120 instead of 118 at the hem. Now: Carry on as planned."
    )
    folded = re.search(r'<details class="all-changes"><summary>(.*?)</summary>(.*?)</details>', page, re.S)
    assert folded[1] == "1 point changed"
    assert "<li>Was: differs. Now: matches. (chest, what it must fit)</li>" in folded[2]


def test_where_a_swatch_comes_first_the_main_button_leads_to_it_with_yarn_and_machine(browser):
    fits, planned = {"numbers": {"chest": {"length": "52 cm"}}}, {"back": {"chest": 112}}
    make = {"name": "bare", "yarn": "grey_wool_in_oil", "fits": fits, "planned": planned}
    browser.store.put("makes", "bare", make, 0)
    page = browser.read("/makes/bare")
    assert "<h1>Knit a swatch first, wash and block it.</h1>" in page
    (main,) = re.findall(r'<a class="btn main" href="([^"]*)"[^>]*>Measure a swatch', page)
    assert html.unescape(main) == "/swatches/new?yarn=grey_wool_in_oil&machine=&make=bare"


def test_a_change_of_everything_says_the_answer_first_and_folds_the_points(browser):
    at = "/makes/grey_pullover"
    fields = fields_of(browser.read(f"{at}/fits"))
    browser.post(f"{at}/fits", **{**fields, "occasion": f"{OTHER} {occasion_of(browser, OTHER)}"})
    page = browser.read(at)
    assert said(page).startswith(
        "Was: Carry on. Knit the front wider: chest 126, hem 120 stitches. For the front: 126 stitches instead of "
    )
    assert " instead of 118 at the hem. Now: " in said(page)
    assert said(page).count("Was: ") == 1
    fold = re.search(r'<details class="all-changes"><summary>(.*?)</summary>(.*?)</details>', page, re.S)
    title, points = fold.groups()
    assert title == f"{points.count('<li>')} points changed"
    assert points.count("<li>Was: ") == points.count("<li>") > 1
    assert undo_of(page)["kind"] == "makes"


OTHER = "sand_pullover"


def occasion_of(browser, garment: str) -> str:
    return browser.store.get("garments", garment).record.occasions[-1].id


def test_without_a_sweater_and_numbers_the_page_says_that_the_size_table_speaks(browser):
    at = "/makes/grey_pullover/fits"
    told = "held against the measures of size 3 in its size table"
    assert told not in browser.read(at)
    browser.post(at, **{**fields_of(browser.read(at)), "occasion": ""})
    assert told in browser.read(at)


# Finished


def test_a_finished_sweater_says_since_when_and_how_it_fits_and_asks_for_nothing(browser):
    page = browser.read("/makes/moss_first")
    assert heading(page) == "Finished on 27 July 2025."
    assert '<p class="because">The front matches at every point that was read.</p>' in page
    assert re.findall(r'<a class="btn main"', page) == []
    assert ">Read a piece again</a>" in page
    assert re.search(r'href="/makes/moss_first/finish">Hang it in the wardrobe</a>', page)
    for gone in ("Read the next piece", "The other", 'class="facts"', 'id="rest"', "Stay at dial"):
        assert gone not in page, gone
    assert "22.7 stitches" in page  # what was learned of the fabric stays


def test_a_finished_sweater_that_is_off_names_its_points(browser):
    stored = browser.store.get("makes", "grey_pullover")
    browser.store.put("makes", "grey_pullover", {**stored.doc, "finished": "2025-11-02"}, stored.revision)
    page = browser.read("/makes/grey_pullover")
    assert heading(page) == "Finished on 2 Nov 2025."
    because = re.search(r'<p class="because">(.*?)</p>', page)[1]
    assert because.startswith("The back matches at shoulder, armhole depth, ")
    assert because.endswith(" and differs at chest.")


# The path


def path_of(page: str) -> dict[str, str]:
    nav = re.search(r'<nav class="path5".*?</nav>', page, re.S)[0]
    steps = re.findall(r'aria-label="([^",]*), (\w+)"', nav)
    assert len(steps) == 5
    return dict(steps)


def test_the_rest_is_done_only_when_every_piece_was_read(browser):
    assert path_of(browser.read("/makes/grey_cardigan"))["The rest"] == "next"  # right front and right sleeve to come
    assert path_of(browser.read("/makes/grey_pulled_long"))["The rest"] == "later"  # the back is blocked again first
    finished = path_of(browser.read("/makes/moss_first"))
    assert set(finished.values()) == {"done"}
    assert list(finished) == ["What to fit", "Fabric", "Size", "Front", "Finished"]


@pytest.mark.parametrize("part", ["", "/fits", "/fabric", "/sizes", "/settings", "/points"])
def test_every_page_of_a_make_has_the_same_five_ticks(browser, part):
    at = "/makes/grey_pullover"
    page = browser.read(f"{at}{part}")
    assert list(path_of(page)) == ["What to fit", "Fabric", "Size", "Back", "The rest"]
    here = {"/fits": "What to fit", "/fabric": "Fabric", "/sizes": "Size"}.get(part)
    assert re.findall(r'aria-label="([^",]*), \w+" aria-current="page"', page) == ([here] if here else [])


def test_a_piece_that_waits_has_not_done_its_step(browser):
    assert path_of(browser.read("/makes/grey_pulled_long"))["Back"] == "next"
    assert path_of(browser.read("/makes/grey_pullover"))["Back"] == "done"


def test_the_tables_line_is_about_the_piece_that_still_waits(browser):
    document = {**browser.store.get("makes", "grey_cardigan").doc, "id": "waiting", "name": "waiting"}
    # The back's shoulder, read in one laying, would have it ripped: another laying first.
    document["pieces"][0]["stages"][0]["readings"]["shoulder_width"] = [{"text": "46.4 cm", "laying": 1}]
    browser.store.put("makes", "waiting", document, 0)
    tape = re.search(r'id="waits-tape".*?</ol>', browser.read("/"), re.S)[0]
    line = re.search(r'href="/makes/waiting[^"]*">.*?</li>', tape, re.S)[0]
    assert line.startswith('href="/makes/waiting?piece=back">')
    assert "the shoulder of the back once more" in line
    # A sweater of one piece, and one whose pieces all carry on, have their latest piece's line.
    assert 'href="/makes/grey_pullover">' in browser.read("/")


# What a count gives, what is listed


def test_a_length_is_told_with_the_band_that_the_piece_has(browser):
    page = browser.read("/makes/grey_pullover")
    row = re.search(r'<th scope="row">body length</th>(.*?)</tr>', page[page.index('id="rest"') :], re.S)[1]
    plain, rib = re.search(r'<td class="num">([\d.]+) \+ ([\d.]+).cm</td>', row).groups()
    # 185 rows of 3.15 mm are 58.3 cm, and 6 cm of rib beside them: together as wanted, 64.5.
    assert float(plain) == pytest.approx(185 * 0.315, abs=0.1)
    assert rib == "6.0"
    assert "185 rows and the rib" in row
    chest = re.search(r'<th scope="row">chest</th>(.*?)</tr>', page[page.index('id="rest"') :], re.S)[1]
    assert "rib" not in chest


def test_readings_of_a_sweater_that_was_not_asked_say_so(browser):
    page = browser.read("/makes/moss_drop_shoulder")
    points = {one.split('"')[0]: one for one in page.split('id="p-')}
    depth = points["armhole_depth"]
    assert "Wanted comes from the numbers that were given." in depth
    # The name of the sweater stands once above its readings, and each of them says that it is not used.
    assert depth.count('class="whose"') == 2
    its = depth.split('class="whose"')[2]
    assert its.count("not used: what is wanted comes from elsewhere") == its.count("<li>") > 1
    assert "not used" not in points["chest"]


def test_the_button_that_keeps_a_reading_says_which_and_the_question_stands_once_in_full(browser):
    page = browser.read("/makes/moss_pullover_slip")
    assert ">Keep 50,4 cm</button>" in page
    assert page.count("from your other readings. Lay the tape again") == 1


def test_before_a_wash_it_is_the_wash_that_is_asked_for(browser):
    page = browser.read("/makes/grey_unwashed")
    assert re.search(r'<a class="btn main"[^>]*>Read it again once it is washed and dry</a>', page)
    assert "so-far" not in page


def test_two_changes_at_once_are_shown_side_by_side_and_neither_is_lost(browser):
    at = "/makes/grey_pullover"
    fields = fields_of(browser.read(f"{at}/fits"))
    browser.post(f"{at}/fits", **{**fields, "form": "the-form-of-another", "number-chest": "53"})
    answer = browser.post(f"{at}/fits", **{**fields, "number-chest": "54"})
    page = answer.get_data(as_text=True)
    assert answer.status_code == 409
    assert sides(page) == {"Chest: number": ("54", "53 cm")}
    assert browser.post(f"{at}/fits", **chosen(page)).status_code == 303
    assert browser.store.get("makes", "grey_pullover").doc["fits"]["numbers"]["chest"]["length"] == "54 cm"


def test_a_deleted_make_is_brought_back_from_the_list(browser):
    browser.post("/makes/grey_pullover/delete")
    assert browser.get("/makes/grey_pullover").status_code == 404
    assert 'action="/makes/grey_pullover/bring-back"' in browser.read("/makes")
    browser.post("/makes/grey_pullover/bring-back")
    assert browser.get("/makes/grey_pullover").status_code == 200


def test_a_make_with_several_pieces_shows_each(browser):
    page = browser.read("/makes/grey_cardigan?piece=back")
    assert 'href="?piece=back" aria-current="true"' in page
    assert 'href="?piece=left_sleeve"' in page
    assert browser.get("/makes/grey_cardigan?piece=hood").status_code == 404


def test_an_open_page_can_ask_whether_its_answer_is_still_the_one(browser):
    page = browser.read("/makes/grey_pullover")
    digest = re.search(r'data-digest="([0-9a-f]+)"', page)[1]
    assert browser.get("/makes/grey_pullover/now").get_json()["digest"] == digest
    stages = browser.store.get("makes", "grey_pullover").doc["pieces"][0]["stages"]
    place = max(number for number, one in enumerate(stages) if one["kind"] == "blocked")
    chest = Place("makes", "grey_pullover", ("pieces", "back", "stages", place, "readings", "chest"))
    browser.store.add_reading(chest, {"text": "54", "unit": "cm"})
    assert browser.get("/makes/grey_pullover/now").get_json()["digest"] != digest


def test_the_sheet_for_paper_is_true_to_scale_in_the_page_and_dated(browser):
    page = browser.read("/makes/grey_pullover")
    sheet = re.search(r'<div class="printed">(.*?)</div>', page, re.S)
    assert sheet
    assert re.search(r'<svg[^>]*class="print-sheet" width="210mm" height="297mm"', sheet[1])
    assert 'class="check-bar"' in sheet[1]
    css = files("webui").joinpath("static", "fitcheck.css").read_text("utf-8")
    assert "svg.print-sheet{width:210mm" in css


def test_the_next_act_leads_to_the_point_that_the_advice_is_about(browser):
    page = browser.read("/makes/childs_school_pullover")
    found = re.search(r'<a class="btn main" href="([^"]*)">(.*?)</a>', page)
    assert found[2] == "Read the body length again"
    to = html.unescape(found[1])
    assert "points=body_length" in to
    assert browser.get(to).status_code == 200


@pytest.mark.full
@pytest.mark.parametrize("make", ["grey_pullover", "grey_cardigan", "moss_pullover_slip"])
def test_every_link_of_the_page_leads_somewhere(browser, make):
    page = browser.read(f"/makes/{make}")
    main = page[page.index("<main") : page.index("</main>")]
    ids = set(re.findall(r'id="([^"]+)"', page))
    for to in set(map(html.unescape, re.findall(r'<a[^>]*href="([^"]+)"', main))):
        path, _, mark = to.partition("#")
        if mark and (not path or path == f"/makes/{make}"):
            assert mark in ids, to
        elif not path.startswith("?"):
            assert browser.get(path).status_code == 200, to


def test_a_sweater_to_choose_has_its_whole_name_and_its_day_first(client, store):
    # A choice that is narrower than it cuts it by itself, and its list shows it whole.
    garment = next(entry for entry in store.household().garments if len(entry.name) > 30)
    page = client.get("/makes/grey_pullover/fits").text
    assert re.search(rf'<option value="{garment.id} [^>]*>\d+ \w+ \d{{4}}, {re.escape(garment.name)}</option>', page)


def test_of_many_questions_fifty_are_asked_and_the_others_are_counted(browser):
    stage = {"kind": "blocked", "readings": {"chest": ["9 cm"] * (MOST_ASKED + 2)}}
    pieces = [{"id": "back", "piece": "back", "stages": [stage]}]
    browser.store.put("makes", "odd", {"name": "odd", "pieces": pieces}, 0)
    page = browser.read("/makes/odd")
    assert len(re.findall(r'<input id="again-\d+"', page)) == MOST_ASKED
    assert "2 more are asked once these are answered." in page
    assert more_asked(1) == "1 more is asked once these are answered."
    assert more_asked(0) == ""
