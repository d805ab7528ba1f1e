"""The page of the rest in its states: usual, refused, changed, empty and waiting; and what its buttons keep."""

from __future__ import annotations

import html
import re

import pytest

from fitcheck.records.makes import Make
from tests.webui.test_pages_wardrobe import fields_in

GREY, RUST, BLUE = "/makes/grey_pullover", "/makes/rust_pullover", "/makes/blue_cotton_pullover"
ODD = {"multiple": 6, "balance": 1}
"""Repeats of 6 and 1 over, which do not go with the even counts of the grey pullover's back."""


def page_of(client, path):
    return client.get(path).get_data(as_text=True)


def text(page):
    main = page[page.index("<main") : page.index("</main")]
    return html.unescape(re.sub(r"\s+", " ", re.sub("<[^>]+>", " ", main)).strip())


def heading(page):
    return html.unescape(re.sub("<[^>]+>", "", re.search(r"<h1>(.*?)</h1>", page)[1]))


def change(store, make, **fields):
    stored = store.get("makes", make)
    return store.put("makes", make, {**stored.doc, **fields}, stored.revision)


def make_of(store, key) -> Make:
    return store.get("makes", key).record


def form_of(page, button):
    """Address and fields of the form with a button."""
    form = next(form for form in re.findall(r"<form.*?</form>", page, re.S) if f">{button}</button>" in form)
    fields = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form))
    return re.search(r'action="([^"]*)"', form)[1], fields


def press(client, page, button):
    action, fields = form_of(page, button)
    answer = client.post(action, data=fields)
    assert answer.status_code == 303
    return page_of(client, answer.headers["Location"])


# Usual


def test_the_heading_casts_on_and_every_count_in_the_drawing_has_its_row(client):
    page = page_of(client, f"{GREY}/rest")
    assert heading(page) == "Cast on the front: 120 stitches, 126 at the chest."
    drawn = [int(figure) for figure in re.findall(r'class="t-keyn"[^>]*>(\d+)<', page)]
    rows = [int(figure) for figure in re.findall(r'<i class="key">(\d+)</i>', page)]
    assert drawn == rows == list(range(1, len(rows) + 1))
    assert re.findall(r'<a class="btn main"[^>]*>([^<]*)<', page) == ["Sheet of the front"]
    assert "left sleeve" in page
    assert "Chance that all fits 19 in 20" in text(page)


def test_the_page_says_what_binds_and_by_how_much(client):
    assert "What binds Nothing costs anything here" in text(page_of(client, f"{GREY}/rest"))
    moss = text(page_of(client, "/makes/moss_drop_shoulder/rest"))
    told = "Each shoulder has the back’s 47 stitches: chest less neck width is 94. 0.06 of a back."
    assert f"Front, shoulders {told}" in moss


def test_the_judged_piece_leads_to_the_counts_for_the_rest_first(client):
    for make in ("grey_pullover", "grey_cardigan", "moss_drop_shoulder"):
        page = page_of(client, f"/makes/{make}")
        assert re.search(r'<a class="btn main" href="([^"]*)">([^<]*)<', page).groups() == (
            f"/makes/{make}/rest",
            "Counts for the rest",
        )


# Refused


def test_what_cannot_hold_together_has_three_ways_out_and_says_why(client, store):
    change(store, "grey_pullover", **ODD)
    page = page_of(client, f"{GREY}/rest")
    assert heading(page) == "No counts of the front yet: choose what to lift."
    buttons = re.findall(r'<button class="btn[^"]*" name="place" value="(\d)">([^<]*)<', page)
    assert buttons == [
        ("0", "Knit 126, without whole repeats"),
        ("1", "Knit 127, sides unlike"),
        ("2", "Knit 127, another neck"),
    ]
    assert "odd Repeats of 6 + 1: 121, 127, 133 stitches at the chest." in text(page)
    assert "The last repeat stops 1 stitch short of the seam. Nothing fits worse." in text(page)
    assert f'<a class="btn" href="{GREY}/pieces/back">Put the back’s counts right</a>' in page
    assert "Sheet of the front" not in page


@pytest.mark.parametrize(
    ("button", "demand", "counts"),
    [
        ("Knit 126, without whole repeats", "repeat", "118 stitches, 126 at the chest"),
        ("Knit 127, sides unlike", "parity", "119 stitches, 127 at the chest"),
        ("Knit 127, another neck", "neck", "119 stitches, 127 at the chest"),
    ],
)
def test_a_way_out_lifts_its_demand_and_can_be_taken_back(client, store, button, demand, counts):
    change(store, "grey_pullover", **ODD)
    page = press(client, page_of(client, f"{GREY}/rest"), button)
    assert heading(page) == f"Cast on the front: {counts}."
    assert [lift.demand for lift in make_of(store, "grey_pullover").choices.lifted] == [demand]
    again = re.search(r"<form[^>]*ask-again.*?</form>", page, re.S)[0]
    fields = dict(re.findall(r'name="(\w+)" value="([^"]*)"', again))
    client.post(f"{GREY}/rest/ask-again", data=fields)
    assert make_of(store, "grey_pullover").choices.lifted == []
    assert heading(page_of(client, f"{GREY}/rest")).startswith("No counts of the front yet")


def test_a_way_out_of_an_older_answer_is_not_taken(client, store):
    change(store, "grey_pullover", **ODD)
    action, fields = form_of(page_of(client, f"{GREY}/rest"), "Knit 127, sides unlike")
    change(store, "grey_pullover", balance=3)
    client.post(action, data=fields)
    assert make_of(store, "grey_pullover").choices.lifted == []
    assert "The counts have changed since this was shown." in page_of(client, f"{GREY}/rest")
    assert client.post(action, data={"place": "x"}).status_code == 400
    assert client.post(f"{GREY}/rest/ask-again", data={"place": "0"}).status_code == 303


TOO_LONG = {"upper_arm": "22.6 cm"}
"""An upper arm of the blue cotton pullover whose nearest cap is too long for its armholes."""


@pytest.mark.parametrize(
    ("wanted", "said", "button", "demand"),
    [
        (TOO_LONG, "0.9 % long", "Knit 100 at the upper arm", "narrower_arm"),
        (TOO_LONG, "0.9 % long", "Ease to 7 %", "ease"),
        (TOO_LONG, "0.9 % long", "Knit 67 rows on the front", "deeper_armhole"),
        ({"upper_arm": "9 cm"}, "32.0 % short", "Knit 54 at the upper arm", "wider_arm"),
    ],
)
def test_where_no_cap_fits_each_way_is_a_button_and_can_be_taken_back(client, store, wanted, said, button, demand):
    fits = store.get("makes", "blue_cotton_pullover").doc["fits"]
    change(store, "blue_cotton_pullover", fits={**fits, "numbers": wanted})
    page = page_of(client, f"{BLUE}/rest")
    assert f"No cap fits: the nearest is {said}." in text(page)
    page = press(client, page, button)
    assert [lift.demand for lift in make_of(store, "blue_cotton_pullover").choices.lifted] == [demand]
    assert 'aria-label="Sheet of a sleeve"' in page
    again = re.search(r"<form[^>]*ask-again.*?</form>", page, re.S)[0]
    client.post(f"{BLUE}/rest/ask-again", data=dict(re.findall(r'name="(\w+)" value="([^"]*)"', again)))
    assert make_of(store, "blue_cotton_pullover").choices.lifted == []
    assert 'aria-label="Sheet of a sleeve"' not in page_of(client, f"{BLUE}/rest")


# Changed


def read_wider(store):
    """The back of the rust-coloured pullover is read 2.5 cm wider across the chest."""
    stored = store.get("makes", "rust_pullover")
    document = stored.doc
    readings = document["pieces"][0]["stages"][1]["readings"]["chest"]
    for reading in readings:
        reading["set_aside"] = "still damp"
    readings += [{"id": f"n{at}", "text": said, "unit": "cm"} for at, said in enumerate(("55.8", "55.9", "55.7"))]
    store.put("makes", "rust_pullover", document, stored.revision)


def test_counts_that_became_others_before_a_sheet_is_begun_are_said_as_was_and_now(client):
    page = page_of(client, f"{GREY}/counts")
    fields = fields_in(page[page.index('<form class="form"') :])
    client.post(f"{GREY}/counts", data={**fields, "planned-sleeve-cap_height": "48"})
    said = text(page_of(client, GREY))
    assert "The answer stays as it was, its counts do not: the sleeve’s cap height was 46, now 48." in said


def test_a_piece_on_the_needles_goes_on_from_its_row(client):
    page = page_of(client, f"{RUST}/rest")
    assert heading(page) == "Go on with the front: row 131."
    assert f'<a class="btn main" href="{RUST}/sheets/front/machine">At the machine</a>' in page
    assert ">row 131</text>" in page


def test_counts_that_became_others_are_asked_about_keep_first(client, store):
    read_wider(store)
    page = page_of(client, f"{RUST}/rest")
    assert heading(page) == "Keep 126, or knit 120? The front is at row 131."
    buttons = re.findall(r'<button class="(btn[^"]*)">([^<]*)<', page)
    assert buttons == [("btn main", "Keep 126"), ("btn", "Knit 120")]
    assert "Was 126 at the chest, now 120" in text(page)
    assert "point on the needles knit" in text(page)
    assert "3 chest 126 120 st 6 fewer" in text(page)
    assert "Nothing changes on the needles until you say so." in text(page)
    assert [begun.ended for begun in make_of(store, "rust_pullover").sheets] == [False]


def test_what_is_kept_is_remembered_until_the_counts_change_again(client, store):
    read_wider(store)
    page = press(client, page_of(client, f"{RUST}/rest"), "Keep 126")
    assert heading(page) == "Go on with the front: row 131."
    assert "You keep 126 at the chest; by what was read since it would be 120." in text(page)
    begun = make_of(store, "rust_pullover").sheets[0]
    assert begun.kept_against
    assert not begun.ended
    assert heading(page_of(client, f"{RUST}/rest")) == "Go on with the front: row 131."


def test_knitting_the_newer_counts_ends_the_old_sheet_and_begins_the_new(client, store):
    read_wider(store)
    page = press(client, page_of(client, f"{RUST}/rest"), "Knit 120")
    sheets = make_of(store, "rust_pullover").sheets
    assert [(begun.number, begun.ended, begun.counts["chest"]) for begun in sheets] == [(1, True, 126), (2, False, 120)]
    assert heading(page) == "Go on with the front."
    assert store.taps_on("rust_pullover", sheets[0].id)


def test_a_choice_of_older_counts_moves_nothing(client, store):
    read_wider(store)
    action, fields = form_of(page_of(client, f"{RUST}/rest"), "Keep 126")
    client.post(action, data={**fields, "sheet": "0" * 64})
    assert make_of(store, "rust_pullover").sheets[0].kept_against is None
    assert client.post(action, data={"piece": "hat"}).status_code == 400


# Before there are counts


def test_before_a_piece_is_judged_the_page_leads_to_reading_it(client, store):
    store.put("makes", "bare", {"name": "bare, nothing knitted"}, 0)
    page = page_of(client, "/makes/bare/rest")
    assert heading(page) == "First the back’s answer: read it once it is knitted, washed and dry."
    assert ">Read a piece</a>" in page
    assert "<table" not in page


def test_before_anything_is_decided_the_page_leads_to_the_answer(client):
    page = page_of(client, "/makes/grey_miscounted/rest")
    assert heading(page) == "First the answer, then the counts."
    main = page.partition("<main")[2]
    assert re.findall(r'<a class="(btn[^"]*)" href="/makes/grey_miscounted">([^<]*)<', main) == [
        ("btn main", "To the answer")
    ], "no second button leads to the same page"


def test_of_a_finished_sweater_the_page_says_what_was_knitted(client, store):
    pieces = [dict(piece) for piece in store.get("makes", "moss_first").doc["pieces"]]
    pieces[1]["counts"] = {"chest": {"planned": 138, "knitted": 136}}
    change(store, "moss_first", pieces=pieces, planned={"front": {"hem": 132}, "sleeve": {"cuff": 52}})
    page = page_of(client, "/makes/moss_first/rest")
    assert heading(page) == "Everything is knitted."
    assert "Finished on 27 July 2025." in page
    tables = {
        title.strip(): dict(re.findall(r'<th scope="row">([^<]*)</th>\s*<td class="num">([^<]*)</td>', rows))
        for title, rows in re.findall(r'<h2 id="of-\w+">([^<]*)</h2>(.*?)</section>', page, re.S)
    }
    assert tables["The back"] == {
        "hem": "134 st",
        "chest": "138 st",
        "armhole depth": "75 rows",
        "neck width": "38 st",
        "body length": "194 rows",
    }
    # As knitted, and as planned where nobody said what was knitted.
    assert tables["The front"] == {"hem": "132 st", "chest": "136 st"}
    assert tables["Two sleeves"] == {"cuff": "52 st"}
    assert "/rest/seams" not in page
    for at in ("", "/machine"):
        page = page_of(client, f"/makes/moss_first/sheets/front{at}")
        assert heading(page) == "The front is knitted."


# Choices


def test_choices_are_kept_and_a_refusal_keeps_what_was_typed(client, store):
    at = f"{GREY}/choices"
    revision = re.search(r'name="revision" value="(\d+)"', page_of(client, at))[1]
    sent = {"end_rule": "half", "inset": "2", "cast_on": "waste_yarn", "widening": "needle", "first_side": "right"}
    sent |= {"armhole_rows": "down", "shoulder_groups": "4", "neck": "cast_off", "revision": revision}
    answer = client.post(at, data={**sent, "shoulder_groups": "lots"})
    assert answer.status_code == 422
    again = answer.get_data(as_text=True)
    assert 'value="lots"' in again
    assert re.search(r'value="half" selected', again)
    assert client.post(at, data=sent).headers["Location"].startswith(f"{GREY}/rest")
    kept = make_of(store, "grey_pullover").choices
    assert (kept.end_rule, kept.inset, kept.shoulder_groups, kept.neck) == ("half", 2, 4, "cast_off")
    assert kept.first_side == "right"


def test_choices_leave_what_was_lifted_as_it_is(client, store):
    lifted = [{"piece": "front", "demand": "repeat", "points": ["chest"]}]
    change(store, "grey_pullover", choices={"lifted": lifted})
    revision = re.search(r'name="revision" value="(\d+)"', page_of(client, f"{GREY}/choices"))[1]
    client.post(f"{GREY}/choices", data={"inset": "2", "revision": revision})
    kept = make_of(store, "grey_pullover").choices
    assert (kept.inset, len(kept.lifted)) == (2, 1)


# A band on the machine


def test_a_begun_band_is_listed_and_its_sheet_is_ended_once_it_is_on(client, store):
    sheet = f"{GREY}/sheets/neck_band"
    digest = re.search(r'name="digest" value="([0-9a-f]{64})"', page_of(client, sheet))[1]
    assert "Bands on the machine" not in text(page_of(client, f"{GREY}/rest"))
    client.post(f"{sheet}/begin", data={"digest": digest})
    page = page_of(client, f"{GREY}/rest")
    assert "Bands on the machine Neck band Begun. At the machine Sheet" in text(page)
    assert f'href="{sheet}/machine"' in page
    action, fields = form_of(page, "The neck band is on: end its sheet")
    page = page_of(client, client.post(action, data=fields).headers["Location"])
    assert "Ended: that band is on. It is taken off lot A: 1244.1 g are left." in text(page)
    (begun,) = make_of(store, "grey_pullover").sheets
    assert begun.ended
    assert "Bands on the machine" not in text(page_of(client, f"{GREY}/rest"))
    client.post(action, data=fields)
    assert "The sheet has changed since this one was shown." in page_of(client, f"{GREY}/rest")


def test_ending_the_sheet_of_a_band_is_taken_back_with_its_yarn_as_one_change(client, store):
    sheet = f"{GREY}/sheets/neck_band"
    digest = re.search(r'name="digest" value="([0-9a-f]{64})"', page_of(client, sheet))[1]
    client.post(f"{sheet}/begin", data={"digest": digest})
    hand = store.get("yarns", "grey_wool_in_oil").doc["lots"]
    page = press(client, page_of(client, f"{GREY}/rest"), "The neck band is on: end its sheet")
    assert store.get("yarns", "grey_wool_in_oil").doc["lots"] != hand
    form = next(form for form in re.findall(r"<form.*?</form>", page, re.S) if "undo" in form)
    fields = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form))
    client.post(re.search(r'action="([^"]*)"', form)[1], data=fields)
    assert store.get("yarns", "grey_wool_in_oil").doc["lots"] == hand
    assert [begun.ended for begun in make_of(store, "grey_pullover").sheets] == [False]


def test_once_every_piece_is_knitted_the_page_leads_to_the_seams_and_to_finished(client, store):
    stored = store.get("makes", "grey_pullover")
    off = {"stages": [{"kind": "off_machine", "grams": 100}]}
    others = ({"id": kind, "piece": kind, **off} for kind in ("front", "left_sleeve", "right_sleeve"))
    store.put("makes", "grey_pullover", {**stored.doc, "pieces": [*stored.doc["pieces"], *others]}, stored.revision)
    page = page_of(client, f"{GREY}/rest")
    assert heading(page) == "Everything is knitted."
    assert "Cannot say" not in text(page)
    assert f'<a class="btn main" href="{GREY}/rest/seams">Seams</a>' in page
    assert f'<a class="btn" href="{GREY}/finish">Finished</a>' in page
    yarn = page_of(client, f"{GREY}/rest/yarn")
    assert heading(yarn) == "Everything is knitted."
    assert "Cannot say" not in text(yarn)
