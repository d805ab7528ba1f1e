"""One-way components of variance against certified and published values."""

from __future__ import annotations

import pytest

from fitcheck.estimates.readings import one_way


def test_nist_sirstv_silicon_resistivity(published):
    """NIST Statistical Reference Datasets, analysis of variance, SiRstv: certified values."""
    nist = published("nist_sirstv")
    v = one_way(nist.data["groups"])
    assert nist.agrees("MSB", v.msb)
    assert nist.agrees("MSW", v.msw)
    assert nist.agrees("F", v.f)
    assert nist.agrees("sd_w", v.sd_within)
    assert (v.dof_between, v.dof_within) == (4, 20)


def test_rail_travel_times(published):
    """Pinheiro & Bates (2000), Rail: the published REML fit is the balanced closed form."""
    rail = published("rail")
    v = one_way(rail.data["groups"])
    assert rail.agrees("sd_b", v.sd_between)
    assert rail.agrees("sd_w", v.sd_within)
    assert rail.agrees("mean", v.mean)
    assert rail.agrees("se", v.u_mean)


def test_dyestuff_yields(published):
    """Davies (1947), Dyestuff: fit published with the lme4 test suite."""
    dye = published("dyestuff")
    v = one_way(dye.data["groups"])
    assert dye.agrees("sd_b", v.sd_between)
    assert dye.agrees("sd_w", v.sd_within)
    assert dye.agrees("mean", v.mean)


def test_groups_that_differ_less_than_their_repeats_have_no_component_between():
    """tau^2 = max(0, (MSB - MSW)/n): here MSB = 0, by hand MSW = (2 + 8)/2 (GUM H.5)."""
    v = one_way([[1.0, 3.0], [0.0, 4.0]])
    assert v.msw == pytest.approx(5.0)
    assert v.sd_between == 0.0
