"""Steps spread over rows: strictly rising, as near to straight as can be, in few lines."""

from __future__ import annotations

import doctest
from fractions import Fraction
from itertools import accumulate, combinations, pairwise, permutations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fitcheck.knitting import spacing
from fitcheck.knitting.refusals import ShapingError
from fitcheck.knitting.spacing import END_RULES, arranged_gaps, gap_lines, spaced_rows
from fitcheck.records.faults import FitcheckError

rules = st.sampled_from(sorted(END_RULES))
counts = st.integers(1, 40)


def test_examples_in_the_docstrings_hold():
    assert doctest.testmod(spacing).failed == 0


@given(counts, st.integers(0, 200), st.integers(1, 3), st.integers(0, 12), rules)
def test_steps_rise_strictly_on_the_rows_that_may_have_one(steps, over, multiple, plain, rule):
    try:
        rows = spaced_rows(steps, over, multiple=multiple, plain=plain, rule=rule)
    except ShapingError:
        return
    assert len(rows) == steps
    assert all(row < later for row, later in pairwise(rows))
    assert all(row % multiple == 0 for row in rows)
    assert (0 if rule in ("half", "ends") else 1) <= rows[0]
    assert rows[-1] <= over - plain


@pytest.mark.parametrize(("rule", "rows"), [("last", 12), ("inside", 11), ("half", 13), ("ends", 13)])
def test_as_many_steps_go_in_as_the_rule_leaves_rows(rule, rows):
    """Over 12 rows: all but row 0; but row 0 and the last; any of the 13."""
    first = 0 if rows == 13 else 1
    assert spaced_rows(rows, 12, rule=rule) == tuple(range(first, first + rows))
    with pytest.raises(ShapingError) as refused:
        spaced_rows(rows + 1, 12, rule=rule)
    assert refused.value.fault.accepts.values["most"] == rows


@given(counts, st.integers(0, 200), st.integers(1, 3), st.integers(0, 12), rules)
def test_what_a_refusal_offers_goes_in(steps, over, multiple, plain, rule):
    assume(over >= plain)
    assume(steps > 1 or rule != "ends")
    try:
        spaced_rows(steps, over, multiple=multiple, plain=plain, rule=rule)
    except ShapingError as error:
        offered = error.fault.accepts.values
        assert offered["most"] < steps
        assert offered["rows"] > over
        spaced_rows(steps, offered["rows"], multiple=multiple, plain=plain, rule=rule)
        assume(offered["most"] > 1)
        spaced_rows(offered["most"], over, multiple=multiple, plain=plain, rule=rule)


@given(counts, st.integers(1, 300), st.integers(1, 3))
def test_the_last_step_falls_on_the_last_row_and_none_is_more_than_half_a_row_from_straight(steps, over, multiple):
    places = over // multiple
    assume(steps <= places)
    rows = spaced_rows(steps, over, multiple=multiple)
    assert rows[-1] == multiple * places
    straight = [Fraction(place * multiple * places, steps) for place in range(1, steps + 1)]
    assert all(abs(row - at) <= Fraction(multiple, 2) for row, at in zip(rows, straight, strict=True))
    short, longer = divmod(places, steps)
    gaps = [later - row for row, later in pairwise((0, *rows))]
    assert sorted(gaps) == [multiple * short] * (steps - longer) + [multiple * (short + 1)] * longer


def farthest(rows, steps, over) -> Fraction:
    return max(abs(row - Fraction(place * over, steps)) for place, row in enumerate(rows, 1))


@pytest.mark.parametrize(
    "over", [*range(1, 14), *(pytest.param(over, marks=pytest.mark.full) for over in (14, 15, 16))]
)
def test_no_other_rows_lie_nearer_to_straight(over):
    """Full search: every choice of rows that ends on the last, up to 16 rows; 136 of 136."""
    for steps in range(1, over + 1):
        least = min(farthest((*rows, over), steps, over) for rows in combinations(range(1, over), steps - 1))
        assert farthest(spaced_rows(steps, over), steps, over) == least


# --- the same gaps in few lines ---


@given(counts, st.integers(1, 200), st.sampled_from([1, 2]), st.sampled_from([0.5, 1.0, 2.0]))
def test_arranged_gaps_are_the_same_gaps_near_enough_to_straight(steps, over, multiple, off):
    assume(steps <= over // multiple)
    rows = spaced_rows(steps, over, multiple=multiple)
    try:
        gaps = arranged_gaps(steps, over, multiple=multiple, off=off)
    except ShapingError:
        assert off < 1
        return
    assert sorted(gaps) == sorted(later - row for row, later in pairwise((0, *rows)))
    mean = Fraction(rows[-1], steps)
    assert all(
        abs(row - place * mean) <= off * mean + Fraction(1, 10**9) for place, row in enumerate(accumulate(gaps), 1)
    )


@pytest.mark.parametrize(("steps", "over"), [(5, 7), (7, 9), (7, 11), (8, 13), (9, 12), (9, 14)])
def test_no_other_order_near_enough_takes_fewer_lines(steps, over):
    """Full search over every order of the gaps."""
    gaps = arranged_gaps(steps, over)
    mean = over / steps
    near = [
        order
        for order in set(permutations(gaps))
        if all(abs(row - place * mean) <= mean + 1e-9 for place, row in enumerate(accumulate(order), 1))
    ]
    assert len(gap_lines(gaps)) == min(len(gap_lines(order)) for order in near)


@given(st.lists(st.integers(1, 3), max_size=24))
def test_lines_say_the_gaps_in_their_order(gaps):
    lines = gap_lines(gaps)
    assert [gap for pattern, times in lines for gap in pattern * times] == gaps
    assert all(times >= (1 if len(pattern) == 1 else 2) for pattern, times in lines)
    assert len(lines) <= len(gaps)


@given(st.lists(st.integers(1, 2), min_size=1, max_size=9))
def test_no_other_lines_say_them_with_fewer(gaps):
    """Every way to cut them into runs, walked."""

    def fewest(rest: tuple[int, ...]) -> int:
        if not rest:
            return 0
        least = len(rest)
        for length in range(1, 5):
            pattern = rest[:length]
            times = 1
            while len(pattern) == length and rest[: times * length] == pattern * times:
                if times >= (1 if length == 1 else 2):
                    least = min(least, 1 + fewest(rest[times * length :]))
                times += 1
        return least

    assert len(gap_lines(gaps)) == fewest(tuple(gaps))


def test_lines_are_few():
    """Of 1,327 counts of steps and rows: 1.9 lines in the mean, three or fewer in 99 of 100."""
    lines = [
        len(gap_lines(arranged_gaps(steps, over))) for over in range(2, 121, 13) for steps in range(1, min(over, 41))
    ]
    assert sum(lines) / len(lines) < 2.2
    assert sum(many <= 3 for many in lines) / len(lines) > 0.95


@pytest.mark.parametrize(
    ("arguments", "place"),
    [
        ({"steps": -1, "over": 10}, "steps"),
        ({"steps": 1, "over": 3, "plain": 4}, "over"),
        ({"steps": 1, "over": 3, "plain": -1}, "plain"),
        ({"steps": 1, "over": 3, "multiple": 0}, "multiple"),
        ({"steps": 1, "over": 3, "rule": "ends"}, "steps"),
    ],
)
def test_what_is_no_count_is_refused_by_name(arguments, place):
    with pytest.raises(ShapingError) as refused:
        spaced_rows(**arguments)
    assert refused.value.fault.place == place
    assert isinstance(refused.value, FitcheckError)
    assert str(refused.value).startswith(f"{place}: read ")
