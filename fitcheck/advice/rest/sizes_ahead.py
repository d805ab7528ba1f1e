"""Stitch width and row height of what is knitted next."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.estimates.piece import CountedDirection
from fitcheck.records.frozen import frozen


@frozen
class SizeAhead:
    """Stitch width or row height of what is knitted next.

    mm  [mm];  unsure: relative SD as the mean of the next piece [1]
    """

    mm: float
    unsure: float


Sizes = Mapping[CountedDirection, SizeAhead]
