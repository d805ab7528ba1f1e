"""Fit rule 5: blocking again only enlarges, by 3 % at most, and only where it holds (common practice, no source)."""

from __future__ import annotations

import numpy as np
import pytest

from fitcheck.advice.decide.decision import DEFAULT_COSTS, recommend
from fitcheck.advice.decide.remedies import STRETCHES, Plan, Remedies
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
    assert max(STRETCHES) == 0.03
    # 25 mm narrow all over: a stretch of 5 % less what springs back would bring it, 3 % does not.
    narrow = {"shoulder_width": -20.0, "chest": -25.0, "hem": -25.0, "neck_width": -8.0}
    found = blocked(back(narrow, holds=True, more=False))
    assert found.stretch == ("across", 0.03)


def test_the_other_points_are_judged_after_the_stretch():
    """A gain across costs about half along, and part of it springs back at the next wash."""
    remedies = Remedies(back(NARROW, holds=True), DEFAULT_COSTS)
    plain = remedies.outcome(Plan("carry_on", 0.0), remedies.d, remedies.var)
    stretched = remedies.outcome(Plan("block_again", 0.0, stretch=("across", 0.03)), remedies.d, remedies.var)
    moved = dict(zip(COUNTS, stretched.mean - plain.mean, strict=True))
    assert 0.0 < moved["chest"] < 0.03 * 516
    assert moved["body_length"] == pytest.approx(-moved["chest"] / 516 * 604.5 / 2, rel=1e-6)
    assert bool(np.all(stretched.var >= plain.var))
