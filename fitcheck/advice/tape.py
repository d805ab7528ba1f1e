"""What the tape says at a point: the readings that count, as an estimate, and how they were read."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.readings import (
    OVERHANG_HAND,
    TAPE_HAND,
    Pool,
    estimate_readings,
    overhang_estimate,
)
from fitcheck.records.readings import Reading


@dataclass(frozen=True, slots=True)
class Taped:
    """One side of a comparison, as the tape says it.

    estimate        [mm]; its ``wild`` places count the readings that count
    readings        readings that count
    layings         layings that they are of
    looks           rounds of readings so far
    s_mm            SD of one reading, its laying included [mm]
    resolution_mm   what the readings were written to, root of the mean square [mm]
    laying_assumed  several readings, and for some of them nobody said which laying: taken as one laying
    """

    estimate: Estimate
    readings: int
    layings: int
    looks: int
    s_mm: float
    resolution_mm: float
    laying_assumed: bool


def finest(lists: Iterable[Sequence[Reading]]) -> dict[str, float]:
    """Finest step that one measuring was written to, per unit [mm].

    Who writes 7 1/8 in beside 7 in read both to an eighth: a whole number among fractions is no coarser reading.
    """
    steps: dict[str, float] = {}
    for reading in (one for listed in lists for one in listed):
        length = reading.length
        steps[length.unit] = min(length.resolution_mm, steps.get(length.unit, math.inf))
    return steps


def taped(
    readings: Sequence[Reading],
    pool: Pool | None = None,
    *,
    overhang: bool = False,
    steps: Mapping[str, float] | None = None,
) -> Taped | None:
    """Estimate a list of readings (or overhangs); readings set aside do not count. None when none counts.

    Readings without a laying are all of one laying, so more of them never reach past what that laying allows.

    pool   the household's repeatability of this kind of reading; None = the usual hand
    steps  finest step per unit of the whole measuring, as finest() has it [mm]; None = of these readings alone
    """
    counting = [reading for reading in readings if not reading.set_aside]
    if not counting:
        return None
    lengths = [reading.length for reading in counting]
    layings = [reading.laying for reading in counting]
    written = finest([counting]) if steps is None else steps
    resolutions = [min(length.resolution_mm, written.get(length.unit, math.inf)) for length in lengths]
    values = [length.value_mm for length in lengths]
    estimate = (overhang_estimate if overhang else estimate_readings)(
        values, laying=layings, resolution_mm=resolutions, pool=pool
    )
    hand = pool or Pool(hand=OVERHANG_HAND if overhang else TAPE_HAND)
    at = abs(estimate.value)
    return Taped(
        estimate,
        len(values),
        len(set(layings)),
        max(reading.look for reading in counting),
        math.hypot(hand.s_mm(at), hand.laying_mm(at)),
        math.sqrt(math.fsum(d * d for d in resolutions) / len(resolutions)),
        len(values) > 1 and None in layings,
    )
