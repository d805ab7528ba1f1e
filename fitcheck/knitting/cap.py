"""Sleeve caps: every shaping whose sewn edge is as long as the armhole, the fairest first."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from operator import attrgetter
from typing import TYPE_CHECKING, Any, NamedTuple

from fitcheck.knitting.curve import SPACINGS, STEP_ROWS, Times
from fitcheck.knitting.refusals import CannotShape, need
from fitcheck.knitting.seam_line import SEAM_ROWS, SEAM_STITCHES, need_sizes
from fitcheck.records.constructions import CAP_EASE, MORE_EASE
from fitcheck.records.faults import in_words

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
EASE_SCALE, BEND_SCALE_MM, HEIGHT_SCALE_MM = 0.01, 4.0, 10.0
"""What counts alike: 1 % of ease, 4 mm from the half cosine, 10 mm of height (assumed)."""


@dataclass(frozen=True, slots=True)
class Cap:
    """One shaping of a cap; both halves alike, the half that is shaped first one row higher at its underarm.

    top      stitches cast off together
    steps    stepped cast-offs before it at each side, 2 rows each
    every    decreases at both sides: (how many times, every how many rows), from below
    plain    rows without decreases after the last of them
    rows     from the first underarm cast-off to the top's
    edge_mm  sewn edge without the underarm's cast-offs, both halves and the top [mm]
    ease     share by which it is longer than the armhole [1]
    bend_mm  farthest up or down from a half cosine from the underarm to the top's end [mm]
    score    what the caps are ordered by: ease from the best, bend, height from the wanted [1]
    """

    top: int
    steps: tuple[int, ...]
    every: tuple[Times, ...]
    plain: int
    rows: int
    edge_mm: float
    ease: float
    bend_mm: float
    score: float

    @property
    def decreases(self) -> tuple[int, ...]:
        """Rows of each decrease after the second underarm cast-off."""
        gaps = [every for times, every in self.every for _ in range(times)]
        return tuple(sum(gaps[: place + 1]) for place in range(len(gaps)))

    @property
    def segments(self) -> tuple[Times, ...]:
        """(stitches, rows) of each run of the half that is shaped second, from the underarm to the top's end."""
        return (
            *((times, times * every) for times, every in self.every),
            (0, self.plain),
            *((step, STEP_ROWS) for step in self.steps),
        )


def cap_shapings(
    upper: int,
    underarm: int,
    armhole_mm: float,
    w: float,
    h: float,
    *,
    ease: tuple[float, float] = CAP_EASE,
    best: float = BEST_EASE,
    tops: Sequence[int] | None = None,
    rows: float | None = None,
    steps: Sequence[tuple[int, ...]] = STEPPED,
) -> tuple[Cap, ...] | CannotShape:
    """Every cap that goes into an armhole, the fairest first.

    Per half: one row more at the half that is cast off first; decreases on every row, every 2nd, every 4th, every 2nd,
    every row (n1 and n2 halved, the lower half gets an odd one); p plain rows, 1, or 2 where n1 + 2 n2 + 4 n4 is odd
    and stepped cast-offs follow, so that the carriage stands right; the stepped cast-offs, 2 rows each; the top.
    All whole n1, n2, n4 of every top and list of steps are looked at. Ordered by

        ((ease - best)/1 %)^2 + (bend/4 mm)^2 + ((height - wanted)/10 mm)^2

    upper       stitches of the sleeve below the cap
    underarm    cast off at each side
    armhole_mm  sewn edges of back and front together, without their underarms [mm]
    w, h        stitch width, row height [mm]
    ease        least and largest share by which the cap may be longer [1]
    best        the best share [1]
    tops        stitches of the top to choose from; None: 50 to 110 mm
    rows        the wanted height [rows]; None: any
    steps       lists of stepped cast-offs to choose from

    Returns CannotShape no_cap with the nearest ease where none fits.
    Errors: ShapingError for counts and sizes that are none.
    Source: common practice, no source (the shape); the sewn edge as in seam_line.

    >>> caps = cap_shapings(82, 5, 470.117, 4.48, 3.15, tops=range(12, 25), steps=((),))
    >>> len(caps), caps[0].top, caps[0].every, round(caps[0].edge_mm, 3)
    (255, 18, ((5, 1), (8, 2), (2, 4), (7, 2), (5, 1)), 478.394)
    """
    search = _search(_Sleeve(upper, underarm, w, h), _Wish(armhole_mm, ease, best, rows), tops, steps)
    caps = [cap for family in search.families for cap in _fitting(family, search.wish)]
    return tuple(sorted(caps, key=_FAIREST)) if caps else search.refused()


@lru_cache(maxsize=64)  # two sleeves, or one that is shown again, ask for the same
def fairest_cap(
    upper: int,
    underarm: int,
    armhole_mm: float,
    w: float,
    h: float,
    *,
    ease: tuple[float, float] = CAP_EASE,
    rows: float | None = None,
) -> Cap | CannotShape:
    """The first of `cap_shapings`, of which only those are worked out that may be fairer than what was found before.

    >>> fairest_cap(82, 5, 470.117, 4.48, 3.15) == cap_shapings(82, 5, 470.117, 4.48, 3.15)[0]
    True
    """
    search = _search(_Sleeve(upper, underarm, w, h), _Wish(armhole_mm, ease, BEST_EASE, rows), None, STEPPED)
    fairest: list[Cap] = []
    for family in search.families:
        least = min((cap.score for cap in fairest), default=math.inf)
        fairest += _fitting(family, search.wish, most=least, only_fairest=True)
    return min(fairest, key=_FAIREST) if fairest else search.refused()


_FAIREST = attrgetter("score", "top", "steps", "every")
"""In which order caps stand."""


class _Sleeve(NamedTuple):
    """What a cap stands on: stitches below it, cast off at each side, the fabric's stitch and row [mm]."""

    upper: int
    underarm: int
    w: float
    h: float


class _Wish(NamedTuple):
    """What a cap must go into, how much longer it may be and is best, and the height that is wanted [rows]."""

    armhole_mm: float
    ease: tuple[float, float]
    best: float
    rows: float | None


@dataclass(frozen=True, slots=True)
class _Search:
    """Every cap of a sleeve, in families."""

    sleeve: _Sleeve
    wish: _Wish
    tops: Sequence[int]
    steps: Sequence[tuple[int, ...]]
    families: tuple[_Family, ...]

    def refused(self) -> CannotShape:
        """What is said where none fits: the nearest ease, other stitches at the upper arm and more ease that would."""
        ease, upper = self.wish.ease, self.sleeve.upper
        values = {
            "ease": ease,
            "nearest": _nearest(self.families, self.wish.armhole_mm, ease),
            "upper_now": upper,
            "upper": tuple(other for other in (upper + 2, upper - 2) if self._fits(other, ease[1])),
            "more_ease": MORE_EASE[1] if self._fits(upper, MORE_EASE[1]) else None,
        }
        return CannotShape("no_cap", values=values)

    def _fits(self, upper: int, limit: float) -> bool:
        limits = (self.wish.ease[0], limit)
        others = _families(self.sleeve._replace(upper=upper), self.tops, self.steps)
        near = _nearest(others, self.wish.armhole_mm, limits)
        return near is not None and _away(near, limits) == 0.0


def _search(sleeve: _Sleeve, wish: _Wish, tops: Sequence[int] | None, steps: Sequence[tuple[int, ...]]) -> _Search:
    """Refuse counts and sizes that are none, and lay every family out."""
    upper, underarm, w, h = sleeve
    need_sizes(w, h)
    need(underarm >= 0, "underarm", underarm, in_words("0 or more"))
    need(upper > 2 * underarm, "upper", upper, in_words(f"more than {2 * underarm}, which go off at the underarms"))
    need(wish.armhole_mm > 0, "armhole_mm", f"{wish.armhole_mm:g}", in_words("a length above 0 mm"))
    least, most = wish.ease
    need(least <= most, "ease", f"{least:g} to {most:g}", in_words("the smaller share first"))
    some_tops = tuple(_tops(w) if tops is None else tops)
    return _Search(sleeve, wish, some_tops, steps, _families(sleeve, some_tops, steps))


@dataclass(frozen=True, slots=True)
class _Family:
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


@dataclass(frozen=True, slots=True)
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


def _families(sleeve: _Sleeve, tops: Sequence[int], steps: Sequence[tuple[int, ...]]) -> tuple[_Family, ...]:
    """Every list of steps with the tops that leave whole decreases at each side."""
    import numpy as np

    families = []
    for some in steps:
        over = sleeve.upper - 2 * sleeve.underarm - 2 * sum(some)
        going = [top for top in tops if 0 < top < over and (over - top) % 2 == 0]
        if going:
            per_top = [_counts((over - top) // 2) for top in going]
            counts = per_top[0].joined(per_top[1:])
            top = np.repeat(going, [len(each.n1) for each in per_top])
            edges = _edges(counts, top, some, sleeve.w, sleeve.h)
            families.append(_Family(some, top, (over - top) // 2, counts, edges, sleeve.h))
    return tuple(families)


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


def _fitting(family: _Family, wish: _Wish, *, most: float = math.inf, only_fairest: bool = False) -> Iterator[Cap]:
    """The caps of a family that are as long as is wanted.

    most          score up to which they are
    only_fairest  those alone whose score is the least
    """
    import numpy as np

    counts = family.counts
    plain = _plain(counts, family.steps)
    rows = 1 + counts.rows + plain + STEP_ROWS * len(family.steps)
    eases = family.edges / wish.armhole_mm - 1.0
    scores = ((eases - wish.best) / EASE_SCALE) ** 2
    if wish.rows is not None:
        scores = scores + ((rows - wish.rows) * family.h / HEIGHT_SCALE_MM) ** 2
    # A bend only adds to a score.
    places = np.flatnonzero((eases >= wish.ease[0]) & (eases <= wish.ease[1]) & (scores <= most))
    if not places.size:
        return
    bends = _bends(family, places)
    scores = scores[places] + (bends / BEND_SCALE_MM) ** 2
    if only_fairest:
        kept = np.flatnonzero(scores <= min(most, scores.min()))
        places, bends, scores = places[kept], bends[kept], scores[kept]
    columns = (family.tops, counts.n1, counts.n2, counts.n4, plain, rows, family.edges, eases)
    found = zip(*(column[places].tolist() for column in columns), bends.tolist(), scores.tolist(), strict=True)
    for top, n1, n2, n4, *rest in found:
        yield Cap(top, family.steps, _slow_steep_slow(n1, n2, n4), *rest)


def _slow_steep_slow(n1: int, n2: int, n4: int) -> tuple[Times, ...]:
    """The runs from below: every row, every 2nd, every 4th, every 2nd, every row; those of none left out."""
    runs: tuple[Times, ...]
    if not n4:
        # The two runs on every second row are one, and without them those on every row.
        runs = ((n1 - n1 // 2, 1), (n2, 2), (n1 // 2, 1)) if n2 else ((n1, 1),)
    else:
        runs = ((n1 - n1 // 2, 1), (n2 - n2 // 2, 2), (n4, 4), (n2 // 2, 2), (n1 // 2, 1))
    return tuple(run for run in runs if run[0])


def _bends(family: _Family, places: Whole) -> Floats:
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
    plain = _plain(counts, steps)[places, None] if steps else 0
    end_across, end_up = decreases + sum(steps), top + plain + STEP_ROWS * len(steps)

    def off(across: Whole, up: Whole) -> Floats:
        bent: Floats = np.abs(up - end_up * ((1.0 - np.cos(np.pi * across / end_across)) / 2.0))
        return bent

    bends: Floats = np.where(across <= decreases, off(across, up), 0.0).max(axis=1)
    if steps:
        stepped = off(decreases + np.cumsum(steps), top + plain + STEP_ROWS * np.arange(1, len(steps) + 1))
        bends = np.maximum(bends, stepped.max(axis=1))
    return family.h * bends


def _nearest(families: Sequence[_Family], armhole_mm: float, limits: tuple[float, float]) -> float | None:
    """The ease nearest to what is wanted, of all caps; None where the counts leave no cap at all [1]."""
    nearest: list[float] = []
    for family in families:
        eases = family.edges / armhole_mm - 1.0
        away = eases.clip(*limits) - eases
        nearest.append(float(eases[abs(away).argmin()]))
    return min(nearest, key=lambda ease: (_away(ease, limits), ease), default=None)


def _away(ease: float, limits: tuple[float, float]) -> float:
    return max(limits[0] - ease, ease - limits[1], 0.0)
