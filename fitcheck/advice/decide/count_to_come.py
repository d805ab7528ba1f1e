"""A count of a piece that is still to come, as a part of the counts for the rest."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.advice.rest.loss_table import Known
from fitcheck.advice.rest.programme import Choice
from fitcheck.advice.rest.tabled import tabled, usual_mm
from fitcheck.advice.target.wanted import Target


def of_target(
    target: Target, values: Sequence[int], size_mm: float, unsure: float, *, planned: int | None = None
) -> Choice:
    """A count of a piece that is still to come, for what the piece itself must measure there, seams included.

    values   candidates
    size_mm  stitch width or row height of the next piece [mm];  unsure: of it, pieces differing among it, relative [1]
    """
    assert target.wanted is not None
    known: Known = {
        "wanted_mm": target.wanted.value,
        "size_mm": size_mm,
        "swallowed": 0.0,
        "u_size": unsure,
        "piece": 0.0,
        "u_wanted_mm": target.wanted.u,
    }
    allowed, usual = target.tolerance_mm, usual_mm(target.key)
    return tabled(target.key, values, known, allowed, usual_mm=usual, weight=target.weight, planned=planned)
