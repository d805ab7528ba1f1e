"""A make is finished: its day, the garment that it becomes, once however often it is said, and undone as one."""

from __future__ import annotations

import re
from collections import Counter
from datetime import date

import pytest

import fitcheck
from fitcheck.records.lengths import read_length
from fitcheck.reports import finished as reports
from fitcheck.store import Store
from fitcheck.words.data import as_data
from tests.webui.test_openapi import valid

AT = "/makes/grey_cardigan/finish"
BACK = {
    "id": "back",
    "piece": "back",
    "stages": [
        {
            "kind": "blocked",
            "on": "2026-11-20",
            "readings": {"chest": ["52.4 cm", "52.6 cm"], "body_length": ["62.0 cm"], "neck_width": ["18.0 cm"]},
        }
    ],
}
FRONT = {"id": "front", "piece": "front", "stages": [{"kind": "blocked", "readings": {"chest": ["53.1 cm"]}}]}
MAKE = {"id": "plain", "name": "Plain pullover", "pieces": [BACK, FRONT]}


def mm(garment, point):
    return [read_length(one.text, unit=one.unit).value_mm for one in garment.occasions[0].readings[point]]


def finished(store, ask, **body):
    status, data, _ = ask("POST", "/makes/plain/finish", body)
    assert status == 200, data
    return store.get("makes", "plain").record


@pytest.fixture
def plain(empty):
    """A household with nothing but a sweater of two pieces."""
    empty.put("makes", "plain", MAKE, 0)
    return empty


@pytest.fixture
def store(plain):
    return plain


def test_a_finished_make_hangs_in_the_wardrobe_with_its_points_less_what_the_seams_take(store, ask):
    make = finished(store, ask, on="2026-11-28")
    assert make.finished == date(2026, 11, 28)
    garment = store.get("garments", make.became).record
    assert (garment.name, garment.construction, garment.occasions[0].state) == (
        "Plain pullover",
        "set_in",
        "washed_flat",
    )
    assert garment.occasions[0].on == date(2026, 11, 20)
    # A mattress seam takes a stitch of each edge, 4.5 mm (assumed): two edges of the back and of the front.
    # Half the body is the mean of the two: 525 - 9 and 531 - 9.
    assert mm(garment, "chest") == [519.0]
    # The shoulder seam takes a row of 3.2 mm (assumed); no band was said.
    assert mm(garment, "body_length") == [617.0]


def test_what_making_up_brings_is_added_and_a_seam_of_unknown_overlap_leaves_its_point_out(store, ask):
    document = store.get("makes", "plain").doc
    document["bands"] = [{"edge": "hem", "depth": "6 cm", "how": "added_later"}]
    document["seams"] = {"side": "overlap"}
    store.put("makes", "plain", document, 1)
    garment = store.get("garments", finished(store, ask).became).record
    assert mm(garment, "body_length") == [677.0]
    assert "chest" not in garment.occasions[0].readings


def test_said_twice_it_is_finished_once(store, ask):
    first = finished(store, ask, on="2026-11-28")
    revision = store.get("makes", "plain").revision
    again = finished(store, ask, on="2026-11-28")
    assert again == first
    assert finished(store, ask) == first  # the day that it has
    assert store.get("makes", "plain").revision == revision
    assert len(store.household().garments) == 1
    # Another day is another day, and no second garment.
    assert finished(store, ask, on="2026-11-29").became == first.became
    assert len(store.household().garments) == 1


def test_without_the_wardrobe_it_is_finished_alone_and_can_be_hung_up_later(store, ask):
    assert finished(store, ask, on="2026-11-28", wardrobe=False).became is None
    assert store.household().garments == []
    later = finished(store, ask)
    assert (later.finished, later.became) == (date(2026, 11, 28), "plain_pullover")


def test_undone_it_is_undone_as_one_and_so_is_the_undo(store, ask):
    finished(store, ask)
    assert store.undo("makes", "plain", 2).record.finished is None
    assert store.household().garments == []
    again = store.undo("makes", "plain", 3).record
    assert again.became == "plain_pullover"
    assert [garment.id for garment in store.household().garments] == ["plain_pullover"]
    assert store.undo("makes", "plain", 4).record.became is None
    assert store.household().garments == []


@pytest.mark.parametrize("how", ["measured since", "named by another make"])
def test_a_garment_that_something_was_done_with_since_stays_when_the_finishing_is_undone(store, ask, how):
    finished(store, ask)
    garment = store.get("garments", "plain_pullover")
    if how == "measured since":
        store.put("garments", "plain_pullover", {**garment.doc, "notes": "worn"}, 1)
    else:
        fits = {"garment": "plain_pullover", "occasion": "pieces"}
        store.put("makes", "next", {"id": "next", "name": "Next", "fits": fits}, 0)
    store.undo("makes", "plain", 2)
    assert [garment.id for garment in store.household().garments] == ["plain_pullover"]


def test_the_answer_is_no_function_of_the_garment_that_a_make_became(store, ask):
    finished(store, ask, wardrobe=False)
    before = fitcheck.report(store.household(), make="plain")
    finished(store, ask)
    assert fitcheck.report(store.household(), make="plain").digest == before.digest


@pytest.mark.parametrize(
    ("body", "place"), [({"on": "28.11.2026"}, "on"), ({"on": 3}, "on"), ({"wardrobe": "yes"}, "wardrobe")]
)
def test_what_is_no_day_is_refused_and_nothing_is_finished(store, ask, body, place):
    status, data, _ = ask("POST", "/makes/plain/finish", body)
    assert (status, data["faults"][0]["place"]) == (422, place)
    assert store.get("makes", "plain").revision == 1


def test_it_is_exported_and_taken_in_again(store, ask, tmp_path):
    finished(store, ask, on="2026-11-28")
    with Store.open(tmp_path / "other.db") as other:
        other.import_bundle(store.export_bundle())
        assert other.get("makes", "plain").record.became == "plain_pullover"
    status, data, _ = ask("DELETE", "/garments/plain_pullover", revision=1)
    assert status == 409, data


# The page


def form(page):
    inside = re.search(r'<form class="form finish"[^>]*action="/makes/plain/finish".*?</form>', page, re.S)[0]
    return dict(re.findall(r'<input[^>]*? name="([^"]+)"[^>]*? value="([^"]*)"', inside))


def test_from_the_make_it_is_two_taps_and_today_is_preset(store, client):
    document = store.get("makes", "plain").doc
    sleeve = {"id": "sleeve", "piece": "sleeve", "stages": [{"kind": "blocked", "readings": {"upper_arm": ["37 cm"]}}]}
    store.put("makes", "plain", {**document, "pieces": [BACK, FRONT, sleeve]}, 1)
    page = client.get("/makes/plain").text
    tick = re.search(r'<a href="([^"]+)" aria-label="Finished', page)
    assert tick, "once every piece is read the last tick is Finished"
    asked = client.get(tick[1]).text
    answer = client.post("/makes/plain/finish", data=form(asked))
    assert (answer.status_code, answer.headers["Location"]) == (303, "/makes/plain")
    make = store.get("makes", "plain").record
    assert (make.finished, make.became) == (date.today(), "plain_pullover")
    assert [occasion.id for occasion in store.get("garments", "plain_pullover").record.occasions] == ["pieces"]
    said = client.get("/makes/plain").text
    assert "Plain pullover is finished and hangs in the wardrobe." in said.replace("\u00a0", " ")
    # Its one undo takes both back.
    undo = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', re.search(r'action="/undo">(.*?)</form>', said, re.S)[1]))
    client.post("/undo", data=undo)
    assert store.get("makes", "plain").record.finished is None
    assert store.household().garments == []


def test_finished_and_measured_it_leads_to_the_tape(store, client):
    fields = form(client.get("/makes/plain/finish").text)
    answer = client.post("/makes/plain/finish", data={**fields, "left": "measure"})
    assert answer.headers["Location"] == "/wardrobe/plain_pullover/measure"
    # Sent again, as from the browser's way back, it is the same sweater.
    client.post("/makes/plain/finish", data={**fields, "left": "measure"})
    assert len(store.household().garments) == 1
    page = client.get("/makes/plain/finish").text
    assert 'href="/wardrobe/plain_pullover"' in page
    assert "Hang it in the wardrobe" not in page


def test_a_day_that_is_none_is_refused_beside_its_field_and_finished_alone_hangs_nothing_up(store, client):
    answer = client.post("/makes/plain/finish", data={"finished": "the 30th", "left": "hang"})
    assert answer.status_code == 422
    assert "Not taken: the 30th." in answer.text.replace("\u00a0", " ")
    client.post("/makes/plain/finish", data={"finished": "28.11.2026", "left": "alone"})
    make = store.get("makes", "plain").record
    assert (make.finished, make.became) == (date(2026, 11, 28), None)


# How it was knitted


def knitted(store, ask):
    """The sweater with a dial and counts on its back, and planned ones of its sleeve."""
    document = store.get("makes", "plain").doc
    back = {**BACK, "dial": "7.1", "counts": {"chest": 120, "body_length": {"planned": 190, "counted": 194}}}
    document |= {"pieces": [back, FRONT], "planned": {"back": {"hem": 118, "chest": 116}, "sleeve": {"cuff": 52}}}
    store.put("makes", "plain", document, 1)
    return store.get("garments", finished(store, ask).became).record.knitted


def test_the_garment_keeps_its_dial_its_gauge_and_its_counts_as_they_were_knitted(store, ask):
    kept = knitted(store, ask)
    assert kept.dial.written() == "7.1"
    assert kept.counts == {"back": {"hem": 118, "chest": 120, "body_length": 194}, "sleeve": {"cuff": 52}}
    # 52.5 cm over 120 stitches, 62.0 cm over 194 rows; what is usual of a stitch draws either a little.
    assert kept.stitch.value_mm == pytest.approx(525 / 120, abs=0.02)
    assert kept.row.value_mm == pytest.approx(620 / 194, abs=0.02)


def test_pieces_of_two_dials_leave_the_dial_unsaid(store, ask):
    document = store.get("makes", "plain").doc
    document["pieces"] = [{**BACK, "dial": "7"}, {**FRONT, "dial": "7.1"}]
    store.put("makes", "plain", document, 1)
    kept = store.get("garments", finished(store, ask).became).record.knitted
    assert kept is None or kept.dial is None


def test_its_page_says_how_it_was_knitted(store, ask, client):
    knitted(store, ask)
    page = client.get("/wardrobe/plain_pullover").text.replace("\u00a0", " ")
    assert "How it was knitted" in page
    assert re.search(r"Dial 7\.1, 22\.\d stitches and 31\.\d rows to 10 cm\.", page)
    assert "Back: chest 120 stitches and hem 118; body length 194 rows." in page
    assert "Sleeve: cuff 52 stitches." in page


# Its points again, sewn


def sewn(store, **typed):
    """The page's form with readings of the sewn garment in it."""
    return {"finished": "28.11.2026", "left": "hang", **{f"at_{key}": texts for key, texts in typed.items()}}


@pytest.fixture
def fitted(store):
    """The sweater with what it must fit: a chest of 52.4, which its pieces nearly have, and a hem."""
    numbers = {"chest": {"length": "52.4 cm"}, "hem": {"length": "50 cm"}}
    store.put("makes", "plain", {**store.get("makes", "plain").doc, "fits": {"numbers": numbers}}, 1)
    return store


def test_a_slip_of_the_tape_is_asked_about_where_it_was_typed_and_answered_there(fitted, client):
    client.post("/makes/plain/finish", data=sewn(fitted, chest="20.6 cm", hem="50.2 cm"))
    page = client.get("/makes/plain/finish").text
    question = re.search(r'<section[^>]*id="questions">(.*?)</section>', page, re.S)[1]
    assert "As inches it would be" in question
    assert "A reading is asked about, and counts as soon as that is answered." in page
    assert 'id="p-chest"' not in page, "it is not judged before it is answered"
    action = re.search(r'action="([^"]+)"', question)[1]
    fields = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', question))
    answer = client.post(action, data={**fields, "do": "slip"})
    assert answer.headers["Location"] == "/makes/plain/finish"
    page = client.get("/makes/plain/finish").text
    assert 'id="questions"' not in page
    assert 'id="p-chest"' in page


def test_what_it_was_to_fit_is_written_beside_its_counts(fitted, ask):
    fit = fitted.get("garments", finished(fitted, ask).became).record.knitted.fit
    assert {key: point.wanted.value_mm for key, point in fit.items()} == {"hem": 500.0, "chest": 524.0}
    assert (fit["chest"].smaller.value_mm, fit["chest"].larger.value_mm, fit["chest"].u) == (10.0, 10.0, None)


def test_what_is_typed_while_it_is_finished_is_a_measuring_of_its_own(fitted, client):
    answer = client.post("/makes/plain/finish", data=sewn(fitted, chest="52.3 52.4 52.5", hem="52.0"))
    assert answer.headers["Location"] == "/makes/plain/finish"
    garment = fitted.get("garments", "plain_pullover").record
    pieces, tape = garment.occasions
    assert (pieces.id, tape.state, tape.on) == ("pieces", "washed_flat", date.today())
    assert [reading.text for reading in tape.readings["chest"]] == ["52.3", "52.4", "52.5"]
    page = client.get("/makes/plain/finish").text
    assert "<h1>The hem came out 2.0 cm wide.</h1>" in page
    assert 'name="at_body_length"' in page, "what nobody read can be typed"
    assert 'name="at_chest"' not in page


def test_one_undo_takes_back_the_finishing_and_what_was_typed_with_it(fitted, client):
    client.post("/makes/plain/finish", data=sewn(fitted, chest="52.3 52.4", hem="52.0"))
    page = client.get("/makes/plain/finish").text
    assert "Plain pullover is finished and hangs in the wardrobe, with 3 readings." in page.replace("\u00a0", " ")
    undo = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', re.search(r'action="/undo">(.*?)</form>', page, re.S)[1]))
    client.post("/undo", data=undo)
    assert fitted.get("makes", "plain").record.finished is None
    assert fitted.household().garments == []


def test_pieces_that_nobody_recorded_are_asked_about_once_with_all_that_was_typed(fitted, client):
    fields = form(client.get("/makes/plain/finish").text) | {"at_hem": "52.0", "do": "measure"}
    asked = client.post("/makes/plain/finish", data=fields)
    assert "<h1>Is it finished?</h1>" in asked.text
    assert "By what was recorded, two sleeves are still to knit." in asked.text.replace("\u00a0", " ")
    assert fitted.get("makes", "plain").record.finished is None
    assert form(asked.text)["at_hem"] == "52.0"
    # Whatever is pressed then is done: the main button what was asked about.
    buttons = re.findall(r'<button class="(btn[^"]*|vh)"[^>]*name="(\w+)" value="(\w+)"', asked.text)
    assert buttons[:2] == [("btn main", "left", "measure"), ("vh", "left", "measure")]
    assert {name for _, name, _ in buttons} == {"left"}
    _, name, do = buttons[0]
    client.post("/makes/plain/finish", data={**form(asked.text), name: do})
    assert fitted.get("makes", "plain").record.became == "plain_pullover"


def test_what_is_still_to_be_read_stands_first_and_what_matches_last_in_a_line(fitted, client):
    client.post("/makes/plain/finish", data=sewn(fitted, chest="52.3 52.4 52.5", hem="52.0 52.1 51.9"))
    page = client.get("/makes/plain/finish").text
    order = [page.index(part) for part in ('name="at_body_length"', 'id="p-hem" open', 'id="p-chest"')]
    assert order == sorted(order)
    assert 'id="p-chest" open' not in page


def test_what_its_pieces_promised_stands_beside_what_came(fitted, client):
    client.post("/makes/plain/finish", data=sewn(fitted))
    assert "What was said, what came" not in client.get("/makes/plain/finish").text
    client.post("/makes/plain/finish", data=sewn(fitted, chest="52.3 52.4 52.5", hem="52.0 52.1 51.9"))
    page = client.get("/makes/plain/finish").text.replace("\u00a0", " ")
    said, came = re.search(r"What was said, what came</dt><dd>([^<]*)</dd><dd>([^<]*)</dd>", page).groups()
    chance = r".* in (10|20) that every point that (was read|could be judged) fits\."
    assert re.fullmatch(f"Before it was finished, by the front: {chance}", said)
    assert came == "By the tape on it sewn: 1 of 2 points matches."


def test_of_one_point_that_was_read_sewn_it_is_said_whether_it_matches(fitted, client):
    client.post("/makes/plain/finish", data=sewn(fitted, chest="52.3 52.4 52.5"))
    assert "By the tape on it sewn: the one point that was read matches." in client.get("/makes/plain/finish").text


def test_the_same_form_sent_again_adds_no_reading(fitted, client):
    fields = form(client.get("/makes/plain/finish").text) | {"at_chest": "52.3", "left": "hang"}
    for _ in range(2):
        client.post("/makes/plain/finish", data=fields)
    (_, tape) = fitted.get("garments", "plain_pullover").record.occasions
    assert len(tape.readings["chest"]) == 1
    client.post("/makes/plain/finish", data=form(client.get("/makes/plain/finish").text) | {"at_hem": "50.1"})
    (_, tape) = fitted.get("garments", "plain_pullover").record.occasions
    assert tape.readings.keys() == {"chest", "hem"}


def test_a_reading_that_is_none_is_refused_beside_its_field_and_nothing_is_finished(fitted, client):
    answer = client.post("/makes/plain/finish", data=sewn(fitted, chest="52.3.1", hem="50.0"))
    assert answer.status_code == 422
    assert "Not taken: 52.3.1." in answer.text
    assert 'name="at_hem" value="50.0"' in answer.text
    assert fitted.get("makes", "plain").revision == 2


def test_the_api_has_the_same_answer(fitted, ask, client):
    client.post("/makes/plain/finish", data=sewn(fitted, chest="52.3 52.4 52.5"))
    status, answer, response = ask("GET", "/makes/plain/finished")
    assert status == 200
    valid(answer, "FinishedSweater")
    codes = {told["point"]["key"]: told["point"]["code"] for told in answer["points"]}
    assert codes == {
        "chest": "matches",
        "hem": "not_measured",
        "body_length": "not_measured",
        "neck_width": "not_measured",
    }
    assert answer == as_data(reports.finished(fitted.household(), "plain"))
    assert ask("GET", "/makes/plain/finished", headers={"If-None-Match": response.headers["ETag"]})[0] == 304
    assert ask("GET", "/makes/nobody/finished")[0] == 404


def test_from_the_wardrobe_a_link_leads_back_to_how_it_came_out(fitted, ask, client):
    finished(fitted, ask)
    assert 'href="/makes/plain/finish"' in client.get("/wardrobe/plain_pullover").text


def test_drawing_and_list_have_the_same_differences(store, client):
    wanted = {
        "chest": 52.44,
        "hem": 50.04,
        "shoulder_width": 41.04,
        "armhole_depth": 21.5,
        "neck_width": 17,
        "body_length": 62,
    }
    numbers = {key: {"length": f"{cm} cm"} for key, cm in wanted.items()}
    store.put("makes", "plain", {**store.get("makes", "plain").doc, "fits": {"numbers": numbers}}, 1)
    # 52.44 and 52.35 are written 52.4 and 52.4, and yet 0.1 apart; so are 50.04 and 50.15.
    typed = {
        "chest": "52.3 52.4",
        "hem": "50.1 50.2",
        "shoulder_width": "41.1",
        "armhole_depth": "21.6",
        "body_length": "62",
    }
    client.post("/makes/plain/finish", data=sewn(store, **typed))
    page = client.get("/makes/plain/finish").text
    listed = re.findall(r'<span class="diff">([^<]*)</span>', page)
    drawn = re.findall(r'<text class="t-val"[^>]*>([^<]*)</text>', page)
    assert not Counter(listed) - Counter(drawn)  # that of the neck is drawn too, from its piece
    assert len(listed) == len(typed)


def test_what_it_was_to_fit_leaves_with_the_household_and_comes_in_again(fitted, ask, tmp_path):
    key = finished(fitted, ask).became
    with Store.open(tmp_path / "other.db") as other:
        other.import_bundle(fitted.export_bundle())
        assert other.get("garments", key).record.knitted.fit == fitted.get("garments", key).record.knitted.fit
        assert other.get("garments", key).record.knitted.fit.keys() == {"chest", "hem"}


# The next one


def test_the_next_sweater_in_this_yarn_starts_from_its_counts_dial_and_fit(store, ask, client):
    store.put("yarns", "wool", {"id": "wool", "name": "grey wool"}, 0)
    document = store.get("makes", "plain").doc
    store.put("makes", "plain", {**document, "yarn": "wool"}, 1)
    assert "Your last sweater" not in client.get("/plan").text
    document = store.get("makes", "plain").doc
    back = {**BACK, "dial": "7", "counts": {"hem": 118, "chest": 120}}
    store.put("makes", "plain", document | {"pieces": [back, FRONT]}, 2)
    finished(store, ask)
    page = client.get("/plan").text
    assert "Your last sweater in grey wool: dial 7 and back 118 to 120 stitches." in page
    at = re.search(r'id="last".*?action="([^"]+)"', page, re.S)[1]
    # So it is where the plan begins from the garment, as the wardrobe's link has it, and sizes stand there already.
    from_it = client.get("/plan?garment=plain_pullover&stitches=40&across=17&count_1=120&count_2=128").text
    assert "Keep this plan" in from_it
    assert f'action="{at}"' in from_it
    key = client.post(at).headers["Location"].split("/")[2]
    begun = store.get("makes", key).record
    assert (begun.planned["back"], begun.yarn, begun.learns_from) == ({"hem": 118, "chest": 120}, "wool", ["plain"])
    assert (begun.name, begun.fits.garment, begun.fits.occasion) == ("Plain pullover 2", "plain_pullover", "pieces")
    assert [(piece.piece, piece.dial.written()) for piece in begun.pieces] == [("back", "7")]
    # It is told what it begins with, and comes to no page that asks what it shall fit.
    assert "Begun like Plain pullover: with its fabric, dial, counts and fit." in client.get(f"/makes/{key}").text


def test_the_same_tap_begins_one_sweater(store, ask, client):
    finished(store, ask)
    fields = {"form": "abcdefgh12345678"}
    first, again = (client.post("/makes/plain/next", data=fields).headers["Location"] for _ in range(2))
    assert first == again
    assert len(store.household().makes) == 2
