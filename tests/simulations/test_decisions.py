"""Simulated makes with known truth: what the decision costs against one who knows everything, and whether what it
says of chances and losses is what happens.

Truths simulated: a back whose stitch and row size are off from what was planned by N(0, s) each, points inside
the piece by N(0, 0.5 %), 3 readings of 3 readings' layings on piece and garment, tape and laying as assumed
(about 3 mm a reading), catalogue tolerances and costs. When the advice is to measure again, a round of three more
readings a side is added, at most three looks, and each costs what it costs. What is knitted next comes out with the
piece-to-piece spread that is assumed; a piece that is knitted again, blocked again or ripped back is read in three
layings, and the front is then knitted by what the advice on it says.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from typing import NamedTuple

import numpy as np
import pytest

from fitcheck.advice.decide.decision import DEFAULT_COSTS, Action, Recommendation, recommend
from fitcheck.advice.decide.others import Beside
from fitcheck.advice.decide.situation import decision_state
from fitcheck.advice.decide.state import PIECE_TO_PIECE, Other
from fitcheck.advice.decide.ways import SPRINGS_BACK
from fitcheck.advice.judge.points import HowRead, PiecePoint
from fitcheck.advice.judge.verdict import judge_piece
from fitcheck.advice.loss import loss
from fitcheck.advice.stretch import STRETCH_PRICE
from fitcheck.estimates.piece import LOCAL_SD
from fitcheck.estimates.readings import ReadingSet, estimate_readings, pool_repeatability
from fitcheck.records.points import POINTS
from tests.advice.backs import COUNTS, SIZES, wanted_mm

pytestmark = pytest.mark.simulation

SHARED = [key for key in COUNTS if (up := POINTS[key].make_up) is not None and up.by == "other_body_piece"]
WANTED = {key: wanted_mm(key) for key in COUNTS}


class Table:
    """One simulated back on the table, with its garment, read round by round."""

    def __init__(
        self,
        rng: np.random.Generator,
        piece: dict[str, float],
        stitch: dict[str, float],
        counts: dict[str, int] = COUNTS,
    ) -> None:
        self.rng, self.piece, self.stitch, self.counts = rng, piece, stitch, counts
        self.readings: dict[str, tuple[list[float], list[float]]] = {key: ([], []) for key in COUNTS}

    def read(self, times: int) -> None:
        for key, sides in self.readings.items():
            for side, length in zip(sides, (self.piece[key], WANTED[key]), strict=True):
                laying = self.rng.normal(0.0, 0.004 * length, times)
                side.extend(length + laying + self.rng.normal(0.0, np.hypot(1.5, 0.004 * length), times))

    def advised(self, looks: int) -> Recommendation:
        pool = pool_repeatability([ReadingSet(v, range(len(v))) for sides in self.readings.values() for v in sides])
        points = []
        for key, sides in self.readings.items():
            mine, theirs = (estimate_readings(v, laying=range(len(v)), resolution_mm=1.0, pool=pool) for v in sides)
            how = [
                HowRead(float(np.hypot(pool.s_mm(one.value), pool.laying_mm(one.value))), len(v), 1.0)
                for one, v in zip((mine, theirs), sides, strict=True)
            ]
            points.append(
                PiecePoint(
                    key,
                    POINTS[key].direction,
                    theirs,
                    mine,
                    POINTS[key].tolerance,
                    self.counts[key],
                    piece_read=how[0],
                    reference_read=how[1],
                )
            )
        around = Beside(
            {key: (Other("front", 0.5, float("nan"), planned=COUNTS[key]),) for key in SHARED},
            dict.fromkeys(SHARED, 0.5),
        )
        state = decision_state(points, judge_piece(points, looks=looks), around=around)
        return recommend(replace(state, looks=looks, holds=True))


def knitted(rng: np.random.Generator, gauge_sd: float, local_sd: float) -> Table:
    """A back of a fabric that is off from what was planned."""
    off = {direction: rng.normal(0.0, gauge_sd) if gauge_sd else 0.0 for direction in SIZES}
    piece = {
        key: WANTED[key] * np.exp(off[POINTS[key].direction] + rng.normal(0.0, local_sd) * bool(local_sd))
        for key in COUNTS
    }
    return Table(rng, piece, {direction: SIZES[direction] * np.exp(off[direction]) for direction in SIZES})


class Sewn(NamedTuple):
    """A sweater that was made by a plan: how far out every point is [mm], and the work of it."""

    off: dict[str, float]
    work: float

    @property
    def loss(self) -> float:
        """Work, and what misfits cost [works of a back]."""
        misfits = (float(loss(off, *POINTS[key].tolerance, POINTS[key].weight)) for key, off in self.off.items())
        return self.work + sum(misfits)

    @property
    def fits(self) -> bool:
        """Whether every point lies inside what is allowed."""
        return all(-POINTS[key].tolerance[0] <= off <= POINTS[key].tolerance[1] for key, off in self.off.items())


def made(table: Table, plan: Action) -> Sewn:
    """Do what a plan says, literally; what was mended is read again, and the rest is done by what is then advised.

    It is kept then: nothing is ripped or knitted once more, what was ripped may be blocked larger, and its lower end
    waits for what is read.
    """
    if plan.code not in ("knit_again", "block_again", "rip_back"):
        return sewn_up(table, plan)
    again = new_back(table, plan) if plan.code == "knit_again" else mended(table, plan)
    again.read(3)
    keeps = ("carry_on", "other_counts", "alter_hem", *(("block_again",) if plan.code == "rip_back" else ()))
    kept = [one for one in again.advised(3).actions if one.code in keeps]
    rest = min((one for one in kept if one.expected_loss is not None), key=lambda one: one.expected_loss or 0.0)
    sewn = made(again, rest)
    at_the_end = any(one.by == "hem" for one in plan.alterations) and plan.code != "knit_again"
    return sewn._replace(work=plan.cost - at_the_end * DEFAULT_COSTS.alter_hem + sewn.work)


def new_back(table: Table, plan: Action) -> Table:
    """The back knitted again."""
    rng = table.rng
    # What the front gets beside it waits for what is read of the new back.
    counts = COUNTS | {one.point: one.count for one in plan.alterations if one.count and one.by == "this_piece"}
    off = {direction: rng.normal(0.0, PIECE_TO_PIECE) for direction in SIZES}
    piece = {
        key: counts[key]
        * table.stitch[POINTS[key].direction]
        * (1 + off[POINTS[key].direction] + rng.normal(0.0, LOCAL_SD))
        for key in COUNTS
    }
    stitch = {direction: table.stitch[direction] * (1 + off[direction]) for direction in SIZES}
    return Table(rng, piece, stitch, counts)


def mended(table: Table, plan: Action) -> Table:
    """The back blocked again, and all that is still to come alike; or ripped back and knitted upward."""
    rng, piece, counts = table.rng, dict(table.piece), dict(table.counts)
    changed = {one.point: one for one in plan.alterations}
    stretch = dict.fromkeys(SIZES, 1.0)
    if plan.stretch:
        direction, share = plan.stretch
        other = "along" if direction == "across" else "across"
        stays = 1 - rng.normal(SPRINGS_BACK, 0.2)
        stretch = {direction: 1 + share * stays, other: 1 - STRETCH_PRICE * share * stays}
        piece = {key: mm * stretch[POINTS[key].direction] for key, mm in piece.items()}
    # In their order, for each draws: a set of texts has another order in every process.
    anew = [
        key for key in piece if plan.rip and POINTS[key].above_underarm and (plan.rip != "neck" or key == "neck_width")
    ]
    before = dict(piece)
    for key in anew:
        if key in changed and changed[key].by == "this_piece":
            counts[key] = changed[key].count or counts[key]
        piece[key] = counts[key] * table.stitch[POINTS[key].direction] * (1 + rng.normal(0.0, LOCAL_SD))
    if "armhole_depth" in anew:
        piece["body_length"] += piece["armhole_depth"] - before["armhole_depth"]
        counts["body_length"] += counts["armhole_depth"] - table.counts["armhole_depth"]
    return Table(rng, piece, {direction: table.stitch[direction] * stretch[direction] for direction in SIZES}, counts)


def sewn_up(table: Table, plan: Action) -> Sewn:
    """Knit the front by a plan, and sew it up."""
    rng, piece = table.rng, table.piece
    changed = {one.point: one for one in plan.alterations}
    next_stitch = table.stitch["across"] * (1 + rng.normal(0.0, PIECE_TO_PIECE))
    off = {}
    for key, mm in piece.items():
        d = mm - WANTED[key]
        one = changed.get(key)
        if key in SHARED:
            count = one.count if one is not None and one.by == "other_body_piece" and one.count else COUNTS[key]
            front = count * next_stitch * (1 + rng.normal(0.0, LOCAL_SD))
            d = (d + front - WANTED[key]) / 2
        elif one is not None and one.by != "this_piece":
            # An armhole is as deep as the mean of both pieces.
            d += one.mm / 2 if one.by == "front_rows_and_cap" else one.mm
        off[key] = d
    return Sewn(off, plan.cost)


class Played(NamedTuple):
    """A sweater played to its end: first advice, the plan, what it came to, and what others came to."""

    first: str
    plan: Action
    sewn: Sewn
    losses: dict[str, float]


def play(rng: np.random.Generator, gauge_sd: float, local_sd: float) -> Played:
    table = knitted(rng, gauge_sd, local_sd)
    table.read(3)
    looks, tape = 1, 0.0
    found = table.advised(looks)
    first = found.action.code
    while found.action.code == "measure_again":
        looks, tape = looks + 1, tape + DEFAULT_COSTS.measure
        table.read(3)
        found = table.advised(looks)
    sewn = made(table, found.then)
    knowing = min(made(table, one).loss for one in found.actions if one.impossible is None and one.cost is not None)
    plain = made(table, Action("carry_on", 0.0)).loss
    return Played(first, found.then, sewn, {"rule": tape + sewn.loss, "knowing": knowing, "carry on always": plain})


def counted(codes: list[str]) -> dict[str, int]:
    """How often each code came."""
    return {code: codes.count(code) for code in sorted(set(codes))}


def test_a_perfect_back_gets_no_deed_on_itself(draws):
    """Model 6: in 97 of a hundred; and the front stays within two stitches of what was planned in 90."""
    rng = np.random.default_rng(20261)
    played = [play(rng, 0.0, 0.0) for _ in range(draws.of(400))]
    firsts = [one.first for one in played]
    print(f"\nperfect back, 3 + 3 readings, first advice of {len(firsts)}: {counted(firsts)}")
    touched = sum(one.plan.code not in ("carry_on", "other_counts") for one in played)
    assert touched <= (0.03 + draws.wider(0.009)) * len(played)
    far = [one for one in played for change in one.plan.alterations if abs(change.stitches or 0) > 2]
    assert len(far) <= (0.10 + draws.wider(0.015)) * len(played)


@pytest.mark.parametrize(
    ("gauge_sd", "sweaters", "error"), [(0.01, 1000, 0.01), (0.02, 1000, 0.01), (0.03, 5000, 0.006)]
)
def test_regret_over_the_best_of_its_own_ways_is_at_most_a_tenth(draws, gauge_sd, sweaters, error):
    rng = np.random.default_rng(int(1000 * gauge_sd))
    played = [play(rng, gauge_sd, 0.005) for _ in range(draws.of(sweaters))]
    mean = {name: float(np.mean([one.losses[name] for one in played])) for name in played[0].losses}
    plans = [one.plan.code for one in played]
    print(f"\n{100 * gauge_sd:.0f} %: {mean}  {counted(plans)}")
    assert mean["rule"] < mean["carry on always"]
    # One who knows how every way of its own will come out, luck included: of one sweater its SD is .4. With a gauge off
    # by 3 % it lies at the aim (.098 +- .006), which a thousand sweaters are too few to tell; a standard error is left.
    assert mean["rule"] - mean["knowing"] <= 0.10 + error + draws.wider(error)


def test_what_is_said_of_chance_and_loss_is_what_happens(draws):
    """The advised deed is done on the sweater; what was said and what came agree on average, deed by deed.

    Nothing is known of the fabric beforehand but this piece: truths are drawn wide, so that its readings speak.
    """
    rng = np.random.default_rng(77)
    said: dict[str, list[tuple[float, float]]] = defaultdict(list)
    happened: dict[str, list[tuple[float, float]]] = defaultdict(list)
    for _ in range(draws.of(1500)):
        table = knitted(rng, 0.05, 0.005)
        table.read(3)
        plan = table.advised(3).then
        assert plan.chance is not None
        assert plan.expected_loss is not None
        sewn = made(table, plan)
        said[plan.code].append((plan.chance, min(plan.expected_loss, 4.0)))
        happened[plan.code].append((float(sewn.fits), min(sewn.loss, 4.0)))
    print()
    for code, pairs in said.items():
        told, came = np.mean(pairs, axis=0), np.mean(happened[code], axis=0)
        print(f"  {code:13} n {len(pairs):4}  chance {told[0]:.2f} {came[0]:.2f}   loss {told[1]:.2f} {came[1]:.2f}")
        if len(pairs) >= 20:
            spread = float(told[0] * (1 - told[0]) / len(pairs)) ** 0.5
            assert abs(told[0] - came[0]) <= 0.06 + 3 * spread, code
