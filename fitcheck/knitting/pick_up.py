"""Stitches picked up along an edge for a band: how many, from which rows, and how several edges share them."""

from __future__ import annotations

import math
from collections.abc import Sequence

from fitcheck.knitting.refusals import need
from fitcheck.knitting.spacing import arranged_gaps
from fitcheck.records.faults import in_words
from fitcheck.records.frozen import frozen

CONCAVE_LESS = (0.10, 0.15)
"""Share that a band on a concave edge is shorter, least and most (common practice, no source)."""
ROUNDING = 1e-9
"""A difference of stitches that is only rounding: two counts so equally near are tied."""


@frozen
class PickUp:
    """A run of an edge: of every `of` rows, `stitches` are picked up, so many `times` over.

    Nothing is skipped where both are 1.
    """

    stitches: int
    of: int
    times: int


def pick_up(edge_mm: float, band_w: float, *, less: float = 0.0, multiple: int = 1, balance: int = 0) -> int:
    """Stitches to pick up along an edge: the nearest to edge (1 - less)/w, of two equally near the fewer.

    edge_mm            length of the edge where the band is sewn [mm]
    band_w             stitch width of the band, as it lies finished [mm]
    less               share that the band is to be shorter, on concave edges only [0 to below 1]
    multiple, balance  stitches of the band's repeat, and those over

    Errors: ShapingError for an edge, width, share or repeat outside its range.
    Source: common practice, no source; 310 mm takes 70 at 4.4 mm and 79 at 3.9.

    >>> pick_up(310.0, 4.4), pick_up(310.0, 3.9), pick_up(310.0, 3.9, multiple=4, balance=2)
    (70, 79, 78)
    """
    need(0 < edge_mm < math.inf, "edge_mm", edge_mm, in_words("a length above 0 [mm]"))
    need(0 < band_w < math.inf, "band_w", band_w, in_words("a stitch width above 0 [mm]"))
    need(0 <= less < 1, "less", less, in_words("a share from 0 to below 1"))
    need(multiple >= 1, "multiple", multiple, in_words("1 or more"))
    need(balance >= 0, "balance", balance, in_words("0 or more"))
    ideal = edge_mm * (1 - less) / band_w
    first = balance % multiple or multiple
    repeats = max(0, math.floor((ideal - first) / multiple))
    below = first + repeats * multiple
    return below if abs(below - ideal) <= below + multiple - ideal + ROUNDING else below + multiple


def pick_up_rows(stitches: int, rows: int) -> tuple[PickUp, ...]:
    """How so many stitches are picked up over the rows of an edge: every row but some, or one in so many.

    The rows - stitches that are skipped are spread by `arranged_gaps`; where fewer than half of the rows are picked up,
    the stitches are. Runs of equal groups stand in the order of the edge.

    Errors: ShapingError for no stitches, or more than there are rows.
    Source: the spacing is that of steps over rows; 10 of 13 as 3 of 4, 3 of 4, 4 of 5 is common practice, no source.

    >>> pick_up_rows(10, 13)
    (PickUp(stitches=3, of=4, times=2), PickUp(stitches=4, of=5, times=1))
    """
    need(0 < stitches <= rows, "stitches", stitches, in_words(f"1 to {rows}, one in each row"))
    skipped = rows - stitches
    if not skipped:
        return (PickUp(1, 1, rows),)
    few = 2 * stitches < rows
    runs: list[PickUp] = []
    for gap in arranged_gaps(stitches if few else skipped, rows):
        picked = 1 if few else gap - 1
        if runs and runs[-1].of == gap:
            runs[-1] = PickUp(picked, gap, runs[-1].times + 1)
        else:
            runs.append(PickUp(picked, gap, 1))
    return tuple(runs)


def share(total: int, lengths: Sequence[float]) -> tuple[int, ...]:
    """Share stitches out to edges by their length: largest remainders, mirror pairs equal, an odd one to the middle.

    total    stitches along all edges together
    lengths  of the edges in their order about the opening [mm]; the first and the last are a pair where they are
             equally long, and so on inward

    Where every edge has its pair and the total is odd, one of a pair gets one more: there is no middle.
    Errors: ShapingError for a total below 0, or a length that is not above 0.

    >>> share(101, (60.0, 80.0, 60.0))
    (30, 41, 30)
    """
    need(total >= 0, "total", total, in_words("0 or more"))
    for length in lengths:
        need(0 < length < math.inf, "lengths", length, in_words("lengths above 0 [mm]"))
    if not lengths:
        return ()
    whole = math.fsum(lengths)
    quotas = [total * length / whole for length in lengths]
    shares = [math.floor(quota + ROUNDING) for quota in quotas]
    units = _units(lengths)
    left = total - sum(shares)
    singles = [unit for unit in units if len(unit) == 1]
    if left % 2 and singles:
        middle = max(singles, key=lambda unit: (quotas[unit[0]] - shares[unit[0]], unit[0]))
        shares[middle[0]] += 1
        left -= 1
    while left > 0:
        fitting = [unit for unit in units if len(unit) <= left] or [unit[:1] for unit in units]
        for place in max(fitting, key=lambda unit: (quotas[unit[0]] - shares[unit[0]], len(unit))):
            shares[place] += 1
            left -= 1
    return tuple(shares)


def _units(lengths: Sequence[float]) -> list[tuple[int, ...]]:
    """Mirror pairs of equal length, and edges that stand alone."""
    units: list[tuple[int, ...]] = []
    for place in range((len(lengths) + 1) // 2):
        other = len(lengths) - 1 - place
        if place == other:
            units.append((place,))
        elif math.isclose(lengths[place], lengths[other], rel_tol=ROUNDING):
            units.append((place, other))
        else:
            units += [(place,), (other,)]
    return units
