"""The line of an edge's shaping: read, written, refused."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from fitcheck.records.shaping import EdgeShaping, EdgeSteps, ordinal, written_shaping

shapings = st.builds(
    EdgeShaping,
    at_once=st.integers(0, 400),
    steps=st.lists(st.builds(EdgeSteps, times=st.integers(1, 400), every=st.integers(1, 99)), max_size=20),
)


def read(line: str) -> EdgeShaping:
    return EdgeShaping.model_validate(line)


def test_the_armhole_of_a_back_is_read_as_one_line() -> None:
    shaping = read("5 at once, then 2 every row, 6 every 2nd")
    assert (shaping.at_once, [(steps.times, steps.every) for steps in shaping.steps]) == (5, [(2, 1), (6, 2)])
    assert (shaping.stitches, shaping.rows) == (13, 14)


@pytest.mark.parametrize(
    "line",
    [
        "5 At Once; 2 every row; 6 every 2nd row",
        " 5 at once,2 every row , then 6 every 2nd ",
        "5 at once then 2 every 1st then 6 every 2nd",
    ],
)
def test_other_spellings_are_the_same_shaping(line: str) -> None:
    assert read(line) == read("5 at once, then 2 every row, 6 every 2nd")


@given(shapings)
def test_what_is_written_is_read_again(shaping: EdgeShaping) -> None:
    if len(written_shaping(shaping)) <= 400:
        assert read(written_shaping(shaping)) == shaping


@pytest.mark.parametrize(
    "line",
    [
        "",
        "five at once",
        "5",
        "2 every row, 5 at once",
        "6 every 2th",
        "6 every 0th",
        "6 every",
        "5 at once, ",
        "x" * 900,
    ],
)
def test_another_line_is_refused(line: str) -> None:
    with pytest.raises(ValidationError):
        read(line)


def test_endings_of_numbers() -> None:
    assert [ordinal(n) for n in (1, 2, 3, 4, 11, 12, 13, 21, 22, 99)] == [
        *("1st", "2nd", "3rd", "4th", "11th", "12th", "13th", "21st", "22nd", "99th")
    ]
