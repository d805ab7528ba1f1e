"""How often a miscount is found, and how often one is seen that is not there. Simulated, seeds fixed."""

from __future__ import annotations

import math
from collections import Counter

import numpy as np
import pytest

from fitcheck.advice.judge.explanation import explain_piece
from fitcheck.advice.judge.points import PiecePoint
from fitcheck.estimates.numbers import Estimate

pytestmark = pytest.mark.simulation

COUNTS = {"hem": 120, "chest": 120, "shoulder_width": 98, "neck_width": 44}  # invented back
WIDTH_MM = 4.4
PIECES = 600
SLIPS = [("chest", 4), ("chest", -4), ("chest", 2), ("chest", -2), ("neck_width", 2), ("neck_width", -2)]


def explained(
    tape: float,
    *,
    at: str = "chest",
    extra: float = 0.0,
    everywhere: float = 0.0,
    edge_sd: float = 0.0,
    step: float = 0.0,
) -> Counter[tuple[str, str | None]]:
    """Explanations of simulated pieces: true SD from place to place 0.5 %, 2 % between pieces.

    extra       stitches more than counted at one point; everywhere: at all of them
    edge_sd     SD of a true common edge offset [mm]; step: second gauge from the shoulder on [relative]
    """
    rng = np.random.default_rng(11)
    found: Counter[tuple[str, str | None]] = Counter()
    for _ in range(PIECES):
        width = WIDTH_MM * math.exp(0.02 * rng.standard_normal())
        offset = edge_sd * rng.standard_normal()
        points = []
        for key, count in COUNTS.items():
            true_count = count + everywhere + (extra if key == at else 0)
            gauge = width * (1 + step if key in ("shoulder_width", "neck_width") else 1)
            length = true_count * gauge * math.exp(0.005 * rng.standard_normal()) + offset
            measured = Estimate(length + tape * rng.standard_normal(), tape)
            points.append(PiecePoint(key, "across", Estimate(count * WIDTH_MM), measured, 6.0, count))
        explanation = explain_piece(points)
        found[explanation.code, explanation.point] += 1
    return found


def flagged(found: Counter[tuple[str, str | None]]) -> float:
    return 1 - sum(n for (code, _), n in found.items() if code == "one_gauge") / PIECES


def named(found: Counter[tuple[str, str | None]], at: str) -> float:
    return found["miscount", at] / PIECES


def test_a_miscount_is_found_as_often_as_the_model_promises():
    print("\npower, true SD from place to place 0.5 %, four points across, no swatch known:")
    power = {}
    for tape in (1.0, 3 / math.sqrt(3)):
        for at, extra in SLIPS:
            found = explained(tape, at=at, extra=extra)
            power[round(tape, 2), at, extra] = flagged(found)
            there = named(found, at)
            print(f"  u {tape:.2f} mm, {at:10} {extra:+d}: found {flagged(found):.3f}, named there {there:.3f}")
    # The model's figures (91 %, 13 %, 99 %) are met with u = 1 mm a point; the standard error is about 1 %.
    for sign in (1, -1):
        assert power[1.0, "chest", 4 * sign] >= 0.85
        assert power[1.0, "chest", 2 * sign] <= 0.30
        assert power[1.0, "neck_width", 2 * sign] >= 0.95
        assert power[1.73, "chest", 4 * sign] >= 0.75
        assert power[1.73, "neck_width", 2 * sign] >= 0.75


def test_a_miscount_is_named_at_its_own_point():
    for at, extra in (("chest", 4), ("neck_width", 2)):
        found = explained(1.0, at=at, extra=extra)
        assert named(found, at) >= 0.80 * flagged(found), found


def test_a_piece_without_a_miscount_is_rarely_doubted():
    print("\nfalse alarms (no miscount):")
    for tape in (1.0, 3 / math.sqrt(3)):
        none, offset = flagged(explained(tape)), flagged(explained(tape, edge_sd=4.0))
        print(f"  u {tape:.2f} mm: {none:.3f}; with a true edge offset of SD 4 mm {offset:.3f}")
        assert none <= 0.03
        assert offset <= 0.06


def test_a_wrong_cast_on_and_a_second_gauge_are_doubted():
    print("\nother explanations, u 1.00 mm:")
    cast_on, gauges = explained(1.0, everywhere=4), explained(1.0, step=0.06)
    for name, found in (("cast-on +4", cast_on), ("second gauge +6 %", gauges)):
        print(f"  {name}: flagged {flagged(found):.3f}, {dict(found.most_common(4))}")
    # Without a known stitch size a wrong cast-on looks like a miscount at the narrowest point: it is doubted,
    # and the weights say which; no claim is made here that it is named.
    assert flagged(cast_on) >= 0.5
    assert sum(n for (code, _), n in gauges.items() if code == "two_gauges") >= 0.5 * PIECES
