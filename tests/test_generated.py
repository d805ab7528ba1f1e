"""The households made by chance are what they say: whole, always the same, and of many kinds."""

from __future__ import annotations

import json

from fitcheck.records.files import open_household
from fitcheck.records.questions import questions
from tests.generated import household

SEEDS = range(100)


def test_every_one_opens_without_a_fault_and_is_the_same_when_made_again():
    for seed in SEEDS:
        raw = household(seed)
        assert raw == household(seed)
        assert open_household(json.dumps(raw).encode()).makes, seed


def test_they_are_of_many_kinds():
    made = [open_household(json.dumps(household(seed)).encode()) for seed in SEEDS]
    makes = [make for home in made for make in home.makes]
    pieces = [piece for make in makes for piece in make.pieces]
    assert {home.unit for home in made} == {"cm", "in", "mm"}
    assert {len(home.swatches) for home in made} >= {0, 1, 2, 3}
    assert {bool(home.size_tables) for home in made} == {bool(questions(home)) for home in made} == {True, False}
    assert {make.construction for make in makes} == {"set_in", "drop_shoulder", "side_panels", "raglan"}
    assert {bool(make.finished) for make in makes} == {make.fits.is_said for make in makes} == {True, False}
    assert any(make.fits.garment for make in makes)
    assert any(make.fits.numbers for make in makes)
    assert any(make.fits.ease for make in makes)
    assert any(piece.replaces for piece in pieces)
    assert any(stage.overhangs for piece in pieces for stage in piece.stages)
    last = [piece.stages[-1].kind for piece in pieces if piece.stages]
    assert set(last) == {"off_machine", "rested", "blocked"}
