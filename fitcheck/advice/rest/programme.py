"""What the counts of a make have to answer: tables of expected loss, sums that count together, and demands.

    E = sum e_j(N_j) + sum e_k(sum c N)  is to be least, and every demand kept

A count is one of few candidates, so its loss is a table and the programme is linear whatever the loss is. Pieces that
are knitted are counts with one candidate.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import field
from types import MappingProxyType
from typing import Literal

from fitcheck.advice.rest.count_series import CountsError, check_whole
from fitcheck.records.frozen import frozen

DemandCode = Literal["repeat", "parity", "rows", "front_back", "neck", "shoulders", "bed", "shaping", "armhole"]
PRICES: Mapping[DemandCode, float] = MappingProxyType(
    {
        "repeat": 1.0,
        "parity": 1.0,
        "rows": 2.0,
        "front_back": 4.0,
        "neck": 4.0,
        "shoulders": 8.0,
        "bed": math.inf,
        "shaping": math.inf,
        "armhole": math.inf,
    }
)
"""What it takes to lift a demand (common practice, no source); an infinite price is never paid."""
REACH = 8
"""Counts on either side of the ideal one that are looked at."""


@frozen
class Choice:
    """One count that is to be chosen, or that stands already.

    key      unique name of the count
    losses   expected loss of each candidate [works of a back]
    fits     chance of each candidate that its point fits; empty where nothing hangs on it
    planned  the count that was planned, else advised before, else knitted; None where none is known
    """

    key: str
    losses: Mapping[int, float]
    fits: Mapping[int, float] = field(default_factory=dict)
    planned: int | None = None


@frozen
class Sum:
    """Counts that make one point of the garment together, such as the stitches of front and back.

    terms   how often each count goes in
    losses  expected loss of every sum that the candidates can come to [works of a back]
    fits    chance of each sum that the point fits; empty where nothing hangs on it
    """

    terms: Mapping[str, int]
    losses: Mapping[int, float]
    fits: Mapping[int, float] = field(default_factory=dict)


@frozen
class Demand:
    """What counts have to keep: |sum c N - at| <= within, or sum c N = at + a whole number of steps.

    key     unique name
    code    what kind of demand; it has the price of lifting it
    terms   how often each count goes in
    at      what the sum is held to
    within  stitches or rows that it may be off; None for a demand of steps
    step    size of a step: 2 for even or odd, the stitches of a repeat; None for a demand of a limit
    """

    key: str
    code: DemandCode
    terms: Mapping[str, int]
    at: int = 0
    within: int | None = None
    step: int | None = None

    @property
    def price(self) -> float:
        """What it takes to lift it; infinite where it is never lifted."""
        return PRICES[self.code]

    def keeps(self, total: int) -> bool:
        """Whether a sum keeps it."""
        if self.step is not None:
            return (total - self.at) % self.step == 0
        return self.within is not None and abs(total - self.at) <= self.within


@frozen
class Programme:
    """Counts, the sums that count together, and the demands.

    Raises CountsError for a name that stands twice or that no count has, a count without candidates, a sum that its
    table does not hold, and a demand that is neither a limit nor steps, or both.
    """

    choices: tuple[Choice, ...]
    sums: tuple[Sum, ...] = ()
    demands: tuple[Demand, ...] = ()

    def __post_init__(self) -> None:
        for name, keys in (("choices", [c.key for c in self.choices]), ("demands", [d.key for d in self.demands])):
            if len(set(keys)) < len(keys):
                raise CountsError(f"{name}: read the names {keys}; each once is accepted. Leave one out.")
        known = {choice.key for choice in self.choices}
        for choice in self.choices:
            if not choice.losses:
                raise CountsError(f"choices, {choice.key}: read no candidate; one or more are accepted. Add its count.")
        for name, terms in [("sums", s.terms) for s in self.sums] + [("demands", d.terms) for d in self.demands]:
            for key, times in terms.items():
                if key not in known or not times:
                    raise CountsError(
                        f"{name}: read {times} times {key!r}; one of {', '.join(sorted(known))}, once or more, is "
                        "accepted. Add the count, or correct the name."
                    )
        for demand in self.demands:
            _checked(demand)


def _checked(demand: Demand) -> None:
    """Refuse a demand that asks nothing, or two things."""
    if (demand.within is None) == (demand.step is None) or not demand.terms:
        raise CountsError(
            f"demands, {demand.key}: read terms {dict(demand.terms)}, within {demand.within} and step {demand.step}; "
            "counts with either a limit or a step are accepted. Say one of both."
        )
    if demand.within is not None:
        check_whole(f"demands, {demand.key}, within", demand.within, 0)
    if demand.step is not None:
        check_whole(f"demands, {demand.key}, step", demand.step, 1)


@frozen
class Binds:
    """A demand that costs something: lifting it alone would lower E by `by` [works of a back]."""

    demand: str
    by: float


@frozen
class Way:
    """Demands that, lifted together, open the way: what it costs, and the counts that it leads to.

    price  sum of the prices of what is lifted
    loss   E of the counts [works of a back]
    """

    lifted: tuple[str, ...]
    price: float
    counts: Mapping[str, int]
    loss: float


@frozen
class Rest:
    """Counts that keep every demand, or why there are none.

    counts    by name, those that stand too; empty where no counts keep every demand
    loss      E [works of a back]; nan without counts
    fit       product of the chances of what was chosen [0 to 1], as if points did not hang together; nan without counts
    binds     demands that cost something, the dearest first
    conflict  demands that cannot hold together, as few as possible: without any one of them the others can
    to_lift   up to three sets of demands to lift, the cheapest first; empty where none opens the way
    """

    counts: Mapping[str, int] = field(default_factory=dict)
    loss: float = math.nan
    fit: float = math.nan
    binds: tuple[Binds, ...] = ()
    conflict: tuple[str, ...] = ()
    to_lift: tuple[Way, ...] = ()


def candidates(ideal: float, *, step: int = 1, least: int = 1, most: int | None = None) -> range:
    """Whole counts about the ideal one: 8 to either side, more where a repeat is longer than that.

    ideal        the count that would meet what is wanted, no whole number
    step         stitches of the repeat
    least, most  smallest count of which something is left; needles on the bed, None without a limit
    """
    reach = max(REACH, step)
    low, high = max(least, math.floor(ideal) - reach), math.ceil(ideal) + reach
    if most is not None:
        low, high = min(low, max(least, most - reach)), min(high, most)
    return range(low, high + 1)
