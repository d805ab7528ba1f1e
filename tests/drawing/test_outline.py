"""The outline: corners where the measures put them, and nothing shown as measured that was not."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from fitcheck.advice.target.armhole import CURVE
from fitcheck.drawing.laid_tape import outline_for
from fitcheck.drawing.outline import Outline, flat, folded_sleeve, outline_of
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.points import POINTS
from tests.drawing.drawn import BACK, stretch


def outline(measures=BACK, **given) -> Outline:
    found = outline_of(measures, **given)
    assert isinstance(found, Outline)
    return found


def edge_mm(drawn: Outline, name: str) -> float:
    """Length of all stretches whose name begins so [mm], cubics in straight steps."""
    edges = [part for part in drawn.stretches if part.name.startswith(name)]
    return sum(math.dist(a, b) for edge in edges for a, b in pairwise(flat(edge)))


def without(*keys):
    return {key: value for key, value in BACK.items() if key not in keys}


def test_every_corner_stands_where_the_tape_puts_it():
    corners = outline().corners
    assert corners["N"] == (85.0, 0.0)
    assert corners["T"] == (205.0, 25.0)
    assert corners["U"] == (260.0, 235.0)
    assert corners["C"] == (260.0, 260.0)
    assert corners["H"] == (250.0, 615.0)


def test_the_armhole_runs_straight_then_bends_into_its_shelf():
    found = outline()
    assert stretch(found, "armhole_straight").points == ((205.0, 25.0), (205.0, pytest.approx(25 + 0.42 * 210)))
    start, first, second, end = stretch(found, "armhole_curve").points
    assert start == pytest.approx((205.0, 113.2))
    assert first == pytest.approx((205.0, 201.4))
    assert second == pytest.approx((221.5, 235.0))
    assert end == pytest.approx((243.5, 235.0))
    assert stretch(found, "armhole_shelf").points[1] == (260.0, 235.0)


def test_the_stretches_join_into_one_line_from_neck_to_hem():
    stretches = outline().stretches
    assert stretches[0].points[0] == (0.0, 20.0)
    assert stretches[-1].points[-1] == (0.0, 615.0)
    for before, after in pairwise(stretches):
        assert after.points[0] == before.points[-1], (before.name, after.name)


def test_the_armholes_edge_is_longer_than_its_depth_by_about_the_usual_curve():
    # Goes in 55 mm. The usual curve adds 0.36 mm per mm (give or take 0.1: advice/armhole); straight and level
    # would add the whole 55, the diagonal 7.
    edge = edge_mm(outline(), "armhole")
    assert math.hypot(210, 55) < edge < 210 + 55
    assert edge == pytest.approx(210 + CURVE.value * 55, abs=2 * CURVE.u * 55)


def test_a_cubic_is_flattened_onto_itself():
    curve = stretch(outline(), "armhole_curve")
    points = flat(curve)
    assert points[0] == curve.points[0]
    assert points[-1] == pytest.approx(curve.points[-1])
    a, b, c, d = curve.points
    middle = tuple((p + 3 * q + 3 * r + s) / 8 for p, q, r, s in zip(a, b, c, d, strict=True))
    assert points[32] == pytest.approx(middle)


def test_the_fourth_length_is_derived_from_the_other_three():
    found = outline(without("shoulder_drop") | {"to_underarm": 380.0})
    assert found.corners["T"][1] == pytest.approx(25.0)
    assert found.origin["shoulder_drop"] == "derived"
    found = outline(without("body_length") | {"to_underarm": 380.0})
    assert found.length_mm == pytest.approx(615.0)
    assert found.origin["body_length"] == "derived"


def test_a_derived_length_that_cannot_be_is_not_taken():
    found = outline(without("shoulder_drop") | {"to_underarm": 250.0})
    assert found.origin["shoulder_drop"] == "usual"
    assert 0 < found.corners["T"][1] < 60


def test_four_lengths_that_contradict_one_another_are_asked_about():
    assert not outline(BACK | {"to_underarm": 372.0}).asks_about_sum
    contradicting = outline(BACK | {"to_underarm": 368.0})
    assert contradicting.sum_off_mm == pytest.approx(-12.0)
    assert contradicting.asks_about_sum


def test_another_definition_of_a_measure_is_reckoned_over():
    found = outline(without("armhole_depth") | {"armhole_from_neck": 235.0})
    assert found.corners["U"][1] == pytest.approx(235.0)
    found = outline(without("armhole_depth") | {"armhole_diagonal": math.hypot(210, 55)})
    assert found.corners["U"][1] == pytest.approx(235.0)
    found = outline(without("body_length") | {"centre_back": 595.0})
    assert found.length_mm == pytest.approx(615.0)


def test_what_is_missing_is_borrowed_from_the_outline_below():
    under = outline()
    over = outline({"chest": 500.0, "armhole_depth": 200.0, "body_length": 600.0}, under=under)
    assert over.corners["T"] == under.corners["T"]
    assert over.corners["N"] == under.corners["N"]
    assert set(over.drawn_in) == {"neck_width", "back_neck_drop", "shoulder_width", "shoulder_drop", "hem"}
    assert {over.origin[key] for key in over.drawn_in} == {"borrowed"}


def test_without_an_outline_below_the_usual_proportion_is_taken_and_flagged():
    found = outline({"chest": 520.0, "body_length": 615.0})
    assert set(found.origin.values()) == {"measured", "usual"}
    assert found.corners["C"][0] == 260.0
    assert 150 < found.corners["T"][0] < 260


def test_only_stretches_between_tapes_count_as_touched():
    touched = {one.name for one in outline().stretches if one.touched}
    assert touched == {"shoulder", "side_top", "side", "hem"}
    assert not stretch(outline(without("hem")), "side").touched
    assert not stretch(outline(without("hem")), "hem").touched
    assert not stretch(outline(without("neck_width")), "shoulder").touched
    assert stretch(outline(without("neck_width")), "side").touched


def test_a_drop_shoulder_has_a_straight_touched_armhole():
    measures = without("shoulder_width")
    found = outline(measures, construction="drop_shoulder")
    assert found.corners["T"][0] == found.corners["C"][0] == 260.0
    assert [stretch.name for stretch in found.stretches].count("armhole") == 1
    assert stretch(found, "armhole").touched
    assert edge_mm(found, "armhole") == pytest.approx(210.0)
    assert stretch(outline(measures | {"shoulder_width": 530.0}), "armhole").points[0] == (265.0, 25.0)


def test_a_half_front_has_whole_widths_from_its_front_edge():
    found = outline({"chest": 260.0, "hem": 250.0, "armhole_depth": 210.0, "body_length": 615.0}, piece="left_front")
    assert not found.mirrored
    assert found.corners["C"][0] == 260.0
    assert stretch(found, "front_edge").points[0] == (0.0, 615.0)
    assert found.stretches[-1].points[-1] == found.stretches[0].points[0]


def test_a_sleeve_stands_on_its_own_measures():
    found = outline(
        {"upper_arm": 380.0, "cuff": 230.0, "cap_height": 140.0, "sleeve_to_underarm": 450.0}, piece="sleeve"
    )
    assert found.corners["U"] == (190.0, 140.0)
    assert found.corners["C"] == (190.0, 165.0)
    assert found.corners["H"] == (115.0, 590.0)
    assert stretch(found, "side").touched
    assert not stretch(found, "cap").touched


SLEEVE = {"upper_arm": 380.0, "cuff": 230.0, "cap_height": 140.0, "sleeve_length": 590.0}


@pytest.mark.parametrize(
    ("missing", "touched"),
    [
        ("", {"side_top", "side", "hem"}),
        ("cuff", set()),
        # Where the underarm is not known, neither is the slant of the sides.
        ("cap_height", {"hem"}),
    ],
)
def test_a_sleeve_counts_only_what_the_tape_touched(missing, touched):
    measures = {key: mm for key, mm in SLEEVE.items() if key != missing}
    under = outline(SLEEVE, piece="sleeve")
    found = outline(measures, piece="sleeve", under=under)
    assert {stretch.name for stretch in found.stretches if stretch.touched} == touched
    assert set(found.drawn_in) == ({missing} if missing else set())
    assert found.corners == under.corners


def test_a_sleeves_third_length_is_derived_from_the_other_two():
    found = outline(
        {"upper_arm": 380.0, "cuff": 230.0, "sleeve_length": 590.0, "sleeve_to_underarm": 450.0}, piece="sleeve"
    )
    assert found.corners["U"][1] == pytest.approx(140.0)
    assert found.origin["cap_height"] == "derived"
    assert found.drawn_in == ()


def test_a_sleeves_lengths_that_contradict_one_another_are_asked_about():
    assert not outline(SLEEVE | {"sleeve_to_underarm": 441.0}, piece="sleeve").asks_about_sum
    off = outline(SLEEVE | {"sleeve_to_underarm": 437.0}, piece="sleeve")
    assert off.sum_off_mm == pytest.approx(-13.0)
    assert off.asks_about_sum


def test_a_drop_shoulders_sleeve_begins_level_and_is_touched_along_its_top():
    measures = {key: mm for key, mm in SLEEVE.items() if key != "cap_height"}
    found = outline(measures, piece="sleeve", construction="drop_shoulder")
    assert found.corners["U"] == (190.0, 0.0)
    assert stretch(found, "cap").points == ((0.0, 0.0), (190.0, 0.0))
    assert stretch(found, "cap").touched
    assert found.drawn_in == ()


def test_a_folded_sleeve_has_the_garments_flat_widths_from_its_fold():
    flat_figures = {"upper_arm": 180.0, "cuff": 112.0, "cap_height": 130.0, "sleeve_length": 580.0}
    found = folded_sleeve(flat_figures)
    assert not found.mirrored
    assert found.corners["C"] == (180.0, 155.0)
    assert found.corners["H"] == (112.0, 580.0)
    assert stretch(found, "fold").points == ((0.0, 580.0), (0.0, 0.0))
    assert found.stretches[-1].points[-1] == found.stretches[0].points[0]
    assert folded_sleeve({"upper_arm": 180.0}).code == "no_outline"


@pytest.mark.parametrize("construction", CONSTRUCTIONS)
@pytest.mark.parametrize("piece", ["back", "left_front", "sleeve", "side_panel"])
def test_every_construction_draws_its_own_shape_or_none(construction, piece):
    lacks = CONSTRUCTIONS[construction].lacks
    panel = {"panel_width": 100.0, "panel_length": 390.0}
    measures = {"sleeve": SLEEVE, "side_panel": panel}.get(piece, BACK | {"to_underarm": 380.0})
    measures = {key: mm for key, mm in measures.items() if key not in lacks}
    found = outline_of(measures, piece=piece, construction=construction)
    if CONSTRUCTIONS[construction].not_drawn and piece != "side_panel":
        assert isinstance(found, CannotSay)
        assert found.code == "no_outline"
        assert found.values == {"construction": construction}
        return
    assert isinstance(found, Outline)
    curved = {stretch.name for stretch in found.stretches if len(stretch.points) == 4}
    straight = CONSTRUCTIONS[construction].armhole == "straight" or piece == "side_panel"
    assert ("armhole_curve" in curved or "cap" in curved) is not straight


def test_a_waist_bends_the_side():
    found = outline(BACK | {"waist": 460.0})
    assert found.corners["W"] == (230.0, (260 + 615) / 2)
    assert [stretch.name for stretch in found.stretches].count("side") == 2


@pytest.mark.parametrize(
    "measures",
    [{}, {"chest": 520.0}, {"body_length": 615.0, "armhole_depth": 210.0}, {"hem": 500.0, "body_length": 615.0}],
    ids=["nothing", "width only", "lengths only", "neither shoulder nor chest"],
)
def test_too_few_measures_give_no_outline(measures):
    found = outline_of(measures)
    assert isinstance(found, CannotSay)
    assert found.code == "no_outline"


@pytest.mark.parametrize(
    ("measures", "names"),
    [
        ({"chestt": 520.0}, "chestt"),
        ({"chest": -1.0}, "measures.chest"),
        ({"chest": float("nan")}, "measures.chest"),
        ({"chest": 0.0}, "measures.chest"),
    ],
)
def test_a_measure_that_is_none_is_refused_by_name(measures, names):
    with pytest.raises(ValueError, match=names):
        outline_of(measures)


@pytest.mark.parametrize("piece", ["back", "front", "left_front"])
@pytest.mark.parametrize(
    "known", [{}, {"chest": 520.0, "neck_width": 180.0, "armhole_depth": 220.0, "body_length": 610.0}]
)
def test_a_raglan_to_lay_the_tape_on_slants_straight_from_the_neck_to_the_underarm(piece, known):
    outline = outline_for(piece, known, ["chest", "armhole_depth"], "raglan")
    (armhole,) = (stretch for stretch in outline.stretches if stretch.name.startswith("armhole"))
    (begin, end), corners = armhole.points, outline.corners
    assert begin == pytest.approx(corners["N"], abs=1.0)
    assert end == corners["U"]
    assert end[0] > 2 * begin[0]
    assert outline.measures["neck_width"] == known.get("neck_width", POINTS["neck_width"].plain_on(piece))
