"""Whether the head goes through the neck that is wanted (fit rules 18 and 36)."""

from __future__ import annotations

import math
from statistics import median

from fitcheck.advice.target.parts import Refused
from fitcheck.advice.target.reference import Reference
from fitcheck.estimates.numbers import Estimate
from fitcheck.records.households import by_key
from fitcheck.records.points import POINTS

HEAD_MM = 560.0
"""Round the head of a grown person [mm] (common practice, no source)."""
STRETCHES = 2.2
"""How many times its own length a neck band stretches to for a moment [1]; assumed."""


def opening_mm(width_mm: float, depth_mm: float) -> float:
    """Length of the edge of a neck opening [mm]: straight at the back, half an ellipse in front.

    width_mm  between its sides;  depth_mm: of the front below the level of the back edge [mm]
    Source: perimeter of the ellipse by Ramanujan (1914), Quart. J. Math. 45:350, first formula (from memory).
    """
    a, b = width_mm / 2, max(0.0, depth_mm)
    ellipse = math.pi * (3 * (a + b) - math.sqrt((3 * a + b) * (a + 3 * b)))
    return width_mm + ellipse / 2


def head_is_stopped(reference: Reference) -> bool:
    """Whether the neck as wanted, inside its band and stretched, is smaller than the head.

    Nothing is said of a child whose head was not measured, nor where no width of the neck is known.
    """
    band = math.fsum(
        band.depth.value_mm for band in reference.make.bands if band.edge == "neck" and band.how == "added_later"
    )
    inside, width, depth = (_known(reference, key) for key in ("neck_inside", "neck_width", "neck_depth"))
    if inside is None and width is None:
        return False
    across = inside.value if inside is not None else width.value - 2 * band if width is not None else 0.0
    down = (depth.value if depth is not None else POINTS["neck_depth"].plain_mm) - band
    head = _head_mm(reference)
    return head is not None and STRETCHES * opening_mm(max(0.0, across), down) < head


def _known(reference: Reference, key: str) -> Estimate | None:
    """What the sweater will measure there [mm]; None too where what speaks for it cannot be compared."""
    try:
        return reference.finished_flat(key)
    except Refused:
        return None


def _head_mm(reference: Reference) -> float | None:
    """Round the head of who will wear it [mm]."""
    wearer = by_key(reference.household.wearers, reference.make.wearer)
    if wearer is None:
        return HEAD_MM
    read = [reading.length.value_mm for reading in wearer.head if reading.counts]
    return median(read) if read else None if wearer.child else HEAD_MM
