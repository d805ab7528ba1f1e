"""Series of allowed counts: of one parity, or whole pattern repeats; and the count of a series nearest to a measure."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Literal

from fitcheck.records.faults import FitcheckError
from fitcheck.records.frozen import frozen

Parity = Literal["even", "odd"]


class CountsError(FitcheckError, ValueError):
    """Counts cannot be looked for; the message names the field, what was read and what is accepted."""


def nearest_count(
    wanted_mm: float,
    size_mm: float,
    *,
    swallowed: float = 2.0,
    parity: Parity | None = None,
    multiple: int = 1,
    balance: int = 0,
    most: int | None = None,
) -> int:
    """Count whose finished measure is nearest to the wanted one.

        N = argmin |(N - swallowed) size - wanted|,  N = multiple k + balance, N > swallowed, N >= 1

    Of two equally near the larger is taken: too narrow is worse than too wide (common practice, no source).

    wanted_mm  finished measure [mm]
    size_mm    stitch width or row height [mm]
    swallowed  stitches or rows that seams swallow
    parity     even, odd or None
    multiple, balance  stitches of a pattern repeat, and those beyond the repeats
    most       needles on the bed
    Raises CountsError for a measure or size that is not positive, and where no count exists.
    """
    check_positive("wanted_mm", wanted_mm)
    check_positive("size_mm", size_mm)
    check_finite("swallowed", swallowed)
    series: Series | None = repeats(multiple, balance)
    if parity is not None and series is not None:
        series = series.meet(of_parity(parity))
    ideal = wanted_mm / size_mm + swallowed
    nearest = series.nearest(ideal, least_count(swallowed), most) if series else None
    if nearest is None:
        raise CountsError(
            f"parity, multiple, balance, most: read {parity}, {multiple}, {balance}, {most}; demands that a "
            "count meets are accepted. Relax one of them."
        )
    return nearest


@frozen
class Series:
    """Counts first + step k, k = 0, 1, ...; 0 <= first < step."""

    step: int = 1
    first: int = 0

    def meet(self, other: Series) -> Series | None:
        """Counts that belong to both; None when there are none."""
        step = math.lcm(self.step, other.step)
        for first in range(self.first, step, self.step):
            if first % other.step == other.first:
                return Series(step, first)
        return None

    def has(self, count: int) -> bool:
        """Whether a count is of the series."""
        return count % self.step == self.first

    def from_below(self, low: int) -> int:
        """Smallest of the series that is at least low."""
        return low + (self.first - low) % self.step

    def near(self, ideal: float, least: int, most: int | None) -> list[int]:
        """The one or two of the series beside ideal, between least and most; empty when there are none.

        A convex loss that is least at ideal is least over the series at one of them.
        """
        lowest = self.from_below(least)
        highest = None if most is None else most - (most - self.first) % self.step
        if highest is not None and highest < lowest:
            return []
        below = math.floor(ideal) - (math.floor(ideal) - self.first) % self.step
        beside = {max(count, lowest) for count in (below, below + self.step)}
        return sorted(beside if highest is None else {min(count, highest) for count in beside})

    def nearest(self, ideal: float, least: int, most: int | None) -> int | None:
        """The count of the series nearest to ideal, of two equally near the larger; None where there is none."""
        # A billionth of a stitch is no difference: halfway cases must not hang on rounding.
        near = self.near(ideal, least, most)
        return min(near, key=lambda count: (round(abs(count - ideal), 9), -count), default=None)


def of_parity(parity: str) -> Series:
    """Even or odd counts."""
    if parity not in ("even", "odd"):
        raise CountsError(f"parity: read {parity!r}; even or odd is accepted. Say which, or leave it out.")
    return Series(2, 0 if parity == "even" else 1)


@lru_cache(maxsize=256, typed=True)
def repeats(multiple: int, balance: int) -> Series:
    """Whole pattern repeats of so many stitches, and those over."""
    check_whole("multiple", multiple, 1)
    check_whole("balance", balance, 0)
    return Series(multiple, balance % multiple)


@lru_cache(maxsize=1024, typed=True)
def like_planned(planned: int, repeat: tuple[int, int] = (1, 0)) -> Series:
    """Whole repeats of a planned count's parity, so that the middle stays the middle; else whole repeats alone."""
    whole = repeats(*repeat)
    return whole.meet(of_parity("odd" if planned % 2 else "even")) or whole


def least_count(swallowed: float) -> int:
    """Smallest count of which something is left when the seams are sewn."""
    return max(1, math.floor(swallowed) + 1)


def check_positive(name: str, value: float) -> None:
    """Refuse a number that is not above 0."""
    if not 0 < value < math.inf:
        raise CountsError(f"{name}: read {value}; a number above 0 is accepted. Measure or count again.")


def check_finite(name: str, value: float) -> None:
    """Refuse a number that is not finite."""
    if not math.isfinite(value):
        raise CountsError(f"{name}: read {value}; a finite number is accepted. Say how many seams swallow.")


def check_whole(name: str, value: int, least: int) -> None:
    """Refuse what is no whole number from `least` up."""
    if isinstance(value, bool) or not isinstance(value, int) or value < least:
        raise CountsError(f"{name}: read {value!r}; a whole number from {least} up is accepted. Count again.")
