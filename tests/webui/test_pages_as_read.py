"""A rib, what is worn stretched or was read worn is asked about before it is copied, with two buttons (fit rule 37)."""

from __future__ import annotations

import re

import pytest

from fitcheck.records.households import FORMAT
from tests.worked.test_worked import MAKES

AT = "/makes/pullover"


@pytest.fixture
def asked(client, ask):
    """The page of a worked make, by its name."""

    def page(key):
        assert ask("POST", "/bundle?how=merge", {**MAKES[key].file, "fitcheck": FORMAT})[0] == 200
        return client.get(AT).get_data(as_text=True)

    return page


def fits(ask):
    return ask("GET", AT)[1]["record"]["fits"]


def reason(ask):
    return ask("GET", f"{AT}/report")[1]["recommendation"].get("reason")


def revision_to_undo(page):
    return int(re.search(r'name="revision" value="(\d+)"', page)[1])


def test_the_widths_of_a_rib_are_asked_about_first_and_copied_by_a_button(client, ask, asked):
    page = asked("a_garment_in_rib_is_asked_about")
    assert re.search(r"<h1[^>]*>Are the widths of green pullover to be copied\?</h1>", page)
    assert 'href="#as-read"' in page
    assert "Copy its widths" in page
    assert "Do not copy them" in page
    assert f'href="{AT}/fits">What it must fit' in page
    assert client.post(f"{AT}/as-read", data={"copied": "yes"}).status_code == 303
    assert fits(ask)["as_read"] is True
    assert reason(ask) != "as_read"
    page = client.get(AT).get_data(as_text=True)
    assert 'id="as-read"' not in page
    # With the button that takes it back.
    assert revision_to_undo(page) == ask("GET", AT)[1]["revision"]
    ask("POST", f"{AT}/undo", revision=revision_to_undo(page))
    assert "as_read" not in fits(ask)
    assert reason(ask) == "as_read"


def test_widths_that_are_not_to_be_copied_are_said_to_be_missing(client, ask, asked):
    asked("a_garment_in_rib_is_asked_about")
    client.post(f"{AT}/as-read", data={"copied": "no"})
    assert fits(ask)["as_read"] is False
    report = ask("GET", f"{AT}/report")[1]
    assert {reason["code"] for reason in report["refused"].values()} == {"not_copied"}
    assert "its widths are not to be copied" in client.get(AT).get_data(as_text=True)


def test_a_garment_that_was_read_worn_is_read_again_or_copied_as_it_hangs(client, ask, asked):
    page = asked("read_worn_is_asked_about")
    assert "Is green pullover to be copied as it hangs?" in page
    assert "Copy it as it hangs" in page
    assert 'href="/wardrobe/green/measure">Read green' in page
    client.post(f"{AT}/as-read", data={"copied": "no"})
    page = client.get(AT).get_data(as_text=True)
    assert re.search(rf'<a class="btn main" href="{AT}/fits">Give numbers', page)
    client.post(f"{AT}/as-read", data={"copied": "yes"})
    assert reason(ask) != "as_read"


def test_the_api_takes_the_answer_with_the_make(ask, asked):
    asked("read_worn_is_asked_about")
    assert ask("GET", f"{AT}/report")[1]["recommendation"]["as_read"] == "worn"
    stored = ask("GET", AT)[1]
    stored["record"]["fits"]["as_read"] = True
    assert ask("PUT", AT, stored["record"], stored["revision"])[0] == 200
    assert ask("GET", f"{AT}/report")[1]["recommendation"]["as_read"] is None


def test_nothing_is_asked_where_nothing_hangs_on_it(asked):
    assert 'id="as-read"' not in asked("a_garment_in_rib_that_the_back_matches")


def test_another_answer_is_none(client, ask, asked):
    asked("a_garment_in_rib_is_asked_about")
    assert client.post(f"{AT}/as-read", data={"copied": "perhaps"}).status_code == 404
    assert "as_read" not in fits(ask)


def test_the_answer_stands_in_the_form_and_goes_with_the_garment(client, ask, asked):
    asked("a_garment_in_rib_is_copied")
    page = client.get(f"{AT}/fits").get_data(as_text=True)
    assert re.search(r'<option value="yes" selected>', page)
    revision = ask("GET", AT)[1]["revision"]
    typed = {"revision": str(revision), "occasion": "green may", "as_read": "no"}
    assert client.post(f"{AT}/fits", data=typed).status_code == 303
    assert fits(ask) == {"garment": "green", "occasion": "may", "as_read": False}
    other = ask("GET", "/garments/brown_pullover")[1]["record"]["occasions"][-1]["id"]
    typed |= {"revision": str(revision + 1), "occasion": f"brown_pullover {other}"}
    assert client.post(f"{AT}/fits", data=typed).status_code == 303
    assert fits(ask) == {"garment": "brown_pullover", "occasion": other}


def test_the_widths_of_a_rib_are_asked_about_before_the_first_piece_and_only_once(client, ask, asked):
    page = asked("a_rib_is_asked_about_before_the_first_piece")
    assert re.search(r"<h1[^>]*>Are the widths of green pullover to be copied\?</h1>", page)
    assert re.search(r'<a class="btn main" href="#as-read">', page)
    assert ask("GET", f"{AT}/report")[1]["first"]["as_read"] == {"why": "rib", "garment": "green pullover"}
    client.post(f"{AT}/as-read", data={"copied": "yes"})
    page = client.get(AT).get_data(as_text=True)
    assert 'id="as-read"' not in page
    assert re.search(r"<h1[^>]*>Knit the back first", page)


def test_a_newer_measuring_is_taken_or_left_by_a_button_before_the_first_piece(client, ask, asked):
    page = asked("a_newer_measuring_of_another_size")
    assert "Take the newer measuring of green pullover?" in page
    assert "Keep the earlier measuring" in page
    client.post(f"{AT}/newer-measuring")
    assert ask("GET", f"{AT}/report")[1]["first"]["size"] == "L"
