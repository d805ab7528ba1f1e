"""Pooling over swatches against published random-effects fits; the sources stand in check_values.json."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from fitcheck.estimates.numbers import Estimate
from fitcheck.notebook.pooled_change import PooledChange, pooled_change

Published = Callable[[str], Any]


def _flat(y: list[float], v: list[float]) -> PooledChange:
    return pooled_change(y, v, prior_sd=math.inf, tau_scale=None)


def _weighted_mean(y: list[float], v: list[float], tau2: float) -> float:
    weights = [1 / (variance + tau2) for variance in v]
    return math.fsum(w * value for w, value in zip(weights, y, strict=True)) / math.fsum(weights)


def _balanced(groups: list[list[float]]) -> tuple[list[float], list[float], float]:
    """Means of equally large groups, the variance of each mean, and the standard deviation within groups."""
    table = np.array(groups, dtype=float)
    within = float(table.var(axis=1, ddof=1).mean())
    return table.mean(axis=1).tolist(), [within / table.shape[1]] * len(table), math.sqrt(within)


def test_the_stroke_trials_of_normand_have_the_published_reml_estimate(published: Published) -> None:
    # Normand (1999) Statistics in Medicine 18, 321.
    entry = published("normand1999")
    tau2 = _flat(**entry.data).tau_mode ** 2
    assert tau2 == pytest.approx(entry.expected["reml_tau2"], abs=1e-4)
    assert entry.agrees("reml_mu", _weighted_mean(**entry.data, tau2=tau2))


@pytest.mark.parametrize("name", ["normand1999", "kacker2004"])
def test_without_spread_between_swatches_the_mean_is_the_published_fixed_effect(
    name: str, published: Published
) -> None:
    entry = published(name)
    pooled = pooled_change(**entry.data, prior_sd=math.inf, tau_scale=1e-7)
    assert isinstance(pooled.mean, Estimate)
    assert entry.agrees("fe_mu", pooled.mean.value)


def test_the_comparison_of_kacker_has_the_score_of_reml_equal_to_zero(published: Published) -> None:
    # For Kacker (2004) Metrologia 41, 132 no published REML value is at hand. Its defining equation
    # (textbook form): tau^2 = sum w^2 [(y - mu)^2 - v] / sum w^2 + 1/sum w. It lies between the two published
    # estimates of moments.
    entry = published("kacker2004")
    y, v = np.array(entry.data["y"]), np.array(entry.data["v"])
    tau2 = _flat(**entry.data).tau_mode ** 2
    w = 1 / (v + tau2)
    mu = (w * y).sum() / w.sum()
    fixed_point = (w**2 * ((y - mu) ** 2 - v)).sum() / (w**2).sum() + 1 / w.sum()
    assert tau2 == pytest.approx(fixed_point, abs=1e-6)
    assert entry.expected["dl_tau2"] < tau2 < entry.expected["pm_tau2"]


@pytest.mark.parametrize("name", ["rail", "dyestuff"])
def test_balanced_groups_have_the_published_spread_between_them(name: str, published: Published) -> None:
    # Pinheiro & Bates (2000), rail travel times; Davies (1947), dyestuff yields.
    entry = published(name)
    y, v, within = _balanced(entry.data["groups"])
    pooled = _flat(y, v)
    assert isinstance(pooled.mean, Estimate)
    assert entry.agrees("sd_b", pooled.tau_mode)
    assert entry.agrees("sd_w", within)
    assert entry.agrees("mean", pooled.mean.value)


def test_rail_has_the_published_standard_error_of_the_mean(published: Published) -> None:
    entry = published("rail")
    y, v, _ = _balanced(entry.data["groups"])
    tau2 = _flat(y, v).tau_mode ** 2
    assert entry.agrees("se", math.sqrt((v[0] + tau2) / len(y)))


def test_the_certified_mean_squares_of_sirstv_give_the_spread_between_instruments(
    published: Published,
) -> None:
    # NIST StRD SiRstv: tau^2 = (MSB - MSW)/n from the certified mean squares.
    entry = published("nist_sirstv")
    y, v, within = _balanced(entry.data["groups"])
    assert entry.agrees("sd_w", within)
    certified = (entry.expected["MSB"] - entry.expected["MSW"]) / 5
    assert _flat(y, v).tau_mode ** 2 == pytest.approx(certified, abs=1e-9)


def test_the_gums_voltage_standard_has_the_published_spread_between_days(published: Published) -> None:
    # JCGM 100:2008 H.5, Table H.9: ten days with five observations each.
    entry = published("gum_h5")
    n = entry.data["n"]
    within = math.fsum(s * s for s in entry.data["s_within_uV"]) / len(entry.data["s_within_uV"])
    y = [float(value) for value in entry.data["mean_minus_10V_uV"]]
    pooled = _flat(y, [within / n] * len(y))
    assert isinstance(pooled.mean, Estimate)
    assert entry.agrees("s_pool", math.sqrt(within))
    assert entry.agrees("s_B", pooled.tau_mode)
    assert entry.agrees("mean", pooled.mean.value)
    assert entry.agrees("u", math.sqrt((within / n + pooled.tau_mode**2) / len(y)))
