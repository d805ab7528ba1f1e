"""What statsmodels, a peer, makes of the data that the tests of the estimates hold themselves against.

It is large to install and takes 2 s to import, so tests read `peers.json`; `test_peers.py` works everything out anew
where statsmodels is (extra `dev`, CI's second part). Write the file anew: ``python -m tests.published.peers``.
"""

from __future__ import annotations

import json
import math
import warnings
from pathlib import Path
from typing import Any

import numpy as np

FILE = Path(__file__).with_name("peers.json")
DIAL = (5.0, 5.0, 6.0, 6 + 1 / 3, 7.0, 7.0, 8.0)
"""Dial numbers in thirds of invented swatches."""
WIDTH = (3.87, 3.93, 4.21, 4.27, 4.52, 4.44, 4.79)
"""Their stitch widths [mm]."""
CLINIC = json.loads(FILE.with_name("check_values.json").read_text(encoding="utf-8"))["tost_var1"]["data"]
MARGINS = ((0.4, 0.4), (0.6, 0.6), (0.71, 0.71), (0.9, 0.9), (0.3, 0.8), (1.5, 0.75))
"""Margins of the two one-sided tests of the clinic data: how much narrower, how much wider."""


def groups(seed: int, mean: float, between: float, within: float) -> np.ndarray:
    """Simulated readings: 8 groups of 4."""
    rng = np.random.default_rng(seed)
    return rng.normal(mean, between, 8)[:, None] + rng.normal(0, within, (8, 4))


FABRIC = groups(20240, 0.0, 2.0, 1.0)
"""Simulated sizes of 8 swatches read 4 times."""
CHANGE = groups(11, -4.0, 2.0, 0.8)
"""Simulated changes of 8 swatches read 4 times [%]."""


def kept() -> dict[str, Any]:
    """What stands in the file."""
    return json.loads(FILE.read_text(encoding="utf-8"))  # type: ignore[no-any-return]


def worked_out() -> dict[str, Any]:
    """What the peer says now."""
    import statsmodels
    import statsmodels.api as sm
    from statsmodels.regression.mixed_linear_model import MixedLM
    from statsmodels.stats.weightstats import ttost_ind

    def mixed(readings: np.ndarray) -> dict[str, float]:
        """Restricted likelihood of every reading, with a group's own mean; good to about 1e-4."""
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # about the scale of its own Hessian
            fit = MixedLM(readings.ravel(), np.ones((32, 1)), np.repeat(np.arange(8), 4)).fit(reml=True)
        return {"within": float(fit.scale), "between": float(fit.cov_re[0, 0]), "mean": float(fit.fe_params[0])}

    line = sm.OLS(WIDTH, sm.add_constant(np.array(DIAL))).fit()
    cov = line.cov_params()
    at = line.get_prediction([[1.0, 7.5]]).summary_frame(alpha=0.10).iloc[0]
    return {
        "by": f"statsmodels {statsmodels.__version__}",
        "two one-sided tests": [
            float(ttost_ind(CLINIC["a"], CLINIC["b"], -narrower, wider, usevar="unequal")[0])
            for narrower, wider in MARGINS
        ],
        "line": {
            "parameters": line.params.tolist(),
            "errors": line.bse.tolist(),
            "variance": float(line.mse_resid),
            "correlation": float(cov[0, 1] / math.sqrt(cov[0, 0] * cov[1, 1])),
            "mean at 7.5": at[["mean", "mean_ci_lower", "mean_ci_upper"]].tolist(),
            "new at 7.5": at[["obs_ci_lower", "obs_ci_upper"]].tolist(),
        },
        "fabric": mixed(FABRIC),
        "change": mixed(CHANGE),
    }


if __name__ == "__main__":
    FILE.write_text(json.dumps(worked_out(), indent=1) + "\n", encoding="utf-8")
