"""One dated list of what was changed of a make and of what it names, each change undone by itself."""

from __future__ import annotations

import re

import pytest

from fitcheck.records.cross_checks import KINDS
from fitcheck.records.places import Place

LIST = "/makes/grey_pullover/changes"
CHEST = Place("makes", "grey_pullover", ("pieces", "back", "stages", 1, "readings", "chest"))


def changed(store, change, kind="makes", key="grey_pullover"):
    stored = store.get(kind, key)
    document = stored.doc
    change(document)
    return store.put(kind, key, document, stored.revision)


def lines(page):
    """Each line of the list: its words, and what its button sends."""
    listed = page[page.index('class="changes"') :] if 'class="changes"' in page else ""
    for line in re.findall(r"<li><p>(?:<span class=\"what\">|</p>).*?</li>", listed, re.S):
        button = re.search(r"<form.*?</form>", line, re.S)
        words = " ".join(re.sub(r"<form.*?</form>|<[^>]+>", " ", line, flags=re.S).split())
        yield words, dict(re.findall(r'name="([^"]+)" value="([^"]*)"', button[0])) if button else None


def told(client, path=LIST):
    answer = client.get(path)
    assert answer.status_code == 200
    return [*lines(answer.get_data(as_text=True))]


@pytest.fixture
def busy(store):
    """The grey pullover after an evening: a reading put right, one added, a count, a planned count, its stage."""
    store.put_right(CHEST, "r11", "52.9", "cm")
    store.add_reading(CHEST, {"text": "53.4", "unit": "cm"})
    changed(store, lambda make: make["pieces"][0]["counts"]["chest"].update(counted=119))
    changed(store, lambda make: make.setdefault("planned", {}).setdefault("front", {}).update(chest=124))
    changed(store, lambda make: make["pieces"][0]["stages"][1].update(hours=30))
    changed(store, lambda yarn: yarn.update(name="grey wool"), "yarns", store.get("makes", "grey_pullover").doc["yarn"])
    return store


def test_every_kind_of_change_stands_in_the_list_the_latest_first(client, busy):
    words = [line for line, _ in told(client)]
    assert words[1] == "Back, washed, blocked and dry: hours since 20 30"
    assert words[2].startswith("Planned for the front: chest")
    assert words[3].startswith("Back: stitches at the chest, as counted")
    assert words[4:6] == [
        "Back, washed, blocked and dry: chest 53.4 cm",
        "Back, washed, blocked and dry: chest 53,2 cm 52.9 cm",
    ]
    assert words[0].startswith("Name")
    assert words[0].endswith("grey wool")


def test_an_older_entry_is_undone_alone(client, busy):
    send = next(send for line, send in told(client) if "53,2 cm 52.9 cm" in line)
    answer = client.post("/take-back", data=send, follow_redirects=True)
    assert answer.status_code == 200
    (back,) = [piece for piece in busy.get("makes", "grey_pullover").doc["pieces"] if piece["id"] == "back"]
    assert back["stages"][1]["readings"]["chest"][0]["text"] == "53,2 cm"
    assert (back["counts"]["chest"]["counted"], back["stages"][1]["hours"]) == (119, 30.0)


def test_an_entry_that_a_later_one_rests_on_says_so_and_is_refused_with_the_reason(client, busy):
    earlier = next(send for line, send in told(client) if "as counted" in line)
    changed(busy, lambda make: make["pieces"][0]["counts"]["chest"].update(counted=120))
    line, send = [entry for entry in told(client) if "as counted" in entry[0]][1]
    assert send is None
    assert re.search(r"119 changed again \d+ \w+ \d{4}, \d+:\d\d$", line)
    page = client.post("/take-back", data=earlier, follow_redirects=True).get_data(as_text=True)
    assert "Not undone: it was changed again" in page
    (back,) = [piece for piece in busy.get("makes", "grey_pullover").doc["pieces"] if piece["id"] == "back"]
    assert back["counts"]["chest"]["counted"] == 120


def test_an_undo_stands_in_the_list_too_and_is_undone(client, busy):
    send = next(send for line, send in told(client) if "hours since" in line)
    client.post("/take-back", data=send)
    line, again = told(client)[0]
    assert line == "Back, washed, blocked and dry: hours since 30 20"
    client.post("/take-back", data=again)
    assert busy.get("makes", "grey_pullover").doc["pieces"][0]["stages"][1]["hours"] == 30.0


def wholes(client, path=LIST):
    """What was written at once: its line in words, and what its button sends."""
    return [(line, send) for line, send in told(client, path) if send is None or "together" in send]


def test_a_household_that_was_taken_in_is_one_line_with_one_undo(client, store):
    (line, send), *others = told(client)
    records = sum(len(getattr(store.household(), kind)) for kind in KINDS)
    assert line == f"Taken in: {records + 1} records"  # and the settings of the household
    assert others == []
    answer = client.post("/take-back", data=send)
    assert (answer.status_code, answer.location) == (303, "/makes")
    page = client.get("/makes").get_data(as_text=True)
    assert f"Undone: {records + 1} records." in page
    assert all(not getattr(store.household(), kind) for kind in KINDS)


def test_it_is_done_again_as_one(client, store):
    before = store.household()
    ((_, send),) = wholes(client)
    page = client.post("/take-back", data=send, follow_redirects=True).get_data(as_text=True)
    strip = page[page.index('action="/take-back"') :]
    again = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', strip[: strip.index("</form>")]))
    assert ">redo</button>" in strip[: strip.index("</form>")]
    client.post("/take-back", data=again)
    assert store.household() == before
    assert [line.partition(":")[0] for line, _ in told(client)] == ["Undone", "Undone", "Taken in"]


def test_it_is_kept_whole_where_one_of_it_was_changed_since(client, busy):
    ((line, send),) = wholes(client)
    assert re.search(r"^Taken in: \d+ records changed again \d+ \w+ \d{4}, \d+:\d\d$", line)
    assert send is None


def test_what_names_one_of_it_from_outside_keeps_it_with_the_reason(client, store):
    ((_, send),) = wholes(client)
    store.put("makes", "mine", {"name": "mine", "yarn": store.household().makes[0].yarn}, 0)
    page = client.post("/take-back", data=send, follow_redirects=True).get_data(as_text=True)
    assert "Not undone." in page
    assert store.household().makes


def test_a_change_of_several_records_that_nobody_made_is_not_undone(client):
    assert client.post("/take-back", data={"together": "nobody 2026-11-30"}).status_code == 404


def test_counts_that_were_taken_are_told_once(client, store):
    taken = {"piece": "front", "point": "chest", "count": 124, "at": "2026-11-30T18:00:00Z", "report": "0" * 64}

    def take(make):
        make["planned"]["front"]["chest"] = 124
        make["taken"] = [taken]

    changed(store, take)
    (first, _), (then, _), *_ = told(client)
    assert first.startswith("Planned for the front: chest")
    assert then.startswith("Taken in")


@pytest.mark.parametrize("kind", ["garments", "swatches"])
def test_a_record_by_itself_has_its_list(client, store, kind):
    key = store.list(kind, limit=1).records[0].key
    changed(store, lambda record: record.update(notes="seen again"), kind, key)
    assert told(client, f"/changes/{kind}/{key}")[0][0].endswith("seen again")


@pytest.mark.parametrize("path", ["/changes/yarns/none", "/changes/garments/none", "/makes/none/changes"])
def test_what_is_not_there_has_no_list(client, path):
    assert client.get(path).status_code == 404


def test_a_change_that_is_not_in_the_history_is_not_undone(client):
    data = {"kind": "makes", "key": "grey_pullover", "revision": "9", "address": "name", "back": "/"}
    assert client.post("/take-back", data=data).status_code == 404


def test_a_file_that_was_taken_in_is_undone_right_after(client, store):
    before = store.household()
    raw = b'{"fitcheck": 3, "unit": "cm", "yarns": [{"id": "own", "name": "own"}, {"id": "other", "name": "other"}]}'
    page = client.post("/settings/bundle", data={"bundle_text": raw, "how": "merge"}, follow_redirects=True).get_data(
        as_text=True
    )
    strip = page[page.index('action="/take-back"') :]
    send = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', strip[: strip.index("</form>")]))
    assert client.post("/take-back", data=send).status_code == 303
    assert store.household() == before
