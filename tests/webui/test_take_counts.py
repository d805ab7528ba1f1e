"""Advised counts become the planned ones by one deed, and the answer remembers that it gave them (rule 27)."""

from __future__ import annotations

import html
import json
import re

import pytest

from fitcheck.records.files import open_household
from fitcheck.reports.shaped import report
from fitcheck.terminal.report import printed
from fitcheck.words.dates import write_day

MAKE = "/makes/grey_pullover"
HEM = "moss_drop_shoulder"


def counts_of(answer):
    counts = {}
    for count in answer["to_take"]:
        counts.setdefault(count["piece"], {})[count["point"]] = count["count"]
    return counts


@pytest.fixture
def shown(ask):
    """What the API shows of a make's counts, ready to be taken."""

    def show(make="grey_pullover", query=""):
        _, answer, _ = ask("GET", f"/makes/{make}/report{query}")
        return {"counts": counts_of(answer), "report": answer["digest"]}

    return show


def test_the_counts_shown_become_the_planned_ones_by_one_change(ask, shown):
    before, to_take = ask("GET", MAKE)[1], ask("GET", f"{MAKE}/report")[1]["to_take"]
    body = shown()
    assert body["counts"]["front"]["chest"] == 126
    status, after, response = ask("POST", f"{MAKE}/take-counts", body)
    assert (status, after["revision"]) == (200, before["revision"] + 1)
    assert response.headers["ETag"] == f'"{after["revision"]}"'
    planned = before["record"].get("planned", {})
    assert after["record"]["planned"] == {**planned, "front": {**planned.get("front", {}), **body["counts"]["front"]}}
    taken = after["record"]["taken"]
    (at,) = {count.pop("at") for count in taken}
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(Z|\+00:00)", at)
    assert taken == [{**count, "report": body["report"]} for count in to_take]
    chest = next(count for count in taken if count["point"] == "chest")
    assert (chest["piece"], chest["count"], chest["instead_of"]) == ("front", 126, 120)
    # The answer remembers that it gave them, and has nothing more to take.
    answer = ask("GET", f"{MAKE}/report")[1]
    assert [(count["point"], count["count"]) for count in answer["taken"]] == [(c["point"], c["count"]) for c in taken]
    assert answer["to_take"] == []


def test_the_same_request_twice_is_once(ask, shown):
    body = shown()
    first = ask("POST", f"{MAKE}/take-counts", body)[1]
    status, again, _ = ask("POST", f"{MAKE}/take-counts", body)
    assert (status, again) == (200, first)


def test_it_is_undone_as_one(ask, shown):
    body = shown(HEM)
    assert body["counts"].keys() == {"back", "front"}
    before = ask("GET", f"/makes/{HEM}")[1]
    after = ask("POST", f"/makes/{HEM}/take-counts", body)[1]
    assert len(after["record"]["taken"]) == sum(len(points) for points in body["counts"].values()) > 1
    undone = ask("POST", f"/makes/{HEM}/undo", revision=after["revision"])[1]
    assert undone["record"] == before["record"]
    assert shown(HEM) == body


def test_a_change_at_the_lower_end_is_not_made_twice(ask, shown):
    """The piece on the table still asks for all of it; what was taken of the front is not taken off again."""
    body = shown(HEM)
    ask("POST", f"/makes/{HEM}/take-counts", body)
    answer = ask("GET", f"/makes/{HEM}/report")[1]
    assert answer["to_take"] == []
    rest = {piece["kind"]: {count["key"]: count for count in piece["counts"]} for piece in answer["rest"]["pieces"]}
    length = rest["front"]["body_length"]
    assert (length["before"], length["step"], length["now"]) == (188, 0, 188)
    assert rest["back"]["body_length"]["now"] == 188


@pytest.mark.parametrize("changed", ["the answer", "the counts"])
def test_another_answer_by_now_changes_nothing_and_is_shown(ask, shown, changed):
    body = shown()
    if changed == "the answer":
        stored = ask("GET", MAKE)[1]
        document = {**stored["record"], "planned": {"front": {"chest": 122}}}
        ask("PUT", MAKE, document, stored["revision"])
    else:
        body["counts"]["front"]["chest"] += 2
    before = ask("GET", MAKE)[1]
    status, problem, _ = ask("POST", f"{MAKE}/take-counts", body)
    assert (status, problem["type"]) == (409, "/api/v1/browse#answer-changed")
    assert ask("GET", MAKE)[1] == before
    assert {"counts": problem["counts"], "report": problem["report"]} == shown()
    assert problem["verdict"] == ask("GET", f"{MAKE}/verdict")[1]
    # The new answer can be taken as it is.
    again = {"counts": problem["counts"], "report": problem["report"]}
    assert ask("POST", f"{MAKE}/take-counts", again)[0] == 200


@pytest.mark.parametrize(
    "body",
    [
        {"counts": {}, "report": 64 * "a"},
        {"counts": {"front": {}}, "report": 64 * "a"},
        {"counts": {"lid": {"chest": 126}}, "report": 64 * "a"},
        {"counts": {"front": {"lid": 126}}, "report": 64 * "a"},
        {"counts": {"front": {"chest": True}}, "report": 64 * "a"},
        {"counts": {"front": {"chest": 0}}, "report": 64 * "a"},
        {"counts": {"front": {"chest": 126}}, "report": "a"},
        {"counts": {"front": {"chest": 126}}},
    ],
)
def test_what_no_report_shows_is_refused(ask, body):
    assert ask("POST", f"{MAKE}/take-counts", body)[0] == 422


def button(page):
    form = re.search(r'<form method="post" action="[^"]*/take-counts".*?</form>', page, re.S)
    if form is None:
        return None
    fields = dict(re.findall(r'name="([^"]*)" value="([^"]*)"', form[0]))
    return {name: html.unescape(value) for name, value in fields.items()}


def test_the_page_has_a_button_that_takes_them_says_so_and_takes_it_back(client, ask):
    page = client.get(MAKE).get_data(as_text=True)
    form = button(page)
    assert json.loads(form["counts"]) == counts_of(ask("GET", f"{MAKE}/report")[1])
    assert client.post(f"{MAKE}/take-counts", data=form).status_code == 303
    stored = ask("GET", MAKE)[1]
    assert stored["record"]["planned"]["front"]["chest"] == 126
    page = client.get(MAKE).get_data(as_text=True)
    assert "These counts are the planned ones now." in page
    undo = re.search(r'name="revision" value="(\d+)"', page)
    assert int(undo[1]) == stored["revision"]
    assert button(page) is None
    day = write_day(open_household(ask("GET", "/bundle")[2].data).makes[0].taken[0].at)
    assert f"Taken from the advice on {day}: the front’s " in page
    assert "chest, 126 instead of 120" in page


def test_a_page_that_grew_stale_takes_nothing(client, ask):
    form = button(client.get(MAKE).get_data(as_text=True))
    stored, shown = ask("GET", MAKE)[1], ask("GET", f"{MAKE}/report")[1]
    ask("PUT", MAKE, {**stored["record"], "notes": "for Sundays"}, stored["revision"])
    assert ask("GET", f"{MAKE}/report")[1]["to_take"] == shown["to_take"]  # so the counts alone would not tell
    assert client.post(f"{MAKE}/take-counts", data=form).status_code == 303
    assert "The answer has changed since this one was shown." in client.get(MAKE).get_data(as_text=True)
    assert "taken" not in ask("GET", MAKE)[1]["record"]


def test_the_command_says_that_they_were_taken(ask, shown):
    ask("POST", f"{MAKE}/take-counts", shown())
    household = open_household(ask("GET", "/bundle")[2].data)
    text = " ".join(printed(report(household, make="grey_pullover"), "cm").split())
    assert "Taken from the advice on " in text
    assert "chest, 126 instead of 120" in text


def test_a_count_that_was_planned_otherwise_since_is_said_no_more(ask, shown):
    after = ask("POST", f"{MAKE}/take-counts", shown())[1]
    document = after["record"]
    document["planned"]["front"]["chest"] = 128
    assert ask("PUT", MAKE, document, after["revision"])[0] == 200
    assert "chest" not in {count["point"] for count in ask("GET", f"{MAKE}/report")[1]["taken"]}
