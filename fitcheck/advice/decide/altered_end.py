"""What rows at the lower end of a knitted piece have made up since it was read, where the make does not say it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from fitcheck.advice.decide.garment import LEAST_SHARE
from fitcheck.advice.decide.measuring import CLOSE_ENOUGH
from fitcheck.advice.loss import expected_loss
from fitcheck.advice.target.wanted import Target
from fitcheck.estimates.numbers import Estimate
from fitcheck.records.points import POINTS


def altered_end(points: Mapping[str, Target], off: Mapping[str, Estimate], share: float, work: float) -> float:
    """Rows off (+) or on (-) at the lower end of a piece that is knitted, since it was read [mm].

    Where they save clearly more than their work they were advised, and nobody read the piece again (assumed). They go
    to the mean of what its lengths lack, as for the piece on the table; half of what is allowed is left alone.

    points  what the piece must measure;  off: how far it was off there when it was read [mm]
    share   how far the garment's lengths moved with it when it was judged [mm per mm]
    work    of altering the lower end [works of a back]
    """
    ends = [key for key in off if (by := POINTS[key].make_up) is not None and by.by == "hem"]
    if not any(share * abs(off[key].value) > LEAST_SHARE * min(points[key].tolerance_mm) for key in ends):
        return 0.0
    low, high = np.array([points[key].tolerance_mm for key in ends]).T
    weight = np.array([points[key].weight for key in ends])
    pull = weight / np.minimum(low, high) ** 2
    d, u = np.array([(off[key].value, off[key].u) for key in ends]).T
    amount = float(pull @ d / pull.sum())
    both = share * np.array([d, d - amount])
    as_read, altered = expected_loss(both, share * u, low, high, weight).sum(axis=1)
    return amount if as_read - altered > work + CLOSE_ENOUGH else 0.0
