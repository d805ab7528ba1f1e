"""Sheets spoilt in one place: the replay finds every one of them, of every kind."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from random import Random

import pytest

from fitcheck.knitting.lines import Sheet
from fitcheck.knitting.replay import replay
from fitcheck.knitting.sheet import sheet
from tests.knitting.random_pieces import piece
from tests.knitting.random_sheets import planned_sheet
from tests.knitting.spoiling import COUNTED, IDLE, SIDED, WAYS, Spoilt, spoilt

SEED = 20_414_803
"""Not used while the replay was built."""
BED = 600
"""Longer than any: what is spoilt here is no width."""
SHEETS, COPIES = 74, 36
"""2,664 spoilt sheets."""
ACTS = {"cast_on", "set_counter", *COUNTED, *SIDED, *IDLE}


def sheet_by_chance(random: Random) -> Sheet:
    return sheet(piece(random))


def every_spoilt(
    seed: int, sheets: int, copies: int, made: Callable[[Random], Sheet] = sheet_by_chance
) -> list[Spoilt]:
    random = Random(seed)
    found = []
    for _ in range(sheets):
        whole = made(random)
        assert replay(whole, needles=BED).faults == ()
        found += spoilt(whole, random, copies)
    return found


def kinds() -> set[str]:
    """Each way of spoiling at each act that it can be done to."""
    acts = {"side": set(SIDED) - {"weigh"}, "count": set(COUNTED), "drop": ACTS - set(IDLE)}
    return {f"{way} of {act}" for way in WAYS for act in acts.get(way, ACTS)}


def test_every_spoilt_sheet_is_found_of_every_kind() -> None:
    copies = every_spoilt(SEED, SHEETS, COPIES)
    assert len(copies) == 2_664
    missed = Counter(copy.kind for copy in copies if not replay(copy.sheet, needles=BED).faults)
    assert missed == {}
    assert {copy.kind for copy in copies} == kinds()


@pytest.mark.full
def test_ten_times_as_many_are_found_too() -> None:
    missed = [
        copy.kind for copy in every_spoilt(SEED + 1, 10 * SHEETS, COPIES) if not replay(copy.sheet, needles=BED).faults
    ]
    assert missed == []


@pytest.mark.parametrize("sheets", [20, pytest.param(1_000, marks=pytest.mark.full)])
def test_spoilt_sheets_of_plans_are_found_too(sheets: int) -> None:
    copies = every_spoilt(SEED + 3 + sheets, sheets, 20, planned_sheet)
    assert [copy.kind for copy in copies if not replay(copy.sheet, needles=BED).faults] == []


def test_a_sheet_is_spoilt_in_one_place_only() -> None:
    random = Random(SEED + 2)
    whole = sheet(piece(random))
    lines = whole.unfolded()
    for copy in spoilt(whole, random, 100):
        there = copy.sheet.unfolded()
        if copy.way == "drop":
            assert len(there) == len(lines) - 1
        else:
            assert sum(line != other for line, other in zip(lines, there, strict=True)) == (
                2 if copy.way == "swap" else 1
            )
