"""Lengths of shaped edges along the seam line, so that two edges that are sewn together are equally long."""

from __future__ import annotations

import math
from collections.abc import Iterable

from fitcheck.records.faults import FitcheckError


class EdgeError(FitcheckError, ValueError):
    """An edge cannot be measured; the message names the field, what was read and what is accepted."""


def edge_length(segments: Iterable[tuple[float, float]], w: float, h: float) -> float:
    """Length of a shaped edge along its seam line [mm]: sum of hypot(stitches w, rows h) over its segments.

    n decreases every k rows are one segment (n, n k) of length hypot(n w, n k h): the seam line, one stitch
    in, runs straight through them. Adding row by row, k - 1 straight rows and a slanting one, overstates.

    segments  runs of one slope, each (stitches, rows) [1]: stitches cast off (n, 0), straight rows (0, r)
    w, h      stitch width and row height [mm]

    Errors: EdgeError. Source: Pythagoras, segment by segment (fit rule 10).

    >>> round(edge_length([(6, 0), (6, 12), (0, 50)], 4.40, 3.10), 1)  # cast off 6; 6 every 2nd row; 50 rows
    227.0
    """
    if not (0.0 < w < math.inf and 0.0 < h < math.inf):
        raise EdgeError(f"w, h: read {w:g} and {h:g} mm; a stitch width and a row height above 0 are needed.")
    lengths = []
    for place, (stitches, rows) in enumerate(segments):
        if not (0.0 <= stitches < math.inf and 0.0 <= rows < math.inf):
            raise EdgeError(
                f"segments[{place}]: read {stitches:g} stitches over {rows:g} rows; counts from 0 up are "
                "needed (the length does not depend on the direction of the shaping)."
            )
        lengths.append(math.hypot(stitches * w, rows * h))
    return math.fsum(lengths)
