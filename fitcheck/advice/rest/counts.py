"""Counts for the pieces still to knit: whole stitches and rows that come nearest to what is wanted.

    finished = (count - swallowed) x size
    loss = sum over points of weight / tolerance x |finished - wanted|  (the side's own tolerance)

Demands are kept exactly: parity, pattern repeats, needles on the bed, equal counts along seamed edges, the
limit between front and back. What a front and a back reach together counts instead of what each reaches
alone; a ten-thousandth per mm of every point's own difference decides between equals. Pieces already knitted
are constants. A point on its own has a closed form; points that depend on each other are an integer
programme.

What seams swallow, the 4 cm between front and back and the even difference are common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal, Protocol, TypeAlias, TypeVar

from fitcheck.advice.judge.points import Tolerance
from fitcheck.advice.judge.verdict import tolerance_sides
from fitcheck.estimates.numbers import CannotSay
from fitcheck.estimates.piece import CountedDirection
from fitcheck.records.faults import FitcheckError

Place = tuple[str, str]
"""A count's place: (piece, point of measure)."""
Parity = Literal["even", "odd"]
T = TypeVar("T")
Per: TypeAlias = T | Mapping[str | Place, T]
"""One value for every stitch count, or a mapping from a piece (its stitch counts) or a place (also rows)."""

SWALLOWED: Mapping[str, float] = {"across": 2.0, "along": 0.0}
"""Stitches or rows that seams swallow when nothing is said (common practice, no source)."""
MOST_APART_MM = 40.0
"""Front less back, at most [mm] (common practice, no source)."""
TIE = 1e-4
"""Loss per mm of a point's own difference, which only decides between equals [1/mm]."""


class CountsError(FitcheckError, ValueError):
    """Counts cannot be looked for; the message names the field, what was read and what is accepted."""


@dataclass(frozen=True, slots=True)
class StitchAndRow:
    """Size of the finished fabric: stitch width and row height [mm]."""

    width_mm: float
    row_mm: float


class Sized(Protocol):
    """A size with its value [mm]."""

    @property
    def value(self) -> float: ...  # noqa: D102 - the class says it


class GaugeLike(Protocol):
    """Stitch width and row height as the fabric model answers them."""

    @property
    def across(self) -> Sized: ...  # noqa: D102 - the class says it

    @property
    def along(self) -> Sized: ...  # noqa: D102 - the class says it


@dataclass(frozen=True, slots=True)
class CountPoint:
    """One point of one piece that needs a count.

    key, piece    point of measure and piece
    direction     across (stitches) or along (rows)
    wanted_mm     finished measure, seams sewn; flat for widths [mm]
    tolerance_mm  allowed on both sides, or (narrower or shorter, wider or longer) [mm]; math.inf frees a side
    swallowed     stitches or rows that seams swallow; negative where picking up an edge widens an opening;
                  None = 2 across, 0 along
    weight        loss if the garment is out here
    """

    key: str
    piece: str
    direction: CountedDirection
    wanted_mm: float
    tolerance_mm: Tolerance
    swallowed: float | None = None
    weight: float = 1.0

    @property
    def place(self) -> Place:
        """(piece, key)."""
        return (self.piece, self.key)


@dataclass(frozen=True, slots=True)
class Equal:
    """Counts that must be equal: rows along a seamed edge, shoulders, both sleeves.

    places  of one direction
    ease    stitches or rows any two may differ (a seam eases in about 2 %; common practice, no source)
    """

    places: tuple[Place, ...]
    ease: int = 0


@dataclass(frozen=True, slots=True)
class Together:
    """Front and back that reach a flat width together: (back + front + band) / 2.

    key            point of measure of the garment
    back, front    places of each half; two for half fronts. Wanted and tolerance are those of the points,
                   added and halved in the same way; the weight is the largest of theirs
    band_mm        width that front bands add to the front [mm]
    most_apart_mm  front with its bands less back, at most, either way [mm]
    even           the difference in stitches is even, so that the middle of front and back stays alike
    """

    key: str
    back: tuple[Place, ...]
    front: tuple[Place, ...]
    band_mm: float = 0.0
    most_apart_mm: float = MOST_APART_MM
    even: bool = True

    @property
    def places(self) -> tuple[Place, ...]:
        """Every place of both halves."""
        return self.back + self.front


@dataclass(frozen=True, slots=True)
class Demand:
    """One demand that can be relaxed.

    code   parity | multiple | needles | equal | apart (front and back) | even (their difference)
    about  piece or places that it was made for; empty = all stitch counts
    """

    code: Literal["parity", "multiple", "needles", "equal", "apart", "even"]
    about: tuple[str | Place, ...] = ()


@dataclass(frozen=True, slots=True)
class Counts:
    """Counts that answer the demands.

    counts       by place, knitted pieces included; empty when no counts meet every demand
    finished_mm  what they come to, by place [mm]
    off_mm       finished - wanted, by place [mm]
    flat_mm      what front and back reach together, by the garment's point [mm]
    flat_off_mm  the same less what is wanted [mm]
    relax        why there are no counts, and what to relax; None when there are
    to_relax     each a set of demands that, relaxed together, opens the way; the smallest change first
    """

    counts: Mapping[Place, int] = field(default_factory=dict)
    finished_mm: Mapping[Place, float] = field(default_factory=dict)
    off_mm: Mapping[Place, float] = field(default_factory=dict)
    flat_mm: Mapping[str, float] = field(default_factory=dict)
    flat_off_mm: Mapping[str, float] = field(default_factory=dict)
    relax: CannotSay | None = None
    to_relax: tuple[tuple[Demand, ...], ...] = ()


def nearest_count(
    wanted_mm: float,
    size_mm: float,
    *,
    swallowed: float = 2.0,
    parity: Parity | None = None,
    multiple: int = 1,
    balance: int = 0,
    most: int | None = None,
) -> int:
    """Count whose finished measure is nearest to the wanted one.

        N = argmin |(N - swallowed) size - wanted|,  N = multiple k + balance, N > swallowed, N >= 1

    Of two equally near the larger is taken: too narrow is worse than too wide (common practice, no source).

    wanted_mm  finished measure [mm]
    size_mm    stitch width or row height [mm]
    swallowed  stitches or rows that seams swallow
    parity     even, odd or None
    multiple, balance  stitches of a pattern repeat, and those beyond the repeats
    most       needles on the bed
    Raises CountsError for a measure or size that is not positive, and where no count exists.
    """
    _positive("wanted_mm", wanted_mm)
    _positive("size_mm", size_mm)
    _finite("swallowed", swallowed)
    series: _Series | None = _repeats(multiple, balance)
    if parity is not None and series is not None:
        series = series.meet(_of_parity(parity))
    ideal = wanted_mm / size_mm + swallowed
    near = series.near(ideal, _least(swallowed), most) if series else []
    if not near:
        raise CountsError(
            f"parity, multiple, balance, most: read {parity}, {multiple}, {balance}, {most}; demands that a "
            "count meets are accepted. Relax one of them."
        )
    # A billionth of a stitch is no difference: halfway cases must not hang on rounding.
    return min(near, key=lambda n: (round(abs(n - ideal), 9), -n))


def best_counts(
    points: Sequence[CountPoint],
    fabric: StitchAndRow | GaugeLike,
    *,
    parity: Per[Parity] | None = None,
    multiple: Per[int] = 1,
    balance: Per[int] = 0,
    fixed: Mapping[Place, int] | None = None,
    needles: int | None = None,
    equal: Sequence[Equal] = (),
    together: Sequence[Together] = (),
) -> Counts:
    """Counts for the pieces still to knit, nearest to what is wanted in the sense of the loss above.

    Where points depend on each other: absolute differences by two inequalities each, whole numbers by HiGHS
    (``scipy.optimize.milp``). Where no counts meet every demand, each demand is dropped in turn and those
    that open the way are named; where no single one does, a set that has to go together, of which none can be
    kept. A demand between knitted pieces only is not looked at: there is nothing left to decide.

    points    each place once
    fabric    stitch width and row height, finished [mm]: StitchAndRow, or a gauge of the fabric model
    parity    even or odd for stitch counts, or a mapping from pieces (their stitch counts) or places (also
              rows)
    multiple, balance  stitches of a pattern repeat and those beyond the repeats, given likewise
    fixed     counts of pieces already knitted; parity, repeats and needles are not asked of them
    needles   on the bed; stitch counts are at most this
    equal     groups of equal counts
    together  front and back that reach a flat width together
    Raises CountsError for a value outside its range, a place that no point has, or a group of two directions;
    VerdictError for a tolerance that is not above 0.
    """
    programme = _Programme.of(points, fabric, parity, multiple, balance, fixed or {}, needles, equal, together)
    counts = programme.solve(programme.demands)
    return programme.answer(counts) if counts is not None else programme.refusal()


# Series of allowed counts


@dataclass(frozen=True, slots=True)
class _Series:
    """Counts first + step k, k = 0, 1, ...; 0 <= first < step."""

    step: int = 1
    first: int = 0

    def meet(self, other: _Series) -> _Series | None:
        """Counts that belong to both; None when there are none."""
        step = math.lcm(self.step, other.step)
        for first in range(self.first, step, self.step):
            if first % other.step == other.first:
                return _Series(step, first)
        return None

    def has(self, count: int) -> bool:
        return count % self.step == self.first

    def from_below(self, low: int) -> int:
        """Smallest of the series that is at least low."""
        return low + (self.first - low) % self.step

    def near(self, ideal: float, least: int, most: int | None) -> list[int]:
        """The one or two of the series beside ideal, between least and most; empty when there are none.

        A convex loss that is least at ideal is least over the series at one of them.
        """
        lowest = self.from_below(least)
        highest = None if most is None else most - (most - self.first) % self.step
        if highest is not None and highest < lowest:
            return []
        below = math.floor(ideal) - (math.floor(ideal) - self.first) % self.step
        found = {max(count, lowest) for count in (below, below + self.step)}
        return sorted(found if highest is None else {min(count, highest) for count in found})


def _of_parity(parity: str) -> _Series:
    if parity not in ("even", "odd"):
        raise CountsError(f"parity: read {parity!r}; even or odd is accepted. Say which, or leave it out.")
    return _Series(2, 0 if parity == "even" else 1)


def _repeats(multiple: int, balance: int) -> _Series:
    _whole("multiple", multiple, 1)
    _whole("balance", balance, 0)
    return _Series(multiple, balance % multiple)


def _least(swallowed: float) -> int:
    """Smallest count of which something is left when the seams are sewn."""
    return max(1, math.floor(swallowed) + 1)


# The programme


@dataclass(frozen=True, slots=True)
class _Line:
    """A point ready for the programme: ideal count, loss per mm on each side, the series demanded."""

    point: CountPoint
    size: float
    swallowed: float
    down: float
    up: float
    series: tuple[tuple[Demand, _Series], ...]

    @property
    def ideal(self) -> float:
        return self.point.wanted_mm / self.size + self.swallowed

    def finished(self, count: float) -> float:
        return (count - self.swallowed) * self.size

    def loss(self, count: float) -> float:
        off = self.finished(count) - self.point.wanted_mm
        return max(self.up * off, -self.down * off)


@dataclass(frozen=True, slots=True)
class _Count:
    """Places that share one count: known, or free within series and range."""

    places: tuple[Place, ...]
    known: int | None
    series: _Series = _Series()
    least: int = 1
    most: int | None = None


@dataclass(frozen=True, slots=True)
class _Programme:
    lines: Mapping[Place, _Line]
    fixed: Mapping[Place, int]
    needles: int | None
    equal: tuple[tuple[Demand, Equal], ...]
    together: tuple[Together, ...]
    demands: tuple[Demand, ...]

    @staticmethod
    def of(
        points: Sequence[CountPoint],
        fabric: StitchAndRow | GaugeLike,
        parity: Per[Parity] | None,
        multiple: Per[int],
        balance: Per[int],
        fixed: Mapping[Place, int],
        needles: int | None,
        equal: Sequence[Equal],
        together: Sequence[Together],
    ) -> _Programme:
        sizes = _sizes(fabric)
        directions = _directions(points)
        for name, given in (("parity", parity), ("multiple", multiple), ("balance", balance)):
            _known_scopes(name, given, directions)
        _groups_checked(equal, together, directions)
        if needles is not None:
            _whole("needles", needles, 1)
        shared = {place for group in together for place in group.places}
        lines: dict[Place, _Line] = {}
        for at, point in enumerate(points):
            where = f"points[{at}]"
            swallowed = SWALLOWED[point.direction] if point.swallowed is None else point.swallowed
            _positive(f"{where}.wanted_mm", point.wanted_mm)
            _positive(f"{where}.weight", point.weight)
            _finite(f"{where}.swallowed", swallowed)
            narrower, wider = tolerance_sides(point.tolerance_mm, f"{where}.tolerance_mm")
            weight = 0.0 if point.place in shared else point.weight
            series = []
            if (scoped := _for(parity, point)) is not None:
                series.append((Demand("parity", scoped[0]), _of_parity(scoped[1])))
            if (repeat := _for(multiple, point)) is not None:
                rest = _for(balance, point)
                series.append((Demand("multiple", repeat[0]), _repeats(repeat[1], rest[1] if rest else 0)))
            lines[point.place] = _Line(
                point,
                sizes[point.direction],
                swallowed,
                weight / narrower + TIE,
                weight / wider + TIE,
                tuple((demand, one) for demand, one in series if one.step > 1),
            )
        for place, count in fixed.items():
            if place not in lines:
                raise CountsError(_no_such_place("fixed", place, directions))
            _whole(f"fixed[{place}]", count, _least(lines[place].swallowed))
        # Only what still asks something of a count that is free.
        free = lines.keys() - fixed.keys()
        groups = tuple((Demand("equal", group.places), group) for group in equal if not free.isdisjoint(group.places))
        open_groups = [group for group in together if not free.isdisjoint(group.places)]
        demands = [demand for place in lines if place in free for demand, _ in lines[place].series]
        if needles is not None:
            demands.append(Demand("needles"))
        demands += [demand for demand, _ in groups]
        demands += [Demand("apart", group.places) for group in open_groups]
        demands += [Demand("even", group.places) for group in open_groups if group.even]
        return _Programme(lines, dict(fixed), needles, groups, tuple(together), tuple(dict.fromkeys(demands)))

    # Answers

    def answer(self, counts: Mapping[Place, int]) -> Counts:
        ordered = {place: counts[place] for place in self.lines}
        finished = {place: self.lines[place].finished(count) for place, count in ordered.items()}
        off = {place: value - self.lines[place].point.wanted_mm for place, value in finished.items()}
        return Counts(
            ordered,
            finished,
            off,
            {g.key: (sum(finished[place] for place in g.places) + g.band_mm) / 2 for g in self.together},
            {g.key: sum(off[place] for place in g.places) / 2 for g in self.together},
        )

    def refusal(self) -> Counts:
        """Name what to relax."""
        alone = [(d,) for d in self.demands if self.solve([o for o in self.demands if o != d]) is not None]
        ways: list[tuple[Demand, ...]] = list(alone)
        if not alone:  # take demands back one by one, as long as there are counts; the rest has to go
            kept: list[Demand] = []
            gone: list[Demand] = []
            for demand in self.demands:
                (kept if self.solve([*kept, demand]) is not None else gone).append(demand)
            ways = [tuple(gone)]
        asked = "; or ".join(" and ".join(_named(demand) for demand in way) for way in ways)
        return Counts(
            relax=CannotSay("no_counts", "no whole numbers meet every demand at once", f"Relax {asked}."),
            to_relax=tuple(ways),
        )

    # Solving

    def solve(self, active: Iterable[Demand]) -> dict[Place, int] | None:
        """Best counts under the demands that are active; None when there are none."""
        asked = frozenset(active)
        shared = self._shared(asked)
        if shared is None:
            return None
        links = [group.places for demand, group in self.equal if demand in asked and group.ease]
        links += [group.places for group in self.together]
        found: dict[Place, int] = {}
        for part in _joined([one.places for one in shared], links):
            here = [one for one in shared if one.places[0] in part]
            numbers: list[int] | None
            if part <= self.fixed.keys():
                numbers = [self.fixed[one.places[0]] for one in here]
            elif part.isdisjoint(place for link in links for place in link):
                numbers = self._on_its_own(here[0])
            else:
                numbers = self._programme(here, asked)
            if numbers is None:
                return None
            for one, number in zip(here, numbers, strict=True):
                found |= dict.fromkeys(one.places, number)
        return found

    def _shared(self, asked: frozenset[Demand]) -> list[_Count] | None:
        """Places with equal counts as one; None where they contradict each other."""
        links = [group.places for demand, group in self.equal if demand in asked and not group.ease]
        made = []
        for part in _joined([(place,) for place in self.lines], links):
            places = tuple(place for place in self.lines if place in part)
            knitted = {self.fixed[place] for place in places if place in self.fixed}
            free = [self.lines[place] for place in places if place not in self.fixed]
            series: _Series | None = _Series()
            for line in free:
                for demand, one in line.series:
                    if demand in asked and series is not None:
                        series = series.meet(one)
            if series is None or len(knitted) > 1:
                return None
            least = max((_least(line.swallowed) for line in free), default=1)
            on_bed = Demand("needles") in asked and any(line.point.direction == "across" for line in free)
            most = self.needles if on_bed else None
            known = next(iter(knitted), None)
            if known is not None and free:
                fits = series.has(known) and known >= least and (most is None or known <= most)
                if not fits:
                    return None
            made.append(_Count(places, known, series, least, most))
        return made

    def _on_its_own(self, one: _Count) -> list[int] | None:
        """A sum of convex losses is least beside the ideal count of one of the points."""
        if one.known is not None:
            return [one.known]
        lines = [self.lines[place] for place in one.places]
        near = {n for line in lines for n in one.series.near(line.ideal, one.least, one.most)}
        if not near:
            return None
        return [min(near, key=lambda n: (round(sum(line.loss(n) for line in lines), 9), -n))]

    def _programme(self, here: list[_Count], asked: frozenset[Demand]) -> list[int] | None:
        """Integer programme over counts that depend on each other.

        Variables: k of every free count (count = first + step k), a loss for every point and flat width, half
        the difference of front and back where it must be even. Every row is low <= sum <= high.
        """
        import numpy as np
        from scipy.optimize import Bounds, LinearConstraint, milp

        cost: list[float] = []
        whole: list[int] = []
        low: list[float] = []
        high: list[float] = []
        rows: list[dict[int, float]] = []
        limits: list[tuple[float, float]] = []

        def variable(price: float, integer: bool, least: float, most: float) -> int:
            cost.append(price)
            whole.append(int(integer))
            low.append(least)
            high.append(most)
            return len(cost) - 1

        def require(terms: _Sum, least: float, most: float) -> None:
            rows.append(terms.terms)
            limits.append((least - terms.constant, most - terms.constant))

        def pay(off: _Sum, down: float, up: float) -> None:
            loss = _Sum({variable(1.0, False, 0.0, math.inf): 1.0})
            require(loss - off.times(up), 0.0, math.inf)
            require(loss + off.times(down), 0.0, math.inf)

        places = [place for one in here for place in one.places]
        # Twice what a front would need beside a back of no width: no bound that an answer could meet.
        largest = max(max(self.lines[place].ideal, self.fixed.get(place, 0)) for place in places)
        widest = 4 * largest * len(places)
        count: dict[Place, _Sum] = {}
        for one in here:
            if one.known is not None:
                count |= dict.fromkeys(one.places, _Sum({}, one.known))
                continue
            first, step = one.series.from_below(one.least), one.series.step
            most = one.most if one.most is not None else int(4 * largest) + 2 * step
            if most < first:
                return None
            k = variable(0.0, True, 0, (most - first) // step)
            count |= dict.fromkeys(one.places, _Sum({k: float(step)}, first))
        finished: dict[Place, _Sum] = {}
        for place in places:
            line = self.lines[place]
            finished[place] = (count[place] - _Sum({}, line.swallowed)).times(line.size)
            if count[place].terms:
                pay(finished[place] - _Sum({}, line.point.wanted_mm), line.down, line.up)
        for demand, group in self.equal:
            if demand in asked and group.ease and group.places[0] in count:
                for at, place in enumerate(group.places):
                    for other in group.places[at + 1 :]:
                        require(count[place] - count[other], -group.ease, group.ease)
        for both in self.together:
            if both.places[0] not in count:
                continue
            lines = [self.lines[place] for place in both.places]
            sides = [tolerance_sides(line.point.tolerance_mm) for line in lines]
            weight = max(line.point.weight for line in lines)
            wanted = sum(line.point.wanted_mm for line in lines) / 2
            flat = _total(finished[place] for place in both.places).times(0.5)
            pay(
                flat - _Sum({}, wanted),
                weight / (sum(narrower for narrower, _ in sides) / 2),
                weight / (sum(wider for _, wider in sides) / 2),
            )
            if Demand("apart", both.places) in asked:
                front = _total(finished[place] for place in both.front) + _Sum({}, both.band_mm)
                back = _total(finished[place] for place in both.back)
                require(front - back, -both.most_apart_mm, both.most_apart_mm)
            if Demand("even", both.places) in asked:
                half = _Sum({variable(0.0, True, -widest, widest): 2.0})
                fronts = _total(count[place] for place in both.front)
                require(fronts - _total(count[place] for place in both.back) - half, 0.0, 0.0)

        table = np.zeros((len(rows), len(cost)))
        for at, row in enumerate(rows):
            for column, factor in row.items():
                table[at, column] = factor
        bounds = np.array(limits)
        solved = milp(
            cost,
            integrality=whole,
            bounds=Bounds(low, high),
            constraints=LinearConstraint(table, bounds[:, 0], bounds[:, 1]),
            options={"mip_rel_gap": 0.0},
        )
        if solved.status == 2:
            return None
        if solved.x is None:
            raise CountsError(
                f"points: read {len(places)} counts that hang together, and the integer programme ended "
                f"with {solved.message!r}; points that fewer groups tie together are accepted. Give smaller "
                "groups."
            )
        return [round(count[one.places[0]].at(solved.x)) for one in here]


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


def _joined(parts: Iterable[tuple[Place, ...]], links: Iterable[tuple[Place, ...]]) -> list[set[Place]]:
    """Parts that hang together by the links."""
    joined = [set(part) for part in parts]
    for link in links:
        touched = [part for part in joined if not part.isdisjoint(link)]
        if len(touched) > 1:
            joined = [part for part in joined if part.isdisjoint(link)] + [set().union(*touched)]
    return joined


# What is said, checked


def _sizes(fabric: StitchAndRow | GaugeLike) -> dict[str, float]:
    if isinstance(fabric, StitchAndRow):
        sizes = {"across": fabric.width_mm, "along": fabric.row_mm}
    else:
        sizes = {"across": fabric.across.value, "along": fabric.along.value}
    for direction, size in sizes.items():
        _positive(f"fabric, size {direction}", size)
    return sizes


def _directions(points: Sequence[CountPoint]) -> dict[Place, str]:
    directions: dict[Place, str] = {}
    for at, point in enumerate(points):
        if point.direction not in SWALLOWED:
            raise CountsError(
                f"points[{at}].direction: read {point.direction!r}; across or along is accepted. Leave edges out."
            )
        if point.place in directions:
            raise CountsError(
                f"points[{at}]: read {point.place} a second time; each piece and point once is accepted. Leave one out."
            )
        directions[point.place] = point.direction
    return directions


def _groups_checked(equal: Sequence[Equal], together: Sequence[Together], directions: Mapping[Place, str]) -> None:
    groups = [(f"equal[{at}]", group.places) for at, group in enumerate(equal)]
    groups += [(f"together[{at}]", both.places) for at, both in enumerate(together)]
    for name, places in groups:
        for place in places:
            if place not in directions:
                raise CountsError(_no_such_place(name, place, directions))
        once = len(places) > 1 and len(set(places)) == len(places)
        if not (once and len({directions[place] for place in places}) == 1):
            raise CountsError(
                f"{name}: read {places}; two or more places, each once and all across or all along, are "
                "accepted. Give stitches and rows as groups of their own."
            )
    for at, group in enumerate(equal):
        _whole(f"equal[{at}].ease", group.ease, 0)
    keys = [both.key for both in together]
    if len(set(keys)) < len(keys):
        raise CountsError(f"together: read the keys {keys}; each once is accepted. Join their places.")
    for at, both in enumerate(together):
        if not (both.back and both.front and directions[both.back[0]] == "across"):
            raise CountsError(
                f"together[{at}]: read {both.places}; widths (across) of at least one back and one front are "
                "accepted. Give lengths as equal counts."
            )
        if not (both.most_apart_mm >= 0 and math.isfinite(both.band_mm)):
            raise CountsError(
                f"together[{at}]: read most_apart_mm {both.most_apart_mm} and band_mm {both.band_mm}; a "
                "limit of 0 mm or more and a finite width of band are accepted. Say how far they may differ."
            )


def _for(given: Per[T] | None, point: CountPoint) -> tuple[tuple[str | Place, ...], T] | None:
    """What is said for a point, and the scope that it was said for."""
    if not isinstance(given, Mapping):
        return ((), given) if given is not None and point.direction == "across" else None
    if point.place in given:
        return (point.place,), given[point.place]
    if point.piece in given and point.direction == "across":
        return (point.piece,), given[point.piece]
    return None


def _known_scopes(name: str, given: object, directions: Mapping[Place, str]) -> None:
    if isinstance(given, Mapping):
        known = {*directions, *(piece for piece, _ in directions)}
        for scope in given:
            if scope not in known:
                raise CountsError(_no_such_place(name, scope, directions))


def _no_such_place(name: str, place: object, directions: Mapping[Place, str]) -> str:
    return (
        f"{name}: read {place!r}, which none of the points has; one of {', '.join(map(repr, directions))} is "
        "accepted. Add the point, or correct the name."
    )


def _named(demand: Demand) -> str:
    """A demand in words."""
    what = {
        "parity": "even or odd counts",
        "multiple": "whole pattern repeats",
        "needles": "the needles on the bed",
        "equal": "equal counts",
        "apart": "the limit between front and back",
        "even": "the even difference of front and back",
    }[demand.code]
    about = ", ".join(one if isinstance(one, str) else " ".join(one) for one in demand.about)
    return f"{what} ({about})" if about else what


def _positive(name: str, value: float) -> None:
    if not 0 < value < math.inf:
        raise CountsError(f"{name}: read {value}; a number above 0 is accepted. Measure or count again.")


def _finite(name: str, value: float) -> None:
    if not math.isfinite(value):
        raise CountsError(f"{name}: read {value}; a finite number is accepted. Say how many seams swallow.")


def _whole(name: str, value: int, least: int) -> None:
    if isinstance(value, bool) or not isinstance(value, int) or value < least:
        raise CountsError(f"{name}: read {value!r}; a whole number from {least} up is accepted. Count again.")
