"""Caps: every one that goes into its armhole is seen, and its sewn edge is that of its lines."""

from __future__ import annotations

import doctest
import math
from functools import lru_cache
from itertools import pairwise
from random import Random

import pytest

from fitcheck.knitting import cap as module
from fitcheck.knitting.cap import Cap, cap_shapings, fairest_cap
from fitcheck.knitting.cap_families import STEPPED, CapAsked
from fitcheck.knitting.refusals import CannotShape, ShapingError
from fitcheck.knitting.seam_line import seam_line
from fitcheck.records.constructions import CAP_EASE, MORE_EASE
from tests.knitting.sewn_top import half_top


def test_examples_in_the_docstrings_hold():
    assert doctest.testmod(module).failed == 0


def sewn(cap: Cap, w: float, h: float) -> float:
    """Both halves and the top, run by run: the half shaped first has one row more at its foot."""
    later = list(cap.segments)
    halves = [seam_line(chain, w, h, above="cap_top") for chain in ([(0, 1), *later], later)]
    return sum(halves) + 2 * half_top(cap.top, later, w, h)


def bend(cap: Cap, h: float) -> float:
    """Farthest up or down from a half cosine, walked decrease by decrease."""
    places, up, across = [], 0, 0
    for gap in [every for times, every in cap.every for _ in range(times)]:
        across, up = across + 1, up + gap
        places.append((across, up))
    up += cap.plain if cap.steps else 0
    for step in cap.steps:
        across, up = across + step, up + 2
        places.append((across, up))
    end_across, end_up = places[-1]
    return h * max(abs(y - end_up * (1 - math.cos(math.pi * x / end_across)) / 2) for x, y in places)


@lru_cache
def makes() -> tuple[tuple[int, int, float, float, float], ...]:
    """Thirty invented sleeves: upper arm, underarm, armhole, stitch and row."""
    random = Random(41)
    made = []
    for _ in range(30):
        w = random.uniform(2.8, 6.0)
        h = w * random.uniform(0.65, 0.8)
        upper = round(random.uniform(300, 420) / w)
        made.append((upper, round(random.uniform(15, 30) / w), upper * w * random.uniform(1.15, 1.4), w, h))
    return tuple(made)


@lru_cache(maxsize=64)
def found_for(make) -> tuple[Cap, ...]:
    found = cap_shapings(*make)
    return () if isinstance(found, CannotShape) else found


def test_every_cap_is_as_long_as_its_lines_and_bends_as_far():
    seen = 0
    for make in makes():
        upper, underarm, armhole, w, h = make
        for cap in found_for(make)[:40]:
            seen += 1
            assert cap.edge_mm == pytest.approx(sewn(cap, w, h), rel=1e-12)
            assert cap.ease == pytest.approx(cap.edge_mm / armhole - 1, rel=1e-9)
            assert CAP_EASE[0] <= cap.ease <= CAP_EASE[1]
            assert cap.bend_mm == pytest.approx(bend(cap, h), rel=1e-9)
            shaped = sum(times for times, _ in cap.every) + sum(cap.steps)
            assert upper == 2 * underarm + 2 * shaped + cap.top
    assert seen > 500


def slow_steep_slow(decreases: int):
    """Every sequence of gaps of 1, 2 and 4 rows that grows and then falls again, lower half and upper half as equal
    as can be, walked gap by gap."""

    def walk(rest: int, gaps: tuple[int, ...]):
        if not rest:
            yield gaps
            return
        turned = any(later < gap for gap, later in pairwise(gaps))
        for gap in (1, 2, 4):
            if not gaps or (gap <= gaps[-1] if turned else True):
                yield from walk(rest - 1, (*gaps, gap))

    for gaps in walk(decreases, ()):
        peak = gaps.index(max(gaps))
        if all(
            sum(g == each for g in gaps[:peak]) - sum(g == each for g in gaps[peak:]) in (0, 1) or each == max(gaps)
            for each in (1, 2)
        ):
            yield gaps


@lru_cache(maxsize=16)
def sequences(decreases: int) -> frozenset[tuple[int, ...]]:
    return frozenset(slow_steep_slow(decreases))


def hold_walked(upper: int, top: int, share: float, w: float, h: float, steps: tuple[int, ...] = ()) -> int:
    """As many caps are found as by walking every sequence, with the same edges; how many.

    share  where among all edges the armhole lies: at 0 as short as the shortest of them
    """
    underarm = 3
    decreases = (upper - 2 * underarm - top) // 2 - sum(steps)
    walked = set()
    for gaps in sequences(decreases):
        # With stepped cast-offs the carriage has to be back where it was at the first underarm.
        plain = 2 if steps and sum(gaps) % 2 else 1
        runs = [(1, gap) for gap in gaps] + [(0, plain), *((step, 2) for step in steps)]
        halves = sum(seam_line(chain, w, h, above="cap_top") for chain in ([(0, 1), *runs], runs))
        walked.add((round(halves + 2 * half_top(top, runs, w, h), 6), gaps))
    armhole = sorted(edge for edge, _ in walked)[int(share * len(walked))]
    fitting = {(edge, gaps) for edge, gaps in walked if 0 <= edge / armhole - 1 <= 0.05}
    caps = cap_shapings(upper, underarm, armhole, w, h, tops=(top,), steps=(steps,), ease=(-1e-8, 0.05))
    assert not isinstance(caps, CannotShape)
    found = {(round(cap.edge_mm, 6), tuple(each for times, each in cap.every for _ in range(times))) for cap in caps}
    assert found == fitting
    return len(found)


@pytest.mark.parametrize("share", [0.0, 0.1, 0.5, 0.95])
@pytest.mark.parametrize(("upper", "top"), [(34, 10), (37, 13)])
def test_no_other_slow_steep_slow_sequence_goes_in(upper: int, top: int, share: float):
    """Walked gap by gap on small caps."""
    hold_walked(upper, top, share, 4.48, 3.15)


@pytest.mark.full
def test_60_caps_made_by_chance_are_those_of_every_sequence_walked():
    """With stepped cast-offs and without, in any fabric."""
    random, seen = Random(20_615_003), 0
    for _ in range(60):
        steps = random.choice(STEPPED)
        decreases, top = random.randint(8, 15), random.randint(8, 18)
        w = random.uniform(2.8, 6.5)
        upper = 2 * (3 + decreases + sum(steps)) + top
        seen += hold_walked(upper, top, random.uniform(0, 0.98), w, w * random.uniform(0.6, 0.85), steps)
    assert seen > 300


def test_the_first_cap_has_the_least_score_by_hand():
    for make in makes():
        caps = found_for(make)
        h = make[4]
        for cap in caps[:5]:
            by_hand = ((cap.ease - 0.02) / 0.01) ** 2 + (bend(cap, h) / 4) ** 2
            assert cap.score == pytest.approx(by_hand, rel=1e-9)
        assert [cap.score for cap in caps] == sorted(cap.score for cap in caps)


def test_the_fairest_cap_is_the_first_of_all_of_them():
    for make in makes():
        for rows in (None, 40):
            assert fairest_cap(CapAsked(*make, rows=rows)) == first_of(cap_shapings(*make, rows=rows))


def first_of(found: tuple[Cap, ...] | CannotShape) -> Cap | CannotShape:
    return found if isinstance(found, CannotShape) else found[0]


def test_a_wanted_height_draws_the_cap_to_it():
    make = (82, 5, 470.117, 4.48, 3.15)
    free, lower = found_for(make)[0], cap_shapings(*make, rows=43)
    assert isinstance(lower, tuple)
    assert (free.rows, lower[0].rows) == (50, 48)
    height = (lower[0].rows - 43) * 3.15
    assert lower[0].score == pytest.approx(
        ((lower[0].ease - 0.02) / 0.01) ** 2 + (lower[0].bend_mm / 4) ** 2 + (height / 10) ** 2
    )


def test_the_carriage_is_back_before_stepped_cast_offs():
    """They begin at the side that was cast off first, an even number of rows above its underarm."""
    caps = [cap for make in makes() for cap in found_for(make) if cap.steps]
    assert caps
    for cap in caps:
        assert (cap.rows - 2 * len(cap.steps)) % 2 == 0
        assert cap.plain in (1, 2)
    assert all(step <= later for steps in STEPPED for step, later in pairwise(steps))


def test_most_invented_makes_have_a_cap():
    """29 of these 30; of 400 as many in the hundred (full)."""
    assert sum(bool(found_for(make)) for make in makes()) >= 29


def test_where_none_fits_the_nearest_ease_is_said_and_what_is_offered_goes_in():
    offered = 0
    for upper, underarm, armhole, w, h in makes():
        for share in (0.72, 0.8, 1.5, 1.6):
            refused = cap_shapings(upper, underarm, armhole * share, w, h, tops=(16,), steps=((),))
            if not isinstance(refused, CannotShape):
                continue
            assert refused.code == "no_cap"
            nearest = refused.values["nearest"]
            if nearest is not None:
                assert not CAP_EASE[0] <= nearest <= CAP_EASE[1]
                only = cap_shapings(
                    upper,
                    underarm,
                    armhole * share,
                    w,
                    h,
                    tops=(16,),
                    steps=((),),
                    ease=(nearest - 1e-9, nearest + 1e-9),
                )
                assert isinstance(only, tuple)
            for way in refused.values["ways"]:
                offered += 1
                ease = CAP_EASE if way.ease is None else MORE_EASE
                other = way.upper or upper
                assert cap_shapings(other, underarm, armhole * share, w, h, tops=(16,), steps=((),), ease=ease)
    assert offered >= 5


@pytest.mark.parametrize(
    ("arguments", "place"),
    [
        ((10, 5, 400.0, 4.4, 3.1), "upper"),
        ((80, -1, 400.0, 4.4, 3.1), "underarm"),
        ((80, 5, 0.0, 4.4, 3.1), "armhole_mm"),
        ((80, 5, 400.0, 4.4, 0.0), "h"),
    ],
)
def test_what_is_no_cap_is_refused_by_name(arguments, place):
    with pytest.raises(ShapingError) as refused:
        cap_shapings(*arguments)
    assert refused.value.fault.place == place


@pytest.mark.full
@pytest.mark.simulation
def test_nearly_every_make_has_a_cap():
    """400 invented makes with usual figures."""
    random, found = Random(43), 0
    for _ in range(400):
        w = random.uniform(2.8, 6.0)
        upper = round(random.uniform(300, 420) / w)
        armhole = upper * w * random.uniform(1.15, 1.4)
        make = (upper, round(random.uniform(15, 30) / w), armhole, w, w * random.uniform(0.65, 0.8))
        found += isinstance(fairest_cap(CapAsked(*make)), Cap)
    assert found >= 390
