"""Fit rule 4: what another piece can make up when this one is fixed (common practice, no source).

One truth per line of the table; the plan with least work is chosen.
"""

from __future__ import annotations

import pytest

from fitcheck.advice.decide.decision import recommend
from fitcheck.records.points import POINTS
from tests.advice.backs import back


def advice(differences: dict[str, float]):
    return recommend(back(differences, u=0.8)).action


def by(differences: dict[str, float]) -> dict[str, str]:
    return {one.point: one.by for one in advice(differences).alterations}


def test_chest_and_hem_by_the_other_body_piece_up_to_four_centimetres():
    assert by({"chest": -15.0, "hem": -15.0}) == {"chest": "other_body_piece", "hem": "other_body_piece"}
    for change in advice({"chest": -15.0}).alterations:
        assert change.stitches is not None
        assert change.stitches % 2 == 0
        assert abs(change.mm) <= 40.0
    assert advice({"chest": -45.0, "hem": -45.0}).code == "knit_again"


def test_shoulder_width_not_by_the_front_but_a_little_by_the_armhole_seam():
    assert by({"shoulder_width": 14.0}) == {"shoulder_width": "armhole_seam"}
    assert by({"shoulder_width": -12.0}) == {"shoulder_width": "armhole_seam"}
    limits = POINTS["shoulder_width"].make_up
    assert limits is not None
    assert (limits.too_large_mm, limits.too_small_mm) == (15.0, 10.0)
    assert advice({"shoulder_width": -26.0}).code == "rip_back"
    assert advice({"shoulder_width": 32.0}).code == "rip_back"


def test_back_neck_by_the_band_far_more_when_wide_than_when_narrow():
    assert by({"neck_width": 25.0}) == {"neck_width": "neck_band"}
    assert advice({"neck_width": -20.0}).code == "rip_back"


def test_armhole_depth_by_front_rows_and_a_redrafted_cap_about_two_percent():
    assert by({"armhole_depth": -8.0}) == {"armhole_depth": "front_rows_and_cap"}
    (change,) = advice({"armhole_depth": -8.0}).alterations
    assert (change.stitches, change.mm) == (1, pytest.approx((66 * 3.1 - 8.0) / 66, abs=0.01))
    assert advice({"armhole_depth": -16.0}).code == "rip_back"


def test_body_length_only_at_the_hem_up_to_five_centimetres():
    for off in (-45.0, 45.0):
        found = advice({"body_length": off, "to_underarm": off})
        assert found.code == "alter_hem"
        assert {one.by for one in found.alterations} == {"hem"}
    assert advice({"body_length": 75.0, "to_underarm": 75.0}).code == "knit_again"


def test_sleeves_are_free_while_the_back_is_fixed():
    assert all("back" not in POINTS[key].pieces for key in ("sleeve_length", "upper_arm", "cuff"))
