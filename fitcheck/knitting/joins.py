"""Whether two edges can be sewn together: row by row, stitch by stitch, or by length with ease."""

from __future__ import annotations

import math
from typing import Literal

from fitcheck.knitting.refusals import need
from fitcheck.records.constructions import SeamBy as By
from fitcheck.records.faults import in_words
from fitcheck.records.frozen import frozen

Joined = Literal["fits", "eases", "does_not_join"]

EXACT = (0.0, 0.0)
"""Stitches are joined one to one."""
SAME_MM = 0.5
"""Lengths that are no further apart are the same to the eye [mm] (common practice, no source)."""


@frozen
class SewnEdge:
    """An edge as it is sewn.

    rows, stitches  that it has;  mm: its seam line [mm]
    assumed         its shaping was never written down
    """

    rows: int
    stitches: int
    mm: float
    assumed: bool = False


@frozen
class Join:
    """Two edges laid to each other.

    by       what is counted off: rows, stitches or length
    ease     how much longer the partner is than the edge, of the edge [1]
    allowed  least and most ease
    verdict  fits, eases or does_not_join
    notches  marks that meet: so far along the edge and along its partner, at equal shares [rows, stitches or mm]
    """

    edge: SewnEdge
    partner: SewnEdge
    by: By
    ease: float
    allowed: tuple[float, float]
    verdict: Joined
    notches: tuple[tuple[float, float], ...]


def join(edge: SewnEdge, partner: SewnEdge, *, by: By, ease: tuple[float, float] = EXACT, notches: int = 3) -> Join:
    """Lay two edges to each other and say whether they can be sewn.

        ease = (partner - edge)/edge

    by       rows: one row to one row; stitches: one to one; length: seam line to seam line
    ease     least and most that the seam takes up, of the edge: EXACT, ROWS_EASE or CAP_EASE of the constructions
    notches  marks between the ends

    Errors: ShapingError for an edge with nothing to be counted off, or limits in the wrong order.
    Source: 2 % of rows and 0 to 5 % of a cap are common practice, no source.

    >>> join(SewnEdge(108, 0, 340.0), SewnEdge(110, 0, 346.0), by="rows", ease=(-0.02, 0.02)).verdict
    'eases'
    >>> join(SewnEdge(108, 0, 340.0), SewnEdge(111, 0, 350.0), by="rows", ease=(-0.02, 0.02)).verdict
    'does_not_join'
    """
    mine, theirs = _counted(edge, by), _counted(partner, by)
    need(mine > 0, "edge", mine, in_words(f"{by} above 0"))
    need(theirs > 0, "partner", theirs, in_words(f"{by} above 0"))
    need(ease[0] <= ease[1], "ease", ease, in_words("the least ease before the most"))
    longer = (theirs - mine) / mine
    same = SAME_MM if by == "length" else 0.0
    verdict: Joined = "does_not_join"
    if abs(theirs - mine) <= same:
        verdict = "fits"
    elif ease[0] <= longer <= ease[1] or math.isclose(longer, ease[1]) or math.isclose(longer, ease[0]):
        verdict = "eases"
    marks = tuple(
        (_marked(mine, part, notches, by), _marked(theirs, part, notches, by)) for part in range(1, notches + 1)
    )
    return Join(edge, partner, by, longer, ease, verdict, marks)


def _counted(edge: SewnEdge, by: By) -> float:
    return edge.mm if by == "length" else edge.rows if by == "rows" else edge.stitches


def _marked(length: float, part: int, notches: int, by: By) -> float:
    """Where the mark of an equal share lies; on a whole row or stitch where those are counted."""
    at = length * part / (notches + 1)
    return at if by == "length" else float(math.floor(at + 0.5))
