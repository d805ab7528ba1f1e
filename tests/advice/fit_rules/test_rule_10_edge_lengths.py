"""Fit rule 10: edge lengths run along shaping segments on the seam line, not row by row."""

import math

import pytest

from fitcheck.advice.target.edges import EdgeError, edge_length

W, H = 4.40, 3.10


def staircase(n, k):
    """Row by row: k - 1 straight rows and one slanting one for every decrease."""
    return n * ((k - 1) * H + math.hypot(W, H))


@pytest.mark.parametrize("k", range(1, 9))
def test_n_decreases_every_k_rows_run_straight_to_0_1_percent(k):
    # the seam line drawn as points on a grid of stitches and rows, and their distance end to end
    n = 20
    corners = [(i * W, i * k * H) for i in range(n + 1)]
    drawn = math.dist(corners[0], corners[-1])
    assert edge_length([(n, n * k)], W, H) == pytest.approx(drawn, rel=1e-3)


def test_the_staircase_overstates_by_up_to_11_6_percent():
    over = {k: staircase(20, k) / edge_length([(20, 20 * k)], W, H) - 1 for k in range(1, 9)}
    # decreases every 2nd, 4th, 6th ... row (arithmetic for 4.40 x 3.10 mm, fit rule 10)
    assert max(over[k] for k in (2, 4, 6, 8)) == pytest.approx(0.116, abs=0.0005)
    # every 3rd row would be worse still, 12.6 % (arithmetic)
    assert max(over.values()) == over[3] == pytest.approx(0.126, abs=0.0005)


def test_a_cap_solved_by_the_staircase_to_3_percent_ease_would_be_3_percent_short_or_worse():
    armhole = 500.0
    per_stitch = staircase(1, 2)
    stitches = armhole * 1.03 / per_stitch
    assert edge_length([(stitches, 2 * stitches)], W, H) < 0.97 * armhole


def test_cast_off_stitches_and_straight_rows_are_their_own_length():
    assert edge_length([(6, 0), (0, 50)], W, H) == pytest.approx(6 * W + 50 * H)
    assert edge_length([], W, H) == 0.0


@pytest.mark.parametrize(
    ("segments", "w", "h", "says"),
    [([(-1, 4)], W, H, "segments[0]"), ([(1, math.nan)], W, H, "segments[0]"), ([(1, 2)], 0.0, H, "above 0")],
)
def test_counts_below_zero_and_stitches_without_width_are_refused_by_name(segments, w, h, says):
    with pytest.raises(EdgeError) as refused:
        edge_length(segments, w, h)
    assert says in str(refused.value)
