"""Half of a cap's top by itself: the program reckons it with the rest of the edge, of every cap at once."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.knitting.seam_line import SEAM_ROWS, SEAM_STITCHES, Run, slope


def half_top(
    top: float, segments: Sequence[Run], w: float, h: float, *, stitches: float = SEAM_STITCHES, rows: float = SEAM_ROWS
) -> float:
    """Half of a cap's cast-off top where it is sewn: top w/2 - a w + b h t, t the slope of the run below it [mm].

    top             stitches cast off together
    segments        the runs of the half cap below
    stitches, rows  a and b, as for seam_line
    """
    return top * w / 2 - stitches * w + rows * h * slope(segments, -1, w, h)
