"""Where a garment's figure is asked about before it is copied: ribs, worn stretched, read worn (fit rules 6 and 37)."""

from __future__ import annotations

from typing import Literal

from fitcheck.advice.target.parts import Refused
from fitcheck.records.garments import Garment, Occasion
from fitcheck.records.points import Point

AsRead = Literal["rib", "stretched", "worn"]
"""Why a figure is asked about: a width of a rib, a width of what is worn stretched, a worn garment's figure."""


def as_read_of(point: Point, garment: Garment | None, occasion: Occasion | None) -> AsRead | None:
    """Why the garment's figure at a point is asked about before it is copied; None where it is not.

    A worn garment's is not where its growth in that direction is known: then it is reckoned back.
    """
    if garment is None:
        return None
    across = point.runs == "across"
    if across and garment.rib:
        return "rib"
    if across and garment.negative_ease:
        return "stretched"
    growth = garment.growth_across_percent if across else garment.growth_along_percent
    worn = occasion is not None and occasion.state == "worn"
    return "worn" if worn and growth is None else None


def not_copied(point: Point, why: AsRead) -> Refused:
    """The point is refused: somebody said that the garment is not to be copied as it was read."""
    return Refused("not_copied", point=point.key, as_read=why)
