"""What is typed stays on the device until the service has it: a phone drops the tab in the middle of a form."""

from __future__ import annotations

import json
import urllib.request
from urllib.parse import urlencode

import pytest

from tests.browser.conftest import PHONE, ROOT, send

LINE = ".strip.back"


@pytest.fixture(scope="module")
def household():
    return (ROOT / "demo_garments" / "household.json").read_bytes()


def drop(page):
    """The phone closes the tab; returns the same form, opened anew from its address."""
    context, at = page.context, page.url.partition("?")[0]
    page.close()
    page = context.new_page()
    page.goto(at)
    return page


def drafts(page):
    """What the device keeps, by the address that each form goes to."""
    texts = page.evaluate(
        "Object.keys(localStorage).filter(key => key.startsWith('fitcheck.draft.')).map(key => localStorage[key])"
    )
    return {draft["action"]: draft for draft in map(json.loads, texts)}


FORMS = {
    "garment": ("/wardrobe/new", {"name": "Blue jumper", "at_chest": "51.8 52", "thickness": "3 mm"}),
    "settings": ("/makes/grey_pullover/settings", {"name": "grey, for Ines", "panel_width": "12"}),
    "fits": ("/makes/grey_pullover/fits", {"number-chest": "53", "wish-hem": "+1"}),
    "points": ("/makes/grey_pullover/points", {"own_hem": "51.2"}),
    "stage": ("/swatches/grey_at_7/read", {"across": "17.1 17.2"}),
    "person": ("/people/ines/edit", {"at_chest": "95.2", "notes": "two\nlines"}),
    "plan": ("/plan", {"chest": "54", "count_1": "120"}),
    "table": ("/size-tables/new", {"name": "plain", "c_0_0": "52"}),
}


@pytest.mark.full
@pytest.mark.parametrize(("path", "typed"), FORMS.values(), ids=FORMS)
def test_a_dropped_tab_loses_nothing_and_one_line_says_so(look_at, path, typed):
    page = look_at(path)
    begun = {field: page.input_value(f"#{field}") for field in typed}
    page.evaluate("document.querySelectorAll('details').forEach(fold => { fold.open = true })")
    for field, text in typed.items():
        page.fill(f"#{field}", text)
    page = drop(page)
    assert {field: page.input_value(f"#{field}") for field in typed} == typed
    assert page.inner_text(f"{LINE} p").startswith("Put back what you typed at ")
    assert page.locator(LINE).count() == 1
    assert all(page.is_visible(f"#{field}") for field in typed)
    page.click("text=Start empty")
    assert {field: page.input_value(f"#{field}") for field in typed} == begun
    page = drop(page)
    assert {field: page.input_value(f"#{field}") for field in typed} == begun
    assert page.locator(LINE).count() == 0


def test_only_the_service_ends_a_draft_and_what_it_did_not_answer_is_sent_once(open_page, service):
    page = open_page("/wardrobe/new")
    page.fill("#name", "Blue jumper")
    page.fill("#at_chest", "51.2.3")
    send(page, "Put it in the wardrobe")
    assert page.is_visible("#at_chest-refused")
    assert list(drafts(page)) == ["/wardrobe/new"]
    page = drop(page)  # of the refused form too
    assert page.input_value("#at_chest") == "51.2.3"
    page.fill("#at_chest", "51.2")
    # The answer is lost on its way: the service has the form, and the phone does not know.
    sent = page.evaluate("[...new FormData(document.querySelector('main form'))]")
    asked = urllib.request.Request(
        service.url + "/wardrobe/new", urlencode([*map(tuple, sent)]).encode(), {"Origin": service.url}
    )
    urllib.request.urlopen(asked, timeout=60).close()
    page = drop(page)
    assert page.input_value("#name") == "Blue jumper"
    send(page, "Put it in the wardrobe")
    assert page.url.endswith("/wardrobe/blue_jumper")
    page.goto(service.url + "/wardrobe/new")
    assert (drafts(page), page.input_value("#name")) == ({}, "")
    page.goto(service.url + "/wardrobe/blue_jumper_2")
    assert "There is no blue jumper 2" in page.content()


@pytest.mark.full
def test_a_form_with_other_fields_in_it_is_opened_with_those(look_at):
    page = look_at("/piece")
    with page.expect_navigation():
        page.click("button:has-text('Measure both')")
    page.fill("#ref_chest", "53.2")
    page.fill("#own_chest", "51.8")
    page = drop(page)
    page.wait_for_selector(LINE)  # of the page with those fields, where the form's own address leads on
    assert (page.input_value("#ref_chest"), page.input_value("#own_chest")) == ("53.2", "51.8")


@pytest.mark.full
def test_going_for_a_yarn_and_back_keeps_what_was_typed_and_forgets_it_once_the_swatch_is_kept(open_page):
    page = open_page("/swatches/new")
    page.fill("#stitches", "36")
    page.fill("#across", "16.7")
    page.click("summary:has-text('Yarn, machine and settings')")
    page.select_option("#yarn", "blue_cotton")  # on second thoughts it was another one
    send(page, "Add a yarn")
    page.fill("#name", "moss wool")
    send(page, "Keep")
    assert page.input_value("#yarn") == "moss_wool"
    assert (page.input_value("#stitches"), page.locator(LINE).count()) == ("36", 0)
    page = drop(page)  # the tab goes before the swatch is kept
    assert (page.input_value("#yarn"), page.input_value("#stitches")) == ("moss_wool", "36")
    send(page, "Put it in the book")
    assert drafts(page) == {}


@pytest.mark.full
def test_a_plan_that_was_kept_is_no_draft_any_more(open_page, service):
    page = open_page("/plan")
    for field, text in {"chest": "52", "stitches": "40", "across": "17", "count_1": "112", "count_2": "120"}.items():
        page.fill(f"#{field}", text)
    send(page, "Which size?")
    assert list(drafts(page)) == ["/plan"]
    send(page, "Keep it as a make")
    assert drafts(page) == {}


@pytest.mark.full
def test_a_browser_that_keeps_nothing_says_so_once_and_breaks_nothing(open_page):
    page = open_page("/")
    page.add_init_script("Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no'); } })")
    page.goto(page.url + "wardrobe/new")
    assert page.locator(".strip.unkept").count() == 0
    page.keyboard.press("Tab")
    page.locator("#name").press_sequentially("Blue")
    page.locator("#at_chest").press_sequentially("52")
    page.wait_for_selector(".strip.unkept")
    page.wait_for_timeout(300)
    assert page.locator(".strip.unkept").count() == 1
    send(page, "Put it in the wardrobe")
    assert page.url.endswith("/wardrobe/blue")


@pytest.mark.full
def test_without_scripts_every_form_is_as_it_was(open_page):
    page = open_page("/wardrobe/new", PHONE, java_script_enabled=False)
    assert page.locator(LINE).count() == 0
    page.fill("#name", "Blue jumper")
    page.fill("#at_chest", "52")
    send(page, "Put it in the wardrobe")
    assert page.url.endswith("/wardrobe/blue_jumper")


@pytest.mark.full
def test_where_two_changed_the_same_the_draft_waits_until_one_text_was_chosen(open_page, service):
    page = open_page("/wardrobe/brown_pullover/edit")
    page.fill("#notes", "mine")
    other = page.context.browser.new_context().new_page()
    other.goto(page.url)
    other.fill("#notes", "theirs")
    send(other, "Keep the changes")
    other.context.close()
    send(page, "Keep the changes")
    page.check("input[value='theirs']", force=True)
    page = drop(page)
    assert page.input_value("#notes") == "mine"
    send(page, "Keep the changes")
    page.check("input[value='mine']", force=True)
    send(page, "Keep what is chosen")
    assert drafts(page) == {}
    assert "mine" in page.content()


@pytest.mark.full
def test_a_grid_that_lost_a_row_is_put_back_as_far_as_its_rows_go(look_at):
    page = look_at("/size-tables/new", {"width": 1280, "height": 900})
    with page.expect_navigation():
        page.click("button[value='delete_1']")
    page.fill("#name", "plain")
    page.fill("#c_1_0", "41.5")
    page = drop(page)
    page.wait_for_selector(LINE)
    assert (page.input_value("#name"), page.input_value("#c_1_0")) == ("plain", "41.5")
