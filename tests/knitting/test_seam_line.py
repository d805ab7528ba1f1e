"""Sewn edges against lines that are shifted and cut with each other."""

from __future__ import annotations

import doctest
import math
from itertools import pairwise
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.knitting import seam_line as module
from fitcheck.knitting.refusals import ShapingError
from fitcheck.knitting.seam_line import bare_line, seam_line
from tests.knitting.sewn_top import half_top

Point = tuple[float, float]
Chain = list[tuple[int, int]]

runs = st.tuples(st.integers(0, 12), st.integers(3, 30))
steep = st.tuples(st.integers(1, 8), st.integers(3, 30))
sizes = st.tuples(st.floats(2.0, 8.0), st.floats(1.5, 6.0))
swallowed = st.tuples(st.floats(0.0, 2.0), st.floats(0.0, 2.0))


def test_examples_in_the_docstrings_hold():
    assert doctest.testmod(module).failed == 0


def cut(a: Point, b: Point, height: float) -> Point:
    """Where the line through two points has a height."""
    share = (height - a[1]) / (b[1] - a[1])
    return a[0] + share * (b[0] - a[0]), height


def sewn(chain, w: float, h: float, a: float, b: float) -> list[Point]:
    """The edge drawn, shifted a stitches in, its first run drawn down to the underarm's seam and its last cut off b
    rows below its end."""
    points = [(a * w, 0.0)]
    for stitches, rows in chain:
        points.append((points[-1][0] + stitches * w, points[-1][1] + rows * h))
    points[0] = cut(points[0], points[1], -b * h)
    points[-1] = cut(points[-2], points[-1], points[-1][1] - b * h)
    return points


def length(points: list[Point]) -> float:
    return sum(math.dist(one, other) for one, other in pairwise(points))


def hold_side_of_a_cap(chain: Chain, w: float, h: float, a: float, b: float) -> None:
    """From the cast-off below to the top above: both ends cut by lines across."""
    drawn = length(sewn(chain, w, h, a, b))
    assert seam_line(chain, w, h, stitches=a, rows=b, above="cap_top") == pytest.approx(drawn, rel=1e-12)


def hold_armhole(chain: Chain, w: float, h: float, a: float, b: float) -> None:
    """From the underarm's cast-off to the shoulder, which cuts a straight end."""
    drawn = length(sewn(chain, w, h, a, b))
    assert seam_line(chain, w, h, stitches=a, rows=b) == pytest.approx(drawn, rel=1e-12)


def hold_half_top(top: int, chain: Chain, w: float, h: float, a: float, b: float) -> None:
    """From where the side is cut to the middle."""
    centre = sum(stitches for stitches, _ in chain) * w + top * w / 2
    end = sewn(chain, w, h, a, b)[-1]
    assert half_top(top, chain, w, h, stitches=a, rows=b) == pytest.approx(centre - end[0], abs=1e-9)


@given(st.lists(runs, min_size=1, max_size=6), sizes, swallowed)
def test_a_caps_side_is_as_long_as_its_shifted_lines(chain, size, seam):
    hold_side_of_a_cap(chain, *size, *seam)


@given(st.lists(runs, max_size=5), st.integers(3, 60), sizes, swallowed)
def test_an_armhole_that_ends_straight_is_as_long_as_its_shifted_lines(chain, rows, size, seam):
    hold_armhole([*chain, (0, rows)], *size, *seam)


@given(st.integers(4, 40), st.lists(steep, min_size=1, max_size=4), sizes, swallowed)
def test_half_a_caps_top_ends_where_its_side_is_cut(top, chain, size, seam):
    hold_half_top(top, chain, *size, *seam)


@pytest.mark.full
def test_3_000_edges_of_each_kind_are_as_long_as_their_shifted_lines():
    random = Random(20_615_004)
    for _ in range(3_000):
        w = random.uniform(2.2, 7.0)
        given = (w, w * random.uniform(0.55, 0.9), random.uniform(0.5, 1.5), random.uniform(0.5, 1.5))
        chain = [(random.randint(0, 9), random.randint(3, 40)) for _ in range(random.randint(1, 6))]
        hold_side_of_a_cap(chain, *given)
        hold_armhole([*chain, (0, random.randint(3, 60))], *given)
        hold_half_top(random.randint(6, 40), chain, *given)


@given(st.lists(runs, min_size=1, max_size=6), sizes)
def test_without_a_seam_an_edge_is_bare(chain, size):
    w, h = size
    assert seam_line(chain, w, h, stitches=0, rows=0) == pytest.approx(bare_line(chain, w, h), rel=1e-12)
    assert seam_line(chain, w, h, below="open", above="open") == pytest.approx(bare_line(chain, w, h), rel=1e-12)


def test_a_cap_that_seems_longer_on_bare_edges_is_shorter_where_it_is_sewn():
    """Bare edges, the shoulder's row left out, say 2 % too long; sewn it is too short."""
    armhole, side, top = [(2, 2), (6, 12), (0, 55)], [(24, 48), (0, 1)], 20
    bare = (2 * bare_line(side, 4.48, 3.15) + top * 4.48) / (2 * bare_line(armhole, 4.48, 3.15))
    cap = 2 * seam_line(side, 4.48, 3.15, above="cap_top") + 2 * half_top(top, side, 4.48, 3.15)
    really = cap / (2 * seam_line(armhole, 4.48, 3.15))
    assert bare > 1.005
    assert really < 0.995


@pytest.mark.parametrize(
    ("chain", "w", "h", "place"),
    [
        ([(1, 1)], 0.0, 3.0, "w"),
        ([(1, 1)], 4.0, math.nan, "h"),
        ([], 4.0, 3.0, "segments"),
        ([(4, 0), (1, 2)], 4.0, 3.0, "segments"),
    ],
)
def test_what_is_no_edge_is_refused_by_name(chain, w, h, place):
    with pytest.raises(ShapingError) as refused:
        seam_line(chain, w, h)
    assert refused.value.fault.place == place
