"""The shaping of armholes and necks: as it is known, else the curve that lies nearest to a quarter ellipse."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache
from itertools import combinations_with_replacement

from fitcheck.knitting.counts import BodyCounts, Fabric, Shaping
from fitcheck.knitting.curve import ARMHOLE_BENDS, AT_ONCE, CENTRE, NECK_BENDS, STEP_ROWS, UNDERARM_MM, Curve, curve
from fitcheck.knitting.plan import Plan
from fitcheck.knitting.refusals import CannotShape, ShapingError, need
from fitcheck.knitting.shoulders import shoulder_rows
from fitcheck.records.faults import in_words

STEP_STITCHES = (4, 3, 2)
"""Stitches of a stepped cast-off (common practice, no source)."""
MOST_STEPS = 4
"""Stepped cast-offs of one edge (common practice, no source)."""
CARRIAGE_ROWS = 3
"""Rows that a neck's first cast-off waits for the carriage: two at the most, and one more on the other half."""
STEPS = tuple(
    steps for length in range(MOST_STEPS + 1) for steps in combinations_with_replacement(STEP_STITCHES, length)
)
"""Every list of stepped cast-offs that never rises."""


def armhole_of(counts: BodyCounts) -> Shaping:
    """Shaping of each armhole: the one that is known, else 2.5 cm at once, or what its partner takes, and the nearest
    curve.

    Errors: ShapingError where it does not leave the wanted stitches, or does not go into the rows.
    """
    off, odd = divmod(counts.chest - counts.across, 2)
    need(
        off >= 0 and (counts.unlike or not odd),
        "across",
        counts.across,
        in_words(f"{counts.chest} less an even number, or none"),
    )
    if counts.armhole is not None:
        need(counts.armhole.stitches == off, "armhole", counts.armhole.stitches, in_words(f"{off} at each side"))
        return counts.armhole
    if not off:
        return Shaping(0)
    usual = max(1, min(round(UNDERARM_MM / counts.fabric.w), math.floor(AT_ONCE * off)))
    at_once = min(off, usual if counts.underarm is None else counts.underarm)
    rows = ARMHOLE_BENDS * counts.armhole_rows
    return _shaping(at_once, _curved(off, at_once, rows, counts.fabric, ((),)))


def necks_of(counts: BodyCounts) -> Iterator[Shaping]:
    """Shapings of each half of a neck, the best first; those after it serve where few stitches are left to transfer.

    The known one; else the curve with about 40 % in the middle, its bend ended where the shoulder begins, stepped
    cast-offs alone, and at last everything in the middle.
    """
    if counts.neck_shaping is not None:
        off = 2 * counts.neck_shaping.stitches
        need(off == counts.neck, "neck_shaping", off, in_words(f"{counts.neck} of both halves"))
        yield counts.neck_shaping
        return
    bends = NECK_BENDS * counts.neck_rows
    before = counts.neck_rows - shoulder_rows(counts.groups)
    yield _neck(counts.neck, bends, counts.fabric)
    if 0 < before < bends:
        yield _neck(counts.neck, before, counts.fabric)
    yield _stepped(counts.neck, bends - CARRIAGE_ROWS)
    yield Shaping(counts.neck / 2)


def _neck(stitches: int, rows: float, fabric: Fabric) -> Shaping:
    """Half a neck: the fewest in the middle, from 40 % on, with which a curve ends within the rows."""
    for centre in _centres(stitches):
        found = _curved(stitches / 2, centre / 2, rows, fabric, STEPS)
        if isinstance(found, Curve):
            return _shaping(centre / 2, found)
    return Shaping(stitches / 2)


def _centres(stitches: int) -> range:
    """Stitches of the middle that leave whole halves, from about 40 % on."""
    least = round(CENTRE * stitches)
    return range(least + (stitches - least) % 2, stitches + 1, 2)


@lru_cache(maxsize=256)
def _curved(
    stitches: float, at_once: float, rows: float, fabric: Fabric, steps: tuple[tuple[int, ...], ...]
) -> Curve | CannotShape:
    return curve(stitches, at_once, rows, fabric.w, fabric.h, steps=steps)


def _shaping(at_once: float, found: Curve | CannotShape) -> Shaping:
    """A curve with what goes off at its foot.

    Errors: ShapingError where there is none.
    """
    if isinstance(found, CannotShape):
        raise found.error
    return Shaping(at_once, found.every, found.steps)


def _stepped(stitches: int, rows: float) -> Shaping:
    """Half a neck of stepped cast-offs alone: the fewest in the middle, then the fewest steps."""
    for centre in _centres(stitches):
        rest = (stitches - centre) // 2
        for steps in STEPS:
            if sum(steps) == rest and STEP_ROWS * len(steps) <= rows:
                return Shaping(centre / 2, steps=steps)
    return Shaping(stitches / 2)


def first_that_goes(necks: Iterable[Shaping], planned: Callable[[Shaping], Plan]) -> Plan:
    """The plan of the first neck that rows and stitches hold.

    Errors: the ShapingError of the last, which asks for the least, where none does.
    """
    refused: list[ShapingError] = []
    for neck in necks:
        try:
            return planned(neck)
        except ShapingError as error:
            refused.append(error)
    raise refused[-1]
