"""The dial of a piece is a field wherever a piece is added, and asked where nobody said it."""

from __future__ import annotations

import re

import pytest

from fitcheck.records.households import FORMAT
from tests.worked.test_worked import MAKES

GREY = "/makes/grey_pullover"


def dial_field(page):
    (tag,) = re.findall(r'<input[^>]* name="dial"[^>]*>', page)
    return re.search(r'value="([^"]*)"', tag)[1]


def pieces(ask, make):
    return {piece["id"]: piece for piece in ask("GET", f"/makes/{make}")[1]["record"].get("pieces", [])}


@pytest.fixture
def unsaid(ask):
    """The grey pullover, whose back has no dial any more."""
    stored = ask("GET", GREY)[1]
    for piece in stored["record"]["pieces"]:
        piece.pop("dial", None)
    assert ask("PUT", GREY, stored["record"], stored["revision"])[0] == 200
    return ask


def test_another_piece_begins_with_the_dial_of_the_one_before_it(client, ask):
    page = client.get(f"{GREY}/walk?begin=1").get_data(as_text=True)
    assert dial_field(page) == "7"
    client.post(f"{GREY}/walk/begin", data={"piece": "front", "stage": "blocked", "how": "piece", "dial": "7"})
    assert pieces(ask, "grey_pullover")["front"]["dial"] == {"number": 7}


def test_the_first_piece_begins_with_the_dial_that_the_swatches_advise(client, ask):
    stored = ask("GET", GREY)[1]
    advised = {**stored["record"], "pieces": [], "id": "new", "name": "a new one"}
    assert ask("PUT", "/makes/new", advised, 0)[0] == 201
    advised = ask("GET", "/makes/new/fabric")[1]["answer"]["dials"]["knit_at"]
    assert advised
    assert dial_field(client.get("/makes/new/walk").get_data(as_text=True)) == advised


def test_an_empty_field_says_nothing(client, ask):
    client.post(f"{GREY}/walk/begin", data={"piece": "front", "stage": "blocked", "how": "piece", "dial": ""})
    assert "dial" not in pieces(ask, "grey_pullover")["front"]


def test_what_is_no_dial_is_refused_with_everything_typed_kept(client, ask):
    typed = {"piece": "front", "stage": "rested", "how": "overhang", "dial": "seven"}
    answer = client.post(f"{GREY}/walk/begin", data=typed)
    page = answer.get_data(as_text=True)
    assert answer.status_code == 422
    assert dial_field(page) == "seven"
    assert 'id="dial-refused"' in page
    for name in ("piece", "stage", "how"):
        assert re.search(f'name="{name}" value="{typed[name]}" checked', page)
    assert "front" not in pieces(ask, "grey_pullover")


def test_a_dial_that_was_said_before_stays(client, ask):
    stored = ask("GET", GREY)[1]
    stored["record"]["pieces"].append({"id": "front", "piece": "front", "dial": "8.1"})
    ask("PUT", GREY, stored["record"], stored["revision"])
    client.post(f"{GREY}/walk/begin", data={"piece": "front", "stage": "blocked", "how": "piece", "dial": "7"})
    assert pieces(ask, "grey_pullover")["front"]["dial"] == {"number": 8, "marks": 1}


def test_three_points_take_a_dial_too(client, ask):
    typed = {"piece": "back", "way": "laid", "own_chest": "+1.1", "dial": "7.1"}
    where = client.post("/piece", data=typed).headers["Location"]
    (piece,) = pieces(ask, where.removeprefix("/makes/")).values()
    assert piece["dial"] == {"number": 7, "marks": 1}
    answer = client.post("/piece", data={**typed, "dial": "x"})
    assert answer.status_code == 422
    assert dial_field(answer.get_data(as_text=True)) == "x"


def test_a_dial_that_nobody_said_is_asked_on_the_page(client, unsaid):
    page = client.get(GREY).get_data(as_text=True)
    assert "At which dial was the back knitted?" in page
    assert client.post(f"{GREY}/dial", data={"dial": ""}).status_code == 422
    assert client.post(f"{GREY}/dial", data={"dial": "9x"}).status_code == 422
    assert client.post(f"{GREY}/dial", data={"dial": "7"}).status_code == 303
    assert pieces(unsaid, "grey_pullover")["back"]["dial"] == {"number": 7}
    page = client.get(GREY).get_data(as_text=True)
    assert "At which dial" not in page
    # With the button that takes it back.
    assert re.search(r'name="revision" value="\d+"', page)


def test_it_is_not_asked_where_it_is_said(client):
    assert "At which dial" not in client.get(GREY).get_data(as_text=True)


def test_the_api_says_it_first(unsaid):
    assumed = unsaid("GET", f"{GREY}/report")[1]["assumed"]
    assert (assumed[0]["code"], assumed[0]["about"]) == ("piece_dial_unsaid", "back")


def test_a_dial_that_is_doubted_is_asked_for_first_and_not_again(client, ask):
    file = MAKES["another_dial"].file
    assert ask("POST", "/bundle?how=merge", {**file, "fitcheck": FORMAT})[0] == 200
    (make,) = file["makes"]
    at = f"/makes/{make['id']}"
    page = client.get(at).get_data(as_text=True)
    assert "Did the dial stand at 8?" in page
    assert 'href="#dial-asked"' in page
    client.post(f"{at}/dial", data={"dial": "7"})
    (piece,) = pieces(ask, make["id"]).values()
    assert piece["dial_confirmed"] is True
    assert ask("GET", f"{at}/report")[1]["recommendation"]["reason"] != "another_dial"


@pytest.mark.parametrize(("answer", "then"), [("yes", "knit_again"), ("no", "measure_again")])
def test_whether_a_piece_felted_is_asked_first_by_two_buttons_and_once(client, ask, answer, then):
    file = MAKES["a_back_a_quarter_smaller_than_its_swatch_both_ways"].file
    assert ask("POST", "/bundle?how=merge", {**file, "fitcheck": FORMAT})[0] == 200
    at = "/makes/pullover"
    page = client.get(at).get_data(as_text=True)
    assert page.index("did it felt?") < page.index('href="#felted"') < page.index("Did the back felt in the wash?")
    assert ask("GET", f"{at}/report")[1]["recommendation"]["smaller_percent"] == pytest.approx(25, abs=0.5)
    assert client.post(f"{at}/felted", data={"felted": "perhaps"}).status_code == 404
    assert client.post(f"{at}/felted", data={"felted": answer}).status_code == 303
    assert pieces(ask, "pullover")["back"]["felted"] is (answer == "yes")
    told = ask("GET", f"{at}/report")[1]["recommendation"]
    assert (told["action"], told["reason"] == "felted") == (then, False)
    assert "felt in the wash?" not in client.get(at).get_data(as_text=True)
