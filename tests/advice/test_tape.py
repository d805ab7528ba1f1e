"""What the tape says at a point: readings that count, their layings, and the step that they were written to."""

from __future__ import annotations

import math

import pytest

from fitcheck.advice.tape import finest, taped
from fitcheck.estimates.readings import Pool
from fitcheck.records.readings import Reading


def readings(*texts: str, **more: object) -> list[Reading]:
    return [Reading.model_validate({"text": text, "laying": n, **more}) for n, text in enumerate(texts, 1)]


def test_a_whole_inch_among_eighths_was_read_to_an_eighth():
    mixed, all_eighths = (
        taped(readings("17.9 cm", "7 in", "7 1/8 in")),
        taped(readings("17.9 cm", "7 1/8 in", "7 1/8 in")),
    )
    assert mixed is not None
    assert all_eighths is not None
    assert mixed.resolution_mm == pytest.approx(all_eighths.resolution_mm)


def test_a_whole_inch_alone_was_read_to_the_inch():
    alone = taped(readings("7 in"))
    assert alone is not None
    assert alone.resolution_mm == pytest.approx(25.4)
    assert alone.estimate.u > 25.4 / math.sqrt(12) - 1e-9


def test_the_step_of_the_whole_measuring_holds_for_each_of_its_points():
    steps = finest([readings("7 in"), readings("20 1/8 in"), readings("58 cm")])
    assert steps == {"in": pytest.approx(25.4 / 8), "cm": pytest.approx(10.0)}
    alone = taped(readings("7 in"), steps=steps)
    assert alone is not None
    assert alone.resolution_mm == pytest.approx(25.4 / 8)


def test_a_reading_set_aside_does_not_count():
    kept = [*readings("51.8 cm", "51.6 cm"), *readings("31.8 cm", set_aside="slipped")]
    found = taped(kept)
    assert found is not None
    assert found.readings == 2
    assert found.estimate.value == pytest.approx(517.0)


def test_readings_without_a_laying_are_of_one_laying_and_say_so():
    loose = [Reading.model_validate({"text": text}) for text in ("51.8 cm", "51.6 cm", "51.7 cm")]
    one, three = taped(loose), taped(readings("51.8 cm", "51.6 cm", "51.7 cm"))
    assert one is not None
    assert three is not None
    assert one.laying_assumed
    assert not three.laying_assumed
    assert one.estimate.u > three.estimate.u


def test_nothing_that_counts_is_nothing():
    assert taped(readings("51.8 cm", set_aside="slipped")) is None


def test_the_same_readings_are_estimated_once_and_every_other_for_itself():
    one, like_it, pool = readings("50.1 cm", "50.4 cm"), readings("50.1 cm", "50.4 cm"), Pool(scale2=4.0)
    assert taped(one) is taped(like_it)
    assert taped(one, pool) != taped(one)
    assert taped(one, steps={"cm": 0.5}) == taped(like_it, steps={"cm": 0.5}) != taped(one)
    kept = [reading.model_copy(update={"confirmed": True}) for reading in readings("50.1 cm", "50.4 cm", "58.0 cm")]
    assert taped(kept) != taped(readings("50.1 cm", "50.4 cm", "58.0 cm"))
