"""What rows at the lower end of a knitted piece have made up since it was read.

Where the counts that were advised of it were taken, the make says so. Else what had clearly paid is taken for done.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from fitcheck.advice.decide.measuring import CLOSE_ENOUGH
from fitcheck.advice.loss import expected_loss
from fitcheck.advice.rest.nested import LOWEST
from fitcheck.advice.target.wanted import Target
from fitcheck.estimates.numbers import Estimate
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import POINTS


def taken_rows(make: Make, piece: Piece) -> dict[str, tuple[int, int]]:
    """Rows of the lengths of a knitted piece that end at its lower end: as they were recorded, and as they are since.

    Its advised counts became the planned ones while its own stayed: rows came off there, or went on.
    """
    own = {key: counts.best for key, counts in piece.counts.items()}
    return {
        str(taken.point): (taken.instead_of, taken.count)
        for taken in make.taken_now
        if taken.piece == piece.piece and taken.instead_of and taken.instead_of == own.get(taken.point)
        if LOWEST in POINTS[taken.point].zones and POINTS[taken.point].direction == "along"
    }


def altered_end(points: Mapping[str, Target], off: Mapping[str, Estimate], share: float, work: float) -> float:
    """Rows off (+) or on (-) at the lower end of a piece that is knitted, since it was read [mm].

    Where they save clearly more than their work they were advised, and nobody read the piece again (assumed). They go
    to the mean of what its lengths lack, as for the piece on the table.

    points  what the piece must measure;  off: how far it was off there when it was read [mm]
    share   how far the garment's lengths moved with it when it was judged [mm per mm]
    work    of altering the lower end [works of a back]
    """
    ends = [key for key in off if (by := POINTS[key].make_up) is not None and by.by == "hem"]
    low, high = np.array([points[key].tolerance_mm for key in ends]).reshape(-1, 2).T
    weight = np.array([points[key].weight for key in ends])
    pull = weight / np.minimum(low, high) ** 2
    if not pull.any():
        return 0.0
    d, u = np.array([(off[key].value, off[key].u) for key in ends]).T
    amount = float(pull @ d / pull.sum())
    both = share * np.array([d, d - amount])
    as_read, altered = expected_loss(both, share * u, low, high, weight).sum(axis=1)
    return amount if as_read - altered > work + CLOSE_ENOUGH else 0.0
