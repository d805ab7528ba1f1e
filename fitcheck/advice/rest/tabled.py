"""One count of a programme from what is known of its point: what each candidate may lose, and how likely it fits."""

from __future__ import annotations

import math
from collections.abc import Sequence

from fitcheck.advice.rest.loss_table import Known, both_tables
from fitcheck.advice.rest.programme import Choice
from fitcheck.records.points import POINTS

LEAST_WEIGHT = 1e-6
"""Weight of a point that nobody minds: its count is still the nearest one."""


def tabled(
    key: str,
    values: Sequence[int],
    known: Known,
    tolerance_mm: tuple[float, float],
    *,
    usual_mm: float,
    weight: float,
    planned: int | None = None,
) -> Choice:
    """A count that aims at what is wanted, whatever is allowed: both sides count as the smaller (fit rule 26).

    tolerance_mm  allowed (too small, too large) [mm], infinite where free: the chance takes the real sides
    usual_mm      what is usually allowed, where both sides are free [mm]
    weight        omega of the loss [1];  planned: the count that was planned
    """
    least = min(tolerance_mm)
    even = least if math.isfinite(least) else usual_mm
    return Choice(key, *both_tables(values, even, tolerance_mm, max(weight, LEAST_WEIGHT), known), planned)


def usual_mm(key: str) -> float:
    """What is usually allowed of a piece at a point [mm]."""
    return min(POINTS[key].tolerance) * POINTS[key].per_piece
