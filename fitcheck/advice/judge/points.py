"""A point of a piece on its way to be judged: what is wanted, what was measured, and how both were read."""

from __future__ import annotations

from typing import Literal

from fitcheck.estimates.numbers import Estimate
from fitcheck.records.frozen import frozen

Tolerance = float | tuple[float, float]
"""What is allowed [mm]: on both sides, or (narrower or shorter side, wider or longer side)."""


@frozen
class HowRead:
    """How one side was read, so that the readings still needed can be told.

    s_mm           SD of one reading, laying included [mm]
    readings       readings taken so far
    resolution_mm  what the readings were written to [mm]
    fixed_mm2      variance of this side that no reading removes: an assumed seam stitch, growth [mm2]
    """

    s_mm: float
    readings: int
    resolution_mm: float = 0.0
    fixed_mm2: float = 0.0


@frozen
class PiecePoint:
    """One point of a piece to be judged; all lengths as measures of the piece [mm].

    key             key of the point of measure
    direction       across (stitches), along (rows) or edge (neither)
    wanted          what the piece should measure
    measured        what it measures, None where only an overhang was read
    tolerance_mm    allowed on both sides, or (narrower or shorter side, wider or longer side); math.inf frees
                    a side
    count           stitches or rows measured across, None where nobody counted
    overhang        piece minus garment read directly; it enters the difference, wanted only gives the level
    piece_read      how the piece (or else the overhang) was read, None where not known
    reference_read  how the wanted value was read, None where not known
    pinned          blocked to pins in this direction: never *matches*, and no evidence of the fabric
    counted         its count was counted on the piece itself, or kept when it was asked about: no suspect
    """

    key: str
    direction: Literal["across", "along", "edge"]
    wanted: Estimate
    measured: Estimate | None
    tolerance_mm: Tolerance
    count: float | None = None
    overhang: Estimate | None = None
    piece_read: HowRead | None = None
    reference_read: HowRead | None = None
    pinned: bool = False
    counted: bool = False
