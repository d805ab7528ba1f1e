"""A make is passed on: its answer as text, one file with all that it rests on and in again, a copy for another."""

from __future__ import annotations

import io
import json
import zipfile
from dataclasses import replace

import pytest

from fitcheck.records.photographs import digest_of
from fitcheck.reports.shaped import worked_out
from fitcheck.store import Store
from fitcheck.store.album import BUNDLE
from fitcheck.terminal.in_short import printed_in_short
from fitcheck.words import sharing as say
from tests.jpegs import WHOLE, jpeg

MAKE = "grey_pullover"


def page(client, address=f"/makes/{MAKE}"):
    return client.get(address).get_data(as_text=True)


def photograph_beside(store, key="grey_at_7"):
    stored = store.get("swatches", key)
    store.put("swatches", key, {**stored.doc, "photographs": [store.keep_photograph(jpeg())]}, stored.revision)


def test_the_answer_as_text_is_what_the_command_says_of_it(client, store, ask):
    answer = client.get(f"/makes/{MAKE}/answer.txt")
    assert answer.mimetype == "text/plain"
    text = answer.get_data(as_text=True)
    _, verdict, _ = ask("GET", f"/makes/{MAKE}/verdict")
    first, *_ = text.split("\n")
    assert "\nGrey pullover for Ines. Back, blocked and dry." in text
    assert first.removeprefix("1. ").split(":")[0] in json.dumps(verdict, ensure_ascii=False)
    report = worked_out(store.make_household(MAKE), MAKE, None)[1]
    short = printed_in_short(replace(report, head=replace(report.head, invented=True)), width=10_000)
    assert short.startswith(text)
    assert "Counts for the rest" in text
    assert "--all" not in text
    assert f'href="/makes/{MAKE}/answer.txt"' in page(client)
    assert " in" in client.get(f"/makes/{MAKE}/answer.txt", headers={"Cookie": "unit=in"}).get_data(as_text=True)
    assert client.get("/makes/nobody/answer.txt").status_code == 404


def test_one_file_has_the_make_and_what_it_rests_on_and_gives_the_same_answer(client, store, tmp_path):
    answer = client.get(f"/makes/{MAKE}/make.json")
    assert answer.headers["Content-Disposition"] == f'attachment; filename="{MAKE}.json"'
    household = json.loads(answer.data)
    assert [make["id"] for make in household["makes"]] == [MAKE]
    assert {swatch["id"] for swatch in household["swatches"]} == {"grey_at_6", "grey_at_7", "grey_at_8"}
    assert "name" not in household
    with Store.open(tmp_path / "other.db") as other:
        other.import_bundle(answer.data)
        mine, theirs = store.make_household(MAKE), other.make_household(MAKE)
        for kind in ("makes", "swatches", "garments", "yarns", "machines", "size_tables", "wearers"):
            assert getattr(theirs, kind) == getattr(mine, kind)
    assert client.get("/makes/nobody/make.json").status_code == 404


def take_in(client, raw, how="merge"):
    data = {"bundle": (io.BytesIO(raw), "make"), "how": how}
    return client.post("/settings/bundle", data=data, content_type="multipart/form-data")


def test_a_make_comes_in_beside_records_that_are_here_and_doubles_none(client, store):
    raw = client.get(f"/makes/{MAKE}/make.json").data
    before = store.export_bundle()
    assert take_in(client, raw).location == "/settings"
    assert store.export_bundle() == before
    stored = store.get("makes", MAKE)
    store.delete("makes", MAKE, stored.revision)
    assert take_in(client, raw).location == f"/makes/{MAKE}"
    assert store.get("makes", MAKE).doc == stored.doc
    assert store.count("swatches") == len(json.loads(before)["swatches"])


def test_a_make_that_differs_is_asked_about_and_taken_where_it_is_said(client, store):
    household = json.loads(client.get(f"/makes/{MAKE}/make.json").data)
    household["makes"][0]["notes"] = "changed on the other device"
    raw = json.dumps(household).encode()
    assert take_in(client, raw).status_code == 409
    assert store.get("makes", MAKE).record.notes != "changed on the other device"
    assert take_in(client, raw, "update").location == f"/makes/{MAKE}"
    assert store.get("makes", MAKE).record.notes == "changed on the other device"


@pytest.mark.parametrize("address", [f"/makes/{MAKE}/make.zip", "/settings/household.zip"])
def test_photographs_come_along_in_one_file_and_in_again(client, store, tmp_path, address):
    assert "/make.zip" not in page(client)
    assert "/settings/household.zip" not in page(client, "/settings")
    photograph_beside(store)
    assert f'href="/makes/{MAKE}/make.zip"' in page(client)
    html = page(client, "/settings")
    assert 'href="/settings/household.zip"' in html
    assert "1 photograph, 0.1 MB." in html
    answer = client.get(address)
    assert int(answer.headers["Content-Length"]) == len(answer.data)
    answer.close()
    with zipfile.ZipFile(io.BytesIO(answer.data)) as album:
        assert album.namelist() == [BUNDLE, f"photographs/{digest_of(WHOLE)}.jpg"]
    stored = store.get("swatches", "grey_at_7")
    store.put("swatches", "grey_at_7", {**stored.doc, "photographs": []}, stored.revision)
    with store.database.writing() as connection:
        connection.execute("delete from photographs")
    assert take_in(client, answer.data, "update").status_code == 303
    assert store.photograph(digest_of(WHOLE)) == WHOLE
    assert store.get("swatches", "grey_at_7").record.photographs == [digest_of(WHOLE)]


def test_a_copy_for_another_person_asks_what_it_must_fit_and_sent_twice_is_one(client, store):
    before, form = store.get("makes", MAKE).record, {"form": "a-form-of-sixteen"}
    answer = client.post(f"/makes/{MAKE}/copy", data=form)
    key = answer.location.split("/")[2]
    assert answer.location == f"/makes/{key}/fits"
    assert say.COPIED in page(client, answer.location)
    copy = store.get("makes", key).record
    assert (copy.name, copy.yarn, copy.swatches) == (f"{before.name}, for another", before.yarn, before.swatches)
    assert not copy.fits.is_said
    assert copy.planned["back"]["chest"] == before.standing[0].counts["chest"].best
    assert client.post(f"/makes/{MAKE}/copy", data=form).location == answer.location
    assert client.get(f"/makes/{key}").status_code == 200
    assert client.post("/makes/nobody/copy", data=form).status_code == 404


def test_where_nothing_is_drawn_no_picture_is_offered(client, store):
    store.put("makes", "bare", {"name": "bare"}, 0)
    assert "drawing.svg" not in page(client, "/makes/bare")
    assert f"/makes/{MAKE}/drawing.svg" in page(client)
