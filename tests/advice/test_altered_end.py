"""Rows at the lower end of a knitted piece that were advised and that nobody read again."""

from __future__ import annotations

import math

import pytest

from fitcheck.advice.decide.altered_end import altered_end
from fitcheck.advice.rest.planned import taken_rows
from fitcheck.advice.target.wanted import Target
from fitcheck.estimates.numbers import Estimate
from fitcheck.records.makes import Costs, Make, Piece, Taken

WORK = Costs.model_construct().alter_hem


def target(key: str, weight: float, allowed_mm: float = 15.0) -> Target:
    wanted = Estimate(600.0, 2.0)
    return Target(key, "along", wanted, "garment", (), (allowed_mm, allowed_mm), garment_scale=1.0, weight=weight)


POINTS = {"to_underarm": target("to_underarm", 1.0), "body_length": target("body_length", 2.0)}


def altered(underarm_mm: float, body_mm: float, *, share: float = 1.0, points=POINTS) -> float:
    off_mm = {"to_underarm": underarm_mm, "body_length": body_mm, "chest": 9.0}
    return altered_end(points, {key: Estimate(mm, 2.0) for key, mm in off_mm.items()}, share, WORK)


def test_rows_go_to_the_mean_of_what_the_lengths_lack_the_body_counting_twice():
    assert altered(-11.0, -14.0) == pytest.approx(-13.0)
    assert altered(20.0, 26.0) == pytest.approx(24.0)


def test_nothing_was_altered_where_it_would_not_have_paid():
    assert altered(-8.0, -8.0) == 0.0


def test_a_front_was_judged_with_its_back_so_half_of_it_counts():
    assert altered(-11.0, -14.0, share=0.5) == 0.0
    assert altered(-26.0, -26.0, share=0.5) == pytest.approx(-26.0)


def test_a_length_that_is_free_moves_nothing():
    free = {**POINTS, "body_length": target("body_length", 2.0, math.inf)}
    assert altered(-30.0, -60.0, points=free) == pytest.approx(-30.0)
    assert altered(-30.0, -60.0, points={key: target(key, 1.0, math.inf) for key in POINTS}) == 0.0
    assert altered_end({}, {}, 1.0, WORK) == 0.0


def taken(*steps: tuple[int, int], planned: int, knitted: int = 118) -> dict[str, tuple[int, int]]:
    """Rows of a back up to its underarm that were taken so many instead of so many, one after the other."""
    at_that_end = {"piece": "back", "point": "to_underarm", "at": "2026-01-05T10:00:00Z", "report": "0" * 64}
    listed = [Taken.model_validate({**at_that_end, "instead_of": before, "count": now}) for before, now in steps]
    back = Piece.model_validate({"id": "back", "piece": "back", "counts": {"to_underarm": {"knitted": knitted}}})
    make = Make.model_validate({"id": "pullover", "name": "Pullover", "planned": {"back": {"to_underarm": planned}}})
    return taken_rows(make.model_copy(update={"taken": listed}), back)


def test_rows_are_taken_one_after_the_other():
    assert taken((118, 122), planned=122) == {"to_underarm": (118, 122)}
    assert taken((118, 122), (122, 125), planned=125) == {"to_underarm": (118, 125)}


def test_rows_that_the_piece_was_knitted_with_or_that_are_planned_no_more_were_not_taken_since():
    assert taken((118, 122), planned=122, knitted=122) == {}
    assert taken((118, 122), planned=120) == {}
    assert taken((118, 122), (122, 118), planned=118) == {}
