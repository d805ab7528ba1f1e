"""Parts of a programme that do not hang together, and the full scan of one: every combination of its candidates.

Demands of one count alone are filters of its candidates; what is left ties counts together. Up to MOST_SCANNED
combinations of a part are all looked at (one array operation for each table and demand); beyond that it is an integer
programme (`exact.py`), which gives the same answer.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import cached_property
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from fitcheck.advice.rest.programme import Choice, Demand, Programme, Sum
from fitcheck.advice.rest.rule import ALIKE, EXACT, UNLIKELY, WORTH, best_at, planned_stand
from fitcheck.records.frozen import frozen

MOST_SCANNED = 50_000
Chosen = Mapping[str, int]


@frozen
class Part:
    """Counts that hang together, with their sums and demands."""

    choices: tuple[Choice, ...]
    sums: tuple[Sum, ...]
    demands: tuple[Demand, ...]

    @property
    def combinations(self) -> int:
        """How many combinations of candidates there are."""
        return math.prod(len(choice.losses) for choice in self.choices)

    def kept(self, demands: Iterable[Demand]) -> Part:
        """The part with these of its demands only, those of one count as filters of its candidates.

        A count that no candidate is left of has none in the answer: such a part has no counts.
        """
        demands = tuple(demands)
        tied = tuple([demand for demand in demands if len(demand.terms) > 1])
        filters: dict[str, list[Demand]] = {}
        for demand in demands:
            if len(demand.terms) == 1:
                filters.setdefault(next(iter(demand.terms)), []).append(demand)
        choices = tuple(_filtered(choice, filters.get(choice.key, ())) for choice in self.choices)
        return Part(choices, self.sums, tied)

    def loss(self, counts: Chosen) -> float:
        """E of some counts [works of a back]."""
        own = math.fsum(choice.losses[counts[choice.key]] for choice in self.choices)
        return own + math.fsum(of.losses[total(of.terms, counts)] for of in self.sums)

    def fit(self, counts: Chosen) -> float:
        """Product of the chances of some counts."""
        own = math.prod(choice.fits.get(counts[choice.key], 1.0) for choice in self.choices)
        return own * math.prod(of.fits.get(total(of.terms, counts), 1.0) for of in self.sums)


def total(terms: Mapping[str, int], counts: Chosen) -> int:
    """The sum that some counts come to."""
    return sum(times * counts[key] for key, times in terms.items())


def parts_of(programme: Programme) -> tuple[Part, ...]:
    """The parts of a programme, in the order of their first counts."""
    joined = [{choice.key} for choice in programme.choices]
    for terms in [of.terms for of in programme.sums] + [demand.terms for demand in programme.demands]:
        touched = [keys for keys in joined if not keys.isdisjoint(terms)]
        if len(touched) > 1:
            joined = [keys for keys in joined if keys.isdisjoint(terms)] + [set().union(*touched)]
    order = {choice.key: at for at, choice in enumerate(programme.choices)}
    joined.sort(key=lambda keys: min(order[key] for key in keys))
    return tuple(
        Part(
            tuple(choice for choice in programme.choices if choice.key in keys),
            tuple(of for of in programme.sums if not keys.isdisjoint(of.terms)),
            tuple(demand for demand in programme.demands if not keys.isdisjoint(demand.terms)),
        )
        for keys in joined
    )


class Solver(Protocol):
    """A way to choose the counts of a part; `Scan`, and `Exact` beyond it."""

    def least(self, keep: Collection[str]) -> float | None:
        """The least E with the demands of these names; None where no counts keep them."""

    def choose(self, keep: Collection[str]) -> Chosen | None:
        """The counts to take: planned ones unless E falls by more, else the likeliest of those that are as good."""

    def to_lift(self, ways: int) -> list[tuple[str, ...]]:
        """Up to so many sets of demands to lift, the cheapest first, none of which holds another."""


class Scan:
    """Every combination of a part's candidates, as arrays over a grid with one axis for each count."""

    def __init__(self, part: Part) -> None:
        self.part = part
        self._values = [np.array(list(choice.losses), dtype=np.int64) for choice in part.choices]
        self._axis = {choice.key: at for at, choice in enumerate(part.choices)}

    def least(self, keep: Collection[str]) -> float | None:  # noqa: D102 - as Solver
        losses = np.where(self._kept(keep), self._losses, math.inf)
        least = float(losses.min())
        return least if least < math.inf else None

    def choose(self, keep: Collection[str]) -> Chosen | None:  # noqa: D102 - as Solver
        kept = self._kept(keep)
        losses = np.where(kept, self._losses, math.inf)
        least = float(losses.min())
        if least == math.inf:
            return None
        planned = np.where(self._as_planned, losses, math.inf)
        stand = planned_stand(planned.min(), losses.min())
        if stand:
            losses = np.where(planned <= planned.min() + EXACT, losses, math.inf)
        places = np.flatnonzero(losses <= losses.min() + ALIKE)
        each = (grid.flat[places] for grid in (losses, self._log_fits, self._widths))
        given_up = np.array([math.inf if stand else planned.min()])
        best = np.unravel_index(places[best_at(*each, planned=given_up)], losses.shape)
        return {
            choice.key: int(values[at])
            for choice, values, at in zip(self.part.choices, self._values, best, strict=True)
        }

    def to_lift(self, ways: int) -> list[tuple[str, ...]]:  # noqa: D102 - as Solver
        liftable = [demand for demand in self.part.demands if demand.price < math.inf]
        stands = self._kept([demand.key for demand in self.part.demands if demand.price == math.inf])
        broken = np.zeros(self._losses.shape, dtype=np.int64)
        price = np.zeros(self._losses.shape)
        for at, demand in enumerate(liftable):
            breaks = ~self._keeps[demand.key]
            broken |= breaks.astype(np.int64) << at
            price += np.where(breaks, demand.price, 0.0)
        price = np.where(stands, price, math.inf)
        listed: list[tuple[str, ...]] = []
        while len(listed) < ways and price.min() < math.inf:
            cheapest = price <= price.min() + EXACT
            mask = int(broken.flat[np.where(cheapest, self._losses, math.inf).argmin()])
            listed.append(tuple(demand.key for at, demand in enumerate(liftable) if mask >> at & 1))
            price = np.where(broken & mask == mask, math.inf, price)
        return listed

    @cached_property
    def _losses(self) -> NDArray[np.float64]:
        tables = [np.array(list(choice.losses.values())) for choice in self.part.choices]
        losses = self._spread(tables)
        for of in self.part.sums:
            losses = losses + self._looked_up(of, of.losses)
        return losses

    @cached_property
    def _log_fits(self) -> NDArray[np.float64]:
        tables = [
            np.log([max(choice.fits.get(count, 1.0), UNLIKELY) for count in choice.losses])
            for choice in self.part.choices
        ]
        logs = self._spread(tables)
        for of in self.part.sums:
            if of.fits:
                logs = logs + np.log(np.maximum(self._looked_up(of, of.fits), UNLIKELY))
        return logs

    @cached_property
    def _widths(self) -> NDArray[np.float64]:
        return self._spread([values.astype(np.float64) for values in self._values])

    @cached_property
    def _as_planned(self) -> NDArray[np.bool_]:
        """Combinations in which every planned count stands as it was planned; none where nothing is planned."""
        same = [
            values == choice.planned if choice.planned is not None else np.ones(len(values), dtype=bool)
            for choice, values in zip(self.part.choices, self._values, strict=True)
        ]
        if all(choice.planned is None for choice in self.part.choices):
            return np.zeros(self._losses.shape, dtype=bool)
        return np.asarray(self._spread([table.astype(np.float64) for table in same]) == len(same))

    @cached_property
    def _keeps(self) -> dict[str, NDArray[np.bool_]]:
        """Where each demand is kept."""
        kept = {}
        for demand in self.part.demands:
            off = self._total(demand.terms) - demand.at
            kept[demand.key] = off % demand.step == 0 if demand.step else np.abs(off) <= (demand.within or 0)
        return kept

    def _kept(self, keep: Collection[str]) -> NDArray[np.bool_]:
        kept = np.ones(self._losses.shape, dtype=bool)
        for key in keep:
            kept = kept & self._keeps[key]
        return kept

    def _spread(self, tables: Sequence[NDArray[np.float64]]) -> NDArray[np.float64]:
        """The sum of one table for each count, over the grid."""
        grid = np.zeros(())
        for table in tables:
            grid = grid[..., np.newaxis] + table
        return np.asarray(grid)

    def _total(self, terms: Mapping[str, int]) -> NDArray[np.int64]:
        """sum c N over the grid; an axis of one where a count is not in it."""
        axes = len(self._values)
        grid = np.zeros((1,) * axes, dtype=np.int64)
        for key, times in terms.items():
            shape = [1] * axes
            shape[self._axis[key]] = -1
            grid = grid + times * self._values[self._axis[key]].reshape(shape)
        return grid

    def _looked_up(self, of: Sum, table: Mapping[int, float]) -> NDArray[np.float64]:
        totals = self._total(of.terms)
        first = int(totals.min())
        row = np.array([table.get(at, math.nan) for at in range(first, int(totals.max()) + 1)])
        return np.asarray(row[totals - first])


def alone(choice: Choice) -> Chosen | None:
    """The count of a part that is one count: as `Scan.choose`, without arrays."""
    if not choice.losses:
        return None
    least, planned = min(choice.losses.values()), choice.planned
    if planned is not None and choice.losses.get(planned, math.inf) <= least + WORTH:
        return {choice.key: planned}
    given_up = choice.losses.get(planned, math.inf) if planned is not None else math.inf
    alike = [count for count, loss in choice.losses.items() if loss <= least + ALIKE and given_up > loss + WORTH]
    likeliest = max(alike, key=lambda count: (round(math.log(max(choice.fits.get(count, 1.0), UNLIKELY)), 9), count))
    return {choice.key: likeliest}


def _filtered(choice: Choice, demands: Iterable[Demand]) -> Choice:
    left = choice.losses
    for demand in demands:
        (times,) = demand.terms.values()
        left = {count: loss for count, loss in left.items() if demand.keeps(times * count)}
    return choice if left is choice.losses else Choice(choice.key, left, choice.fits, choice.planned)
