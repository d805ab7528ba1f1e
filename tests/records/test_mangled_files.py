"""Whatever is done to a household file, it opens or is refused in plain words; nothing else comes out."""

from __future__ import annotations

import json
from copy import deepcopy
from typing import Any

from hypothesis import strategies as st

from fitcheck.records.faults import RecordsError
from fitcheck.records.files import open_household
from fitcheck.records.households import Household
from fitcheck.records.questions import questions
from fitcheck.words import question_sentence
from tests.drawn import drawn
from tests.records.sample import sample

NUMBERS = (10**18, 10**40, -(10**400), 0.0, -0.0, 1e-300, 5e-324, 1e300, 7.1, float("inf"), float("nan"))
TEXTS = (
    "", " ", "7.1", "7++", "level", "5 ft 2", "5' 2\"", "½", "20⅛", "1e5", "−8 mm", "+5 mm", "0", "nan",
    "3 miles", "2025-02-30", "2025-03-01T10:00:00Z", "chest", "cm", "in", "moss-wool", "second-back",
    "\ud800", "\x00", "[key]", "9" * 61, "x" * 30_000, "{accepts}", "0." + "0" * 54 + "1",
)  # fmt: skip
HOLDERS = ([], {}, [[]], [None], {"text": "5 cm"}, {"text": {}}, {"number": 7, "marks": 99}, {"count": 5})
JUNK = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-3, 6000),
    st.sampled_from(NUMBERS),
    st.floats(),
    st.sampled_from(TEXTS),
    st.text(max_size=20),
    st.sampled_from(HOLDERS),
)
DEED = st.tuples(
    st.sampled_from(["delete", "replace", "replace", "double", "rename", "swap"]),
    st.integers(0, 10**6),
    st.integers(0, 10**6),
    JUNK,
    st.one_of(st.sampled_from(["chest", "id", "text", "[key]", "", "a.b"]), st.text(max_size=6)),
)


def every_holder(inside: Any) -> list[tuple[Any, Any]]:
    steps = list(inside) if isinstance(inside, dict) else range(len(inside)) if isinstance(inside, list) else ()
    found: list[tuple[Any, Any]] = []
    for step in steps:
        found.append((inside, step))
        found += every_holder(inside[step])
    return found


def mangle(document: Any, deeds: list[Any]) -> None:
    for deed, first, second, junk, name in deeds:
        holders = every_holder(document)
        if not holders:
            return
        holder, step = holders[first % len(holders)]
        if deed == "delete":
            del holder[step]
        elif deed == "replace":
            holder[step] = deepcopy(junk)
        elif deed == "double":
            copied = json.loads(json.dumps(holder[step]))
            if isinstance(holder, list):
                holder.insert(step, copied)
            else:
                holder[name] = copied
        elif deed == "rename" and isinstance(holder, dict):
            holder[name] = holder.pop(step)
        elif deed == "swap":
            other, there = holders[second % len(holders)]
            mine, theirs = json.dumps(holder[step]), json.dumps(other[there])
            holder[step], other[there] = json.loads(theirs), json.loads(mine)


def outcome(source: Any) -> Household | RecordsError:
    try:
        return open_household(source)
    except RecordsError as error:
        return error


def comes_out_well(source: Any) -> None:
    household = outcome(source)
    if isinstance(household, RecordsError):
        assert household.faults
        for fault in household.faults:
            assert fault.place
            assert fault.read
            assert fault.accepts.code
        str(household).encode("utf-8")
        return
    for question in questions(household):
        assert question.place
        assert question.read
        assert question.odd
        assert question_sentence(question)
        assert question.code
    assert open_household(household.model_dump_json().encode()) == household


@drawn(6, 150, st.lists(DEED, min_size=1, max_size=4))
def test_a_mangled_document_opens_or_is_refused(deeds: list[Any]):
    document = sample()
    mangle(document, deeds)
    comes_out_well(document)
    comes_out_well(json.dumps(document, indent=1).encode())


@drawn(6, 150, st.integers(0, 10**6), st.sampled_from(["end", "middle", "byte", "twice"]), st.binary(max_size=3))
def test_mangled_bytes_open_or_are_refused(at: int, deed: str, put: bytes):
    raw = json.dumps(sample(), indent=1, ensure_ascii=False).encode()
    at %= len(raw)
    if deed == "end":
        raw = raw[:at]
    elif deed == "middle":
        raw = raw[:at] + raw[at + len(put) + 1 :]
    elif deed == "byte":
        raw = raw[:at] + put + raw[at:]
    else:
        lines = raw.split(b"\n")
        number = at % len(lines)
        raw = b"\n".join(lines[: number + 1] + lines[number:])
    comes_out_well(raw)


@drawn(
    15,
    150,
    st.recursive(JUNK, lambda inside: st.lists(inside, max_size=4) | st.dictionaries(st.text(max_size=8), inside)),
)
def test_any_json_opens_or_is_refused(document: Any):
    comes_out_well(json.dumps(document).encode())


@drawn(6, 150, st.binary(max_size=200))
def test_any_bytes_open_or_are_refused(raw: bytes):
    comes_out_well(raw)


@drawn(
    20,
    60,
    JUNK,
    st.sampled_from(["chest", "shoulder_drop", "armhole_edge", "cuff"]),
    st.sampled_from(["cm", "in", "m", "mm"]),
)
def test_any_reading_opens_or_is_refused(reading: Any, point: str, unit: str):
    garment = {"id": "g", "name": "G", "occasions": [{"id": "o", "readings": {point: [reading, 5]}}]}
    stage = {"kind": "blocked", "overhangs": {"chest": reading}, "held_at": {"chest": reading}}
    make = {
        "id": "m",
        "name": "M",
        "wishes": {"chest": reading},
        "pieces": [{"id": "p", "piece": "back", "stages": [stage]}],
    }
    comes_out_well({"fitcheck": 1, "unit": unit, "garments": [garment]})
    comes_out_well({"fitcheck": 1, "unit": unit, "makes": [make]})
