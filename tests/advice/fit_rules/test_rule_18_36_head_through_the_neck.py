"""Fit rules 18 and 36: the neck inside its band must pass the head, about 56 cm round (common practice, no source)."""

import math

import pytest
from scipy.special import ellipe

from fitcheck.advice.target.neck import opening_mm

BAND = [{"edge": "neck", "depth": "2.5 cm", "how": "added_later"}]


@pytest.mark.parametrize(("width", "depth"), [(164.0, 73.8), (90.0, 30.0), (200.0, 100.0), (120.0, 0.0)])
def test_the_opening_is_its_width_and_half_an_ellipse(width, depth):
    # Perimeter of the ellipse by the complete integral of the second kind (Abramowitz and Stegun, 17.3).
    long, short = max(width / 2, depth), min(width / 2, depth)
    perimeter = 4 * long * ellipe(1 - (short / long) ** 2)
    assert opening_mm(width, depth) == pytest.approx(width + perimeter / 2, rel=2e-3 if depth else 5e-2)


def asked(answer, wearer=None, **numbers):
    make = {"fits": {"numbers": numbers}, "bands": BAND, "stages": [{"kind": "blocked", "readings": {"chest": "52"}}]}
    if wearer is not None:
        make |= {"wearer": "anna", "others": {"wearers": [{"id": "anna", "name": "Anna", **wearer}]}}
    return "neck_for_head" in answer(**make).all.asks


def test_a_neck_that_no_grown_head_passes_is_asked_about(answer):
    assert asked(answer, neck_inside="9")
    assert asked(answer, neck_width="14", neck_depth="6")  # 9 inside a band of 2.5
    assert not asked(answer, neck_width="20")
    assert not asked(answer, neck_width="16.4", neck_depth="7.4")
    assert not asked(answer, chest="52")


def test_the_wearers_own_head_counts(answer):
    assert not asked(answer, {"head": ["48"]}, neck_inside="9")
    assert asked(answer, {"head": ["80"]}, neck_inside="14")
    assert not asked(answer, {"child": True}, neck_inside="9")  # not measured: a child's may be small
    assert asked(answer, {"child": True, "head": ["56"]}, neck_inside="9")


def test_an_ease_of_a_body_that_was_not_read_there_stops_no_answer(answer):
    got = answer(fits={"ease": {"neck_width": "2"}}, stages=[{"kind": "blocked", "readings": {"chest": "52"}}])
    assert "neck_for_head" not in got.all.asks


def test_half_the_opening_of_a_circle_is_half_its_perimeter():
    assert opening_mm(100.0, 50.0) == pytest.approx(100.0 + math.pi * 50.0)
