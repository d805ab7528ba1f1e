"""The classical line through swatches and its inverse."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.estimates.line import Inverse, Line, line_through
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.faults import RecordsError
from tests.published.peers import DIAL, WIDTH, kept


def _line(x: Sequence[float], y: Sequence[float], level: float = 0.90) -> Line:
    line = line_through(x, y, level=level)
    assert isinstance(line, Line)
    return line


def test_the_line_agrees_with_statsmodels_ordinary_least_squares() -> None:
    line, peer = _line(DIAL, WIDTH), kept()["line"]
    got = [line.intercept, line.slope, line.u_intercept, line.u_slope, line.s**2, line.r]
    theirs = [*peer["parameters"], *peer["errors"], peer["variance"], peer["correlation"]]
    assert got == pytest.approx(theirs, rel=1e-10)


def test_the_mean_line_and_a_new_reading_agree_with_statsmodels_prediction() -> None:
    line, peer = _line(DIAL, WIDTH), kept()["line"]
    mean, new = line.at(7.5), line.at(7.5, new=1)
    assert [mean.value, mean.low, mean.high] == pytest.approx(peer["mean at 7.5"], rel=1e-10)
    assert [new.low, new.high] == pytest.approx(peer["new at 7.5"], rel=1e-10)


def test_the_intervals_take_the_level_of_the_line_unless_another_is_asked_for() -> None:
    line = _line(DIAL, WIDTH, level=0.5)
    mean, inverse = line.at(6.5), line.x_for(4.3)
    assert isinstance(inverse, Inverse)
    assert (mean.interval().level, inverse.level) == (0.5, 0.5)
    assert mean.interval(0.9).high > mean.high
    wider = line.x_for(4.3, level=0.9)
    assert isinstance(wider, Inverse)
    assert wider.low < inverse.low < inverse.value < inverse.high < wider.high


@pytest.mark.parametrize("new", [None, 1, 3])
def test_fiellers_limits_are_where_the_lines_own_band_meets_the_wanted_value(new: int | None) -> None:
    # The definition of the interval: at each limit, |y0 - line(x)| = t u(x).
    line = _line(DIAL, WIDTH)
    inverse = line.x_for(4.6, new=new)
    assert isinstance(inverse, Inverse)
    assert line.at(inverse.value).value == pytest.approx(4.6, abs=1e-12)
    assert line.at(inverse.low, new=new).high == pytest.approx(4.6, abs=1e-9)
    assert line.at(inverse.high, new=new).low == pytest.approx(4.6, abs=1e-9)


def test_a_falling_line_is_inverted_as_well_as_a_rising_one() -> None:
    rising, falling = _line(DIAL, WIDTH).x_for(4.6), _line([-d for d in DIAL], WIDTH).x_for(4.6)
    assert isinstance(rising, Inverse)
    assert isinstance(falling, Inverse)
    assert (falling.low, falling.value, falling.high) == pytest.approx(
        (-rising.high, -rising.value, -rising.low), rel=1e-12
    )


def test_a_line_that_may_as_well_be_flat_gives_no_interval() -> None:
    # t(0.95; 2 dof) = 2.920 (Student tables): slope/u_slope is 1.1 here.
    line = _line([5, 6, 7, 8], [4.3, 4.1, 4.6, 4.4])
    assert line.slope / line.u_slope < 2.920
    found = line.x_for(4.4)
    assert isinstance(found, CannotSay)
    assert found.code == "line_not_determined"


def test_the_same_line_is_determined_at_one_level_and_not_at_a_higher_one() -> None:
    line = _line([5, 6, 7, 8], [4.0, 4.25, 4.3, 4.6])
    ratio = line.slope / line.u_slope
    assert 2.920 < ratio < 9.925  # t(0.95; 2) and t(0.995; 2), Student tables
    assert isinstance(line.x_for(4.4, level=0.90), Inverse)
    assert isinstance(line.x_for(4.4, level=0.99), CannotSay)


def test_a_level_line_without_scatter_has_no_inverse_either() -> None:
    assert isinstance(_line([5, 6, 7], [4.4, 4.4, 4.4]).x_for(4.4), CannotSay)


@pytest.mark.parametrize(
    ("x", "code"),
    [([], "too_few_points"), ([5, 7], "too_few_points"), ([7, 7, 7], "one_place_only")],
)
def test_too_few_points_or_one_dial_number_cannot_say(x: list[float], code: str) -> None:
    found = line_through(x, [4.0 + 0.1 * i for i in range(len(x))])
    assert isinstance(found, CannotSay)
    assert found.code == code


@pytest.mark.parametrize(
    ("call", "place"),
    [
        (lambda: line_through([1, 2, 3], [1, 2]), "y"),
        (lambda: line_through([1, 2, 3], [1, math.nan, 3]), r"y\[1\]"),
        (lambda: line_through([1, 2, math.inf], [1, 2, 3]), r"x\[2\]"),
        (lambda: line_through([1, 2, 3], [1, 2, 3], level=1.0), "level"),
        (lambda: _line(DIAL, WIDTH).at(math.nan), "x"),
        (lambda: _line(DIAL, WIDTH).x_for(math.inf), "y0"),
        (lambda: _line(DIAL, WIDTH).x_for(4.0, new=0), "new"),
        (lambda: _line(DIAL, WIDTH).x_for(4.0, level=90), "level"),
    ],
)
def test_a_number_that_cannot_be_used_is_named(call: object, place: str) -> None:
    with pytest.raises(RecordsError, match=f"^{place}: read"):
        call()  # type: ignore[operator]


@given(
    shift=st.integers(-(2**20), 2**20),
    widths=st.lists(st.integers(350, 600), min_size=7, max_size=7),
)
def test_moving_every_place_moves_the_inverse_by_as_much(shift: int, widths: list[int]) -> None:
    y = [w / 128 for w in widths]
    places = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 9.0]
    here, there = _line(places, y).x_for(3.5), _line([x + shift for x in places], y).x_for(3.5)
    assert isinstance(here, CannotSay) == isinstance(there, CannotSay)
    if isinstance(here, Inverse) and isinstance(there, Inverse) and abs(here.high - here.low) < 1e3:
        assert there.low - shift == pytest.approx(here.low, abs=1e-6)
        assert there.high - shift == pytest.approx(here.high, abs=1e-6)
