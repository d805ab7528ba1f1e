"""A planned piece drawn from its edges: it has the area of the loops that the replay knits, and its own widths."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from random import Random

import pytest

from fitcheck.drawing.one_piece import piece_drawing, row_levels, stitch_levels
from fitcheck.drawing.planned import PlannedShape, shape_of
from fitcheck.knitting.counts import Fabric
from fitcheck.knitting.pieces import plan_piece
from fitcheck.knitting.plan import Plan, mirrored
from fitcheck.knitting.replay import replay
from fitcheck.knitting.sheet import sheet
from tests.drawing.drawn import by_class, meetings, parsed
from tests.knitting import random_counts
from tests.knitting.random_counts import Made
from tests.knitting.test_plans import ANY_BED, BACK, FABRIC, FRONT, HALF, RAGLAN, SLEEVE, planned

KINDS = {"back": BACK, "front": FRONT, "left_front": HALF, "right_front": HALF, "sleeve": SLEEVE}


def area(shape: PlannedShape) -> float:
    """Of a closed line, by its corners [mm2]."""
    around = (*shape.line, shape.line[0])
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairwise(around))) / 2


def knitted_area(plan: Plan, w: float, h: float) -> float:
    """Of the loops that the replay knits [mm2]."""
    return replay(sheet(plan), needles=ANY_BED, ends=plan.ends, drops=plan.drops).loops * w * h


@pytest.mark.parametrize("kind", KINDS)
def test_a_drawn_piece_has_the_area_of_the_loops_that_are_knitted(kind):
    plan = planned(kind, KINDS[kind])
    # A staircase of cast-offs and short rows is drawn as a slope: a hundredth of the piece at the most.
    assert area(shape_of(plan, FABRIC)) == pytest.approx(knitted_area(plan, FABRIC.w, FABRIC.h), rel=0.01)


@pytest.mark.parametrize("seed", range(40))
def test_pieces_made_by_chance_are_drawn_with_their_area_too(seed):
    plan, fabric = random_made(seed)
    shape = shape_of(plan, fabric)
    # Steps are drawn as a slope: half a stitch of each side, or a hundredth of a piece with a cap.
    half_a_stitch = fabric.w * shape.plain_mm
    assert area(shape) == pytest.approx(knitted_area(plan, fabric.w, fabric.h), abs=half_a_stitch, rel=0.015)


def random_made(seed: int) -> tuple[Plan, Fabric]:
    make: Made = random_counts.made(Random(seed))
    plan = plan_piece(make.kind, make.counts, make.choices, make.construction)
    assert isinstance(plan, Plan)
    return plan, make.counts.fabric


@pytest.mark.parametrize("kind", ["back", "front", "sleeve"])
def test_a_piece_is_as_wide_as_its_stitches_at_its_cast_on_and_at_its_widest(kind):
    plan = planned(kind, KINDS[kind])
    shape = shape_of(plan, FABRIC)
    widest = max(stitches for _, stitches in stitch_levels(plan))
    for counter, stitches in ((0, plan.span.stitches), (row_levels(plan)[1], widest)):
        left, right = shape.across(counter)
        assert right - left == pytest.approx(stitches * FABRIC.w, abs=2 * FABRIC.w)


def test_a_piece_is_as_long_as_its_rows_and_its_rib():
    shape = shape_of(planned("back", BACK), FABRIC, rib_mm=60)
    assert shape.length_mm == pytest.approx(185 * FABRIC.h + 60)
    assert shape.y(108) == pytest.approx(77 * FABRIC.h)


def test_the_neck_of_a_front_is_as_wide_at_its_top_as_its_count_and_as_deep_as_its_rows():
    shape = shape_of(planned("front", FRONT), FABRIC)
    foot = [(x, y) for x, y in shape.line if y == pytest.approx(33 * FABRIC.h, abs=FABRIC.h)]
    assert any(x == pytest.approx(-6 * FABRIC.w) for x, _ in foot)
    top = sorted(x for x, y in shape.line if y <= FABRIC.h)
    assert top[-1] - top[0] == pytest.approx(36 * FABRIC.w)


def test_the_other_half_of_a_front_is_its_mirror_image():
    left = shape_of(planned("left_front", HALF), FABRIC)
    right = shape_of(mirrored(planned("left_front", HALF)), FABRIC)
    assert sorted((round(-x, 6), round(y, 6)) for x, y in right.line) == sorted(
        (round(x, 6), round(y, 6)) for x, y in left.line
    )


def test_a_piece_that_is_narrowed_up_its_side_is_drawn_narrower_at_the_top():
    shape = shape_of(planned("back", replace(BACK, cast_on=130)), FABRIC)
    (left, right), (upper_left, upper_right) = shape.cast_on, shape.across(107)
    assert right - left == pytest.approx(130 * FABRIC.w)
    assert upper_right - upper_left == pytest.approx(120 * FABRIC.w)


@pytest.mark.parametrize("kind", KINDS)
def test_the_figures_beside_a_piece_are_its_rows_and_stitches_and_none_meet(kind):
    plan = planned(kind, KINDS[kind])
    root = parsed(piece_drawing(plan, FABRIC, label="A piece.", heads=("row", "stitches"), rib_mm=60))
    figures = [int(element.text) for element in by_class(root, "t-val")]
    assert figures == [*row_levels(plan), *(stitches for _, stitches in stitch_levels(plan))]
    assert meetings(root) == []


def test_a_raglan_is_drawn_up_to_its_top():
    plan = planned("back", RAGLAN, construction="raglan")
    shape = shape_of(plan, FABRIC)
    assert area(shape) == pytest.approx(knitted_area(plan, FABRIC.w, FABRIC.h), rel=0.01)
