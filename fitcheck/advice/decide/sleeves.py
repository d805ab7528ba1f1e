"""Sleeves that are still to come beside a body piece: their best counts in the fabric that this piece shows.

They are the same whatever is done with this piece, so they are in no loss and no chance of it. A planned count stands
unless its expected loss falls by more than a hundredth, with both sides of what is allowed set to the smaller one.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from fitcheck.advice.alteration import Alteration
from fitcheck.advice.decide.garment import NINE_IN_TEN, WORTH_A_COUNT
from fitcheck.advice.left import kinds_left, sleeves_there
from fitcheck.advice.loss import expected_loss_even
from fitcheck.advice.rest.count_series import CountsError, nearest_count
from fitcheck.advice.rest.planned import planned_counts
from fitcheck.advice.target.wanted import Target, targets
from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.piece import LOCAL_SD
from fitcheck.estimates.readings import Pool
from fitcheck.records.households import Household
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import BODY, POINTS


def sleeve_counts(
    make: Make,
    household: Household,
    piece: Piece,
    stitch: tuple[float, float] | None,
    *,
    pool: Pool | None = None,
    repeats: Mapping[str, tuple[int, int]] | None = None,
    needles: int | None = None,
) -> tuple[Alteration, ...]:
    """Other counts than planned for the widths of the sleeves; none beside a sleeve, or where nothing tells the stitch.

    stitch   width of the next piece's stitch [mm], and its standard uncertainty, relative [1]
    pool     repeatability of the hand that read the garment
    repeats  stitches of the pattern repeat, and those over, at the points that hold whole ones
    """
    planned = planned_counts(make, household, "sleeve")
    if stitch is None or piece.piece not in BODY or not planned:
        return ()
    if "sleeve" not in kinds_left(make, piece) or sleeves_there(make):
        # One that is there already is what the other is knitted like.
        return ()
    to_come = Piece.model_construct(id="sleeve_to_come", piece="sleeve", counts={}, stages=[])
    listed: list[Alteration] = []
    size, unsure = stitch
    for target in targets(make, to_come, household, pool=pool).points:
        before, wanted = planned.get(target.key), target.wanted
        if POINTS[target.key].direction != "across" or before is None or wanted is None:
            continue
        count = _count(wanted.value / size, before, (repeats or {}).get(target.key, (1, 0)), needles)
        if count is None or count == before:
            continue
        saved = saved_by(target, wanted, (before * size, count * size), unsure)
        change = (count - before) * size
        if saved > WORTH_A_COUNT and abs(change) > NINE_IN_TEN * wanted.u:
            left = count * size - wanted.value
            listed.append(Alteration(target.key, "sleeve", change, count - before, count, left))
    return tuple(listed)


def saved_by(target: Target, wanted: Estimate, lengths_mm: tuple[float, float], unsure: float) -> float:
    """What a piece to come loses less with the second length than with the first [works of a back].

    lengths_mm  of the piece as it is planned, and with another count [mm]
    unsure      how far the size of its stitch or row is not known, relative [1]
    """
    u = math.hypot(wanted.u, wanted.value * math.hypot(unsure, LOCAL_SD))
    aim = min(side for side in (*target.tolerance_mm, *POINTS[target.key].tolerance) if math.isfinite(side))
    planned, changed = (
        float(expected_loss_even(length_mm - wanted.value, u, aim, target.weight)) for length_mm in lengths_mm
    )
    return planned - changed


def _count(ideal: float, before: int, repeat: Sequence[int], needles: int | None) -> int | None:
    """The nearest count of whole repeats that keeps the parity of the planned one, on the bed; None where none does."""
    multiple, balance = repeat
    try:
        return nearest_count(
            ideal,
            1.0,
            swallowed=0.0,
            parity=("odd" if before % 2 else "even") if multiple == 1 else None,
            multiple=multiple,
            balance=balance,
            most=needles,
        )
    except CountsError:
        return None
