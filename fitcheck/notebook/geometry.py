"""Geometry of plain knitted fabric: spacing of wales and courses from the length of yarn in a loop.

Wales, courses and stitches per unit are kw/l, kc/l and ks/l^2, l the length of yarn in one loop; the k have
no unit and depend only on how far the fabric has relaxed (Munden 1959). So stitch width is linear in l,
which is why a line of width on dial number is straight, and relaxing changes width and length by fixed
shares.
"""

from __future__ import annotations

from fitcheck.records.frozen import frozen


@frozen
class Relaxed:
    """Munden's constants of plain fabric in one state: courses, wales and stitches [no unit]."""

    k_courses: float
    k_wales: float
    k_stitches: float


# Munden (1959) J. Textile Inst. 50, T448; Spencer, Knitting Technology, 3rd ed., sec. 22.5.
DRY_RELAXED = Relaxed(5.0, 3.8, 19.0)
WET_RELAXED = Relaxed(5.3, 4.1, 21.6)
FULLY_RELAXED = Relaxed(5.5, 4.2, 23.1)


def spacing_change(per_unit_before: float, per_unit_after: float) -> float:
    """Change of the size of one stitch or row when its number per unit length changes [%], minus = shrinks.

    100 (before/after - 1), the sign of ISO 5077:2007; any unit, the same for both. Constants k serve as well.

    >>> round(spacing_change(DRY_RELAXED.k_wales, WET_RELAXED.k_wales), 2)
    -7.32
    """
    return 100 * (per_unit_before / per_unit_after - 1)


def loops_per_area(k_stitches: float, loop_length: float) -> float:
    """Stitches per unit area, S = ks/l^2 (Munden 1959).

    loop_length  length of yarn in one loop, l [any unit]; the result is per square of that unit

    >>> round(loops_per_area(FULLY_RELAXED.k_stitches, 0.5), 1)  # l = 0.5 cm
    92.4
    """
    return k_stitches / loop_length**2
