"""Every way to decrease for a sleeve's cap, of all tops and stepped cast-offs: rows, sewn edge and bend of each."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from fitcheck.knitting.curve import SPACINGS, STEP_ROWS
from fitcheck.knitting.refusals import need
from fitcheck.knitting.seam_line import SEAM_ROWS, SEAM_STITCHES, need_sizes
from fitcheck.records.constructions import CAP_EASE
from fitcheck.records.faults import in_words
from fitcheck.records.frozen import frozen

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.floating[Any]]
    Whole = NDArray[np.integer[Any]]

BEST_EASE = 0.02
"""Share by which it is best longer (common practice, no source)."""
TOP_MM = (50.0, 110.0)
"""What is cast off together at a cap's top [mm] (common practice, no source)."""
STEPPED: tuple[tuple[int, ...], ...] = ((), (2,), (3,), (2, 2), (2, 3), (3, 3), (2, 2, 3))
"""Stepped cast-offs before the top, never falling: the cap flattens towards it (common practice, no source)."""


@frozen
class CapAsked:
    """What a cap is asked: the sleeve below it, the armhole that it goes into, and what is chosen.

    upper       stitches of the sleeve below the cap
    underarm    cast off at each side
    armhole_mm  sewn edges of back and front together, without their underarms [mm]
    w, h        stitch width, row height [mm]
    ease        least and largest share by which the cap may be longer [1]
    best        the best share [1]
    rows        the wanted height [rows]; None: any
    exact       no other height goes
    tops        stitches of the top to choose from; None: 50 to 110 mm
    steps       lists of stepped cast-offs to choose from
    """

    upper: int
    underarm: int
    armhole_mm: float
    w: float
    h: float
    ease: tuple[float, float] = CAP_EASE
    best: float = BEST_EASE
    rows: float | None = None
    exact: bool = False
    tops: tuple[int, ...] | None = None
    steps: tuple[tuple[int, ...], ...] = STEPPED

    def checked(self) -> CapAsked:
        """The same; raises ShapingError for counts and sizes that are none."""
        need_sizes(self.w, self.h)
        need(self.underarm >= 0, "underarm", self.underarm, in_words("0 or more"))
        off = 2 * self.underarm
        need(self.upper > off, "upper", self.upper, in_words(f"more than {off}, which go off at the underarms"))
        need(self.armhole_mm > 0, "armhole_mm", f"{self.armhole_mm:g}", in_words("a length above 0 mm"))
        least, most = self.ease
        need(least <= most, "ease", f"{least:g} to {most:g}", in_words("the smaller share first"))
        return self


@frozen
class Family:
    """Every way to decrease with one list of steps, of all tops, one after the other.

    tops, decreases  of each way
    edges            sewn edge of both halves and the top, of each way [mm]
    """

    steps: tuple[int, ...]
    tops: Whole
    decreases: Whole
    counts: _Counts
    edges: Floats
    h: float

    @property
    def plain(self) -> Whole:
        """Plain rows after the decreases of each way."""
        return _plain(self.counts, self.steps)

    @property
    def rows(self) -> Whole:
        """Rows of each way, from the first underarm cast-off to the top's."""
        rows: Whole = 1 + self.counts.rows + self.plain + STEP_ROWS * len(self.steps)
        return rows


@frozen
class _Counts:
    """Every n1, n2, n4 of as many decreases, the rows that they take, and which of them comes first."""

    n1: Whole
    n2: Whole
    n4: Whole
    rows: Whole
    first: Whole

    def joined(self, others: Sequence[_Counts]) -> _Counts:
        """These, then those of the others."""
        import numpy as np

        columns = ("n1", "n2", "n4", "rows", "first")
        every = (self, *others)
        return _Counts(*(np.concatenate([getattr(counts, column) for counts in every]) for column in columns))


@lru_cache(maxsize=256)
def _counts(decreases: int) -> _Counts:
    import numpy as np

    n1, n2 = np.meshgrid(np.arange(decreases + 1), np.arange(decreases + 1), indexing="ij")
    some = n1 + n2 <= decreases
    n1, n2 = n1[some], n2[some]
    n4 = decreases - n1 - n2
    return _Counts(n1, n2, n4, n1 + 2 * n2 + 4 * n4, np.where(n1 > 0, 1, np.where(n2 > 0, 2, 4)))


def _tops(w: float) -> range:
    """Stitches of a top of the usual width."""
    return range(math.ceil(TOP_MM[0] / w), math.floor(TOP_MM[1] / w) + 1)


def families_of(asked: CapAsked) -> tuple[Family, ...]:
    """Every list of steps with the tops that leave whole decreases at each side."""
    import numpy as np

    tops = _tops(asked.w) if asked.tops is None else asked.tops
    families = []
    for steps in asked.steps:
        over = asked.upper - 2 * asked.underarm - 2 * sum(steps)
        going = [top for top in tops if 0 < top < over and (over - top) % 2 == 0]
        if going:
            per_top = [_counts((over - top) // 2) for top in going]
            counts = per_top[0].joined(per_top[1:])
            top = np.repeat(going, [len(each.n1) for each in per_top])
            edges = _edges(counts, top, steps, asked.w, asked.h)
            families.append(Family(steps, top, (over - top) // 2, counts, edges, asked.h))
    return tuple(families)


def nearest_ease(asked: CapAsked) -> float | None:
    """The ease nearest to what is asked, of all caps; None where the counts leave no cap at all [1]."""
    edges = _every_edge(asked.upper, asked.underarm, asked.w, asked.h, asked.tops, asked.steps)
    if not edges.size:
        return None
    eases = edges / asked.armhole_mm - 1.0
    return float(eases[abs(eases.clip(*asked.ease) - eases).argmin()])


@lru_cache(maxsize=32)  # where no cap fits the same sleeve is tried in other armholes
def _every_edge(
    upper: int, underarm: int, w: float, h: float, tops: tuple[int, ...] | None, steps: tuple[tuple[int, ...], ...]
) -> Floats:
    """The sewn edge of every cap of a sleeve, whatever it goes into [mm]."""
    import numpy as np

    families = families_of(CapAsked(upper, underarm, 0.0, w, h, tops=tops, steps=steps))
    return np.concatenate([np.zeros(0), *(family.edges for family in families)])


def _edges(counts: _Counts, top: Whole, steps: tuple[int, ...], w: float, h: float) -> Floats:
    """Sewn edges of both halves and the top [mm]: linear in n1, n2, n4 but for which of them stands on the underarm."""
    import numpy as np

    slant = [math.hypot(w, each * h) for each in SPACINGS]
    half = counts.n1 * slant[0] + counts.n2 * slant[1] + counts.n4 * slant[2] + _plain(counts, steps) * h
    half = half + sum(math.hypot(step * w, STEP_ROWS * h) for step in steps)
    swallowed = SEAM_ROWS * h
    # The half shaped first stands on a straight row, the other on its first decreases.
    below = swallowed * (1.0 + np.hypot(1.0, w / (counts.first * h))) + h
    last = steps[-1] * w / (STEP_ROWS * h) if steps else 0.0
    above = top * w - 2 * SEAM_STITCHES * w + 2 * swallowed * (last - math.hypot(1.0, last))
    edges: Floats = 2 * half + below + above
    return edges


def _plain(counts: _Counts, steps: tuple[int, ...]) -> Whole:
    """Plain rows after the decreases: with steps to follow, as many as bring the carriage back."""
    plain: Whole = 1 + counts.rows % 2 if steps else 0 * counts.rows + 1
    return plain


def bends_of(family: Family, places: Whole) -> Floats:
    """Farthest up or down from a half cosine after any decrease or step [mm], in the half that is shaped second."""
    import numpy as np

    counts, steps = family.counts, family.steps
    n1, n2, n4, top, decreases = (
        column[places, None] for column in (counts.n1, counts.n2, counts.n4, counts.rows, family.decreases)
    )
    across = np.arange(1, decreases.max() + 1)
    ends = np.cumsum((n1 - n1 // 2, n2 - n2 // 2, n4, n2 // 2), axis=0)
    # Each run is that much slower or quicker than the one before: 1, 2, 4, 2, 1 rows a stitch.
    up = across + sum(turn * np.maximum(across - end, 0) for turn, end in zip((1, 2, -2, -1), ends, strict=True))
    plain = family.plain[places, None] if steps else 0
    end_across, end_up = decreases + sum(steps), top + plain + STEP_ROWS * len(steps)

    def off(across: Whole, up: Whole) -> Floats:
        bent: Floats = np.abs(up - end_up * ((1.0 - np.cos(np.pi * across / end_across)) / 2.0))
        return bent

    bends: Floats = np.where(across <= decreases, off(across, up), 0.0).max(axis=1)
    if steps:
        stepped = off(decreases + np.cumsum(steps), top + plain + STEP_ROWS * np.arange(1, len(steps) + 1))
        bends = np.maximum(bends, stepped.max(axis=1))
    return family.h * bends
