"""The page of seams: an armhole asked in one line, what is picked up, and what makes two edges join."""

from __future__ import annotations

import json
import re

import pytest

from fitcheck.cli import main
from tests.webui.conftest import DEMO

MAKE = "/makes/grey_pullover"
AT = f"{MAKE}/rest/seams"
LINE = "5 at once, then 2 every row, 6 every 2nd"


KEPT = {"at_once": 5, "steps": [{"times": 2, "every": 1}, {"times": 6, "every": 2}]}


def armhole(ask):
    return ask("GET", f"{MAKE}")[1]["record"]["pieces"][0].get("shaping", {}).get("armhole")


def said(ask):
    return next(seam for seam in ask("GET", f"{MAKE}/seams")[1]["answer"] if seam["key"] == "armhole")


@pytest.fixture
def wrong(ask):
    """A front with three rows more than its back, off the machine."""
    stored = ask("GET", MAKE)[1]
    record = stored["record"]
    back = record["pieces"][0]
    counts = {key: value for key, value in back["counts"].items() if key != "body_length"}
    front = {
        "id": "front",
        "piece": "front",
        "counts": {**counts, "to_underarm": {"knitted": 111}, "neck_depth": {"knitted": 26}},
        "stages": [{"kind": "off_machine"}],
    }
    record["pieces"].append(front)
    assert ask("PUT", MAKE, record, stored["revision"])[0] == 200


def test_a_line_is_kept_the_seam_says_so_and_an_empty_one_is_assumed_again(client, ask):
    page = client.get(AT).text
    assert "How the armhole was shaped is assumed" in page
    assert "13 stitches go off at each side" in page
    response = client.post(AT, data={"piece": "back", "armhole-back": LINE})
    assert response.status_code == 303
    assert armhole(ask) == KEPT
    page = client.get(AT).text
    assert f"Shaped as written down: {LINE} at the back" in page
    assert f'value="{LINE}"' in page
    assert not said(ask)["assumed"]
    assert client.post(AT, data={"piece": "back", "armhole-back": ""}).status_code == 303
    assert armhole(ask) is None
    assert said(ask)["assumed"]


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("some at once, then more", "One cast-off, then single stitches"),
        ("5 at once, 3 at once, then 5 every 2nd", "Type further cast-offs as so many every row."),
        ("5 at once, then 2 every 2nd", "takes off 13 stitches at each side, as its counts say; this one takes off 7"),
    ],
)
def test_a_line_that_is_refused_stays_in_the_field_with_what_would_be_taken(client, ask, typed, told):
    response = client.post(AT, data={"piece": "back", "armhole-back": typed})
    assert response.status_code == 422
    assert f'value="{typed}"' in response.text
    assert told in response.text
    assert armhole(ask) is None


def test_a_refused_line_keeps_the_id_of_its_form_so_that_its_draft_goes_when_it_is_kept(client):
    ident = "abcdefghijklmnopqrst"
    page = client.post(AT, data={"piece": "back", "armhole-back": "some at once", "form": ident}).text
    assert f'name="form" value="{ident}"><input type="hidden" name="piece" value="back"' in page


def test_the_armhole_of_a_front_that_came_off_its_sheet_is_known_and_nobody_is_asked(client, ask):
    make = "/makes/rust_pullover"
    sheet = client.get(f"{make}/sheets/front").text
    assert client.post(f"{make}/rest/yarn", data={"do": "weigh", "weight-front": "137"}).status_code == 303
    shaping = ask("GET", make)[1]["record"]["pieces"][-1]["shaping"]["armhole"]
    assert f"Cast off {shaping['at_once']}, right" in " ".join(re.sub("<[^>]*>", " ", sheet).split())
    page = client.get(f"{make}/rest/seams").text
    assert "The armhole of the front was shaped" in page
    assert "How was the armhole of the front shaped?" not in page


def test_a_line_sent_twice_is_one_change(client, ask):
    data = {"piece": "back", "armhole-back": LINE, "form": "abcdefghijklmnopqrst"}
    before = ask("GET", MAKE)[1]["revision"]
    assert [client.post(AT, data=data).status_code for _ in range(2)] == [303, 303]
    assert (ask("GET", MAKE)[1]["revision"], armhole(ask)) == (before + 1, KEPT)


def test_a_piece_that_is_not_there_has_no_armhole(client):
    assert client.post(AT, data={"piece": "hat", "armhole-hat": LINE}).status_code == 404


def test_the_stitches_of_a_band_are_those_of_the_api_and_of_the_command(client, ask, tmp_path, capsys):
    file = tmp_path / "demo.json"
    file.write_text(json.dumps(DEMO), encoding="utf-8")
    for make in ("grey_pullover", "grey_cardigan"):
        bands = ask("GET", f"/makes/{make}/seams")[1]["bands"]
        assert main(["seams", str(file), "--json", "--make", make]) == 0
        assert json.loads(capsys.readouterr().out)["bands"] == bands
        page = client.get(f"/makes/{make}/rest/seams").text
        for band in bands:
            assert f"{band['picked']['stitches']} stitches, {band['rows']} rows" in page
            for run in band["picked"]["runs"]:
                assert re.search(rf"{run['stitches']}( of {run['of']} rows)?\.</b>", page), run


def test_sides_that_do_not_join_head_the_page_and_a_way_out_is_one_button(client, ask, wrong):
    page = client.get(AT).text
    assert "<h1>The sides do not join: 111 rows to 108.</h1>" in page
    assert page.index("Count again") < page.index("Take 3 rows out") < page.index("Take 1 row out")
    assert f'href="{MAKE}/pieces/front"' in page
    response = client.post(f"{AT}/join", data={"code": "rip_back", "piece": "front", "count": "108"})
    assert response.status_code == 303
    front = ask("GET", MAKE)[1]["record"]["pieces"][1]
    assert front["counts"]["to_underarm"] == {"knitted": 111, "counted": 108}
    page = client.get(AT).text
    assert "The front has 108 rows now." in page
    assert "<h1>Every edge joins." in page


def test_a_length_over_all_changes_with_its_part(client, ask, wrong):
    stored = ask("GET", MAKE)[1]
    stored["record"]["pieces"][1]["counts"]["body_length"] = {"knitted": 188}
    assert ask("PUT", MAKE, stored["record"], stored["revision"])[0] == 200
    data = {"code": "rip_back", "piece": "front", "count": "110"}
    assert client.post(f"{AT}/join", data=data).status_code == 303
    counts = ask("GET", MAKE)[1]["record"]["pieces"][1]["counts"]
    assert counts["to_underarm"] == {"knitted": 111, "counted": 110}
    assert counts["body_length"] == {"knitted": 188, "counted": 187}


def test_a_way_that_is_not_offered_changes_nothing(client, ask, wrong):
    before = ask("GET", MAKE)[1]
    response = client.post(f"{AT}/join", data={"code": "rip_back", "piece": "front", "count": "99"})
    assert response.status_code == 303
    assert ask("GET", MAKE)[1] == before
    assert "These edges are others now" in client.get(AT).text


def test_a_make_that_has_no_seams_yet_says_why_and_a_finished_one_that_none_are_left(client, store):
    store.put("makes", "bare", {"name": "bare, nothing knitted"}, 0)
    for make, said in (("bare", "No seams yet."), ("moss_first", "Everything is sewn.")):
        page = client.get(f"/makes/{make}/rest/seams").text
        assert f"<h1>{said}</h1>" in page
        assert "In this order" not in page
    assert "<h1>Everything is knitted.</h1>" in client.get("/makes/moss_first/rest/yarn").text


def test_a_seam_that_fits_is_one_line_that_opens_and_says_what_both_edges_measure(client):
    seams = re.findall(r'<li class="seam (\w+)">(.*?)</li>', client.get(AT).get_data(as_text=True), re.S)
    assert {code for code, _ in seams} == {"fits", "band", "eases"}
    for code, told in seams:
        assert ("<summary>" in told) == (code == "fits")
        # Where both sides measure alike.
        assert ('class="both"' in told) == (code == "fits" and "40.1" not in told)
    shoulder = re.search('class="both">(.*?)<', seams[0][1])[1]
    assert seams[0][1].count(f"<dd>{shoulder}</dd>") == 2


def test_nothing_is_weighed_where_no_piece_is_there_or_to_come(client, store):
    store.put("makes", "bare", {"name": "bare, nothing knitted"}, 0)
    page = client.get("/makes/bare/rest/yarn").get_data(as_text=True)
    assert "Keep the weights" not in page
    assert "#weigh" not in page


def test_the_page_leads_to_where_a_band_and_its_depth_are_typed(client):
    path, mark = re.search(r'href="([^"]*/settings)#(\w+)">Bands<', client.get(AT).text).groups()
    below = client.get(path).text.split(f'id="{mark}"')[1]
    assert below.index('name="depth-front"') < below.index('name="seam-side"')
