"""One thing to do differently at a point: what answers, by how much, and the count that it then has."""

from __future__ import annotations

from fitcheck.records.frozen import frozen

LOWER_ENDS = ("hem", "cuff_band")
"""What answers at a lower end: every piece that ends there is altered alike."""
MARK = "armhole_mark"
"""What answers at a straight armhole: its mark moves, and the rows on either side of it with it."""


@frozen
class Alteration:
    """One thing to do differently at a point.

    by        what answers: other_body_piece, twin, side_panel, sleeve (pieces still to come), armhole_seam, neck_band,
              front_rows_and_cap, armhole_mark, hem, cuff_band, or this_piece; like_this_piece where the
              other body piece gets the count that this one has, being sewn to it
    mm        change of that part's measure [mm], plus = larger
    stitches  the same in stitches or rows, where counts are known
    count     the new count of the part, where known
    left_mm   difference from what is wanted that the finished garment is expected to keep at the point [mm]
    percent   the change as a share of the part's stitches or rows, where no count is known [%]
    planned   whether somebody planned the count that is changed; else the part would be knitted like this piece
    bed       needles of the bed, where more stitches than it has would come nearer; None elsewhere
    by_itself  the count that would come nearest, where what the part is sewn to leaves it another; else None
    halves    where it is an open front, the counts of its left and right half, which make up the count
    plan_mm   how much more than wanted the part is as it was planned [mm]; None where it is no piece with a plan
    of_plan   share of what the change takes away that is the plan's, the rest being this piece's [1]
    odd       the count beside it that comes nearer and puts the middle one stitch off; None where none is worth it
    """

    point: str
    by: str
    mm: float
    stitches: int | None = None
    count: int | None = None
    left_mm: float | None = None
    percent: float | None = None
    planned: bool = True
    plan_mm: float | None = None
    of_plan: float = 0.0
    odd: int | None = None
    bed: int | None = None
    halves: tuple[int, int] | None = None
    by_itself: int | None = None


def of_halves(stitches: int) -> tuple[int, int]:
    """What the left and the right half of an open front take of a change across both; an odd stitch goes right."""
    left = int(stitches / 2)
    return left, stitches - left
