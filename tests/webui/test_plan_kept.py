"""A plan that is kept: with a size, with counts of one's own, or with neither; what it knows is not asked again."""

from __future__ import annotations

import html
import re

import pytest

from tests.webui import lent
from tests.webui.test_pages_wardrobe import fields_in

PLAN = {
    "chest": "54",
    "chest_meant": "flat",
    "stitches": "36",
    "across": "16.6",
    "dial": "7",
    "size_1": "S",
    "count_1": "110",
    "size_2": "M",
    "count_2": "116",
}


@pytest.fixture
def client(empty):
    return lent.lend(empty).test_client()


def page_of(client, path, status=200, **query):
    answer = client.get(path, query_string=query)
    assert answer.status_code == status
    return answer.get_data(as_text=True)


def to_knit(page):
    """What there is to knit, by label, and which of it stands chosen."""
    select = re.search(r'<select id="knit".*?</select>', page, re.S)[0]
    options = re.findall(r'<option value="([^"]*)"( selected)?>([^<]*)</option>', select)
    return {label: value for value, _, label in options}, next(label for _, on, label in options if on)


def kept(client, empty, **typed):
    answer = client.post("/plan/keep", data={**PLAN, "name": "grey", **typed})
    assert answer.status_code == 303, answer.get_data(as_text=True)
    return empty.get("makes", "grey").doc


def read_back(client):
    """The back is knitted and read."""
    data = {"piece": "back", "how": "readings", "stage": "blocked", "own_chest": "53.6"}
    assert client.post("/makes/grey/points", data=data).status_code == 303


def test_a_plan_offers_each_size_and_counts_of_ones_own_with_what_is_advised_chosen(client):
    choices, chosen = to_knit(page_of(client, "/plan", **PLAN))
    assert [label.partition(",")[0] for label in choices] == ["size S", "size M", "counts of your own", "decide later"]
    assert chosen.startswith("counts of your own")
    assert "Counts of your own: chest 120 stitches. 5 in 10 that every width fits.</p>" in page_of(
        client, "/plan", **PLAN
    )
    _, chosen = to_knit(page_of(client, "/plan", **{**PLAN, "count_2": "120"}))
    assert chosen.startswith("size M")


def test_without_sizes_the_counts_that_the_plan_says_to_knit_are_chosen(client):
    page = page_of(client, "/plan", chest="54", chest_meant="flat", stitches="36", across="16.6", dial="7")
    assert "Knit 119 stitches at the chest, at dial 7." in page.replace("\u00a0", " ")
    assert to_knit(page)[1].startswith("counts of your own")


def test_a_swatch_that_is_asked_about_is_named_where_the_plan_goes_without_it(client, empty):
    empty.put("yarns", "oat", {"id": "oat", "name": "oat wool"}, 0)
    read = {"kind": "blocked", "across": ["15.2 cm"], "along": ["15.2 cm"]}
    swatch = {"id": "swapped", "yarn": "oat", "dial": "6", "stitches": {"count": 60}, "rows": {"count": 40}}
    empty.put("swatches", "swapped", {**swatch, "stages": [read]}, 0)
    page = page_of(client, "/plan", chest="54", chest_meant="flat", fabric="oat|")
    said = re.search(r"Left out until it is answered:\s*<a href=\"([^\"]+)\">", page)
    assert said[1] == "/swatches/swapped#questions"
    swatch |= {"stitches": {"count": 40}, "rows": {"count": 60}}
    empty.put("swatches", "swapped", {**empty.get("swatches", "swapped").doc, **swatch}, 1)
    assert "Left out until" not in page_of(client, "/plan", chest="54", chest_meant="flat", fabric="oat|")


def test_a_plan_is_kept_with_a_size(client, empty):
    make = kept(client, empty, knit="size M")
    assert (make["size"], make.get("planned")) == ("M", None)


def test_a_plan_is_kept_with_counts_of_ones_own_for_back_and_front(client, empty):
    choices, chosen = to_knit(page_of(client, "/plan", **PLAN))
    make = kept(client, empty, knit=choices[chosen])
    assert (make.get("size"), make["planned"]) == (None, {"back": {"chest": 120}, "front": {"chest": 120}})
    page = page_of(client, "/makes/grey")
    assert "120 stitches at the chest" in page
    assert "Knit no size" not in page


def test_a_plan_is_kept_before_anything_is_decided(client, empty):
    make = kept(client, empty, knit="")
    assert (make.get("size"), make.get("planned")) == (None, None)


def test_counts_that_are_others_now_are_not_kept_as_they_were_shown(client, empty):
    answer = client.post("/plan/keep", data={**PLAN, "name": "grey", "knit": "back.chest=118"})
    page = answer.get_data(as_text=True)
    assert answer.status_code == 422
    assert "These counts are others now." in page
    assert re.search(r'name="name"[^>]* value="grey"', page)
    assert empty.list("makes").records == ()


def asked_count(page):
    """The count that the page of a make asks for: what stands in its field, and its words."""
    form = re.search(r'<form class="ask count" id="count".*?</form>', page, re.S)
    if form is None:
        return None
    return re.search(r'name="count"[^>]* value="([^"]*)"', form[0])[1], " ".join(
        re.sub(r"<[^>]+>", " ", form[0]).split()
    )


def test_what_a_kept_size_says_is_not_asked_again(client, empty):
    kept(client, empty, knit="size M")
    read_back(client)
    page = page_of(client, "/makes/grey")
    value, words = asked_count(page)
    assert value == "116"
    assert "116 are planned. Keep it if the piece has as many" in words
    assert "The front: how many stitches at the chest?" not in page
    sent = client.post("/makes/grey/count", data={"point": "chest", "count": value, "of": ""})
    assert sent.status_code == 303
    (back,) = empty.get("makes", "grey").doc["pieces"]
    assert back["counts"] == {"chest": {"counted": 116}}
    assert asked_count(page_of(client, "/makes/grey")) is None


def test_without_a_size_the_count_is_asked_with_an_empty_field(client, empty):
    kept(client, empty, knit="")
    read_back(client)
    page = page_of(client, "/makes/grey")
    assert asked_count(page)[0] == ""
    assert "The front: how many stitches at the chest?" in page


def test_how_it_was_knitted_begins_with_the_counts_of_the_size(client, empty):
    kept(client, empty, knit="size M")
    read_back(client)
    page = page_of(client, "/makes/grey/pieces/back")
    assert re.search(r'<input id="count-chest"[^>]* value="116"', page)
    assert "planned 116" in page
    form = fields_in(page[page.index('<form class="form knitform"') :])
    assert client.post("/makes/grey/pieces/back", data=form).status_code == 303
    (back,) = empty.get("makes", "grey").doc["pieces"]
    assert back["counts"]["chest"] == {"knitted": 116}
    page = page_of(client, "/makes/grey/pieces/front")
    assert re.search(r'<input id="count-chest"[^>]* value="116"', page)


def own_button(page):
    """What the button of counts of one's own sends; None where there is none."""
    form = re.search(r'<form method="post" action="/makes/grey/own-counts".*?</form>', page, re.S)
    return form and {name: html.unescape(text) for name, text in re.findall(r'name="([^"]+)" value="([^"]*)"', form[0])}


def test_counts_of_ones_own_are_planned_by_their_button_on_which_size_and_undone_as_one(client, empty):
    kept(client, empty, knit="size M")
    page = page_of(client, "/makes/grey/sizes")
    sends = own_button(page)
    assert "Knit counts of your own" in page
    answer = client.post("/makes/grey/own-counts", data=sends, follow_redirects=True)
    assert "Now: " in answer.get_data(as_text=True)
    make = empty.get("makes", "grey").doc
    assert (make.get("size"), make["planned"]["back"], make["planned"]["front"]) == (
        None,
        {"chest": 120},
        {"chest": 120},
    )
    page = page_of(client, "/makes/grey/sizes")
    assert own_button(page) is None
    assert '<span class="chosen">chosen</span>' in page
    assert "Counts of your own are planned" in re.search("<h1>.*?</h1>", page, re.S)[0]
    assert "knit the back first: 120 stitches" in page_of(client, "/makes/grey")
    revision = empty.get("makes", "grey").revision
    client.post("/undo", data={"kind": "makes", "key": "grey", "revision": str(revision), "back": "/"})
    make = empty.get("makes", "grey").doc
    assert (make["size"], make.get("planned")) == ("M", None)


def test_a_size_that_is_chosen_afterwards_takes_the_place_of_the_own_counts(client, empty):
    choices, chosen = to_knit(page_of(client, "/plan", **PLAN))
    kept(client, empty, knit=choices[chosen])
    client.post("/makes/grey/size", data={"size": "M"})
    make = empty.get("makes", "grey").doc
    assert (make["size"], make.get("planned")) == ("M", None)


def test_own_counts_that_are_others_now_are_not_planned(client, empty):
    kept(client, empty, knit="size M")
    sends = own_button(page_of(client, "/makes/grey/sizes"))
    answer = client.post(
        "/makes/grey/own-counts", data={**sends, "own": "back.chest=118"}, follow_redirects=True
    ).get_data(as_text=True)
    assert "These counts are others now." in answer
    assert empty.get("makes", "grey").doc.get("planned") is None


def test_a_plan_that_is_asked_about_first_keeps_its_name_and_what_was_to_be_knitted(client):
    answer = client.post("/plan/keep", data={**PLAN, "chest": "20.4", "name": "For Ada", "knit": "size S"})
    assert answer.status_code == 422
    forms = re.findall(r'<form[^>]*action="/plan".*?</form>', answer.get_data(as_text=True), re.S)
    assert len(forms) > 1
    for form in forms:
        assert {"name": "For Ada", "knit": "size S"}.items() <= fields_in(form).items()


def test_undoing_a_plan_that_was_kept_leads_to_the_list_of_makes_not_to_a_page_that_is_gone(client, empty):
    kept(client, empty)
    revision = empty.get("makes", "grey").revision
    sent = {"kind": "makes", "key": "grey", "revision": str(revision), "back": "/makes/grey"}
    answer = client.post("/undo", data=sent)
    assert answer.headers["Location"] == "/makes"
    page = page_of(client, "/makes")
    assert "Undone: it is as it was before." in page
    assert ">redo</button>" in page


def test_a_kept_plan_is_one_change_that_takes_its_swatch_and_sizes_back_and_brings_them_again(client, empty):
    def there():
        return [len(empty.list(kind).records) for kind in ("swatches", "size_tables", "makes")]

    def press(page):
        form = re.search(r'<form method="post" action="/(take-back|undo)">(.*?)</form>', page, re.S)
        sent = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form[2]))
        return client.post(f"/{form[1]}", data={name: html.unescape(text) for name, text in sent.items()})

    form = re.search(r'name="form" value="([^"]+)"', page_of(client, "/plan", **PLAN))[1]
    kept(client, empty, form=form)
    assert there() == [1, 1, 1]
    answer = press(page_of(client, "/makes/grey"))
    assert answer.headers["Location"] == "/makes"
    assert there() == [0, 0, 0]
    press(page_of(client, "/makes"))
    assert there() == [1, 1, 1]


def test_undoing_a_yarn_that_was_added_on_its_page_leads_to_the_swatch_book(client, empty):
    empty.put("yarns", "wool", {"id": "wool", "name": "wool"}, 0)
    sent = {"kind": "yarns", "key": "wool", "revision": "1", "back": "/swatches/yarns/wool"}
    assert client.post("/undo", data=sent).headers["Location"] == "/swatches"


def test_a_plan_that_no_size_answers_shows_the_fields_that_it_waits_for(client):
    folded = re.compile(r'<details class="sect noprint" id="from"( open)?>')
    assert folded.search(page_of(client, "/plan", chest="54", chest_meant="flat"))[1]
    assert not folded.search(page_of(client, "/plan", **PLAN))[1]


def test_what_is_refused_is_listed_in_the_order_of_the_fields(client):
    slips = {"stitches": "thirty", "dial": "7½", "size_2": "S", "count_2": "110,5"}
    page = page_of(client, "/plan", 422, **{**PLAN, **slips})
    assert re.findall(r'<li><a href="#(\w+)">', page) == list(slips)
