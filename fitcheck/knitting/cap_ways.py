"""Where no cap goes into an armhole: other stitches below it, more ease or other rows of a front that let one in."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import NamedTuple

from fitcheck.knitting.cap_families import CapAsked, nearest_ease
from fitcheck.records.constructions import MORE_EASE
from fitcheck.records.frozen import frozen

MOST_STEPS = 10
"""How often two stitches or two rows are tried."""


@frozen
class CapWay:
    """What lets a cap fit; what is None stays as it is.

    upper  stitches at the upper arm
    ease   largest share by which the cap is eased in [1]
    rows   more in the armhole of a front to come; fewer below 0
    """

    upper: int | None = None
    ease: float | None = None
    rows: int | None = None


ByRows = Callable[[int], float | None]
"""Sewn edges of back and front together [mm], by how many rows more the armhole of a front to come has; None where it
cannot have them."""


def ways_to_a_cap(asked: CapAsked, by_rows: ByRows = lambda _: None) -> tuple[CapWay, ...]:
    """What lets a cap fit where none does: each thing alone; where none is enough, each with more ease; else all.

    Of stitches at the upper arm, and of rows in the armhole of a front to come, the fewest with which one fits, two by
    two, up to ten times: more stitches or fewer rows where all caps are too short, else fewer or more. Nothing more is
    eased in where they are too short.

    Source: common practice, no source.
    """
    sign = _misses(asked)
    steps = [2 * sign * step for step in range(1, MOST_STEPS + 1)]
    as_asked = _Try(CapWay(), asked)
    eased = _Try(CapWay(ease=MORE_EASE[1]), replace(asked, ease=MORE_EASE)) if sign < 0 else as_asked
    stitches, rows = as_asked.by_stitches(steps), as_asked.by_rows(steps, by_rows)
    ways = [_first(tries, sign) for tries in (stitches, [eased], rows)]
    if not any(ways):
        ways = [_first(tries, sign) for tries in (eased.by_stitches(steps), eased.by_rows(steps, by_rows))]
    if not any(ways):
        ways = [_first(eased.by_both(steps, by_rows), sign)]
    return tuple(way for way in ways if way is not None)


class _Try(NamedTuple):
    """A way, and what a cap is asked with it."""

    way: CapWay
    asked: CapAsked

    def by_stitches(self, steps: Sequence[int]) -> list[_Try]:
        """So many stitches more at the upper arm besides, as far as a sleeve has them."""
        uppers = (self.asked.upper + step for step in steps)
        least = 2 * self.asked.underarm
        return [
            _Try(replace(self.way, upper=upper), replace(self.asked, upper=upper)) for upper in uppers if upper > least
        ]

    def by_rows(self, steps: Sequence[int], by_rows: ByRows) -> list[_Try]:
        """So many rows fewer in the armhole of a front besides, as far as it can have them."""
        armholes = ((-step, by_rows(-step)) for step in steps)
        return [
            _Try(replace(self.way, rows=rows), replace(self.asked, armhole_mm=mm))
            for rows, mm in armholes
            if mm is not None
        ]

    def by_both(self, steps: Sequence[int], by_rows: ByRows) -> list[_Try]:
        """Stitches and rows besides, the fewest steps together first."""
        armholes = self.by_rows(steps, by_rows)
        tries = [arm for armhole in armholes for arm in armhole.by_stitches(steps)]
        return sorted(tries, key=lambda each: abs(each.asked.upper - self.asked.upper) + abs(each.way.rows or 0))


def _first(tries: Sequence[_Try], sign: int) -> CapWay | None:
    """The first with which a cap fits; the last goes farthest: where it still misses on the same side, all do."""
    if not tries or _misses(tries[-1].asked) == sign:
        return None
    return next((way for way, asked in tries if not _misses(asked)), None)


def _misses(asked: CapAsked) -> int:
    """1 where all caps are too short for the armhole, or there is none; -1 where they are too long; 0: one fits."""
    nearest, (least, most) = nearest_ease(asked), asked.ease
    return 1 if nearest is None else (nearest < least) - (nearest > most)
