"""What can make up a point of measure when its piece is fixed."""

from __future__ import annotations

from typing import Literal

from fitcheck.records.frozen import frozen

PartMaker = Literal["armhole_seam", "neck_band", "front_rows_and_cap", "armhole_mark"]
Maker = Literal["other_body_piece", "hem", "cuff_band", PartMaker]


@frozen
class MakeUp:
    """What can make up a point when its piece is fixed, and how far (fit rule 4; common practice, no source).

    by            which part of the garment answers
    too_large_mm  how much too wide or too long can be made up [mm]
    too_small_mm  how much too narrow or too short can be made up [mm]
    share         further limit as a share of the point's own length [1]; 0 = none
    """

    by: Maker
    too_large_mm: float
    too_small_mm: float
    share: float = 0.0
