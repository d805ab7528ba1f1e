"""Ease: the garment less the body; round where the measure is round.

The classes are from memory (facts of the trade), to be verified before they are shown as a standard's.
"""

import math

import pytest

from fitcheck.advice.ease import ease_class, ease_of
from fitcheck.estimates.numbers import Estimate
from fitcheck.records.wearers import Wearer


def wearer(**body):
    return Wearer.model_validate({"id": "ann", "name": "the wearer", "body": body}, context={"unit": "cm"})


def test_ease_is_round_at_the_chest_and_plain_at_a_length():
    flat = {"armhole_depth": Estimate(205.0), "chest": Estimate(520.0)}
    chest, depth = ease_of(flat, wearer(chest="94", armhole_depth="19"))
    assert (chest.key, chest.ease.value, chest.code) == ("chest", 100.0, "standard")
    assert (depth.key, depth.ease.value, depth.code) == ("armhole_depth", 15.0, "")


def test_twice_the_flat_figure_s_uncertainty_is_in_the_ease():
    (exact,) = ease_of({"chest": Estimate(520.0)}, wearer(chest="94"))
    (taped,) = ease_of({"chest": Estimate(520.0, 3.0)}, wearer(chest="94"))
    assert math.sqrt(taped.ease.u**2 - exact.ease.u**2) == pytest.approx(6.0)


def test_a_point_without_a_body_reading_that_counts_has_no_ease():
    gone = [{"text": "94", "set_aside": "over the jacket"}]
    assert ease_of({"chest": Estimate(520.0)}, wearer(chest=gone)) == ()
    assert ease_of({"hem": Estimate(520.0)}, wearer(chest="94")) == ()


@pytest.mark.parametrize(
    ("mm", "code"),
    [
        (-2.5, "very_close"),
        (0.0, "close"),
        (48.0, "close"),
        (50.8, "standard"),
        (99.0, "standard"),
        (101.6, "loose"),
        (150.0, "loose"),
        (152.4, "oversized"),
        (300.0, "oversized"),
    ],
)
def test_classes_begin_at_0_2_4_and_6_inches(mm, code):
    assert ease_class(mm) == code
