"""A sheet as JSON: what was written is read as it was, and what is no sheet is refused with everything at once."""

from __future__ import annotations

import json
from collections.abc import Callable
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.knitting.sheet import Notch, sheet
from fitcheck.knitting.written import read_sheet
from fitcheck.records.faults import RecordsError
from fitcheck.records.sheet_files import open_sheet
from fitcheck.words.faults import accepted
from tests.knitting.random_pieces import piece
from tests.knitting.random_sheets import planned_sheet
from tests.knitting.sample_front import front


def written() -> dict[str, Any]:
    document: dict[str, Any] = json.loads(sheet(front()).to_json())
    return document


@given(st.integers(0, 2**32))
def test_a_sheet_that_was_written_is_read_as_it_was(seed: int) -> None:
    made = sheet(piece(Random(seed)))
    assert read_sheet(made.to_json().encode()) == made


@given(st.integers(0, 2**32))
def test_a_sheet_of_a_plan_is_read_as_it_was_written(seed: int) -> None:
    made = planned_sheet(Random(seed))
    assert read_sheet(made.to_json().encode()) == made
    assert len(open_sheet(made.to_json().encode()).lines) == len(made.unfolded())


def test_the_rib_the_notches_and_the_head_are_read_too() -> None:
    for rows in (20, None):
        made = sheet(front(), rib_rows=rows, notches=[Notch("body", 140, "sleeve", 145)])
        assert read_sheet(made.to_json().encode()) == made
    document = written()
    document["head"] |= {"make": "Grey pullover", "revision": 4, "dial": "7.1", "yarn": "wool", "lot": "A", "bed": 200}
    head = read_sheet(document).head
    assert (head.make, head.revision, head.dial, head.yarn, head.lot, head.bed) == (
        "Grey pullover",
        4,
        "7.1",
        "wool",
        "A",
        200,
    )


def test_a_wrong_line_is_never_put_right_by_folding_it() -> None:
    for changed in ({"carriage": "left"}, {"after": 96}, {"needles": "L47-R50"}, {"counter": 126}):
        document = written()
        document["lines"][18] |= changed
        line = read_sheet(document).unfolded()[18]
        assert (line.act, line.part) == ("narrow", "body")
        told = json.loads(read_sheet(document).to_json())["lines"][18]
        assert told == document["lines"][18]


def refused(change: Callable[[dict[str, Any]], None]) -> list[tuple[str, str, str]]:
    document = written()
    change(document)
    with pytest.raises(RecordsError) as caught:
        read_sheet(document)
    return [(fault.place, fault.read, accepted(fault.accepts)) for fault in caught.value.faults]


def put(value: Any, *path: str | int) -> Callable[[dict[str, Any]], None]:
    def change(document: Any) -> None:
        for step in path[:-1]:
            document = document[step]
        document[path[-1]] = value

    return change


@pytest.mark.parametrize(
    ("change", "place", "read", "accepts"),
    [
        (put(2, "sheet"), "sheet", "2", "Format 1 is what this program reads."),
        (put(True, "sheet"), "sheet", "true", "Format 1 is what this program reads."),
        (put(-1, "lines", 3, "counter"), "lines[3].counter", "-1", "A whole number from 0 to 20000."),
        (put("25", "lines", 3, "counter"), "lines[3].counter", '"25"', "number from 0 to 20000, without quotes."),
        (put("L60", "lines", 3, "needles"), "lines[3].needles", '"L60"',
         "Needles from the first to the last in quotes: L59-R59 or L47-L19."),
        (put("R0-R9", "head", "widest"), "head.widest", '"R0-R9"',
         "Needles from the first to the last in quotes: L59-R59 or L47-L19."),
        (put("narow", "lines", 3, "act"), "lines[3].act", '"narow"', "or move_carriage; did you mean narrow"),
        (put("middle", "lines", 3, "at"), "lines[3].at", '"middle"', "One of left, right, both, all or"),
        (put(3, "lines", 3, "colour"), "lines[3].colour", '"colour"', "A name that is known here"),
        (put([], "lines"), "lines", "[]", "A list in [ ] with at least 1 entry; add it."),
        (put("x", "ends", "neck"), "ends.neck", '"x"', "A whole number from 0 to 500, without quotes."),
        (put("wide", "head"), "head", '"wide"', "Entries in { }: piece, needles, widest,"),
        (put("vest", "head", "piece"), "head.piece", '"vest"', "One of back, front,"),
        (put("hole", "lines", 2, "notes", 0, "code"), "lines[2].notes[0].code", '"hole"', "One of claws_up,"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)  # fmt: skip
def test_what_is_refused_says_where_what_was_read_and_what_is_taken(
    change: Callable[[dict[str, Any]], None], place: str, read: str, accepts: str
) -> None:
    ((where, what, taken),) = refused(change)
    assert (where, what) == (place, read)
    assert accepts in taken


def test_every_fault_is_told_at_once_and_with_its_line() -> None:
    document = written()
    document["lines"][3]["counter"] = -1
    del document["lines"][5]["after"]
    document["head"]["bed"] = 3
    text = json.dumps(document, indent=1)
    with pytest.raises(RecordsError) as caught:
        read_sheet(text.encode())
    faults = caught.value.faults
    assert [fault.place for fault in faults] == ["head.bed", "lines[3].counter", "lines[5].after"]
    lines = text.split("\n")
    assert '"bed": 3' in lines[(faults[0].line or 0) - 1]
    assert '"counter": -1' in lines[(faults[1].line or 0) - 1]
    assert accepted(faults[2].accepts) == 'Add "after": a whole number from 0 to 500.'


@pytest.mark.parametrize(
    ("text", "accepts"),
    [
        (b"", 'A knitting sheet as "fitcheck sheet FILE PIECE --json" writes it.'),
        (b"{", "The rest of it"),
        (b'{"sheet": 1, "sheet": 1, "head": {}, "lines": []}', "Each name once"),
        (b"\xff\xfe{", "UTF-8 text"),
    ],
)
def test_a_file_that_is_no_json_is_refused_as_such(text: bytes, accepts: str) -> None:
    with pytest.raises(RecordsError) as caught:
        read_sheet(text)
    assert any(accepts in accepted(fault.accepts) for fault in caught.value.faults)
