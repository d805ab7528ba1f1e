"""The garment read again since (fit rule 37), and a piece that is finished anew (rules 34 and 38)."""

from __future__ import annotations

import html
import json
import re

import pytest

from fitcheck import report
from fitcheck.words.newer import measured_again
from tests.webui.lent import lend
from tests.worked.makes_rules_22_to_29 import MAKES

GREY = "/makes/grey_pullover"


CHEST = {"chest": ["56.0 cm", "56.2 cm"]}


def measured_once_more(ask, **change):
    """Measure the brown pullover, that the grey one must fit, once more: it is 2 cm wider."""
    stored = ask("GET", "/garments/brown_pullover")[1]
    occasions = stored["record"]["occasions"]
    latest = {"id": "again", "on": "2026-11-20", "state": "washed_flat", "readings": CHEST, **change}
    document = {**stored["record"], "occasions": [*occasions, latest]}
    assert ask("PUT", "/garments/brown_pullover", document, stored["revision"])[0] == 200


@pytest.fixture
def again(ask):
    measured_once_more(ask)
    return ask


def test_the_make_says_that_the_garment_was_measured_again_and_takes_it(client, again):
    pinned = again("GET", GREY)[1]["record"]["fits"]["occasion"]
    newer = again("GET", f"{GREY}/report")[1]["newer"]
    assert (newer["garment"], newer["occasion"], newer["on"]) == ("brown_pullover", "again", "2026-11-20")
    page = client.get(GREY).get_data(as_text=True)
    assert "was measured again on 20 Nov 2026; this make fits the measuring of" in page
    assert client.post(f"{GREY}/newer-measuring").status_code == 303
    stored = again("GET", GREY)[1]
    assert stored["record"]["fits"]["occasion"] == "again"
    page = client.get(GREY).get_data(as_text=True)
    assert "was measured again" not in page
    assert int(re.search(r'name="revision" value="(\d+)"', page)[1]) == stored["revision"]
    # Sent twice it is done once, and it is undone as it was.
    client.post(f"{GREY}/newer-measuring")
    assert again("GET", GREY)[1] == stored
    again("POST", f"{GREY}/undo", revision=stored["revision"])
    assert again("GET", GREY)[1]["record"]["fits"]["occasion"] == pinned


def test_the_garment_is_read_more_often_at_the_measuring_that_the_make_fits_and_the_answer_moves(empty):
    client = lend(empty).test_client()
    wanted = {"chest": ["54.0 cm"] * 3, "body_length": ["64.0 cm"] * 3, "armhole_depth": ["21.5 cm"] * 2}
    garment = {"name": "blue pullover", "occasions": [{"id": "may", "state": "washed_flat", "readings": wanted}]}
    read = {"chest": "54.9 cm", "body_length": "64.0 cm", "armhole_depth": "20.3 cm"}
    often = {point: [{"text": text, "laying": laying + 1} for laying in range(6)] for point, text in read.items()}
    back = {"piece": "back", "id": "back", "counts": {"chest": 120}, "stages": [{"kind": "blocked", "readings": often}]}
    empty.put("garments", "blue", {"id": "blue", **garment}, 0)
    fits = {"garment": "blue", "occasion": "may"}
    empty.put("makes", "grey", {"id": "grey", "name": "grey", "fits": fits, "pieces": [back]}, 0)
    before = client.get("/api/v1/makes/grey/report").get_json()["recommendation"]
    assert (before["action"], before["side"]) == ("measure_again", "reference")
    (to,) = re.findall(r'<a class="btn main" href="([^"]*)">Read blue pullover again', client.get("/makes/grey").text)
    assert to == "/wardrobe/blue/measure?occasion=may"
    client.post(to, data={"occasion": "may", "anew": "yes", "at_armhole_depth": "21.5 21.6 21.4"})
    after = client.get("/api/v1/makes/grey/report").get_json()["recommendation"]
    assert (after["action"], after["side"]) != ("measure_again", "reference")


@pytest.mark.parametrize(
    ("read", "told"),
    [
        (("chest", "hem", "shoulder_width"), ""),
        (("chest", "hem"), " The shoulder was not read then: with the newer one it is judged no more."),
        (("hem",), " The shoulder and the chest were not read then: with the newer one they are judged no more."),
    ],
)
def test_what_the_newer_measuring_has_not_read_is_said_before_it_is_taken(read, told):
    def occasion(ident, on, keys):
        return {"id": ident, "on": on, "state": "washed_flat", "readings": {key: ["50 cm", "50.1 cm"] for key in keys}}

    every = occasion("may", "2026-05-01", ("chest", "hem", "shoulder_width"))
    garment = {"id": "blue", "name": "blue pullover", "occasions": [every, occasion("june", "2026-06-01", read)]}
    back = {"id": "back", "piece": "back", "stages": [{"kind": "blocked", "readings": {"chest": "50 cm"}}]}
    fits = {"garment": "blue", "occasion": "may"}
    make = {"id": "grey", "name": "grey", "fits": fits, "pieces": [back]}
    found = report(json.dumps({"fitcheck": 4, "unit": "cm", "garments": [garment], "makes": [make]}).encode())
    begin = "Blue pullover was measured again on 1 June 2026; this make fits the measuring of 1 May 2026."
    assert measured_again(found.newer, found.head) == begin + told


@pytest.mark.parametrize(
    "change",
    [
        {"readings": {}},
        {"readings": {"chest": [{"text": "56.0 cm", "set_aside": "slipped"}]}},
        {"on": "1999-01-01"},
        {"on": None},
    ],
    ids=["nothing read", "all set aside", "an older one", "no day"],
)
def test_only_a_later_measuring_with_readings_is_offered(ask, change):
    assert ask("GET", f"{GREY}/report")[1]["newer"] is None
    measured_once_more(ask, **change)
    assert ask("GET", f"{GREY}/report")[1]["newer"] is None


def main_act(page):
    return html.unescape(re.search(r'<a class="btn main" href="([^"]*)"', page)[1])


OUT_OF_SHAPE = next(worked for worked in MAKES if worked.first == ("shape",))


@pytest.mark.parametrize("advised", ["block_again", "wash_and_block", "out_of_shape"])
def test_what_is_finished_anew_is_read_at_a_stage_of_its_own(client, ask, advised):
    """Blocked again, washed at last, wetted and patted to size: the old readings keep their stage."""
    key = {"block_again": "grey_pulled_long", "wash_and_block": "grey_unwashed"}.get(advised)
    if key is None:
        key = OUT_OF_SHAPE.file["makes"][0]["id"]
        raw = json.dumps(OUT_OF_SHAPE.file)
        assert client.post("/api/v1/bundle?how=replace", data=raw, content_type="application/json").status_code == 200
    _, answer, _ = ask("GET", f"/makes/{key}/report")
    assert advised in (answer["recommendation"]["action"], answer["recommendation"]["reason"])
    before = ask("GET", f"/makes/{key}")[1]["record"]
    piece = next(p for p in before["pieces"] if p["id"] == answer["head"]["piece"])
    to = main_act(client.get(f"/makes/{key}").get_data(as_text=True))
    page = client.get(to).get_data(as_text=True)
    form = re.search(r'<form method="post" action="([^"]*/walk/begin[^"]*)"', page)
    assert client.post(html.unescape(form[1]), data={"stage": "blocked", "how": "piece"}).status_code == 303
    after = ask("GET", f"/makes/{key}")[1]["record"]
    stages = next(p for p in after["pieces"] if p["id"] == piece["id"])["stages"]
    assert stages[:-1] == piece["stages"]
    assert stages[-1]["kind"] == "blocked"
    assert stages[-1].get("readings", {}) == {}
