"""The rule by which counts are taken, wherever they are looked for: what was planned, else what is likeliest to fit.

Planned counts stand unless the expected loss falls by more than WORTH with others. Among those that save as much, the
ones within ALIKE of the least are as good: the likeliest to fit is taken, then the wider. A whole programme
(`counts_for_rest`) asks so for every combination of a part, the decision for one count in many garments at once: hence
arrays, the last axis of which holds what there is to choose from.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

WORTH = 0.01
"""Fall of E for which planned counts are given up [works of a back]."""
ALIKE = 0.02
"""E of counts that are as good as the best [works of a back]."""
EXACT = 1e-9
"""Difference of two E that is only rounding [works of a back]."""
UNLIKELY = 1e-9
"""Chance that counts as none, so that its logarithm is finite."""


def planned_stand(planned: Array, least: Array) -> Mask:
    """Whether planned counts stand beside new ones of this E [works of a back]."""
    return np.asarray(planned <= least + WORTH)


def best_at(losses: Array, log_fits: Array, widths: Array, *, planned: Array) -> NDArray[np.intp]:
    """Where the best of new counts stands on the last axis; any place where the planned ones stand.

    losses    E [works of a back]; infinite where a demand is broken
    log_fits  logarithm of the chance that they fit;  widths: what tells the wider of two
    planned   E of the planned counts, infinite where there are none, with a last axis of one
    """
    alike = (losses <= losses.min(axis=-1, keepdims=True) + ALIKE) & (planned > losses + WORTH)
    likely = np.where(alike, log_fits.round(9), -np.inf)
    as_likely = likely == likely.max(axis=-1, keepdims=True)
    return np.asarray(np.where(as_likely, widths, -np.inf).argmax(axis=-1))
