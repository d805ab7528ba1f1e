"""Short-row shoulders: how many groups, how large, and the rows that they take."""

from __future__ import annotations

from fitcheck.knitting.refusals import need
from fitcheck.records.faults import in_words


def groups_of_slope(slope_mm: float, h: float) -> int:
    """How many groups a shoulder that falls by so much is knitted in: k = round(slope/2h), one at least.

    slope_mm  how much lower its outer end lies [mm]
    h         row height [mm]

    Source: fit rule 19: a group is two rows.

    >>> groups_of_slope(25, 3.1)
    4
    """
    need(slope_mm >= 0, "slope_mm", f"{slope_mm:g}", in_words("0 mm or more"))
    need(h > 0, "h", f"{h:g}", in_words("a size above 0 mm"))
    return max(1, int(slope_mm / (2 * h) + 0.5))


def shoulder_groups(stitches: int, k: int) -> tuple[int, ...]:
    """Stitches of each group, the outermost first: as equal as whole numbers allow, the larger ones outermost.

    stitches  of the shoulder
    k         groups

    Errors: ShapingError for fewer stitches than groups.
    Source: common practice, no source.

    >>> shoulder_groups(29, 5)
    (6, 6, 6, 6, 5)
    """
    need(1 <= k <= stitches, "k", k, in_words(f"1 to {stitches} groups"))
    each, larger = divmod(stitches, k)
    return (each + 1,) * larger + (each,) * (k - larger)


def shoulder_rows(k: int) -> int:
    """Rows from the first group that rests to the row that ends the shoulder: 2 (k - 1), the last group not rested.

    k  groups

    Source: fit rule 19; 2 k where the last group is finished as the others are, which no plan here does.

    >>> shoulder_rows(5)
    8
    """
    return 2 * (k - 1)
