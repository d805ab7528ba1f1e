"""Labels never overlap: measured on boxes, with the widest font that stands in."""

from __future__ import annotations

import itertools
import random

import pytest

from fitcheck.drawing.details import details
from fitcheck.drawing.garments import garment_drawing, two_over_one_another
from fitcheck.drawing.labels import Box, push_apart
from fitcheck.drawing.laid import PLACES, lay
from fitcheck.drawing.overlay import body_of, overlay
from fitcheck.drawing.placed import Room, _on_tape, covered, label_box, strokes_of
from fitcheck.drawing.rulers import ruler, span_of
from fitcheck.drawing.sheet import sheet
from fitcheck.drawing.svg import text_width
from fitcheck.estimates.numbers import CannotSay
from tests.drawing.drawn import (
    body_that_hangs_together,
    by_class,
    demo,
    exact,
    invented,
    meetings,
    parsed,
    point,
    random_back,
    random_garment,
    random_sleeve,
    sleeve_that_hangs_together,
    text_boxes,
)
from tests.invented import household, in_turn

MAKES = [make.id for make in household().makes]


@pytest.fixture(params=[pytest.param(10, id="a tenth"), pytest.param(1, id="all", marks=pytest.mark.full)])
def every(request):
    """Which of 200 garments made by chance are drawn: every tenth in README's line."""
    return request.param


@pytest.mark.parametrize("unit", ["cm", "in"])
def test_no_two_labels_meet_on_200_random_garments(unit, every):
    drawn = 0
    for seed in range(0, 200, every):
        made = random_back(seed)
        svg = overlay(made, unit)
        if not svg:
            assert isinstance(lay(made), CannotSay)
            continue
        drawn += 1
        root = parsed(svg)
        assert meetings(root) == [], f"garment {seed}"
        keys = by_class(root, "t-keyn")
        assert sorted(int(key.text) for key in keys) == list(range(1, len(made.points) + 1)), f"garment {seed}"
    assert drawn > 110 / every


def stands_inside(root, told):
    _, _, width, height = map(float, root.get("viewBox").split())
    for box in text_boxes(root):
        assert box.left >= 0, (told, box)
        assert box.right <= width, (told, box)
        assert box.top >= 0, (told, box)
        assert box.bottom <= height, (told, box)


def test_no_label_leaves_the_drawing(every):
    for seed in range(0, 200, every):
        for made in (random_back(seed), random_sleeve(seed)):
            svg = overlay(made, "in")
            if svg:
                stands_inside(parsed(svg), seed)


@pytest.mark.parametrize("unit", ["cm", "in"])
def test_no_two_labels_meet_on_200_random_sleeves(unit, every):
    drawn = 0
    for seed in range(0, 200, every):
        made = random_sleeve(seed)
        svg = overlay(made, unit, file=True)
        if not svg:
            assert isinstance(lay(made), CannotSay)
            continue
        drawn += 1
        root = parsed(svg)
        assert meetings(root) == [], f"sleeve {seed}"
        stands_inside(root, seed)
        keys = by_class(root, "t-keyn")
        assert sorted(int(key.text) for key in keys) == list(range(1, len(made.points) + 1)), f"sleeve {seed}"
    assert drawn > 60 / every


@pytest.mark.parametrize("unit", ["cm", "in", "mm"])
@pytest.mark.parametrize("construction", ["set_in", "drop_shoulder"])
def test_no_two_labels_meet_on_200_random_garments_of_the_wardrobe(unit, construction, every):
    sleeves = both = 0
    for seed in range(0, 200, every):
        made = {key: exact(mm, 3.0) for key, mm in random_garment(seed).items()}
        svg, figures = garment_drawing(made, unit, "A garment.", construction=construction, mark=",")
        if not svg:
            continue
        root = parsed(svg)
        assert meetings(root) == [], f"garment {seed}"
        stands_inside(root, seed)
        assert sorted(int(element.text) for element in by_class(root, "t-keyn")) == sorted(figures.values())
        assert sorted(figures.values()) == list(range(1, len(figures) + 1))
        sleeve = "one sleeve, folded as it lies" in [element.text for element in root.iter()]
        sleeves += sleeve
        both += sleeve and "chest" in figures
    assert sleeves > 40 / every
    assert both > 20 / every


def test_every_point_of_body_and_sleeve_at_once_finds_a_place():
    for seed in range(40):
        chance = random.Random(seed)
        whole = body_that_hangs_together(chance) | sleeve_that_hangs_together(chance)
        svg, figures = garment_drawing({key: exact(mm, 3.0) for key, mm in whole.items()}, "in", "A garment.")
        assert len(figures) == 21
        assert len(by_class(parsed(svg), "t-key")) == 21
        assert meetings(parsed(svg)) == [], seed
        stands_inside(parsed(svg), seed)


@pytest.mark.parametrize("unit", ["cm", "in"])
def test_no_two_labels_meet_where_one_random_garment_lies_on_another(unit, every):
    drawn = 0
    for seed in range(0, 200, every):
        first, second = (
            {key: exact(mm, 3.0) for key, mm in random_garment(one).items()} for one in (seed, (seed * 7 + 1) % 200)
        )
        for at in PLACES:
            svg, _ = two_over_one_another(first, second, unit, "One over another.", at=at)
            if svg:
                drawn += 1
                assert meetings(parsed(svg)) == [], (seed, at)
                stands_inside(parsed(svg), (seed, at))
    assert drawn > 140 / every


def test_no_two_texts_of_a_window_meet():
    for seed in range(40):
        for svg, _ in details(random_back(seed), "in"):
            assert meetings(parsed(svg)) == []


@pytest.mark.parametrize("make", in_turn(MAKES))
@pytest.mark.parametrize("at", PLACES)
def test_no_two_labels_of_the_demo_meet(make, at):
    made = demo(make)
    for unit in ("cm", "in", "mm"):
        for svg in (overlay(made, unit, at=at), sheet(made, unit, at=at)):
            assert not svg or meetings(parsed(svg)) == []
        span = span_of(made.points, unit)
        for one in made.points:
            assert meetings(parsed(ruler(one, unit, span))) == []


def test_the_check_sees_labels_that_meet():
    root = parsed(overlay(demo("grey_pullover"), "cm"))
    values = by_class(root, "t-val")
    values[1].set("x", values[0].get("x"))
    values[1].set("y", str(float(values[0].get("y")) + 5))
    assert meetings(root)


def test_fourteen_points_of_one_back_all_find_a_place():
    found = [made for made in (random_back(seed) for seed in range(400)) if len(made.points) == 14]
    assert len(found) > 10
    for made in found:
        svg = overlay(made, "in")
        assert len(by_class(parsed(svg), "t-key")) == 14
        assert meetings(parsed(svg)) == []


def test_leaders_of_the_right_column_do_not_cross():
    for seed in range(60):
        laid = lay(random_back(seed))
        if isinstance(laid, CannotSay):
            continue
        root = parsed(overlay(random_back(seed), "cm"))
        ends = []
        for group in by_class(root, "tape"):
            for leader in group.iter():
                if leader.get("class") == "t-lead" and leader.get("d").count("L") == 2:
                    points = [tuple(map(float, one.split())) for one in leader.get("d")[1:].split("L")]
                    if points[-1][0] > 150:
                        ends.append((points[0][1], points[-1][1]))
        for (y1, to1), (y2, to2) in itertools.combinations(ends, 2):
            assert (y1 - y2) * (to1 - to2) >= 0 or y1 == y2, seed


def test_pushed_apart_is_the_least_squares_answer_in_order():
    # Against brute force: every order-keeping placement on a fine grid is at least as far away.
    chance = random.Random(4)
    for _ in range(20):
        wanted = [chance.uniform(0, 6) for _ in range(3)]
        found = push_apart(wanted, 2.0, -10.0, 20.0)
        off = sum((a - b) ** 2 for a, b in zip(wanted, found, strict=True))
        order = sorted(range(3), key=wanted.__getitem__)
        steps = [step * 0.25 for step in range(-20, 45)]
        best = min(
            sum((wanted[at] - value) ** 2 for at, value in zip(order, values, strict=True))
            for values in itertools.combinations(steps, 3)
            if values[1] - values[0] >= 2.0 and values[2] - values[1] >= 2.0
        )
        assert off <= best + 1e-9
        placed = [found[at] for at in order]
        assert all(b - a >= 2.0 - 1e-9 for a, b in itertools.pairwise(placed))


def test_pushed_apart_stays_within_its_column():
    assert push_apart([5.0, 5.0, 5.0], 21.0, 13.0, 100.0) == [13.0, 34.0, 55.0]
    assert push_apart([99.0, 99.0], 21.0, 13.0, 100.0) == [79.0, 100.0]
    assert push_apart([], 21.0, 13.0, 100.0) == []


@pytest.mark.parametrize("text", ["52.9", "20 1/8", "−1 1/2", "shoulders", "the brown pullover, seam stitches added"])
def test_a_text_is_never_wider_than_it_is_taken_to_be(text):
    from tests.drawing.drawn import wide

    assert text_width(text, 12.5) >= wide(text, 12.5)


def test_a_point_that_only_an_overhang_was_read_at_shows_its_difference():
    made = invented(
        [
            point("chest", 520.0, 518.0),
            point("body_length", 615.0, 615.0),
            point("hem", None, None, difference=8.0),
        ]
    )
    values = [element.text for element in by_class(parsed(overlay(made, "cm")), "t-val")]
    assert sorted(values) == ["+0.8", "51.8", "61.5"]


def test_a_label_leaves_the_middle_of_its_tape_where_it_covers_fewer_lines():
    laid = lay(demo("grey_pullover"))
    body = body_of(laid, "cm", ids="x")
    strokes = strokes_of(laid, body.view)
    label = next(one for one in body.labels if one.key == "armhole_depth")
    middle = (label.line[0][1] + label.line[-1][1]) / 2
    # At its middle the armhole begins to bend away from its tape, so the label would lie on more of it.
    there = label_box(label.x, middle, label.value)
    assert covered(label.box, strokes, label.line) < covered(there, strokes, label.line)
    assert label.line[0][1] < label.box.top
    assert label.box.bottom < label.line[-1][1]


@pytest.mark.parametrize(("between", "stays"), [(4.1, True), (3.9, False)])
def test_the_label_of_a_length_leaves_4_units_to_its_neighbour(between, stays):
    line = ((50.0, 20.0), (50.0, 220.0))
    edge = label_box(50.0, 120.0, "60.2").right
    neighbour = Box(edge + between, 115.0, edge + 40.0, 125.0)
    label = _on_tape("body_length", line, "60.2", [], [neighbour], Room(300.0, 250.0, 12.0), [])
    assert (label.y == 120.0) is stays
    assert not label.box.grown(between if stays else 4.0).meets(neighbour)


def test_a_line_is_covered_only_where_it_runs_through_the_box():
    level = ((0.0, 50.0), (100.0, 50.0))
    bent = ((0.0, 0.0), (40.0, 0.0), (40.0, 90.0))
    strokes = [(Box(0.0, 49.5, 100.0, 50.5), level), (Box(0.0, 0.0, 40.5, 90.0), bent)]
    assert covered(Box(10.0, 40.0, 30.0, 60.0), strokes) == 1
    assert covered(Box(35.0, 40.0, 45.0, 60.0), strokes) == 2
    assert covered(Box(35.0, 40.0, 45.0, 60.0), strokes, own=level) == 1
    # Inside the box of the bent line, but beside it.
    assert covered(Box(5.0, 10.0, 30.0, 40.0), strokes) == 0
