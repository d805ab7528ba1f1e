"""Stitch width and row height of what is knitted next.

A piece that was stretched tells those of what is blocked like it. All else is as its fabric is (`advice/stretch.py`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from fitcheck.advice.stretch import blocked_alike
from fitcheck.estimates.piece import CountedDirection
from fitcheck.records.frozen import frozen
from fitcheck.records.points import PieceKind


@frozen
class SizeAhead:
    """Stitch width or row height of what is knitted next.

    mm  [mm];  unsure: relative SD as the mean of the next piece [1]
    """

    mm: float
    unsure: float


Sizes = Mapping[CountedDirection, SizeAhead]


@frozen
class Stretched:
    """A piece on the table whose sizes hold a stretch: its kind, and how much larger each way is for it [1]."""

    kind: PieceKind
    longer: Mapping[CountedDirection, float]

    def share(self, kind: PieceKind, way: CountedDirection) -> float:
        """The size of a piece to come over that of the piece on the table [1]."""
        return 1.0 if blocked_alike(self.kind, [kind]) else 1 / self.longer.get(way, 1.0)

    def of(self, kind: PieceKind, sizes: Sizes) -> Sizes:
        """The sizes of a piece to come, from those of the piece on the table."""
        return {way: replace(size, mm=size.mm * self.share(kind, way)) for way, size in sizes.items()}
