"""Fit rule 5: blocking again only enlarges, by 3 % at most, and only where it holds (common practice, no source)."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from fitcheck.advice.decide.decision import DEFAULT_COSTS, recommend
from fitcheck.advice.decide.garment import Garment
from fitcheck.advice.decide.sewing import sew, unchanged
from fitcheck.advice.decide.stage import here
from fitcheck.advice.decide.state import Other
from fitcheck.advice.decide.ways import MOST_STRETCH, SPRINGS_BACK, STRETCHES, Ways, impossible_ways, ways
from fitcheck.records.yarns import FibreShare, Yarn
from tests.advice.backs import COUNTS, back

NARROW = {"shoulder_width": -14.0, "neck_width": -9.0, "chest": -12.0, "hem": -12.0}


def blocked(state):
    return next(one for one in recommend(state).actions if one.code == "block_again")


def yarn(**shares: float) -> Yarn:
    mix = [FibreShare(fibre=fibre, percent=percent) for fibre, percent in shares.items()]  # type: ignore[arg-type]
    return Yarn(id="y", name="yarn", fibres=mix)


@pytest.mark.parametrize("fibre", ["acrylic", "cotton", "superwash_wool"])
def test_never_offered_for_a_yarn_that_does_not_hold_it(fibre):
    holds = yarn(**{fibre: 100.0}).holds_a_stretch
    found = blocked(back(NARROW, holds=holds))
    assert found.impossible is not None
    assert found.impossible.code == "does_not_hold"


def test_not_offered_while_the_fibre_is_not_said():
    assert yarn().holds_a_stretch is None
    assert blocked(back(NARROW)).impossible.code == "fibre_unsaid"


def test_offered_for_a_narrow_piece_of_wool():
    assert yarn(wool=100.0).holds_a_stretch is True
    assert blocked(back(NARROW, holds=True)).impossible is None


def test_never_offered_for_a_piece_that_is_too_wide():
    assert blocked(back({"chest": 14.0, "shoulder_width": -14.0}, holds=True)).impossible.code == "too_wide"


def test_three_percent_at_most():
    assert max(STRETCHES) == MOST_STRETCH == 0.03
    # 22 mm narrow all over: a stretch of 6 % less what springs back would bring it, 3 % does not.
    narrow = {"shoulder_width": -18.0, "chest": -22.0, "hem": -22.0, "neck_width": -7.0}
    found = blocked(back(narrow, holds=True, more=False))
    assert found.stretch == ("across", 0.03)


def test_stretches_already_given_add_up_to_three_percent():
    """Fit rule 38."""
    assert blocked(back(NARROW, holds=True, given={"across": 0.015})).stretch == ("across", 0.01)
    full = blocked(back(NARROW, holds=True, given={"across": 0.025}))
    assert full.impossible is not None
    assert full.impossible.code == "stretched_enough"


def test_what_the_tape_cannot_tell_from_nothing_is_not_called_stretched_already():
    assert blocked(back({"chest": -0.4}, holds=True)).impossible.code == "nothing_small"


def test_the_other_points_are_judged_after_the_stretch():
    """A gain across costs about half along, and part of it springs back at the next wash."""
    garment = Garment(back(NARROW, holds=True), DEFAULT_COSTS)
    every = ways(garment, DEFAULT_COSTS, impossible_ways(garment))
    wider = next(way for way in every if way.stretch == ("across", 0.03))
    sewn = unchanged(garment, sew(garment, Ways([every[0], wider]), here(garment)))
    moved = dict(zip(COUNTS, sewn.mean[1, 0] - sewn.mean[0, 0], strict=True))
    assert 0.0 < moved["chest"] < 0.03 * 516
    assert moved["body_length"] == pytest.approx(-moved["chest"] / 516 * 604.5 / 2, rel=1e-6)
    assert bool(np.all(sewn.var[1] >= sewn.var[0] - 1e-9))


def test_a_knitted_front_does_not_move_with_a_back_that_is_blocked_again():
    """A front that is still to come is blocked alike, as the sentence says."""

    def chest_moves(front: Other) -> float:
        state = back(NARROW, holds=True)
        points = tuple(replace(one, others=(front,)) if one.key == "chest" else one for one in state.points)
        garment = Garment(replace(state, points=points), DEFAULT_COSTS)
        every = ways(garment, DEFAULT_COSTS, impossible_ways(garment))
        wider = next(way for way in every if way.stretch == ("across", 0.03))
        sewn = unchanged(garment, sew(garment, Ways([every[0], wider]), here(garment)))
        at = list(COUNTS).index("chest")
        return float(sewn.mean[1, 0, at] - sewn.mean[0, 0, at])

    stays = 0.03 * (1 - SPRINGS_BACK)
    assert chest_moves(Other("front", 0.5, 528.0)) == pytest.approx(516.0 * stays)
    assert chest_moves(Other("front", 0.5, 528.0, known=(0.0, 1.0))) == pytest.approx(516.0 * stays / 2)
