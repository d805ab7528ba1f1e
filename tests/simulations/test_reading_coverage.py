"""Does the 90 % interval of a difference hold the true difference nine times in ten?

Simulated household (invented truths): one make, seven points of 500 mm, each read k times on the piece and on
the garment, to the whole millimetre; the pool learns from the fourteen sets of that make and nothing else.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Sequence
from dataclasses import dataclass

import numpy as np
import pytest

from fitcheck.estimates.readings import ReadingSet, combine, estimate_readings, pool_repeatability
from fitcheck.estimates.student import student_quantile

LENGTH_MM = 500.0
POINTS = 7
REPLICATES = 400
ERROR = 0.007  # of a coverage of 90 % in 400 times 7 points
Z90 = 1.6449  # 95 % point of the normal distribution


@dataclass(frozen=True)
class Truth:
    """How a hand really scatters at 500 mm."""

    name: str
    reading_mm: float
    laying_mm: float


AS_ASSUMED = Truth("as assumed (2.5 + 2.0 mm)", 2.5, 2.0)  # hypot(1.5, 0.004 * 500) and 0.004 * 500, by hand
STEADY_TAPE = Truth("steady tape (1.5 + 2.0 mm)", 1.5, 2.0)


def make(rng: np.random.Generator, truth: Truth, laying: Sequence[int]) -> list[list[float]]:
    """Fourteen sets of readings of 500 mm to the whole mm: seven points of the piece, then of the garment."""
    shape = (2 * POINTS, len(laying))
    true = LENGTH_MM + rng.uniform(-0.5, 0.5, size=(2 * POINTS, 1))  # so that rounding is not always the same
    laid = rng.normal(0.0, truth.laying_mm, size=(2 * POINTS, max(laying) + 1))[:, list(laying)]
    read = np.rint(true + laid + rng.normal(0.0, truth.reading_mm, size=shape))
    return (read - true + LENGTH_MM).tolist()  # about one true length, the rounding kept


def cover(
    truth: Truth, laying: Sequence[int], *, known: Sequence[Hashable] | None, seed: int, times: int
) -> tuple[float, float]:
    """Coverage and mean half width [mm] of the 90 % interval of piece - garment; known = layings as typed."""
    rng = np.random.default_rng(seed)
    held, half = 0, 0.0
    for _ in range(times):
        sets = make(rng, truth, laying)
        pool = pool_repeatability([ReadingSet(values, known) for values in sets])
        sides = [estimate_readings(v, laying=known, resolution_mm=1.0, pool=pool) for v in sets]
        for piece, garment in zip(sides[:POINTS], sides[POINTS:], strict=True):
            limits = combine(piece, garment, weights=(1, -1)).interval(0.90)
            held += 0.0 in limits
            half += (limits.high - limits.low) / 2
    return held / (times * POINTS), half / (times * POINTS)


@pytest.mark.simulation
def test_readings_of_several_layings_cover_nine_in_ten(draws) -> None:
    times, wider = draws.of(REPLICATES), draws.wider(ERROR)
    print("\n90 % interval of piece - garment, each reading of its own laying: coverage (half width, mm)")
    for truth, least, most in ((AS_ASSUMED, 0.87, 0.93), (STEADY_TAPE, 0.87, 1.0)):
        for k in (2, 3, 4, 6, 10):
            held, half = cover(truth, range(k), known=range(k), seed=100 + k, times=times)
            print(f"  {truth.name}  k = {k:2d}: {100 * held:5.1f} %  ({half:.2f})")
            assert least - wider <= held <= most + wider, (truth.name, k, held)


@pytest.mark.simulation
def test_readings_of_a_few_layings_cover_nine_in_ten(draws) -> None:
    times, wider = draws.of(REPLICATES), draws.wider(ERROR)
    print("\n90 % interval of piece - garment, two or more readings a laying: coverage (half width, mm)")
    for truth, least, most in ((AS_ASSUMED, 0.87, 0.93), (STEADY_TAPE, 0.87, 1.0)):
        for laying in ((0, 0, 1), (0, 0, 1, 1), (0, 0, 1, 1, 2, 2), (0, 0, 0, 0, 0, 1, 1, 1, 1, 1)):
            held, half = cover(truth, laying, known=laying, seed=200 + len(laying), times=times)
            plan = f"{len(laying)} in {max(laying) + 1}"
            print(f"  {truth.name}  {plan:>7}: {100 * held:5.1f} %  ({half:.2f})")
            assert least - wider <= held <= most + wider, (truth.name, plan, held)


@pytest.mark.simulation
def test_readings_of_one_laying_cover_only_when_the_laying_is_known(draws) -> None:
    times, wider = draws.of(REPLICATES), draws.wider(ERROR)
    print("\n90 % interval of piece - garment, all readings of a side of one laying: coverage (half width, mm)")
    for truth in (AS_ASSUMED, STEADY_TAPE):
        for k in (2, 3, 4, 6, 10):
            one = [0] * k
            known, half = cover(truth, one, known=None, seed=300 + k, times=times)
            wrong, wrong_half = cover(truth, one, known=range(k), seed=300 + k, times=times)
            print(
                f"  {truth.name}  k = {k:2d}: laying known {100 * known:5.1f} % ({half:.2f}), "
                f"typed as {k} layings {100 * wrong:5.1f} % ({wrong_half:.2f})"
            )
            assert known >= 0.87 - wider, (truth.name, k, known)
            if truth is AS_ASSUMED:
                assert known <= 0.93 + wider, (k, known)
            if k >= 3:
                assert wrong < known - 0.05 + wider / 3, "typing one laying as several must be seen to cost coverage"


@pytest.mark.simulation
def test_leaving_the_laying_out_covers_half_at_three_readings_and_a_third_at_ten() -> None:
    """One length, tape 1.5 mm known, laying 2 mm left out, read to 1 mm: 51 % at 3 readings, 34 % at 10.

    The two figures were measured by an earlier simulation of the same truth; here readings are drawn anew.
    """
    rng = np.random.default_rng(400)
    draws = 20_000
    print("\n90 % interval of one length that leaves the laying out (tape 1.5 mm known, laying 2 mm): coverage")
    for k, expected in ((3, 0.51), (10, 0.34)):
        laid = rng.normal(0.0, STEADY_TAPE.laying_mm, size=(draws, 1))
        start = rng.uniform(-0.5, 0.5, size=(draws, 1))
        read = np.rint(start + laid + rng.normal(0.0, STEADY_TAPE.reading_mm, size=(draws, k))) - start
        u = math.sqrt(STEADY_TAPE.reading_mm**2 / k + 1.0 / 12.0)
        without = float(np.mean(np.abs(read.mean(axis=1)) <= Z90 * u))
        ours = [estimate_readings(LENGTH_MM + row, resolution_mm=1.0).interval(0.90) for row in read[:2000]]
        kept = float(np.mean([LENGTH_MM in limits for limits in ours]))
        print(f"  k = {k:2d}: laying left out {100 * without:.1f} %, ours without a pool {100 * kept:.1f} %")
        assert without == pytest.approx(expected, abs=0.02)
        assert kept >= 0.88


@pytest.mark.simulation
def test_sides_of_one_pool_share_its_degrees_of_freedom() -> None:
    """Households whose true scatter is drawn from the prior itself: the interval is then exact at 90 %.

    One reading a side and nothing else known, phi^2 = 6/chi^2(6): t with 6 degrees of freedom covers 90 %;
    counting the two sides' shared pool twice (12 degrees of freedom) would cover less.
    """
    rng = np.random.default_rng(500)
    draws = 100_000
    one = estimate_readings([LENGTH_MM])
    gap = combine(one, one, weights=(1, -1))
    phi = np.sqrt(6.0 / rng.chisquare(6, size=draws))
    piece, garment = rng.normal(0.0, 1.0, size=(2, draws)) * phi * math.hypot(2.5, 2.0)
    away = np.abs(piece - garment)
    held = float(np.mean(away <= gap.interval(0.90).high))
    twice = float(np.mean(away <= student_quantile(0.95, 12.0) * gap.u))
    print(f"\nOne reading a side, scatter from the prior: {100 * held:.1f} %; pool twice {100 * twice:.1f} %")
    assert held == pytest.approx(0.90, abs=0.003)  # three standard errors of 100,000 draws
    assert twice < held - 0.01
