"""Whether a piece was laid beside the sweater that it is to fit: asked where it is far off at every point."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fitcheck.records.frozen import frozen
from fitcheck.records.readings import Reading

FAR = 0.25
"""How far the piece may be off at every point, as a share of what is wanted, before the sweater is asked about
(assumed): blocking, another dial or another size bring hardly more."""
FEWEST = 2
"""Points that must say so: one alone is a reading to look at, not a sweater."""


@frozen
class BesideGarment:
    """A point of the piece beside the same of the garment that it must fit [mm], on the piece's scale."""

    key: str
    measured_mm: float
    wanted_mm: float
    difference_mm: float


@frozen
class RightSweater:
    """The question whether it is the right sweater.

    smaller  the piece is smaller at every point; else larger at every point
    """

    smaller: bool
    points: tuple[BesideGarment, ...]


def right_sweater(points: Sequence[BesideGarment], readings: Iterable[Reading]) -> RightSweater | None:
    """Ask whether it is the right sweater; None where the piece is near it somewhere, or its readings were confirmed.

    points    those whose wanted figure is the garment's
    readings  of the piece, at the stage that was judged
    """
    if len(points) < FEWEST or all(reading.confirmed for reading in readings if reading.counts):
        return None
    shares = [point.difference_mm / point.wanted_mm for point in points]
    smaller = all(share < -FAR for share in shares)
    if not smaller and not all(share > FAR for share in shares):
        return None
    return RightSweater(smaller, tuple(points))
