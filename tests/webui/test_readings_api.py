"""Readings over the API: added once, never overwritten. All figures are invented."""

from __future__ import annotations

import threading

import pytest

from tests.webui.conftest import API

AT = "occasions/first/readings/chest"


@pytest.fixture
def garment(ask):
    ask("PUT", "/garments/grey", {"name": "grey", "occasions": [{"id": "first"}]}, 0)
    return "/garments/grey"


def chest(found):
    return found["record"]["occasions"][0]["readings"]["chest"]


def test_the_same_reading_sent_twice_is_one_reading(ask, garment):
    body = {"place": AT, "reading": {"text": "51.6 cm", "laying": 1}}
    first = ask("PUT", f"{garment}/readings/m1", body)
    assert (first[0], first[1]["revision"], first[2].headers["ETag"]) == (200, 2, '"2"')
    again = ask("PUT", f"{garment}/readings/m1", body)
    assert again[1] == first[1]
    assert chest(first[1]) == [{"text": "51.6 cm", "unit": "cm", "id": "m1", "laying": 1}]


def test_another_reading_under_the_same_id_is_refused_and_the_first_is_shown(ask, garment):
    ask("PUT", f"{garment}/readings/m1", {"place": AT, "reading": "51.6 cm"})
    status, problem, _ = ask("PUT", f"{garment}/readings/m1", {"place": AT, "reading": "51.9 cm"})
    assert (status, problem["type"], problem["there"]["text"]) == (409, "/api/v1/browse#id-taken", "51.6 cm")
    assert len(chest(ask("GET", garment)[1])) == 1


def test_a_reading_is_set_aside_with_its_reason_and_another_is_confirmed(ask, garment):
    for name, text in (("m1", "51.6 cm"), ("m2", "61.9 cm")):
        ask("PUT", f"{garment}/readings/{name}", {"place": AT, "reading": text})
    assert chest(ask("POST", f"{garment}/readings/m1/set-aside", {"reason": "the tape slipped"})[1])[0][
        "set_aside"
    ] == ("the tape slipped")
    assert chest(ask("POST", f"{garment}/readings/m2/confirm")[1])[1]["confirmed"] is True
    assert ask("POST", f"{garment}/readings/m1/set-aside", {"reason": "  "})[0] == 422
    assert ask("POST", f"{garment}/readings/m9/confirm")[0] == 404


@pytest.mark.parametrize(
    ("body", "status"),
    [
        ({"place": "occasions/second/readings/chest", "reading": "51 cm"}, 404),
        ({"place": "nowhere", "reading": "51 cm"}, 404),
        ({"place": AT, "reading": "no length"}, 422),
        ({"place": AT, "reading": True}, 422),
        ({"place": AT}, 422),
        ({"place": 5, "reading": "51 cm"}, 422),
        ({"place": AT, "reading": {"text": "51 cm", "id": "other"}}, 422),
        ({"place": AT, "reading": "51 cm", "more": 1}, 422),
    ],
)
def test_a_reading_that_cannot_be_taken_is_refused(ask, garment, body, status):
    found = ask("PUT", f"{garment}/readings/m1", body)
    assert found[0] == status
    assert ask("GET", garment)[1]["revision"] == 1


def test_readings_of_many_at_once_are_all_kept(app, ask, garment):
    seen = []

    def add(name):
        client = app.test_client()
        for number in range(10):
            body = {"place": AT, "reading": "51.6 cm"}
            for _ in range(2):  # each sent twice, as a phone with a weak connection does
                seen.append(client.put(f"{API}{garment}/readings/{name}{number}", json=body).status_code)

    threads = [threading.Thread(target=add, args=(name,)) for name in "abcd"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert set(seen) == {200}
    found = ask("GET", garment)[1]
    assert sorted(one["id"] for one in chest(found)) == sorted(f"{name}{n}" for name in "abcd" for n in range(10))
    assert found["revision"] == 41


def test_readings_go_out_as_a_table_and_come_in_again_once(client, garment, ask):
    ask("PUT", f"{garment}/readings/m1", {"place": AT, "reading": "51.6 cm"})
    out = client.get(f"{API}/readings.csv")
    assert out.mimetype == "text/csv"
    lines = out.text.splitlines()
    assert any(line.startswith("garments,grey,occasions/first/readings,chest,51.6 cm,cm") for line in lines)
    again = client.post(f"{API}/readings.csv", data=out.data, content_type="text/csv")
    assert again.json == {"added": 0, "already_here": len(lines) - 1}
    added = "record kind,key,place,text,id\ngarments,grey,occasions/first/readings/chest,52 cm,m2\n"
    assert client.post(f"{API}/readings.csv", data=added, content_type="text/csv").json["added"] == 1
    bad = client.post(
        f"{API}/readings.csv", data=added.replace("m2", "m3").replace("52 cm", "x"), content_type="text/csv"
    )
    assert (bad.status_code, bad.json["faults"][0]["line"]) == (422, 2)
    assert client.post(f"{API}/readings.csv", data=b"\xff", content_type="text/csv").status_code == 400


def test_the_bundle_comes_back_equal_and_conflicts_are_named(client, ask):
    raw = client.get(f"{API}/bundle").data
    again = client.post(f"{API}/bundle", data=raw, content_type="application/json").json
    assert not again["created"]
    assert not again["changed"]
    found = ask("GET", "/wearers/ines")[1]
    ask("PUT", "/wearers/ines", found["record"] | {"name": "Another"}, found["revision"])
    conflict = client.post(f"{API}/bundle", data=raw, content_type="application/json")
    assert (conflict.status_code, conflict.json["records"]) == (409, [{"kind": "wearers", "key": "ines"}])
    replaced = client.post(f"{API}/bundle?how=replace", data=raw, content_type="application/json").json
    assert replaced["changed"] == [{"kind": "wearers", "key": "ines"}]
    assert client.get(f"{API}/bundle").data == raw


@pytest.mark.parametrize("reading", [51.5, "51.5", {"text": "51,5"}])
def test_a_bare_number_is_refused_whatever_unit_is_set(ask, reading):
    asked = {"place": "occasions/washed_in_spring/readings/chest", "reading": reading}
    status, told, _ = ask("PUT", "/garments/brown_pullover/readings/mine", asked)
    assert status == 422
    assert told["faults"][0]["place"].startswith("occasions[1].readings.chest")
    table = "record kind,key,place,text\r\ngarments,brown_pullover,occasions/washed_in_spring/readings/chest,51.5\r\n"
    answer = ask("POST", "/readings.csv", data=table, content_type="text/csv")
    assert answer[0] == 422, answer
    assert "51.5 cm or 51.5 in" in str(answer[1])
