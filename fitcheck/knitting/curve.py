"""Armhole and neck: stitches at once, stepped cast-offs, then decreases, as near as rows allow to a quarter ellipse."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import accumulate, pairwise

from fitcheck.knitting.refusals import CannotShape, cannot_shape, need
from fitcheck.knitting.seam_line import need_sizes
from fitcheck.records.faults import Accepts, Fault, in_words
from fitcheck.records.frozen import frozen

ARMHOLE_BENDS = 0.45
"""Share of an armhole's rows over which it bends; above that it goes straight (common practice, no source)."""
NECK_BENDS = 0.90
"""Share of a neck's rows over which it bends (common practice, no source)."""
UNDERARM_MM = 25.0
"""What is cast off at once at an underarm [mm] (common practice, no source)."""
AT_ONCE = 0.45
"""Share of an armhole's stitches that goes off at once at the most: a third to nearly half (common practice, no
source). Beyond it the ellipse is left behind, and what is nearest to it is no curve."""
CENTRE = 0.40
"""Share of a front neck's stitches that goes off at once in its middle (common practice, no source)."""
STEP_ROWS = 2
"""Rows from one cast-off to the next at the same edge: the carriage has to come back [rows]."""
SPACINGS = (1, 2, 4)
"""Rows from one decrease to the next: every row, every 2nd, every 4th [rows]."""

ROUNDED = 9
"""Decimals of a distance [mm]."""

Times = tuple[int, int]
"""(how many times, every how many rows)."""


def decrease_rows(every: Sequence[Times]) -> tuple[int, ...]:
    """Rows of each decrease of some runs, from where the first of them begins [rows].

    >>> decrease_rows([(2, 1), (2, 2)])
    (1, 2, 4, 6)
    """
    return tuple(accumulate(rows for times, rows in every for _ in range(times)))


@frozen
class Curve:
    """One edge of an armhole or of a neck.

    steps   stitches of each stepped cast-off after what goes off at once, every 2nd row, never rising
    every   decreases of one stitch: (how many times, every how many rows), from below
    off_mm  farthest from the quarter ellipse after any of them, up or across, whichever is nearer [mm]
    """

    steps: tuple[int, ...]
    every: tuple[Times, ...]
    off_mm: float

    @property
    def rows(self) -> int:
        """Rows from the cast-off to the last decrease."""
        return STEP_ROWS * len(self.steps) + sum(times * every for times, every in self.every)

    @property
    def decreases(self) -> tuple[int, ...]:
        """Rows of each decrease after the last cast-off."""
        return decrease_rows(self.every)

    @property
    def segments(self) -> tuple[Times, ...]:
        """(stitches, rows) of each run above what went off at once."""
        return (*((step, STEP_ROWS) for step in self.steps), *((times, times * every) for times, every in self.every))


def curve(
    stitches: float, at_once: float, rows: float, w: float, h: float, *, steps: Sequence[Sequence[int]] = ((),)
) -> Curve | CannotShape:
    """The decreases that lie nearest to a quarter ellipse y = R (1 - sqrt(1 - (x/X)^2)).

    Every n1, n2, n4 (decreases on every row, every 2nd, every 4th) with every list of stepped cast-offs is looked at.
    Of the distances after each act, up or across, whichever is smaller, the largest counts; of equal ones the least
    sum of squares, then the fewest rows.

    stitches  X/w, off altogether on this edge; of half an odd neck with its half stitch
    at_once   cast off or parked at the curve's foot; a whole number less
    rows      R/h, over which it bends: 0.45 of an armhole's, 0.90 of a neck's [rows]
    w, h      stitch width, row height [mm]
    steps     lists of stepped cast-offs to choose from, each of them never rising

    Returns CannotShape steps_do_not_fit where not even a decrease on every row ends within `rows`.
    Errors: ShapingError for counts and sizes that are none.
    Source: common practice, no source (a quarter ellipse; 0.45 and 0.90).

    >>> curve(18, 6, 29.7, 4.48, 3.15, steps=((2,),)).every  # a neck of 36 stitches and 33 rows
    ((2, 1), (6, 2), (2, 4))
    """
    need_sizes(w, h)
    need(stitches >= 1, "stitches", stitches, in_words("1 or more"))
    need(0 <= at_once <= stitches, "at_once", at_once, in_words(f"0 to {stitches}, the stitches of the edge"))
    need(float(stitches - at_once).is_integer(), "at_once", at_once, in_words(f"{stitches} less a whole number"))
    need(rows > 0, "rows", rows, in_words("a number of rows above 0"))
    need(bool(steps), "steps", "none", in_words("one list of stepped cast-offs or more, () for none"))
    best = min(_curves(stitches, at_once, rows, w, h, steps), default=None)
    if best is None:
        accepts = Accepts(
            "steps_do_not_fit", most=int(rows), every=1, over=rows, plain=0, rows=round(stitches - at_once)
        )
        return cannot_shape("steps_do_not_fit", Fault("stitches", f"{stitches - at_once:g}", accepts))
    off_mm, _, _, chosen, every = best
    return Curve(chosen, every, off_mm)


_Judged = tuple[float, float, int, tuple[int, ...], tuple[Times, ...]]


def _curves(
    stitches: float, at_once: float, rows: float, w: float, h: float, steps: Sequence[Sequence[int]]
) -> Iterator[_Judged]:
    """(farthest [mm], sum of squares, rows, steps, decreases) of what ends within the rows and may be the nearest."""
    known: dict[tuple[float, int], float] = {}
    farthest = math.inf  # of the best so far: what goes beyond it is not walked to its end

    def walked(across: float, up: int, acts: Sequence[tuple[int, int]]) -> list[float] | None:
        """How far each place lies from the ellipse [mm]; None where one lies beyond the best."""
        offs = []
        for over, higher in acts:
            across, up = across + over, up + higher
            off = known.get((across, up))
            if off is None:
                off = known[across, up] = _off_ellipse(across / stitches, up / rows, stitches * w, rows * h)
            if off > farthest:
                return None
            offs.append(off)
        return offs

    for some in steps:
        falling = all(step >= later >= 1 for step, later in pairwise((*some, 1)))
        need(falling, "steps", tuple(some), in_words("stitches that never rise, each 1 or more"))
        stepped = walked(at_once, 0, [(step, STEP_ROWS) for step in some])
        if stepped is None:
            continue
        rest, up = round(stitches - at_once) - sum(some), STEP_ROWS * len(some)
        for every in _spacings(rest, rows - up):
            offs = walked(at_once + sum(some), up, [(1, each) for times, each in every for _ in range(times)])
            if offs is not None:
                # Rounded, so that equal distances are equal whatever the order in which they were added up.
                most = round(max((*stepped, *offs), default=0.0), ROUNDED)
                farthest = min(farthest, most + 0.5 * 10**-ROUNDED)
                ended = up + sum(times * each for times, each in every)
                yield most, math.fsum(off * off for off in (*stepped, *offs)), ended, tuple(some), every


def _spacings(decreases: int, rows: float) -> Iterator[tuple[Times, ...]]:
    """Every way to take decreases on every row, every 2nd and every 4th within some rows; runs of none left out."""
    for fourth in range(decreases + 1):
        spare = math.floor(rows) - decreases - 3 * fourth  # one more for each on a 2nd row, three on a 4th
        for second in range(min(decreases - fourth, spare) + 1):
            counts = (decreases - second - fourth, second, fourth)
            yield tuple((times, each) for times, each in zip(counts, SPACINGS, strict=True) if times)


def _off_ellipse(across: float, up: float, width_mm: float, height_mm: float) -> float:
    """How far a place lies from the quarter ellipse, up or across [mm]; the place in shares of its two axes."""
    over = up - (1.0 - math.sqrt(max(0.0, 1.0 - across * across)))
    beside = across - (math.sqrt(1.0 - (1.0 - up) ** 2) if up < 1.0 else 1.0)
    return min(abs(over) * height_mm, abs(beside) * width_mm)
