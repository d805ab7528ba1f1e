"""The page of a sheet: without a sheet, by the counts, begun, older than the counts; and the rows of a rib."""

from __future__ import annotations

import re

import pytest

from tests.webui.conftest import API

MAKE = "/makes/grey_pullover"
SHEET = f"{MAKE}/sheets/front"
TAPS = f"{API}{SHEET}-1/taps"


def main_of(client, path=SHEET):
    page = client.get(path).get_data(as_text=True)
    return page[page.index("<main") : page.index("</main")]


def text(main):
    return re.sub(r"\s+", " ", re.sub("<[^>]+>", " ", main)).strip()


def begin(client, to="print"):
    digest = re.search(r'name="digest" value="([0-9a-f]{64})"', main_of(client))[1]
    return client.post(f"{SHEET}/begin", data={"digest": digest, "to": to})


@pytest.mark.parametrize(
    ("path", "said", "button"),
    [
        (
            "/makes/grey_miscounted/sheets/front",
            "First the answer, then the counts.",
            '<a class="btn main" href="/makes/grey_miscounted">To the answer</a>',
        ),
        (
            f"{MAKE}/sheets/back",
            "The back is knitted.",
            f'<a class="btn main" href="{MAKE}/rest">To the counts</a>',
        ),
    ],
)
def test_without_a_sheet_the_page_says_why_and_leads_to_what_comes_first(client, path, said, button):
    main = main_of(client, path)
    assert f"<h1>{said}</h1>" in main
    assert button in main
    assert 'class="act' not in main


def test_a_sheet_that_nobody_has_begun_is_begun_at_the_machine_or_by_printing_it(client):
    main = main_of(client)
    assert "<h1>Knit the front: 120 stitches, then 126 at the chest.</h1>" in main
    assert "Not begun" in text(main)
    table = re.search(r'href="([^"]*)">As a table', main)[1]
    assert client.get(table).get_data(as_text=True).startswith("part,counter,carriage,act")
    assert "29 and 29 stitches arrive at the shoulders." in text(main)
    answer = begin(client)
    assert (answer.status_code, answer.headers["Location"]) == (303, f"{SHEET}?print")
    main = main_of(client, f"{SHEET}?print")
    assert "Print this page." in text(main)
    assert re.search(r"Revision 1, \d+ \w+ \d{4}", text(main))
    assert begin(client, "machine").headers["Location"] == f"{SHEET}/machine"
    assert "Revision 1," in text(main_of(client)), "the same lines are not begun twice"


def test_what_was_tapped_is_ticked_and_the_next_act_is_said(client):
    begin(client)
    for line in range(10):  # up to the first of three that are narrowed
        tap = {"line": line, "done": True, "counter": 0, "at": f"2026-11-30T23:10:{line:02}Z"}
        assert client.put(f"{TAPS}/phone-0000000{line}", json=tap).status_code == 200
    main = main_of(client)
    assert "10 of 56 acts done" in text(main)
    assert "Next, at row 110: narrow 1, both sides." in text(main)
    assert main.count('class="act done"') == 10
    assert main.count('class="box ticked"') == 10
    assert 'class="tick ticked"' not in main
    tap = {"line": 10, "done": True, "counter": 111, "at": "2026-11-30T23:20:00Z"}
    client.put(f"{TAPS}/phone-00000010", json=tap)
    main = main_of(client)
    assert main.count('class="tick ticked"') == 1
    assert main.count('class="box ticked"') == 10, "one of three times is not the act"


def test_a_sheet_that_is_older_than_the_counts_stays_with_its_lines_and_says_what_changed(client, store):
    begin(client)
    before = re.findall(r'<b class="at">(.*?)</b>', main_of(client))
    stored = store.get("makes", "grey_pullover")
    wishes = {"hem": {"by": "2 cm"}}  # then more are cast on
    store.put("makes", "grey_pullover", {**stored.doc, "wishes": wishes}, stored.revision)
    main = main_of(client)
    assert "This sheet is older than your counts. It stays usable while the piece is on the needles." in text(main)
    assert re.search(r"Hem: now 1[23]\d, here 120[.;]", text(main))
    assert f'<a href="{MAKE}/rest">What changed</a>' in main
    assert re.findall(r'<b class="at">(.*?)</b>', main) == before
    assert 'class="piece-draw' not in main, "the drawing would be of the newer counts"
    assert ">At the machine</a>" in main


def test_the_rows_of_the_backs_rib_are_asked_once_and_the_front_gets_as_many(client, store):
    main = main_of(client)
    assert "How many rows has the back’s rib?" in text(main)
    assert '<b class="at">____</b>' in main
    refused = client.post(f"{SHEET}/rib", data={"of": "back", "rows": "20 or so"})
    assert refused.status_code == 422
    assert 'value="20 or so"' in refused.get_data(as_text=True)
    assert "A whole number" in refused.get_data(as_text=True)
    assert client.post(f"{SHEET}/rib", data={"of": "back", "rows": "5001"}).status_code == 422
    assert client.post(f"{SHEET}/rib", data={"of": "hat", "rows": "20"}).status_code == 404
    assert client.post(f"{SHEET}/rib", data={"of": "back", "rows": "21"}).status_code == 303
    (back,) = store.get("makes", "grey_pullover").doc["pieces"]
    assert back["rib"]["rows"] == 21
    main = main_of(client)
    assert "Rib of 21 rows." in text(main)
    assert "How many rows" not in text(main)
    assert "____" not in text(main).split("The words on this sheet")[0]
    assert re.findall(r'<span class="cw">(\w+)</span>', main)[:2] == ["left", "right"], (
        "an odd number turns the carriage"
    )


def test_a_begun_sheet_is_not_asked_about_its_rib(client):
    begin(client)
    assert "How many rows has the back’s rib?" not in text(main_of(client))


def test_an_address_that_names_no_piece_is_not_there(client):
    assert client.get(f"{MAKE}/sheets/hat").status_code == 404
    assert client.post(f"{MAKE}/sheets/hat/rib", data={"rows": "20"}).status_code == 404


BAND = f"{MAKE}/sheets/neck_band"


def begin_band(client, to="machine"):
    digest = re.search(r'name="digest" value="([0-9a-f]{64})"', main_of(client, BAND))[1]
    return client.post(f"{BAND}/begin", data={"digest": digest, "to": to})


def test_a_band_has_a_sheet_with_the_runs_of_its_edge_and_what_is_assumed(client):
    assert f'href="{BAND}">Its sheet</a>' in main_of(client, f"{MAKE}/rest/seams")
    main = main_of(client, BAND)
    said = text(main)
    assert "Knit the neck band: 96 stitches." in said
    assert "Its stitch of 3.9 mm is a share of the plain one, assumed: swatch the rib to know it." in said
    assert "Hang 96 loops" in said
    assert "Right side, 23 of 25 rows. From the shoulder down: 11 of 12, then 12 of 13." in said
    assert "Cast off loosely: it must go over a head." in said
    assert 'class="edgeflat' in main
    assert f'href="{MAKE}/rest/seams#pick-neck"' in main
    assert 'name="of"' not in main, "a band has no rib of its own to be asked about"
    table = client.get(f"{API}{BAND}/table.csv").get_data(as_text=True)
    assert "body,0,right,hang,all,96,0,,,,L48-R48,96," in table


def test_a_band_is_begun_and_ticked_at_the_machine_as_a_piece_is(client):
    assert "Begin the neck band First: hang 96 loops" in text(main_of(client, f"{BAND}/machine"))
    assert begin_band(client).headers["Location"] == f"{BAND}/machine"
    machine = text(main_of(client, f"{BAND}/machine"))
    assert "carriage right 0 Hang 96 loops 96 stitches after, L48–R48 Along the edge 36, 23, 14 and 23" in machine
    for line, counter in enumerate((0, 8)):
        tap = {"line": line, "done": True, "counter": counter, "at": "2026-11-30T23:10:00Z"}
        assert client.put(f"{API}{MAKE}/sheets/neck-band-1/taps/phone-0000000{line}", json=tap).status_code == 200
    assert "The neck band is finished. All 2 acts are done. The seams come next." in text(
        main_of(client, f"{BAND}/machine")
    )
    assert "2 of 2 acts done" in client.get(BAND).get_data(as_text=True)


def test_a_band_whose_depth_became_another_keeps_its_lines_until_it_is_begun_anew(client, store):
    begin_band(client)
    stored = store.get("makes", "grey_pullover")
    deeper = [{**band, "depth": "4 cm"} if band["edge"] == "neck" else band for band in stored.doc["bands"]]
    store.put("makes", "grey_pullover", {**stored.doc, "bands": deeper}, stored.revision)
    main = main_of(client, BAND)
    assert "This sheet is older than your counts." in text(main)
    assert "By your counts it has other stitches or rows now." in text(main)
    assert re.findall(r'<b class="at">(.*?)</b>', main) == ["0", "8"]
    assert 'class="edgeflat' not in main, "the drawing would be of the newer counts"
    newer = re.findall(r'name="digest" value="([0-9a-f]{64})"', main)[1]
    assert client.post(f"{BAND}/begin", data={"digest": newer}).status_code == 303
    main = main_of(client, BAND)
    assert "Revision 2," in client.get(BAND).get_data(as_text=True)
    assert re.findall(r'<b class="at">(.*?)</b>', main) == ["0", "13"]
    assert "Begin it anew" not in main


def test_a_band_that_the_make_does_not_have_says_so(client):
    main = main_of(client, f"{MAKE}/sheets/hem_band")
    assert "Cannot say: this make has no such piece to knit." in text(main)
    assert client.get(f"{MAKE}/sheets/collar").status_code == 404
    assert client.get(f"{MAKE}/sheets/hem_band/machine").status_code == 200
