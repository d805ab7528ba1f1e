"""Two one-sided tests against published values and against statsmodels as a second source."""

from __future__ import annotations

import statistics

import pytest

from fitcheck.advice.judge.verdict import judge_difference
from fitcheck.estimates.numbers import Estimate


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


@pytest.mark.parametrize("margin", [0.4, 0.6, 0.71, 0.9, (0.3, 0.8), (1.5, 0.75)])
def test_the_label_and_p_value_agree_with_statsmodels_welch_test(published, margin):
    from statsmodels.stats.weightstats import ttost_ind  # 2 s, and each process of a run collects every test

    # Source: statsmodels.stats.weightstats.ttost_ind, usevar="unequal" (a peer implementation).
    data = published("tost_var1").data
    narrower, wider = margin if isinstance(margin, tuple) else (margin, margin)
    p, _, _ = ttost_ind(data["a"], data["b"], -narrower, wider, usevar="unequal")
    verdict = judge_difference(mean_of(data["b"]), mean_of(data["a"]), margin)
    assert verdict.p_value == pytest.approx(p, rel=1e-9)  # both from the same t, rounding only
    assert (verdict.code == "matches") == (p <= 0.022)
