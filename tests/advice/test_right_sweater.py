"""Is this the right sweater? Asked where a piece is more than a quarter off at every point, and only there."""

from __future__ import annotations

import pytest

from fitcheck.advice.rest.right_sweater import BesideGarment, right_sweater
from fitcheck.records.readings import Reading


def read(*, confirmed: bool = False) -> list[Reading]:
    return [Reading.model_validate({"text": "38", "unit": "cm", "confirmed": confirmed})]


def off(*shares: float) -> list[BesideGarment]:
    keys = ("shoulder_width", "chest", "armhole_depth")
    return [
        BesideGarment(key, 400.0 * (1 + share), 400.0, 400.0 * share) for key, share in zip(keys, shares, strict=False)
    ]


@pytest.mark.parametrize(
    ("shares", "smaller"),
    [((-0.3, -0.26), True), ((0.26, 0.4, 0.3), False), ((-0.3, -0.25), None), ((-0.3, 0.3), None), ((-0.3,), None)],
)
def test_it_is_asked_where_every_point_is_more_than_a_quarter_off_the_same_way(shares, smaller):
    asked = right_sweater(off(*shares), read())
    assert (asked and asked.smaller) is smaller


def test_it_is_not_asked_again_once_the_readings_were_kept():
    assert right_sweater(off(-0.3, -0.3), read(confirmed=True)) is None
