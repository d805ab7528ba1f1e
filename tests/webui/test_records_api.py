"""Records over the API: every change a revision, a stale one refused with both versions, nothing ever lost.

All figures are invented.
"""

from __future__ import annotations

import json
import threading

import pytest

from fitcheck.records.cross_checks import KINDS
from tests.webui.conftest import API, DEMO

GARMENT = {"name": "a grey pullover", "occasions": [{"id": "first", "readings": {"chest": ["51.6 cm"]}}]}


@pytest.mark.parametrize("kind", KINDS)
def test_every_record_of_the_demo_is_read_and_written_again_without_a_change(ask, kind):
    for record in DEMO[kind]:
        status, found, response = ask("GET", f"/{kind}/{record['id']}")
        assert (status, found["kind"], found["key"], found["deleted"]) == (200, kind, record["id"], False)
        assert response.headers["ETag"] == f'"{found["revision"]}"'
        status, again, _ = ask("PUT", f"/{kind}/{record['id']}", found["record"], found["revision"])
        assert (status, again) == (200, found)


def test_a_new_record_is_made_under_the_key_of_the_address(ask):
    status, made, response = ask("PUT", "/garments/grey", GARMENT, 0)
    assert (status, made["revision"], made["record"]["id"]) == (201, 1, "grey")
    assert response.headers["ETag"] == '"1"'
    assert made["record"]["occasions"][0]["readings"]["chest"][0] == {"text": "51.6 cm", "unit": "cm", "id": "r1"}
    assert ask("GET", "/garments/grey")[1] == made


def test_a_stale_write_gets_both_versions_and_the_one_they_came_from(ask):
    ask("PUT", "/garments/grey", GARMENT, 0)
    ask("PUT", "/garments/grey", GARMENT | {"name": "theirs"}, 1)
    status, problem, response = ask("PUT", "/garments/grey", GARMENT | {"name": "mine"}, 1)
    assert (status, response.mimetype) == (409, "application/problem+json")
    assert problem["type"] == "/api/v1/browse#changed-meanwhile"
    assert problem["mine"]["name"] == "mine"
    assert (problem["theirs"]["revision"], problem["theirs"]["record"]["name"]) == (2, "theirs")
    assert (problem["base"]["revision"], problem["base"]["record"]["name"]) == (1, "a grey pullover")
    assert ask("GET", "/garments/grey")[1]["record"]["name"] == "theirs"


@pytest.mark.parametrize(("method", "path"), [("PUT", ""), ("DELETE", ""), ("POST", "/undo"), ("POST", "/bring-back")])
def test_a_change_without_its_revision_is_refused(ask, method, path):
    body = GARMENT if method == "PUT" else {} if path == "/bring-back" else None
    status, problem, _ = ask(method, f"/garments/brown_pullover{path}", body)
    assert (status, problem["type"]) == (428, "/api/v1/browse#revision-missing")
    assert ask("GET", "/garments/brown_pullover")[1]["revision"] == 1


@pytest.mark.parametrize("tag", ['W/"1"', "*", '"1", "2"', '"x"', '"01"', '"-1"', '"' + 30 * "9" + '"'])
def test_a_revision_that_is_none_is_refused(ask, tag):
    status, problem, _ = ask("DELETE", "/wearers/juna", headers={"If-Match": tag})
    assert status == 400
    assert problem["detail"] == f'If-Match: read {json.dumps(tag)}; one revision: "3", or "0" for a new record.'


def test_a_deleted_record_is_brought_back_and_each_step_is_in_its_history(ask):
    ask("PUT", "/garments/grey", GARMENT, 0)
    assert ask("DELETE", "/garments/grey", revision=1)[1]["deleted"] is True
    status, problem, _ = ask("GET", "/garments/grey")
    assert (status, problem["deleted"]) == (404, True)
    assert [one["key"] for one in ask("GET", "/garments?deleted=true")[1]["records"]] == ["grey"]
    assert ask("POST", "/garments/grey/bring-back", {}, 2)[1]["revision"] == 3
    ask("PUT", "/garments/grey", GARMENT | {"name": "renamed"}, 3)
    assert ask("POST", "/garments/grey/undo", revision=4)[1]["record"]["name"] == "a grey pullover"
    assert ask("POST", "/garments/grey/bring-back", {"revision": 4}, 5)[1]["record"]["name"] == "renamed"
    entries = ask("GET", "/garments/grey/history")[1]["revisions"]
    assert [one["what"] for one in entries] == [
        "brought_back",
        "undone",
        "changed",
        "brought_back",
        "deleted",
        "created",
    ]
    assert ask("GET", "/garments/grey/history/1")[1]["record"]["name"] == "a grey pullover"
    assert ask("GET", "/garments/grey/history/7")[0] == 404
    assert ask("GET", f"/garments/grey/history/{2**70}")[0] == 422


def test_what_others_name_stays_and_they_are_listed(ask):
    status, problem, _ = ask("DELETE", "/yarns/grey_wool_in_oil", revision=1)
    assert (status, problem["type"]) == (409, "/api/v1/browse#still-named")
    assert {"kind": "makes", "key": "grey_pullover"} in problem["names"]


def test_every_fault_is_named_with_its_place(ask):
    wrong = {"name": 5, "occasions": [{"id": "first", "readings": {"chest": ["51.6 cm", "x"]}}], "colour": "grey"}
    status, problem, _ = ask("PUT", "/garments/grey", wrong, 0)
    assert status == 422
    assert {one["place"] for one in problem["faults"]} == {"name", "occasions[0].readings.chest[1]", "colour"}
    assert ask("GET", "/garments/grey")[0] == 404


@pytest.mark.parametrize(
    ("raw", "status"),
    [
        (b"", 400),
        (b"{", 400),
        (b"\xff", 400),
        (b'{"name": NaN}', 400),
        (b'{"name": "a", "name": "b"}', 400),
        (b"[" * 100_000, 400),
        (b"9" * 5000, 400),
        (b"[]", 422),
        (b'"text"', 422),
        (b'{"name": "\\ud800"}', 422),
        (b'{"a":' * 200 + b"1" + b"}" * 200, 422),
    ],
)
def test_a_body_that_is_no_record_is_refused(client, raw, status):
    headers = {"If-Match": '"0"', "Content-Type": "application/json"}
    response = client.put(f"{API}/yarns/new", data=raw, headers=headers)
    assert (response.status_code, response.mimetype) == (status, "application/problem+json")


def test_a_body_of_another_kind_is_refused(client):
    for media in ("text/plain", "application/x-www-form-urlencoded", ""):
        response = client.put(f"{API}/yarns/new", data=b"{}", headers={"If-Match": '"0"', "Content-Type": media})
        assert response.status_code == 415


def test_lists_come_page_by_page_and_by_wearer_and_text(ask):
    every, after = [], ""
    while True:
        page = ask("GET", f"/garments?limit=2{after}")[1]
        every += [one["key"] for one in page["records"]]
        if page["after"] is None:
            break
        after = f"&after={page['after']}"
    assert sorted(every) == sorted(one["id"] for one in DEMO["garments"])
    names = {one["id"]: one["name"].casefold() for one in DEMO["garments"]}
    assert every == sorted(every, key=lambda key: (names[key], key))
    hers = ask("GET", "/garments?wearer=ines")[1]["records"]
    assert {one["key"] for one in hers} == {one["id"] for one in DEMO["garments"] if one.get("wearer") == "ines"}
    assert [one["key"] for one in ask("GET", "/garments?text=BROWN")[1]["records"]] == ["brown_pullover"]


@pytest.mark.parametrize(
    "query", ["limit=0", "limit=501", "limit=x", "limt=2", "deleted=yes", "wearer=A", "limit=1&limit=2"]
)
def test_a_query_that_is_not_understood_is_refused(ask, query):
    assert ask("GET", f"/garments?{query}")[0] == 422


def test_settings_of_the_household_are_a_record_that_stays(ask):
    found = ask("GET", "/household")[1]
    changed = ask("PUT", "/household", found["record"] | {"name": "Another name"}, found["revision"])[1]
    assert changed["record"]["name"] == "Another name"
    assert ask("POST", "/household/undo", revision=changed["revision"])[1]["record"] == found["record"]
    assert ask("DELETE", "/household", revision=1)[0] == 405


def test_a_check_names_faults_or_questions_and_writes_nothing(ask):
    assert [one["place"] for one in ask("POST", "/garments/new/check", {"name": 1})[1]["faults"]] == [
        "name",
        "occasions",
    ]
    odd = {"name": "a", "occasions": [{"id": "first", "readings": {"chest": ["5.1 cm", "5.2 cm"]}}]}
    found = ask("POST", "/garments/new/check", odd)[1]
    assert found["faults"] == []
    assert found["questions"][0]["place"].startswith("occasions[0].readings.chest")
    assert ask("GET", "/garments/new")[0] == 404
    ask("PUT", "/garments/new", odd, 0)
    assert ask("GET", "/garments/new/questions")[1]["questions"] == found["questions"]
    lost = GARMENT | {"occasions": [{"id": "first"}]}
    ask("PUT", "/garments/grey", GARMENT, 0)
    assert "Set it aside" in ask("POST", "/garments/grey/check", lost)[1]["faults"][0]["accepts"]


def test_two_clients_who_edit_one_record_lose_nothing_and_meet_no_error(app, ask):
    """Each adds its own mark to the notes again and again, reading and writing as a page would."""
    ask("PUT", "/garments/grey", GARMENT, 0)
    each, clients, seen = 25, 4, []

    def edit(name):
        client = app.test_client()
        for number in range(each):
            while True:
                now = client.get(f"{API}/garments/grey").json
                document = now["record"] | {"notes": now["record"].get("notes", "") + f"{name}{number};"}
                headers = {"If-Match": f'"{now["revision"]}"'}
                status = client.put(f"{API}/garments/grey", json=document, headers=headers).status_code
                seen.append(status)
                if status == 200:
                    break

    threads = [threading.Thread(target=edit, args=(name,)) for name in "abcd"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert set(seen) <= {200, 409}
    found = ask("GET", "/garments/grey")[1]
    marks = found["record"]["notes"].strip(";").split(";")
    assert sorted(marks) == sorted(f"{name}{number}" for name in "abcd" for number in range(each))
    assert found["revision"] == 1 + each * clients
