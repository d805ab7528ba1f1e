"""Fit rule 15: seams per edge and kind (common practice, no source).

Mattress one stitch, half-stitch 0.5, linked loops 0, overlapped their overlap; a shoulder seam takes a row.
"""

import math

import pytest

from fitcheck.estimates.numbers import Estimate


@pytest.mark.parametrize(
    ("kind", "swallowed"), [("mattress", 2 * 4.4), ("half_stitch", 4.4), ("linked", 0.0), ("none", 0.0)]
)
@pytest.mark.parametrize(
    ("edge", "key", "piece", "scale"),
    [
        ("side", "chest", "back", 1),
        ("side", "hem", "back", 1),
        ("armhole", "shoulder_width", "back", 1),
        ("sleeve", "upper_arm", "sleeve", 2),
        ("sleeve", "cuff", "sleeve", 2),
        ("panel", "panel_width", "side_panel", 1),
    ],
)
def test_each_edge_swallows_what_its_own_seam_takes(answer, edge, key, piece, scale, kind, swallowed):
    got = answer(garment_reads={key: "20"}, piece={"piece": piece}, seams={edge: kind})
    assert got.wanted(key) == pytest.approx(200.0 * scale + swallowed)
    other = answer(garment_reads={key: "20"}, piece={"piece": piece}, seams={"shoulder": kind})
    assert other.wanted(key) == pytest.approx(200.0 * scale + 8.8)  # another edge's seam says nothing here


@pytest.mark.parametrize("key", ["armhole_depth", "armhole_from_neck", "armhole_diagonal", "body_length"])
@pytest.mark.parametrize(("kind", "row"), [("mattress", 3.1), ("half_stitch", 1.55), ("linked", 0.0)])
def test_a_shoulder_seam_swallows_a_row(answer, key, kind, row):
    got = answer(garment_reads={key: "20"}, seams={"shoulder": kind})
    assert got.wanted(key) == pytest.approx(200.0 + row)


def test_two_overlapped_edges_lose_their_overlap_together(answer):
    # back and front of 53.0 overlapped by 1 cm at both sides: (53 + 53 - 2 x 1) / 2 = 52 flat
    got = answer(garment_reads={"chest": "52"}, seams={"side": "overlap"}, seam_overlap="1")
    assert got.wanted("chest") == pytest.approx(530.0)
    unsaid = answer(garment_reads={"chest": "52"}, seams={"side": "overlap"})
    assert unsaid.refused == {"chest": "overlap_unsaid"}


def test_picking_up_a_neck_makes_the_opening_larger_so_the_piece_s_is_smaller(answer):
    assert answer(garment_reads={"neck_width": "20"}).wanted("neck_width") == pytest.approx(200 - 8.8)
    grown = [{"edge": "neck", "depth": "2.5", "how": "knitted_on"}]
    assert answer(garment_reads={"neck_width": "20"}, bands=grown).wanted("neck_width") == pytest.approx(200)


def test_shoulder_seams_and_neck_still_make_the_shoulder_width_on_the_piece(answer):
    got = answer(garment_reads={"neck_width": "17", "shoulder_width": "41", "shoulder_seam": "12"})
    piece = {key: got.wanted(key) for key in ("neck_width", "shoulder_width", "shoulder_seam")}
    assert piece["neck_width"] + 2 * piece["shoulder_seam"] == pytest.approx(piece["shoulder_width"])


def test_a_stitch_that_nobody_knows_is_assumed_with_its_share(answer):
    got = answer(garment_reads={"chest": "52"}, piece_reads={"chest": "52.9"}, stitch=None, row=None)
    assert got.wanted("chest") == pytest.approx(520 + 2 * 4.5)
    (taken,) = (one for one in got.all.assumed if one.code == "seam_stitch")
    assert (taken.value, taken.u) == (4.5, 1.5)
    # one unknown stitch at both ends is wrong at both ends alike: 2 x 1.5, not 1.5 x sqrt 2
    assert got.at("chest").offset.u == pytest.approx(3.0)
    assert taken.share == pytest.approx(9.0 / got.at("chest").difference.u ** 2)


def test_a_seam_that_swallows_nothing_assumes_nothing(answer):
    got = answer(garment_reads={"chest": "52"}, seams={"side": "linked"}, stitch=None)
    assert "seam_stitch" not in got.assumed


def test_the_stitch_s_own_uncertainty_is_carried(answer):
    got = answer(garment_reads={"chest": "52"}, stitch=Estimate(4.4, 0.2)).at("chest")
    sure = answer(garment_reads={"chest": "52"}).at("chest")
    assert math.sqrt(got.wanted.u**2 - sure.wanted.u**2) == pytest.approx(0.4)


def test_a_side_panel_s_seam_is_the_back_s_side_seam_too(answer):
    got = answer(
        garment_reads={"chest": "52"},
        construction="side_panels",
        panel_width="8",
        seams={"panel": "half_stitch"},
    )
    assert got.wanted("chest") == pytest.approx(520 - 80 + 4.4)
