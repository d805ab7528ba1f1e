"""Simulated makes with known truth: what the decision costs against one who knows everything.

Truths simulated: a back whose stitch and row size are off from what was planned by N(0, s) each, points inside
the piece by N(0, 0.5 %), 3 readings of 3 readings' layings on piece and garment, tape and laying as assumed
(about 3 mm a reading), catalogue tolerances and costs. When the advice is to measure again, a round of three more
readings a side is added, at most three looks, and each costs what it costs.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from fitcheck.advice.decide.decision import DEFAULT_COSTS, recommend
from fitcheck.advice.decide.remedies import Remedies
from fitcheck.advice.decide.situation import decision_state
from fitcheck.advice.judge.points import HowRead, PiecePoint
from fitcheck.advice.judge.verdict import judge_piece
from fitcheck.estimates.readings import ReadingSet, estimate_readings, pool_repeatability
from fitcheck.records.points import POINTS
from tests.advice.backs import COUNTS, SIZES, wanted_mm

pytestmark = pytest.mark.simulation


class Table:
    """One simulated back on the table, with its garment, read round by round."""

    def __init__(self, rng: np.random.Generator, gauge_sd: float, local_sd: float) -> None:
        self.rng = rng
        off = {direction: rng.normal(0.0, gauge_sd) if gauge_sd else 0.0 for direction in SIZES}
        self.wanted = {key: wanted_mm(key) for key in COUNTS}
        self.piece = {
            key: self.wanted[key] * np.exp(off[POINTS[key].direction] + rng.normal(0.0, local_sd) * bool(local_sd))
            for key in COUNTS
        }
        self.readings: dict[str, tuple[list[float], list[float]]] = {key: ([], []) for key in COUNTS}

    def read(self, times: int) -> None:
        for key, sides in self.readings.items():
            for side, length in zip(sides, (self.piece[key], self.wanted[key]), strict=True):
                laying = self.rng.normal(0.0, 0.004 * length, times)
                side.extend(length + laying + self.rng.normal(0.0, np.hypot(1.5, 0.004 * length), times))

    def state(self, looks: int):
        pool = pool_repeatability([ReadingSet(v, range(len(v))) for sides in self.readings.values() for v in sides])
        points = []
        for key, sides in self.readings.items():
            mine, theirs = (estimate_readings(v, laying=range(len(v)), resolution_mm=1.0, pool=pool) for v in sides)
            how = [
                HowRead(float(np.hypot(pool.s_mm(one.value), pool.laying_mm(one.value))), len(v), 1.0)
                for one, v in zip((mine, theirs), sides, strict=True)
            ]
            points.append(
                PiecePoint(
                    key,
                    POINTS[key].direction,
                    theirs,
                    mine,
                    POINTS[key].tolerance,
                    COUNTS[key],
                    piece_read=how[0],
                    reference_read=how[1],
                )
            )
        verdict = judge_piece(points, looks=looks)
        return verdict, replace(decision_state(points, verdict), looks=looks, holds=True)


def play(rng: np.random.Generator, gauge_sd: float, local_sd: float) -> tuple[str, str, dict[str, float]]:
    """Play one sweater to its plan: first advice, last plan, and the true losses by the rule and by others."""
    table = Table(rng, gauge_sd, local_sd)
    table.read(3)
    looks, tape = 1, 0.0
    verdict, state = table.state(looks)
    labels = [one.verdict for one in verdict.points]
    found = recommend(state)
    first = found.action.code
    while found.action.code == "measure_again":
        looks, tape = looks + 1, tape + DEFAULT_COSTS.measure
        table.read(3)
        verdict, state = table.state(looks)
        found = recommend(state)
    remedies = Remedies(state, DEFAULT_COSTS)
    truth = np.array([table.piece[key] - table.wanted[key] for key in COUNTS])
    known = {code: float(loss[0]) for code, loss in remedies.losses(truth[None], remedies.nothing).items()}

    def true_loss(code: str) -> float:
        if code == "knit_again":
            return known[code]
        plan = remedies.best_plan(code).plan
        return plan.cost + _loss(remedies, plan, truth, remedies.nothing)

    out = [one for one in labels if one.code == "differs"]
    by_label = "carry_on" if not out else "knit_again"
    losses = {
        "rule": tape + true_loss(found.then.code),
        "knowing": min(known.values()),
        "carry on always": known["carry_on"],
        "by labels": true_loss(by_label),
    }
    return first, found.then.code, losses


def _loss(remedies: Remedies, plan, d, var) -> float:
    outcome = remedies.outcome(plan, d, var)
    return float((1.0 - remedies.inside(outcome.mean, outcome.var)) @ remedies.weight)


def test_a_perfect_back_is_carried_on_in_at_least_eight_of_ten(draws):
    rng = np.random.default_rng(20261)
    firsts = [play(rng, 0.0, 0.0)[0] for _ in range(draws.of(400))]
    counted = {code: firsts.count(code) for code in dict.fromkeys(firsts)}
    print(f"\nperfect back, 3 + 3 readings, first advice of {len(firsts)}: {counted}")
    assert firsts.count("carry_on") >= (0.80 - draws.wider(0.02)) * len(firsts)


def test_regret_over_the_all_knowing_is_at_most_a_fifth_of_a_piece(draws):
    print("\nloss per sweater (work of one piece): gauge off by, rule, knowing everything, regret, others")
    for gauge_sd in (0.01, 0.02, 0.03):
        rng = np.random.default_rng(int(1000 * gauge_sd))
        played = [play(rng, gauge_sd, 0.005) for _ in range(draws.of(200))]
        mean = {name: float(np.mean([losses[name] for _, _, losses in played])) for name in played[0][2]}
        plans = [plan for _, plan, _ in played]
        counted = {code: plans.count(code) for code in dict.fromkeys(plans)}
        regret = mean["rule"] - mean["knowing"]
        print(
            f"  {100 * gauge_sd:.0f} %: {mean['rule']:.2f} {mean['knowing']:.2f} {regret:.2f}  "
            f"by labels {mean['by labels']:.2f}, carry on always {mean['carry on always']:.2f}  {counted}"
        )
        assert regret <= 0.20 + draws.wider(0.015)
        assert mean["rule"] < mean["by labels"]
