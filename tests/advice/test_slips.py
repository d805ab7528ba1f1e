"""Slips in what sizes are asked with: a round chest said flat, and a count that is a slip of the finger away."""

from __future__ import annotations

import pytest

from fitcheck.advice.sizes.slips import chest_slip, count_slips
from fitcheck.advice.sizes.which_size import sizes_of
from fitcheck.words.figures import Tape
from fitcheck.words.sizes import chest_slip_asked, count_slip_asked
from tests.advice.size_sample import body, fabric, household

TAPE = Tape("cm", ".")


def answer(chest: str | float | dict[str, str], *counts: int):
    home = household({str(number): body(None, count) for number, count in enumerate(counts, 1)}, {"chest": chest})
    return sizes_of(home.makes[0], home, fabric(4.4))


def test_a_round_chest_said_to_be_flat_is_asked_about_and_a_flat_one_is_not():
    slip = chest_slip(answer(104, 120, 130), "flat")
    assert slip is not None
    # (120 - 2) x 4.4 and (130 - 2) x 4.4 mm.
    assert slip.finished_mm == pytest.approx((519.2, 563.2), abs=0.1)
    asked = chest_slip_asked(slip, TAPE)
    assert asked.odd == "104.0 cm for the chest, flat? The sizes come out at 51.9 cm and 56.3 cm in this fabric."
    assert asked.slip == "It is the round measure: 52.0 cm flat"
    assert chest_slip(answer(52, 120, 130), "flat") is None


def test_a_flat_chest_said_to_be_round_is_asked_about():
    slip = chest_slip(answer({"length": "52", "meant": "round"}, 120), "round")
    assert slip is not None
    asked = chest_slip_asked(slip, TAPE)
    assert (asked.odd, asked.slip) == (
        "52.0 cm for the chest, round? The size comes out at 51.9 cm flat in this fabric.",
        "It is flat: 52.0 cm",
    )


def test_a_count_far_from_the_chest_names_the_slip_of_the_finger_that_comes_nearest():
    asked = answer(52, 20, 130)
    (slip,) = count_slips(asked, {"1": 20, "2": 130})
    assert (slip.size, slip.count, slip.meant) == ("1", 20, 120)
    assert count_slip_asked(slip, TAPE).slip == "120 stitches"
    assert count_slips(answer(52, 118, 130), {"1": 118, "2": 130}) == []


def test_a_count_that_no_slip_of_the_finger_brings_near_names_none():
    (slip,) = count_slips(answer(52, 262), {"1": 262})
    assert slip.meant is None
    assert count_slip_asked(slip, TAPE).slip == ""
