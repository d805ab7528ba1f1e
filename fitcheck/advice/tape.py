"""What the tape says at a point: the readings that count, as an estimate, and how they were read."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.readings import Pool, estimate_readings, overhang_estimate, type_a
from fitcheck.records.frozen import frozen
from fitcheck.records.readings import Reading
from fitcheck.records.repeatability import OVERHANG, TAPE

Read = tuple[float, float, str, int | None, int, bool]
"""A reading that counts: value [mm], resolution [mm], unit, laying, look, and whether it was asked about and kept."""


@frozen
class Taped:
    """One side of a comparison, as the tape says it.

    estimate        [mm]; its ``outliers`` places count the readings that count
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
    lengths = [reading.length for listed in lists for reading in listed]
    return _finest([length.unit for length in lengths], [length.resolution_mm for length in lengths])


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
    read = tuple(
        [
            (length.value_mm, length.resolution_mm, length.unit, reading.laying, reading.look, reading.confirmed)
            for reading in readings
            if not reading.set_aside
            for length in (reading.length,)
        ]
    )
    return _taped(read, pool, overhang, None if steps is None else tuple(steps.items())) if read else None


@lru_cache(maxsize=2048)
def _taped(
    read: tuple[Read, ...], pool: Pool | None, overhang: bool, steps: tuple[tuple[str, float], ...] | None
) -> Taped:
    """The steps of a report ask for the same readings again and again; each is estimated once."""
    values, written, units, layings, looks, confirmed = zip(*read, strict=True)
    finest_step = dict(steps) if steps is not None else _finest(units, written)
    resolutions = [min(step, finest_step.get(unit, math.inf)) for step, unit in zip(written, units, strict=True)]
    estimate = (overhang_estimate if overhang else estimate_readings)(
        values, laying=layings, resolution_mm=resolutions, pool=pool
    )
    kept = [place for place in estimate.outliers if confirmed[place]]
    if kept and len(kept) == len(estimate.outliers):
        estimate = _all_kept(estimate, list(values))
    judge = pool or Pool(prior=OVERHANG if overhang else TAPE)
    at = abs(estimate.value)
    return Taped(
        estimate,
        len(values),
        len(set(layings)),
        max(looks),
        math.hypot(judge.s_mm(at), judge.laying_mm(at)),
        math.sqrt(math.fsum([d * d for d in resolutions]) / len(resolutions)),
        len(values) > 1 and None in layings,
    )


def _finest(units: Sequence[str], written: Sequence[float]) -> dict[str, float]:
    steps: dict[str, float] = {}
    for unit, step in dict.fromkeys(zip(units, written, strict=True)):
        steps[unit] = min(step, steps.get(unit, math.inf))
    return steps


def _all_kept(estimate: Estimate, values: list[float]) -> Estimate:
    """The mean of readings that range further than they should, each looked at and kept.

    Then nothing is a slip, and the mean tells what was read; but the hand's usual scatter does not explain these
    readings, so u is their own where that is larger: u = s / sqrt(k), k - 1 degrees of freedom (JCGM 100:2008, 4.2).
    """
    own = type_a(values)
    if own.u <= estimate.u:
        return replace(estimate, value=own.value, outliers=())
    return Estimate(own.value, own.u, own.dof, source="", basis=estimate.basis)
