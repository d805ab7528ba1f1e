"""The fabric model against dense oracles, published restricted-likelihood fits and its own promises."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq, minimize_scalar
from scipy.stats import multivariate_normal, norm

from fitcheck.estimates.fabric import grid as fabric_grid
from fitcheck.estimates.fabric.assumptions import Assumptions, FabricError, FinishedShift, Prior, assumptions_for
from fitcheck.estimates.fabric.dials import reachable_dials
from fitcheck.estimates.fabric.fit import fit_fabric
from fitcheck.estimates.fabric.specimens import PointReading, Specimen, SpecimenStage
from fitcheck.estimates.numbers import CannotSay, Estimate
from tests.published.peers import FABRIC, kept


def size(mm: float, share: float = 0.005) -> Estimate:
    return Estimate(mm, share * mm)


def swatch(key: str, dial: float | None, across: float, along: float, **earlier: tuple[float, float]) -> Specimen:
    """Invented swatch: blocked sizes, and sizes at earlier stages by name."""
    stages = [SpecimenStage("blocked", size(across), size(along))]
    stages += [SpecimenStage(stage, size(w), size(h, 0.007)) for stage, (w, h) in earlier.items()]
    return Specimen(key, dial, False, tuple(stages))


THREE = (  # invented
    swatch("s6", 6.0, 4.05, 2.92, rested=(3.98, 3.05)),
    swatch("s7", 7.0, 4.43, 3.12, rested=(4.31, 3.27)),
    swatch("s8", 8.0, 4.66, 3.27, rested=(4.60, 3.40)),
)
STEEP = (  # invented: twice the slope that the prior expects, over four numbers
    swatch("s5", 5.0, 3.20, 2.40, rested=(3.12, 2.50)),
    swatch("s7", 7.0, 4.40, 3.10, rested=(4.31, 3.22)),
    swatch("s9", 9.0, 5.55, 3.85, rested=(5.47, 4.02)),
)
BACK = Specimen(  # invented: a back that is only rested, and a front that was blocked
    "back", 7.0, True, (SpecimenStage("rested", size(4.37), size(3.21)),)
)
FRONT = Specimen("front", 7.0, True, (SpecimenStage("blocked", size(4.47), size(3.05)),))


# ---- oracles: full covariance matrices, no shared code with the model ------------------------------------


class Dense:
    """All readings of one direction as one multivariate normal, given tau, tauC and the slope."""

    def __init__(self, specimens, direction, assumptions, targets=()):
        """Targets, to be told: ("next", dial), ("next rested", dial), ("own", key) or ("change", stage)."""
        a = assumptions
        centre = np.mean([s.dial for s in specimens])
        rows, self.y, self.v = [], [], []
        for s in specimens:
            for stage in s.stages:
                reading = getattr(stage, direction)
                rows.append((s.key, s.dial - centre, s.piece, stage.stage, 1.0))
                self.y.append(math.log(reading.value))
                self.v.append((reading.u / reading.value) ** 2)
        for kind, what in targets:
            if kind == "next":
                rows.append(("the next piece", what - centre, True, "blocked", 1.0))
            elif kind == "next rested":
                rows.append(("the next piece", what - centre, True, "rested", 1.0))
            elif kind == "own":
                s = next(s for s in specimens if s.key == what)
                rows.append((s.key, s.dial - centre, s.piece, "blocked", 1.0))
            else:
                rows.append(("the next piece", 0.0, False, what, 0.0))
            self.v.append(0.0)
        self.y, self.n = np.array(self.y), len(rows)
        size_prior, shift = a.size(direction), a.shift(direction)
        self.z = np.array([r[1] for r in rows])
        self.mean = np.array([r[4] * size_prior.mean + (shift.mean if r[2] else 0.0) for r in rows])
        self.base = np.diag(np.array(self.v))
        self.tau2, self.change2 = np.zeros((self.n, self.n)), np.zeros((self.n, self.n))
        self.whole = np.array([r[4] for r in rows])  # 0 for a change, which has no size of its own
        for i, p in enumerate(rows):
            sign_p = -1.0 if p[4] else 1.0  # a reading is eta - C, a change is +C
            if p[3] != "blocked":
                self.mean[i] += sign_p * a.change(p[3], direction).mean
            for j, q in enumerate(rows):
                sign_q = -1.0 if q[4] else 1.0
                self.base[i, j] += size_prior.sd**2 * p[4] * q[4] + (shift.sd**2 if p[2] and q[2] else 0.0)
                if p[0] == q[0] and p[4] and q[4]:
                    self.tau2[i, j] += (a.piece_share if p[2] else 1.0) ** 2
                if p[3] == q[3] != "blocked":
                    self.base[i, j] += sign_p * sign_q * a.change(p[3], direction).sd ** 2
                    self.change2[i, j] += sign_p * sign_q * (p[0] == q[0])

    def at(self, tau, tau_change, beta):
        """Means (B, n) and covariances (B, n, n) for arrays of the three."""
        means = self.mean + self.whole * np.log1p(np.outer(beta, self.z))
        return means, self.base + np.multiply.outer(tau**2, self.tau2) + np.multiply.outer(tau_change**2, self.change2)

    def condition(self, tau, tau_change, beta):
        """Log likelihood (B,), and target means (B, t) and covariances (B, t, t) given the readings."""
        means, covs = self.at(tau, tau_change, beta)
        k = len(self.y)
        seen, cross, latent = covs[:, :k, :k], covs[:, k:, :k], covs[:, k:, k:]
        off = self.y - means[:, :k]
        solved = np.linalg.solve(seen, np.concatenate([off[..., None], cross.transpose(0, 2, 1)], axis=2))
        quad = (off * solved[..., 0]).sum(-1)
        log_lik = -0.5 * (quad + np.linalg.slogdet(seen)[1] + k * math.log(2 * math.pi))
        target = means[:, k:] + (cross @ solved[..., :1])[..., 0]
        return log_lik, target, latent - cross @ solved[..., 1:]


class Brute:
    """The exact posterior on a plain grid of tau, tauC and both slopes, nothing made linear."""

    def __init__(self, specimens, assumptions, targets, counts=(20, 16, 91)):
        # Midpoints of equal steps in the root of tau; the slope over +-4.5 prior SDs.
        root = (np.arange(counts[0]) + 0.5) / counts[0]
        tau, tau_w = 0.11 * root**2, root
        root = (np.arange(counts[1]) + 0.5) / counts[1]
        change, change_w = 0.11 * root**2, root
        step = (np.arange(counts[2]) + 0.5) / counts[2]
        beta = assumptions.slope.mean + assumptions.slope.sd * 9 * (step - 0.5)
        T, U, B = (x.ravel() for x in np.meshgrid(tau, change, beta, indexing="ij"))
        prior = -0.5 * (tau[:, None] / assumptions.tau_scale) ** 2
        prior = prior - 0.5 * (change / assumptions.tau_change_scale) ** 2 + np.log(np.outer(tau_w, change_w))
        shape = (len(tau), len(change), len(beta))
        self.means, self.covs, joint = [], [], []
        for direction in ("across", "along"):
            log_lik, mean, cov = Dense(specimens, direction, assumptions, targets).condition(T, U, B)
            joint.append(log_lik.reshape(shape) + norm.logpdf(beta, assumptions.slope.mean, assumptions.slope.sd))
            self.means.append(mean)
            self.covs.append(cov)
        self.weights = []
        for c in range(2):
            other = np.logaddexp.reduce(joint[1 - c], axis=2)
            log = joint[c] + (other + prior)[..., None]
            weight = np.exp(log - log.max())
            self.weights.append((weight / weight.sum()).ravel())

    def quantile(self, c, target, probability):
        mean, sd = self.means[c][:, target], np.sqrt(self.covs[c][:, target, target])
        keep = self.weights[c] > 1e-10
        weight, mean, sd = self.weights[c][keep], mean[keep], sd[keep]
        return brentq(lambda x: weight @ norm.cdf(x, mean, sd) - probability, -3, 5, xtol=1e-10)

    def moments(self, c):
        mean = self.weights[c] @ self.means[c]
        off = self.means[c] - mean
        return mean, np.einsum("g,gij->ij", self.weights[c], self.covs[c]) + (self.weights[c] * off.T) @ off


def test_marginal_likelihood_equals_that_of_one_dense_normal_where_nothing_is_made_linear():
    assumptions = Assumptions(slope=Prior(0.07, 0.0))  # slope known: ln(1 + beta z) is a constant
    specimens = (*THREE, BACK, FRONT)
    table = fit_fabric(specimens, assumptions).table
    tau, change = np.array([0.001, 0.008, 0.03]), np.array([0.002, 0.01, 0.05])
    found = fabric_grid.log_density(table, tau, change, np.array([0.07, 0.07]))
    expected = np.zeros((3, 3))
    for k, s in enumerate(change):
        for j, t in enumerate(tau):
            expected[k, j] = -0.5 * ((t / 0.02) ** 2 + (s / 0.02) ** 2)
            for direction in ("across", "along"):
                dense = Dense(specimens, direction, assumptions)
                mean, cov = (x[0] for x in dense.at(np.array([t]), np.array([s]), np.array([0.07])))
                expected[k, j] += multivariate_normal(mean, cov).logpdf(dense.y)
    # Differences only: the model drops constants. 2e-6: a slope "known" has a floor of 1e-5 as its SD.
    assert found - found[0, 0] == pytest.approx(expected - expected[0, 0], abs=2e-6)


@pytest.mark.parametrize("swatches", [THREE, STEEP], ids=["ordinary slope", "steep slope"])
def test_every_answer_equals_the_exact_one_on_a_brute_force_grid_of_both_spreads_and_both_slopes(swatches):
    specimens, assumptions = (*swatches, BACK), Assumptions()
    fabric = fit_fabric(specimens, assumptions)
    wanted = (("next", 7.0), ("next", 8.5), ("own", "back"), ("change", "rested"), ("next rested", 7.0))
    brute = Brute(specimens, assumptions, wanted)
    sizes = [fabric.gauge(7.0), fabric.gauge(8.5), fabric.specimen("back")]
    rested = fabric.gauge(7.0, stage="rested")
    change = fabric.change("rested")
    for c, direction in enumerate(("across", "along")):
        for target, gauge in enumerate(sizes):
            got = getattr(gauge, direction)
            for probability, value in ((0.05, got.low), (0.5, got.value), (0.95, got.high)):
                # 0.02 points: where linear and curved slope part at one and a half dial numbers out.
                assert math.log(value) == pytest.approx(brute.quantile(c, target, probability), abs=2e-4)
        got = getattr(change, direction)
        for probability, value in ((0.05, got.low), (0.5, got.value), (0.95, got.high)):
            assert math.log1p(value / 100) == pytest.approx(brute.quantile(c, 3, probability), abs=1e-4)
        got = getattr(rested, direction)
        for probability, value in ((0.05, got.low), (0.95, got.high)):
            assert math.log(value) == pytest.approx(brute.quantile(c, 4, probability), abs=1e-4)
        mean, cov = brute.moments(c)
        pair = getattr(fabric.pair("back", 8.5), direction)
        assert pair.mean == pytest.approx(mean[[2, 1]], abs=2e-4)
        # 1 % of the variances: the same parting, in squares.
        scale = np.sqrt(np.outer(np.diag(pair.cov), np.diag(pair.cov)))
        assert pair.cov / scale == pytest.approx(cov[np.ix_([2, 1], [2, 1])] / scale, abs=0.01)
        assert pair.cov[0, 1] == pair.cov[1, 0] > 0


def test_limits_on_the_grid_are_good_to_a_thousandth_of_a_point(monkeypatch):
    specimens = (*THREE, BACK)
    coarse = fit_fabric(specimens)
    monkeypatch.setattr(fabric_grid, "TAU_NODES", 96)
    monkeypatch.setattr(fabric_grid, "CHANGE_NODES", 64)
    fine = fit_fabric(specimens)
    for ask in (lambda f: f.gauge(7.0), lambda f: f.specimen("back")):
        for direction in ("across", "along"):
            a, b = getattr(ask(coarse), direction), getattr(ask(fine), direction)
            assert math.log(a.low) == pytest.approx(math.log(b.low), abs=1e-5)
            assert math.log(a.high) == pytest.approx(math.log(b.high), abs=1e-5)


# ---- published restricted-likelihood fits -----------------------------------------------------------------


def _mode(values, variances, scale):
    """Mode of the tau grid under flat priors, of invented swatches whose ln(width) is value / scale."""
    flat = Assumptions(width_mm=1.0, size_sd=1e3, tau_scale=math.inf)  # a mean of ln 1 = 0 keeps all digits
    specimens = [
        Specimen(
            f"s{k}",
            7.0,
            False,
            (SpecimenStage("blocked", Estimate(math.exp(y / scale), math.exp(y / scale) * math.sqrt(v) / scale)),),
        )
        for k, (y, v) in enumerate(zip(values, variances, strict=True))
    ]
    fabric = fit_fabric(specimens, flat)

    def less(tau):
        density = fabric_grid.log_density(fabric.table, np.array([tau]), np.zeros(1), fabric.nodes.beta0)
        return -float(density[0, 0])

    found = minimize_scalar(
        less, bounds=(1e-6, fabric_grid.grid_top(fabric.table)), method="bounded", options={"xatol": 1e-10}
    )
    grid_mode = fabric.nodes.tau[np.argmin([less(tau) for tau in fabric.nodes.tau])]
    at = fabric_grid.log_density(fabric.table, np.array([found.x]), np.zeros(1), fabric.nodes.beta0)
    assert np.isfinite(at).all()
    return scale * float(found.x), scale * float(grid_mode), fabric


def test_mode_equals_the_published_reml_fit_of_unequal_variances():
    # Normand (1999) Statistics in Medicine 18, 321; REML tau^2 published with the metafor test suite.
    y = [-20.0, -2.0, -55.0, -71.0, -4.0, 1.0, 11.0, -10.0, 7.0]
    v = [40.586315, 2.046834, 15.280876, 150.222222, 20.192308, 1.22353, 95.375552, 8.032074, 20.693566]
    mode, grid_mode, _ = _mode(y, v, 1000.0)
    assert mode**2 == pytest.approx(685.1965, abs=0.003)  # the published tolerance; 4e-6 of the value
    assert grid_mode == pytest.approx(mode, rel=0.05)  # the nearest of 48 nodes


@pytest.mark.parametrize(
    ("groups", "sd_within", "sd_between", "tolerance", "scale"),
    [
        # Rail: Pinheiro & Bates (2000) Mixed-Effects Models in S and S-PLUS, published fit.
        (
            [[55, 53, 54], [26, 37, 32], [78, 91, 85], [92, 100, 96], [49, 51, 50], [80, 85, 83]],
            4.0208, 24.805, 0.0005, 1000.0,
        ),
        # Dyestuff: Davies (1947); fit published with the lme4 test suite.
        (
            [[1545, 1440, 1440, 1520, 1580], [1540, 1555, 1490, 1560, 1495], [1595, 1550, 1605, 1510, 1560],
             [1445, 1440, 1595, 1465, 1545], [1595, 1630, 1515, 1635, 1625], [1520, 1455, 1450, 1480, 1445]],
            49.5101, 42.0, 0.005, 1000.0,
        ),
    ],
)  # fmt: skip
def test_mode_equals_the_published_reml_fit_of_balanced_data(groups, sd_within, sd_between, tolerance, scale):
    means = [sum(group) / len(group) for group in groups]
    mode, _, _ = _mode(means, [sd_within**2 / len(group) for group in groups], scale)
    assert mode == pytest.approx(sd_between, abs=tolerance)


def test_mode_equals_reml_of_statsmodels_where_the_within_sd_is_taken_from_it():
    peer = kept()["fabric"]
    mode, _, _ = _mode(FABRIC.mean(1), [peer["within"] / 4] * 8, 100.0)
    assert mode**2 == pytest.approx(peer["between"], rel=1e-4)


# ---- zero, one, two swatches -------------------------------------------------------------------------------


def test_without_a_swatch_or_piece_the_gauge_cannot_be_said_and_the_change_is_the_assumed_prior():
    fabric = fit_fabric([])
    answer = fabric.gauge(7.0)
    assert isinstance(answer, CannotSay)
    assert answer.code == "no_specimen"
    assert isinstance(fabric.clicks([6, 7], 4.4, 0.1), CannotSay)
    change = fabric.change("rested").along
    assert change.basis == "assumed"
    assert change.specimens == 0
    # The prior by hand: ln(.97) +- .05, spread half-normal(.02), the tail integrated by a plain sum.
    tau = (np.arange(4000) + 0.5) / 4000 * 0.12
    weight = np.exp(-0.5 * (tau / 0.02) ** 2)
    weight /= weight.sum()
    low = brentq(lambda x: weight @ norm.cdf(x, math.log(0.97), np.hypot(0.05, tau)) - 0.05, -1, 1)
    assert math.log1p(change.low / 100) == pytest.approx(low, abs=1e-6)


def test_change_carries_the_sign_of_the_published_standard_and_comes_from_the_swatches():
    # ISO 5077:2007: 100 (after - before) / before, minus = shrinkage.
    exact = tuple(
        Specimen(f"s{k}", 7.0, False, (
            SpecimenStage("rested", size(4.0, 1e-4), size(3.0, 1e-4)),
            SpecimenStage("blocked", size(4.12, 1e-4), size(2.88, 1e-4)),
        ))
        for k in range(12)
    )  # fmt: skip
    change = fit_fabric(exact).change("rested")
    assert change.across.value == pytest.approx(3.0, abs=0.02)  # twelve exact swatches overrule the prior
    assert change.along.value == pytest.approx(-4.0, abs=0.02)
    assert change.across.basis == change.along.basis == "measured"
    assert change.across.specimens == 12


def test_one_swatch_leaves_the_slope_assumed_and_says_so_at_other_dials_only():
    fabric = fit_fabric(THREE[1:2])
    assert fabric.slope("across").share_from_data == pytest.approx(0.0, abs=1e-9)
    assert "slope" not in fabric.gauge(7.0).across.assumed
    assert "slope" in fabric.gauge(8.0).across.assumed
    assert fabric.gauge(8.0).across.basis == "mixed"
    assert fabric.gauge(8.0).across.value / fabric.gauge(7.0).across.value == pytest.approx(1.07, abs=1e-4)


def test_two_swatches_at_two_dials_say_what_share_of_the_slope_is_data():
    near = fit_fabric((THREE[1], swatch("t", 7.5, 4.58, 3.2)))
    wide = fit_fabric((THREE[0], THREE[2]))
    same = fit_fabric((THREE[1], swatch("t", 7.0, 4.40, 3.1)))
    assert same.slope("across").share_from_data == pytest.approx(0.0, abs=1e-9)
    assert 0 < near.slope("across").share_from_data < wide.slope("across").share_from_data < 1
    assert wide.slope("across").share_from_data > 0.5


def test_piece_shift_is_assumed_until_a_piece_was_measured_or_makes_were_finished():
    assert "piece_shift" in fit_fabric(THREE).gauge(7.0).across.assumed
    assert "piece_shift" not in fit_fabric(THREE).gauge(7.0, piece=False).across.assumed
    measured = fit_fabric((*THREE, FRONT)).gauge(7.0)
    assert measured.across.basis == "measured"
    assert measured.across.assumed == ()
    makes = assumptions_for(finished=[FinishedShift(Estimate(0.02, 0.004), None)])
    gauge = fit_fabric(THREE, makes).gauge(7.0)
    assert "piece_shift" not in gauge.across.assumed
    assert "piece_shift" in gauge.along.assumed


def test_swatches_never_read_blocked_answer_with_the_change_named_as_assumed():
    raw = Specimen("s", 7.0, False, (SpecimenStage("rested", size(4.3), size(3.2)),))
    gauge = fit_fabric([raw]).gauge(7.0, piece=False)
    assert gauge.across.assumed == ("change:rested",)
    assert gauge.along.value == pytest.approx(3.2 * 0.97, rel=0.003)
    assert gauge.along.high / gauge.along.low > math.exp(2 * 1.645 * 0.05)


# ---- pieces -----------------------------------------------------------------------------------------------


def test_a_piece_at_a_stage_that_no_swatch_has_cannot_be_carried_and_changes_nothing():
    raw = Specimen("raw", 7.0, True, (SpecimenStage("off_machine", size(5.5), size(4.4)),))
    fabric = fit_fabric((*THREE, raw))
    for answer in (fabric.specimen("raw"), fabric.pair("raw", 7.0)):
        assert isinstance(answer, CannotSay)
        assert answer.code == "cannot_carry"
    assert fabric.uncarried == ("raw",)
    without = fit_fabric(THREE).gauge(7.0).across
    assert fabric.gauge(7.0).across.low == pytest.approx(without.low, rel=1e-9)
    assert fabric.gauge(7.0).across.assumed == without.assumed


def test_an_unblocked_piece_is_carried_by_what_the_swatches_did_and_narrower_than_either_way_alone():
    fabric = fit_fabric((*THREE, BACK))
    carried = fabric.specimen("back")
    change = fabric.change("rested").across
    assert carried.across.basis == "measured"
    joint = math.log(carried.across.high / carried.across.low)
    # The change alone: its own interval and the reading's 0.5 %.
    by_change = math.hypot(math.log((100 + change.high) / (100 + change.low)), 2 * 1.645 * 0.005)
    by_line = fit_fabric(THREE).gauge(7.0).across
    assert joint < by_change
    assert joint < math.log(by_line.high / by_line.low)
    assert 4.37 * (1 + change.low / 100) < carried.across.value < 4.37 * (1 + change.high / 100)


def test_points_of_a_piece_tell_its_size_within_the_place_to_place_scatter():
    def back(*spans):
        points = [PointReading("across", n, Estimate(mm, 0.0)) for n, mm in spans]
        return Specimen("back", 7.0, True, (), tuple(points))

    one = fit_fabric([back((120, 528.0))]).specimen("back").across
    four = fit_fabric([back((120, 528.0), (100, 440.0), (80, 352.0), (60, 264.0))]).specimen("back").across
    assert one.value == pytest.approx(4.4, rel=0.001)
    assert one.sd == pytest.approx(0.007, rel=0.01)  # an exact reading of one place: lambda alone
    # Four places that agree exactly: (4 x .007^2 + 0) / (4 + 3), over four places.
    assert four.sd == pytest.approx(0.007 * math.sqrt(4 / 7) / 2, rel=0.01)


def test_points_of_an_unblocked_piece_are_carried_too():
    points = (PointReading("across", 120, Estimate(524.4, 2.0), "rested"),
              PointReading("along", 160, Estimate(513.6, 2.0), "rested"))  # fmt: skip
    fabric = fit_fabric((*THREE, Specimen("back", 7.0, True, (), points)))
    carried = fabric.specimen("back")
    assert carried.across.value == pytest.approx(
        524.4 / 120 * (1 + fabric.change("rested").across.value / 100), rel=0.006
    )
    assert carried.along.value < 513.6 / 160


def test_a_measured_back_moves_and_narrows_the_front():
    before = fit_fabric(THREE).gauge(7.0).across
    wide = tuple(PointReading("across", n, Estimate(n * 4.55, 2.5)) for n in (120, 118, 90, 42))
    fabric = fit_fabric((*THREE, Specimen("back", 7.0, True, (), wide)))
    after = fabric.gauge(7.0).across
    assert after.value > before.value * 1.005
    assert after.sd < before.sd
    pair = fabric.pair("back")
    assert pair.dial == 7.0
    assert 0 < pair.across.cov[0, 1] < pair.across.cov[1, 1]
    prior = fabric.prior("across", 7.0)
    assert prior.log_mean == pytest.approx(pair.across.mean[1], abs=1e-12)
    assert prior.sd**2 == pytest.approx(pair.across.cov[1, 1], rel=1e-9)


def test_the_spread_to_the_next_piece_is_as_little_known_as_that_between_pieces():
    """Eight equally likely spreads, the mean of whose squares is the variance of the next piece about this one."""
    pair = fit_fabric((*THREE, Specimen("back", 7.0, True, (), (PointReading("across", 120, Estimate(546, 2.5)),))))
    pair = pair.pair("back")
    cov = pair.across.cov
    assert np.mean(pair.spreads**2) == pytest.approx(cov[0, 0] + cov[1, 1] - 2 * cov[0, 1], rel=1e-9)
    assert list(pair.spreads) == sorted(pair.spreads)
    assert pair.spreads[-1] > 2 * pair.spreads[0]
    assert 0 < pair.own_sd**2 < cov[1, 1]


def test_equally_likely_parts_of_a_known_spread_are_that_spread():
    weight = np.array([0.25, 0.5, 0.25])
    assert fabric_grid.equal_parts(np.full(3, 0.01), weight, 4) == pytest.approx([0.01] * 4)
    assert fabric_grid.equal_parts(np.array([3.0, 1.0, 2.0]), weight, 4) == pytest.approx([1.0, 1.0, 2.0, 3.0])


def test_finished_makes_replace_the_prior_of_the_shift():
    shift = assumptions_for(finished=[FinishedShift(Estimate(0.02, 0.003), Estimate(-0.01, 0.003))] * 6)
    # By hand: .015 = hypot(.012, .009); 1/own = 6944.4, each make 1/(.009^2 + .003^2) = 11111.1.
    assert shift.shift_across.mean == pytest.approx(6 * 11111.111 * 0.02 / (6944.444 + 6 * 11111.111), rel=1e-6)
    assert shift.shift_across.sd == pytest.approx(math.sqrt(1 / (6944.444 + 66666.667) + 0.009**2), rel=1e-6)
    wide, known = fit_fabric(THREE).gauge(7.0).across, fit_fabric(THREE, shift).gauge(7.0).across
    assert known.value > wide.value * 1.015
    assert known.sd < wide.sd
    assert shift.shift_known == ("across", "along")


def test_the_shift_of_a_make_is_what_it_shows_without_its_prior():
    swatches = [swatch(f"s{k}", 7.0, 4.4, 3.1) for k in range(8)]
    pieces = [
        Specimen(f"p{k}", 7.0, True, (SpecimenStage("blocked", size(4.4 * 1.02), size(3.1 * 0.99)),)) for k in range(4)
    ]
    shift = fit_fabric(swatches + pieces).piece_shift()
    assert shift.across.value == pytest.approx(math.log(1.02), abs=2e-4)  # the prior pulled it to zero, now undone
    assert shift.along.value == pytest.approx(math.log(0.99), abs=2e-4)
    assert 0.005 * math.sqrt(1 / 8 + 1 / 4) < shift.across.u < 0.006  # the readings' own part is the least
    assert fit_fabric(swatches).piece_shift() == FinishedShift(None, None)


def test_directions_share_the_spread_and_nothing_else():
    moved = tuple(
        replace(s, stages=tuple(replace(t, along=size(t.along.value * 1.05)) for t in s.stages)) for s in THREE
    )
    same = tuple(replace(s, stages=tuple(replace(t, along=size(t.along.value)) for t in s.stages)) for s in THREE)
    noisy = tuple(
        replace(s, stages=tuple(replace(t, along=size(t.along.value * f)) for t in s.stages))
        for s, f in zip(THREE, (1.06, 0.94, 1.06), strict=True)
    )
    base = fit_fabric(same).gauge(7.0).across
    # The prior of the size weighs 5 % against an SD of 25 %: it moves the spread's weights a little, no more.
    assert fit_fabric(moved).gauge(7.0).across.low == pytest.approx(base.low, rel=2e-5)
    assert fit_fabric(noisy).gauge(7.0).across.sd > 1.2 * base.sd


# ---- dial -------------------------------------------------------------------------------------------------


def test_clicks_give_gauge_chance_and_whether_they_were_swatched():
    fabric = fit_fabric(THREE)
    clicks = fabric.clicks(reachable_dials(5, 9), 4.40, 0.06)
    assert len(clicks) == 13
    assert [round(c.dial, 2) for c in clicks if c.outside] == [5.0, 5.33, 5.67, 8.33, 8.67, 9.0]
    assert [round(c.dial, 2) for c in clicks if c.good] == [7.0]
    assert max(clicks, key=lambda c: c.chance_within).dial == pytest.approx(7.0)
    for click in clicks:
        predicted, alone = click.gauge.across, fabric.gauge(click.dial).across
        assert predicted.low == pytest.approx(alone.low, rel=1e-9)
        # The chance from a normal of the same mean and SD: the mixture's tails differ by less than 3 points.
        edge = np.log([4.34, 4.46])
        normal = np.diff(norm.cdf(edge, predicted.log_mean, predicted.sd))[0]
        assert click.chance_within == pytest.approx(normal, abs=0.03)


def test_clicks_of_the_row_height_look_along():
    clicks = fit_fabric(THREE).clicks([6.0, 7.0, 8.0], 3.27, 0.05, direction="along")
    assert max(clicks, key=lambda c: c.chance_within).dial == 8.0


def test_a_machine_offers_thirds_between_its_numbers():
    assert reachable_dials(7, 8) == pytest.approx([7, 7 + 1 / 3, 7 + 2 / 3, 8])  # two marks between numbers [C]
    assert reachable_dials(0, 10)[-1] == 10.0
    assert len(reachable_dials(0, 10)) == 31


class Machine:
    lowest, highest, marks = 6.0, 8.0, 2


def test_a_machine_may_stand_for_its_clicks():
    fabric = fit_fabric(THREE)
    assert [c.dial for c in fabric.clicks(Machine(), 4.4, 0.1)] == list(reachable_dials(6, 8))


def test_dials_that_were_not_written_down_answer_only_without_a_dial():
    nameless = fit_fabric([swatch("a", None, 4.4, 3.1), swatch("b", None, 4.42, 3.12)])
    assert nameless.gauge().across.value == pytest.approx(4.41, rel=0.002)
    for answer in (nameless.gauge(7.0), nameless.clicks([7.0], 4.4, 0.1)):
        assert isinstance(answer, CannotSay)
        assert answer.code == "no_dial"
    with_dial = fit_fabric(THREE).gauge(7.0).across
    odd = fit_fabric((*THREE, swatch("b", None, 4.9, 3.5))).gauge(7.0).across
    assert odd.value < 1.01 * with_dial.value  # a swatch of a dial unknown does not speak for dial 7


def test_a_dial_beyond_the_models_reach_is_refused_with_a_reason():
    answer = fit_fabric(THREE).gauge(-6.0)
    assert isinstance(answer, CannotSay)
    assert answer.code == "dial_too_far"
    assert len(fit_fabric(THREE).clicks([-6.0, 7.0], 4.4, 0.1)) == 1


def test_the_next_swatch_is_where_a_refit_with_it_is_narrowest():
    fabric = fit_fabric(THREE[1:2])  # one swatch at dial 7, pieces wanted at dial 8
    advice = fabric.next_swatch([6.0, 7.0, 8.0], 1080.0, [30, 60], at=8.0)
    assert advice.dial == 8.0
    assert advice.now_mm > advice.interval_mm
    by_size = {(o.dial, o.stitches): o.interval_mm for o in advice.options}
    assert all(by_size[d, 60] < by_size[d, 30] for d in (6.0, 7.0, 8.0))
    now = fabric.gauge(8.0).across
    assert advice.now_mm == pytest.approx(1080 * 2 * math.sinh(math.log(now.high / now.low) / 2), rel=0.01)
    for dial in (6.0, 8.0):
        width = fabric.gauge(dial, piece=False).across.value
        length = 30 * width
        # Three readings, each laid anew: tape 1.5 mm and .4 %, laying .4 %, resolution 1 mm (assumed).
        u = math.sqrt((1.5**2 + 2 * (0.004 * length) ** 2) / 3 + 1 / 12) / length
        new = Specimen("new", dial, False, (SpecimenStage("blocked", Estimate(width, u * width)),))
        refit = fit_fabric((THREE[1], new)).gauge(8.0).across
        refitted = 1080 * 2 * math.sinh(math.log(refit.high / refit.low) / 2)
        # The refit also learns from two swatches that agree how alike they are: narrower, by a fifth at most.
        assert 0.8 * by_size[dial, 30] < refitted < 1.02 * by_size[dial, 30]


def test_where_larger_swatches_gain_less_than_a_millimetre_the_small_one_is_proposed():
    many = tuple(swatch(f"s{k}", d, 4.4 + 0.3 * (d - 7), 3.1) for k, d in enumerate((6.0, 7.0, 8.0) * 3))
    advice = fit_fabric(many).next_swatch([6.0, 7.0, 8.0], 540.0, [60, 30], at=7.0)
    assert advice.stitches == 30
    assert advice.now_mm - advice.interval_mm < 1.0


def test_the_first_swatch_is_proposed_from_the_assumptions_alone():
    advice = fit_fabric([]).next_swatch([6.0, 7.0, 8.0], 1080.0, [40])
    assert advice.dial == 7.0
    assert advice.interval_mm < advice.now_mm / 2


# ---- the answers' form ------------------------------------------------------------------------------------


def test_gauge_per_10_cm_and_per_4_in_turn_the_interval_over():
    gauge = fit_fabric(THREE).gauge(7.0)
    stitches, rows = gauge.per_10cm()
    assert stitches.low == pytest.approx(100 / gauge.across.high)
    assert rows.high == pytest.approx(100 / gauge.along.low)
    assert gauge.per_4in()[0].value / stitches.value == pytest.approx(1.016)
    assert gauge.across.level == 0.90


def test_gauge_at_an_earlier_stage_undoes_the_change():
    fabric = fit_fabric(THREE)
    rested, blocked = fabric.gauge(7.0, stage="rested"), fabric.gauge(7.0)
    change = fabric.change("rested").along.value
    assert rested.along.value * (1 + change / 100) == pytest.approx(blocked.along.value, rel=2e-4)
    assert fabric.gauge(7.0, stage="hung").code == "no_such_stage"


def test_fits_of_the_same_specimens_are_equal_in_any_order_and_to_the_last_bit_in_one():
    one, two = fit_fabric((*THREE, BACK)).gauge(7.2), fit_fabric((*THREE, BACK)).gauge(7.2)
    assert one == two
    turned = fit_fabric((BACK, *reversed(THREE))).gauge(7.2)
    assert turned.across.low == pytest.approx(one.across.low, rel=1e-9)


def test_fibres_bring_their_own_change_and_unknown_ones_keep_the_wide_prior():
    # From memory, a rule of thumb: cotton -3..-10 % along, 0..+5 % across, gentle hand wash, dried flat.
    cotton = fit_fabric([], assumptions_for("cotton")).change("rested")
    assert -7.0 < cotton.along.value < -6.0
    assert 2.0 < cotton.across.value < 3.0
    generic, other = (
        fit_fabric([]).change("rested"),
        fit_fabric([], assumptions_for("nettle")).change("rested"),
    )
    assert other == generic
    assert cotton.along.high - cotton.along.low < generic.along.high - generic.along.low
    # Common practice, no source: off the machine to washed is -10..-15 % along, another number than rested.
    off = fit_fabric([]).change("off_machine").along
    assert -15 < off.value < -10


def test_exact_readings_and_equal_swatches_stay_finite():
    exact = [Specimen(f"s{k}", 7.0, False, (SpecimenStage("blocked", Estimate(4.4), Estimate(3.1)),)) for k in range(3)]
    gauge = fit_fabric(exact).gauge(7.0, piece=False)
    assert gauge.across.low < 4.4 < gauge.across.high


@pytest.mark.parametrize(
    ("specimens", "field"),
    [
        ((THREE[0], THREE[0]), "specimens[1].key"),
        ((Specimen("a", math.nan),), "specimens[0].dial"),
        ((Specimen("a", 7.0, False, (SpecimenStage("blocked", Estimate(-4.4, 0.1)),)),), "stages[0].across"),
        (
            (Specimen("a", 7.0, False, (SpecimenStage("blocked", None, Estimate(3.1, -1)),)),),
            "stages[0].along",
        ),
        ((Specimen("a", 7.0, False, (SpecimenStage("x"), SpecimenStage("x"))),), "stages[1]"),
        ((Specimen("a", 7.0, True, (), (PointReading("across", 0, size(500)),)),), "points[0].count"),
        ((Specimen("a", 7.0, True, (), (PointReading("up", 9, size(500)),)),), "points[0].direction"),
    ],
)
def test_what_cannot_be_is_refused_with_its_place(specimens, field):
    with pytest.raises(FabricError) as error:
        fit_fabric(specimens)
    assert field in str(error.value)
    assert "read" in str(error.value)


def test_unknown_names_and_wishes_that_cannot_be_are_refused():
    fabric = fit_fabric(THREE)
    with pytest.raises(FabricError, match="s6, s7, s8"):
        fabric.specimen("s9")
    with pytest.raises(FabricError, match="wanted_mm"):
        fabric.clicks([7.0], 4.4, 0.0)
    with pytest.raises(FabricError, match="dials"):
        fabric.clicks([], 4.4, 0.1)
    with pytest.raises(FabricError, match="chest_mm"):
        fabric.next_swatch([7.0], -1.0, [30])
    with pytest.raises(FabricError, match="stage"):
        fabric.change("blocked")
    with pytest.raises(FabricError, match="dial"):
        reachable_dials(8, 7)
    with pytest.raises(FabricError, match="tau_change_scale"):
        Assumptions(tau_change_scale=math.inf)


@settings(max_examples=40)
@given(
    st.lists(
        st.tuples(
            st.sampled_from([None, 4.0, 6.0, 7.0, 7 + 1 / 3, 9.0]),
            st.booleans(),
            st.floats(2.0, 9.0),
            st.floats(1.5, 7.0),
            st.floats(0.0, 0.05),
            st.sampled_from(["blocked", "rested", "off_machine", "both"]),
        ),
        max_size=7,
    )
)
def test_whatever_was_measured_every_answer_is_finite_and_ordered_or_says_why_not(rows):
    specimens = []
    for k, (dial, piece, w, h, u, stage) in enumerate(rows):
        names = ("rested", "blocked") if stage == "both" else (stage,)
        stages = tuple(SpecimenStage(name, size(w, u), size(h, u) if k % 3 else None) for name in names)
        specimens.append(Specimen(f"s{k}", dial, piece, stages))
    fabric = fit_fabric(specimens)
    answers = [fabric.gauge(), fabric.gauge(7.0), *(fabric.specimen(s.key) for s in specimens)]
    for answer in answers:
        if isinstance(answer, CannotSay):
            assert answer.code in {"no_specimen", "no_dial", "dial_too_far", "cannot_carry"}
            continue
        for one in (answer.across, answer.along):
            assert 0 < one.low < one.value < one.high < math.inf
            assert one.sd > 0
    for stage in ("rested", "off_machine", "worn"):
        change = fabric.change(stage)
        assert -100 < change.across.low < change.across.value < change.across.high < math.inf
    assert fabric.nodes.weight.sum() == pytest.approx(1.0)
