"""The hands that hold the tape: one pool of repeatability for everything that a make reads."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from statistics import median

from fitcheck.estimates.readings import Pool, ReadingSet, pool_overhangs
from fitcheck.estimates.readings import pool_repeatability as pool_readings
from fitcheck.records.households import Household, TapePool, TapeSet
from fitcheck.records.questions.usual import allowed_range
from fitcheck.records.readings import Reading


def reading_set(readings: Sequence[Reading], *, overhang: bool = False) -> ReadingSet | None:
    """The readings that count, with their layings; None with fewer than two.

    A reading that is asked about as too far from its neighbours is left out, so that a slip does not widen the
    limit that it is judged by.
    """
    counting = [reading for reading in readings if reading.counts]
    if len(counting) < 2:
        return None
    lengths = [reading.length for reading in counting]
    values = [length.value_mm for length in lengths]
    layings = [reading.laying for reading in counting]
    middle = median(values)
    step = min([length.resolution_mm for length in lengths])
    if max(values) - min(values) > allowed_range(middle, len(values), step, overhang=overhang):
        far = max(range(len(values)), key=lambda place: abs(values[place] - middle))
        del values[far], layings[far]
    return ReadingSet(values, layings) if len(values) > 1 else None


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
            pool = pool_readings(own, prior_dof=0.0)
            tape_sets.append(TapeSet(of=key, dof=pool.dof, ratio=pool.scale2))
        if laid := [usable for listed in overhangs if (usable := reading_set(listed, overhang=True))]:
            pool = pool_overhangs(laid, prior_dof=0.0)
            tape_sets.append(TapeSet(of=key, kind="overhangs", dof=pool.dof, ratio=pool.scale2))
    return tape_sets


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
