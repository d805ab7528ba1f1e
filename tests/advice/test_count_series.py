"""One count nearest to a measure, of one parity or in whole repeats. What seams swallow: common practice, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.advice.rest.count_series import CountsError, nearest_count


def test_52_cm_takes_120_stitches_or_121_where_they_are_odd():
    assert nearest_count(520.0, 4.40) == 120  # 519.2 mm
    assert nearest_count(520.0, 4.40, parity="even") == 120
    assert nearest_count(520.0, 4.40, parity="odd") == 121  # 523.6 against 514.8 mm


def test_the_larger_of_two_equally_near_counts_is_taken():
    assert nearest_count(10 * 4.0 + 2.0, 4.0) == 13  # 44 and 40 mm; 12 stitches would be too narrow
    assert nearest_count(0.1 * 3, 0.2, swallowed=0) == 2  # halfway, though 0.1 x 3 is not 0.3


def test_repeats_and_balance_stitches_are_kept():
    assert nearest_count(520.0, 4.40, multiple=12, balance=5) == 125  # 113 or 125: 31.6 below, 21.2 above
    assert nearest_count(520.0, 4.40, multiple=4, balance=1) == 121
    assert nearest_count(520.0, 4.40, multiple=3, balance=1, parity="even") == 118  # 118 or 124


def test_a_count_never_exceeds_the_needles_on_the_bed():
    assert nearest_count(520.0, 4.40, most=110) == 110
    assert nearest_count(520.0, 4.40, parity="odd", most=110) == 109


def test_something_is_left_when_the_seams_are_sewn():
    assert nearest_count(0.5, 4.40) == 3
    assert nearest_count(0.5, 4.40, swallowed=0.5) == 1
    assert nearest_count(0.5, 4.40, parity="even") == 4


@given(
    wanted=st.floats(20.0, 900.0),
    size=st.floats(1.5, 12.0),
    swallowed=st.sampled_from([-2.0, 0.0, 1.0, 2.0]),
    parity=st.sampled_from([None, "even", "odd"]),
    multiple=st.sampled_from([1, 2, 3, 4, 7, 12]),
    balance=st.integers(0, 13),
    most=st.one_of(st.none(), st.integers(20, 250)),
)
def test_no_allowed_count_is_nearer(wanted, size, swallowed, parity, multiple, balance, most):
    def allowed(n):
        right = parity is None or n % 2 == ("even", "odd").index(parity)
        return right and (n - balance) % multiple == 0 and n >= 1 and n > swallowed

    every = [n for n in range(1, (most or 1000) + 1) if allowed(n)]
    more = {"swallowed": swallowed, "parity": parity, "multiple": multiple, "balance": balance, "most": most}
    if not every:
        with pytest.raises(CountsError, match="Relax one"):
            nearest_count(wanted, size, **more)
        return
    found = nearest_count(wanted, size, **more)
    assert found in every
    nearest = min(abs((n - swallowed) * size - wanted) for n in every)
    # A billionth of a stitch counts as equal.
    assert abs((found - swallowed) * size - wanted) <= nearest + 1e-7
