"""How long an edge is where it is sewn: along its shaping, so many stitches in."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from fitcheck.knitting.refusals import need
from fitcheck.records.faults import in_words

Run = tuple[int, int] | tuple[float, float]

SEAM_STITCHES = 1.0
"""Stitches that a mattress seam takes from each edge (common practice, no source)."""
SEAM_ROWS = 1.0
"""Rows that a seam takes from a cast-off edge (common practice, no source)."""


def bare_line(segments: Sequence[Run], w: float, h: float) -> float:
    """Length of an edge itself: sum of hypot(s w, r h) over its segments [mm].

    segments  (stitches across, rows) of each straight run; a cast-off has no rows
    w, h      stitch width, row height [mm]

    Source: fit rule 10; row by row the staircase overstates it by up to 12.6 %.

    >>> round(bare_line([(6, 0), (6, 12), (0, 50)], 4.40, 3.10), 3)
    227.016
    """
    need_sizes(w, h)
    return math.fsum(math.hypot(stitches * w, rows * h) for stitches, rows in segments)


def seam_line(
    segments: Sequence[Run],
    w: float,
    h: float,
    *,
    stitches: float = SEAM_STITCHES,
    rows: float = SEAM_ROWS,
    below: Literal["cast_off", "open"] = "cast_off",
    above: Literal["shoulder", "cap_top", "open"] = "shoulder",
) -> float:
    """Length of an edge where it is sewn, from the underarm to the shoulder or to a cap's top [mm].

    One stitch in is a shift across, so each run keeps its length hypot(s w, r h); only the ends move, by b rows
    swallowed and the slope t = s w/(r h) of the run beside them:

        above an underarm cast-off  + b h hypot(1, t)
        at the shoulder's end       - b h
        under a cap's top           - b h hypot(1, t)

    segments        (stitches across, rows) of each run from below; the first and the last have rows
    w, h            stitch width, row height [mm]
    stitches, rows  a and b, swallowed by the seam on the slanting edge and on the cast-off ones
    below           cast_off where the edge stands on an underarm's cast-off; open: nothing moves
    above           what ends it

    Errors: ShapingError for sizes not above 0, no segments, or an end run without rows.
    Source: the shifted lines cut with each other (facts of the house, 2 ways); sharpens fit rule 10.

    >>> round(seam_line([(2, 2), (6, 12), (0, 55)], 4.48, 3.15), 3)
    232.913
    """
    need(rows >= 0, "rows", rows, in_words("0 or more"))
    need(stitches >= 0, "stitches", stitches, in_words("0 or more"))
    length = bare_line(segments, w, h)
    if below == "cast_off":
        length += rows * h * math.hypot(1.0, slope(segments, 0, w, h))
    if above == "cap_top":
        length -= rows * h * math.hypot(1.0, slope(segments, -1, w, h))
    elif above == "shoulder":
        length -= rows * h
    return length


def slope(segments: Sequence[Run], place: int, w: float, h: float) -> float:
    """t = s w/(r h) of one run [1]: 0 for straight rows."""
    need_sizes(w, h)
    need(bool(segments), "segments", "none", in_words("one run or more"))
    stitches, rows = segments[place]
    need(rows > 0, "segments", f"({stitches}, {rows})", in_words("a run with rows at either end"))
    return stitches * w / (rows * h)


def need_sizes(w: float, h: float) -> None:
    """Refuse a stitch or row size that is none."""
    for name, size in (("w", w), ("h", h)):
        need(math.isfinite(size) and size > 0, name, f"{size:g}", in_words("a size above 0 mm"))
