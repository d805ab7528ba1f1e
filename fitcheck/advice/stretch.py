"""How far a piece was stretched between its blockings, and what that is to the rest (rules 5, 22, 38; model 6.4)."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping
from typing import NamedTuple

from fitcheck.advice.tape import taped
from fitcheck.estimates.piece import CountedDirection
from fitcheck.records.makes import Piece
from fitcheck.records.points import BODY, POINTS, SLEEVES, PieceKind
from fitcheck.records.stages import PieceStage

STRETCH_PRICE = 0.5
"""What a gain across costs along, and the other way round, as a share (common practice, no source)."""
MOST_TIMES = 2
"""So often a piece is stretched one way: what went twice goes a third time (common practice, no source)."""
NINE_IN_TEN = 1.6449
"""Half width of the interval that holds nine in ten [standard uncertainties]; less is as good as nothing."""
_ALIKE_SDS = 3.0
"""Standard uncertainties that a point may lie off the others and still have been stretched with them (assumed)."""


class _Grown(NamedTuple):
    """How much longer points of one direction are at a blocking than before it, each with its doubt [1]."""

    shares: tuple[float, ...]
    us: tuple[float, ...]

    @property
    def share(self) -> float:
        return math.fsum(self.shares) / len(self.shares)

    @property
    def told(self) -> float:
        """What of their mean share the tape cannot tell from nothing."""
        return NINE_IN_TEN * math.hypot(*self.us) / len(self.us)

    @property
    def alike(self) -> bool:
        """Whether all of them grew alike: what was ripped back, or got rows at its lower end, did not."""
        mean = self.share
        return all(abs(share - mean) <= _ALIKE_SDS * u for share, u in zip(self.shares, self.us, strict=True))


class _Blocking(NamedTuple):
    """What a piece gained from one blocking to the next, and what of a stretch it gave (+) or took back (-) [1]."""

    grown: Mapping[str, _Grown]
    gave: Mapping[str, float]


def _blockings(piece: Piece) -> Iterator[_Blocking]:
    """Every blocking of a piece beside the last one that has a point of it; none takes back more than was given."""
    blocked = [stage for stage in piece.stages if stage.kind == "blocked" and stage.readings]
    given: dict[str, float] = {}
    for place, after in enumerate(blocked):
        before = next((stage for stage in blocked[:place][::-1] if stage.readings.keys() & after.readings.keys()), None)
        if before is None:
            continue
        grown = _grown(before, after)
        gave = {way: max(share, -given.get(way, 0.0)) for way, share in _gave(grown).items()}
        for way, share in gave.items():
            given[way] = given.get(way, 0.0) + share
        yield _Blocking(grown, gave)


def _grown(first: PieceStage, last: PieceStage) -> dict[str, _Grown]:
    grown: dict[str, list[tuple[float, float]]] = {}
    for key in [key for key in first.readings if key in last.readings]:
        taped_before, taped_after = (taped(stage.readings[key], None) for stage in (first, last))
        if taped_before is not None and taped_after is not None:
            before, after = taped_before.estimate, taped_after.estimate
            u = math.hypot(before.u / before.value, after.u / after.value)
            grown.setdefault(POINTS[key].direction, []).append((after.value / before.value - 1, u))
    return {direction: _Grown(*zip(*each, strict=True)) for direction, each in grown.items()}


def _gave(grown: Mapping[str, _Grown]) -> dict[str, float]:
    """What a blocking gave of a stretch, per direction [1].

    A stretch s one way takes p s the other way, p being what it costs there, and what springs back gives it again. A
    piece that was pulled out of shape and is patted back changes by r one way and by -r the other: that is free (fit
    rule 22), and s is what is left of both,

        larger = s + r,  smaller = p s + r,  so  s = (larger - smaller) / (1 - p)
    """
    longer_by = {direction: each.share for direction, each in grown.items()}
    across, along = longer_by.get("across", 0.0), longer_by.get("along", 0.0)
    if across * along >= 0:
        return {direction: max(0.0, share) for direction, share in longer_by.items()}
    larger, smaller = ("across", "along") if across > along else ("along", "across")
    left = (across + along) / (1 - STRETCH_PRICE)
    return {larger: max(0.0, min(longer_by[larger], left)), smaller: min(0.0, max(longer_by[smaller], left))}


def stretched(piece: Piece) -> dict[str, float]:
    """Share of a stretch that a piece has of its blockings, per direction (fit rule 38) [1].

    Infinite where it was stretched as often as holds: nothing is left to give.
    """
    given: dict[str, float] = {}
    tried: list[str] = []
    for grown, gave in _blockings(piece):
        tried += _tried(grown, gave)
        for way, share in gave.items():
            given[way] = given.get(way, 0.0) + share
    return {way: math.inf if tried.count(way) >= MOST_TIMES else share for way, share in given.items()}


def _tried(grown: Mapping[str, _Grown], gave: Mapping[str, float]) -> Collection[str]:
    """The directions in which a piece may have been stretched by a blocking: either where nothing came of it.

    In none where it was ripped back, sprang back, or was patted back into shape: nearer to r and -r than to s and -p s.
    """
    if not all(each.alike for each in grown.values()):
        return ()
    told = sorted((each.share for each in grown.values() if abs(each.share) > each.told), key=abs)
    patted = len(told) == 2 and told[0] * told[1] < 0 and abs(sum(told)) < abs(told[0] + STRETCH_PRICE * told[1])
    way = max(gave, key=lambda direction: abs(gave[direction]), default="")
    if patted or not way:
        return ()
    if abs(gave[way]) <= grown[way].told:
        return gave.keys()
    return (way,) if gave[way] > 0 else ()


def lengthened(piece: Piece) -> dict[CountedDirection, float]:
    """How much larger a piece is for the stretch that it was given, per direction, as a factor [1].

    Its fabric is what it measures less that. A way that gained nothing paid for the other. What was patted back into
    shape, or did not grow alike all over, was given none.
    """
    longer: dict[CountedDirection, float] = {"across": 1.0, "along": 1.0}
    for grown, gave in _blockings(piece):
        if all(each.alike for each in grown.values()):
            across, along = gave.get("across", 0.0), gave.get("along", 0.0)
            longer["across"] *= 1 + (across or -STRETCH_PRICE * along)
            longer["along"] *= 1 + (along or -STRETCH_PRICE * across)
    return longer


def blocked_alike(kind: PieceKind, left: Collection[PieceKind]) -> bool:
    """Whether a piece still to come is blocked as this kind was: the other side of the body, or the other sleeve."""
    partners = next((kinds for kinds in (BODY, SLEEVES) if kind in kinds), ())
    return any(other in partners for other in left)
