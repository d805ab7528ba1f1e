"""The page at the machine without a script, and taps over the API."""

from __future__ import annotations

import re

import pytest

from fitcheck.knitting.by_counter import line_at, stretches
from fitcheck.knitting.sheet import sheet
from fitcheck.words.at_machine import acts_told
from tests.knitting.sample_front import front
from tests.webui.conftest import API

PAGE = "/makes/grey_pullover/sheets/front/machine"
SHEET = f"{API}/makes/grey_pullover/sheets/front-1"
TAP = {"line": 0, "done": True, "counter": 0, "at": "2026-11-30T23:10:00.123Z", "device": "phone"}


def text(client, path=PAGE):
    page = client.get(path).get_data(as_text=True)
    return page, re.sub(r"\s+", " ", re.sub("<[^>]+>", " ", page[page.index("<main") : page.index("</main")])).strip()


def hidden(page):
    main = page[page.index("<main") : page.index("</main")]
    return dict(re.findall(r'name="(digest|sheet|tap|line)" value="([^"]*)"', main))


def begin(client):
    page, said = text(client)
    assert said.startswith("to the sweater sheet Begin the front")
    assert client.post(PAGE, data={"do": "begin", **hidden(page)}).status_code == 303


def test_a_sheet_is_begun_and_a_form_that_is_sent_twice_is_one_tap(client):
    begin(client)
    page, said = text(client)
    assert "carriage right 0 Cast on 120 120 stitches after, L60–R60 Done knit the rib" in said
    for _ in range(2):
        assert client.post(PAGE, data={"do": "done", **hidden(page)}).status_code == 303
    assert "Set the counter to 0" in text(client)[1]
    assert client.get(f"{SHEET}/progress").get_json()["done"] == [0]
    page, _ = text(client)
    client.post(PAGE, data={"do": "back", **hidden(page)})
    assert "Cast on 120" in text(client)[1]


def test_a_typed_row_says_what_lies_between_and_one_form_goes_there_and_back(client):
    begin(client)
    for line in range(2):
        client.put(f"{SHEET}/taps/phone-0000000{line}", json={**TAP, "line": line})
    page, said = text(client, f"{PAGE}?shows=67")
    assert "Here it is row 33. Up to 67 lie 3 acts: 33 widen 1, both sides 40 mark both edges 66 widen 1" in said
    assert "Then 124 stitches are on the bed, L62–R62. All done go to row 80" in said
    client.post(PAGE, data={"do": "all", **hidden(page)})
    assert "80 Mark both edges" in text(client)[1]
    page, said = text(client, f"{PAGE}?shows=40")
    assert "2 acts were done since row 40:" in said
    client.post(PAGE, data={"do": "all", **hidden(page)})
    assert "40 Mark both edges" in text(client)[1]
    assert "Type the figure that the counter shows." in text(client, f"{PAGE}?shows=4x")[1]
    assert "In this part the counter goes to 185." in text(client, f"{PAGE}?shows=999")[1]


def test_a_tap_is_taken_once_a_late_one_too_and_none_beyond_the_sheet(client):
    begin(client)
    for _ in range(2):
        answer = client.put(f"{SHEET}/taps/phone-00000001", json={**TAP, "line": 5})
        assert (answer.status_code, answer.get_json()["next"]) == (200, 6)
    late = client.put(f"{SHEET}/taps/phone-00000002", json={**TAP, "line": 5, "done": False, "at": "2026-11-30T22:00Z"})
    assert (late.status_code, late.get_json()["next"]) == (200, 6), "the latest by the clock stands"
    beyond = client.put(f"{SHEET}/taps/phone-00000003", json={**TAP, "line": 900})
    assert beyond.status_code == 422
    assert beyond.get_json()["faults"][0]["accepts"] == "A line of the sheet, 0 to 55."
    assert client.put(f"{SHEET[:-1]}9/taps/phone-00000003", json=TAP).status_code == 404


def test_a_tap_on_a_sheet_that_was_ended_is_refused_with_the_sheet(client, store):
    begin(client)
    stored = store.get("makes", "grey_pullover")
    sheets = [{**begun, "ended": True} for begun in stored.doc["sheets"]]
    store.put("makes", "grey_pullover", {**stored.doc, "sheets": sheets}, stored.revision)
    refused = client.put(f"{SHEET}/taps/phone-00000001", json=TAP)
    assert refused.status_code == 409
    assert refused.get_json()["sheet"]["id"] == "front-1"
    assert client.get(f"{SHEET}/progress").get_json()["ended"] is True


def test_a_counter_is_one_place_only_until_it_is_set(client):
    lines = sheet(front()).unfolded()
    numbers = stretches(lines)
    last = len(lines) - 1
    first_half = next(place for place, number in enumerate(numbers) if number == numbers[-1])
    assert lines[first_half - 1].act == "set_counter"
    shows = lines[last - 3].counter
    assert lines[line_at(lines, last, shows)].counter == shows
    assert numbers[line_at(lines, last, shows)] == numbers[last] != numbers[line_at(lines, first_half - 1, shows)]
    assert line_at(lines, last, 5000) is None


def test_each_act_is_said_aloud_whole_with_the_pause_between_the_halves():
    acts = acts_told(sheet(front()))
    narrow = next(act for act in acts if act.act == "Narrow 1, both sides" and act.of > 1)
    said = rf"Row {narrow.figure}, {narrow.stands}\. Narrow one at both sides, first of \w+\. {narrow.after}\."
    assert re.fullmatch(said.replace("–", " to "), narrow.spoken), narrow.spoken
    (pause,) = [act.half for act in acts if act.half is not None]
    assert pause.head.endswith("half is finished.")
    assert re.fullmatch(r"\d+ stitches of the shoulder wait on waste yarn\.", pause.told[0])


def test_the_figure_is_what_the_counter_shows_before_the_act_and_the_act_says_what_it_is_set_to():
    lines, acts = sheet(front()).unfolded(), acts_told(sheet(front()))
    set_here = [(line, act) for line, act in zip(lines, acts, strict=True) if line.act == "set_counter"]
    assert set_here
    for line, act in set_here:
        assert act.figure == ("" if line.counter is None else str(line.counter))
        assert act.act.endswith(f" to {line.to}")


@pytest.mark.parametrize("path", ["/makes/grey_pullover/sheets/hat/machine", "/makes/no_such/sheets/front/machine"])
def test_what_is_not_there_is_not_found(client, path):
    assert client.get(path).status_code == 404


def test_a_begun_sheet_is_ended_over_the_api_once_and_the_yarn_of_a_band_is_off_its_lot(client, store):
    digest = re.search(r'"digest" value="([0-9a-f]{64})"', text(client, "/makes/grey_pullover/sheets/neck_band")[0])[1]
    client.post("/makes/grey_pullover/sheets/neck_band/begin", data={"digest": digest})
    band = f"{API}/makes/grey_pullover/sheets/neck-band-1"
    yarn = client.get(f"{API}/makes/grey_pullover/yarn").get_json()["answer"]
    for _ in range(2):
        answer = client.post(f"{band}/end")
        assert (answer.status_code, answer.get_json()["ended"]) == (200, True)
    assert client.get(f"{band}/progress").get_json()["ended"] is True
    after = client.get(f"{API}/makes/grey_pullover/yarn").get_json()["answer"]
    took = yarn["bands"][0]["grams"]
    assert after["bands"] == []
    assert after["need"] == pytest.approx(yarn["need"] - took)
    assert after["hand"] == pytest.approx(yarn["hand"] - took, abs=0.05)
    assert client.put(f"{band}/taps/phone-00000001", json=TAP).status_code == 409
    assert client.post(f"{API}/makes/grey_pullover/sheets/neck-band-7/end").status_code == 404
