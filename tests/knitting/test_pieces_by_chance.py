"""Pieces made by chance: each can be knitted line by line, ends as planned, and its edges are those of its acts.

Bodies, half fronts, drop shoulders, sleeves, raglans and side panels with their mirror images. The replay reads the
lines of a plan's sheet and nothing else; it shares no code with the plans.
"""

from __future__ import annotations

from collections import Counter
from random import Random
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitcheck.knitting.amounts import amount_of
from fitcheck.knitting.counts import BodyCounts, RaglanCounts, SleeveCounts
from fitcheck.knitting.lines import Sheet
from fitcheck.knitting.pieces import plan_piece
from fitcheck.knitting.plan import Edge, Event, Plan, mirrored
from fitcheck.knitting.refusals import CannotShape
from fitcheck.knitting.replay import Replay, replay
from fitcheck.knitting.sheet import sheet
from tests.knitting.random_counts import Made, made

if TYPE_CHECKING:
    from tests.conftest import Draws

SEED = 20_615_001
"""Not used while plans and replay were built."""
BESIDE_THE_EVENTS = ("mark", "set_counter", "move_carriage")
"""Acts that a sheet has of its own, or writes as one where they fall on one row."""
CASES = ("neck shallower than the shoulder", "one group", "odd count", "left first", "right first")
"""What is tried often enough to be told: each at least one piece in thirty."""
MANY = 3_000
"""Pieces in which that is looked for: by fifties it would be chance whether it is there."""


def try_pieces(seed: int, many: int) -> Counter[str]:
    """Plan pieces made by chance and hold all of them; how many of each were knitted or refused."""
    random, tally = Random(seed), Counter[str]()
    for _ in range(many):
        piece = made(random)
        plan = plan_piece(piece.kind, piece.counts, piece.choices, piece.construction)
        if isinstance(plan, CannotShape):
            tally[plan.code] += 1
            assert plan.code in ("steps_do_not_fit", "no_cap"), plan
            continue
        hold(plan, piece)
        tally[piece.construction] += 1
        tally["knitted"] += 1
    assert tally["knitted"] >= 0.95 * many, tally
    return tally


def cases(piece: Made) -> list[str]:
    """What is out of the ordinary about a piece."""
    counts = piece.counts
    told = [f"{piece.choices.first} first"]
    if isinstance(counts, BodyCounts):
        told += ["one group"] * (counts.groups == 1)
        told += ["neck shallower than the shoulder"] * (0 < counts.neck_rows <= 2 * (counts.groups - 1))
        told += ["odd count"] * (counts.cast_on % 2)
    return told


def hold(plan: Plan, piece: Made) -> None:
    """The piece and its mirror image are knitted clean and alike, up to the last needle of the bed; its edges agree.

    Its rows and loops, reckoned from its acts, are those that the replay knits.
    """
    image, written = mirrored(plan), sheet(plan)
    assert mirrored(image) == plan
    half = farthest(written)
    done, other = knitted(plan, written, 2 * half), knitted(image, sheet(image), 2 * half)
    assert amount_of(plan) == (done.rows, done.loops)
    assert (done.rows, done.loops, done.widths) == (other.rows, other.loops, other.widths)
    assert sorted(done.ends.values()) == sorted(other.ends.values())
    if half > 1:
        assert replay(written, needles=2 * half - 2).faults[0].code == "outside_bed"
    assert events(written) == [event for event in plan.events if event.do != "mark"]
    hold_edges(plan, piece)


def farthest(written: Sheet) -> int:
    """The needle farthest from the middle, counted from there."""
    reached = [line.needles for line in written.unfolded() if line.needles]
    return max(-min(span.first for span in reached), max(span.last for span in reached) + 1)


def knitted(plan: Plan, written: Sheet, needles: int) -> Replay:
    """A plan knitted through: clean, with the ends and drops that it promises."""
    done = replay(written, needles=needles, ends=plan.ends, drops=plan.drops)
    assert done.faults == (), (plan, done.faults)
    return done


def events(written: Sheet) -> list[Event]:
    """The events of a plan but its marks, out of the folded lines of its sheet."""
    return [
        Event(line.part, line.counter or 0, line.act, line.at, line.stitches, line.inset, line.name)  # type: ignore[arg-type]
        for line in written.unfolded()
        if line.act not in BESIDE_THE_EVENTS
    ]


def stitches(edge: Edge) -> int:
    return sum(run.stitches for run in edge)


def rows(edge: Edge) -> int:
    return sum(run.rows for run in edge)


def hold_edges(plan: Plan, piece: Made) -> None:
    """Every edge takes the rows and stitches of the acts at it."""
    counts, edges = piece.counts, plan.edges
    for name, edge in edges.items():
        assert edge, (name, piece)
        assert all(run.stitches >= 0 and run.rows >= 0 for run in edge), (name, edge)
    for name, edge in edges.items():
        match name.partition("_")[2], counts:
            case "side", BodyCounts() | SleeveCounts():
                assert rows(edge) == counts.to_underarm, (name, piece)
            case "armhole", BodyCounts():
                off = counts.chest - counts.across
                off = off if piece.kind in ("left_front", "right_front") else off // 2
                underarm = edges.get(f"{name.partition('_')[0]}_underarm", ())
                assert stitches(edge) + stitches(underarm) == off, (name, piece)
                assert abs(rows(edge) - counts.armhole_rows) <= 1, (name, piece)
            case "shoulder", BodyCounts():
                assert stitches(edge) == plan.ends[name], (name, piece)
                assert rows(edge) == plan.drops[name] <= 2 * (counts.groups - 1)
            case "neck", BodyCounts():
                assert 0 <= rows(edge) - counts.neck_rows <= 1, (name, piece)
            case "raglan", RaglanCounts():
                assert 0 <= counts.raglan_rows - rows(edge) <= 1, (name, piece)
            case "cap", SleeveCounts():
                assert 2 * stitches(edge) + 2 * counts.underarm + plan.ends["top"] == counts.upper


@settings(max_examples=20)
@given(st.integers(0, 2**32))
def test_any_piece_is_knitted_clean_like_its_mirror_image_and_unfolds_to_its_events(seed: int) -> None:
    piece = made(Random(seed))
    plan = plan_piece(piece.kind, piece.counts, piece.choices, piece.construction)
    if isinstance(plan, Plan):
        hold(plan, piece)


def test_what_is_out_of_the_ordinary_is_tried_often_enough() -> None:
    random = Random(SEED)
    tried = Counter(case for _ in range(MANY) for case in cases(made(random)))
    assert min(tried[case] for case in CASES) >= MANY / 30, tried


def test_pieces_made_by_chance_can_be_knitted_of_every_construction() -> None:
    tally = try_pieces(7, 150)
    assert min(tally[key] for key in ("set_in", "drop_shoulder", "raglan", "side_panels")) >= 5


@pytest.mark.simulation
@pytest.mark.parametrize("part", range(20))
def test_10_000_pieces_made_by_chance_can_be_knitted(part: int, draws: Draws) -> None:
    """Twenty times 500."""
    try_pieces(SEED + part, draws.of(500))
