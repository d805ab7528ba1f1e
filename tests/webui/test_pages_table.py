"""The Table and the door "A piece is on my table": what a browser without JavaScript sends, and what it gets."""

from __future__ import annotations

import re
from pathlib import Path
from urllib.parse import urlencode

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from fitcheck.records.places import Place
from fitcheck.store import Store
from tests.webui.lent import lend
from webui.config import PORT

SITE = {"base_url": f"http://localhost:{PORT}"}


class Browser:
    """A client that asks as a browser on this machine does."""

    def __init__(self, client: FlaskClient, store: Store) -> None:
        self.client, self.store = client, store

    def get(self, path: str) -> TestResponse:
        return self.client.get(path, **SITE)

    def post(self, path: str, **fields: str) -> TestResponse:
        return self.client.post(path, data=fields, **SITE)

    def read(self, path: str) -> str:
        answer = self.get(path)
        assert answer.status_code == 200, (path, answer.status_code)
        return answer.get_data(as_text=True)


@pytest.fixture
def browser(tmp_path: Path):
    with Store.open(tmp_path / "household.sqlite") as store:
        yield Browser(lend(store, PORT).test_client(), store)


def heading(page: str) -> str:
    found = re.findall(r"<h1[^>]*>(.*?)</h1>", page, re.S)
    assert len(found) == 1
    return found[0].strip()


LAID = {"piece": "back", "way": "laid", "stage": "blocked"}


def test_an_empty_table_has_two_doors_and_the_way_to_the_invented_household(browser):
    page = browser.read("/")
    assert heading(page) == "Nothing is on the table yet."
    assert 'href="/piece"' in page
    assert 'href="/plan"' in page
    assert 'action="/invented"' in page
    taken_in = re.search(r'A household file that you have is taken in under\s<a href="/settings#(.*?)">', page)
    assert f'id="{taken_in[1]}"' in browser.read("/settings")


def test_three_overhangs_give_an_answer_on_the_page_that_comes_next(browser):
    answer = browser.post(
        "/piece",
        **LAID,
        own_shoulder_width="0.8",
        way_shoulder_width="short",
        own_chest="+1.1",
        way_armhole_depth="level",
    )
    assert answer.status_code == 303
    make = answer.headers["Location"].removeprefix("/makes/")
    stage = browser.store.get("makes", make).doc["pieces"][0]["stages"][0]
    texts = {point: listed[0]["text"] for point, listed in stage["overhangs"].items()}
    assert texts == {"shoulder_width": "−0.8", "chest": "+1.1", "armhole_depth": "level"}
    assert stage["kind"] == "blocked"
    page = browser.read(answer.headers["Location"])
    assert "From 3 readings" in page
    assert heading(page)[-1] in ".!?"


def test_the_door_says_truly_why_its_three_points_come_first(browser):
    page = browser.read("/piece")
    assert "what the chest lacks, the front can make up" in page
    sleeve = browser.read("/piece?piece=back&way=laid&show=sleeve")
    assert "The upper arm no other piece can mend" in sleeve
    assert "chest" not in re.search(r'<p class="because">(.*?)</p>', sleeve)[1]


def test_one_overhang_alone_gives_an_answer(browser):
    answer = browser.post("/piece", **LAID, own_chest="-3.5")
    # 35 mm, and a seam stitch of 4.5 mm (assumed) at each side, which the sweater laid under has no longer
    page = browser.read(answer.headers["Location"])
    assert "laid on the garment, 3.5 cm short of it, and 0.9 for the seams" in page
    assert "<b>4.4 cm narrow</b>" in page


def test_six_numbers_keep_the_sweater_in_the_wardrobe_and_measure_the_piece_against_it(browser):
    answer = browser.post(
        "/piece",
        piece="back",
        way="both",
        stage="blocked",
        ref_shoulder_width="41.2",
        own_shoulder_width="42.3",
        ref_chest="538",
        own_chest="54,5",
        ref_armhole_depth="21.4",
        own_armhole_depth="21.9",
    )
    (garment,) = browser.store.household().garments
    read = garment.occasions[0].readings["chest"][0]
    assert (read.text, read.unit, read.length.value_mm) == ("538", "mm", 538.0)  # whole hundreds are millimetres
    page = browser.read(answer.headers["Location"])
    assert "measured 54.5" in page
    assert page.count('class="ruler"') == 3


def test_a_sweater_of_the_wardrobe_numbers_and_body_with_ease_are_what_it_must_fit(browser):
    browser.post("/invented")
    garment = browser.store.household().garments[0]
    taken = browser.post("/piece", piece="back", way="wardrobe", stage="blocked", garment=garment.id, own_chest="54")
    make = browser.store.get("makes", taken.headers["Location"].removeprefix("/makes/")).doc
    assert make["fits"]["garment"] == garment.id
    taken = browser.post("/piece", piece="back", way="numbers", stage="blocked", ref_chest="52", own_chest="54")
    make = browser.store.get("makes", taken.headers["Location"].removeprefix("/makes/")).doc
    assert make["fits"]["numbers"]["chest"]["length"] == "52 cm"
    taken = browser.post(
        "/piece", piece="back", way="ease", stage="blocked", ref_chest="96", ease_chest="8", own_chest="53"
    )
    page = browser.read(taken.headers["Location"])
    # (96 + 8) / 2 flat, and a stitch for the seam at each side
    assert re.search(r"wanted 5[23]\.\d, measured 53\.0", page)


def test_a_refused_field_keeps_everything_typed_and_says_beside_it_what_is_taken(browser):
    answer = browser.post("/piece", **LAID, own_shoulder_width="0.8.1", way_shoulder_width="out", own_chest="<b>+1")
    page = answer.get_data(as_text=True)
    assert answer.status_code == 422
    assert "<b>Not taken: 0.8.1.</b>" in page
    assert 'value="0.8.1"' in page
    assert 'value="&lt;b&gt;+1"' in page
    assert re.search(r'name="way_shoulder_width" value="out"\s+checked', page)
    assert browser.store.household().makes == []


def test_an_overhang_without_a_side_is_asked_for_it_and_nothing_is_kept(browser):
    answer = browser.post("/piece", **LAID, own_chest="1.1")
    assert answer.status_code == 422
    assert "Sticks out or falls short?" in answer.get_data(as_text=True)
    assert browser.store.household().makes == []


def fields_of(page: str) -> dict[str, str]:
    """Names and values that a form of a page would send."""
    return dict(re.findall(r'<input[^>]*? name="([^"]+)"[^>]*? value="([^"]*)"', page))


def test_another_way_to_say_what_it_shall_fit_keeps_what_was_typed(browser):
    def asked(**fields: str) -> str:
        return browser.read(f"/piece?{urlencode(fields)}")

    page = asked(**LAID, own_chest="1.1", way_chest="out", show="both")
    # How far something sticks out is no width: it waits for its own way.
    assert fields_of(page)["own_chest"] == ""
    back = asked(**{**fields_of(page), "ref_chest": "52", "own_chest": "51,8", "show": "laid"})
    assert fields_of(back)["own_chest"] == "1.1"
    assert re.search(r'name="way_chest" value="out"\s+checked', back)
    again = asked(**{**fields_of(back), "show": "numbers"})
    assert fields_of(again)["own_chest"] == "51,8"
    sleeve = asked(**LAID, own_chest="+1.1", show="sleeve")
    assert 'name="own_upper_arm"' in sleeve


def test_the_browsers_back_may_show_a_form_as_it_was_left(browser):
    assert "no-store" not in browser.get("/piece").headers["Cache-Control"]
    assert 'formmethod="get"' in browser.read("/piece")


def test_the_invented_household_comes_and_goes_with_one_click_each_and_leaves_the_settings(browser):
    own = browser.post("/piece", **LAID, own_chest="+1.1").headers["Location"].removeprefix("/makes/")
    settings = browser.store.get("household", "household").doc
    browser.post("/invented")
    assert len(browser.store.household().makes) > 10
    assert "Invented figures" in browser.read("/makes/grey_pullover")
    browser.post("/invented/remove")
    household = browser.store.household()
    assert [one.id for one in household.makes] == [own]
    assert not household.garments
    assert browser.store.get("household", "household").doc == settings


def test_what_ones_own_make_names_stays_when_the_invented_household_goes(browser):
    browser.post("/invented")
    garment = browser.store.household().garments[0]
    browser.post("/piece", piece="back", way="wardrobe", stage="blocked", garment=garment.id, own_chest="54")
    browser.post("/invented/remove")
    assert [one.id for one in browser.store.household().garments] == [garment.id]
    assert f"your own records name it: {garment.name}" in browser.read("/")


def test_the_table_has_every_make_under_way_in_groups_the_deed_first(browser):
    browser.post("/invented")
    page = browser.read("/")
    groups = re.findall(
        r'<h2 id="waits-(\w+)">([^<]+)<span class="n">(\d+)</span></h2>\s*<ol class="acts">(.*?)</ol>', page, re.S
    )
    assert [(key, int(count)) for key, _, count, _ in groups] == [("tape", 3), ("wash", 2), ("knit", 8)]
    assert heading(page) == "3 for the tape, 2 for the wash, 8 ready to knit."
    assert [lines.count('class="do"') for *_, lines in groups] == [3, 2, 8]
    tape = groups[0][-1]
    # Those that have waited longest come first, the name above the deed, the day beside it.
    assert re.findall(r"since [^<]+", tape) == ["since 22 June 2025", "since 7 Sept 2025", "since 9 Nov 2025"]
    first = tape[: tape.index("</li>")]
    assert first.index("Moss green pullover, one reading far off") < first.index(
        ">Look at the chest first: 50,4 cm?</a>"
    )
    assert "First moss green pullover, finished" not in page
    # The doors are small once there are makes.
    assert 'class="doors2"' in page
    assert 'class="door"' not in page


def test_a_make_that_only_goes_on_says_what_is_cast_on_or_which_row_is_next(browser):
    browser.post("/invented")
    page = browser.read("/")
    # As the pages of the rest are headed; the first sheet has taps up to row 131.
    for make, deed in (
        ("rust_pullover", "Go on with the front: row 131."),
        ("grey_cardigan", "Cast on the right front: 59 stitches, 61 at the chest."),
    ):
        assert f'<a class="do" href="/makes/{make}/rest">{deed}</a>' in page
        assert heading(browser.read(f"/makes/{make}/rest")) == deed
    assert "Carry on as planned." not in page


def test_sixteen_makes_a_page_and_the_heading_counts_those_that_are_there(browser):
    for number in range(17):
        document = {"id": f"plan_{number}", "name": f"Plan {number}", "started": "2026-11-01"}
        browser.store.put("makes", f"plan_{number}", document, 0)
    page = browser.read("/")
    assert page.count('class="do"') == 16
    assert heading(page) == "16 of 17: 16 ready to knit."
    second = browser.read("/?page=2")
    assert second.count('class="do"') == 1
    assert "Plan 0" in second
    assert browser.read("/?page=99").count('class="do"') == 1


def test_the_only_make_is_the_heading_with_its_deed(browser):
    make = browser.post("/piece", **LAID, own_chest="-3.5").headers["Location"]
    page = browser.read("/")
    assert heading(page) == heading(browser.read(make))
    assert f'href="{make}">Open it</a>' in page
    assert 'class="acts"' not in page


def test_makes_lists_all_with_their_dates_and_not_their_deeds(browser):
    browser.post("/invented")
    page = browser.read("/makes")
    assert heading(page) == "14 sweaters: 13 under way, 1 finished."
    under_way, finished = re.findall(r'<ul class="lines dated">(.*?)</ul>', page, re.S)
    assert under_way.count("<li>") == 13
    assert "begun 6 Sept 2025" in under_way
    assert "waits for the wash" in under_way
    assert "14 June to 27 July 2025" in finished
    assert "Carry on" not in page


def test_an_outline_is_full_where_it_was_measured_and_dashed_where_it_is_only_wanted(browser):
    browser.post("/invented")
    garment = browser.store.household().garments[0]
    fits = {"garment": garment.id, "occasion": garment.occasions[0].id}
    browser.store.put("makes", "planned", {"id": "planned", "name": "Planned", "fits": fits}, 0)
    page = browser.read("/")
    lines = {
        name.strip(): line
        for line, name in re.findall(r'(<li>.*?<p class="of"><span>([^<]+)</span>.*?</li>)', page, re.S)
    }
    assert 'class="o-ref"' in lines["Planned"]
    assert 'class="o-piece"' in lines["Grey pullover for Ines"]
    assert "o-ref" not in lines["Grey pullover for Ines"]


def test_the_table_says_that_an_answer_changed_since_this_device_looked(browser):
    make = browser.post("/piece", **LAID, own_chest="+1.1").headers["Location"]
    browser.post("/piece", **LAID, own_chest="+1.2")
    browser.read(make)
    assert "answer changed since you looked" not in browser.read("/")
    where = Place.of_readings("makes", make.removeprefix("/makes/"), "pieces/back/stages/0/overhangs/chest")
    browser.store.add_reading(where, {"text": "-2.0", "unit": "cm"})
    assert "answer changed since you looked" in browser.read("/")


def test_the_unit_is_remembered_and_only_leads_back_into_these_pages(browser):
    browser.post("/piece", **LAID, own_chest="-3.5")
    answer = browser.post("/unit", unit="in", back="/makes")
    assert answer.headers["Location"] == "/makes"
    page = browser.read("/makes/" + browser.store.household().makes[0].id)
    assert "1 3/4 in narrow<" in page  # 35 mm, and a seam stitch of 4.5 mm (assumed) at each side: 44 mm
    for elsewhere in ("https://elsewhere.test/", "//elsewhere.test", "/\\elsewhere.test", "makes"):
        assert browser.post("/unit", unit="in", back=elsewhere).headers["Location"] == "/"


def test_no_page_has_a_style_or_a_script_of_its_own(browser):
    browser.post("/invented")
    for path in ("/", "/piece", "/makes", "/makes/grey_pullover", "/makes/grey_pullover/fits"):
        page = browser.read(path)
        assert not re.search(r"\sstyle=|<style|\son[a-z]+=", page), path
        assert not re.search(r"<script(?![^>]*\ssrc=)", page), path


def test_a_page_that_is_not_there_says_so_as_a_page(browser):
    answer = browser.get("/makes/nothing")
    assert answer.status_code == 404
    assert answer.mimetype == "text/html"
    assert heading(answer.get_data(as_text=True)) == "There is nothing here."
    # What the framework says of an address that nothing stands at is for whoever builds it.
    said = browser.get("/no/such/page").get_data(as_text=True)
    assert "No page has this address. It was mistyped, or what it showed was deleted." in said
    assert "URL" not in said


def test_a_second_piece_of_the_same_day_has_a_name_of_its_own(browser):
    for _ in range(3):
        browser.post("/piece", **LAID, own_chest="-3.5")
    names = [one.name for one in browser.store.household().makes]
    assert len(set(names)) == 3
    assert names[1] == f"{names[0]}, number 2"


def test_a_fault_of_the_program_is_told_as_a_page_that_quotes_nothing(app, client, monkeypatch):
    def broken(key):
        raise ZeroDivisionError("51,8 of Ines")

    monkeypatch.setitem(app.view_functions, "makes.make", broken)
    response = client.get("/makes/anything")
    assert (response.status_code, response.mimetype) == (500, "text/html")
    assert "Nothing was changed" in response.text
    assert "51,8" not in response.text
    assert client.get("/api/v1/nowhere").mimetype == "application/problem+json"


# Own things first, and the right sweater


def test_own_makes_stand_before_the_invented_ones_and_the_button_names_what_it_removes(browser):
    own = browser.post("/piece", **LAID, own_chest="-1.1").headers["Location"]
    assert ">Look round an invented household</button>" in browser.read("/")  # with sweaters there it is not "first"
    browser.post("/invented")
    for page in (browser.read("/"), browser.read("/makes")):
        mine = page.index(f'href="{own}"')
        listed = page[page.rindex("<ol" if "acts" in page else "<ul", 0, mine) : mine]
        assert "/makes/" not in listed
    assert ">Remove the invented household</button>" in browser.read("/")
    assert "Remove it all" not in browser.read("/")


def test_no_sweater_of_the_wardrobe_is_chosen_beforehand(browser):
    browser.post("/invented")
    page = browser.read("/piece?way=wardrobe")
    choices = re.search(r'<select id="garment".*?</select>', page, re.S)[0]
    assert re.findall(r'<option value="([^"]*)"', choices)[0] == ""
    refused = browser.post("/piece", piece="back", way="wardrobe", stage="blocked", garment="", own_chest="54")
    assert refused.status_code == 422
    assert 'id="garment-refused"' in refused.get_data(as_text=True)


FAR_BACK = {"piece": "back", "way": "wardrobe", "stage": "blocked", "garment": "brown_pullover"}


def test_a_back_far_from_the_chosen_sweater_everywhere_asks_first_whether_it_is_the_right_one(browser):
    browser.post("/invented")
    # The pullover is 41.0 / 54.1 / 21.5: 30 % less at every point.
    small = {"own_shoulder_width": "29", "own_chest": "38", "own_armhole_depth": "14.5"}
    at = browser.post("/piece", **FAR_BACK, **small).headers["Location"]
    page = browser.read(at)
    assert page.index('id="right-sweater"') < page.index("<h1>")
    assert "more than a quarter smaller than brown pullover with set-in sleeves makes it at every point" in page
    browser.post(f"{at}/right-sweater")
    page = browser.read(at)
    assert 'id="right-sweater"' not in page
    fields = re.search(r'<form method="post" action="/undo">(.*?)</form>', page, re.S)[1]
    browser.post("/undo", **dict(re.findall(r'name="([^"]+)" value="([^"]*)"', fields)))
    assert 'id="right-sweater"' in browser.read(at)
    # One point as wanted, or all of them a fifth off, is no other sweater.
    for less in ({**small, "own_chest": "54"}, {"own_shoulder_width": "34", "own_chest": "45"}):
        assert 'id="right-sweater"' not in browser.read(browser.post("/piece", **FAR_BACK, **less).headers["Location"])


def test_the_tapes_have_the_same_figures_on_the_form_and_on_its_answer(browser):
    form = browser.read("/piece")
    asked = re.findall(r'<legend><i class="key">(\d)</i> ([^<]+)</legend>', form)
    assert [number for number, _ in asked] == ["1", "2", "3"]
    three = {"own_shoulder_width": "0.4", "own_chest": "1", "own_armhole_depth": "0.2"}
    signs = {f"way_{name.removeprefix('own_')}": "out" for name in three}
    answer = browser.read(browser.post("/piece", **LAID, **three, **signs).headers["Location"])
    # What matches is one line, what does not stands open before it.
    told = re.findall(r'<i(?: class="key")?>(\d)</i>\s*(?:<span class="name">)?([A-Z][^<]+)<', answer)
    same = [(number, re.split("[ ,]", name)[0]) for number, name in told]
    assert sorted(same) == [(number, name.split()[0]) for number, name in asked]
