"""Sheets spoilt in one place: the replay finds every one of them, of every kind."""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import TYPE_CHECKING

import pytest

from fitcheck.knitting.lines import Sheet
from fitcheck.knitting.replay import replay
from fitcheck.knitting.sheet import sheet
from tests.knitting.random_pieces import piece
from tests.knitting.random_sheets import planned_sheet
from tests.knitting.spoiling import COUNTED, IDLE, SIDED, WAYS, Spoilt, spoilt

if TYPE_CHECKING:
    from tests.conftest import Draws

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
    assert missed(copies) == []
    assert {copy.kind for copy in copies} == kinds()


def missed(copies: list[Spoilt]) -> list[str]:
    """Kinds of those that the replay lets through."""
    return [copy.kind for copy in copies if not replay(copy.sheet, needles=BED).faults]


def test_spoilt_sheets_of_plans_are_found_too() -> None:
    assert missed(every_spoilt(SEED + 3, 20, 20, planned_sheet)) == []


@pytest.mark.simulation
def test_ten_times_as_many_are_found_too(draws: Draws) -> None:
    assert missed(every_spoilt(SEED + 1, draws.of(10 * SHEETS), COPIES)) == []
    assert missed(every_spoilt(SEED + 4, draws.of(1_000), 20, planned_sheet)) == []


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
