"""What explains the lengths of a piece: one gauge, a slip in the counts, two gauges, the dial, its shape."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from fitcheck.advice.judge.doubts import doubt_of
from fitcheck.advice.judge.explanation import explain_piece
from fitcheck.advice.judge.points import PiecePoint
from fitcheck.advice.judge.weighed import AtDial
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
    weights = found.directions["across"].weights
    assert max(weights, key=lambda code: weights[code]) == "miscount"
    # The size comes from the others: the miscounted point does not pull it.
    assert found.sizes["across"].value == pytest.approx(4.4, abs=0.02)


def test_leave_one_out_distances_agree_with_leaving_one_out():
    prior, local_sd, tape = StitchPrior(math.log(4.4), 0.02), 0.007, 1.0
    lengths = {"hem": 530.0, "chest": 524.0, "shoulder_width": 433.0, "neck_width": 196.0}
    found = explain_piece(piece(lengths), Known(4.4, 0.02)).directions["across"]
    N, F = np.array(list(COUNTS.values()), float), np.array([lengths[key] for key in COUNTS])
    typical = np.median(F / N)
    noise = tape**2 + (local_sd * N * typical) ** 2
    noise[0] += (0.02 * N[0] * typical) ** 2  # the hem has an edge of its own
    for j, key in enumerate(COUNTS):
        keep = np.arange(4) != j
        precision = 1 / (prior.sd * 4.4) ** 2 + (N[keep] ** 2 / noise[keep]).sum()
        w = (4.4 / (prior.sd * 4.4) ** 2 + (N[keep] * F[keep] / noise[keep]).sum()) / precision
        z = (F[j] - N[j] * w) / math.sqrt(noise[j] + N[j] ** 2 / precision)
        assert found.z[key] == pytest.approx(z, rel=1e-6)


def test_the_limit_is_the_normal_quantile_shared_among_the_points():
    assert explain_piece(piece()).directions["across"].limit == pytest.approx(2.807, abs=1e-3)  # z(.9975)


@pytest.mark.parametrize("mm", [3.0, 6.0, 9.0])
def test_a_common_edge_offset_of_a_few_millimetres_is_no_miscount(mm):
    found = explain_piece(piece({key: 4.4 * n + mm for key, n in COUNTS.items()}), Known(4.4, 0.01))
    assert found.code == "one_gauge"
    assert found.directions["across"].weights["one_gauge"] > 0.8


def test_a_wrong_cast_on_moves_every_point_by_the_same_stitches():
    found = explain_piece(piece({key: 4.4 * (n + 6) for key, n in COUNTS.items()}, tape=0.5), Known(4.4, 0.01))
    assert found.code == "cast_on"
    assert found.stitches_low <= 6 <= found.stitches_high


def test_a_second_gauge_from_some_point_on_is_seen_once_the_chest_was_counted():
    second = piece({key: 4.4 * 0.94 * COUNTS[key] for key in ("shoulder_width", "neck_width")})
    counted = [replace(point, counted=point.key == "chest") for point in second]
    told = explain_piece(counted).directions["across"]
    assert (told.code, told.point, told.points) == ("two_gauges", "chest", ("shoulder_width", "neck_width"))
    assert told.percent == pytest.approx(-6, abs=1.5)
    assert told.stitches is None
    assert told.own_sizes["shoulder_width"] == pytest.approx(4.4 * 0.94, rel=0.01)
    # Before it is counted, seven stitches at hem and chest alike explain the widths as well: the chest is asked for.
    assert doubt_of(explain_piece(second)).about == "chest"


def test_the_weights_are_those_of_the_normal_likelihoods_of_each_explanation():
    # A slip of 3 stitches at any count but the hem's, whose edge is its own, or of 5 % below the underarm (0.22 shared
    # by the four), of the cast-on (0.03, and as much where it was made good in the neck), a step of 3 % between two
    # gauges that has two points on either side (0.03): each adds its own variance to stitch size, edge offset of 4 mm,
    # place and tape.
    lengths = {"hem": 530.0, "chest": 524.0, "shoulder_width": 433.0, "neck_width": 196.0}
    found = explain_piece(piece(lengths), Known(4.4, 0.02)).directions["across"]
    n, mm = np.array(list(COUNTS.values()), float), np.array([lengths[key] for key in COUNTS])
    typical, ones = np.median(mm / n), np.ones(4)
    usual = (0.02 * 4.4) ** 2 * np.outer(n, n) + 16.0 * np.outer(ones, ones)
    usual += np.diag(1.0 + (np.array([0.02, 0, 0, 0]) ** 2 + 0.007**2) * (n * typical) ** 2)

    def likelihood(column, variance):
        covariance = usual + variance * np.outer(column, column)
        return multivariate_normal(4.4 * n, covariance).pdf(mm)

    weights = {
        "one_gauge": 0.69 * likelihood(ones, 0.0),
        "miscount": sum(0.22 / 4 * likelihood(typical * at, 9.0) for at in np.eye(4)[1:]),
        "zone": 0.22 / 4 * likelihood(typical * np.array([1, 1, 0, 0]), 36.0),
        "cast_on": sum(0.03 * likelihood(typical * (np.arange(4) < end), 36.0) for end in (3, 4)),
        "two_gauges": 0.03 * likelihood(typical * n * (np.arange(4) > 1), 0.03**2),
    }
    total = sum(weights.values())
    for code, weight in weights.items():
        assert found.weights[code] == pytest.approx(weight / total, rel=1e-6)


ROWS = {"to_underarm": 122, "armhole_depth": 66, "body_length": 196}


class Swatched(Known):
    """A fabric with swatches at two dials."""

    def __init__(self, relaxed=True, sd=0.015):
        super().__init__(4.4, sd)
        self.relaxed = relaxed
        self.other_dials = [
            AtDial(dial, StitchPrior(math.log(width), sd), StitchPrior(math.log(height), sd))
            for dial, width, height in (("6", 4.1, 2.95), ("8", 4.7, 3.25))
        ]

    def prior(self, direction):
        return StitchPrior(math.log(4.4 if direction == "across" else 3.1), self.sd)


def whole_piece(stitch=4.4, row=3.1, rows=None, **more):
    along = {key: row * (ROWS[key] + (rows or {}).get(key, 0)) for key in ROWS}
    return [
        *piece({key: stitch * n for key, n in COUNTS.items()}, **more),
        *piece(along, counts=ROWS, direction="along", **more),
    ]


def test_the_weights_of_what_is_off_in_both_directions_are_those_of_the_normal_likelihoods():
    points, fabric = whole_piece(4.55, 3.14), Swatched()
    found = explain_piece(points, fabric)
    directions = {"across": (COUNTS, 4.4, 4.55), "along": (ROWS, 3.1, 3.14)}
    covariances, means, lengths, columns = {}, {}, {}, {}
    for direction, (counts, w0, size) in directions.items():
        n = np.array(list(counts.values()), float)
        lengths[direction] = size * n
        own = np.array([0.02 if key == "hem" else 0.0 for key in counts])
        noise = np.diag(1.0 + (own**2 + 0.007**2) * (n * size) ** 2)
        covariances[direction] = noise + 16.0 + (0.015 * w0) ** 2 * np.outer(n, n)
        means[direction], columns[direction] = w0 * n, w0 * n
    at = {"6": (4.1, 2.95), "8": (4.7, 3.25)}

    def under(dial):
        density = 1.0
        for place, direction in enumerate(directions):
            w0 = directions[direction][1] if dial is None else at[dial][place]
            n = means[direction] / directions[direction][1]
            covariance = covariances[direction]
            covariance = covariance + ((0.015 * w0) ** 2 - (0.015 * directions[direction][1]) ** 2) * np.outer(n, n)
            density *= multivariate_normal(w0 * n, covariance).pdf(lengths[direction])
        return density

    both = np.concatenate([lengths["across"], lengths["along"]])
    mean = np.concatenate([means["across"], means["along"]])
    joint = np.zeros((7, 7))
    joint[:4, :4], joint[4:, 4:] = covariances["across"], covariances["along"]
    pull = np.concatenate([-columns["across"], columns["along"]])
    dial = sum(0.02 * under(dial) for dial in at)
    shape = 0.05 * multivariate_normal(mean, joint + 0.03**2 * np.outer(pull, pull)).pdf(both)
    across = found.directions["across"].weights
    assert across["another_dial"] / across["out_of_shape"] == pytest.approx(dial / shape, rel=1e-6)
    # One gauge in both directions: 0.69 each, beside what the whole piece can be.
    alone = (1 - 0.04 - 0.05) * 0.69**2 * under(None)
    along = found.directions["along"].weights
    neither = across["one_gauge"] * along["one_gauge"] / (1 - across["another_dial"] - across["out_of_shape"])
    assert across["another_dial"] / neither == pytest.approx(dial / alone, rel=1e-6)
    assert sum(across.values()) == pytest.approx(1)
    assert sum(along.values()) == pytest.approx(1)


def test_stitches_missing_at_hem_and_chest_alike_are_a_slip_of_the_zone():
    for off in (-4, -8):
        found = explain_piece(piece({"hem": 4.4 * (120 + off), "chest": 4.4 * (120 + off)}))
        assert (found.code, found.point, found.stitches) == ("zone", "chest", off)
        assert found.directions["across"].points == ("hem", "chest")
        assert found.directions["across"].in_doubt
        doubt = doubt_of(found)
        assert (doubt.code, doubt.about, doubt.stitches) == ("miscount", "chest", off)
        assert doubt.suspects == {"hem", "chest"}


def test_rows_missing_below_the_underarm_show_in_both_lengths_and_are_not_the_armholes():
    points = whole_piece(rows={"to_underarm": -10, "body_length": -10})
    found = explain_piece(points, Swatched())
    assert (found.code, found.direction, found.point, found.stitches) == ("zone", "along", "to_underarm", -10)
    assert found.directions["along"].points == ("to_underarm", "body_length")
    assert doubt_of(found).about == "to_underarm"
    # Counted, the armhole is out of it even where no swatch tells the height of a row.
    counted = [replace(point, counted=point.key == "armhole_depth") for point in points]
    assert explain_piece(counted).point == "to_underarm"


def test_a_hem_that_is_wider_or_narrower_than_its_stitches_is_no_slip():
    for off in (-0.04, 0.03):
        found = explain_piece(piece({"hem": 4.4 * 120 * (1 + off)}))
        assert found.code == "one_gauge"
        assert all(suspect.points != ("hem",) for suspect in found.directions["across"].suspects)


def test_a_counted_point_is_no_suspect_nor_is_a_slip_that_would_move_it():
    off = piece({"hem": 4.4 * 112, "chest": 4.4 * 112})
    counted = [replace(point, counted=point.key == "chest") for point in off]
    told = explain_piece(counted).directions["across"]
    assert not any("chest" in suspect.points for suspect in told.suspects)
    assert told.weights["zone"] == 0
    assert told.weights["cast_on"] == 0
    everything = [replace(point, counted=True) for point in off]
    found = explain_piece(everything)
    assert found.directions["across"].suspects == ()
    assert doubt_of(found) is None
    assert found.code == "two_gauges"


def test_both_sizes_where_another_dial_has_them_are_another_dial():
    found = explain_piece(whole_piece(4.7, 3.25), Swatched())
    assert (found.code, found.directions["across"].dial) == ("another_dial", "8")
    assert found.directions["along"].code == "another_dial"
    assert (doubt_of(found).code, doubt_of(found).dial) == ("another_dial", "8")
    # The height is where a tighter dial has it: that is no dial, which moves both the same way.
    assert explain_piece(whole_piece(4.7, 2.95), Swatched()).directions["across"].weights["another_dial"] < 0.05


def test_a_piece_pulled_long_is_out_of_shape_where_something_tells_its_shape_at_rest():
    pulled = whole_piece(4.4 * math.exp(-0.05), 3.1 * math.exp(0.05))
    found = explain_piece(pulled, Swatched())
    assert found.code == "out_of_shape"
    assert found.pulled == pytest.approx(0.05, abs=0.01)
    assert doubt_of(found).code == "out_of_shape"
    other_way = whole_piece(4.4 * math.exp(0.05), 3.1 * math.exp(-0.05))
    assert explain_piece(other_way, Swatched()).pulled == pytest.approx(-0.05, abs=0.01)
    assert "out_of_shape" not in explain_piece(pulled, Known(4.4, 0.015)).weights
    for unknown in (explain_piece(pulled, Swatched(relaxed=False)), explain_piece(pulled)):
        assert unknown.weights.get("out_of_shape", 0.0) == 0.0
        assert unknown.pulled == 0.0


def test_a_pull_of_less_than_three_in_a_hundred_is_no_gate():
    slight = whole_piece(4.4 * math.exp(-0.025), 3.1 * math.exp(0.025))
    found = explain_piece(slight, Swatched(sd=0.005))
    assert found.directions["across"].weights["out_of_shape"] > 0.5
    assert found.pulled == 0.0


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
