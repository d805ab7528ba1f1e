"""Sleeves that are still to come beside a body piece: their counts in the stitch that it shows."""

from __future__ import annotations

import pytest

import fitcheck
from fitcheck.words import headline
from tests.worked.truth import BODY, FRONT, PLAIN, SLEEVE, STITCH, counted, household, lengths, piece

PLANNED = {"front": FRONT, "sleeve": SLEEVE}


def told(stitch: float, *, needles: int | None = None, planned=PLANNED):
    back = piece("back", counted(BODY), lengths(BODY, w=STITCH * stitch))
    more = {"needles": needles} if needles else {}
    return fitcheck.report(household([back], fits=PLAIN, planned=planned, **more))


def sleeves(report) -> dict[str, int | None]:
    way = next(action for action in report.actions if action.code == "other_counts")
    return {one.point: one.count for one in way.alterations if one.by == "sleeve"}


def test_in_a_smaller_stitch_they_get_more_stitches_and_the_list_of_the_rest_has_them():
    """78 of 4.6 mm are wanted: 81.3 of 4.416 mm, in an even number; 50.0 at the cuff; the cap is higher then, in the
    same length."""
    report = told(0.96)
    assert sleeves(report) == {"upper_arm": 82, "cuff": 50}
    (sleeve,) = (made for made in report.rest.pieces if made.kind == "sleeve")
    assert {count.key: (count.before, count.now) for count in sleeve.counts if count.step} == {
        "upper_arm": (78, 82),
        "cuff": (48, 50),
        "sleeve_to_underarm": (128, 126),
        "cap_height": (42, 44),
    }
    assert "the sleeves" in headline(report).lower()


def test_in_the_planned_stitch_they_stay():
    assert sleeves(told(1.0)) == {}


def test_nothing_is_changed_where_nobody_planned_them():
    assert sleeves(told(0.96, planned={"front": FRONT})) == {}


@pytest.mark.parametrize("needles", [120, 200])
def test_they_keep_to_the_bed(needles):
    assert all(count <= needles for count in sleeves(told(0.96, needles=needles)).values())
