"""Taps at the machine: only ever added, twice is once, in backup and export; no revision, no new answer."""

from __future__ import annotations

import hashlib
import json

import pytest

from fitcheck.knitting.sheet import sheet
from fitcheck.records.begun_sheets import Tap
from fitcheck.records.written_sheets import WrittenSheet
from fitcheck.store import Store
from fitcheck.store.faults import NotFound, SheetEnded, SheetNotFound, TapBeyondSheet
from tests.knitting.sample_front import front

MAKE, SHEET = "moss-sweater", "front-1"


def tap(number: int, line: int, *, done: bool = True, device: str = "phone") -> Tap:
    at = f"2026-11-30T23:{number:02d}:00+01:00"
    return Tap.model_validate_json(
        json.dumps({"id": f"tap-{number:08d}", "line": line, "done": done, "counter": line, "at": at, "device": device})
    )


def begun(**more: object) -> dict[str, object]:
    written = json.loads(sheet(front()).to_json())
    return {
        "id": SHEET,
        "piece": "front",
        "number": 1,
        "counts": {"chest": 126},
        "stitch_mm": 4.48,
        "row_mm": 3.15,
        "digest": hashlib.sha256(json.dumps(written).encode()).hexdigest(),
        "at": "2026-11-30T20:10:00+01:00",
        "sheet": written,
        **more,
    }


def begin(store: Store, **more: object) -> int:
    stored = store.get("makes", MAKE)
    return store.put("makes", MAKE, {**stored.doc, "sheets": [begun(**more)]}, stored.revision).revision


def test_a_begun_sheet_is_kept_as_it_was_shown_and_comes_out_and_in(full: Store, tmp_path) -> None:
    begin(full)
    (kept,) = full.get("makes", MAKE).record.sheets
    assert kept.sheet == WrittenSheet.model_validate_json(sheet(front()).to_json())
    with Store.open(tmp_path / "other.db") as other:
        other.import_bundle(full.export_bundle())
        assert other.export_bundle() == full.export_bundle()
        assert other.get("makes", MAKE).record.sheets == [kept]


def test_the_same_tap_twice_is_once_and_all_are_kept_in_the_order_in_which_they_came(full: Store) -> None:
    begin(full)
    assert full.add_tap(MAKE, SHEET, tap(2, 0))
    assert full.add_tap(MAKE, SHEET, tap(1, 1, device="tablet"))
    assert not full.add_tap(MAKE, SHEET, tap(2, 0))
    assert full.add_tap(MAKE, SHEET, tap(3, 1, done=False))
    taps = full.taps_on(MAKE, SHEET)
    assert [(each.id, each.line, each.done) for each in taps] == [
        ("tap-00000002", 0, True),
        ("tap-00000001", 1, True),
        ("tap-00000003", 1, False),
    ]


def test_a_tap_makes_no_revision_no_change_and_no_new_answer(full: Store) -> None:
    revision = begin(full)
    household, changes = full.household(), full.changes("makes", MAKE)
    full.add_tap(MAKE, SHEET, tap(1, 0))
    assert full.get("makes", MAKE).revision == revision
    assert full.household() is household, "nothing that an answer rests on has changed"
    assert full.changes("makes", MAKE) == changes


def test_taps_go_into_backup_and_export_and_come_in_beside_those_that_are_here(full: Store, tmp_path) -> None:
    begin(full)
    full.add_tap(MAKE, SHEET, tap(1, 0))
    full.add_tap(MAKE, SHEET, tap(2, 1))
    out = full.export_bundle()
    assert [entry["sheet"] for entry in json.loads(out)["taps"]] == [SHEET]
    assert json.loads(full.export_make(MAKE))["taps"] == json.loads(out)["taps"]
    with Store.open(full.back_up()) as copy:
        assert copy.taps_on(MAKE, SHEET) == full.taps_on(MAKE, SHEET)
    with Store.open(tmp_path / "other.db") as other:
        other.import_bundle(out)
        other.add_tap(MAKE, SHEET, tap(3, 2))
        other.import_bundle(out, "update")
        assert [each.id for each in other.taps_on(MAKE, SHEET)] == ["tap-00000001", "tap-00000002", "tap-00000003"]


def test_a_late_tap_is_taken_and_one_on_an_ended_sheet_is_refused_with_the_sheet(full: Store) -> None:
    begin(full)
    full.add_tap(MAKE, SHEET, tap(1, 0))
    begin(full, ended=True)
    assert not full.add_tap(MAKE, SHEET, tap(1, 0)), "what was taken before is taken still"
    with pytest.raises(SheetEnded) as caught:
        full.add_tap(MAKE, SHEET, tap(2, 1))
    assert caught.value.sheet.id == SHEET


def test_a_tap_without_sheet_make_or_line_is_refused(full: Store) -> None:
    begin(full)
    with pytest.raises(SheetNotFound):
        full.add_tap(MAKE, "front-2", tap(1, 0))
    with pytest.raises(NotFound):
        full.add_tap("no-make", SHEET, tap(1, 0))
    with pytest.raises(TapBeyondSheet):
        full.add_tap(MAKE, SHEET, tap(1, 4_000))
    assert full.taps_on(MAKE, SHEET) == ()
