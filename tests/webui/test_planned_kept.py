"""A planned count that is asked about, being no whole repeats or unlike on both sides, is kept by one button, once."""

from __future__ import annotations

import html
import re

import pytest

from fitcheck.records.households import FORMAT
from tests.worked.test_worked import MAKES

AT = "/makes/pullover"
ASKED = {"kind": "back", "point": "shoulder_width", "count": "87"}


@pytest.fixture
def page(client, ask):
    """The page of a make whose planned shoulders are an odd number from its chest."""
    file = MAKES["planned_shoulders_an_odd_number_from_the_chest"].file
    assert ask("POST", "/bundle?how=merge", {**file, "fitcheck": FORMAT})[0] == 200
    return lambda: html.unescape(client.get(AT).get_data(as_text=True))


def buttons(page):
    """What every button of a page that posts at once sends, by its word."""
    forms = re.findall(r'<form method="post" action="([^"]*)" class="inline">(.*?)</form>', page, flags=re.S)
    return {
        re.search(r"<button[^>]*>(.*?)</button>", inside, flags=re.S)[1]: (
            to,
            dict(re.findall(r'name="([^"]*)" value="([^"]*)"', inside)),
        )
        for to, inside in forms
    }


def test_yes_keeps_it_and_it_is_asked_about_no_more(client, ask, page):
    assert "Is 87 at the shoulder right?" in page()
    to, sent = buttons(page())["Yes, 87"]
    assert sent.items() >= ASKED.items()
    before = ask("GET", AT)[1]
    assert client.post(to, data=sent).status_code == 303
    after = ask("GET", AT)[1]
    assert after["record"] == {**before["record"], "planned_kept": {"back": {"shoulder_width": 87}}}
    assert after["revision"] == before["revision"] + 1
    shown = page()
    assert "Yes, 87" not in shown
    told = " ".join(re.sub(r"<[^>]*>", " ", shown).split())
    assert re.search(r"Was: Is 87 at the shoulder right\? Now: Knit the back first[^.]*\. undo", told)
    assert ask("GET", f"{AT}/report")[1]["first"]["code"] == "knit"


def test_it_is_undone_as_one_and_asked_about_again(client, ask, page):
    before = ask("GET", AT)[1]["record"]
    client.post(f"{AT}/planned/keep", data=ASKED)
    stored = ask("GET", AT)[1]
    assert ask("POST", f"{AT}/undo", revision=stored["revision"])[1]["record"] == before
    assert "Is 87" in page()


def test_what_was_not_asked_is_not_kept(client, ask, page):
    before = ask("GET", AT)[1]
    client.post(f"{AT}/planned/keep", data={**ASKED, "count": "89"})
    assert ask("GET", AT)[1]["revision"] == before["revision"]
    assert "The question has changed" in page()


def test_the_second_time_it_is_said_that_it_was_answered(client, ask, page):
    for _ in range(2):
        client.post(f"{AT}/planned/keep", data=ASKED)
    assert ask("GET", AT)[1]["record"]["planned_kept"] == {"back": {"shoulder_width": 87}}
    assert "answered" in page()


def test_the_api_keeps_it_and_no_other_count_with_it(ask, page):
    stored = ask("GET", AT)[1]
    record = {**stored["record"], "planned_kept": {"back": {"shoulder_width": 87}}}
    status, stored, _ = ask("PUT", AT, record, revision=stored["revision"])
    assert status == 200
    assert ask("GET", f"{AT}/report")[1]["first"]["code"] == "knit"
    record["planned_kept"]["back"]["shoulder_width"] = 89
    assert ask("PUT", AT, record, revision=stored["revision"])[0] == 200
    assert ask("GET", f"{AT}/report")[1]["first"]["uneven"]["count"] == 87


def test_a_count_of_a_point_that_the_piece_has_not_is_refused(ask, page):
    stored = ask("GET", AT)[1]
    record = {**stored["record"], "planned_kept": {"back": {"cuff": 48}}}
    assert ask("PUT", AT, record, revision=stored["revision"])[0] == 422


def test_the_list_of_changes_names_it(client, page):
    client.post(f"{AT}/planned/keep", data=ASKED)
    shown = html.unescape(client.get(f"{AT}/changes").get_data(as_text=True))
    assert "asked about and kept" in shown
