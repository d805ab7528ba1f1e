"""How long pooling swatches takes beside general packages, as ratios of medians from one run.

    python tests/benchmarks/bench_pooling.py

Balanced invented data: 12 swatches read 4 times. The peer statsmodels fits every reading; PyMARE, where it is
installed, the means with their variances like the pooled change. All three must find the same spread.
"""

from __future__ import annotations

import math
import statistics
import time
import warnings
from collections.abc import Callable

import numpy as np

from fitcheck.notebook.pooled_change import pooled_change

SWATCHES, READINGS = 12, 4


def _median_ms(work: Callable[[], object], times: int) -> float:
    work()  # the first call pays for imports
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(1000 * (time.perf_counter() - start))
    return statistics.median(taken)


def main() -> None:
    readings = np.random.default_rng(5).normal(-4.0, 1.5, SWATCHES)[:, None]
    readings = readings + np.random.default_rng(6).normal(0.0, 0.6, (SWATCHES, READINGS))
    y = readings.mean(axis=1)
    v = np.full(SWATCHES, readings.var(axis=1, ddof=1).mean() / READINGS)
    changes, variances = y.tolist(), v.tolist()

    def pooled() -> object:
        return pooled_change(changes, variances).next_piece()

    ours = _median_ms(pooled, 300)
    spread = pooled_change(changes, variances, prior_sd=math.inf, tau_scale=None).tau_mode ** 2
    print(f"{SWATCHES} swatches, {READINGS} readings each")
    print(f"pooled change and limits      {ours:8.3f} ms              tau^2 {spread:.4f}")

    from statsmodels.regression.mixed_linear_model import MixedLM

    def mixed() -> float:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            fit = MixedLM(readings.ravel(), np.ones((readings.size, 1)), np.repeat(np.arange(SWATCHES), READINGS)).fit(
                reml=True
            )
        return float(fit.cov_re[0, 0])

    peer = _median_ms(mixed, 15)
    print(f"statsmodels MixedLM           {peer:8.3f} ms {peer / ours:8.1f} x   tau^2 {mixed():.4f} (aim 50 x)")

    try:
        from pymare import Dataset
        from pymare.estimators import VarianceBasedLikelihoodEstimator
    except ImportError:
        print("PyMARE                        not installed")
    else:
        data = Dataset(y=y[:, None], v=v[:, None], X=np.ones((SWATCHES, 1)), add_intercept=False)

        def reml() -> float:
            found = VarianceBasedLikelihoodEstimator(method="REML").fit_dataset(data)
            return float(np.squeeze(found.params_["tau2"]))

        peer = _median_ms(reml, 30)
        print(f"PyMARE REML                   {peer:8.3f} ms {peer / ours:8.1f} x   tau^2 {reml():.4f} (aim 5)")

    rng = np.random.default_rng(7)
    many_v = 10 ** rng.uniform(-1, 0.5, 10_000)
    many_y = rng.normal(-4.0, np.sqrt(many_v + 1.0)).tolist()
    many = many_v.tolist()
    taken = _median_ms(lambda: pooled_change(many_y, many).next_piece(), 15)
    print(f"10,000 swatches               {taken:8.3f} ms              (aim under 10 ms)")


if __name__ == "__main__":
    main()
