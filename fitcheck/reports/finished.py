"""A finished sweater: its points again, against what was wanted and what the plan came to; and what that teaches.

It is no part of the report on the make, which is the same whatever became of it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import date
from typing import Literal

from fitcheck.advice.judge.verdict import judge_difference
from fitcheck.advice.rounds import counting
from fitcheck.advice.tape import Taped, finest, taped
from fitcheck.advice.target.finished_garment import WantedFlat, wanted_flat
from fitcheck.advice.unanswered import asked_of_each, without
from fitcheck.estimates.numbers import Estimate, Quantity, quantity
from fitcheck.estimates.readings import Pool, type_a
from fitcheck.estimates.student import MANY_DOF
from fitcheck.records.frozen import frozen
from fitcheck.records.garments import Garment, Occasion, ToFit
from fitcheck.records.households import Household, by_key
from fitcheck.records.points import ORDER, POINTS
from fitcheck.reports.choose import chosen
from fitcheck.reports.given import hands_of
from fitcheck.reports.sewn import PIECES, planned_flat
from fitcheck.reports.shapes import PointReport

SCHEMA = "fitcheck-finished/1"
"""Number of the shape of this answer."""
FEWEST = 3
"""Points of a direction that tell how far the garment came out from its plan; fewer are no mean (assumed)."""
Direction = Literal["across", "along"]
_NOTHING = Quantity(0.0, 0.0, 0.0, 0.9, 0.0, None, "mm")


@frozen
class FinishedPoint:
    """One point of the sewn garment; lengths are of the garment, half round where a point is flat [mm].

    point       wanted, measured and the verdict; its code is not_measured where nobody read it, and cannot_say where
                nothing was wanted
    planned_mm  what the plan came to: the pieces as they were read, less what making up takes; of a piece that was not
                read its counts; None where neither tells
    """

    point: PointReport
    planned_mm: float | None


@frozen
class CameOut:
    """How far the garment came out from its plan in one direction.

    percent  mean of (measured - planned) / planned over the points, + = larger [%]
    points   how many that are
    """

    direction: Direction
    percent: Quantity
    points: int


@frozen
class Finished:
    """How one finished make came out.

    on        the day on which it was finished; None where it is not
    garment   the garment of the wardrobe that it hangs there as; None where it does not
    readings  of the sewn garment;  read_on: the latest day of them, where one is said
    points    in the order of the catalogue
    came_out  per direction in which enough points tell it
    """

    schema: str
    make: str
    make_name: str
    on: str | None
    garment: str | None
    readings: int
    read_on: str | None
    points: tuple[FinishedPoint, ...]
    came_out: tuple[CameOut, ...]


@frozen
class _Read:
    """A point of the garment as the tape has it, and the day of that."""

    taped: Taped
    on: date | None


def finished(household: Household, make: str) -> Finished:
    """Judge a sewn garment at every point.

        difference = measured - wanted, judged as a point of a piece is (judge_difference)

    What was wanted is what was written down when it was hung up, else what is wanted of the make now. A point counts as
    it was read last, but not where the garment was worn since: knitting grows; a reading that is asked about counts as
    soon as that is answered. Raises ReportError for another key.
    """
    given = chosen(household, make)
    own = given.make
    garment = by_key(household.garments, own.became)
    pool = hands_of(given).tape
    fit = garment.knitted.fit if garment is not None and garment.knitted is not None else {}
    wanted = as_written(fit) if fit else wanted_flat(own, household, pool)
    planned = planned_flat(given)
    read = _read(_sure(garment, household), pool) if garment is not None else {}
    keys = sorted({*wanted, *planned, *read}, key=ORDER.__getitem__)
    points = tuple(FinishedPoint(_judged(key, wanted.get(key), read.get(key)), planned.get(key)) for key in keys)
    days = [point.on for point in read.values() if point.on is not None]
    return Finished(
        SCHEMA,
        own.id,
        own.name,
        own.finished.isoformat() if own.finished else None,
        garment.id if garment is not None else None,
        sum(point.taped.readings for point in read.values()),
        max(days).isoformat() if days else None,
        points,
        _came_out(points),
    )


def as_written(fit: Mapping[str, ToFit]) -> dict[str, WantedFlat]:
    """What was wanted of a garment as it was written down when it was finished."""
    return {
        key: WantedFlat(
            Estimate(point.wanted.value_mm, point.u.value_mm if point.u else 0.0),
            (
                point.smaller.value_mm if point.smaller else math.inf,
                point.larger.value_mm if point.larger else math.inf,
            ),
            "numbers",
        )
        for key, point in fit.items()
    }


def _sure(garment: Garment, household: Household) -> Garment:
    """The garment without the readings that are asked about."""
    asked = asked_of_each("garments", [garment], household)[garment.id]
    return without(garment, [question.place for question in asked])


def _read(garment: Garment, pool: Pool) -> dict[str, _Read]:
    """The points of a garment that were read on itself, each on the latest occasion on which it was."""
    read: dict[str, _Read] = {}
    for occasion in garment.in_time:
        if occasion.id == PIECES or occasion.state == "worn":
            continue
        steps = finest(occasion.readings.values())
        for key, readings in occasion.readings.items():
            if counting(readings) and (figure := taped(readings, pool, steps=steps)) is not None:
                read[key] = _Read(figure, occasion.on)
    return read


def latest(garment: Garment) -> Occasion:
    """The measuring that the next sweater is laid over: the latest on the garment itself, else that of its pieces."""
    on_itself = [occasion for occasion in garment.in_time if occasion.id != PIECES and occasion.readings]
    return (on_itself or garment.in_time)[-1]


def _judged(key: str, wanted: WantedFlat | None, read: _Read | None) -> PointReport:
    """One point with its verdict."""
    difference, code, reason, side, needed, within = _NOTHING, "not_measured", None, None, None, 0.0
    if read is not None and wanted is None:
        code = "cannot_say"
    elif read is not None and wanted is not None:
        verdict = judge_difference(wanted.wanted, read.taped.estimate, wanted.tolerance_mm, look=read.taped.looks)
        reason, side, needed = verdict.reason, verdict.side, verdict.readings_needed
        code = "on_the_line" if reason == "on_the_line" else verdict.code
        within = verdict.chance_within
        dof = None if verdict.dof >= MANY_DOF else verdict.dof
        difference = Quantity(
            verdict.difference, verdict.low, verdict.high, verdict.level, verdict.u, dof, "mm", verdict.estimate.basis
        )
    smaller, larger = wanted.tolerance_mm if wanted is not None else (math.inf, math.inf)
    measured = quantity(read.taped.estimate, "mm") if read is not None else None
    point = POINTS[key]
    return PointReport(
        key=key,
        name=point.name,
        direction=point.direction,
        flat=point.flat,
        wanted=quantity(wanted.wanted, "mm") if wanted is not None else None,
        measured=measured,
        read=measured,
        difference=difference,
        allowed_smaller_mm=smaller if math.isfinite(smaller) else None,
        allowed_larger_mm=larger if math.isfinite(larger) else None,
        code=code,
        alone=code,
        reason=reason,
        side=side,
        readings_needed=needed,
        chance_within=within,
        count=None,
        readings=read.taped.readings if read is not None else 0,
        reference_readings=0,
        source=wanted.source if wanted is not None else "garment",
        garment_mm=None,
        decides=False,
        weight=point.weight,
    )


def _came_out(points: tuple[FinishedPoint, ...]) -> tuple[CameOut, ...]:
    """How far the garment came out from its plan: the mean over the points of a direction, with their own scatter."""
    told = []
    directions: tuple[Direction, ...] = ("across", "along")
    for direction in directions:
        percents = [
            100.0 * (point.point.measured.value / point.planned_mm - 1.0)
            for point in points
            if point.point.measured is not None and point.planned_mm and POINTS[point.point.key].runs == direction
        ]
        if len(percents) >= FEWEST:
            told.append(CameOut(direction, quantity(type_a(percents), "percent"), len(percents)))
    return tuple(told)
