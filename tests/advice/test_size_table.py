"""A size table against itself: the stitch width of the counts, a cell that is off, the printed gauge."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.advice.sizes.table_check import TableCheck, check_size_table, round_rows
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.faults import RecordsError

# Invented table at exactly 4.5 mm a stitch and 2 stitches for the seams. Per size: chest, shoulder.
MM = [[450.0, 360.0], [495.0, 378.0], [540.0, 396.0], [585.0, 414.0], [630.0, 432.0]]
COUNTS = [[102, 82], [112, 86], [122, 90], [132, 94], [142, 98]]


def _check(counts: object, printed_mm: object, **options: float) -> TableCheck:
    found = check_size_table(counts, printed_mm, **options)  # type: ignore[arg-type]
    assert isinstance(found, TableCheck)
    return found


def _with(cell: tuple[int, int], stitches: int) -> list[list[int]]:
    counts = [list(row) for row in COUNTS]
    counts[cell[0]][cell[1]] += stitches
    return counts


def test_a_sound_table_gives_the_stitch_width_that_its_counts_were_made_for() -> None:
    found = _check(COUNTS, MM)
    assert found.code == "agrees"
    assert found.consistent
    # By hand: the widest cell binds, 630 mm over 140 stitches give or take 1.
    assert (found.gauge_low, found.gauge_high) == pytest.approx((630 / 141, 630 / 139), rel=1e-12)


def test_one_cell_allows_the_width_by_its_rounding_and_the_printers() -> None:
    # 40.5 to 41.5 cm over 90 - 2 stitches give or take 1: 405/89 to 415/87.
    found = _check([90], [410.0], printed_step_mm=10.0)
    assert (found.gauge_low, found.gauge_high) == pytest.approx((405 / 89, 415 / 87), rel=1e-12)


@given(
    g=st.floats(0.15, 0.35),
    x=st.floats(150, 900),
    step=st.sampled_from([0.0, 1.0, 5.0, 10.0]),
    multiple=st.sampled_from([1, 2, 4, 6]),
    n=st.integers(20, 320),
)
def test_the_range_is_exactly_the_widths_within_half_a_multiple_and_half_a_step(
    g: float, x: float, step: float, multiple: int, n: int
) -> None:
    # |n - e - g x| <= M/2 + g rho/2, g stitches per mm.
    gap = multiple / 2 + g * step / 2 - abs(n - 2 - g * x)
    if abs(gap) < 1e-6:
        return  # on the edge itself the last digits decide
    found = _check([n], [x], printed_step_mm=step, multiple=multiple)
    assert found.gauge_low is not None
    high = math.inf if found.gauge_high is None else found.gauge_high
    assert (found.gauge_low <= 1 / g <= high) == (gap > 0)


@pytest.mark.parametrize("cell", [(0, 0), (2, 1), (4, 0)])
@pytest.mark.parametrize("stitches", [-6, 6, 20])
def test_a_cell_6_stitches_off_is_named_with_size_and_point(cell: tuple[int, int], stitches: int) -> None:
    found = _check(_with(cell, stitches), MM)
    assert (found.code, found.consistent) == ("cell_off", False)
    assert found.off_cells == found.candidates == (cell,)
    assert found.named == cell
    rest = [(n, x) for i in range(5) for j in range(2) if (i, j) != cell for n, x in [(COUNTS[i][j], MM[i][j])]]
    without = _check([n for n, _ in rest], [x for _, x in rest])
    assert (found.gauge_low, found.gauge_high) == (without.gauge_low, without.gauge_high)


def test_a_mistyped_width_is_named_like_a_mistyped_count() -> None:
    widths = [row[0] for row in MM]
    widths[3] = 558.0  # digits swapped
    assert _check([row[0] for row in COUNTS], widths).off_cells == (3,)


def test_two_stitches_hide_in_the_rounding() -> None:
    assert _check(_with((0, 0), 2), MM, printed_step_mm=10.0).consistent
    assert not _check(_with((0, 0), 6), MM, printed_step_mm=10.0).consistent


def test_with_two_sizes_either_may_be_off_and_neither_is_named() -> None:
    found = _check([102, 128], [450.0, 495.0])
    assert found.code == "one_of_several_off"
    assert found.candidates == (0, 1)
    assert found.off_cells == ()
    assert found.named is None
    assert found.gauge_low is found.gauge_high is None


def test_two_sizes_that_an_allowance_would_explain_are_no_bodies_as_a_slip_explains_them_too() -> None:
    # 45 mm for 4 stitches would leave some 40 for the edges; one mistyped count says the same with less.
    found = _check([102, 106], [450.0, 495.0])
    assert (found.code, found.looks_like_bodies) == ("one_of_several_off", False)


def test_two_cells_off_in_opposite_ways_are_not_blamed_on_one() -> None:
    counts = _with((0, 0), 10)
    counts[3][1] -= 10
    found = _check(counts, MM)
    assert (found.code, found.candidates, found.off_cells) == ("more_than_one_off", (), ())
    assert not found.looks_like_bodies


def test_cells_that_are_not_printed_are_left_out() -> None:
    counts, widths = [list(row) for row in COUNTS], [list(row) for row in MM]
    full = _check(counts, widths)
    counts[1][1] = widths[2][0] = None  # type: ignore[call-overload]
    found = _check(counts, widths)
    assert (found.code, found.gauge_low, found.gauge_high) == ("agrees", full.gauge_low, full.gauge_high)


@pytest.mark.parametrize("percent", [-3.0, 3.0])
def test_a_printed_gauge_outside_the_range_disagrees_and_says_by_how_much(percent: float) -> None:
    found = _check(COUNTS, MM, printed_gauge_mm=4.5 * (1 + percent / 100))
    assert (found.code, found.disagrees, found.consistent) == ("printed_gauge_off", True, True)
    # The range is 4.5 give or take 0.7 %.
    assert found.printed_gauge_percent == pytest.approx(math.copysign(2.3, percent), abs=0.1)


def test_the_percent_is_that_of_the_nearest_end_of_the_range() -> None:
    # One cell allows 405/89 to 415/87, 4.6 % apart: which end it is told from is seen.
    below, above = (_check([90], [410.0], printed_step_mm=10.0, printed_gauge_mm=mm) for mm in (4.2, 5.0))
    assert below.printed_gauge_percent == pytest.approx(100 * (4.2 / (405 / 89) - 1), rel=1e-12)
    assert above.printed_gauge_percent == pytest.approx(100 * (5.0 / (415 / 87) - 1), rel=1e-12)


def test_a_printed_gauge_inside_the_range_is_not_questioned() -> None:
    found = _check(COUNTS, MM, printed_gauge_mm=4.52)
    assert (found.code, found.disagrees, found.printed_gauge_percent) == ("agrees", False, 0.0)


@pytest.mark.parametrize("printed", [4.5 / 1.016, 4.5 * 1.016])
def test_four_inches_against_ten_centimetres_is_named_without_an_alarm(printed: float) -> None:
    # 4 in = 101.6 mm: 22 stitches to 4 in are 22 to 10.16 cm.
    found = _check(COUNTS, MM, printed_gauge_mm=printed)
    assert (found.code, found.disagrees) == ("four_inches_or_ten_cm", False)
    assert found.printed_gauge_percent != 0.0


ROUND_AND_FLAT = [[102, 112, 122], [82, 86, 90]], [[900.0, 990.0, 1080.0], [360.0, 378.0, 396.0]]


def test_a_chest_of_twice_its_stitches_looks_round_by_the_gauge_or_by_a_width_that_has_no_round() -> None:
    # 100 stitches of 4.5 mm are 450 mm: 900 is round. The shoulder's 80 make its 360.
    counts, widths = ROUND_AND_FLAT
    assert round_rows(counts, widths, [True, False]) == (0,)
    assert round_rows(counts[:1], widths[:1], [True], gauge_mm=4.5) == (0,)
    assert round_rows(counts[:1], widths[:1], [True]) == ()
    assert round_rows(counts, [[mm / 2 for mm in widths[0]], widths[1]], [True, False]) == ()
    assert round_rows(counts, widths, [False, False], gauge_mm=4.5) == ()


def test_without_stitches_a_width_looks_round_where_only_its_half_is_usual() -> None:
    none: list[list[int | None]] = [[None, None]]
    assert round_rows(none, [[960.0, 1040.0]], [True], widest_mm=[800.0]) == (0,)
    assert round_rows(none, [[760.0, 1040.0]], [True], widest_mm=[800.0]) == ()
    assert round_rows(none, [[1700.0, None]], [True], widest_mm=[800.0]) == ()
    assert round_rows(none, [[None, None]], [True], widest_mm=[800.0]) == ()


@given(
    width=st.floats(2.0, 9.0), counts=st.lists(st.integers(60, 250), min_size=1, max_size=8), off=st.floats(0.9, 1.1)
)
def test_round_and_flat_rows_are_told_apart_at_any_gauge(width: float, counts: list[int], off: float) -> None:
    flat_mm: list[float | None] = [(n - 2) * width for n in counts]
    round_mm: list[float | None] = [(n - 2) * width * 2 for n in counts]
    assert round_rows([counts, counts], [round_mm, flat_mm], [True, True], gauge_mm=width * off) == (0,)


def test_the_printed_gauge_is_checked_against_the_rest_when_a_cell_is_off() -> None:
    found = _check(_with((1, 0), 8), MM, printed_gauge_mm=4.8)
    assert (found.code, found.off_cells, found.disagrees) == ("cell_off", ((1, 0),), True)


def test_widths_that_are_bodies_are_asked_about() -> None:
    # The same counts, printed 80 mm narrower at the chest and 30 mm at the shoulder: 17.8 and 6.7 stitches.
    bodies = [[chest - 80, shoulder - 30] for chest, shoulder in MM]
    found = _check(COUNTS, bodies)
    assert (found.code, found.looks_like_bodies, found.candidates) == ("looks_like_bodies", True, ())
    # The least allowance that will do is below the true one by what the rounding leaves open.
    chest, shoulder = found.edge_stitches_needed
    assert 10 < chest < 2 + 80 / 4.5
    assert 2 <= shoulder < 2 + 30 / 4.5


def test_with_the_allowance_that_was_found_every_point_agrees() -> None:
    widths = [row[0] - 80 for row in MM]
    counts = [row[0] for row in COUNTS]
    (needed,) = _check(counts, widths).edge_stitches_needed
    assert _check(counts, widths, edge_stitches=needed * (1 + 1e-9)).consistent
    assert not _check(counts, widths, edge_stitches=needed - 0.1).consistent


def test_an_allowance_of_four_stitches_is_no_body() -> None:
    # Made with 4 stitches in the seams and checked with none: small sizes disagree with large ones.
    counts = [[n + 2 for n in row] for row in COUNTS]
    found = _check(counts, MM, edge_stitches=0, multiple=1)
    assert not found.consistent
    assert not found.looks_like_bodies
    assert _check(counts, MM, edge_stitches=4, multiple=1).consistent


def test_nothing_to_compare_cannot_say() -> None:
    for counts, widths in (([], []), ([90, None], [None, 410.0])):
        found = check_size_table(counts, widths)
        assert isinstance(found, CannotSay)
        assert found.code == "no_cells"


def test_arrays_of_whole_numbers_do_as_well_as_lists() -> None:
    assert check_size_table(np.array(COUNTS).tolist(), np.array(MM).tolist()) == check_size_table(COUNTS, MM)


@pytest.mark.parametrize(
    ("call", "place"),
    [
        (lambda: check_size_table([90, 100], [410.0]), "printed_mm"),
        (lambda: check_size_table([[90, 80], [100]], [[410.0, 360.0], [450.0, 380.0]]), "printed_mm"),
        (lambda: check_size_table([[90], 100], [[410.0], [450.0]]), r"counts\[1\]"),
        (lambda: check_size_table([2], [410.0]), r"counts\[0\]"),
        (lambda: check_size_table([-90], [410.0]), r"counts\[0\]"),
        (lambda: check_size_table([True], [410.0]), r"counts\[0\]"),
        (lambda: check_size_table(["90"], [410.0]), r"counts\[0\]"),
        (lambda: check_size_table([[90]], [[0.0]]), r"printed_mm\[0\]\[0\]"),
        (lambda: check_size_table([90], [math.nan]), r"printed_mm\[0\]"),
        (lambda: check_size_table([90], [410.0], edge_stitches=-1), "edge_stitches"),
        (lambda: check_size_table([90], [410.0], multiple=0), "multiple"),
        (lambda: check_size_table([90], [410.0], printed_step_mm=-5.0), "printed_step_mm"),
        (lambda: check_size_table([90], [410.0], printed_gauge_mm=0.0), "printed_gauge_mm"),
    ],
)
def test_a_cell_that_no_piece_can_have_is_named(call: object, place: str) -> None:
    with pytest.raises(RecordsError, match=f"^{place}: read"):
        call()  # type: ignore[operator]
