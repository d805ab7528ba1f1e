"""The wardrobe and the people: what a browser without JavaScript sends, and what it gets."""

from __future__ import annotations

import html
import re
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.words.dates import write_day
from tests.webui.lent import lend
from webui.forms.drafts import slug
from webui.forms.typed import several, with_unit


class Browser:
    """A browser on this machine without JavaScript."""

    def __init__(self, store):
        self.store = store
        self.client = lend(store).test_client()

    def get(self, path, status=200):
        answer = self.client.get(path)
        assert answer.status_code == status, (path, answer.status_code)
        return answer.get_data(as_text=True)

    def post(self, path, status=303, **fields):
        answer = self.client.post(path, data=fields)
        assert answer.status_code == status, (path, answer.status_code, answer.get_data(as_text=True)[:2000])
        return answer.location if status == 303 else answer.get_data(as_text=True)

    def after(self, path, **fields):
        """Post, and read the page that comes next."""
        return self.get(self.post(path, **fields))


def undo(browser, page):
    """Press the undo of a page, with the fields that stand in its form."""
    form = re.search(r'<form method="post" action="/undo">(.*?)</form>', page, re.S)
    assert form, "no undo on the page"
    browser.post("/undo", **dict(re.findall(r'name="(\w+)" value="([^"]*)"', form[1])))


@pytest.fixture
def browser(store):
    return Browser(store)


@pytest.fixture
def bare(empty):
    return Browser(empty)


def typed_in(page, name, sent_as=None):
    """What stands in a field of a page."""
    found = re.search(rf'<input id="{name}" name="{sent_as or name}"[^>]*? value="([^"]*)"', page)
    assert found, name
    return found[1]


def fields(page):
    """Every field of the form of a page, as a browser sends it unchanged."""
    form = page[page.index('<form class="form') :]
    return fields_in(form[: form.index("</form>")])


def fields_in(form):
    """The same of a form by itself."""
    sent = {}
    for tag in re.findall(r"<input [^>]*>", form, re.S):
        name, value = re.search(r' name="([^"]*)"', tag), re.search(r' value="([^"]*)"', tag)
        ticked = not re.search(r'type="(radio|checkbox)"', tag) or " checked" in tag
        if name and ticked:
            sent[name[1]] = html.unescape(value[1]) if value else ""
    for name, options in re.findall(r'<select id="[^"]*" name="([^"]*)".*?>(.*?)</select>', form, re.S):
        at = re.search(r'value="([^"]*)" selected', options) or re.search(r'value="([^"]*)"', options)
        sent[name] = html.unescape(at[1])
    for name, text in re.findall(r'<textarea id="[^"]*" name="([^"]*)"[^>]*>(.*?)</textarea>', form, re.S):
        sent[name] = html.unescape(text)
    return sent


chosen = fields
"""What a page with both texts side by side sends if nothing more is chosen."""


def sides(page):
    """What stands side by side: per field what was typed here, and what was kept meanwhile."""
    found = {}
    for row in re.findall(r'<fieldset class="pick"><legend>(.*?)</fieldset>', page, re.S):
        label = row[: row.index("</legend>")]
        found[html.unescape(label)] = tuple(
            html.unescape(text.strip()) for text in re.findall(r"</small>(.*?)</span>", row, re.S)
        )
    return found


def buttons(page):
    """What the questions of a page can be answered with."""
    section = re.search(r'<section id="questions".*?</section>', page, re.S)
    return re.findall(r'<button class="btn" name="do"[^>]*>([^<]*)</button>', section[0]) if section else []


def place_of(page):
    """What the first question of a page is about."""
    return html.unescape(re.search(r'name="place" value="([^"]*)"', page[page.index('id="questions"') :])[1])


OF_ANOTHER = {"form": "the-form-of-another"}
"""The id of the form that somebody else has open."""
NEW = {"name": "Blue jumper", "on": "2026-02-01", "state": "washed_flat", "construction": "set_in"}


def test_an_empty_wardrobe_says_what_belongs_there_and_has_one_button(bare):
    page = bare.get("/wardrobe")
    assert len(re.findall(r'class="btn[ "]', page)) == 1
    assert 'href="/wardrobe/new"' in page


def test_a_garment_is_kept_with_its_readings_as_they_were_typed(bare):
    page = bare.after("/wardrobe/new", **NEW, at_chest="51,8 52.0", at_body_length="20 1/8 in", anew="yes", by="Ada")
    assert "Blue jumper is in the wardrobe." in page
    garment = bare.store.get("garments", "blue_jumper").record
    chest = garment.occasions[0].readings["chest"]
    assert [one.text for one in chest] == ["51,8", "52.0"]
    assert [one.length.value_mm for one in chest] == [518, 520]
    assert [one.laying for one in chest] == [1, 2]
    assert chest[0].by == "Ada"
    assert garment.occasions[0].readings["body_length"][0].length.value_mm == pytest.approx(20.125 * 25.4)
    assert typed_in(bare.get("/wardrobe/new"), "by") == "Ada"


@pytest.mark.parametrize(
    ("construction", "first"),
    [
        ("set_in", ["at_shoulder_width", "at_chest", "at_armhole_depth"]),
        ("raglan", ["at_chest", "at_armhole_depth", "at_body_length"]),
        ("drop_shoulder", ["at_chest", "at_armhole_depth", "at_body_length"]),
    ],
)
def test_three_points_are_asked_for_first_as_the_heading_says_on_every_construction(bare, construction, first):
    bare.post("/wardrobe/new", name="blue", construction=construction, at_chest="52")
    page = bare.get("/wardrobe/blue/measure").partition("More, if you like")[0]
    assert re.findall(r'name="(at_\w+)"', page) == first


def test_a_raglan_says_where_the_tape_goes_on_what_has_no_shoulder_seam(bare):
    bare.post("/wardrobe/new", name="blue", construction="raglan", at_armhole_depth="22", at_sleeve_length="68")
    page = bare.get("/wardrobe/blue")
    assert "From the upper end of the slanting seam straight down to the level of the underarm." in page
    assert "Along the middle of the sleeve, from its end at the neck to the end of the cuff." in page
    assert "outer end of the shoulder" not in page
    assert "top of the cap" not in page


def test_bare_figures_are_inches_when_the_page_is_in_inches(bare):
    bare.post("/unit", unit="in", back="/")
    bare.post("/wardrobe/new", **NEW, at_chest="20 1/8; 20 1/4")
    chest = bare.store.get("garments", "blue_jumper").record.occasions[0].readings["chest"]
    assert [one.length.value_mm for one in chest] == [pytest.approx(20.125 * 25.4), pytest.approx(20.25 * 25.4)]


def test_a_refused_form_keeps_everything_and_puts_the_message_beside_the_field(bare):
    page = bare.post("/wardrobe/new", 422, **NEW, at_chest="51.2.3", at_hem="49", fabric="plain & wool")
    assert typed_in(page, "at_chest") == "51.2.3"
    assert typed_in(page, "at_hem") == "49"
    assert typed_in(page, "name") == "Blue jumper"
    assert "plain &amp; wool" in page
    field = page[page.index('<input id="at_chest"') :]
    assert "One decimal mark is enough" in field[: field.index("</div>")]
    assert bare.store.list("garments").records == ()


def test_a_form_says_at_once_what_its_fields_and_what_the_record_refuse(bare):
    wrong = {"on": "31.2.2026", "washes": "twice", "at_chest": "51.2.3"}
    page = bare.post("/wardrobe/new", 422, **NEW | wrong, at_hem="49")
    assert re.findall(r'id="([\w-]+)-refused"', page) == ["on", "washes", "at_chest"]


def test_a_question_is_answered_with_one_length(bare):
    bare.post("/wardrobe/new", **NEW, at_chest="2")
    (place,) = re.findall(r'name="place" value="([^"]+)"', bare.get("/wardrobe/blue_jumper"))
    page = bare.post("/wardrobe/blue_jumper/answer", 422, place=place, do="again", text="52 52,2")
    assert "One length alone: 52 or 52,2?" in page


def test_a_garment_without_a_name_or_a_reading_is_refused_at_those_fields(bare):
    page = bare.post("/wardrobe/new", 422, **{**NEW, "name": " "})
    assert 'id="name-refused"' in page
    assert 'id="at_chest-refused"' in page


def test_a_name_that_is_the_name_of_a_page_gets_another_key(bare):
    assert bare.post("/wardrobe/new", **{**NEW, "name": "New"}, at_chest="52") != "/wardrobe/new"
    assert bare.post("/wardrobe/new", **{**NEW, "name": "New"}, at_chest="52") != "/wardrobe/new"
    assert len(bare.store.list("garments").records) == 2


def test_every_change_can_be_undone_on_the_page_where_it_happened(browser):
    path = "/wardrobe/brown_pullover"
    page = browser.after(f"{path}/measure", occasion="washed_in_spring", at_chest="54.4")
    assert "Kept 1 reading." in page
    readings = browser.store.get("garments", "brown_pullover").record.occasions[1].readings["chest"]
    assert [one.text for one in readings][-1] == "54.4"
    undo(browser, page)
    readings = browser.store.get("garments", "brown_pullover").record.occasions[1].readings["chest"]
    assert "54.4" not in [one.text for one in readings]


def test_a_new_measuring_becomes_the_latest_and_the_old_one_stays(browser):
    page = browser.after("/wardrobe/brown_pullover/measure", on="2026-05-01", state="worn", at_chest="55.0")
    assert "chest 55.0 cm" in page
    assert "1 May 2026" in page
    assert "54.1 cm" in browser.get("/wardrobe/brown_pullover?occasion=washed_in_spring")


def test_what_was_read_before_is_hidden_while_the_tape_is_laid_again(browser):
    page = browser.get("/wardrobe/brown_pullover/measure?occasion=washed_in_spring")
    for text in ("54,2", "54.1", "538"):
        assert text not in page


def test_the_page_of_a_garment_has_its_readings_spread_ease_history_and_makes(browser):
    page = browser.get("/wardrobe/brown_pullover")
    # 538 mm, 54,2 cm, 54,1 cm, 54.1: in one unit, 4 mm from the smallest to the largest; as it was typed in the fold.
    chest = page[page.index('id="at-chest"') :]
    summary, folded = (" ".join(re.sub(r"<[^>]*>", " ", part).split()) for part in chest.split("</summary>")[:2])
    assert summary.endswith("Chest, flat 54.1 cm likely 53.8 to 54.3")
    assert folded.startswith("likely 53.8 to 54.3 53.8 , 54.2 , 54.1 , 54.1 cm 4 mm apart, 4 layings Straight across")
    assert "53.8 cm, typed 538 mm" in chest[: chest.index("</details>")]
    assert "54.1 cm, typed 54.1" not in page  # typed as it is shown
    assert "Ease at the chest" in page
    assert 'class="history"' in page
    assert 'href="/makes/grey_pullover"' in page
    assert page.count('class="overlay"') == 1


def test_a_reading_that_is_set_aside_stays_and_does_not_count(browser):
    record = browser.store.get("garments", "brown_pullover").record
    first = record.occasions[1].readings["chest"][0]
    place = "occasions/washed_in_spring/readings/chest"
    page = browser.after(
        "/put-right",
        do="aside",
        back="/wardrobe/brown_pullover",
        place=f"garments brown_pullover {place}",
        reading=first.id,
        reason="a fold below",
    )
    assert "53.8 cm, typed 538 mm: set aside, a fold below" in page
    kept = browser.store.get("garments", "brown_pullover").record.occasions[1].readings["chest"]
    assert [one.counts for one in kept] == [False, True, True, True]
    assert "1 mm apart" in page[page.index('id="at-chest"') :][:1200]


def test_the_settings_of_a_garment_change_and_its_readings_stay(browser):
    before = browser.store.get("garments", "brown_pullover")
    browser.post("/wardrobe/brown_pullover/edit", name="Brown one", construction="set_in", thickness="0.4", rib="yes")
    after = browser.store.get("garments", "brown_pullover").record
    assert (after.name, after.rib) == ("Brown one", True)
    assert after.thickness.value_mm == 4  # a bare figure is of the page's unit
    assert after.occasions == before.record.occasions


def test_two_who_change_the_same_settings_see_both_texts_and_lose_nothing(browser):
    form = browser.get("/wardrobe/brown_pullover/edit")
    revision = re.search(r'name="revision" value="(\d+)"', form)[1]
    browser.post("/wardrobe/brown_pullover/edit", name="First", construction="set_in", revision=revision)
    page = browser.post(
        "/wardrobe/brown_pullover/edit", 409, name="Second", construction="set_in", revision=revision, notes="mine"
    )
    assert "First" in page
    assert "Second" in page
    assert sides(page)["Name"] == ("Second", "First")
    browser.post("/wardrobe/brown_pullover/edit", **chosen(page))
    kept = browser.store.get("garments", "brown_pullover").record
    assert (kept.name, kept.notes) == ("Second", "mine")


def test_what_only_the_other_changed_is_chosen_already_and_either_text_can_be_taken(browser):
    path = "/wardrobe/brown_pullover/edit"
    form = fields(browser.get(path))
    browser.post(path, **{**form, **OF_ANOTHER, "fabric": "plain, softer", "name": "First"})
    page = browser.post(path, 409, **{**form, "notes": "mine", "name": "Second"})
    both = chosen(page)
    assert (both["fabric"], both["notes"], both["name"]) == ("plain, softer", "mine", "Second")
    browser.post(path, **{**both, "name": "First"})
    kept = browser.store.get("garments", "brown_pullover").record
    assert (kept.fabric, kept.notes, kept.name) == ("plain, softer", "mine", "First")


def test_a_form_of_a_garment_that_was_deleted_meanwhile_brings_it_back_with_what_was_typed(browser):
    browser.post("/wardrobe/new", **NEW, at_chest="52")
    form = fields(browser.get("/wardrobe/blue_jumper/edit"))
    browser.post("/wardrobe/blue_jumper/delete")
    page = browser.post("/wardrobe/blue_jumper/edit", 409, **{**form, "notes": "typed meanwhile"})
    assert "It was deleted meanwhile" in page
    browser.post("/wardrobe/blue_jumper/edit", **chosen(page))
    assert browser.store.get("garments", "blue_jumper").record.notes == "typed meanwhile"
    browser.post("/wardrobe/blue_jumper/delete")
    page = browser.post("/wardrobe/blue_jumper/measure", 409, occasion="2026_02_01", at_chest="52.3")
    browser.post("/wardrobe/blue_jumper/measure", **chosen(page))
    occasion = browser.store.get("garments", "blue_jumper").record.occasions[0]
    assert [one.text for one in occasion.readings["chest"]] == ["52", "52.3"]


def test_a_deleted_garment_can_be_brought_back(browser):
    browser.post("/wardrobe/new", **NEW, at_chest="52")
    page = browser.after("/wardrobe/blue_jumper/delete")
    assert "was deleted" in page
    assert 'action="/wardrobe/blue_jumper/back"' in page
    browser.get("/wardrobe/blue_jumper", 404)
    assert "is back" in browser.after("/wardrobe/blue_jumper/back")
    assert "52.0" in browser.get("/wardrobe/blue_jumper")


def test_a_garment_that_a_make_must_fit_is_kept_and_the_page_says_which(browser):
    page = browser.after("/wardrobe/brown_pullover/delete")
    assert "was kept" in page
    assert "grey pullover" in page
    assert not browser.store.get("garments", "brown_pullover").deleted


def test_a_garment_that_nobody_has_is_not_found(browser):
    browser.get("/wardrobe/nothing", 404)


def test_the_wardrobe_shows_24_a_page_and_finds_by_wearer_and_text(bare):
    bare.store.put("wearers", "ada", {"name": "Ada"}, 0)
    for number in range(30):
        occasion = {"id": "a", "readings": {"chest": ["50 cm"], "body_length": ["60 cm"]}}
        document = {"name": f"garment {number:02}", "occasions": [occasion]}
        bare.store.put("garments", f"g{number:02}", document | ({"wearer": "ada"} if number == 28 else {}), 0)
    first = bare.get("/wardrobe")
    assert first.count('<svg xmlns="http://www.w3.org/2000/svg" class="card"') == 24
    following = re.search(r'href="(/wardrobe\?[^"]*after=[^"]*)"', first)[1].replace("&amp;", "&")
    assert bare.get(following).count('class="card"') == 6
    assert bare.get("/wardrobe?wearer=ada").count('class="card"') == 1
    assert bare.get("/wardrobe?text=GARMENT 07").count('class="card"') == 1
    assert "Nothing in the wardrobe is like that" in bare.get("/wardrobe?text=sock")


def test_all_cards_of_a_page_are_drawn_at_one_scale(browser):
    page = browser.get("/wardrobe")
    boxes = set(re.findall(r'class="card" viewBox="([^"]*)"', page))
    assert len(boxes) == 1
    # 1:20 at 96 units to the inch: a card's outline of 54.05 cm is 102.1 units wide (brown), 37.9 cm is 71.6 (red).
    widths = {}
    for name, svg in re.findall(r"<title id=[^>]*>(.*?), drawn at one scale.*?</title>(.*?)</svg>", page, re.S):
        xs = [float(x) for x in re.findall(r"[ML]([\d.]+) [\d.]+", svg)]
        widths[name] = max(xs) - min(xs)
    assert widths["brown pullover with set-in sleeves"] == pytest.approx(540.5 * 96 / 25.4 / 20, abs=0.5)
    assert widths["child&#x27;s red pullover"] == pytest.approx(378.9 * 96 / 25.4 / 20, abs=1.0)


def test_two_over_one_another_wants_two_and_has_one_button_until_then(bare):
    page = bare.get("/wardrobe/over")
    assert "Two garments are needed" in page
    assert re.findall(r'class="btn[^"]*" href="([^"]*)"', page) == ["/wardrobe/new"]


def test_two_garments_are_laid_over_one_another_with_the_difference_in_figures(bare):
    for key, chest in (("one", "50 cm"), ("two", "53 cm")):
        readings = {"chest": [chest], "body_length": ["60 cm"], "shoulder_width": ["40 cm"]}
        bare.store.put("garments", key, {"name": key, "occasions": [{"id": "a", "readings": readings}]}, 0)
    page = bare.get("/wardrobe/over?first=one&second=two")
    assert "Two beside one: chest 3.0 cm wider." in page
    assert page.count('class="overlay"') == 1
    assert 'aria-current="true">shoulders' in page
    assert 'aria-current="true">hem' in bare.get("/wardrobe/over?first=one&second=two&at=hem")
    assert "Two different garments." in bare.get("/wardrobe/over?first=one&second=one")


def test_an_unlikely_reading_is_asked_about_and_can_be_kept(bare):
    # 20.4 of a chest whose shoulders are 41.5 wide was read in inches (words.md).
    bare.post("/wardrobe/new", **NEW, at_chest="20.4", at_shoulder_width="41.5", at_body_length="62")
    page = bare.get("/wardrobe/blue_jumper")
    assert buttons(page) == ["It was inches", "Type again", "Keep 20.4 cm"]
    after = bare.after("/wardrobe/blue_jumper/answer", place=place_of(page), do="keep")
    assert "Kept as typed." in after
    assert buttons(after) == []
    assert chest_of(bare)[0].confirmed


@pytest.mark.parametrize(
    ("typed", "button", "mm"),
    [
        ("20.4", "It was inches", 20.4 * 25.4),
        ("104", "It is the round measure: 52.0 cm flat", 520.0),
        ("512", "51.2 cm", 512.0),
    ],
)
def test_the_likely_slip_is_one_tap_and_what_was_typed_stays_set_aside(bare, typed, button, mm):
    bare.post("/wardrobe/new", **NEW, at_chest=typed, at_shoulder_width="41.5", at_body_length="62")
    page = bare.get("/wardrobe/blue_jumper")
    assert buttons(page)[0] == button
    after = bare.after("/wardrobe/blue_jumper/answer", place=place_of(page), do="slip")
    assert buttons(after) == []
    first, second = chest_of(bare)
    assert (first.text, first.counts, second.counts) == (typed, False, True)
    assert second.length.value_mm == pytest.approx(mm)
    undo(bare, after)
    assert [one.text for one in chest_of(bare)] == [typed]


def test_a_reading_far_from_the_other_shows_no_other_figure_and_no_slip(bare):
    bare.post("/wardrobe/new", **NEW, at_chest="51.5 55.5")
    page = bare.get("/wardrobe/blue_jumper")
    assert buttons(page) == ["Type again", "Keep 55.5 cm"]
    asked = page[page.index('id="questions"') : page.index("</section>")]
    assert "4.0 cm from your other reading" in asked
    assert "51.5" not in asked
    bare.post("/wardrobe/blue_jumper/answer", place=place_of(page), do="again", text="51.7")
    assert [(one.text, one.counts) for one in chest_of(bare)] == [("51.5", True), ("55.5", False), ("51.7", True)]


def test_what_no_length_is_stays_in_the_field_of_its_question(bare):
    bare.post("/wardrobe/new", **NEW, at_chest="20.4", at_shoulder_width="41.5", at_body_length="62")
    place = place_of(bare.get("/wardrobe/blue_jumper"))
    page = bare.post("/wardrobe/blue_jumper/answer", 422, place=place, do="again", text="51.2.3")
    assert typed_in(page, "again-1", "text") == "51.2.3"
    assert 'id="again-1-refused"><b>Not taken: 51.2.3.</b> One decimal mark is enough' in page
    assert len(chest_of(bare)) == 1
    bare.post("/wardrobe/blue_jumper/answer", place=place, do="keep")
    assert "That question is answered already." in bare.after("/wardrobe/blue_jumper/answer", place=place, do="keep")


def chest_of(browser):
    return browser.store.get("garments", "blue_jumper").record.occasions[0].readings["chest"]


def test_a_body_measure_in_inches_is_set_right_on_the_page_of_its_person(bare):
    bare.post("/people/new", name="Ada", at_chest="37.5", at_waist="30")
    page = bare.get("/people/ada")
    assert buttons(page)[0] == "It was inches"
    bare.post("/people/ada/answer", place=place_of(page), do="slip")
    first, second = bare.store.get("wearers", "ada").record.body["chest"]
    assert (first.counts, second.length.value_mm) == (False, pytest.approx(37.5 * 25.4))


def test_two_who_change_one_person_lose_no_reading_whichever_text_is_taken(bare):
    bare.post("/people/new", name="Ada", at_chest="95")
    form = fields(bare.get("/people/ada/edit"))
    bare.post("/people/ada/edit", **{**form, **OF_ANOTHER, "notes": "first", "at_chest": "95.2"})
    page = bare.post("/people/ada/edit", 409, **{**form, "notes": "second", "at_chest": "95.4"})
    assert sides(page) == {"Notes": ("second", "first")}
    assert "both stay: Chest, round 95.4" in page
    bare.post("/people/ada/edit", **{**chosen(page), "notes": "first"})
    kept = bare.store.get("wearers", "ada").record
    assert [one.text for one in kept.body["chest"]] == ["95", "95.2", "95.4"]
    assert kept.notes == "first"


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("at_chest", "1 9/8", "The fraction is more than a whole: 2 1/8?"),
        ("at_hem", "-5", "A length has no minus here"),
        ("at_hem", "0", "A length is more than 0"),
        ("at_neck_width", "1e9", "A length is a number such as 58.7"),
        ("on", "2026-02-31", "A day of that month: February 2026 has 28."),
        ("on", "0", "A date such as 25 Nov 2026, 25.11.2026 or 2026-11-25."),
        ("washes", "-5", "A whole number from 0"),
        ("thickness", "3", "millimetres are written behind it: 3 mm"),
        ("growth_along_percent", "99", "A number from −10 to 20."),
    ],
)
def test_nonsense_is_refused_beside_its_field_and_stays_in_it(bare, field, typed, said):
    page = bare.post("/wardrobe/new", 422, **{**NEW, "at_chest": "52", field: typed})
    assert typed_in(page, field) == typed
    told = page[page.index(f'id="{field}-refused"') :]
    assert said in told[: told.index("</p>")]
    assert not re.search(r"\b(error|invalid|please|fail|oops)", re.sub(r"<[^>]*>", "", page), re.I)
    assert bare.store.list("garments").records == ()


def test_a_garment_that_was_measured_long_ago_is_asked_about(bare):
    old = {**NEW, "on": f"{date.today().year - 2}-01-15"}
    bare.post("/wardrobe/new", **old, at_chest="52")
    page = bare.get("/wardrobe/blue_jumper")
    assert "months ago; knitting grows" in page
    # Two doors, and each says what it leads to.
    doors = re.findall(r'<a class="(btn[^"]*)" href="/wardrobe/blue_jumper/measure[^"]*">([^<]*)</a>', page)
    assert doors == [("btn main", "Measure it as it is now"), ("btn", f"Add to the readings of 15 Jan {old['on'][:4]}")]


def test_more_readings_of_a_measuring_without_a_date_are_added_to_these(bare):
    bare.post("/wardrobe/new", **{**NEW, "on": ""}, at_chest="52")
    page = bare.get("/wardrobe/blue_jumper")
    assert re.findall(r'href="/wardrobe/blue_jumper/measure\?occasion=first">\s*([^<]*)</a>', page) == [
        "Add to these readings"
    ]
    assert "More readings make these surer." in page


@pytest.mark.parametrize("typed", ["1 Feb 2026", "1.2.2026", "01.02.2026", "2026-02-01"])
def test_the_day_of_a_measuring_is_typed_as_people_write_it(bare, typed):
    bare.post("/wardrobe/new", **{**NEW, "on": typed}, at_chest="52")
    occasion = bare.store.get("garments", "blue_jumper").record.occasions[0]
    assert (occasion.on, occasion.id) == (date(2026, 2, 1), "2026_02_01")
    assert typed_in(bare.get("/wardrobe/new"), "on") == write_day(date.today())


def test_people_have_body_measures_that_are_added_and_set_aside(bare):
    page = bare.after("/people/new", name="Ada", measured="2026-01-02", at_chest="95.1 95.6", child="yes")
    assert "Ada belongs to the household now." in page
    assert "95.4 cm" in page or "95.3 cm" in page
    bare.post("/people/ada/edit", name="Ada", at_chest="96")
    body = bare.store.get("wearers", "ada").record.body["chest"]
    assert [one.text for one in body] == ["95.1", "95.6", "96"]
    bare.post("/put-right", do="aside", place="wearers ada body/chest", reading=body[0].id)
    assert not bare.store.get("wearers", "ada").record.body["chest"][0].counts
    assert "was deleted" in bare.after("/people/ada/delete")
    assert "is back" in bare.after("/people/ada/back")


@pytest.mark.parametrize(
    "path",
    [
        "/wardrobe",
        "/wardrobe/new",
        "/wardrobe/brown_pullover",
        "/wardrobe/brown_pullover/measure",
        "/wardrobe/brown_pullover/edit",
        "/wardrobe/over?first=brown_pullover&second=ochre_pullover",
        "/people",
        "/people/ines",
        "/people/new",
        "/swatches",
        "/swatches/new",
        "/swatches/grey_at_7",
        "/swatches/grey_at_7/edit",
        "/swatches/grey_at_7/read",
        "/swatches/fabrics?yarn=grey_wool_in_oil&machine=standard_bed",
        "/swatches/yarns/grey_wool_in_oil",
        "/swatches/machines/standard_bed",
        "/size-tables",
        "/size-tables/new",
        "/size-tables/round_neck_pullover",
        "/plan",
        "/plan?garment=brown_pullover&fabric=grey_wool_in_oil|standard_bed&table=round_neck_pullover",
        "/settings",
    ],
)
def test_every_page_obeys_the_policy_and_has_one_heading_and_no_id_twice(browser, path):
    page = browser.get(path)
    # Presentation attributes of drawings are no inline style.
    assert not re.search(r"<[^>]+\sstyle=", page)
    assert not re.search(r"<style|<script(?![^>]*\ssrc=)|\son\w+=", page)
    assert len(re.findall(r"<h1[ >]", page)) == 1
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert len(ids) == len(set(ids)), [one for one in ids if ids.count(one) > 1]
    for name in re.findall(r'<label[^>]* for="([^"]+)"', page):
        assert name in ids
    assert len(re.findall(r'class="btn main"', page)) <= 1
    for svg in re.findall(r'<svg[^>]*viewBox="0 0 ([\d.]+) ', page):
        assert float(svg) <= 288


def test_readings_typed_in_one_field_are_told_apart():
    assert several("51.8 52.0\n51,9") == ["51.8", "52.0", "51,9"]
    assert several("20 1/8; 20 1/4") == ["20 1/8", "20 1/4"]
    assert several("15 1/2 15 5/8") == ["15 1/2", "15 5/8"]
    assert several("15½ 15 ⅝ 16") == ["15½", "15 ⅝", "16"]
    assert several('39.5 cm 15 1/2 in 5"') == ["39.5 cm", "15 1/2 in", '5"']
    assert several("1/2 3/4 1-1/8") == ["1/2", "3/4", "1-1/8"]
    assert several("51,8, 52,0") == ["51,8", "52,0"]
    assert several("  ") == []


@pytest.mark.parametrize("text", ["15 1/2 15 5/8/2", "1 ft 8 in", "51.2.3 52", "5l 52", "104 st 106"])
def test_what_is_no_row_of_readings_stays_whole_to_be_refused(text):
    assert several(text) == [text]


@given(st.lists(st.tuples(st.integers(0, 90), st.sampled_from(["", " 1/2", " 5/8", "½", "-3/8", ".5", ",25"]),
                          st.sampled_from(["", " cm", " in", '"', "inch"])), min_size=1, max_size=6))  # fmt: skip
def test_readings_with_a_space_between_are_each_whole(parts):
    texts = [f"{whole}{more}{unit}" for whole, more, unit in parts]
    assert several(" ".join(texts)) == texts


def test_a_bare_length_gets_the_unit_of_the_page_and_another_keeps_its_own():
    assert with_unit("52", "cm") == "52 cm"
    assert with_unit("20 1/8", "in") == "20 1/8 in"
    assert with_unit("5 in", "cm") == "5 in"
    assert with_unit("5..2", "cm") == "5..2"


@pytest.mark.parametrize("name", ["Blåe Jacke (2)", "   ", "日本", "a" * 300, "../../etc", "x_-_y"])
def test_every_name_makes_a_key(name):
    assert re.fullmatch(r"[a-z0-9][a-z0-9_-]{0,55}", slug(name))


def test_the_list_of_people_counts_the_head_as_the_page_of_a_person_does(client):
    listed = client.get("/people").text
    for person in ("ines", "tomas", "juna"):
        (count,) = re.findall(r"<h1>[^<]*: (\d+) body measures?\.</h1>", client.get(f"/people/{person}").text)
        assert re.search(rf'href="/people/{person}".*?{count} body measures?', listed, re.S)


def test_more_readings_than_anybody_types_are_refused_at_once_and_come_back(client):
    text = "52 " * 501
    assert len(several(text.removesuffix("52 "))) == 500
    assert several(text) == [text.strip()]
    answer = client.post("/wardrobe/brown_pullover/measure", data={"on": "today", "anew": "yes", "at_chest": text})
    assert answer.status_code == 422
    assert text.strip() in answer.text
