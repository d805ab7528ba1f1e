"""One rule of counts: what the decision has is what the counts for the rest answer to the same tables."""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import pytest

from fitcheck.advice.decide.garment import Garment
from fitcheck.advice.decide.sewing import sew, unchanged
from fitcheck.advice.decide.stage import here
from fitcheck.advice.decide.state import Other
from fitcheck.advice.decide.ways import Ways, plain
from fitcheck.advice.loss import expected_loss_even
from fitcheck.advice.rest.counts import counts_for_rest
from fitcheck.advice.rest.programme import Choice, Programme
from fitcheck.estimates.student import normal_cdf
from fitcheck.records.makes import Costs
from tests.advice.backs import back

AWAY = 60
"""Counts on either side of the planned one that are laid before the counts for the rest: all that there are."""


def made(rng: random.Random) -> Garment:
    """A back whose front is planned, on a bed or none, in repeats or none, with more allowed on one side or not."""
    state = back(
        {key: rng.gauss(0, 9) for key in ("chest", "hem")},
        u=rng.uniform(0.5, 3.0),
        planned={key: rng.choice((116, 118, 119, 120, 122)) for key in ("chest", "hem")},
        needles=rng.choice((None, 121, 200)),
    )
    repeat = rng.choice(((1, 0), (1, 0), (3, 0), (6, 2)))
    points = tuple(
        replace(
            point,
            repeat=repeat if point.key in ("chest", "hem") else (1, 0),
            tolerance_mm=(rng.choice((6.0, 10.0)), rng.choice((6.0, 10.0, 25.0, np.inf))),
            weight=rng.choice((0.5, 1.0, 2.0)),
        )
        for point in state.points
    )
    return Garment(replace(state, points=points), Costs())


def table(counts, off, s, garment: Garment, j: int, planned: int) -> Choice:
    """A count with what each candidate loses, both sides the smaller one, and how likely it fits the real sides."""
    aim, (low, high), weight = garment.aim[j], garment.points[j].tolerance_mm, garment.weight[j]
    losses = expected_loss_even(off, s, aim, weight)
    fits = normal_cdf((high - off) / s) - normal_cdf((-low - off) / s)
    both = (dict(zip(counts, each.tolist(), strict=True)) for each in (losses, fits))
    return Choice(garment.points[j].key, *both, planned=planned)


def kept(garment: Garment, j: int, planned: int, first: int, step: int) -> list[int]:
    """The counts of a series that the bed holds, and the planned one: at once unless the bed is too small for it."""
    most = garment.state.needles or 10_000
    near = [n for n in range(planned - AWAY, planned + AWAY) if n % step == first % step and n <= most]
    return sorted({*near, *([planned] if planned <= most else [])})


def test_the_front_of_a_make_gets_what_the_counts_for_the_rest_answer():
    rng = random.Random(41)
    changed = uneven = 0
    for _ in range(250):
        garment = made(rng)
        ways, stage = Ways([plain(garment, "carry_on", 0.0)]), here(garment)
        width = sew(garment, ways, stage).width[0, 0]
        bare = unchanged(garment, sew(garment, ways, stage))
        for j in garment.answering:
            planned, size = int(garment.planned[j]), float(garment.other_size[j])
            counts = kept(garment, j, planned, int(garment.other_first[j]), int(garment.other_step[j]))
            low = garment.length[j] - garment.too_large[j]
            within = [n for n in counts if n == planned or low <= n * size <= garment.length[j] + garment.too_large[j]]
            off = bare.mean[0, 0, j] + garment.other_share[j] * (np.array(within) - planned) * size
            choice = table(within, off, np.sqrt(bare.var[0, 0, j]), garment, int(j), planned)
            taken = counts_for_rest(Programme((choice,))).counts[choice.key]
            least = max(garment.least[j], stage.doubt[j])
            if abs(taken - planned) * size < least and planned in within:
                taken = planned
            assert planned + round(width[j] / size) == taken, (garment.points[j], counts)
            changed += taken != planned
            uneven += taken != planned and garment.low[j] != garment.high[j]
    assert changed > 100
    assert uneven > 50


@pytest.mark.parametrize("shift", [1.0, pytest.param(0.97, marks=pytest.mark.full)])
def test_a_piece_that_is_knitted_anew_gets_what_the_counts_for_the_rest_answer(shift):
    rng = random.Random(43)
    changed = 0
    for _ in range(120):
        state = made(rng).state
        garment = Garment(replace(state, shift={"across": shift, "along": shift}), Costs())
        for j in range(garment.J):
            size, own = garment.size[j] * shift, int(garment.count[j])
            counts = kept(garment, j, own, int(garment.first[j]), int(garment.step[j]))
            counts = counts if garment.across[j] else list(range(own - AWAY, own + AWAY))
            off = np.array(counts) * size - garment.wanted[j]
            relative = garment.next_sd[j] ** 2 + garment.state.local_sd**2
            s = np.sqrt(garment.wanted_var[j] + garment.wanted[j] ** 2 * relative)
            choice = table(counts, off, s, garment, j, own)
            taken = counts_for_rest(Programme((choice,))).counts[choice.key]
            if abs(garment.d[j]) < garment.least[j] and own in counts:
                taken = own
            assert int(garment.counts_again[j]) == taken, garment.points[j]
            changed += taken != own
    assert changed > 60


@pytest.mark.parametrize(
    ("off", "count"),
    [
        (0.0, 128),  # 528 mm in stitches of 4.15: 127.2, and 128 is the nearest even count
        (-12.0, 130),  # 540 mm, so that both together are as wide as they are wanted
        (30.0, 126),  # 498 mm would lie 60 from it; 4 cm below it is 518, and 126 is the first even count from there
        (60.0, 128),  # so far off it cannot be made up for
    ],
)
def test_a_piece_that_is_knitted_anew_beside_a_knitted_one_makes_up_for_it(off, count):
    """A flat width is half of each: the knitted one stands with what it measures (fit rules 4 and 27)."""
    state = back({"chest": -30.0}, u=1.0)
    knitted = (Other("front", 0.5, 0.0, known=(off, 1.0)),)
    points = tuple(replace(point, others=knitted) if point.key == "chest" else point for point in state.points)
    garment = Garment(replace(state, points=points), Costs())
    assert garment.counts_again[garment.place["chest"]] == count
    to_come = Garment(state, Costs())
    assert to_come.counts_again[to_come.place["chest"]] == 128, "what is to come answers itself"
