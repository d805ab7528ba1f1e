"""What the tape says of a garment: each point with its readings, interval, spread and history."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import date

from fitcheck.advice.hands import pools
from fitcheck.advice.tape import Taped, finest, taped
from fitcheck.estimates.numbers import Quantity, quantity
from fitcheck.estimates.readings import Pool
from fitcheck.records.frozen import frozen
from fitcheck.records.garments import Garment, Occasion
from fitcheck.records.households import Household
from fitcheck.records.points import ORDER

OLD_DAYS = 365
"""A garment that was last measured longer ago is asked about: knitting grows (common practice, no source)."""
MAIN_POINTS = ("chest", "shoulder_width", "body_length", "sleeve_length")
"""Measures that a card shows, as far as they were read."""
USUAL_HAND = Pool()
"""The hand that is assumed where nothing is known of who read."""


@frozen
class Measured:
    """One point of a garment on one occasion.

    value      mean of the readings that count, with what is likely [mm]
    spread_mm  from the smallest to the largest that counts [mm]
    count      how many count;  layings: how many layings they are of
    """

    key: str
    value: Quantity
    spread_mm: float
    count: int
    layings: int


def _said(occasion: Occasion, pool: Pool) -> Iterator[tuple[str, Taped]]:
    """What the tape says of every point that has a reading that counts, in the order of the catalogue."""
    steps = finest(occasion.readings.values())
    for key in sorted(occasion.readings, key=ORDER.__getitem__):
        said = taped(occasion.readings[key], pool, steps=steps)
        if said is not None:
            yield key, said


def measured(occasion: Occasion, pool: Pool) -> dict[str, Measured]:
    """Every point of an occasion that has a reading that counts, in the order of the catalogue."""
    by_point = {}
    for key, said in _said(occasion, pool):
        readings = occasion.readings[key]
        values = [reading.length.value_mm for reading in readings if reading.counts]
        spread = max(values) - min(values)
        by_point[key] = Measured(key, quantity(said.estimate, "mm"), spread, said.readings, said.layings)
    return by_point


def pool_of(garment: Garment, household: Household) -> Pool:
    """The household's hand with the tape, with the readings of one garment in it."""
    lists = [list(readings) for occasion in garment.occasions for readings in occasion.readings.values()]
    tape, _ = pools(lists, (), household.tape, frozenset({garment.id}))
    return tape


def newest_values(garment: Garment, pool: Pool) -> dict[str, Quantity]:
    """Every point of a garment as it was last read."""
    newest: dict[str, Quantity] = {}
    for occasion in garment.in_time:
        newest |= {key: quantity(said.estimate, "mm") for key, said in _said(occasion, pool)}
    return newest


def newest_lengths(garment: Garment) -> dict[str, float]:
    """The same by the usual hand and without what is likely, for a card [mm]."""
    newest: dict[str, float] = {}
    for occasion in garment.in_time:
        newest |= {key: said.estimate.value for key, said in _said(occasion, USUAL_HAND)}
    return newest


def main_measures(points: Collection[str]) -> list[str]:
    """Keys of the measures for a card: at most three."""
    chosen = [key for key in MAIN_POINTS if key in points]
    chosen += [key for key in sorted(points, key=ORDER.__getitem__) if key not in chosen]
    return chosen[:3]


def months_since(day: date, today: date) -> int:
    """Whole months from a day until today, never below zero."""
    months = 12 * (today.year - day.year) + today.month - day.month - (today.day < day.day)
    return max(0, months)
