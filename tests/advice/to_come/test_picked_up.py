"""Bands picked up along the edges of the demo's makes (an invented household): stitches, groups, their order."""

from __future__ import annotations

import math
from typing import Any

import pytest

from fitcheck.advice.rest.bands import BandStitch, BandToCome
from fitcheck.advice.to_come.band_plans import band_loops
from fitcheck.advice.to_come.picked_up import (
    HOLLOW_LESS,
    ROW_SHARE,
    STITCH_SHARE,
    BandUp,
    PickedRun,
    PickedUp,
    bands_up,
)
from fitcheck.advice.to_come.plans_of import PlannedPiece
from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.counts import Choices, Fabric, RaglanCounts
from fitcheck.knitting.pieces import plan_piece
from fitcheck.knitting.plan import Plan
from fitcheck.reports.the_rest import TheRest, the_rest
from tests.advice.to_come.test_the_rest import MAKES, demo, rest


def bands(told: TheRest) -> dict[str, BandUp]:
    return {band.edge: band for band in told.answer.bands}


def picked(band: BandUp) -> PickedUp:
    assert isinstance(band.picked, PickedUp)
    return band.picked


def runs(band: BandUp) -> dict[str, PickedRun]:
    return {run.key: run for run in picked(band).runs}


@pytest.mark.parametrize("make", MAKES)
def test_every_row_of_a_run_is_in_a_group_and_every_stitch_of_a_band_in_a_run(make: str) -> None:
    for band in rest(make).answer.bands:
        if isinstance(band.picked, CannotSay):
            continue
        assert band.picked.stitches == sum(run.stitches for run in band.picked.runs)
        for run in band.picked.runs:
            if run.groups:
                assert sum(group.times * group.of for group in run.groups) == run.of
                assert sum(group.times * group.stitches for group in run.groups) == run.stitches
            elif run.loops:
                assert run.stitches <= run.of


def test_a_closed_neck_is_gone_round_from_the_open_left_shoulder_and_its_sides_are_alike() -> None:
    neck = bands(rest("grey_pullover"))["neck"]
    assert list(runs(neck)) == ["back_neck", "front_right", "front_neck", "front_left"]
    right, left = runs(neck)["front_right"], runs(neck)["front_left"]
    assert right.stitches == left.stitches
    # One half of a divided neck is a row longer than the other.
    assert abs(right.of - left.of) == 1
    assert (right.begins, left.begins) == ("shoulder", "centre")


def test_the_hollow_sides_take_a_tenth_less_than_their_length_and_every_loop_is_taken() -> None:
    told = rest("grey_pullover")
    neck = bands(told)["neck"]
    back, front = (piece.plan for piece in told.planned[:2])
    assert isinstance(back, Plan)
    assert isinstance(front, Plan)
    assert runs(neck)["back_neck"].stitches == back.ends["neck"]
    assert runs(neck)["front_neck"].stitches == front.ends["neck"]
    w, h = told.planned[1].fabric.w, told.planned[1].fabric.h
    sides = math.fsum(
        math.hypot(run.stitches * w, run.rows * h) for name in ("left_neck", "right_neck") for run in front.edges[name]
    )
    ideal = sides * 0.9 / neck.stitch.stitch_mm
    assert sum(runs(neck)[key].stitches for key in ("front_right", "front_left")) == pytest.approx(ideal, abs=1.0)
    assert (picked(neck).less, HOLLOW_LESS) == (0.10, 0.10)


def test_an_open_neck_goes_from_edge_to_edge_and_is_a_mirror_image() -> None:
    neck = bands(rest("grey_cardigan"))["neck"]
    there = [(run.stitches, run.of, tuple(run.groups)) for run in picked(neck).runs]
    back = [(stitches, of, tuple(reversed(groups))) for stitches, of, groups in reversed(there)]
    assert there == back
    assert picked(neck).runs[0].key == "front_right_neck"


def test_a_front_band_takes_its_straight_edge_with_the_rib_below_it_and_nothing_less() -> None:
    told = rest("grey_cardigan")
    front = bands(told)["front"]
    assert (front.times, picked(front).less) == (2, 0.0)
    assert list(runs(front)) == ["rib", "front"]
    piece = next(piece for piece in told.planned if piece.kind == "left_front")
    assert isinstance(piece.plan, Plan)
    mm = 60.0 + runs(front)["front"].of * piece.fabric.h
    assert picked(front).edge_mm == pytest.approx(mm)
    assert picked(front).stitches == pytest.approx(mm / front.stitch.stitch_mm, abs=0.5)
    assert band_loops(front) == 2 * picked(front).stitches * (front.rows or 0)


def test_the_rib_of_a_band_is_a_share_of_the_plain_fabric_until_one_is_swatched() -> None:
    told = rest("grey_pullover")
    neck, plain = bands(told)["neck"], told.planned[-1].fabric
    assert neck.assumed
    assert neck.stitch == BandStitch(STITCH_SHARE * plain.w, ROW_SHARE * plain.h)
    swatches = [
        swatch.model_copy(update={"id": "rib", "stitch_pattern": "1 x 1 rib"}) if swatch.id == "grey_at_8" else swatch
        for swatch in demo().swatches
    ]
    ribbed = with_rib(swatches)
    assert not bands(ribbed)["neck"].assumed
    assert bands(ribbed)["neck"].stitch != neck.stitch


def with_rib(swatches: list[Any]) -> TheRest:
    makes = [
        make.model_copy(update={"swatches": ["grey_at_6", "grey_at_7", "rib"]}) if make.id == "grey_pullover" else make
        for make in demo().makes
    ]
    return the_rest(demo().model_copy(update={"swatches": swatches, "makes": makes}), make="grey_pullover")


def test_a_band_on_a_cast_on_edge_takes_at_most_every_loop() -> None:
    told = bands(rest("blue_cotton_pullover"))
    assert {run.stitches == run.of for run in picked(told["hem"]).runs} == {True}
    assert told["cuff"].times == 2


def test_a_band_along_a_piece_without_a_plan_says_why() -> None:
    why = bands(rest("grey_pulled_long"))["neck"].picked
    assert isinstance(why, CannotSay)
    assert band_loops(bands(rest("grey_pulled_long"))["neck"]) == 0


def test_a_raglan_neck_goes_over_back_sleeve_front_and_sleeve_loop_by_loop() -> None:
    fabric = Fabric(4.48, 3.15)
    pieces = [
        PlannedPiece(
            kind, None, plan_piece(kind, RaglanCounts(118, 120, 108, 6, 64, top, fabric), Choices(), "raglan"), fabric
        )
        for kind, top in (("back", 56), ("front", 56), ("sleeve", 56))
    ]
    make = next(make for make in demo().makes if make.id == "grey_pullover").model_copy(
        update={"construction": "raglan"}
    )
    (neck,) = bands_up(make, [BandToCome("neck", 25.0, 25.0, 0.0, None, BandStitch(3.9, 3.0))], pieces)
    assert [(run.key, run.stitches) for run in picked(neck).runs] == [
        (key, 56) for key in ("back_neck", "sleeve_right", "front_neck", "sleeve_left")
    ]
    assert (neck.rows, neck.assumed, band_loops(neck)) == (8, False, 8 * 4 * 56)


def test_a_band_hangs_about_the_middle_of_the_bed_and_is_knitted_in_goes_where_it_is_too_wide() -> None:
    told = rest("grey_cardigan")
    make = told.told.given.make
    assert told.told.rest is not None
    wide, narrow = (bands_up(make, told.told.rest.bands, told.planned, bed=bed)[1] for bed in (200, 110))
    assert (picked(wide).needles, picked(wide).goes) == (("L75", "R74"), 1)
    assert (picked(narrow).stitches, picked(narrow).goes) == (149, 2)
    assert picked(narrow).needles == ("L38", "R37")
