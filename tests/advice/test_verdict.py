"""Labels of points: zones, reasons, readings still needed, the joint posterior, overhangs, pins."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from fitcheck.advice.judge.points import HowRead, PiecePoint
from fitcheck.advice.judge.verdict import VerdictError, judge_difference, judge_piece
from fitcheck.estimates.numbers import Estimate

T = 2.01409  # normal quantile of .978, from a printed table (2.01) and scipy.stats.norm


def read(s, n, resolution=0.0):
    return Estimate(0.0, math.sqrt(s**2 / n + resolution**2 / 12))


def point(key, wanted, measured, **more):
    fields = {"direction": "across", "tolerance_mm": 6.0, **more}
    return PiecePoint(key=key, wanted=wanted, measured=measured, **fields)


def test_the_three_zones():
    half = T * 1.0
    for difference, code in (
        (0.0, "matches"),
        (6 - half - 0.01, "matches"),
        (6 - half + 0.01, "too_close"),
        (6 + half - 0.01, "too_close"),
        (6 + half + 0.01, "differs"),
        (-6 + half + 0.01, "matches"),
        (-6 - half - 0.01, "differs"),
    ):
        assert judge_difference(500.0, Estimate(500 + difference, 1.0), 6.0).code == code, difference


def test_the_interval_is_the_one_that_the_label_used():
    verdict = judge_difference(Estimate(500.0, 1.5, 12), Estimate(503.0, 2.0, 8), 6.0)
    dof = (1.5**2 + 2.0**2) ** 2 / (1.5**4 / 12 + 2.0**4 / 8)  # Welch-Satterthwaite by hand
    assert verdict.dof == pytest.approx(dof)
    assert verdict.low == pytest.approx(3 + stats.t.ppf(0.022, dof) * 2.5)
    assert verdict.high == pytest.approx(3 + stats.t.ppf(0.978, dof) * 2.5)
    assert verdict.alpha == 0.022
    assert verdict.level == pytest.approx(0.956)
    assert verdict.chance_within == pytest.approx(stats.t.cdf(3 / 2.5, dof) - stats.t.cdf(-9 / 2.5, dof))


def test_one_sided_tolerances_free_the_other_side():
    assert judge_difference(500.0, Estimate(560.0, 1.0), (6.0, math.inf)).code == "matches"
    assert judge_difference(500.0, Estimate(490.0, 1.0), (6.0, math.inf)).code == "differs"
    assert judge_difference(500.0, Estimate(507.0, 1.0), (3.0, 15.0)).code == "matches"
    assert judge_difference(500.0, Estimate(493.0, 1.0), (3.0, 15.0)).code == "differs"


def test_each_side_is_judged_by_what_is_allowed_on_it():
    # 2.014 mm about 9 mm lie from 7 to 11: beyond the 5 mm of the one side, about the 10 mm of the other.
    assert judge_difference(500.0, Estimate(509.0, 1.0), (5.0, 10.0)).code == "too_close"
    assert judge_difference(500.0, Estimate(491.0, 1.0), (10.0, 5.0)).code == "too_close"


def test_exact_numbers_are_judged_without_an_interval():
    assert judge_difference(500.0, 506.0, 6.0).code == "matches"
    assert judge_difference(500.0, 506.1, 6.0).code == "differs"
    assert judge_difference(500.0, 506.0, 6.0).chance_within == 1.0


def test_the_third_look_that_stays_open_is_on_the_line():
    open_point = Estimate(505.5, 1.5)
    assert judge_difference(500.0, open_point, 6.0, look=2).reason == "more_readings"
    for look in (3, 4):
        verdict = judge_difference(500.0, open_point, 6.0, look=look)
        assert (verdict.code, verdict.reason, verdict.side) == ("too_close", "on_the_line", None)
    assert judge_difference(500.0, Estimate(500.0, 1.0), 6.0, look=3).code == "matches"


def test_a_tolerance_under_the_half_width_is_below_the_tape():
    assert judge_difference(500.0, Estimate(501.0, 3.0), 6.0).reason == "tolerance_below_tape"
    assert judge_difference(500.0, Estimate(501.0, 2.9), 6.0).reason == "more_readings"


def test_it_says_which_side_to_read_again():
    # gap (6 - 3)/2.014 = 1.49 mm: the side whose own u is above that must be read again.
    piece = judge_difference(Estimate(500.0, 0.5), Estimate(503.0, 2.0), 6.0)
    assert (piece.reason, piece.side) == ("more_readings", "piece")
    reference = judge_difference(Estimate(500.0, 2.0), Estimate(503.0, 0.5), 6.0)
    assert (reference.reason, reference.side) == ("wanted_value_too_uncertain", "reference")
    neither = judge_difference(Estimate(500.0, 2.0), Estimate(503.0, 2.0), 6.0)
    assert (neither.reason, neither.side) == ("on_the_line", None)


@pytest.mark.parametrize("difference", [0.5, -2.0, 3.0, 9.0, -8.5])
def test_the_readings_still_needed_settle_it_and_one_fewer_does_not(difference):
    s, taken, resolution = 5.0, 3, 1.0
    how = HowRead(s, taken, resolution)
    wanted = Estimate(500.0, 0.4)

    def verdict(n):
        measured = Estimate(500 + difference, read(s, n, resolution).u)
        return judge_piece([point("chest", wanted, measured, piece_read=how)], looks=1).points[0].verdict

    first = verdict(taken)
    assert first.code == "too_close"
    assert first.side == "piece"
    bracket = ((abs(6 - abs(difference))) / T) ** 2 - 0.4**2 - 1 / 12  # the formula of the model, section 4
    assert first.readings_needed == math.ceil(s**2 / bracket) - taken
    assert verdict(taken + first.readings_needed).code != "too_close"
    assert verdict(taken + first.readings_needed - 1).code == "too_close"


def test_readings_of_the_reference_are_counted_where_the_piece_cannot_settle_it():
    measured, wanted = Estimate(503.0, 0.3), Estimate(500.0, 2.9)
    verdict = (
        judge_piece(
            [point("chest", wanted, measured, piece_read=HowRead(3, 100), reference_read=HowRead(2.9, 1))],
            looks=1,
        )
        .points[0]
        .verdict
    )
    assert (verdict.reason, verdict.side) == ("wanted_value_too_uncertain", "reference")
    assert verdict.readings_needed == math.ceil(2.9**2 / ((3 / T) ** 2 - 0.3**2)) - 1


def test_the_side_that_needs_fewer_readings_is_named():
    # The reference was read once, the piece ten times: both could settle it, the reference sooner.
    verdict = (
        judge_piece(
            [
                point(
                    "chest",
                    Estimate(500.0, 2.0),
                    Estimate(501.5, 2.0),
                    piece_read=HowRead(6.3, 10),
                    reference_read=HowRead(2.0, 1),
                )
            ],
            looks=1,
        )
        .points[0]
        .verdict
    )
    assert (verdict.side, verdict.reason) == ("reference", "wanted_value_too_uncertain")
    assert verdict.readings_needed == math.ceil(4 / ((4.5 / T) ** 2 - 4)) - 1


def test_two_sides_of_one_pool_share_its_degrees_of_freedom():
    verdict = judge_difference(Estimate(500, 2, 6, source="tape"), Estimate(501, 2, 6, source="tape"), 6.0)
    assert verdict.dof == pytest.approx(6)  # GUM G.4 for one shared variance estimate; 12 if independent


@given(
    st.floats(-30, 30),
    st.floats(0.05, 6),
    st.floats(0.05, 6),
    st.floats(1, 20),
    st.floats(3, 200),
    st.integers(1, 4),
)
def test_the_mirror_image_has_the_mirrored_verdict(difference, u1, u2, tolerance, dof, look):
    one = judge_difference(Estimate(500.0, u1, dof), Estimate(500.0 + difference, u2, dof), tolerance, look=look)
    other = judge_difference(Estimate(500.0 + difference, u2, dof), Estimate(500.0, u1, dof), tolerance, look=look)
    assert one.code == other.code
    assert one.low == pytest.approx(-other.high, abs=1e-9)
    assert one.chance_within == pytest.approx(other.chance_within, abs=1e-9)
    assert {one.side, other.side} in ({None}, {"piece", "reference"}, {"piece"})


@given(st.floats(-30, 30), st.floats(0.05, 6), st.floats(1, 20), st.floats(0.1, 10))
def test_a_wider_tolerance_never_turns_a_match_into_anything_else(difference, u, tolerance, more):
    if judge_difference(500.0, Estimate(500 + difference, u), tolerance).code == "matches":
        assert judge_difference(500.0, Estimate(500 + difference, u), tolerance + more).code == "matches"


@pytest.mark.parametrize("tolerance", [0.0, -6.0, math.nan, (6.0, 0.0)])
def test_a_tolerance_that_is_not_positive_is_refused(tolerance):
    with pytest.raises(VerdictError, match="tolerance_mm: read"):
        judge_difference(500.0, 501.0, tolerance)


def test_impossible_numbers_are_refused_by_name():
    with pytest.raises(VerdictError, match="measured: read nan"):
        judge_difference(500.0, math.nan, 6.0)
    with pytest.raises(VerdictError, match="look: read 0"):
        judge_difference(500.0, 501.0, 6.0, look=0)
    with pytest.raises(VerdictError, match=r"chest\.measured: read no reading"):
        judge_piece([point("chest", Estimate(500.0), None)], looks=1)
    with pytest.raises(VerdictError, match="each key once"):
        judge_piece([point("chest", Estimate(500.0), Estimate(500.0, 1.0))] * 2, looks=1)


BACK = [("chest", 120, 528.0), ("shoulder_width", 98, 431.2), ("neck_width", 44, 193.6)]


def back(shifts=(0.0, 0.0, 0.0), u=2.0, **more):
    return [
        point(key, Estimate(length, 0.5), Estimate(length + shift, u), count=count, **more)
        for (key, count, length), shift in zip(BACK, shifts, strict=True)
    ]


def test_counts_let_the_points_of_a_piece_help_each_other():
    verdict = judge_piece(back((3.0, 0.0, 0.0)), looks=1)
    chest = verdict.points[0]
    assert verdict.across is not None
    assert verdict.along is None
    assert chest.measured.u < 2.0
    assert abs(chest.verdict.difference) < abs(chest.alone.difference)
    assert chest.alone.difference == pytest.approx(3.0)
    assert verdict.difference_cov_mm2[0, 0] == pytest.approx(chest.verdict.u**2)
    assert verdict.difference_cov_mm2[0, 1] > 0


def test_what_the_other_points_tell_saves_readings():
    s, taken = 6.0, 3
    how = HowRead(s, taken)
    own = read(s, taken).u
    points = [
        PiecePoint(p.key, "across", p.wanted, Estimate(p.measured.value, own), 6.0, p.count, piece_read=how)
        for p in back((3.0, 0.0, 0.0))
    ]
    chest = judge_piece(points, looks=1).points[0]
    assert (chest.verdict.code, chest.verdict.side) == ("too_close", "piece")
    settled = ((6 - abs(chest.verdict.difference)) / T) ** 2 - 0.5**2
    from_others = 1 / chest.measured.u**2 - 1 / own**2
    assert chest.verdict.readings_needed == math.ceil(s**2 * (1 / settled - from_others)) - taken
    assert chest.verdict.readings_needed < math.ceil(s**2 / settled) - taken


def test_without_counts_every_point_stands_alone():
    points = [PiecePoint(p.key, "across", p.wanted, p.measured, 6.0) for p in back((3.0, 0.0, 0.0))]
    verdict = judge_piece(points, looks=1)
    assert verdict.across is None
    assert all(p.verdict == p.alone for p in verdict.points)
    assert verdict.difference_cov_mm2 == pytest.approx(np.diag([4.25] * 3))


def test_a_doubted_count_sends_the_direction_back_to_its_own_readings():
    verdict = judge_piece(back((0.0, 0.0, 12.0), u=0.8), looks=1)
    assert "across" in verdict.explanation.flagged
    assert verdict.across is None
    assert verdict.points[2].verdict == verdict.points[2].alone


def test_an_overhang_enters_the_difference_without_the_wanted_values_error():
    only = judge_piece([point("chest", Estimate(528.0, 5.0), None, overhang=Estimate(-1.0, 1.0))], looks=1).points[0]
    assert only.verdict.u == 1.0
    assert only.verdict.difference == -1.0
    assert only.measured.value == 527.0
    assert only.measured.u == pytest.approx(math.hypot(5, 1))


def test_an_overhang_and_readings_are_joined_by_inverse_variance():
    both = point("chest", Estimate(528.0, 1.2), Estimate(530.0, 1.6), overhang=Estimate(-1.0, 1.0))
    verdict = judge_piece([both], looks=1)
    judged = verdict.points[0].verdict
    # By hand: difference 2 with variance 4, overhang -1 with variance 1: (2/4 - 1)/(1/4 + 1).
    assert judged.difference == pytest.approx(-0.4)
    assert judged.u == pytest.approx(math.sqrt(0.8))
    assert verdict.difference_cov_mm2[0, 0] == pytest.approx(0.8)


def test_a_pinned_point_is_only_held_at_its_pins_and_teaches_nothing():
    points = back(pinned=True)
    verdict = judge_piece(points, looks=1)
    assert {p.verdict.code for p in verdict.points} == {"held_at"}
    assert verdict.across is None
    assert verdict.explanation.code == "cannot_say"


def test_every_point_has_its_own_look():
    points = [point(key, Estimate(500.0), Estimate(505.5, 1.5)) for key in ("chest", "hem")]
    verdict = judge_piece(points, looks={"chest": 3})
    assert [p.verdict.reason for p in verdict.points] == ["on_the_line", "more_readings"]
