"""What the tape says of a garment: each point with its readings, interval, spread and history."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from fitcheck.advice.hands import pools
from fitcheck.advice.tape import finest, taped
from fitcheck.estimates.numbers import Quantity, quantity
from fitcheck.estimates.readings import Pool
from fitcheck.records.garments import Garment, Occasion
from fitcheck.records.households import Household, TapePool
from fitcheck.records.points import ORDER

OLD_DAYS = 365
"""A garment that was last measured longer ago is asked about: knitting grows (common practice, no source)."""
MAIN_POINTS = ("chest", "shoulder_width", "body_length", "sleeve_length")
"""Measures that a card shows, as far as they were read."""


@dataclass(frozen=True, slots=True)
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


def measured(occasion: Occasion, pool: Pool) -> dict[str, Measured]:
    """Every point of an occasion that has a reading that counts, in the order of the catalogue."""
    steps = finest(occasion.readings.values())
    by_point = {}
    for key in sorted(occasion.readings, key=ORDER.__getitem__):
        readings = occasion.readings[key]
        said = taped(readings, pool, steps=steps)
        if said is None:
            continue
        values = [reading.length.value_mm for reading in readings if reading.counts]
        spread = max(values) - min(values)
        by_point[key] = Measured(key, quantity(said.estimate, "mm"), spread, said.readings, said.layings)
    return by_point


def pool_of(garment: Garment, household: Household) -> Pool:
    """The household's hand with the tape, with the readings of one garment in it."""
    lists = [list(readings) for occasion in garment.occasions for readings in occasion.readings.values()]
    tape, _ = pools(lists, (), household.tape, frozenset({garment.id}))
    return tape


def newest_values(garment: Garment, pool: Pool | None = None) -> dict[str, Quantity]:
    """Every point of a garment as it was last read."""
    pool = pool or pools((), (), TapePool(), frozenset())[0]
    newest: dict[str, Quantity] = {}
    for occasion in garment.in_time:
        newest |= {key: point.value for key, point in measured(occasion, pool).items()}
    return newest


def main_measures(values: dict[str, Quantity]) -> list[str]:
    """Keys of the measures for a card: at most three."""
    chosen = [key for key in MAIN_POINTS if key in values]
    chosen += [key for key in sorted(values, key=ORDER.__getitem__) if key not in chosen]
    return chosen[:3]


def months_since(day: date, today: date) -> int:
    """Whole months from a day until today, never below zero."""
    months = 12 * (today.year - day.year) + today.month - day.month - (today.day < day.day)
    return max(0, months)
