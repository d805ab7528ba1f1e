"""How often labels are wrong, and how often a perfect back is called one. All data simulated, seeds fixed."""

from __future__ import annotations

import numpy as np
import pytest

from fitcheck.advice.judge.points import PiecePoint
from fitcheck.advice.judge.verdict import judge_difference, judge_piece
from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.readings import ReadingSet, estimate_readings, pool_repeatability
from fitcheck.records.repeatability import TAPE

pytestmark = pytest.mark.simulation

# Invented back: key, direction, count, length of the piece [mm].
BACK = (
    ("hem", "across", 120, 528.0),
    ("chest", "across", 120, 528.0),
    ("shoulder_width", "across", 98, 431.2),
    ("neck_width", "across", 44, 193.6),
    ("body_length", "along", 192, 595.2),
    ("to_underarm", "along", 126, 390.6),
    ("armhole_depth", "along", 66, 204.6),
)
# Default tolerances of the points, flat (common practice, no source).
CATALOGUE_MM = {
    "hem": 10.0,
    "chest": 10.0,
    "shoulder_width": 10.0,
    "neck_width": 6.0,
    "body_length": 15.0,
    "to_underarm": 15.0,
    "armhole_depth": 6.0,
}


def three_looks(truth: float, tolerance: float, s: float, sides: int, rng: np.random.Generator) -> str:
    """Three readings a look; one side read, or piece and reference; stops at a label."""
    total = np.zeros(sides)
    for look in (1, 2, 3):
        total += s * rng.standard_normal((3, sides)).sum(axis=0)
        n = 3 * look
        means = total / n
        measured = Estimate(truth + means[0], s / np.sqrt(n))
        wanted = Estimate(means[1], s / np.sqrt(n)) if sides == 2 else 0.0
        code = judge_difference(wanted, measured, tolerance, look=look).code
        if code != "too_close":
            return code
    return "too_close"


def test_a_point_exactly_at_the_edge_is_passed_in_at_most_one_of_twenty_over_three_looks(draws):
    print("\ntruth at the edge of the tolerance, three looks of three readings (s 3 mm):")
    for sides in (1, 2):
        for tolerance in (6.0, 10.0):
            rng = np.random.default_rng(20 + sides)
            codes = [three_looks(tolerance, tolerance, 3.0, sides, rng) for _ in range(draws.of(6000))]
            share = codes.count("matches") / len(codes)
            wrong = codes.count("differs") / len(codes)
            print(f"  sides read {sides}, +-{tolerance:4.1f} mm: false matches {share:.3f}, differs {wrong:.3f}")
            # 4.2-5.1 % in the model's own simulation; the standard error of 6000 is 0.3 %.
            assert share <= 0.055 + draws.wider(0.003)
            assert share >= 0.03 - draws.wider(0.003)  # the rule is not so strict that it never passes anything


def called_over_three_rounds(counted: bool, rng: np.random.Generator) -> tuple[dict[str, str], int]:
    """A back with every point on its limit: what each is called in the end, and how many are open after one round.

    Piece and garment are read to the millimetre by the usual hand, each reading in a laying of its own, three a
    round; the hand is learned from these readings alone, and a point is read until it is called.
    """
    side = {"across": rng.choice((-1, 1)), "along": rng.choice((-1, 1))}
    piece: dict[str, list[float]] = {key: [] for key, *_ in BACK}
    garment: dict[str, list[float]] = {key: [] for key, *_ in BACK}
    called: dict[str, str] = {}
    open_after_one = 0

    def read(length: float) -> float:
        return round(
            length + TAPE.laying(length) * rng.standard_normal() + TAPE.reading(length) * rng.standard_normal()
        )

    for look in (1, 2, 3):
        for key, direction, _, length in BACK:
            if key not in called:
                at_the_limit = length + side[direction] * CATALOGUE_MM[key]
                piece[key] += [read(at_the_limit) for _ in range(3)]
                garment[key] += [read(length) for _ in range(3)]
        pool = pool_repeatability([ReadingSet(read, range(len(read))) for read in [*piece.values(), *garment.values()]])
        points = []
        for key, direction, count, _ in BACK:
            measured, wanted = (
                estimate_readings(read, laying=range(len(read)), resolution_mm=1.0, pool=pool)
                for read in (piece[key], garment[key])
            )
            points.append(PiecePoint(key, direction, wanted, measured, CATALOGUE_MM[key], count if counted else None))
        for point in judge_piece(points, looks=look).points:
            if point.key not in called and point.verdict.code != "too_close":
                called[point.key] = point.verdict.code
        if look == 1:
            open_after_one = len(BACK) - len(called)
    return called, open_after_one


def test_with_every_point_on_its_limit_one_of_twenty_two_is_passed_over_three_rounds(draws):
    """The worst case of model 4: 4.5 +- .5 % false matches, the scatter of the hand being learned on the way."""
    print("\nevery point on its limit, three rounds, share called a match:")
    for counted in (False, True):
        rng = np.random.default_rng(5)
        backs = draws.of(2000)
        ended = [called_over_three_rounds(counted, rng) for _ in range(backs)]
        points = backs * len(BACK)
        matches = sum(list(called.values()).count("matches") for called, _ in ended) / points
        left_open = sum(open_after_one for _, open_after_one in ended) / points
        print(f"  {'with counts' if counted else 'no counts'}: {matches:.4f}; open after one round {left_open:.3f}")
        assert matches == pytest.approx(0.045, abs=0.005 + draws.wider(0.0025))


def a_back(rng: np.random.Generator, tolerance: dict[str, float], dof: float) -> list[PiecePoint]:
    u = 3.0 / np.sqrt(3)
    points = []
    for key, direction, count, length in BACK:
        wanted = Estimate(length + u * rng.standard_normal(), u, dof, source="pool")
        measured = Estimate(length + u * rng.standard_normal(), u, dof, source="pool")
        points.append(PiecePoint(key, direction, wanted, measured, tolerance[key], count))
    return points


def test_a_perfect_back_matches_jointly_more_often_than_point_by_point(draws):
    print("\nperfect back, 3 + 3 readings of 3 mm, share of backs with all seven points matching:")
    for name, tolerance, dof in (
        ("+-6 mm everywhere, many readings pooled", dict.fromkeys(CATALOGUE_MM, 6.0), np.inf),
        ("+-6 mm everywhere, 20 degrees of freedom", dict.fromkeys(CATALOGUE_MM, 6.0), 20.0),
        ("catalogue tolerances, many readings pooled", CATALOGUE_MM, np.inf),
    ):
        rng = np.random.default_rng(77)
        joint = alone = single_joint = single_alone = wrong = 0
        backs = draws.of(1500)
        for _ in range(backs):
            verdict = judge_piece(a_back(rng, tolerance, dof), looks=1)
            together = [point.verdict.code for point in verdict.points]
            apart = [point.alone.code for point in verdict.points]
            joint += set(together) == {"matches"}
            alone += set(apart) == {"matches"}
            single_joint += together.count("matches")
            single_alone += apart.count("matches")
            wrong += "differs" in together
        print(
            f"  {name}: all seven {alone / backs:.3f} point by point, {joint / backs:.3f} jointly; one point "
            f"{single_alone / backs / 7:.2f}, {single_joint / backs / 7:.2f}; differs {wrong / backs:.3f}"
        )
        assert single_joint > 1.1 * single_alone
        assert joint > alone or draws.share < 1.0  # a tenth of the backs may have none of either
        assert wrong / backs <= 0.03 + draws.wider(0.004)
        if tolerance is CATALOGUE_MM:  # the model's own simulation has 11 % point by point
            assert alone / backs == pytest.approx(0.11, abs=0.03 + draws.wider(0.008))
            assert joint / backs >= 0.35 - draws.wider(0.012)


def test_the_joint_interval_holds_the_truth_as_often_as_it_says(draws):
    print("\ncover of the 95.6 % interval of the difference, true SD from place to place:")
    rng = np.random.default_rng(5)
    u = 3.0 / np.sqrt(3)
    for local_sd in (0.0, 0.005, 0.007, 0.01):
        held = total = 0
        for _ in range(draws.of(500)):
            points, truths = [], []
            across, along = np.exp(0.015 * rng.standard_normal(2))
            for key, direction, count, length in BACK:
                size = across if direction == "across" else along
                truth = length * size * np.exp(local_sd * rng.standard_normal())
                truths.append(truth - length)
                wanted = Estimate(length + u * rng.standard_normal(), u)
                measured = Estimate(truth + u * rng.standard_normal(), u)
                points.append(PiecePoint(key, direction, wanted, measured, 6.0, count))
            for point, truth in zip(judge_piece(points, looks=1).points, truths, strict=True):
                held += point.verdict.low <= truth <= point.verdict.high
                total += 1
        print(f"  {local_sd:.3f}: {held / total:.3f}")
        assert 0.93 - draws.wider(0.004) <= held / total <= 0.995 + draws.wider(0.001)
