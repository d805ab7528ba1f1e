"""What the household's readings say of its hands: never more than they tell, and never nothing but a fault."""

from __future__ import annotations

import random

import pytest

from fitcheck.advice.hands import reading_set, sets_to_freeze
from fitcheck.records.households import LARGEST_RATIO, Household
from fitcheck.records.readings import Reading
from fitcheck.records.wearers import Wearer

TEXTS = ("5.1 cm", "5.2 cm", "51.0 cm", "51.5 cm", "1 m", "2 m", "0.1 mm", "7 in", "1/2 in", "512 cm", "0.4 m")


def readings(*texts: str) -> list[Reading]:
    return [Reading.model_validate({"text": text}) for text in texts]


def household(*texts: str) -> Household:
    body = {"hem": readings(*texts)}
    return Household.model_construct(
        wearers=[Wearer.model_construct(id="a", name="A", body=body, head=[])], garments=[], swatches=[], makes=[]
    )


def test_one_slip_stays_out_and_the_others_tell_of_the_hand():
    told = reading_set(readings("51.0 cm", "51.2 cm", "51.1 cm", "5.1 cm"))
    assert told is not None
    assert list(told.values_mm) == pytest.approx([510.0, 512.0, 511.0])


def test_readings_in_two_heaps_stay_out_together_because_nobody_knows_which_are_slips():
    assert reading_set(readings("5.1 cm", "5.2 cm", "51.0 cm", "51.5 cm")) is None
    assert sets_to_freeze(household("5.1 cm", "5.2 cm", "51.0 cm", "51.5 cm")) == []


def test_readings_in_whole_metres_tell_of_no_hand():
    assert sets_to_freeze(household("1 m", "2 m")) == []


def test_whatever_was_read_at_a_point_its_sets_can_be_kept():
    draw = random.Random(1)
    for _ in range(300):
        texts = draw.choices(TEXTS, k=draw.randint(2, 6))
        for tape_set in sets_to_freeze(household(*texts)):
            assert 0 <= tape_set.ratio <= LARGEST_RATIO, texts
