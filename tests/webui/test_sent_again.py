"""The same form sent again, by a double tap, Back or a reload, changes the same record and makes no second one."""

from __future__ import annotations

import threading

import pytest

from fitcheck.records.cross_checks import KINDS
from fitcheck.store.places import lists_of
from fitcheck.store.stored import HOUSEHOLD
from tests.webui.test_forms import CASES, FIVE, SIZES, Browser, filled, form_of
from tests.webui.test_pages_wardrobe import fields_in

ON_THE_TABLE = {
    "piece": "back",
    "stage": "blocked",
    "own_shoulder_width": "42",
    "own_chest": "52",
    "own_armhole_depth": "22",
}
SWEATER = {"ref_shoulder_width": "42", "ref_chest": "53", "ref_armhole_depth": "22"}
EASE = {"ease_shoulder_width": "0", "ease_chest": "8", "ease_armhole_depth": "2"}
BY_HAND = {
    "a piece, laid": (
        "/piece",
        {"piece": "back", "way": "laid", "own_chest": "1.2", "way_chest": "out"},
        "own_chest",
        "0.8",
    ),
    "a piece, both": ("/piece?way=both", {**ON_THE_TABLE, **SWEATER, "way": "both"}, "ref_chest", "54"),
    "a piece, ease": ("/piece?way=ease", {**ON_THE_TABLE, **SWEATER, **EASE, "way": "ease"}, "own_chest", "51"),
    "more points": (
        "/makes/grey_pullover/points",
        {"piece": "back", "how": "readings", "stage": "same", "own_hem": "51.2", "own_neck_width": "17"},
        "own_hem",
        "51.4",
    ),
    "a plan": (
        "/plan?chest=52&stitches=40&across=17&count_1=112&count_2=120",
        {**FIVE, **SIZES, "table": "", "fabric": "", "garment": ""},
        "count_1",
        "114",
    ),
}


@pytest.fixture
def browser(store):
    store.put("makes", "planned", {"name": "planned, no piece knitted yet"}, 0)
    return Browser(store)


def kept(store):
    """Every record, and every reading that counts, by kind and key."""
    records = {}
    for kind in KINDS:
        for listed in store.list(kind, limit=100).records:
            lists = lists_of(kind, store.get(kind, listed.key).doc)
            counting = [reading for _, readings in lists for reading in readings if not reading.get("set_aside")]
            records[kind, listed.key] = len(counting)
    return records


def form_with(page, names, ident="form"):
    """The fields of the form of a page that has most of some names, and an id, as a browser sends it unchanged."""
    forms = [form for form in page.split("<form")[1:] if f'name="{ident}"' in form]
    return fields_in(max(forms, key=lambda form: sum(f'name="{name}"' in form for name in names)))


def sent_by(case, browser):
    """What is sent by a form of the list that was filled."""
    hidden = fields_in(form_of(browser.get(case.at), case.form))
    typed = filled(case, browser)
    return {**hidden, **{name: text.split() if name == "swatches" else text for name, text in typed.items()}}


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_a_form_that_is_sent_again_writes_nothing(browser, case):
    typed, to = sent_by(case, browser), case.at.partition("?")[0]
    browser.post(to, **typed)
    there, revision = kept(browser.store), browser.store.get(HOUSEHOLD, HOUSEHOLD).revision
    browser.post(to, **typed)
    assert (kept(browser.store), browser.store.get(HOUSEHOLD, HOUSEHOLD).revision) == (there, revision)
    # What would have been without the id: a second one, or a conflict with what one has kept oneself.
    answer = browser.client.post(to, data={**typed, "form": "another-form-of-it"})
    assert answer.status_code == 409 or kept(browser.store) != there


@pytest.mark.parametrize(("at", "typed", "changed", "to"), BY_HAND.values(), ids=BY_HAND)
def test_so_it_is_with_what_is_typed_at_the_table(browser, at, typed, changed, to):
    action = "/plan/keep" if at.startswith("/plan") else at.partition("?")[0]
    typed = {**form_with(browser.get(at), typed), **typed}
    first = browser.post(action, **typed)
    there = kept(browser.store)
    assert browser.post(action, **typed) == first
    assert kept(browser.store) == there
    # The Back button, another figure, and Keep: the same records with the other figure.
    assert browser.post(action, **{**typed, changed: to}) == first
    assert kept(browser.store) == there


def test_a_name_put_right_after_going_back_is_the_name_of_the_same_garment(browser):
    typed = sent_by(CASES["garment"], browser)
    first = browser.post("/wardrobe/new", **typed)
    assert browser.post("/wardrobe/new", **{**typed, "name": "Brown", "at_chest": "51.8 52.6"}) == first
    page = browser.get(first)
    assert "Brown was kept from this form before" in page  # with undo, for who meant a second one
    assert 'action="/undo"' in page
    garment = browser.store.get("garments", first.rpartition("/")[2]).record
    assert garment.name == "Brown"
    (occasion,) = garment.occasions
    assert [(reading.text, reading.set_aside) for reading in occasion.readings["chest"]] == [
        ("51.8", ""),
        ("52.0", "typed again: 52.6"),
        ("52.6", ""),
    ]


def test_settings_sent_again_after_going_back_are_no_conflict_with_themselves(browser):
    at = "/wardrobe/brown_pullover/edit"
    typed = form_with(browser.get(at), ("name", "notes"))
    browser.post(at, **{**typed, "notes": "soft"})
    browser.post(at, **{**typed, "notes": "very soft"})
    assert browser.store.get("garments", "brown_pullover").record.notes == "very soft"


def test_a_double_tap_makes_one_garment(browser):
    typed, there = sent_by(CASES["garment"], browser), threading.Barrier(4)
    before, answers = browser.store.count("garments"), []

    def tap():
        client = browser.client.application.test_client()
        there.wait()
        answers.append(client.post("/wardrobe/new", data=typed).location)

    taps = [threading.Thread(target=tap) for _ in range(4)]
    for one in taps:
        one.start()
    for one in taps:
        one.join()
    assert (browser.store.count("garments"), len(set(answers))) == (before + 1, 1)


@pytest.mark.parametrize("ident", ["", "short", "a b c d e f g h i j k", "x" * 65, "ü" * 20])
def test_what_is_no_id_of_a_form_is_none(browser, ident):
    typed = {**sent_by(CASES["garment"], browser), "form": ident}
    assert browser.post("/wardrobe/new", **typed) != browser.post("/wardrobe/new", **typed)
