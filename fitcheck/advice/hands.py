"""The hands that hold the tape: one pool of repeatability for everything that a make reads."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from statistics import median
from typing import Literal

from fitcheck.estimates.readings import Pool, ReadingSet, pool_overhangs
from fitcheck.estimates.readings import pool_repeatability as pool_readings
from fitcheck.records.households import LARGEST_RATIO, Household, TapePool, TapeSet
from fitcheck.records.questions.usual import far_apart
from fitcheck.records.readings import Reading


def reading_set(readings: Sequence[Reading], *, overhang: bool = False) -> ReadingSet | None:
    """The readings that count, with their layings; None with fewer than two.

    A reading that is asked about as too far from its neighbours is left out, so that a slip does not widen the
    limit that it is judged by. Where the others disagree without it too, nobody knows which of them are slips, and the
    whole set stays out until that is answered.
    """
    counting = [reading for reading in readings if reading.counts]
    if len(counting) < 2:
        return None
    lengths = [reading.length for reading in counting]
    values = [length.value_mm for length in lengths]
    layings = [reading.laying for reading in counting]
    step = min([length.resolution_mm for length in lengths])
    if far_apart(values, step, overhang=overhang):
        middle = median(values)
        far = max(range(len(values)), key=lambda place: abs(values[place] - middle))
        del values[far], layings[far]
        if len(values) < 2 or far_apart(values, step, overhang=overhang):
            return None
    return ReadingSet(values, layings)


def pools(
    readings: Iterable[Sequence[Reading]],
    overhangs: Iterable[Sequence[Reading]],
    frozen: TapePool,
    reads: frozenset[str],
) -> tuple[Pool, Pool]:
    """Pool what a make reads itself with the household's frozen sets, tape and overhangs apart.

    reads  keys of the records that the make reads itself: their frozen sets are left out
    """
    own = [usable for listed in readings if (usable := reading_set(listed))]
    laid = [usable for listed in overhangs if (usable := reading_set(listed, overhang=True))]
    kept = [tape_set for tape_set in frozen.sets if tape_set.of not in reads]
    tape = [(tape_set.dof, tape_set.ratio) for tape_set in kept if tape_set.kind == "readings"]
    over = [(tape_set.dof, tape_set.ratio) for tape_set in kept if tape_set.kind == "overhangs"]
    return pool_readings(own, frozen=tape), pool_overhangs(laid, frozen=over)


def sets_to_freeze(household: Household) -> list[TapeSet]:
    """What the readings of every record say of the household's hands, one set a record and kind of reading.

    dof = sum nu_i and ratio = sum nu_i ratio_i / sum nu_i over the record's points [1], as `pools` takes them back.
    """
    tape_sets = []
    for key, readings, overhangs in _lists(household):
        if own := [usable for listed in readings if (usable := reading_set(listed))]:
            tape_sets += _frozen(key, "readings", pool_readings(own, prior_dof=0.0))
        if laid := [usable for listed in overhangs if (usable := reading_set(listed, overhang=True))]:
            tape_sets += _frozen(key, "overhangs", pool_overhangs(laid, prior_dof=0.0))
    return tape_sets


def _frozen(key: str, kind: Literal["readings", "overhangs"], pool: Pool) -> list[TapeSet]:
    """The set that a record's pool is kept as; none where its readings are too coarse to tell of a hand."""
    return [TapeSet(of=key, kind=kind, dof=pool.dof, ratio=pool.scale2)] if pool.scale2 <= LARGEST_RATIO else []


def _lists(household: Household) -> Iterator[tuple[str, list[Sequence[Reading]], list[Sequence[Reading]]]]:
    """Every record with its lists of readings and of overhangs."""
    for wearer in household.wearers:
        yield wearer.id, [*wearer.body.values(), wearer.head], []
    for garment in household.garments:
        yield garment.id, [readings for occasion in garment.occasions for readings in occasion.readings.values()], []
    for swatch in household.swatches:
        yield swatch.id, [readings for stage in swatch.stages for readings in (stage.across, stage.along)], []
    for make in household.makes:
        stages = [stage for piece in make.pieces for stage in piece.stages]
        laid = [overhangs for stage in stages for overhangs in stage.overhangs.values()]
        yield make.id, [readings for stage in stages for readings in stage.readings.values()], list(laid)
