"""Geometry of plain fabric and changes in washing against published tables and figures of the trade."""

from __future__ import annotations

import pytest

from fitcheck.notebook.change import finishing_change
from fitcheck.notebook.geometry import (
    DRY_RELAXED,
    FULLY_RELAXED,
    WET_RELAXED,
    Relaxed,
    loops_per_area,
    spacing_change,
)


@pytest.mark.parametrize(("state", "shape"), [(DRY_RELAXED, 1.32), (WET_RELAXED, 1.29), (FULLY_RELAXED, 1.31)])
def test_mundens_constants_agree_among_themselves(state: Relaxed, shape: float) -> None:
    # Munden (1959) J. Textile Inst. 50, T448; Spencer, Knitting Technology, 3rd ed., 22.5: R = kc/kw is
    # printed to two places, and ks = kw kc to the rounding of both (wet: 21.73 against 21.6).
    assert state.k_courses / state.k_wales == pytest.approx(shape, abs=0.005)
    assert state.k_stitches == pytest.approx(state.k_courses * state.k_wales, abs=0.15)


@pytest.mark.parametrize(("after", "across", "along"), [(WET_RELAXED, -7.32, -5.66), (FULLY_RELAXED, -9.52, -9.09)])
def test_relaxing_shrinks_by_what_mundens_table_implies(after: Relaxed, across: float, along: float) -> None:
    # Arithmetic on Munden's table: dry to wet relaxed, dry to fully relaxed [%].
    assert spacing_change(DRY_RELAXED.k_wales, after.k_wales) == pytest.approx(across, abs=0.005)
    assert spacing_change(DRY_RELAXED.k_courses, after.k_courses) == pytest.approx(along, abs=0.005)


def test_an_examination_question_on_loop_density() -> None:
    # GATE 2015 Textile Engineering Q54: kw 4.2, kc 5.5, l = 0.5 cm; the key says 92 loops per square cm.
    assert loops_per_area(4.2 * 5.5, 0.5) == pytest.approx(92, abs=0.5)
    # Munden's fully relaxed state is the same fabric: 11.0 courses and 8.4 wales per cm.
    assert loops_per_area(FULLY_RELAXED.k_stitches, 0.5) == pytest.approx(11.0 * 8.4, rel=1e-12)


def test_a_measured_cotton_fabric_is_taller_than_mundens_wool() -> None:
    # Hossain et al. (2025) PLoS One 20, e0323572, Table 2: cotton, l = 2.77 mm, 32.2 wales and 47.8 courses
    # per inch, R = 1.48. As many loops per area as Munden's dry relaxed wool to 5 %, in another shape.
    shape = 47.8 / 32.2
    assert shape == pytest.approx(1.48, abs=0.005)
    assert shape > DRY_RELAXED.k_courses / DRY_RELAXED.k_wales
    dry_relaxed = loops_per_area(DRY_RELAXED.k_stitches, 2.77 / 25.4)
    assert dry_relaxed == pytest.approx(32.2 * 47.8, rel=0.05)


@pytest.mark.parametrize(("before", "after", "percent"), [(6.29, 5.73, 9.8), (10.32, 9.41, 9.7)])
def test_one_dial_number_widens_and_heightens_alike(before: float, after: float, percent: float) -> None:
    # Common practice, no source: one dial number takes 6.29 to 5.73 stitches and 10.32 to 9.41 rows per inch.
    assert spacing_change(before, after) == pytest.approx(percent, abs=0.05)


@pytest.mark.parametrize(("before", "after", "percent"), [(29, 28, 3.57), (44, 46, -4.35)])
def test_a_wash_that_widens_and_shortens_has_the_signs_of_iso_5077(before: int, after: int, percent: float) -> None:
    # Common practice, no source: 29 x 44 per 10 cm become 28 x 46. Sign: ISO 5077:2007, minus = shrinkage.
    assert spacing_change(before, after) == pytest.approx(percent, abs=0.005)
    by_width = finishing_change(100 / before, 100 / after)
    assert by_width.percent == pytest.approx(percent, abs=0.005)
