"""The integer programme of counts that depend on each other."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from fitcheck.advice.judge.verdict import tolerance_sides
from fitcheck.advice.rest.count_points import CountPlace, CountPoint, Demand, Equal, Together
from fitcheck.advice.rest.count_series import CountsError, Series


@dataclass(frozen=True, slots=True)
class Line:
    """A point ready for the programme: ideal count, loss per mm on each side, the series demanded."""

    point: CountPoint
    size: float
    swallowed: float
    down: float
    up: float
    series: tuple[tuple[Demand, Series], ...]

    @property
    def ideal(self) -> float:
        """The count that would meet what is wanted, no whole number."""
        return self.point.wanted_mm / self.size + self.swallowed

    def finished(self, count: float) -> float:
        """What a count comes to when the seams are sewn [mm]."""
        return (count - self.swallowed) * self.size

    def loss(self, count: float) -> float:
        """What a count loses by what it is off."""
        off = self.finished(count) - self.point.wanted_mm
        return max(self.up * off, -self.down * off)


@dataclass(frozen=True, slots=True)
class SharedCount:
    """Places that share one count: known, or free within series and range."""

    places: tuple[CountPlace, ...]
    known: int | None
    series: Series
    least: int
    most: int | None


def programmed(
    counts: Sequence[SharedCount],
    lines: Mapping[CountPlace, Line],
    equal: Sequence[Equal],
    together: Sequence[Together],
    asked: frozenset[Demand],
) -> list[int] | None:
    """Best numbers for counts that depend on each other; None where no numbers meet the demands.

    Variables: k of every free count (count = first + step k), a loss for every point and flat width, half
    the difference of front and back where it must be even.

    equal     groups whose counts may differ by their ease
    together  front and back that reach a flat width together; groups of other counts are left alone
    asked     demands that are kept
    """
    programme = _Programme()
    places = [place for shared in counts for place in shared.places]
    # Twice what a front would need beside a back of no width: no bound that an answer could meet.
    largest = max(max(lines[place].ideal, shared.known or 0) for shared in counts for place in shared.places)
    widest = 4 * largest * len(places)
    count: dict[CountPlace, _Sum] = {}
    for shared in counts:
        if shared.known is not None:
            count |= dict.fromkeys(shared.places, _Sum({}, shared.known))
            continue
        first, step = shared.series.from_below(shared.least), shared.series.step
        most = shared.most if shared.most is not None else int(4 * largest) + 2 * step
        if most < first:
            return None
        k = programme.variable(whole=True, most=(most - first) // step)
        count |= dict.fromkeys(shared.places, _Sum({k: float(step)}, first))
    finished: dict[CountPlace, _Sum] = {}
    for place in places:
        line = lines[place]
        finished[place] = (count[place] - _Sum({}, line.swallowed)).times(line.size)
        if count[place].terms:
            programme.pay(finished[place] - _Sum({}, line.point.wanted_mm), line.down, line.up)
    for group in equal:
        if group.places[0] in count:
            for at, place in enumerate(group.places):
                for other in group.places[at + 1 :]:
                    programme.require(count[place] - count[other], -group.ease, group.ease)
    for both in together:
        if both.places[0] not in count:
            continue
        points = [lines[place].point for place in both.places]
        sides = [tolerance_sides(point.tolerance_mm) for point in points]
        weight = max(point.weight for point in points)
        flat = _total(finished[place] for place in both.places).times(0.5)
        programme.pay(
            flat - _Sum({}, sum(point.wanted_mm for point in points) / 2),
            weight / (sum(narrower for narrower, _ in sides) / 2),
            weight / (sum(wider for _, wider in sides) / 2),
        )
        if Demand("apart", both.places) in asked:
            front = _total(finished[place] for place in both.front) + _Sum({}, both.band_mm)
            back = _total(finished[place] for place in both.back)
            programme.require(front - back, -both.most_apart_mm, both.most_apart_mm)
        if Demand("even", both.places) in asked:
            half = _Sum({programme.variable(whole=True, least=-widest, most=widest): 2.0})
            fronts = _total(count[place] for place in both.front)
            programme.require(fronts - _total(count[place] for place in both.back) - half, 0.0, 0.0)
    values = programme.solved(len(places))
    return None if values is None else [round(count[shared.places[0]].at(values)) for shared in counts]


@dataclass
class _Programme:
    """Variables with their price and bounds, and rows low <= sum <= high; the price of all is to be least."""

    price: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    bounds: list[tuple[float, float]] = field(default_factory=list)
    rows: list[Mapping[int, float]] = field(default_factory=list)
    limits: list[tuple[float, float]] = field(default_factory=list)

    def variable(self, *, price: float = 0.0, whole: bool = False, least: float = 0.0, most: float) -> int:
        """Add a variable; returns its number."""
        self.price.append(price)
        self.whole.append(whole)
        self.bounds.append((least, most))
        return len(self.price) - 1

    def require(self, terms: _Sum, least: float, most: float) -> None:
        """Keep a sum within limits."""
        self.rows.append(terms.terms)
        self.limits.append((least - terms.constant, most - terms.constant))

    def pay(self, off: _Sum, down: float, up: float) -> None:
        """Pay `down` for every unit that a sum is below nought, `up` for every unit above."""
        loss = _Sum({self.variable(price=1.0, most=math.inf): 1.0})
        self.require(loss - off.times(up), 0.0, math.inf)
        self.require(loss + off.times(down), 0.0, math.inf)

    def solved(self, tied: int) -> Sequence[float] | None:
        """Values of the variables; None where none keep every limit.

        tied  how many counts hang together
        """
        import numpy as np
        from scipy.optimize import Bounds, LinearConstraint, milp

        table = np.zeros((len(self.rows), len(self.price)))
        for at, row in enumerate(self.rows):
            for column, factor in row.items():
                table[at, column] = factor
        limits, bounds = np.array(self.limits), np.array(self.bounds)
        solved = milp(
            self.price,
            integrality=[int(is_whole) for is_whole in self.whole],
            bounds=Bounds(bounds[:, 0], bounds[:, 1]),
            constraints=LinearConstraint(table, limits[:, 0], limits[:, 1]),
            options={"mip_rel_gap": 0.0},
        )
        if solved.status == 2:
            return None
        if solved.x is None:
            raise CountsError(
                f"points: read {tied} counts that hang together, and the integer programme ended "
                f"with {solved.message!r}; points that fewer groups tie together are accepted. Give smaller "
                "groups."
            )
        return list(solved.x)


@dataclass(frozen=True, slots=True)
class _Sum:
    """A linear sum of the programme's variables."""

    terms: dict[int, float]
    constant: float = 0.0

    def __add__(self, other: _Sum) -> _Sum:
        terms = {v: self.terms.get(v, 0.0) + other.terms.get(v, 0.0) for v in self.terms | other.terms}
        return _Sum(terms, self.constant + other.constant)

    def __sub__(self, other: _Sum) -> _Sum:
        return self + other.times(-1.0)

    def times(self, factor: float) -> _Sum:
        return _Sum({v: factor * of for v, of in self.terms.items()}, factor * self.constant)

    def at(self, values: Sequence[float]) -> float:
        return self.constant + sum(factor * float(values[v]) for v, factor in self.terms.items())


def _total(sums: Iterable[_Sum]) -> _Sum:
    return sum(sums, start=_Sum({}))
