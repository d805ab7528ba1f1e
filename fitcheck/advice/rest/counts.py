"""Counts for the rest of the sweater: the least expected loss that keeps every demand, or why there are none.

Parts first: a programme falls into parts that do not hang together, and each is solved on its own. Each part keeps its
planned counts unless E falls by more than .01; among new ones within .02 of the best the likeliest to fit is taken,
then the wider. Where a part has no counts, the conflict is what cannot hold together, and the cheapest is lifted.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from fitcheck.advice.rest.parts import MOST_SCANNED, Chosen, Part, Scan, Solver, alone, parts_of
from fitcheck.advice.rest.programme import Binds, Programme, Rest, Way
from fitcheck.advice.rest.rule import EXACT

WAYS = 3
"""Ways out that are offered."""
BINDING = 0.001
"""Fall of E from which a demand is said to bind [works of a back]."""


def counts_for_rest(programme: Programme) -> Rest:
    """The counts of a programme, how much they are expected to lose, and which demands cost something.

    programme  counts with a loss for each candidate, sums that count together, and demands
    Returns counts and their E [works of a back]; where no counts keep every demand, the conflict and up to three ways
    out. Raises CountsError where the integer programme of a part beyond 50,000 combinations ends without an answer.
    Source: facts of this project; held against full search in its tests.
    """
    parts = [_Solved(part) for part in parts_of(programme)]
    impossible = [part for part in parts if part.counts is None]
    if impossible:
        conflict = tuple(key for part in impossible for key in part.conflict())
        return Rest(conflict=conflict, to_lift=_ways(parts))
    counts = {key: count for part in parts for key, count in (part.counts or {}).items()}
    binds = sorted((bind for part in parts for bind in part.binds()), key=lambda bind: -bind.by)
    return Rest(
        {choice.key: counts[choice.key] for choice in programme.choices},
        math.fsum(part.part.loss(counts) for part in parts),
        math.prod(part.part.fit(counts) for part in parts),
        tuple(binds),
    )


class _Solved:
    """One part with its answer."""

    def __init__(self, part: Part) -> None:
        self.part = part
        self._every = [demand.key for demand in part.demands]
        self.counts = self._counts(self._every)

    def conflict(self) -> tuple[str, ...]:
        """Demands that cannot hold together: each is dropped in turn, and stays out while the rest is impossible."""
        solver, left = self._solver, list(self._every)
        for key in self._every:
            without = [other for other in left if other != key]
            if solver.least(without) is None:
                left = without
        return tuple(left)

    def ways(self) -> list[Way]:
        """Up to three ways to lift demands, each with the counts that it leads to."""
        price = {demand.key: demand.price for demand in self.part.demands}
        listed = []
        for lifted in self._solver.to_lift(WAYS):
            counts = self._counts([key for key in self._every if key not in lifted])
            if counts is not None:
                listed.append(Way(lifted, sum(price[key] for key in lifted), counts, self.part.loss(counts)))
        return listed

    def binds(self) -> list[Binds]:
        """Demands that cost something, each lifted alone."""
        demands = {demand.key: demand for demand in self.part.demands if demand.price < math.inf}
        if not demands:
            return []
        least = self._least(self._every)
        falls = {key: least - self._least([other for other in self._every if other != key]) for key in demands}
        return [Binds(key, fall) for key, fall in falls.items() if fall > BINDING]

    @property
    def _solver(self) -> Solver:
        """The part as it stands, every demand tied to it."""
        return _solver(self.part)

    def _counts(self, keep: Sequence[str]) -> Chosen | None:
        part = self._kept(keep)
        if any(not choice.losses for choice in part.choices):
            return None
        if len(part.choices) == 1 and not part.demands and not part.sums:
            return alone(part.choices[0])
        return _solver(part).choose([demand.key for demand in part.demands])

    def _least(self, keep: Sequence[str]) -> float:
        part = self._kept(keep)
        if len(part.choices) == 1 and not part.demands and not part.sums:
            return min(part.choices[0].losses.values(), default=math.inf)
        if any(not choice.losses for choice in part.choices):
            return math.inf
        least = _solver(part).least([demand.key for demand in part.demands])
        return math.inf if least is None else least

    def _kept(self, keep: Sequence[str]) -> Part:
        return self.part.kept(demand for demand in self.part.demands if demand.key in keep)


def _solver(part: Part) -> Solver:
    if part.combinations <= MOST_SCANNED:
        return Scan(part)
    from fitcheck.advice.rest.exact import Exact

    return Exact(part)


def _ways(parts: Sequence[_Solved]) -> tuple[Way, ...]:
    """Ways out of every part that has no counts, joined with the counts of the others."""
    stand: dict[str, int] = {}
    loss = 0.0
    ways: list[list[Way]] = []
    for solved in parts:
        if solved.counts is None:
            ways.append(solved.ways())
        else:
            stand |= solved.counts
            loss += solved.part.loss(solved.counts)
    joined = [
        Way(
            tuple(key for way in each for key in way.lifted),
            sum(way.price for way in each),
            {**stand, **{key: count for way in each for key, count in way.counts.items()}},
            loss + math.fsum(way.loss for way in each),
        )
        for each in itertools.product(*ways)
    ]
    joined.sort(key=lambda way: (round(way.price / EXACT) * EXACT, way.loss))
    return tuple(joined[:WAYS])
