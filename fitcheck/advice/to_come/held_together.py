"""Whether the widths of a piece still to knit hold together: whole repeats, both sides alike, shoulders as the back's.

Where they do not, other counts that do are looked for; where there are none, the demands that cannot hold together, and
up to three ways out, each with the counts that it leads to and what it costs (facts of the rest, section 2).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import field, replace
from types import MappingProxyType

from fitcheck.advice.rest.counts import counts_for_rest, what_binds
from fitcheck.advice.rest.programme import REACH, Choice, Demand, Programme
from fitcheck.records.choices import Lifted, LiftedDemand
from fitcheck.records.frozen import frozen
from fitcheck.records.points import REPEATED, PieceKind

STAY = 0.03
"""What it costs to move a width by one stitch where nothing is wanted of it [works of a back] (assumed): more than what
two counts may differ by and be as good as each other."""

MORE_FOR_THE_CAP: Mapping[LiftedDemand, tuple[tuple[str, ...], int]] = MappingProxyType(
    {
        "wider_arm": (("upper_arm",), 2),
        "narrower_arm": (("upper_arm",), -2),
        "deeper_armhole": (("armhole_depth", "body_length"), 2),
        "shallower_armhole": (("armhole_depth", "body_length"), -2),
    }
)
"""What the knitter chose so that a cap fits: which counts, by how many stitches or rows each time."""


@frozen
class WayOut:
    """Demands that, lifted together, open the way.

    lifted  the demands;  counts: every width of the piece that it leads to
    worse   how much more is lost than with nothing but what can never be lifted [works of a back]
    """

    lifted: tuple[Demand, ...]
    counts: Mapping[str, int]
    worse: float


@frozen
class Together:
    """Whether the widths of a piece hold together.

    counts    those that hold, the given ones where they do; empty where none do
    demands   what they keep
    binds     what costs something, the dearest first, with how much [works of a back]
    conflict  demands that cannot hold together; empty where counts hold
    ways      up to three ways out, the cheapest first
    lifted    demands that the knitter lifted
    """

    counts: Mapping[str, int]
    demands: tuple[Demand, ...] = ()
    binds: tuple[tuple[Demand, float], ...] = ()
    conflict: tuple[Demand, ...] = ()
    ways: tuple[WayOut, ...] = ()
    lifted: tuple[Demand, ...] = ()


@frozen
class Widths:
    """The widths of a piece, and what is asked of them.

    kind     which piece;  counts: of each width
    tables   losses of the candidates of a width of which something is wanted
    across   the point that says how wide a body piece is at its shoulders; empty of another piece
    repeat   stitches of the pattern repeat, and those over
    free_of_repeats  widths whose count stays as it was planned, whole repeats or not
    back     widths of the knitted back that a front is sewn to, by point; nothing without one
    lifted   what the knitter lifted
    """

    kind: PieceKind
    counts: Mapping[str, int]
    tables: Mapping[str, Choice]
    across: str = ""
    repeat: tuple[int, int] = (1, 0)
    free_of_repeats: frozenset[str] = frozenset()
    back: Mapping[str, int] = field(default_factory=dict)
    lifted: Sequence[Lifted] = ()


def held_together(widths: Widths) -> Together:
    """The counts of a piece's widths that keep every demand, or what cannot hold together and the ways out of it."""
    every = tuple(demand for demand in _demands(widths) if set(demand.terms) <= widths.counts.keys())
    lifted = tuple(demand for demand in every if is_lifted(demand, widths.kind, widths.lifted))
    asked = tuple(demand for demand in every if demand not in lifted)
    choices = tuple(_choice(widths, key) for key in widths.counts)
    if any(not choice.losses for choice in choices):  # a width of more stitches than the bed: said by its plan
        return Together(widths.counts, asked, lifted=lifted)
    programme, by_key = Programme(choices, demands=asked), {demand.key: demand for demand in asked}
    kept = all(demand.keeps(_sum(demand, widths.counts)) for demand in asked)
    if kept and all(widths.counts[choice.key] in choice.losses for choice in choices):
        binds = tuple((by_key[bind.demand], bind.by) for bind in what_binds(programme))
        return Together(widths.counts, asked, binds, lifted=lifted)
    rest = counts_for_rest(programme)
    if rest.conflict:
        free = counts_for_rest(Programme(choices, demands=tuple(d for d in asked if d.price == math.inf)))
        ways = [
            WayOut(tuple(by_key[key] for key in way.lifted), way.counts, max(0.0, way.loss - free.loss))
            for way in rest.to_lift
        ]
        conflict = tuple(by_key[key] for key in rest.conflict)
        return Together({}, asked, conflict=conflict, ways=tuple(ways), lifted=lifted)
    binds = tuple((by_key[bind.demand], bind.by) for bind in rest.binds)
    return Together(widths.counts if kept else rest.counts, asked, binds, lifted=lifted)


def is_lifted(demand: Demand, kind: PieceKind, lifted: Iterable[Lifted]) -> bool:
    """Whether the knitter lifted a demand of a piece."""
    return any(
        (one.piece, one.demand, frozenset(one.points)) == (kind, demand.code, frozenset(demand.terms)) for one in lifted
    )


def _sum(demand: Demand, counts: Mapping[str, int]) -> int:
    return sum(times * counts[key] for key, times in demand.terms.items())


def _choice(widths: Widths, key: str) -> Choice:
    """A width with its candidates: of what is wanted, else those about the count that stands, which costs least."""
    count = widths.counts[key]
    if key in widths.tables:
        return replace(widths.tables[key], planned=count)
    near = range(max(1, count - REACH), count + REACH + 1)
    return Choice(key, {value: STAY * abs(value - count) for value in near}, planned=count)


def _demands(widths: Widths) -> Iterator[Demand]:
    multiple, balance = widths.repeat
    for key in REPEATED:
        if key in widths.counts and multiple > 1 and key not in widths.free_of_repeats:
            yield Demand(f"repeat {key}", "repeat", {key: 1}, balance % multiple, step=multiple)
    if widths.across == "shoulder_width":
        yield Demand("parity", "parity", {"chest": 1, "shoulder_width": -1}, step=2)
    if widths.across:
        # Both shoulders of a piece have as many stitches: no plan knows another.
        yield Demand("halves", "shaping", {widths.across: 1, "neck_width": -1}, step=2)
    if {"cuff", "upper_arm"} <= widths.counts.keys():
        yield Demand("sides", "shaping", {"upper_arm": 1, "cuff": -1}, step=2)
    if widths.across and {widths.across, "neck_width"} <= widths.back.keys():
        shoulders = widths.back[widths.across] - widths.back["neck_width"]
        yield Demand("shoulders", "shoulders", {widths.across: 1, "neck_width": -1}, shoulders, within=0)
    if widths.across == "shoulder_width" and "neck_width" in widths.back:
        yield Demand("neck", "neck", {"neck_width": 1}, widths.back["neck_width"], within=0)
