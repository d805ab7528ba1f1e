"""Two one-sided tests against published values and against statsmodels as a second source (`peers.py`)."""

from __future__ import annotations

import statistics

import pytest

from fitcheck.advice.judge.verdict import judge_difference
from fitcheck.estimates.numbers import Estimate
from tests.published.peers import CLINIC, MARGINS, kept


def mean_of(values):
    return Estimate(statistics.fmean(values), statistics.stdev(values) / len(values) ** 0.5, float(len(values) - 1))


def test_clinic_data_give_the_published_standard_error_degrees_of_freedom_p_value_and_interval(published):
    # Source: clinic data, values kept with the statsmodels test suite, computed by an independent R package.
    case = published("tost_var1")
    verdict = judge_difference(mean_of(case.data["b"]), mean_of(case.data["a"]), case.data["margin"])
    limits = verdict.estimate.interval(0.90)
    assert case.agrees("se", verdict.u)
    assert case.agrees("df", verdict.dof)
    assert case.agrees("p", verdict.p_value)
    assert case.agrees("lo", limits.low)
    assert case.agrees("hi", limits.high)
    assert verdict.code == "too_close"  # p .0485 would pass at 5 %, not at 2.2 % a look


@pytest.mark.parametrize(("margin", "p"), list(zip(MARGINS, kept()["two one-sided tests"], strict=True)))
def test_the_label_and_p_value_agree_with_statsmodels_welch_test(margin, p):
    # Source: statsmodels.stats.weightstats.ttost_ind, usevar="unequal" (a peer implementation).
    verdict = judge_difference(mean_of(CLINIC["b"]), mean_of(CLINIC["a"]), margin)
    assert verdict.p_value == pytest.approx(p, rel=1e-9)  # both from the same t, rounding only
    assert (verdict.code == "matches") == (p <= 0.022)
