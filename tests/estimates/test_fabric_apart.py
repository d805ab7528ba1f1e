"""A piece whose dial nobody said has an intercept of its own: no swatch speaks for it, nor it for them (model 8b)."""

from __future__ import annotations

import math

import numpy as np
import pytest

from fitcheck.estimates.fabric.fit import fit_fabric
from fitcheck.estimates.fabric.specimens import PointReading, Specimen, SpecimenStage
from fitcheck.estimates.numbers import CannotSay, Estimate

STITCH, ROW, U = 4.40, 3.10, 1.0


def swatch(key: str, dial: float, wider: float = 1.0) -> Specimen:
    stage = SpecimenStage("blocked", Estimate(STITCH * wider, 0.02), Estimate(ROW * wider, 0.015))
    return Specimen(key, dial, False, (stage,))


def piece(key: str, dial: float | None, wider: float = 1.0) -> Specimen:
    points = (
        PointReading("across", 120, Estimate(120 * STITCH * wider, U)),
        PointReading("along", 180, Estimate(180 * ROW * wider, U)),
    )
    return Specimen(key, dial, True, (), points)


SWATCHES = (swatch("a", 6.0, 0.93), swatch("b", 7.0), swatch("c", 7.0, 1.004), swatch("d", 8.0, 1.07))


def sizes(gauge):
    return [(size.low, size.value, size.high) for size in (gauge.across, gauge.along)]


@pytest.mark.parametrize("wider", [0.9, 1.0, 1.2])
def test_it_never_moves_what_the_swatches_say(wider):
    alone, beside = fit_fabric(SWATCHES), fit_fabric((*SWATCHES, piece("back", None, wider)))
    for dial in (6.0, 7.0, 7.5):
        for told, untold in zip(sizes(beside.gauge(dial)), sizes(alone.gauge(dial)), strict=True):
            # The spread is shared: an intercept that may be anywhere within 25 % tells next to nothing of it.
            assert told == pytest.approx(untold, rel=1e-4)
    assert beside.slope("across").value == pytest.approx(alone.slope("across").value, rel=1e-3)
    assert beside.piece_shift() == alone.piece_shift()
    # Said to be of dial 7 it does move them.
    said = fit_fabric((*SWATCHES, piece("back", 7.0, wider))).gauge(7.0).across
    assert wider == 1.0 or abs(said.value / alone.gauge(7.0).across.value - 1) > 0.01


@pytest.mark.parametrize("wider", [0.9, 1.2])
def test_its_own_size_is_what_was_read_of_it(wider):
    own = fit_fabric((*SWATCHES, piece("back", None, wider))).specimen("back")
    # The prior of 25 % draws by a thousandth at most.
    assert own.across.value == pytest.approx(STITCH * wider, rel=1e-3)
    assert own.along.value == pytest.approx(ROW * wider, rel=1e-3)
    assert (own.across.basis, own.dial) == ("measured", None)


def test_the_piece_beside_it_is_as_it_is_give_or_take_two_pieces():
    """Mean F/N, s^2 = (u_F/F)^2 + lambda^2 + 2 (0.8 tau)^2, over the posterior of tau."""
    fabric = fit_fabric((*SWATCHES, piece("back", None, 1.1)))
    beside, nodes, a = fabric.gauge(), fabric.nodes, fabric.assumptions
    for size, mm, count in ((beside.across, STITCH, 120), (beside.along, ROW, 180)):
        length = count * mm * 1.1
        spread = 2 * a.piece_share**2 * float(nodes.weight @ nodes.tau**2)
        expected = math.sqrt((U / length) ** 2 + a.local_sd**2 + spread)
        assert size.log_mean == pytest.approx(math.log(1.1 * mm), abs=5e-4)
        # 1 %: the prior of 25 % narrows a little.
        assert size.sd == pytest.approx(expected, rel=0.01)
        assert size.assumed == ()
    pair = fabric.pair("back")
    assert not isinstance(pair, CannotSay)
    assert pair.across.mean[1] == pytest.approx(beside.across.log_mean, abs=1e-12)
    # Both lie about one intercept, so their difference has twice the variance of a piece.
    difference = pair.across.cov[0, 0] + pair.across.cov[1, 1] - 2 * pair.across.cov[0, 1]
    own = a.piece_share**2 * float(nodes.weight @ nodes.tau**2)
    assert difference == pytest.approx(2 * own, rel=0.2)
    assert fabric.prior("across").sd == pytest.approx(beside.across.sd, rel=1e-9)


def test_two_of_them_are_of_one_dial_and_tell_how_pieces_spread():
    near = fit_fabric((piece("back", None), piece("front", None, 1.002)))
    far = fit_fabric((piece("back", None), piece("front", None, 1.06)))
    assert near.gauge().across.sd < far.gauge().across.sd
    assert far.gauge().across.value == pytest.approx(STITCH * math.sqrt(1.06), rel=2e-3)


def test_a_swatch_without_a_dial_is_still_one_of_the_others():
    unsaid = Specimen("e", None, False, (SpecimenStage("blocked", Estimate(STITCH * 1.1, 0.02)),))
    assert not unsaid.apart
    alone, beside = fit_fabric(SWATCHES), fit_fabric((*SWATCHES, unsaid))
    assert beside.gauge(7.0).across.value > alone.gauge(7.0).across.value
    assert not beside.apart


def test_a_change_in_finishing_is_learned_from_it_too():
    both = SpecimenStage("rested", Estimate(STITCH * 1.1 * 1.02, 0.02)), SpecimenStage("blocked", Estimate(4.84, 0.02))
    back = Specimen("back", None, True, both)
    told = fit_fabric((*SWATCHES, back)).change("rested").across
    untold = fit_fabric(SWATCHES).change("rested").across
    assert told.high - told.low < 0.7 * (untold.high - untold.low)
    assert np.isclose(told.value, 100 * (1 / 1.02 - 1), atol=1.0)
