"""What a piece tells of its own stitch size, and the joint posterior of its true lengths."""

from __future__ import annotations

import math

import numpy as np
import pytest

from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.piece import (
    VAGUE,
    PieceError,
    PieceReading,
    StitchPrior,
    piece_posterior,
    updated_local_sd,
)

COUNTS = np.array([120.0, 98.0, 44.0])
LENGTHS = np.array([531.0, 430.0, 192.5])
TAPE = np.array([2.2, 1.9, 1.2])


def readings(lengths=LENGTHS, tape=TAPE, counts=COUNTS, dof=math.inf):
    return [
        PieceReading(count, Estimate(length, u, dof)) for count, length, u in zip(counts, lengths, tape, strict=True)
    ]


def test_the_posterior_is_the_textbook_linear_gaussian_update():
    prior = StitchPrior(math.log(4.4), 0.02)
    got = piece_posterior(readings(), prior)
    # Second computation: dense matrices, theta = eta + l, from the same lambda.
    x, U = np.log(LENGTHS / COUNTS), np.diag((TAPE / LENGTHS) ** 2)
    P = prior.sd**2 * np.ones((3, 3)) + got.local_sd**2 * np.eye(3)
    gain = P @ np.linalg.inv(P + U)
    theta = prior.log_mean + gain @ (x - prior.log_mean)
    cov = P - gain @ P
    length = COUNTS * np.exp(theta)
    assert got.means_mm == pytest.approx(length, rel=1e-12)  # algebraically equal, rounding only
    assert got.cov_mm2 == pytest.approx(cov * np.outer(length, length), rel=1e-9)
    ones = np.ones(3)
    precision = 1 / prior.sd**2 + ones @ np.linalg.inv(U + got.local_sd**2 * np.eye(3)) @ ones
    assert got.log_size.u == pytest.approx(precision**-0.5, rel=1e-12)
    assert got.size_mm == pytest.approx(math.exp(got.log_size.value))


def test_local_scatter_is_the_assumption_when_the_tape_explains_everything():
    # Equal stitch size at every point: S is negative, so lambda^2 = 4 lambda0^2 / (4 + J - 1), by hand.
    got = piece_posterior(readings(lengths=4.4 * COUNTS), VAGUE["across"])
    assert got.local_sd == pytest.approx(0.007 * math.sqrt(4 / 6))


def test_local_scatter_follows_the_pieces_own_residuals_when_tape_errors_are_equal():
    x = np.log(4.4) + np.array([-0.02, 0.0, 0.02])
    u2 = np.full(3, 0.003**2)
    # By hand: S = sum of squares less (J - 1) u^2 = 8e-4 - 1.8e-5.
    by_hand = (4 * 0.007**2 + 8e-4 - 2 * 0.003**2) / (4 + 2)
    assert updated_local_sd(x, u2) == pytest.approx(math.sqrt(by_hand))


def test_the_moment_estimate_of_local_scatter_is_right_on_average_with_unequal_tape():
    rng = np.random.default_rng(3)
    u = np.array([0.002, 0.004, 0.006, 0.012])
    true_sd = 0.03  # large, so that max(0, S) hardly ever acts
    squares = [
        updated_local_sd(true_sd * rng.standard_normal(4) + u * rng.standard_normal(4), u**2) ** 2 for _ in range(6000)
    ]
    expected = (4 * 0.007**2 + 3 * true_sd**2) / 7
    assert np.mean(squares) == pytest.approx(expected, rel=0.03)  # standard error about 0.9 %


def test_points_without_a_count_stay_alone():
    rows = readings()
    rows.insert(1, PieceReading(None, Estimate(300.0, 2.0)))
    got, without = piece_posterior(rows, VAGUE["across"]), piece_posterior(readings(), VAGUE["across"])
    assert got.means_mm[1] == 300.0
    assert got.cov_mm2[1].tolist() == [0.0, 4.0, 0.0, 0.0]
    assert got.means_mm[[0, 2, 3]] == pytest.approx(without.means_mm)


def test_a_piece_without_counts_knows_no_stitch_size():
    got = piece_posterior([PieceReading(None, Estimate(528.0, 2.0))], VAGUE["across"])
    assert got.log_size.basis == "assumed"
    assert got.log_size.u == 0.25
    assert got.size_mm == pytest.approx(4.5)


def test_a_known_fabric_pulls_and_narrows():
    vague, known = (
        piece_posterior(readings(), prior) for prior in (VAGUE["across"], StitchPrior(math.log(4.3), 0.003))
    )
    assert known.log_size.u < vague.log_size.u
    assert 4.3 < known.size_mm < vague.size_mm
    assert np.all(np.diag(known.cov_mm2) < np.diag(vague.cov_mm2))


def test_joint_lengths_are_never_less_certain_than_their_own_reading():
    got = piece_posterior(readings(), VAGUE["across"])
    assert np.all(np.diag(got.cov_mm2) < TAPE**2)


def test_exact_readings_stay_as_read():
    got = piece_posterior(readings(tape=np.zeros(3)), VAGUE["across"])
    assert got.means_mm == pytest.approx(LENGTHS, rel=1e-9)
    assert np.diag(got.cov_mm2) == pytest.approx(np.zeros(3), abs=1e-6)


def test_the_smallest_degrees_of_freedom_are_kept():
    rows = readings(dof=30.0)
    rows[1] = PieceReading(98.0, Estimate(430.0, 1.9, 9.0))
    assert piece_posterior(rows, VAGUE["across"]).dof == 9.0


@pytest.mark.parametrize(
    ("reading", "message"),
    [
        (PieceReading(0.0, Estimate(528.0, 2.0)), r"readings\[0\]\.count: read 0"),
        (PieceReading(120.0, Estimate(-1.0, 2.0)), r"readings\[0\]\.measured: read -1"),
        (PieceReading(120.0, Estimate(528.0, -2.0)), r"uncertainty of -2"),
    ],
)
def test_impossible_readings_are_refused_by_name(reading, message):
    with pytest.raises(PieceError, match=message):
        piece_posterior([reading], VAGUE["across"])
