"""Which slips in a size table are noticed? Simulated tables (invented) with one known slip each."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

import numpy as np
import pytest

from fitcheck.advice.sizes.table_check import TableCheck, check_size_table

if TYPE_CHECKING:
    from tests.conftest import Draws

TABLES = 400
# Half chest, shoulder width, upper arm of the smallest size and what each size adds [mm], invented.
FIRST_MM = np.array([430.0, 345.0, 280.0])
PER_SIZE_MM = np.array([45.0, 14.0, 21.0])


@dataclass(frozen=True)
class _Table:
    counts: list[list[int]]
    printed_mm: list[list[float]]
    width_mm: float
    step_mm: float
    rng: np.random.Generator


def _table(seed: int, points: int, step_mm: float, ease_mm: float = 0.0) -> _Table:
    """Counts to a multiple of 2 and 2 for the seams, one stitch width for the whole table, widths to the
    step.

    With ease the printed widths are the body's and the counts the garment's: each further point has 0.6 of
    the ease of the one before.
    """
    rng = np.random.default_rng(seed)
    sizes = int(rng.integers(5, 10))
    body = (FIRST_MM + rng.uniform(-20, 20, 3) + np.arange(sizes)[:, None] * PER_SIZE_MM)[:, :points]
    width = float(rng.uniform(3.6, 5.6))
    garment = body + ease_mm * 0.6 ** np.arange(points)
    counts = 2 * np.round(garment / width / 2).astype(int) + 2
    return _Table(counts.tolist(), (step_mm * np.round(body / step_mm)).tolist(), width, step_mm, rng)


def _check(table: _Table, printed_gauge_mm: float | None = None) -> TableCheck:
    found = check_size_table(
        table.counts, table.printed_mm, printed_step_mm=table.step_mm, printed_gauge_mm=printed_gauge_mm
    )
    assert isinstance(found, TableCheck)
    return found


@dataclass(frozen=True)
class _Shares:
    noticed: float
    named: float
    candidate: float
    misnamed: float
    bodies: float


@cache
def _shares(off: int, points: int, step_mm: float, tables: int) -> _Shares:
    """Shares of so many tables with one count ``off`` stitches off that are noticed, named rightly, and so on."""
    seen = np.zeros(5)
    for seed in range(tables):
        table = _table(seed, points, step_mm)
        cell = (int(table.rng.integers(len(table.counts))), int(table.rng.integers(points)))
        table.counts[cell[0]][cell[1]] += off * int(table.rng.choice([-1, 1]))
        found = _check(table)
        seen += (
            not found.consistent,
            found.named == cell,
            cell in found.candidates,
            found.named is not None and found.named != cell,
            found.looks_like_bodies,
        )
    return _Shares(*(seen / tables).tolist())


@pytest.mark.simulation
def test_a_count_6_stitches_off_is_always_found_4_mostly_and_2_hardly(draws: Draws) -> None:
    tables = draws.of(TABLES)
    print(f"\n{tables} simulated tables of 5 to 9 sizes, counts to 2; shares in %")
    print("widths to  points  off  noticed  named  candidate  wrong one named  'bodies'")
    for step_mm in (5.0, 10.0):
        for points in (1, 3):
            for off in (0, 2, 4, 6):
                got = _shares(off, points, step_mm, tables)
                print(
                    f"{step_mm:6.0f} mm  {points:6d} {off:4d} {100 * got.noticed:8.1f} {100 * got.named:6.1f}"
                    f" {100 * got.candidate:10.1f} {100 * got.misnamed:16.1f} {100 * got.bodies:9.1f}"
                )
    for points in (1, 3):
        for step_mm in (5.0, 10.0):
            assert _shares(0, points, step_mm, tables).noticed == 0.0
            for off in (4, 6):
                got = _shares(off, points, step_mm, tables)
                assert got.candidate == got.noticed  # the guilty cell is always among those that could be off
                assert got.misnamed == 0.0
                assert got.bodies == 0.0
            assert _shares(6, points, step_mm, tables).noticed == 1.0
        # Widths to 10 mm hide 4 stitches now and then, and 2 mostly.
        assert 0.70 <= _shares(4, points, 10.0, tables).noticed <= 0.95
        assert _shares(2, points, 10.0, tables).noticed <= 0.30


@pytest.mark.simulation
def test_a_printed_gauge_2_percent_off_is_always_seen_and_a_right_one_never_questioned(draws: Draws) -> None:
    tables = draws.of(TABLES)
    rows = []
    for percent in (-3.0, -2.0, -1.6, 0.0, 1.6, 2.0, 3.0):
        codes = []
        for seed in range(tables):
            table = _table(seed, 3, 5.0)
            factor = {1.6: 1.016, -1.6: 1 / 1.016}.get(percent, 1 + percent / 100)
            codes.append(_check(table, table.width_mm * factor))
        rows.append(
            (
                percent,
                np.mean([found.printed_gauge_percent != 0.0 for found in codes]),
                np.mean([found.disagrees for found in codes]),
                np.mean([found.code == "four_inches_or_ten_cm" for found in codes]),
            )
        )
    print(f"\n{tables} simulated tables, 3 points, widths to 5 mm, printed gauge off; shares in %")
    print("  off %   seen   alarm   named as 4 in against 10 cm")
    for percent, seen, alarm, inches in rows:
        print(f"{percent:7.1f} {100 * seen:6.1f} {100 * alarm:7.1f} {100 * inches:10.1f}")
    for percent, seen, alarm, inches in rows:
        if percent == 0.0:
            assert seen == alarm == inches == 0.0
        else:
            assert alarm + inches == seen
        if abs(percent) >= 2.0:
            assert seen == 1.0
        if abs(percent) == 1.6:
            assert alarm == 0.0
            assert inches == seen >= 0.95


@pytest.mark.simulation
def test_printed_bodies_are_asked_about_and_two_slips_rarely_taken_for_them(draws: Draws) -> None:
    tables = draws.of(TABLES)
    print(f"\n{tables} simulated tables, widths to 5 mm; shares in %")
    print("what                      disagree  asks: bodies?  a cell named")
    shares = {}
    for what, points, ease_mm, slips in (
        ("bodies, ease 6 cm", 1, 60.0, 0),
        ("bodies, ease 6 cm", 3, 60.0, 0),
        ("bodies, ease 10 cm", 1, 100.0, 0),
        ("bodies, ease 10 cm", 3, 100.0, 0),
        ("garments, two slips", 1, 0.0, 2),
        ("garments, two slips", 3, 0.0, 2),
    ):
        seen = np.zeros(3)
        for seed in range(tables):
            table = _table(seed, points, 5.0, ease_mm)
            for _ in range(slips):
                size, point = int(table.rng.integers(len(table.counts))), int(table.rng.integers(points))
                table.counts[size][point] += int(table.rng.choice([-8, -6, 6, 8]))
            found = _check(table)
            seen += (not found.consistent, found.looks_like_bodies, found.named is not None)
        shares[what, points] = seen / tables
        columns = " ".join(f"{100 * share:12.1f}" for share in seen / tables)
        print(f"{what:20s} {points} pt {columns}")
    for points in (1, 3):
        assert shares["bodies, ease 10 cm", points][1] >= 0.95
        assert shares["bodies, ease 10 cm", points][2] <= 0.02
        assert shares["garments, two slips", points][1] <= 0.05
