"""Fit rule 7: one word, several tapes. One outline, four definitions, one verdict; mixing is refused.

The rule's figures [cm]: armhole depth 20.0 = diagonal 20.7 = from the neck point's level 22.5 = along the
edge 23.6, with a shoulder drop of 2.5; body length 64 = centre back 62 with a back neck drop of 2.
"""

import math

import pytest

WIDTHS = {"chest": "52.0", "shoulder_width": "41.2"}
OUTLINE = {
    "armhole_depth": "20.0",
    "armhole_diagonal": "20.7",
    "armhole_from_neck": "22.5",
    "armhole_edge": "23.6",
}


@pytest.mark.parametrize("theirs", OUTLINE)
@pytest.mark.parametrize("ours", OUTLINE)
def test_one_outline_and_four_definitions_give_one_verdict(answer, theirs, ours):
    # the piece is 8 mm deeper than the garment, in every definition (the diagonal leans, so 7.7 mm there)
    deeper = {
        "armhole_depth": "20.8",
        "armhole_diagonal": "21.5",
        "armhole_from_neck": "23.3",
        "armhole_edge": "24.4",
    }
    got = answer(
        garment_reads=WIDTHS | {"shoulder_drop": "2.5", theirs: OUTLINE[theirs]},
        piece_reads={ours: deeper[ours]},
        seams={"shoulder": "linked"},
    )
    assert got.difference(ours) == pytest.approx(8.0, abs=0.6)  # the rule's figures are rounded to 1 mm
    assert ("converted" in got.assumed) == (theirs != ours)
    assert got.at(ours).converted_from[:1] == ((theirs,) if theirs != ours else ())


@pytest.mark.parametrize(
    ("theirs", "ours", "mm"),
    [
        ("armhole_depth", "armhole_diagonal", math.hypot(200, 54)),
        ("armhole_depth", "armhole_from_neck", 225.0),
        ("armhole_from_neck", "armhole_diagonal", math.hypot(200, 54)),
        # 6.14 stitches cast off, 6.14 decreases every 2nd row, then straight: 27 + hypot(27, 38.05) + 161.95
        ("armhole_depth", "armhole_edge", 27 + math.hypot(27, 27 * 6.2 / 4.4) + 200 - 27 * 6.2 / 4.4),
    ],
)
def test_the_conversion_is_the_outline_s_own_geometry(answer, theirs, ours, mm):
    got = answer(
        garment_reads=WIDTHS | {"shoulder_drop": "2.5", theirs: OUTLINE[theirs]},
        piece_reads={ours: "20"},
        seams={"shoulder": "linked"},
    )
    assert got.wanted(ours) == pytest.approx(mm, abs=1e-6)


def test_the_curve_of_the_armhole_is_an_assumption_that_widens_the_interval(answer):
    depth = {"armhole_depth": "20"}
    edge = answer(garment_reads=WIDTHS | {"armhole_edge": "23.6"}, piece_reads=depth)
    straight = answer(garment_reads=WIDTHS | {"armhole_diagonal": "20.7"}, piece_reads=depth)
    assert "armhole_curve" in edge.assumed
    assert "armhole_curve" not in straight.assumed
    assert edge.at("armhole_depth").wanted.u > 0.1 * 54 > straight.at("armhole_depth").wanted.u


@pytest.mark.parametrize("theirs", ["armhole_diagonal", "armhole_from_neck", "armhole_edge"])
def test_mixing_definitions_without_what_converting_takes_is_refused_and_names_it(answer, theirs):
    got = answer(garment_reads={theirs: OUTLINE[theirs]}, piece_reads={"armhole_depth": "20.8"})
    assert got.refused == {"armhole_depth": "mixed_definitions"}
    target = got.at("armhole_depth")  # it was measured, so it is shown with its reason
    assert target.wanted is None
    missing = ["shoulder_drop"] if theirs == "armhole_from_neck" else ["chest", "shoulder_width"]
    assert target.refused.values == {"point": "armhole_depth", "known": theirs, "missing": missing}


def test_measures_that_make_no_outline_are_refused(answer):
    odd = {"chest": "40", "shoulder_width": "41.2", "armhole_diagonal": "20.7"}
    assert answer(garment_reads=odd, piece_reads={"armhole_depth": "20"}).refused["armhole_depth"] == (
        "shape_impossible"
    )


def test_body_length_and_centre_back_differ_by_the_back_neck_drop(answer):
    garment = {"body_length": "64", "back_neck_drop": "2"}
    seams = {"shoulder": "linked"}
    assert answer(garment_reads=garment, piece_reads={"centre_back": "62"}, seams=seams).wanted(
        "centre_back"
    ) == pytest.approx(620.0)
    garment = {"centre_back": "62", "back_neck_drop": "2"}
    assert answer(garment_reads=garment, piece_reads={"body_length": "64"}, seams=seams).wanted(
        "body_length"
    ) == pytest.approx(640.0)
    none = answer(garment_reads={"body_length": "64"}, piece_reads={"centre_back": "62"})
    assert none.refused == {"centre_back": "mixed_definitions"}
    # how deep the *front* neck is says nothing about the back's
    front = answer(garment_reads={"body_length": "64", "neck_depth": "8"}, piece_reads={"centre_back": "62"})
    assert front.refused == {"centre_back": "mixed_definitions"}


def test_neck_and_two_horizontal_shoulders_make_the_shoulder_width(answer):
    # shoulder seam 12.5 with a drop of 3.5 is 12.0 horizontal: 17 + 2 x 12 = 41
    garment = {"neck_width": "17", "shoulder_seam": "12.5", "shoulder_drop": "3.5"}
    got = answer(garment_reads=garment, piece_reads={"shoulder_width": "41"}, seams={"armhole": "linked"})
    assert got.wanted("shoulder_width") == pytest.approx(410.0)


def test_what_was_measured_as_such_is_never_converted(answer):
    garment = WIDTHS | {"armhole_depth": "20.0", "armhole_diagonal": "25.0"}
    got = answer(garment_reads=garment, piece_reads={"armhole_depth": "20"}, seams={"shoulder": "linked"})
    assert got.wanted("armhole_depth") == pytest.approx(200.0)
    assert "converted" not in got.assumed
