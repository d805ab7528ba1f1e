"""Counts for the rest of the sweater: the least expected loss that keeps every demand, or why there are none.

Parts first: a programme falls into parts that do not hang together, and each is solved on its own. Each part keeps its
planned counts unless E falls by more than .01; among new ones within .02 of the best the likeliest to fit is taken,
then the wider. Where a part has no counts, the conflict is what cannot hold together, and the cheapest is lifted.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Collection, Sequence
from functools import cached_property

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
    return Rest(
        {choice.key: counts[choice.key] for choice in programme.choices},
        math.fsum(part.part.loss(counts) for part in parts),
        math.prod(part.part.fit(counts) for part in parts),
        _binding(parts),
    )


def what_binds(programme: Programme) -> tuple[Binds, ...]:
    """The demands of a programme that cost something, the dearest first, where it is known that some counts keep all.

    As `counts_for_rest`, whose counts, chances and ways out are not looked for.
    """
    return _binding([_Solved(part) for part in parts_of(programme)])


def _binding(parts: Sequence[_Solved]) -> tuple[Binds, ...]:
    return tuple(sorted((bind for part in parts for bind in part.binds()), key=lambda bind: -bind.by))


class _Kept:
    """A part with some of its demands: the counts to take, and the least that any lose."""

    def __init__(self, part: Part, keep: Collection[str]) -> None:
        self.part = part.kept([demand for demand in part.demands if demand.key in keep])
        self.tied = [demand.key for demand in self.part.demands]

    @property
    def counts(self) -> Chosen | None:
        """The counts to take; None where none keep the demands."""
        if any(not choice.losses for choice in self.part.choices):
            return None
        if self._is_alone:
            return alone(self.part.choices[0])
        return self._solver.choose(self.tied)

    @property
    def least(self) -> float:
        """The least E; infinite where no counts keep the demands [works of a back]."""
        if any(not choice.losses for choice in self.part.choices):
            return math.inf
        if self._is_alone:
            return min(self.part.choices[0].losses.values())
        return self.least_of(self.tied)

    def least_of(self, tied: Collection[str]) -> float:
        """The least E with some of the demands that tie counts together [works of a back]."""
        least = self._solver.least(tied)
        return math.inf if least is None else least

    @property
    def _is_alone(self) -> bool:
        return len(self.part.choices) == 1 and not self.tied and not self.part.sums

    @cached_property
    def _solver(self) -> Solver:
        return _solver(self.part)


class _Solved:
    """One part with its answer."""

    def __init__(self, part: Part) -> None:
        self.part = part
        self._every = [demand.key for demand in part.demands]
        self._whole = _Kept(part, self._every)

    @cached_property
    def counts(self) -> Chosen | None:
        """The counts to take; None where none keep the demands."""
        return self._whole.counts

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
            counts = self._without(lifted).counts
            if counts is not None:
                listed.append(Way(lifted, sum(price[key] for key in lifted), counts, self.part.loss(counts)))
        return listed

    def binds(self) -> list[Binds]:
        """Demands that cost something, each lifted alone."""
        demands = [demand.key for demand in self.part.demands if demand.price < math.inf]
        if not demands:
            return []
        least = self._whole.least
        if least <= self._free + BINDING:
            return []
        falls = {key: least - self._least_without(key) for key in demands}
        return [Binds(key, fall) for key, fall in falls.items() if fall > BINDING]

    def _least_without(self, key: str) -> float:
        """The least E with one demand lifted; where it ties counts together their candidates stay the same."""
        tied = self._whole.tied
        if key in tied:
            return self._whole.least_of([other for other in tied if other != key])
        return self._without((key,)).least

    @property
    def _free(self) -> float:
        """What the counts lose at the least, each by itself; nothing less can be said where sums count together."""
        return -math.inf if self.part.sums else math.fsum(min(choice.losses.values()) for choice in self.part.choices)

    @property
    def _solver(self) -> Solver:
        """The part as it stands, every demand tied to it."""
        return _solver(self.part)

    def _without(self, lifted: Collection[str]) -> _Kept:
        return _Kept(self.part, [key for key in self._every if key not in lifted])


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
