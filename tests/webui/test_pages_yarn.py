"""The page of the yarn: pieces and lots weighed on it, what that does to the chance, and the ways out."""

from __future__ import annotations

import json
import re

import pytest

from fitcheck.cli import main
from fitcheck.words.figures import chance_words
from tests.webui.conftest import DEMO

MAKE = "/makes/rust_pullover"
AT = f"{MAKE}/rest/yarn"


def yarn(ask):
    return ask("GET", f"{MAKE}/yarn")[1]["answer"]


def record(ask):
    return ask("GET", MAKE)[1]["record"]


def test_chance_and_range_are_those_of_the_api_and_of_the_command(client, ask, tmp_path, capsys):
    file = tmp_path / "demo.json"
    file.write_text(json.dumps(DEMO), encoding="utf-8")
    for make in ("rust_pullover", "grey_pullover", "moss_drop_shoulder"):
        answer = ask("GET", f"/makes/{make}/yarn")[1]["answer"]
        assert main(["yarn", str(file), "--make", make]) == 0
        shown = re.sub("<[^>]+>", " ", client.get(f"/makes/{make}/rest/yarn").get_data(as_text=True))
        printed, page = " ".join(capsys.readouterr().out.split()), " ".join(shown.split())
        for figure in (
            f"still to knit {round(answer['need'])} {round(answer['low'])} to {round(answer['high'])}",
            chance_words(answer["lasts"]),
        ):
            assert figure in printed
            assert figure in page


def test_a_piece_that_is_weighed_again_changes_the_chance_and_it_is_said(client, ask):
    before = yarn(ask)
    assert client.post(AT, data={"do": "weigh", "weight-back": "146"}).status_code == 303
    after = yarn(ask)
    assert after["need"] > before["need"]
    page = client.get(AT).text
    assert f"Was: lasts, {chance_words(before['lasts'])}. Now: {chance_words(after['lasts'])}." in page
    assert "undo" in page


def test_the_front_that_came_off_begins_as_a_piece_with_the_counts_of_its_sheet_which_is_ended(client, ask):
    counts = {key: count["count"] for key, count in ask("GET", f"{MAKE}/rest")[1]["pieces"][0]["counts"].items()}
    assert client.post(AT, data={"do": "weigh", "weight-back": "140", "weight-front": "137,5"}).status_code == 303
    front = record(ask)["pieces"][-1]
    assert (front["piece"], front["stages"]) == ("front", [{"kind": "off_machine", "grams": 137.5}])
    assert {key: count["knitted"] for key, count in front["counts"].items()} == counts
    assert [sheet.get("ended") for sheet in record(ask)["sheets"]] == [True]
    assert [piece["kind"] for piece in ask("GET", f"{MAKE}/rest")[1]["pieces"]] == ["sleeve"]
    weighed = {piece["kind"]: piece["weighed"] for piece in yarn(ask)["pieces"]}
    assert (weighed["back"], weighed["front"], weighed["sleeve"]) == (140.0, 137.5, None)


def test_what_came_off_is_taken_off_its_lot_and_both_are_undone_as_one(client, ask):
    before = ask("GET", MAKE)[1]["record"], ask("GET", "/yarns/rust_wool")[1]["record"]
    data = {"do": "weigh", "weight-back": "140", "weight-front": "137", "form": "abcdefghijklmnopqrst"}
    assert client.post(AT, data=data).status_code == 303
    assert ask("GET", "/yarns/rust_wool")[1]["record"]["lots"] == [{"lot": "3", "grams": 157.0}]
    assert yarn(ask)["hand"] == 157
    page = client.get(AT).text
    assert "It is taken off lot 3: 157 g are left." in page
    undo = dict(re.findall(r'name="(together|kind|key|revision|back)" value="([^"]*)"', page))
    assert client.post("/take-back", data=undo).status_code == 303
    assert (ask("GET", MAKE)[1]["record"], ask("GET", "/yarns/rust_wool")[1]["record"]) == before


def test_of_two_lots_it_is_taken_off_the_one_that_the_piece_was_given(client, ask):
    at = "/makes/grey_pullover"
    lots = ask("GET", f"{at}/yarn")[1]["answer"]["lots"]["lots"]
    data = {"do": "weigh", "weight-back": "171.5", "weight-front": "170"}
    assert client.post(f"{at}/rest/yarn", data=data).status_code == 303
    left = {lot["lot"]: lot["grams"] for lot in ask("GET", "/yarns/grey_wool_in_oil")[1]["record"]["lots"]}
    assert left == {"A": 1250.0, "B": 400.0} | {lots["front"]: {"A": 1250.0, "B": 400.0}[lots["front"]] - 170}


def test_both_sleeves_are_weighed_one_after_the_other_each_in_a_field_of_its_own(client, ask):
    weights = {"do": "weigh", "weight-back": "140", "weight-front": "137", "weight-sleeve": "76"}
    for field in ("weight-front", "weight-sleeve"):
        typed = {name: text for name, text in weights.items() if name <= field or name == "do"}
        assert client.post(AT, data=typed).status_code == 303
    assert "Other sleeve, once it is off the machine" in client.get(AT).text
    assert "<h1>Cast on the other sleeve:" in client.get(f"{MAKE}/rest").text
    assert client.post(AT, data={**weights, "weight-other_sleeve": "77"}).status_code == 303
    told = [(piece["id"], piece["piece"], piece["stages"][0]["grams"]) for piece in record(ask)["pieces"][-2:]]
    assert told == [("sleeve", "sleeve", 76.0), ("other_sleeve", "sleeve", 77.0)]
    assert 'value="76"' in client.get(AT).text


def test_a_piece_that_came_off_keeps_the_lot_that_it_was_knitted_from_and_the_rest_goes_on_with_it(client, ask):
    at = "/makes/grey_pullover"
    lot = ask("GET", f"{at}/yarn")[1]["answer"]["lots"]["lots"]["front"]
    data = {"do": "weigh", "weight-back": "171.5", "weight-front": "170"}
    assert client.post(f"{at}/rest/yarn", data=data).status_code == 303
    assert ask("GET", at)[1]["record"]["pieces"][-1]["lot"] == lot
    after = ask("GET", f"{at}/yarn")[1]["answer"]
    assert {piece["kind"]: piece["lot"] for piece in after["pieces"]}["front"] == lot
    assert set(after["lots"]["lots"].values()) == {lot}


def test_a_form_of_weights_that_is_sent_twice_is_one_change(client, ask):
    data = {"do": "weigh", "weight-back": "140", "weight-front": "137", "form": "abcdefghijklmnopqrst"}
    before = ask("GET", MAKE)[1]["revision"]
    assert [client.post(AT, data=data).status_code for _ in range(2)] == [303, 303]
    assert ask("GET", MAKE)[1]["revision"] == before + 1
    assert [piece["id"] for piece in record(ask)["pieces"]] == ["back", "front"]


def test_a_form_that_is_put_right_after_back_and_sent_again_keeps_the_right_figures(client, ask):
    data = {"do": "weigh", "weight-back": "140", "weight-front": "137", "form": "abcdefghijklmnopqrst"}
    assert client.post(AT, data=data).status_code == 303
    assert client.post(AT, data={**data, "weight-front": "139"}).status_code == 303
    assert [piece["stages"][-1]["grams"] for piece in record(ask)["pieces"]] == [140.0, 139.0]
    hand = {"do": "hand", "lot-0": "350", "form": "tsrqponmlkjihgfedcba"}
    assert client.post(f"{AT}/on-hand", data=hand).status_code == 303
    assert client.post(f"{AT}/on-hand", data={**hand, "lot-0": "355"}).status_code == 303
    assert yarn(ask)["hand"] == 355


def test_weights_that_stay_as_they_are_change_nothing(client, ask):
    before = ask("GET", MAKE)[1]
    assert client.post(AT, data={"do": "weigh", "weight-back": "140", "weight-front": ""}).status_code == 303
    assert ask("GET", MAKE)[1] == before


def test_a_weight_that_is_emptied_is_taken_away(client, ask):
    at = "/makes/moss_drop_shoulder"
    assert client.post(f"{at}/rest/yarn", data={"do": "weigh", "weight-back": ""}).status_code == 303
    assert "grams" not in ask("GET", at)[1]["record"]["pieces"][0]["stages"][0]
    page = client.get(f"{at}/rest/yarn").text
    assert "by yarn and gauge alone: assumed" in page
    assert "Nothing of this yarn was weighed. Weigh the back" in page


@pytest.mark.parametrize("field", ["weight-back", "weight-front"])
def test_a_weight_that_is_refused_stays_in_its_field(client, ask, field):
    before = ask("GET", MAKE)[1]
    response = client.post(AT, data={"do": "weigh", "weight-back": "140", field: "a lot"})
    assert response.status_code == 422
    assert 'value="a lot"' in response.text
    assert "Not taken: a lot." in response.text
    assert ask("GET", MAKE)[1] == before


def test_a_refused_weight_opens_the_page_at_its_form_and_a_kept_one_at_its_top(client):
    page = client.get(AT).text
    forms = re.findall(r'action="([^"]+)" id="(\w+)"', page)
    assert forms == [(f"{AT}#weigh", "weigh"), (f"{AT}/on-hand#hand", "hand")]
    for at, typed in (("", {"do": "weigh", "weight-back": "140"}), ("/on-hand", {"do": "hand", "lot-0": "350"})):
        assert client.post(AT + at, data=typed).location == f"{AT}#top"


@pytest.mark.parametrize("typed", ["1370", "13.7"])
def test_a_weight_far_from_what_the_other_pieces_tell_is_refused_and_nothing_is_taken_off_its_lot(client, ask, typed):
    before = ask("GET", MAKE)[1], ask("GET", "/yarns/rust_wool")[1]
    refused = client.post(AT, data={"do": "weigh", "weight-back": "140", "weight-front": typed})
    assert refused.status_code == 422
    assert f"Not taken: {typed}." in refused.text
    assert re.search(r"By what the other pieces weigh it would be about 1[34]\d\sg\.", refused.text)
    assert (ask("GET", MAKE)[1], ask("GET", "/yarns/rust_wool")[1]) == before
    assert client.post(AT, data={"do": "weigh", "weight-back": "140", "weight-front": "137"}).status_code == 303


@pytest.mark.parametrize(("at", "do", "field"), [("", "weigh", "weight-back"), ("/on-hand", "hand", "lot-0")])
def test_a_refused_form_keeps_its_id_so_that_its_draft_goes_when_it_is_kept_and_the_other_form_has_its_own(
    client, at, do, field
):
    ident = "abcdefghijklmnopqrst"
    page = client.post(AT + at, data={"do": do, field: "a lot", "form": ident}).text
    with_id = f'name="form" value="{ident}"><input type="hidden" name="do" value="'
    assert f"{with_id}{do}" in page
    assert page.count(with_id) == 1


def test_yarn_spun_in_oil_is_weighed_before_the_wash(client, ask):
    at = "/makes/grey_pullover"
    assert 'value="171.5"' in client.get(f"{at}/rest/yarn").text
    assert client.post(f"{at}/rest/yarn", data={"do": "weigh", "weight-back": "172"}).status_code == 303
    stages = ask("GET", at)[1]["record"]["pieces"][0]["stages"]
    assert [(stage["kind"], stage.get("grams")) for stage in stages] == [("off_machine", 172.0), ("blocked", 166.0)]


def test_what_is_on_hand_is_kept_with_the_yarn_lot_by_lot(client, ask):
    assert client.post(f"{AT}/on-hand", data={"do": "hand", "lot-0": "350"}).status_code == 303
    assert ask("GET", "/yarns/rust_wool")[1]["record"]["lots"] == [{"lot": "3", "grams": 350.0}]
    assert yarn(ask)["hand"] == 350
    assert "What is on hand is kept with the yarn. Was: lasts, 7 in 10. Now: 19 in 20." in client.get(AT).text
    response = client.post(f"{AT}/on-hand", data={"do": "hand", "lot-0": "plenty"})
    assert response.status_code == 422
    assert 'value="plenty"' in response.text
    data = {"do": "hand", "lot-0": "1000", "lot-1": "380"}
    assert client.post("/makes/grey_pullover/rest/yarn/on-hand", data=data).status_code == 303
    lots = ask("GET", "/yarns/grey_wool_in_oil")[1]["record"]["lots"]
    assert [(lot["lot"], lot["grams"]) for lot in lots] == [("A", 1000.0), ("B", 380.0)]


def test_yarn_of_which_nobody_said_what_is_there_is_asked_for(client, ask):
    stored = ask("GET", "/yarns/rust_wool")[1]
    bare = {key: value for key, value in stored["record"].items() if key != "lots"}
    assert ask("PUT", "/yarns/rust_wool", bare, stored["revision"])[0] == 200
    page = client.get(AT).text
    assert "How much is on hand?" in page
    assert client.post(f"{AT}/on-hand", data={"do": "hand", "lot-0": "400"}).status_code == 303
    assert ask("GET", "/yarns/rust_wool")[1]["record"]["lots"] == [{"grams": 400.0}]


def test_a_make_without_yarn_is_sent_to_name_it(client, ask):
    stored = ask("GET", MAKE)[1]
    bare = {key: value for key, value in stored["record"].items() if key != "yarn"}
    assert ask("PUT", MAKE, bare, stored["revision"])[0] == 200
    page = client.get(AT).text
    assert "Name its yarn" in page
    assert 'class="ruler gram"' not in page
    assert client.post(f"{AT}/on-hand", data={"do": "hand", "lot-0": "400"}).status_code == 404


def test_where_it_may_not_last_each_way_out_stands_with_its_chance(client, ask):
    page, ways = client.get(AT).text, yarn(ask)["ways"]
    assert [way["code"] for way in ways] == ["sleeves_last", "bands_other", "sleeves_other", "buy"]
    for way in ways:
        assert f'<p class="big">{chance_words(way["chance"])}</p>' in page
    assert f"leave out up to {ways[0]['rows']} rows" in page
    assert f"{round(ways[-1]['grams'])} g of the same lot" in page
