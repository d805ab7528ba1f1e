"""Photographs: kept by their SHA-256, named by records, in backup and album, and gone once nobody names them."""

from __future__ import annotations

import io
import json
import zipfile
from contextlib import contextmanager
from datetime import datetime, timedelta

import pytest

from fitcheck.records.faults import RecordsError
from fitcheck.records.photographs import MOST, cleaned, digest_of
from fitcheck.reports.shaped import report
from fitcheck.store import Store
from fitcheck.store.album import BUNDLE, MAGIC
from fitcheck.store.backups import restore
from fitcheck.store.database import Database
from fitcheck.store.faults import ImportConflicts, NotFound
from fitcheck.store.photographs import UNNAMED_DAYS, Kept, photographs_kept
from tests.jpegs import WHOLE, jpeg


def beside(store, kind, key, digests):
    stored = store.get(kind, key)
    return store.put(kind, key, {**stored.doc, "photographs": list(digests)}, stored.revision)


def first(store, kind):
    return store.list(kind).records[0].key


@pytest.fixture
def pictured(full):
    """A store with a photograph beside a swatch and another beside a garment."""
    beside(full, "swatches", first(full, "swatches"), [full.keep_photograph(jpeg())])
    beside(full, "garments", first(full, "garments"), [full.keep_photograph(jpeg(grey=1))])
    return full


def album_of(store, make=None):
    file = io.BytesIO()
    store.export_album(file, make)
    return file


def test_a_photograph_is_kept_once_and_clean(store):
    assert store.keep_photograph(jpeg()) == store.keep_photograph(WHOLE) == digest_of(WHOLE)
    assert store.photograph(digest_of(WHOLE)) == WHOLE
    assert store.photographs_kept() == Kept(1, len(WHOLE))


def test_what_is_no_photograph_is_not_kept(store):
    with pytest.raises(RecordsError):
        store.keep_photograph(b"GIF89a")
    assert store.photographs_kept() == Kept(0, 0)


def test_a_photograph_that_is_not_here_is_said_so(store):
    with pytest.raises(NotFound, match="not here"):
        store.photograph("0" * 64)


def test_a_record_names_eight_at_most(full):
    key = first(full, "swatches")
    beside(full, "swatches", key, [f"{number:064x}" for number in range(MOST)])
    with pytest.raises(RecordsError):
        beside(full, "swatches", key, [f"{number:064x}" for number in range(MOST + 1)])
    with pytest.raises(RecordsError):
        beside(full, "swatches", key, ["../household"])


def test_a_photograph_feeds_no_answer(full):
    make = next(make.id for make in full.household().makes if make.swatches and make.fits.garment and make.pieces)
    before = report(full.make_household(make), make=make).digest
    digest = full.keep_photograph(jpeg())
    stored = full.get("makes", make)
    document = stored.doc
    beside(full, "swatches", document["swatches"][0], [digest])
    beside(full, "garments", document["fits"]["garment"], [digest])
    document["pieces"][0]["stages"][0]["photographs"] = [digest]
    full.put("makes", make, document, stored.revision)
    assert report(full.make_household(make), make=make).digest == before
    raw = full.export_bundle()
    assert json.loads(raw)["photographs_left_out"] == 1
    with_one_more = {**json.loads(raw), "photographs_left_out": 7}
    assert report(with_one_more, make=make).digest == report(json.loads(raw), make=make).digest


def grow_older(store, days):
    """Let photographs have come some days earlier."""
    with store.database.writing() as connection:
        for digest, at in connection.execute("select digest, at from photographs").fetchall():
            before = (datetime.fromisoformat(at) - timedelta(days=days, seconds=1)).isoformat(timespec="milliseconds")
            connection.execute("update photographs set at = ? where digest = ?", (before, digest))


def test_what_no_revision_names_is_removed_after_thirty_days(full):
    key = first(full, "swatches")
    named, unnamed = full.keep_photograph(jpeg()), full.keep_photograph(jpeg(grey=1))
    beside(full, "swatches", key, [named])
    beside(full, "swatches", key, [])  # an earlier revision names it still
    assert full.sweep_photographs() == 0
    grow_older(full, UNNAMED_DAYS - 1)
    assert full.keep_photograph(jpeg(grey=1)) == unnamed  # sent again it is young again
    grow_older(full, 2)
    assert full.sweep_photographs() == 0
    grow_older(full, UNNAMED_DAYS)
    late = full.keep_photograph(jpeg(grey=2))  # whoever adds one sweeps
    assert full.photographs_here() == {named, late}
    with pytest.raises(NotFound):
        full.photograph(unnamed)


def test_a_backup_has_the_photographs(pictured, tmp_path):
    backup = pictured.back_up(tmp_path / "backup.db")
    restore(tmp_path / "other" / "fitcheck.db", backup)
    with Store.open(tmp_path / "other" / "fitcheck.db") as other:
        assert other.photographs_here() == pictured.photographs_here()
        assert other.photograph(digest_of(WHOLE)) == WHOLE


def test_a_household_file_says_that_it_leaves_them_out_and_an_album_brings_them(pictured, tmp_path):
    raw = pictured.export_bundle()
    assert json.loads(raw)["photographs_left_out"] == 2
    with Store.open(tmp_path / "bare.db") as bare:
        bare.import_bundle(raw)
        assert (bare.export_bundle(), bare.photographs_kept().count) == (raw, 0)
    with Store.open(tmp_path / "whole.db") as whole:
        whole.import_album(album_of(pictured))
        assert whole.export_bundle() == raw
        assert whole.photographs_here() == pictured.photographs_here()
        assert album_of(whole).getvalue() == album_of(pictured).getvalue()
        # Once more it doubles nothing.
        assert whole.import_album(album_of(pictured)).created == ()
        assert whole.photographs_kept().count == 2
    assert album_of(pictured).getvalue().startswith(MAGIC)
    assert "photographs_left_out" not in json.loads(zipfile.ZipFile(album_of(pictured)).read(BUNDLE))


def mangled(album, name, raw):
    file = io.BytesIO()
    with zipfile.ZipFile(album) as before, zipfile.ZipFile(file, "w") as after:
        for entry in before.namelist():
            if entry != name or raw is not None:
                after.writestr(entry, raw if entry == name else before.read(entry))
    return file


def test_an_album_with_another_photograph_than_its_name_says_changes_nothing_and_keeps_nobody_waiting(
    pictured, tmp_path, monkeypatch
):
    name = f"photographs/{digest_of(WHOLE)}.jpg"
    with Store.open(tmp_path / "other.db") as other:
        for raw in (cleaned(jpeg(grey=9)), jpeg(), WHOLE[:-2], b"", b"\x00" * 2_000_000):
            with monkeypatch.context() as locked:
                locked.setattr(Database, "writing", lambda *_: pytest.fail("the lock was taken"))
                with pytest.raises(RecordsError):
                    other.import_album(mangled(album_of(pictured), name, raw))
            assert (other.count("swatches"), other.photographs_kept().count) == (0, 0)
        other.import_album(mangled(album_of(pictured), name, None))
        assert other.photographs_kept().count == 1


def test_an_album_brings_no_place_in_under_its_right_name(full, tmp_path):
    name = digest_of(jpeg())
    beside(full, "swatches", first(full, "swatches"), [name])
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as album:
        album.writestr(BUNDLE, full.export_bundle())
        album.writestr(f"photographs/{name}.jpg", jpeg())
    with Store.open(tmp_path / "other.db") as other, pytest.raises(RecordsError) as caught:
        other.import_album(file)
    assert [fault.accepts.code for fault in caught.value.faults] == ["photograph_as_named"]


def test_the_photographs_of_an_album_are_written_one_at_a_time_so_that_nobody_waits_for_all(
    pictured, tmp_path, monkeypatch
):
    written, real = [], Database.writing

    @contextmanager
    def writing(database, **how):
        with real(database, **how) as connection:
            before = photographs_kept(connection).count
            yield connection
            written.append(photographs_kept(connection).count - before)

    monkeypatch.setattr(Database, "writing", writing)
    with Store.open(tmp_path / "other.db") as other:
        other.import_album(album_of(pictured))
    assert written[-3:] == [1, 1, 0]


@pytest.mark.parametrize("raw", [b"", b"PK\x03\x04", b"PK\x05\x06" + b"\x00" * 18])
def test_what_is_no_album_is_refused(store, raw):
    with pytest.raises(RecordsError) as caught:
        store.import_album(io.BytesIO(raw))
    assert [fault.accepts.code for fault in caught.value.faults] == ["album"]


def test_an_album_cut_or_changed_anywhere_is_refused_or_taken_whole(pictured, tmp_path):
    raw = album_of(pictured).getvalue()
    with Store.open(tmp_path / "other.db") as other:
        for at in range(0, len(raw), 97):
            for broken in (raw[:at], raw[:at] + bytes((raw[at] ^ 0xFF,)) + raw[at + 1 :]):
                try:
                    other.import_album(io.BytesIO(broken))
                except (RecordsError, ImportConflicts):
                    assert (other.count("swatches"), other.photographs_kept().count) == (0, 0)
                else:
                    other.import_bundle(b'{"fitcheck":4,"unit":"cm"}', "replace")
                    with other.database.writing() as connection:
                        connection.execute("delete from photographs")
