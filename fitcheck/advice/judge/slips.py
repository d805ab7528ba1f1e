"""Which counts can be off together: one point, a zone of the piece, everything from the cast-on up, a second gauge."""

from __future__ import annotations

import functools
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fitcheck.estimates.piece import CountedDirection, Matrix
from fitcheck.records.frozen import frozen
from fitcheck.records.points import POINTS, Zone

SlipCode = Literal["miscount", "zone", "cast_on", "two_gauges"]

SLIP_WEIGHT = 0.22
"""How likely a slip at a point or in a zone is before anything is read, all of them alike and together (assumed)."""
CAST_ON_WEIGHT = 0.03
"""How likely a wrong cast-on is before anything is read, that shows in all of the piece or up to one zone (assumed)."""
TWO_GAUGES_WEIGHT = 0.03
"""How likely a second gauge is before anything is read (assumed)."""
NO_SLIP_WEIGHT = 1 - SLIP_WEIGHT - 2 * CAST_ON_WEIGHT - TWO_GAUGES_WEIGHT
"""How likely one gauge is before anything is read (assumed)."""
SLIP_SD = 3.0
"""SD of a miscount, in stitches or rows (assumed)."""
ZONE_SLIP = 0.05
"""SD of a slip in a zone or from the cast-on up, where a whole shaping may be left out, as a share of its stitches or
rows; at least a miscount's (assumed)."""
GAUGE_STEP_SD = 0.03
"""SD of the relative step between two gauges: about one click of the dial (fit rules 14; common practice)."""


@frozen
class Slip:
    """One way in which the counts or the gauge of a direction can be off.

    points  places of the points that it moves; those after the step of a second gauge
    first   place of the point that is counted first for it
    weight  how likely it is before anything is read
    """

    code: SlipCode
    points: frozenset[int]
    first: int
    weight: float

    @property
    def of_counts(self) -> bool:
        """Whether it is settled by counting."""
        return self.code != "two_gauges"


@frozen
class Slips:
    """Every way in which a direction can be off, and the same as arrays.

    masks     which points each moves [1], shape (points, slips)
    weight    how likely each is before anything is read, shape (slips,)
    gauge     whether it is a step of the gauge, which moves a point by its count, shape (slips,)
    wide      whether it is in a zone or from the cast-on up, shape (slips,)
    first     places of the points that are counted first, shape (slips,)
    own_edge  points along a welt or a curling edge [1], shape (points,)
    """

    listed: tuple[Slip, ...]
    masks: Matrix
    weight: Matrix
    gauge: NDArray[np.bool_]
    wide: NDArray[np.bool_]
    first: NDArray[np.intp]
    own_edge: Matrix


@functools.lru_cache(maxsize=256)
def slips_of(keys: tuple[str, ...], counted: tuple[bool, ...], direction: CountedDirection) -> Slips:
    """Say what can be off in a direction.

    A point that lies along a welt is no suspect by itself. A slip that would move a point that was counted is none.
    A second gauge needs two points on either side, or one that was counted: one that was not is miscounted sooner.

    keys     points of measure in the order they were knitted
    counted  whether each was counted on the piece
    """
    everywhere = frozenset(range(len(keys)))
    sure = frozenset(j for j in everywhere if counted[j])
    single = [frozenset({j}) for j, key in enumerate(keys) if not _own_edge(key)]
    cast_on = _from_the_cast_on(keys) if direction == "across" else []
    zones = [points for points in _zones(keys) if len(points) > 1 and points not in cast_on]
    alike = SLIP_WEIGHT / max(1, len(single) + len(zones))
    of_cast_on = 2 * CAST_ON_WEIGHT / max(1, len(cast_on))

    def slip(code: SlipCode, points: frozenset[int], weight: float) -> Slip:
        return Slip(code, points, min(sorted(points), key=lambda j: _counted_first(keys[j])), weight)

    listed = [
        *(slip("miscount", points, alike) for points in single if not points & sure),
        *(slip("zone", points, alike) for points in zones if not points & sure),
        *(slip("cast_on", points, of_cast_on) for points in cast_on if not points & sure),
    ]
    steps = [frozenset(range(first, len(keys))) for first in range(1, len(keys))]
    steps = [above for above in steps if all(_tells_a_gauge(side, keys, sure) for side in (above, everywhere - above))]
    listed += [slip("two_gauges", above, TWO_GAUGES_WEIGHT / len(steps)) for above in steps]
    masks = np.zeros((len(keys), len(listed)))
    for column, way in enumerate(listed):
        masks[sorted(way.points), column] = 1
    return Slips(
        tuple(listed),
        masks,
        np.array([way.weight for way in listed]),
        np.array([way.code == "two_gauges" for way in listed], dtype=bool),
        np.array([way.code in ("zone", "cast_on") for way in listed], dtype=bool),
        np.array([way.first for way in listed], dtype=np.intp),
        np.array([_own_edge(key) for key in keys], dtype=float),
    )


def variances(slips: Slips, counts: Matrix) -> Matrix:
    """Variance of the size of every slip, in stitches^2 or, of a step of the gauge, relative^2; shape (slips,)."""
    of_zone = np.maximum(SLIP_SD, ZONE_SLIP * counts[slips.first])
    return np.where(slips.gauge, GAUGE_STEP_SD, np.where(slips.wide, of_zone, SLIP_SD)) ** 2


def _counted_first(key: str) -> tuple[bool, int, bool]:
    """Order of counting: a point that is no welt, of one zone alone, that nothing can mend."""
    point = POINTS.get(key)
    return (point.own_edge, len(point.zones), not point.decides) if point else (False, 0, True)


def _own_edge(key: str) -> bool:
    return key in POINTS and POINTS[key].own_edge


def _zones(keys: tuple[str, ...]) -> list[frozenset[int]]:
    """The points that contain each zone, every set of points once."""
    zones: dict[Zone, list[int]] = {}
    for j, key in enumerate(keys):
        for zone in POINTS[key].zones if key in POINTS else ():
            zones.setdefault(zone, []).append(j)
    return list(dict.fromkeys(frozenset(points) for points in zones.values()))


def _from_the_cast_on(keys: tuple[str, ...]) -> list[frozenset[int]]:
    """Everything from the cast-on up, and everything up to a zone above the first, where the slip was made good."""
    above = [j for j, key in enumerate(keys) if key in POINTS and "below_underarm" not in POINTS[key].zones]
    ends = [len(keys), *(j for j in above if j > above[0])] if above and above[0] > 0 else [len(keys)]
    return list(dict.fromkeys(frozenset(range(end)) for end in ends if end > 1))


def _tells_a_gauge(points: frozenset[int], keys: tuple[str, ...], sure: frozenset[int]) -> bool:
    return len(points) > 1 or bool(points & sure and not any(_own_edge(keys[j]) for j in points))
