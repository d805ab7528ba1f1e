"""Picking up and joining: common practice, no source. Its check values stand in tests/published/test_making_up.py."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.knitting.joins import SewnEdge, join
from fitcheck.knitting.pick_up import pick_up, pick_up_rows, share
from fitcheck.knitting.refusals import ShapingError
from fitcheck.records.constructions import CAP_EASE, ROWS_EASE


def test_a_concave_edge_takes_fewer_and_a_tie_the_fewer() -> None:
    assert pick_up(440.0, 4.4, less=0.10) == 90
    assert pick_up(4.4 * 10.5, 4.4) == 10


@given(st.integers(1, 200), st.integers(1, 200))
def test_every_stitch_is_picked_up_and_every_row_passed(stitches: int, rows: int) -> None:
    if stitches > rows:
        with pytest.raises(ShapingError, match="stitches"):
            pick_up_rows(stitches, rows)
        return
    runs = pick_up_rows(stitches, rows)
    assert sum(run.stitches * run.times for run in runs) == stitches
    assert sum(run.of * run.times for run in runs) == rows
    shares = {Fraction(run.stitches, run.of) for run in runs}
    # Groups differ by one row at most, so no stretch of the edge is fuller than another.
    assert max(run.of for run in runs) - min(run.of for run in runs) <= 1
    assert min(shares) <= Fraction(stitches, rows) <= max(shares)


@given(
    st.integers(0, 400),
    st.lists(st.floats(5.0, 400.0), min_size=1, max_size=4),
    st.floats(5.0, 400.0),
)
def test_mirror_pairs_get_equal_shares_and_the_odd_one_goes_to_the_middle(
    total: int, half: list[float], middle: float
) -> None:
    lengths = [*half, middle, *reversed(half)]
    shares = share(total, lengths)
    assert sum(shares) == total
    assert shares == shares[::-1]
    whole = sum(lengths)
    for given_share, length in zip(shares, lengths, strict=True):
        assert abs(given_share - total * length / whole) < 2


def test_without_a_middle_an_odd_stitch_goes_to_one_of_a_pair() -> None:
    assert sorted(share(21, (50.0, 50.0))) == [10, 11]
    assert share(101, (60.0, 80.0, 60.0)) == (30, 41, 30)
    assert share(7, ()) == ()


# Joins


def edge(rows: int = 0, stitches: int = 0, mm: float = 0.0) -> SewnEdge:
    return SewnEdge(rows, stitches, mm)


def test_rows_without_ease_are_joined_one_to_one() -> None:
    assert join(edge(108), edge(108), by="rows").verdict == "fits"
    assert join(edge(108), edge(109), by="rows").verdict == "does_not_join"


def test_a_cap_may_be_up_to_5_percent_longer_than_its_armhole_and_not_shorter() -> None:
    armhole = edge(mm=470.0)
    assert join(armhole, edge(mm=478.4), by="length", ease=CAP_EASE).verdict == "eases"
    assert join(armhole, edge(mm=493.5), by="length", ease=CAP_EASE).verdict == "eases"
    assert join(armhole, edge(mm=494.0), by="length", ease=CAP_EASE).verdict == "does_not_join"
    assert join(armhole, edge(mm=463.0), by="length", ease=CAP_EASE).verdict == "does_not_join"
    assert join(armhole, edge(mm=469.6), by="length", ease=CAP_EASE).verdict == "fits"


def test_notches_lie_at_equal_shares_of_both_edges_on_whole_rows() -> None:
    assert join(edge(108), edge(110), by="rows", ease=ROWS_EASE).notches == ((27, 28), (54, 55), (81, 83))
    assert join(edge(mm=400.0), edge(mm=408.0), by="length", ease=CAP_EASE, notches=1).notches == ((200.0, 204.0),)


@pytest.mark.parametrize("by", ["rows", "stitches", "length"])
def test_an_edge_of_nothing_is_refused(by: str) -> None:
    with pytest.raises(ShapingError, match="partner"):
        join(edge(10, 10, 10.0), edge(), by=by)  # type: ignore[arg-type]
