"""Sleeve caps: every shaping whose sewn edge is as long as the armhole, the fairest first."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache
from operator import attrgetter

from fitcheck.knitting.cap_families import BEST_EASE, STEPPED, CapAsked, Family, bends_of, families_of, nearest_ease
from fitcheck.knitting.cap_ways import ways_to_a_cap
from fitcheck.knitting.curve import STEP_ROWS, Times, decrease_rows
from fitcheck.knitting.refusals import CannotShape
from fitcheck.records.constructions import CAP_EASE
from fitcheck.records.frozen import frozen

EASE_SCALE, BEND_SCALE_MM, HEIGHT_SCALE_MM = 0.01, 4.0, 10.0
"""What counts alike: 1 % of ease, 4 mm from the half cosine, 10 mm of height (assumed)."""


@frozen
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
        return decrease_rows(self.every)

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

    What it is asked stands in `CapAsked`, where lengths are millimetres.

    Returns CannotShape no_cap with the nearest ease where none fits.
    Errors: ShapingError for counts and sizes that are none.
    Source: common practice, no source (the shape); the sewn edge as in seam_line.

    >>> caps = cap_shapings(82, 5, 470.117, 4.48, 3.15, tops=range(12, 25), steps=((),))
    >>> len(caps), caps[0].top, caps[0].every, round(caps[0].edge_mm, 3)
    (255, 18, ((5, 1), (8, 2), (2, 4), (7, 2), (5, 1)), 478.394)
    """
    some_tops = None if tops is None else tuple(tops)
    asked = CapAsked(upper, underarm, armhole_mm, w, h, ease, best, rows, tops=some_tops, steps=tuple(steps)).checked()
    caps = [cap for family in families_of(asked) for cap in _fitting(family, asked)]
    return tuple(sorted(caps, key=_FAIREST)) if caps else _refused(asked)


@lru_cache(maxsize=64)  # two sleeves, or one that is shown again, ask for the same
def fairest_cap(asked: CapAsked) -> Cap | CannotShape:
    """The first of `cap_shapings`, of which only those are worked out that may be fairer than what was found before.

    >>> fairest_cap(CapAsked(82, 5, 470.117, 4.48, 3.15)) == cap_shapings(82, 5, 470.117, 4.48, 3.15)[0]
    True
    """
    fairest: list[Cap] = []
    for family in families_of(asked.checked()):
        least = min((cap.score for cap in fairest), default=math.inf)
        fairest += _fitting(family, asked, most=least, only_fairest=True)
    return min(fairest, key=_FAIREST) if fairest else _refused(asked)


_FAIREST = attrgetter("score", "top", "steps", "every")
"""In which order caps stand."""


def _refused(asked: CapAsked) -> CannotShape:
    """What is said where none fits: the nearest ease, and what of the sleeve lets one in."""
    values = {
        "ease": asked.ease,
        "nearest": nearest_ease(asked),
        "upper_now": asked.upper,
        "ways": ways_to_a_cap(asked),
    }
    return CannotShape("no_cap", values=values)


def _fitting(family: Family, asked: CapAsked, *, most: float = math.inf, only_fairest: bool = False) -> Iterator[Cap]:
    """The caps of a family that are as long as is wanted.

    most          score up to which they are
    only_fairest  those alone whose score is the least
    """
    import numpy as np

    counts, rows = family.counts, family.rows
    eases = family.edges / asked.armhole_mm - 1.0
    scores = ((eases - asked.best) / EASE_SCALE) ** 2
    if asked.rows is not None:
        scores = scores + ((rows - asked.rows) * family.h / HEIGHT_SCALE_MM) ** 2
    # A bend only adds to a score.
    going = (eases >= asked.ease[0]) & (eases <= asked.ease[1]) & (scores <= most)
    places = np.flatnonzero(going & (rows == asked.rows) if asked.exact else going)
    if not places.size:
        return
    bends = bends_of(family, places)
    scores = scores[places] + (bends / BEND_SCALE_MM) ** 2
    if only_fairest:
        kept = np.flatnonzero(scores <= min(most, scores.min()))
        places, bends, scores = places[kept], bends[kept], scores[kept]
    columns = (family.tops, counts.n1, counts.n2, counts.n4, family.plain, rows, family.edges, eases)
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
