"""Deeds are ticked as done: kept with the make, by the plan that they belong to, and no answer hangs on them."""

from __future__ import annotations

import html
import json
import re

import pytest

from fitcheck.records.files import open_household
from fitcheck.reports.plans import plan_of
from fitcheck.reports.shaped import report

HEM = "/makes/moss_drop_shoulder"


@pytest.fixture
def digest(ask):
    """The digest of the report that is shown now."""
    return lambda: ask("GET", f"{HEM}/report")[1]["digest"]


def boxes(page: str) -> list[tuple[int, bool]]:
    """The boxes of the deeds on a page: their numbers, and whether they are ticked."""
    found = re.findall(r'<input type="checkbox" name="deed" value="(\d+)"( checked)?>', page)
    return [(int(number), bool(ticked)) for number, ticked in found]


def form_of(page: str) -> dict[str, str]:
    """What the form of the deeds sends beside its boxes."""
    form = re.search(r'<form class="deed-list".*?</form>', page, re.S)[0]
    hidden = re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', form)
    return {name: html.unescape(value) for name, value in hidden}


def test_deeds_are_kept_by_their_numbers_and_sent_twice_they_are_kept_once(ask, client, digest):
    body = {"deeds": [3, 1], "report": digest()}
    status, after, _ = ask("PUT", f"{HEM}/done", body)
    assert status == 200
    (done,) = after["record"]["done"]
    assert (done["piece"], done["deeds"]) == ("back", [1, 3])
    assert ask("PUT", f"{HEM}/done", body)[1] == after
    page = client.get(HEM).get_data(as_text=True)
    assert boxes(page) == [(1, True), (2, False), (3, True)]
    assert "done" not in ask("PUT", f"{HEM}/done", {**body, "deeds": []})[1]["record"]


def test_no_answer_hangs_on_them(ask):
    before = ask("GET", f"{HEM}/report")[1]
    ask("PUT", f"{HEM}/done", {"deeds": [2], "report": before["digest"]})
    assert ask("GET", f"{HEM}/report")[1] == before


def test_they_go_out_with_everything_and_are_undone(ask, client, digest):
    after = ask("PUT", f"{HEM}/done", {"deeds": [2], "report": digest()})[1]
    (make,) = [make for make in open_household(client.get("/api/v1/bundle").data).makes if make.id == HEM[7:]]
    assert [done.deeds for done in make.done] == [[2]]
    undone = ask("POST", f"{HEM}/undo", revision=after["revision"])[1]
    assert "done" not in undone["record"]


def test_ticks_of_another_plan_say_nothing_of_this_one(ask, client):
    stored = ask("GET", HEM)[1]
    done = [{"piece": "back", "plan": "0123456789abcdef", "deeds": [1, 2, 3]}]
    assert ask("PUT", HEM, {**stored["record"], "done": done}, revision=stored["revision"])[0] == 200
    assert boxes(client.get(HEM).get_data(as_text=True)) == [(1, False), (2, False), (3, False)]


def test_a_plan_is_another_where_a_deed_is(ask, client):
    household = json.loads(client.get("/api/v1/bundle").data)
    plans = [plan_of(report(household, make=HEM[7:]))]
    (make,) = [make for make in household["makes"] if make["id"] == HEM[7:]]
    readings = make["pieces"][0]["stages"][-1]["readings"]
    # A hair longer at the hem changes no deed; three centimetres more of length do.
    for key, length in (("hem", "55.7 cm"), ("body_length", "74.5 cm")):
        for reading in readings[key]:
            reading["text"] = length
        plans.append(plan_of(report(household, make=HEM[7:])))
    assert plans[0] == plans[1] != plans[2]


def test_a_change_that_changes_no_deed_leaves_them_ticked(ask, client, digest):
    ask("PUT", f"{HEM}/done", {"deeds": [1], "report": digest()})
    stored, before = ask("GET", HEM)[1], digest()
    ask("PUT", HEM, {**stored["record"], "notes": "the second evening"}, revision=stored["revision"])
    assert digest() != before
    assert boxes(client.get(HEM).get_data(as_text=True))[0] == (1, True)


def test_of_an_answer_that_has_changed_nothing_is_kept_and_the_new_one_is_given(ask, digest):
    old = digest()
    stored = ask("GET", HEM)[1]
    ask("PUT", HEM, {**stored["record"], "notes": "changed"}, revision=stored["revision"])
    status, problem, _ = ask("PUT", f"{HEM}/done", {"deeds": [1], "report": old})
    assert status == 409
    assert problem["report"] == digest() != old
    assert "done" not in ask("GET", HEM)[1]["record"]


@pytest.mark.parametrize("deeds", [[0], [True], ["1"], 1, [41]])
def test_what_is_no_number_of_a_deed_is_refused(ask, digest, deeds):
    assert ask("PUT", f"{HEM}/done", {"deeds": deeds, "report": digest()})[0] == 422
    assert ask("PUT", f"{HEM}/done", {"deeds": [1], "report": "x"})[0] == 422


def test_without_a_script_a_button_keeps_what_is_done(client):
    page = client.get(HEM).get_data(as_text=True)
    assert '<button class="small keep noprint">Keep what is done</button>' in page
    sent = {**form_of(page), "deed": ["2"]}
    assert client.post(f"{HEM}/done", data=sent).status_code == 303
    page = client.get(HEM).get_data(as_text=True)
    assert boxes(page) == [(1, False), (2, True), (3, False)]
    assert "What is done is kept." in page
    # Of an answer that has changed nothing is kept, and the page says so.
    client.post(f"{HEM}/done", data={**sent, "report": "0" * 64, "deed": ["1"]})
    page = client.get(HEM).get_data(as_text=True)
    assert "The answer has changed since" in page
    assert boxes(page)[0] == (1, False)
