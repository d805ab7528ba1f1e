"""The command takes photographs out and in: beside the household file in one album, or said to be left out."""

from __future__ import annotations

import json
import zipfile

import pytest

from fitcheck.cli import main
from fitcheck.records.photographs import digest_of
from fitcheck.store import Store
from fitcheck.store.album import BUNDLE
from tests.jpegs import WHOLE, jpeg


@pytest.fixture
def data(tmp_path):
    """A database whose one swatch has a photograph beside it, and two makes of which one names that swatch."""
    path = tmp_path / "fitcheck.db"
    with Store.open(path) as store:
        swatch = {"stitches": {"count": 30}, "stages": [{"kind": "blocked", "across": ["12.0 cm"]}]}
        store.put("swatches", "grey", {**swatch, "photographs": [store.keep_photograph(jpeg())]}, 0)
        store.put("makes", "first", {"name": "first", "swatches": ["grey"]}, 0)
        store.put("makes", "second", {"name": "second"}, 0)
    return path


def run(*words, code=0):
    assert main([str(word) for word in words]) == code


def test_an_export_says_what_it_leaves_out(data, tmp_path, capsys):
    run("export", tmp_path / "out.json", "--data", data)
    assert "Left out: 1 photograph. With --photos" in capsys.readouterr().err
    assert json.loads((tmp_path / "out.json").read_bytes())["photographs_left_out"] == 1
    run("export", tmp_path / "second.json", "--make", "second", "--data", data)
    assert capsys.readouterr().err == ""
    assert [make["id"] for make in json.loads((tmp_path / "second.json").read_bytes())["makes"]] == ["second"]


def test_an_album_goes_out_and_in(data, tmp_path, capsys):
    run("export", "--photos", tmp_path / "out.zip", "--data", data)
    assert capsys.readouterr().err == ""
    run("import", tmp_path / "out.zip", "--data", tmp_path / "other.db")
    assert "3 created" in capsys.readouterr().out
    with Store.open(tmp_path / "other.db") as other:
        assert other.photograph(digest_of(WHOLE)) == WHOLE


def test_an_album_of_one_make_has_what_it_rests_on(data, tmp_path):
    run("export", "--photos", tmp_path / "out.zip", "--make", "first", "--data", data)
    with zipfile.ZipFile(tmp_path / "out.zip") as album:
        assert album.namelist() == [BUNDLE, f"photographs/{digest_of(WHOLE)}.jpg"]
        household = json.loads(album.read(BUNDLE))
    assert {kind: [record["id"] for record in household[kind]] for kind in ("swatches", "makes")} == {
        "swatches": ["grey"],
        "makes": ["first"],
    }


def test_a_file_that_is_there_stays_and_a_make_that_is_not_leaves_none(data, tmp_path, capsys):
    (tmp_path / "out.zip").write_bytes(b"mine")
    run("export", "--photos", tmp_path / "out.zip", "--data", data, code=1)
    assert (tmp_path / "out.zip").read_bytes() == b"mine"
    run("export", "--photos", tmp_path / "third.zip", "--make", "third", "--data", data, code=1)
    assert "third" in capsys.readouterr().err
    assert not (tmp_path / "third.zip").exists()
    run("export", tmp_path / "out.json", "--photos", tmp_path / "new.zip", "--data", data, code=2)


def test_a_service_that_starts_removes_what_no_record_has_named_for_long(data, monkeypatch):
    with Store.open(data) as store:
        store.keep_photograph(jpeg(grey=1))
        with store.database.writing() as connection:
            connection.execute("update photographs set at = '2020-01-01T00:00:00.000+00:00'")
    monkeypatch.setattr("webui.server.serve", lambda create, sock, tend, at_home: None)
    run("serve", "--port", "0", "--data", data)
    with Store.open(data) as store:
        assert store.photographs_here() == {digest_of(WHOLE)}


def test_what_is_no_album_changes_nothing(data, tmp_path, capsys):
    (tmp_path / "bad.zip").write_bytes(b"PK\x03\x04 and no more")
    run("import", tmp_path / "bad.zip", "--data", data, code=1)
    assert "another kind of file. A file that the export" in capsys.readouterr().err
