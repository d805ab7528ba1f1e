"""What the tape says at a point: the readings that count, as an estimate, and how they were read."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, replace
from typing import Any

from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.readings import Pool, estimate_readings, overhang_estimate, type_a
from fitcheck.records.hand import OVERHANG_HAND, TAPE_HAND
from fitcheck.records.readings import Reading

_once: ContextVar[dict[tuple[Any, ...], tuple[Any, ...]] | None] = ContextVar("once", default=None)
"""What was estimated so far, by the identity of what it was estimated from, which is kept beside it: as long as
it is kept, no other object can have its identity."""


@contextmanager
def estimated_once() -> Iterator[None]:
    """Estimate every list of readings once only while this lasts: the steps of a report ask for the same ones.

    The lists must stay as they are meanwhile, as those of records do. Each thread has its own; one inside another
    goes on with what is known.
    """
    if _once.get() is not None:
        yield
        return
    token = _once.set({})
    try:
        yield
    finally:
        _once.reset(token)


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
    for listed in lists:
        for unit, step in _finest(listed).items():
            steps[unit] = min(step, steps.get(unit, math.inf))
    return steps


def _finest(listed: Sequence[Reading]) -> dict[str, float]:
    once = _once.get()
    known = None if once is None else once.get(("finest", id(listed)))
    if known is not None:
        return known[0]  # type: ignore[no-any-return]
    steps: dict[str, float] = {}
    for reading in listed:
        length = reading.length
        steps[length.unit] = min(length.resolution_mm, steps.get(length.unit, math.inf))
    if once is not None:
        once["finest", id(listed)] = steps, listed
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
    once = _once.get()
    if once is None:
        return _taped(readings, pool, overhang, steps)
    key = id(readings), id(pool), overhang, None if steps is None else tuple(steps.items())
    known = once.get(key)
    if known is None:
        known = once[key] = _taped(readings, pool, overhang, steps), readings, pool
    found: Taped | None = known[0]
    return found


def _taped(
    readings: Sequence[Reading], pool: Pool | None, overhang: bool, steps: Mapping[str, float] | None
) -> Taped | None:
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
    kept = [place for place in estimate.wild if counting[place].confirmed]
    if kept and len(kept) == len(estimate.wild):
        estimate = _all_kept(estimate, values)
    hand = pool or Pool(hand=OVERHANG_HAND if overhang else TAPE_HAND)
    at = abs(estimate.value)
    return Taped(
        estimate,
        len(values),
        len(set(layings)),
        max(reading.look for reading in counting),
        math.hypot(hand.s_mm(at), hand.laying_mm(at)),
        math.sqrt(math.fsum([d * d for d in resolutions]) / len(resolutions)),
        len(values) > 1 and None in layings,
    )


def _all_kept(estimate: Estimate, values: list[float]) -> Estimate:
    """The mean of readings that range further than they should, each looked at and kept.

    Then nothing is a slip, and the mean tells what was read; but the hand's usual scatter does not explain these
    readings, so u is their own where that is larger: u = s / sqrt(k), k - 1 degrees of freedom (JCGM 100:2008, 4.2).
    """
    own = type_a(values)
    if own.u <= estimate.u:
        return replace(estimate, value=own.value, wild=())
    return Estimate(own.value, own.u, own.dof, source="", basis=estimate.basis)
