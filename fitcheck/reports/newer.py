"""Whether the garment that a make must fit was measured again since (fit rule 37)."""

from __future__ import annotations

from datetime import date

from fitcheck.records.garments import Occasion
from fitcheck.records.points import ORDER
from fitcheck.reports.given import Given
from fitcheck.reports.shapes import NewerMeasuring


def newer_measuring(given: Given) -> NewerMeasuring | None:
    """The latest measuring with readings after the one that the make is pinned to; None where there is none."""
    if given.garment is None or given.occasion is None or given.make.finished is not None:
        return None
    pinned, in_time = given.occasion, given.garment.in_time
    after = in_time[[occasion.id for occasion in in_time].index(pinned.id) + 1 :]
    had = _read(pinned)
    for occasion in reversed(after):
        if has := _read(occasion):
            unread = tuple(sorted(had - has, key=ORDER.__getitem__))
            return NewerMeasuring(given.garment.id, occasion.id, _written(occasion.on), _written(pinned.on), unread)
    return None


def _read(occasion: Occasion) -> set[str]:
    """The points with a reading that counts."""
    return {key for key, listed in occasion.readings.items() if any(reading.counts for reading in listed)}


def _written(day: date | None) -> str | None:
    return day.isoformat() if day else None
