"""What explains the lengths of a piece: one gauge, a miscount, the cast-on, two gauges, or cannot say."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from fitcheck.advice.judge.explanation import explain_piece
from fitcheck.advice.judge.points import PiecePoint
from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.piece import PieceError, StitchPrior

COUNTS = {"hem": 120, "chest": 120, "shoulder_width": 98, "neck_width": 44}


class Known:
    def __init__(self, width, sd):
        self.width, self.sd = width, sd

    def prior(self, direction):
        return StitchPrior(math.log(self.width), self.sd) if direction == "across" else None


def piece(lengths=None, tape=1.0, counts=COUNTS, direction="across", **more):
    lengths = lengths or {}
    return [
        PiecePoint(key, direction, Estimate(4.4 * n), Estimate(lengths.get(key, 4.4 * n), tape), 6.0, n, **more)
        for key, n in counts.items()
    ]


def test_one_stitch_size_everywhere_is_one_gauge_even_when_it_is_not_the_wanted_one():
    found = explain_piece(piece({key: 4.6 * n for key, n in COUNTS.items()}))
    assert found.code == "one_gauge"
    assert found.direction is None
    assert found.flagged == ()
    assert found.sizes["across"].value == pytest.approx(4.6, abs=0.02)
    assert found.weights["one_gauge"] > 0.8
    assert sum(found.weights.values()) == pytest.approx(1)


def test_a_miscount_is_named_with_its_stitches_and_range():
    found = explain_piece(piece({"chest": 4.4 * 116}))
    assert (found.code, found.point, found.direction) == ("miscount", "chest", "across")
    assert found.stitches == -4
    assert found.stitches_low <= -4 <= found.stitches_high < 0
    assert found.directions["across"].point_weights["chest"] > 0.9
    # The size comes from the others: the miscounted point does not pull it.
    assert found.sizes["across"].value == pytest.approx(4.4, abs=0.02)


def test_leave_one_out_distances_agree_with_leaving_one_out():
    prior, local_sd, tape = StitchPrior(math.log(4.4), 0.02), 0.007, 1.0
    lengths = {"hem": 530.0, "chest": 524.0, "shoulder_width": 433.0, "neck_width": 196.0}
    found = explain_piece(piece(lengths), Known(4.4, 0.02)).directions["across"]
    N, F = np.array(list(COUNTS.values()), float), np.array([lengths[key] for key in COUNTS])
    typical = np.median(F / N)
    noise = tape**2 + (local_sd * N * typical) ** 2
    for j, key in enumerate(COUNTS):
        keep = np.arange(4) != j
        precision = 1 / (prior.sd * 4.4) ** 2 + (N[keep] ** 2 / noise[keep]).sum()
        w = (4.4 / (prior.sd * 4.4) ** 2 + (N[keep] * F[keep] / noise[keep]).sum()) / precision
        z = (F[j] - N[j] * w) / math.sqrt(noise[j] + N[j] ** 2 / precision)
        assert found.z[key] == pytest.approx(z, rel=1e-6)


def test_the_limit_is_the_normal_quantile_shared_among_the_points():
    assert explain_piece(piece()).directions["across"].limit == pytest.approx(2.807, abs=1e-3)  # z(.9975)


def test_a_common_edge_offset_of_a_few_millimetres_is_no_miscount():
    found = explain_piece(piece({key: 4.4 * n + 6.0 for key, n in COUNTS.items()}), Known(4.4, 0.01))
    assert found.code == "one_gauge"
    edge = found.directions["across"].edge_offset_mm
    assert edge.interval(0.90).low > 0
    assert 6.0 in edge.interval(0.90)


def test_a_wrong_cast_on_moves_every_point_by_the_same_stitches():
    found = explain_piece(piece({key: 4.4 * (n + 6) for key, n in COUNTS.items()}, tape=0.5), Known(4.4, 0.01))
    assert found.code == "cast_on"
    assert found.stitches_low <= 6 <= found.stitches_high


def test_a_second_gauge_from_some_point_on_is_seen():
    second = {key: 4.4 * 0.94 * COUNTS[key] for key in ("shoulder_width", "neck_width")}
    found = explain_piece(piece(second))
    assert (found.code, found.point) == ("two_gauges", "chest")
    assert found.directions["across"].percent == pytest.approx(-6, abs=1.5)
    assert found.stitches is None


def test_the_weights_are_those_of_the_normal_likelihoods_of_each_explanation():
    # A slip of 3 stitches at any count (0.15 shared), of the cast-on (0.03), a step of 3 % between two gauges that has
    # two points on either side (0.03): each adds its own variance to stitch size, edge offset of 4 mm, place and tape.
    lengths = {"hem": 530.0, "chest": 524.0, "shoulder_width": 433.0, "neck_width": 196.0}
    found = explain_piece(piece(lengths), Known(4.4, 0.02)).directions["across"]
    n, mm = np.array(list(COUNTS.values()), float), np.array([lengths[key] for key in COUNTS])
    typical, ones = np.median(mm / n), np.ones(4)
    usual = (0.02 * 4.4) ** 2 * np.outer(n, n) + 16.0 * np.outer(ones, ones)
    usual += np.diag(1.0 + (0.007 * n * typical) ** 2)

    def likelihood(column, variance):
        covariance = usual + variance * np.outer(column, column)
        return multivariate_normal(4.4 * n, covariance).pdf(mm)

    weights = {
        "one_gauge": 0.79 * likelihood(ones, 0.0),
        "miscount": sum(0.15 / 4 * likelihood(typical * at, 9.0) for at in np.eye(4)),
        "cast_on": 0.03 * likelihood(typical * ones, 9.0),
        "two_gauges": 0.03 * likelihood(typical * n * (np.arange(4) > 1), 0.03**2),
    }
    total = sum(weights.values())
    for code, weight in weights.items():
        assert found.weights[code] == pytest.approx(weight / total, rel=1e-6)


def test_less_than_a_stitch_is_never_a_miscount():
    found = explain_piece(piece({"neck_width": 4.4 * 44 + 4.0}, tape=0.1), local_sd=0.0005)
    assert abs(found.directions["across"].z["neck_width"]) > found.directions["across"].limit
    assert found.code == "one_gauge"


def test_the_two_directions_are_told_apart():
    rows = piece({"b": 4.4 * 118}, counts={"a": 190, "b": 126, "c": 66}, direction="along")
    found = explain_piece([*piece(), *rows])
    assert found.flagged == ("along",)
    assert found.direction == "along"
    assert found.point == "b"
    assert found.directions["across"].code == "one_gauge"


def test_a_doubted_direction_leads_over_one_that_stands_out_by_less_than_a_stitch():
    near = piece({"neck_width": 4.4 * 44 + 4.0}, tape=0.1)
    rows = piece({"b": 4.4 * 118}, tape=3.0, counts={"a": 190, "b": 126, "c": 66}, direction="along")
    found = explain_piece([*near, *rows], local_sd=0.0005)
    across, along = found.directions["across"], found.directions["along"]
    assert max(map(abs, across.z.values())) > max(map(abs, along.z.values()))
    assert (found.direction, found.point) == ("along", "b")


@pytest.mark.parametrize(
    "points",
    [
        [],
        piece(counts={"chest": 120}),
        piece(pinned=True),
        [PiecePoint(p.key, "across", p.wanted, p.measured, 6.0) for p in piece()],
        [PiecePoint(p.key, "across", p.wanted, None, 6.0, p.count, overhang=Estimate(0, 2)) for p in piece()],
    ],
    ids=["nothing", "one point", "pinned", "no counts", "overhangs only"],
)
def test_too_little_is_cannot_say(points):
    found = explain_piece(points)
    assert found.code == "cannot_say"
    assert found.sizes == {}


def test_one_point_can_be_doubted_where_the_fabric_is_known():
    one = piece({"chest": 4.4 * 112}, counts={"chest": 120})
    assert explain_piece(one, Known(4.4, 0.01)).point == "chest"


def test_an_impossible_count_is_refused_by_name():
    with pytest.raises(PieceError, match=r"chest\.count: read -120"):
        explain_piece(piece({"chest": 528.0}, counts={"chest": -120, "hem": 120}))
