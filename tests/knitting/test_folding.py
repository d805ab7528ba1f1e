"""Repeats of a sheet: the unfolded fold is what was folded, nothing is passed over, and there are few lines."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.knitting.folding import fold
from fitcheck.knitting.lines import Repeat, SheetLine, unfolded
from fitcheck.knitting.needles import Span
from fitcheck.knitting.plan import Event
from fitcheck.knitting.sheet import sheet
from tests.knitting.random_pieces import piece
from tests.knitting.sample_front import front


def narrowings(counters: list[int], stitches: int = 100, carriage: str = "left") -> list[SheetLine]:
    """Narrow one at both sides at each counter, the carriage at a side at row 0."""
    other = {"left": "right", "right": "left"}
    lines = []
    for counter in counters:
        stitches -= 2
        side = carriage if counter % 2 == 0 else other[carriage]
        needles = Span(-stitches // 2, stitches // 2 - 1)
        lines.append(SheetLine("body", counter, side, "narrow", "both", 1, 3, needles=needles, after=stitches))  # type: ignore[arg-type]
    return lines


def at(lines: tuple[SheetLine, ...]) -> list[tuple[int | None, tuple[int, ...], int]]:
    """First counter, pattern and times of each line."""
    return [
        (line.counter, line.repeat.every, line.repeat.times) if line.repeat else (line.counter, (), 1) for line in lines
    ]


@given(st.integers(0, 2**32))
def test_unfolding_a_sheet_gives_the_events_of_its_plan(seed: int) -> None:
    plan = piece(Random(seed))
    told = [
        Event(line.part, line.counter or 0, line.act, line.at, line.stitches, line.inset, line.name)  # type: ignore[arg-type]
        for line in sheet(plan).unfolded()
        if line.act not in ("mark", "set_counter", "move_carriage")
    ]
    assert told == list(plan.events)


@given(st.lists(st.integers(1, 9), min_size=1, max_size=40))
def test_a_run_of_any_gaps_comes_back_as_it_was(gaps: list[int]) -> None:
    counters = [sum(gaps[:many]) for many in range(1, len(gaps) + 1)]
    lines = narrowings(counters)
    folded = fold(lines)
    assert list(unfolded(folded)) == lines
    assert len(folded) <= len(lines)
    assert all(line.repeat is None or line.repeat.times >= 3 for line in folded)


def test_a_fold_begins_at_three() -> None:
    assert at(fold(narrowings([10, 20]))) == [(10, (), 1), (20, (), 1)]
    assert at(fold(narrowings([10, 20, 30]))) == [(10, (10,), 3)]


def test_nine_on_every_second_row_are_one_line_that_ends_where_the_last_of_them_does() -> None:
    (line,) = fold(narrowings([113 + 2 * time for time in range(9)], stitches=112))
    assert line.repeat == Repeat((2,), 9, Span(-47, 46), 94)
    assert (line.counter, line.carriage, line.after, line.needles) == (113, "right", 110, Span(-55, 54))
    assert [time.counter for time in line.times] == [113, 115, 117, 119, 121, 123, 125, 127, 129]
    assert {time.carriage for time in line.times} == {"right"}


def test_the_carriage_changes_from_time_to_time_where_the_gap_is_odd() -> None:
    (line,) = fold(narrowings([9, 18, 27]))
    assert [time.carriage for time in line.times] == ["right", "left", "right"]


def test_gaps_that_come_over_and_over_are_a_pattern_where_the_whole_of_it_comes_twice() -> None:
    assert at(fold(narrowings([4, 8, 13, 17, 21, 26, 30]))) == [(4, (4, 5, 4), 7)]
    assert at(fold(narrowings([4, 8, 13]))) == [(4, (), 1), (8, (), 1), (13, (), 1)]


def test_the_shorter_pattern_is_taken_of_two_that_make_as_few_lines() -> None:
    assert at(fold(narrowings([2, 4, 6, 8, 10, 12]))) == [(2, (2,), 6)]


def test_what_lies_between_two_acts_is_never_folded_over() -> None:
    before, after = narrowings([10, 20]), narrowings([30, 40], stitches=96)
    mark = SheetLine("body", 25, "right", "mark", "both", needles=before[1].needles, after=96)
    lines = [*before, mark, *after]
    assert fold(lines) == tuple(lines)


@pytest.mark.parametrize(
    "change",
    [
        {"part": "half"}, {"act": "widen"}, {"at": "left"}, {"stitches": 2}, {"inset": 2}, {"carriage": "left"},
        {"after": 90}, {"needles": Span(-40, 40)},
    ],
    ids=lambda change: next(iter(change)),
)  # fmt: skip
def test_a_line_that_differs_in_anything_is_not_folded_with_the_others(change: dict[str, object]) -> None:
    lines = narrowings([11, 13, 15])
    assert len(fold(lines)) == 1
    lines[1] = replace(lines[1], **change)  # type: ignore[arg-type]
    assert fold(lines) == tuple(lines)


def test_a_repeat_that_cannot_be_what_it_says_is_refused() -> None:
    (line,) = fold(narrowings([10, 20, 30]))
    assert line.repeat is not None
    wrong = replace(line, repeat=replace(line.repeat, after=line.repeat.after - 1))
    with pytest.raises(ValueError, match="no whole number of 2 equal steps"):
        list(unfolded([wrong]))


def test_the_sample_front_has_32_lines_for_61_acts() -> None:
    written = sheet(front())
    assert (len(written.lines), len(written.unfolded())) == (32, 61)
