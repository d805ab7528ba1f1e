"""Grams per stitch and what is needed: common practice, no source, for what ripped yarn, swatches and oil lose.

Check values 28 to 33 of the facts stand in tests/published/test_yarn.py.
"""

from __future__ import annotations

import math
import random
from typing import TYPE_CHECKING

import pytest

from fitcheck.advice.to_come.lots import Item, lot_plan
from fitcheck.estimates.numbers import CannotSay
from fitcheck.estimates.yarn import (
    PRIOR_SD,
    TAU,
    GramsPerStitch,
    Weighed,
    YarnError,
    grams_if_far,
    grams_per_stitch,
    yarn_needed,
    yarn_prior,
)

if TYPE_CHECKING:
    from tests.conftest import Draws

PIECES = (20_000.0, 8_000.0, 8_000.0)


def known(*weighed: Weighed | tuple[float, float], prior: float | None = None) -> GramsPerStitch:
    fit = grams_per_stitch(weighed, prior=prior)
    assert not isinstance(fit, CannotSay)
    return fit


def test_two_strands_weigh_as_one_of_twice_the_tex() -> None:
    assert yarn_prior(4.48, 165.0, strands=2) == pytest.approx(yarn_prior(4.48, 330.0))


def test_where_there_is_yarn_enough_no_rows_are_left_out() -> None:
    assert yarn_needed(PIECES, known((170.0, 20_000.0))).rows_to_leave_out(400.0, 120.0) == 0


def test_yarn_and_gauge_alone_are_assumed_and_nothing_at_all_cannot_be_said() -> None:
    fit = known(prior=0.006)
    assert (fit.grams, fit.basis) == (pytest.approx(0.006), "assumed")
    assert fit.sd == pytest.approx(PRIOR_SD)
    nothing = grams_per_stitch([])
    assert isinstance(nothing, CannotSay)
    assert nothing.code == "nothing_weighed"


def test_a_weighed_piece_outweighs_what_the_label_tells_and_is_asked_about_where_they_disagree() -> None:
    fit = known((170.0, 20_000.0), prior=0.0060)
    assert 0.0083 < fit.grams < 0.0085
    assert fit.off_prior == pytest.approx(0.0085 / 0.0060 - 1)
    assert fit.asks
    assert not known((170.0, 20_000.0), prior=0.0075).asks


def test_pieces_that_disagree_make_the_spread_larger_and_pieces_that_agree_make_it_smaller() -> None:
    apart = known((170.0, 20_000.0), (184.0, 20_000.0), (160.0, 20_000.0))
    alike = known((170.0, 20_000.0), (170.0, 20_000.0), (170.0, 20_000.0))
    assert alike.piece_sd < TAU < apart.piece_sd
    assert apart.dof == alike.dof == 6


def test_a_swatch_weighs_less_than_a_piece() -> None:
    piece, swatch = Weighed(170.0, 20_000.0), Weighed(9.0, 1_000.0, swatch=True)
    both = known(piece, swatch)
    assert abs(math.log(both.grams / 0.0085)) < abs(math.log(0.0090 / both.grams))


@pytest.mark.parametrize("specimen", [(0.0, 20_000.0), (170.0, -1.0), (math.nan, 20_000.0)])
def test_a_weight_or_count_that_cannot_be_is_refused(specimen: tuple[float, float]) -> None:
    with pytest.raises(YarnError, match="weighed"):
        grams_per_stitch([specimen])


@pytest.mark.simulation
@pytest.mark.parametrize("specimens", [1, 3, 5, 7])
def test_the_likely_range_covers_what_is_used_and_stated_chances_come_true(specimens: int, draws: Draws) -> None:
    """Seeded; 90 % intervals cover 88 to 97 %, stated chances within .07 of what came."""
    rng = random.Random(20_615_005 + specimens)
    sweaters = draws.of(4000)
    covered = 0
    lasting: list[tuple[float, bool]] = []
    for _ in range(sweaters):
        yarn = 0.0085 * math.exp(rng.gauss(0, 0.1))
        weighed = []
        for _ in range(specimens):
            loops = rng.uniform(8_000, 22_000)
            weighed.append((round(yarn * loops * math.exp(rng.gauss(0, TAU))), loops))
        need = yarn_needed(PIECES, known(*weighed))
        used = math.fsum(yarn * loops * math.exp(rng.gauss(0, TAU)) for loops in PIECES)
        low, high = need.interval(0.90)
        covered += low <= used <= high
        hand = need.grams * rng.uniform(0.96, 1.04)
        lasting.append((need.lasts(hand), used <= hand))
    assert 0.88 - draws.wider(0.005) <= covered / sweaters <= 0.97 + draws.wider(0.005)
    for low_end in (0.0, 0.2, 0.4, 0.6, 0.8):
        of_these = [(stated, came) for stated, came in lasting if low_end <= stated < low_end + 0.2]
        stated, came = (math.fsum(each) / len(of_these) for each in zip(*of_these, strict=True))
        assert came == pytest.approx(stated, abs=0.07 + draws.wider(0.018)), f"{stated:.2f} came true in {came:.2f}"


# A weight that is far off


def test_a_weight_is_far_off_only_by_the_others_and_from_three_times_on() -> None:
    back = Weighed(170.0, 20_000.0)
    assert grams_if_far(Weighed(1_000.0, 20_000.0), ()) is None
    assert grams_if_far(Weighed(500.0, 20_000.0), (back,)) is None
    assert grams_if_far(Weighed(57.0, 20_000.0), (back,)) is None
    for grams in (511.0, 56.0):
        assert grams_if_far(Weighed(grams, 20_000.0), (back,)) == pytest.approx(170.0)


# Lots

THREE = (Item("back", 170.0, 3.4), Item("front", 170.0, 3.4), Item("sleeves", 180.0, 5.0))


def test_one_lot_that_lasts_for_everything_is_taken_alone() -> None:
    plan = lot_plan(THREE, {"a": 600.0, "b": 700.0, "c": 100.0}, common=0.01)
    assert set(plan.lots.values()) == {"a"}, "the larger one is left whole"


def test_another_lot_is_begun_only_where_the_one_in_use_may_not_last() -> None:
    sleeves = (Item("sleeve", 180.0, 5.0),)
    assert lot_plan(sleeves, {"a": 600.0, "b": 250.0}, common=0.01).lots == {"sleeve": "b"}, "the larger is left whole"
    assert lot_plan(sleeves, {"a": 600.0, "b": 250.0}, common=0.01, used={"a"}).lots == {"sleeve": "a"}
    assert lot_plan(sleeves, {"a": 190.0, "b": 250.0}, common=0.01, used={"a"}).lots == {"sleeve": "a"}
    assert lot_plan(sleeves, {"a": 180.0, "b": 250.0}, common=0.01, used={"a"}).lots == {"sleeve": "b"}


def test_the_other_of_two_is_knitted_from_the_lot_of_the_first() -> None:
    lots = {"a": 600.0, "b": 250.0}
    for first in lots:
        assert lot_plan((Item("sleeve", 90.0, 3.0, first),), lots, used={"a", "b"}).lots == {"sleeve": first}


def test_where_no_lot_lasts_two_rows_of_each_are_knitted_in_turn() -> None:
    plan = lot_plan(THREE, {"a": 260.0, "b": 270.0}, common=0.01)
    assert plan.alternate
    assert plan.lots == {}


def test_too_many_lots_are_refused() -> None:
    with pytest.raises(YarnError, match="lots: read 0"):
        lot_plan(THREE, {})
