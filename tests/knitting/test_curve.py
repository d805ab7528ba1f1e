"""Armhole and neck curves: of every way to decrease, the one nearest to a quarter ellipse."""

from __future__ import annotations

import doctest
import math
from itertools import pairwise, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitcheck.knitting import curve as module
from fitcheck.knitting import shoulders
from fitcheck.knitting.counts import BodyCounts, Fabric, Shaping
from fitcheck.knitting.curve import Curve, curve
from fitcheck.knitting.refusals import CannotShape, ShapingError
from fitcheck.knitting.shaping import STEPS, armhole_of, necks_of
from fitcheck.knitting.shoulders import groups_of_slope, shoulder_groups


def test_examples_in_the_docstrings_hold():
    assert doctest.testmod(module).failed == doctest.testmod(shoulders).failed == 0


def off_ellipse(places: list[tuple[float, float]], width: float, height: float) -> float:
    """Farthest from a quarter ellipse, up or across; read off 1,200 points of it, so good to a few tenths [mm]."""
    angles = [math.pi / 2 * place / 1200 for place in range(1201)]
    drawn = [(width * math.sin(angle), height * (1 - math.cos(angle))) for angle in angles]
    farthest = 0.0
    for x, y in places:
        up = min(abs(y - b) for a, b in drawn if abs(a - x) <= 0.6) if x < width else abs(y - height)
        across = min(abs(x - a) for a, b in drawn if abs(b - y) <= 0.6) if y < height else abs(x - width)
        farthest = max(farthest, min(up, across))
    return farthest


def walked(at_once: float, every, steps, w: float, h: float) -> list[tuple[float, float]]:
    """Every place after an act."""
    across, up, places = at_once, 0, []
    for stitches, rows in [*((step, 2) for step in steps), *((1, each) for times, each in every for _ in range(times))]:
        across, up = across + stitches, up + rows
        places.append((across * w, up * h))
    return places


@settings(max_examples=15, deadline=None)
@given(st.integers(4, 9), st.integers(1, 3), st.integers(12, 40), st.floats(3.0, 6.0), st.floats(2.0, 4.0))
def test_no_other_decreases_lie_nearer(stitches, at_once, rows, w, h):
    found = curve(stitches, at_once, rows, w, h, steps=((), (2,)))
    assert isinstance(found, Curve)
    least = math.inf
    for steps, n2, n4 in product(((), (2,)), range(9), range(9)):
        n1 = stitches - at_once - sum(steps) - n2 - n4
        if n1 >= 0 and 2 * len(steps) + n1 + 2 * n2 + 4 * n4 <= rows:
            places = walked(at_once, ((n1, 1), (n2, 2), (n4, 4)), steps, w, h)
            least = min(least, off_ellipse(places, stitches * w, rows * h))
    assert found.off_mm == pytest.approx(least, abs=0.6)
    said = off_ellipse(walked(at_once, found.every, found.steps, w, h), stitches * w, rows * h)
    assert found.off_mm == pytest.approx(said, abs=0.6)


@given(st.integers(2, 30), st.integers(1, 12), st.integers(4, 60), st.floats(2.0, 8.0))
def test_a_curve_takes_off_what_is_wanted_within_its_rows(stitches, at_once, rows, w):
    at_once = min(at_once, stitches)
    found = curve(stitches, at_once, rows, w, 0.7 * w, steps=((), (2,), (3, 2)))
    if isinstance(found, CannotShape):
        assert found.code == "steps_do_not_fit"
        # Only stepped cast-offs take more than one stitch in two rows, and three of them take 5 in 4.
        assert stitches - at_once > rows
        return
    assert at_once + sum(found.steps) + sum(times for times, _ in found.every) == stitches
    assert found.rows <= rows
    assert len(found.decreases) == sum(times for times, _ in found.every)
    assert found.rows == 2 * len(found.steps) + (found.decreases[-1] if found.decreases else 0)


@pytest.mark.parametrize(("armholes_mm", "farthest_mm"), [((70, 80, 90), 6.4), ((50, 60), 8.6)])
def test_usual_armholes_and_necks_lie_within_6_4_mm_of_the_ellipse(armholes_mm, farthest_mm):
    """Backs and fronts in five fabrics. An armhole of only 5 or 6 cm, 2.5 of them at once, lies farther off."""
    farthest = []
    for w, off_mm, rows_mm in product((2.8, 3.4, 4.4, 5.2, 6.0), armholes_mm, (180, 210, 240)):
        h = 0.7 * w
        off, rows, half, depth = round(off_mm / w), round(rows_mm / h), round(85 / w), round(80 / h)
        body = BodyCounts(100, 100, 100, 100 - 2 * off, rows, 2 * half, depth, 4, Fabric(w, h))
        for shaping, stitches, bends in (
            (armhole_of(body), off, 0.45 * rows),
            (next(necks_of(body)), half, 0.9 * depth),
        ):
            places = walked(shaping.at_once, shaping.every, shaping.steps, w, h)
            farthest.append(off_ellipse(places, stitches * w, bends * h))
    assert max(farthest) < farthest_mm


def test_a_curve_that_does_not_go_into_its_rows_says_how_many_it_wants():
    found = curve(20, 4, 10, 4.0, 3.0)
    assert isinstance(found, CannotShape)
    assert (found.code, found.values["most"], found.values["rows"]) == ("steps_do_not_fit", 10, 16)
    assert isinstance(curve(20, 4, 16, 4.0, 3.0), Curve)


@pytest.mark.parametrize(
    ("arguments", "place"),
    [
        ((0, 0, 10, 4.0, 3.0), "stitches"),
        ((5, 6, 10, 4.0, 3.0), "at_once"),
        ((5.5, 2, 10, 4.0, 3.0), "at_once"),
        ((5, 2, 0, 4.0, 3.0), "rows"),
        ((5, 2, 10, -4.0, 3.0), "w"),
    ],
)
def test_what_is_no_curve_is_refused_by_name(arguments, place):
    with pytest.raises(ShapingError) as refused:
        curve(*arguments)
    assert refused.value.fault.place == place


def test_stepped_cast_offs_never_rise():
    assert STEPS[0] == ()
    assert all(step >= later for steps in STEPS for step, later in pairwise(steps))
    with pytest.raises(ShapingError):
        curve(9, 2, 20, 4.0, 3.0, steps=((2, 3),))


# --- shaping of a piece ---

FRONT = BodyCounts(118, 126, 108, 94, 69, 36, 33, 5, Fabric(4.48, 3.15))


def test_an_armhole_that_is_known_is_taken_as_it_was():
    known = Shaping(5, ((2, 1), (9, 2)))
    assert armhole_of(BodyCounts(118, 126, 108, 94, 69, 36, 33, 5, Fabric(4.48, 3.15), armhole=known)) is known
    with pytest.raises(ShapingError, match="armhole"):
        armhole_of(BodyCounts(118, 124, 108, 94, 69, 36, 33, 5, Fabric(4.48, 3.15), armhole=known))


def test_an_unknown_armhole_casts_off_2_5_cm_at_once():
    assert armhole_of(FRONT).at_once == round(25 / 4.48)
    assert armhole_of(FRONT).stitches == 16


def test_a_neck_has_about_two_fifths_in_its_middle():
    best = next(necks_of(FRONT))
    assert 2 * best.stitches == 36
    assert abs(2 * best.at_once - 0.4 * 36) <= 1


def test_the_last_neck_of_a_shallow_one_is_all_in_the_middle():
    *_, last = necks_of(BodyCounts(118, 120, 108, 94, 69, 35, 3, 5, Fabric(4.48, 3.15)))
    assert last == Shaping(17.5)


@given(st.integers(1, 60), st.integers(1, 12))
def test_groups_are_as_equal_as_can_be_and_the_larger_ones_outermost(stitches, k):
    if k > stitches:
        with pytest.raises(ShapingError):
            shoulder_groups(stitches, k)
        return
    groups = shoulder_groups(stitches, k)
    assert (len(groups), sum(groups)) == (k, stitches)
    assert groups[0] - groups[-1] <= 1
    assert list(groups) == sorted(groups, reverse=True)


@pytest.mark.parametrize(("slope", "groups"), [(0, 1), (3.0, 1), (9.5, 2), (25, 4), (44, 7)])
def test_a_group_is_two_rows_of_the_slope(slope, groups):
    assert groups_of_slope(slope, 3.15) == groups
