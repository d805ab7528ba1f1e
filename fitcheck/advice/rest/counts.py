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

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from fitcheck.advice.judge.verdict import tolerance_sides
from fitcheck.advice.rest.count_checks import (
    directions_of,
    groups_checked,
    no_such_place,
    said_for,
    scopes_checked,
    sizes_of,
)
from fitcheck.advice.rest.count_points import (
    SWALLOWED,
    CountPlace,
    CountPoint,
    Counts,
    Demand,
    Equal,
    GaugeLike,
    Per,
    StitchAndRow,
    Together,
)
from fitcheck.advice.rest.count_programme import Line, SharedCount, programmed
from fitcheck.advice.rest.count_series import (
    CountsError,
    Parity,
    Series,
    check_finite,
    check_positive,
    check_whole,
    least_count,
    of_parity,
    repeats,
)
from fitcheck.estimates.numbers import CannotSay

TIE = 1e-4
"""Loss per mm of a point's own difference, which only decides between equals [1/mm]."""


def best_counts(
    points: Sequence[CountPoint],
    fabric: StitchAndRow | GaugeLike,
    *,
    parity: Per[Parity] | None = None,
    multiple: Per[int] = 1,
    balance: Per[int] = 0,
    fixed: Mapping[CountPlace, int] | None = None,
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
    search = _Search.of(points, fabric, parity, multiple, balance, fixed or {}, needles, equal, together)
    counts = search.solve(search.demands)
    return search.answer(counts) if counts is not None else search.refusal()


@dataclass(frozen=True, slots=True)
class _Search:
    """The points as lines with their loss, what is fixed, and every demand that still asks something."""

    lines: Mapping[CountPlace, Line]
    fixed: Mapping[CountPlace, int]
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
        fixed: Mapping[CountPlace, int],
        needles: int | None,
        equal: Sequence[Equal],
        together: Sequence[Together],
    ) -> _Search:
        sizes = sizes_of(fabric)
        directions = directions_of(points)
        for name, given in (("parity", parity), ("multiple", multiple), ("balance", balance)):
            scopes_checked(name, given, directions)
        groups_checked(equal, together, directions)
        if needles is not None:
            check_whole("needles", needles, 1)
        shared = {place for group in together for place in group.places}
        lines: dict[CountPlace, Line] = {}
        for at, point in enumerate(points):
            where = f"points[{at}]"
            swallowed = SWALLOWED[point.direction] if point.swallowed is None else point.swallowed
            check_positive(f"{where}.wanted_mm", point.wanted_mm)
            check_positive(f"{where}.weight", point.weight)
            check_finite(f"{where}.swallowed", swallowed)
            narrower, wider = tolerance_sides(point.tolerance_mm, f"{where}.tolerance_mm")
            weight = 0.0 if point.place in shared else point.weight
            series = []
            if (scoped := said_for(parity, point)) is not None:
                series.append((Demand("parity", scoped[0]), of_parity(scoped[1])))
            if (repeat := said_for(multiple, point)) is not None:
                rest = said_for(balance, point)
                series.append((Demand("multiple", repeat[0]), repeats(repeat[1], rest[1] if rest else 0)))
            lines[point.place] = Line(
                point,
                sizes[point.direction],
                swallowed,
                weight / narrower + TIE,
                weight / wider + TIE,
                tuple((demand, demanded) for demand, demanded in series if demanded.step > 1),
            )
        for place, count in fixed.items():
            if place not in lines:
                raise CountsError(no_such_place("fixed", place, directions))
            check_whole(f"fixed[{place}]", count, least_count(lines[place].swallowed))
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
        return _Search(lines, dict(fixed), needles, groups, tuple(together), tuple(dict.fromkeys(demands)))

    # Answers

    def answer(self, counts: Mapping[CountPlace, int]) -> Counts:
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
        return Counts(
            relax=CannotSay("no_counts", relax=tuple(ways)),
            to_relax=tuple(ways),
        )

    # Solving

    def solve(self, active: Iterable[Demand]) -> dict[CountPlace, int] | None:
        """Best counts under the demands that are active; None when there are none."""
        asked = frozenset(active)
        shared = self._shared(asked)
        if shared is None:
            return None
        links = [group.places for demand, group in self.equal if demand in asked and group.ease]
        links += [group.places for group in self.together]
        solved: dict[CountPlace, int] = {}
        for part in _joined([count.places for count in shared], links):
            here = [count for count in shared if count.places[0] in part]
            numbers: list[int] | None
            if part <= self.fixed.keys():
                numbers = [self.fixed[count.places[0]] for count in here]
            elif part.isdisjoint(place for link in links for place in link):
                numbers = self._on_its_own(here[0])
            else:
                eased = [group for demand, group in self.equal if demand in asked and group.ease]
                numbers = programmed(here, self.lines, eased, self.together, asked)
            if numbers is None:
                return None
            for count, number in zip(here, numbers, strict=True):
                solved |= dict.fromkeys(count.places, number)
        return solved

    def _shared(self, asked: frozenset[Demand]) -> list[SharedCount] | None:
        """Places with equal counts as one; None where they contradict each other."""
        links = [group.places for demand, group in self.equal if demand in asked and not group.ease]
        made = []
        for part in _joined([(place,) for place in self.lines], links):
            places = tuple(place for place in self.lines if place in part)
            knitted = {self.fixed[place] for place in places if place in self.fixed}
            free = [self.lines[place] for place in places if place not in self.fixed]
            series: Series | None = Series()
            for line in free:
                for demand, demanded in line.series:
                    if demand in asked and series is not None:
                        series = series.meet(demanded)
            if series is None or len(knitted) > 1:
                return None
            least = max((least_count(line.swallowed) for line in free), default=1)
            on_bed = Demand("needles") in asked and any(line.point.direction == "across" for line in free)
            most = self.needles if on_bed else None
            known = next(iter(knitted), None)
            if known is not None and free:
                fits = series.has(known) and known >= least and (most is None or known <= most)
                if not fits:
                    return None
            made.append(SharedCount(places, known, series, least, most))
        return made

    def _on_its_own(self, count: SharedCount) -> list[int] | None:
        """A sum of convex losses is least beside the ideal count of one of the points."""
        if count.known is not None:
            return [count.known]
        lines = [self.lines[place] for place in count.places]
        near = {n for line in lines for n in count.series.near(line.ideal, count.least, count.most)}
        if not near:
            return None
        return [min(near, key=lambda n: (round(sum(line.loss(n) for line in lines), 9), -n))]


def _joined(parts: Iterable[tuple[CountPlace, ...]], links: Iterable[tuple[CountPlace, ...]]) -> list[set[CountPlace]]:
    """Parts that hang together by the links."""
    joined = [set(part) for part in parts]
    for link in links:
        touched = [part for part in joined if not part.isdisjoint(link)]
        if len(touched) > 1:
            joined = [part for part in joined if part.isdisjoint(link)] + [set().union(*touched)]
    return joined
