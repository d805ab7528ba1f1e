"""The hands that hold the tape: one pool of repeatability for everything that a make reads."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fitcheck.estimates.readings import Pool, ReadingSet, estimate_readings, overhang_estimate, pool_overhangs
from fitcheck.estimates.readings import pool_repeatability as pool_readings
from fitcheck.records.households import TapePool
from fitcheck.records.readings import Reading


def reading_set(readings: Sequence[Reading], *, overhang: bool = False) -> ReadingSet | None:
    """The readings that count, with their layings; None with fewer than two.

    Readings that a usual hand would find too far from the others are left out, so that a slip does not widen
    the limit that it is judged by.
    """
    counting = [reading for reading in readings if reading.counts]
    values = [reading.length.value_mm for reading in counting]
    layings = [reading.laying for reading in counting]
    if len(values) < 2:
        return None
    wild = (overhang_estimate if overhang else estimate_readings)(values, laying=layings).wild
    kept = [place for place in range(len(values)) if place not in wild]
    return ReadingSet([values[i] for i in kept], [layings[i] for i in kept]) if len(kept) > 1 else None


def pools(
    readings: Iterable[Sequence[Reading]],
    overhangs: Iterable[Sequence[Reading]],
    frozen: TapePool,
    reads: frozenset[str],
) -> tuple[Pool, Pool]:
    """Pool what a make reads itself with the household's frozen sets, tape and overhangs apart.

    reads  keys of the records that the make reads itself: their frozen sets are left out
    """
    own = [found for one in readings if (found := reading_set(one))]
    laid = [found for one in overhangs if (found := reading_set(one, overhang=True))]
    kept = [one for one in frozen.sets if one.of not in reads]
    tape = [(one.dof, one.ratio) for one in kept if one.kind == "readings"]
    over = [(one.dof, one.ratio) for one in kept if one.kind == "overhangs"]
    return pool_readings(own, frozen=tape), pool_overhangs(laid, frozen=over)
