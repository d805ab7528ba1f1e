"""Computed answers: the same as the report's, computed once, and never older than the records.

All figures are invented.
"""

from __future__ import annotations

import json
import re
import threading
from dataclasses import replace

import pytest

from fitcheck.advice.sizes.which_size import COUNTS_KNITTED
from fitcheck.estimates.fabric.fit import Fabric
from fitcheck.records.files import open_household
from fitcheck.reports import shaped
from fitcheck.reports.shaped import report
from fitcheck.words.data import json_text
from fitcheck.words.figures import CM
from tests.invented import in_turn
from tests.webui.conftest import DEMO
from webui.answers import Answer, Answers
from webui.cache import MOST, Cache
from webui.pages.make.told import fabric_told, sizes_told

MAKE = "/makes/grey_pullover"


@pytest.fixture
def reports(app):
    """How many reports were computed until now."""
    made = app.extensions["fitcheck"].cache.made
    return lambda: made["report"]


@pytest.mark.parametrize("make", in_turn(one["id"] for one in DEMO["makes"]))
def test_the_report_is_the_one_of_the_file(ask, make):
    assert ask("GET", f"/makes/{make}/report")[1] == json.loads(json_text(report(DEMO, make=make)))


def test_unchanged_records_are_computed_once(ask, reports):
    first = ask("GET", f"{MAKE}/report")
    for path in ("report", "verdict", "verdict?unit=in", "fabric", "sizes", "report"):
        assert ask("GET", f"{MAKE}/{path}")[0] == 200
    assert reports() == 1
    assert ask("GET", f"{MAKE}/report")[2].data == first[2].data


def test_a_change_elsewhere_computes_nothing_and_a_change_of_what_it_names_computes_anew(ask, reports):
    before = ask("GET", f"{MAKE}/report")[1]
    ask("PUT", "/garments/other", {"name": "other", "occasions": [{"id": "first"}]}, 0)
    ask("GET", f"{MAKE}/report")
    assert reports() == 1
    make = next(one for one in DEMO["makes"] if one["id"] == "grey_pullover")
    garment = make["fits"]["garment"]
    kept = ask("GET", f"/garments/{garment}")[1]
    changed = kept["record"] | {"thickness": "9 mm"}
    now = ask("PUT", f"/garments/{garment}", changed, kept["revision"])[1]
    after = ask("GET", f"{MAKE}/report")[1]
    assert reports() == 2
    assert after["digest"] != before["digest"]
    ask("POST", f"/garments/{garment}/undo", revision=now["revision"])
    assert ask("GET", f"{MAKE}/report")[1] == before


@pytest.fixture
def weigh(ask):
    """Weigh what is on hand of the make's yarn [g]: another yarn than in any test before, so that nothing is kept."""

    def weighed(grams):
        yarn = ask("GET", "/yarns/grey_wool_in_oil")[1]
        lots = [lot | {"grams": grams} for lot in yarn["record"]["lots"]]
        assert ask("PUT", "/yarns/grey_wool_in_oil", yarn["record"] | {"lots": lots}, yarn["revision"])[0] == 200

    return weighed


def test_the_rest_is_worked_out_once_for_every_address_of_the_api_and_every_page(client, weigh, monkeypatch):
    worked_out = []
    reckoned = shaped.rest_told
    monkeypatch.setattr(shaped, "rest_told", lambda told: worked_out.append(told) or reckoned(told))
    weigh(403)
    for path in ("rest", "seams", "yarn", "sheets/front", "sheets/sleeve", "sheets/front/table.csv"):
        assert client.get(f"/api/v1{MAKE}/{path}").status_code == 200
    for path in ("rest", "rest/seams", "rest/yarn", "sheets/front"):
        assert client.get(f"{MAKE}/{path}").status_code == 200
    assert len(worked_out) == 1


def test_the_rest_is_worked_out_anew_after_a_change_of_what_it_goes_on_from(ask, client, weigh):
    for hand in (203, 303):
        weigh(hand)
        assert ask("GET", f"{MAKE}/yarn")[1]["answer"]["hand"] == 2 * hand
        assert re.search(rf"\b{2 * hand}\sg on hand", client.get(f"{MAKE}/rest/yarn").text)


@pytest.mark.parametrize("field", ["unit", "tape"])
def test_settings_of_the_household_count_too(ask, reports, field):
    ask("GET", f"{MAKE}/report")
    found = ask("GET", "/household")[1]
    more = {"unit": "in"} if field == "unit" else {"tape": {"revision": 9, "sets": []}}
    ask("PUT", "/household", found["record"] | more, found["revision"])
    ask("GET", f"{MAKE}/report")
    assert reports() == 2


def test_who_comes_while_it_is_computed_waits_for_it(app, reports):
    start, seen = threading.Barrier(6), []

    def fetch():
        client = app.test_client()
        start.wait()
        seen.append(client.get(f"/api/v1{MAKE}/report").data)

    threads = [threading.Thread(target=fetch) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert (len(seen), len(set(seen)), reports()) == (6, 1, 1)


def test_an_unchanged_answer_is_not_sent_again(ask):
    tag = ask("GET", f"{MAKE}/verdict")[2].headers["ETag"]
    status, _, response = ask("GET", f"{MAKE}/verdict", headers={"If-None-Match": tag})
    assert (status, response.data) == (304, b"")
    assert ask("GET", f"{MAKE}/verdict", headers={"If-None-Match": '"other"'})[0] == 200


def test_what_is_kept_stays_small(store, monkeypatch):
    answer = Answers(store, Cache()).of("childs_school_pullover")
    monkeypatch.setattr(Answers, "_computed", lambda answers, make, piece: answer)  # what it says is not looked at
    cache = Cache()
    answers = Answers(store, cache)
    make = store.get("makes", "childs_school_pullover")
    for _ in range(MOST["report"] + 3):
        document = make.doc | {"notes": f"revision {make.revision}"}
        make = store.put("makes", make.key, document, make.revision)
        answers.of(make.key)
    assert cache.made["report"] == MOST["report"] + 3
    assert cache.count("report") == MOST["report"]


@pytest.mark.full
@pytest.mark.parametrize("path", ["/", "/makes"])
def test_after_a_write_with_twenty_open_makes_one_report_is_computed(store, client, reports, path):
    make = store.get("makes", "childs_school_pullover")
    for number in range(20):
        store.put("makes", f"copy_{number}", make.doc | {"id": f"copy_{number}", "name": f"Copy {number}"}, 0)
    for place in range(1, 5):
        client.get(f"{path}?page={place}")
    before = reports()
    copy = store.get("makes", "copy_7")
    store.put("makes", "copy_7", copy.doc | {"notes": "another"}, copy.revision)
    for place in range(1, 5):
        client.get(f"{path}?page={place}")
    assert reports() - before == 1


@pytest.mark.parametrize(
    "path",
    ["/", "/makes", f"{MAKE}/walk?piece=back", f"{MAKE}/now", f"{MAKE}/points", f"{MAKE}/rest", f"{MAKE}/rest/yarn"],
)
def test_what_swatches_and_size_table_answer_is_worked_out_for_no_page_that_does_not_show_it(client, path, monkeypatch):
    whole, asked = Answer.report.fget, []
    monkeypatch.setattr(Answer, "report", property(lambda answer: asked.append(answer.told) or whole(answer)))
    assert client.get(path).status_code == 200
    assert [told.given.make.id for told in asked] == []


def test_the_report_of_a_list_is_the_whole_one_without_what_swatches_and_size_table_answer():
    rest, whole = shaped.worked_out(open_household(DEMO), "grey_pullover")
    assert None not in (whole.fabric, whole.sizes)
    assert shaped.shaped(rest, "listed") == replace(whole, fabric=None, sizes=None)


@pytest.mark.parametrize("make", in_turn(make["id"] for make in DEMO["makes"]))
def test_the_page_of_a_make_says_of_its_fabric_and_sizes_what_the_whole_report_says(make):
    rest, whole = shaped.worked_out(open_household(DEMO), make)
    page = shaped.shaped(rest, "page")
    assert replace(page, fabric=None, sizes=None) == replace(whole, fabric=None, sizes=None)
    assert sizes_told(page, CM) == sizes_told(whole, CM)
    for finished in (False, True):
        assert fabric_told(page, CM, finished=finished) == fabric_told(whole, CM, finished=finished)


def test_where_pieces_keep_their_dial_no_other_click_and_no_count_of_ones_own_is_worked_out_for_its_page(monkeypatch):
    asked, work = [], Fabric.clicks
    monkeypatch.setattr(Fabric, "clicks", lambda fabric, *given: asked.append(given) or work(fabric, *given))
    rest = shaped.rest_of(open_household(DEMO), "grey_pullover")
    for depth, clicks in (("page", 0), ("whole", 1)):
        assert shaped.shaped(rest, depth).fabric is not None
        assert len(asked) == clicks
    page = shaped.shaped(rest, "page").sizes
    assert page is not None
    assert (page.free_counts, page.mixed) == (COUNTS_KNITTED, COUNTS_KNITTED)
    assert not any(size.lengths for size in page.sizes)


def test_a_piece_that_is_not_there_and_a_make_that_is_not_there_are_named(ask):
    status, problem, _ = ask("GET", f"{MAKE}/report?piece=nothing")
    assert (status, problem["type"]) == (404, "/api/v1/browse#not-found")
    assert "'nothing'" in problem["detail"]
    assert ask("GET", "/makes/nothing/report")[0] == 404


def test_an_answer_that_cannot_be_given_says_why_and_what_would_help(ask):
    make = next(one["id"] for one in DEMO["makes"] if not one.get("size_table"))
    status, found, _ = ask("GET", f"/makes/{make}/sizes")
    assert (status, found["answer"]["code"]) == (200, "no_size_table")
    assert found["answer"]["what_would_help"]
    assert found["digest"] == report(DEMO, make=make).digest


def test_what_if_answers_as_a_file_with_the_changes_would_and_keeps_nothing(ask, store):
    make = next(one for one in DEMO["makes"] if one["id"] == "grey_pullover")
    before = store.export_bundle()
    piece = report(DEMO, make="grey_pullover").head.piece
    asked = {"counts": {"chest": 131}, "planned": {"front": {"chest": 129}}}
    found = ask("POST", f"{MAKE}/what-if", asked)[1]
    changed = json.loads(json.dumps(DEMO))
    record = next(one for one in changed["makes"] if one["id"] == make["id"])
    knitted = next(one for one in record["pieces"] if one["id"] == piece)
    count = knitted.setdefault("counts", {}).get("chest", {})
    knitted["counts"]["chest"] = (count if isinstance(count, dict) else {"knitted": count}) | {"counted": 131}
    record.setdefault("planned", {}).setdefault("front", {})["chest"] = 129
    assert found == json.loads(json_text(report(changed, make=make["id"])))
    assert store.export_bundle() == before


def test_what_if_with_another_dial_tells_of_pieces_knitted_at_that_dial(ask):
    now = ask("GET", f"{MAKE}/sizes")[1]["answer"]
    tighter = ask("POST", f"{MAKE}/what-if", {"dial": "6"})[1]
    looser = ask("POST", f"{MAKE}/what-if", {"dial": "8"})[1]
    assert (tighter["sizes"]["dial"], looser["sizes"]["dial"]) == (6.0, 8.0)
    assert tighter["sizes"]["stitch"]["value"] < now["stitch"]["value"] < looser["sizes"]["stitch"]["value"]
    # What was read of the piece on the table stays what it is.
    assert [one["read"] for one in tighter["points"]] == [one["read"] for one in looser["points"]]


@pytest.mark.parametrize(
    ("asked", "place"),
    [
        ({"counts": {"chest": 0}}, "counts.chest"),
        ({"dial": "soft"}, "dial"),
        ({"dial": "99"}, "dial"),
        ({"planned": {"front": {"chest": "x"}}}, "planned.front.chest"),
        ({"counts": 5}, "counts"),
        ({"size": "no such size"}, "size"),
        ({"more": 1}, "body"),
        ({"piece": 1}, "piece"),
    ],
)
def test_what_cannot_be_is_refused_at_its_place(ask, asked, place):
    status, problem, _ = ask("POST", f"{MAKE}/what-if", asked)
    assert status == 422
    assert problem["faults"][0]["place"].startswith(place)
