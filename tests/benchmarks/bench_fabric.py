"""How long the fabric model takes, as ratios: to its budget and to a general mixed-model fit.

Run it from the top folder:  python tests/benchmarks/bench_fabric.py
The data are simulated. Times are medians; a ratio under 1 means faster than what stands after "to".
"""

from __future__ import annotations

import statistics
import time
import warnings
from collections.abc import Callable

import numpy as np

from fitcheck.estimates.fabric.dials import reachable_dials
from fitcheck.estimates.fabric.fit import fit_fabric
from fitcheck.estimates.fabric.specimens import PointReading, Specimen, SpecimenStage
from fitcheck.estimates.numbers import Estimate

BUDGET_MS = 15.0
"""A whole fabric: 12 swatches at 3 stages and 5 pieces."""
CHANGE = {"off_machine": (0.0, -0.12), "rested": (0.02, -0.04), "blocked": (0.0, 0.0)}


def fabric(swatches: int, pieces: int, stages: tuple[str, ...]) -> list[Specimen]:
    """Simulated swatches at dials 6, 7, 8 and pieces at 7 with six points each."""
    rng = np.random.default_rng(1)
    made = []
    for k in range(swatches + pieces):
        piece = k >= swatches
        dial = 7.0 if piece else (6.0, 7.0, 8.0)[k % 3]
        true = np.log([4.4, 3.1]) + np.log1p(np.array([0.075, 0.06]) * (dial - 7)) + 0.01 * rng.normal(size=2)
        read = []
        for stage in stages[:-1] if piece else stages:
            value = np.exp(true - np.array(CHANGE[stage]) + 0.007 * rng.normal(size=2))
            read.append(SpecimenStage(stage, *(Estimate(float(v), 0.005 * float(v)) for v in value)))
        points = [
            PointReading(direction, n, Estimate(n * float(np.exp(true[c] + 0.007 * rng.normal())), 2.0))
            for c, direction, counts in ((0, "across", (120, 118, 84, 40)), (1, "along", (180, 64)))
            for n in counts
        ]
        made.append(Specimen(f"s{k}", dial, piece, tuple(read), tuple(points) if piece else ()))
    return made


def median_ms(work: Callable[[], object], times: int = 25) -> float:
    """Median time of a call [ms], after one call to warm up."""
    work()
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(1e3 * (time.perf_counter() - start))
    return statistics.median(taken)


def mixed_model_ms() -> float:
    """Time of a general mixed-model fit (statsmodels) of one direction of 12 swatches x 3 stages [ms]."""
    import statsmodels.api as sm

    rows = [
        (np.log(stage.across.value), k, specimen.dial - 7, stage.stage)
        for k, specimen in enumerate(fabric(12, 0, tuple(CHANGE)))
        for stage in specimen.stages
    ]
    y, groups = np.array([r[0] for r in rows]), np.array([r[1] for r in rows])
    X = np.array([(1.0, r[2], r[3] == "rested", r[3] == "off_machine") for r in rows], dtype=float)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return median_ms(lambda: sm.MixedLM(y, X, groups).fit(reml=True), 7)


def main() -> None:
    """Print the table."""
    whole = fabric(12, 5, tuple(CHANGE))
    fitted = fit_fabric(whole)
    whole_ms = median_ms(lambda: fit_fabric(whole))
    peer_ms = mixed_model_ms()
    blocked = fabric(12, 0, ("blocked",))
    few = fabric(2, 0, ("blocked",))
    print(f"whole fabric (12 swatches x 3 stages + 5 pieces): {whole_ms:.1f} ms")
    print(f"  to its budget of {BUDGET_MS:g} ms: {whole_ms / BUDGET_MS:.2f}")
    print(f"  to one direction by a general mixed model ({peer_ms:.0f} ms): {whole_ms / peer_ms:.2f}")
    for name, work in (
        ("12 swatches, blocked only", lambda: fit_fabric(blocked)),
        ("2 swatches, blocked only", lambda: fit_fabric(few)),
        ("gauge at one dial", lambda: fitted.gauge(7.0)),
        ("a piece carried, with the next one", lambda: fitted.pair("s12")),
        ("31 clicks", lambda: fitted.clicks(reachable_dials(0, 10), 4.4, 0.1)),
        (
            "next swatch of 13 dials x 3 sizes",
            lambda: fitted.next_swatch(reachable_dials(5, 9), 1080, [30, 40, 60]),
        ),
    ):
        taken = median_ms(work)
        print(f"{name}: {taken:.1f} ms, {taken / whole_ms:.2f} to the whole fabric")


if __name__ == "__main__":
    main()
