"""How far a piece was stretched between its blockings, and what that is to the rest (rules 5, 22, 38; model 6.4)."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from typing import NamedTuple

from fitcheck.advice.tape import taped
from fitcheck.estimates.piece import CountedDirection
from fitcheck.records.makes import Piece
from fitcheck.records.points import BODY, POINTS, SLEEVES, PieceKind

STRETCH_PRICE = 0.5
"""What a gain across costs along, and the other way round, as a share (common practice, no source)."""
_ALIKE_SDS = 3.0
"""Standard uncertainties that a point may lie off the others and still have been stretched with them (assumed)."""


class _Grown(NamedTuple):
    """How much longer points of one direction are at the last blocking than at the first, each with its doubt [1]."""

    shares: tuple[float, ...]
    us: tuple[float, ...]

    @property
    def share(self) -> float:
        return math.fsum(self.shares) / len(self.shares)

    @property
    def alike(self) -> bool:
        """Whether all of them grew alike: what was ripped back, or got rows at its lower end, did not."""
        mean = self.share
        return all(abs(share - mean) <= _ALIKE_SDS * u for share, u in zip(self.shares, self.us, strict=True))


def _grown(piece: Piece) -> dict[str, _Grown]:
    blocked = [stage for stage in piece.stages if stage.kind == "blocked" and stage.readings]
    grown: dict[str, list[tuple[float, float]]] = {}
    for key in blocked[0].readings.keys() & blocked[-1].readings.keys() if len(blocked) > 1 else ():
        first, last = (taped(stage.readings[key], None) for stage in (blocked[0], blocked[-1]))
        if first is not None and last is not None:
            before, after = first.estimate, last.estimate
            u = math.hypot(before.u / before.value, after.u / after.value)
            grown.setdefault(POINTS[key].direction, []).append((after.value / before.value - 1, u))
    return {direction: _Grown(*zip(*each, strict=True)) for direction, each in grown.items()}


def stretched(piece: Piece) -> dict[str, float]:
    """Share of a stretch that was given to a piece from its first blocking to its last, per direction (fit rule 38).

    A stretch s one way takes p s the other way, p being what it costs there. A piece that was pulled out of shape and
    is patted back changes by r one way and by -r the other: that is free (fit rule 22), and s is what is left of both,

        larger = s + r,  smaller = p s + r,  so  s = (larger - smaller) / (1 - p)
    """
    return _given(_grown(piece))


def _given(grown: Mapping[str, _Grown]) -> dict[str, float]:
    longer_by = {direction: each.share for direction, each in grown.items()}
    across, along = longer_by.get("across", 0.0), longer_by.get("along", 0.0)
    given = {direction: max(0.0, share) for direction, share in longer_by.items()}
    if across * along < 0:
        larger = max(across, along)
        way = "across" if across > along else "along"
        given[way] = min(larger, max(0.0, (across + along) / (1 - STRETCH_PRICE)))
    return given


def lengthened(piece: Piece) -> dict[CountedDirection, float]:
    """How much larger a piece is for the stretch that it was given, per direction, as a factor [1].

    Its fabric is what it measures less that. A way that gained nothing paid for the other. What was patted back into
    shape, or did not grow alike all over, was given none.
    """
    grown = _grown(piece)
    given = _given(grown) if all(each.alike for each in grown.values()) else {}
    across, along = given.get("across", 0.0), given.get("along", 0.0)
    return {"across": 1 + (across or -STRETCH_PRICE * along), "along": 1 + (along or -STRETCH_PRICE * across)}


def blocked_alike(kind: PieceKind, left: Collection[PieceKind]) -> bool:
    """Whether a piece still to come is blocked as this kind was: the other side of the body, or the other sleeve."""
    partners = next((kinds for kinds in (BODY, SLEEVES) if kind in kinds), ())
    return any(other in partners for other in left)
