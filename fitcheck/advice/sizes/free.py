"""Counts bound to no size: the nearest stitches for what is wanted, in this fabric, on this bed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import partial
from typing import NamedTuple

from fitcheck.advice.judge.verdict import tolerance_sides
from fitcheck.advice.rest.count_points import CountPlace, CountPoint, Counts, StitchAndRow
from fitcheck.advice.rest.count_series import Parity
from fitcheck.advice.rest.counts import best_counts
from fitcheck.advice.rest.planned import repeat_of
from fitcheck.advice.sizes.answers import NO_GAUGE, FreeCounts, PlannedCount
from fitcheck.advice.sizes.plan import SizePlan
from fitcheck.advice.sizes.points import AskedPoint
from fitcheck.estimates.numbers import CannotSay, Estimate
from fitcheck.records.machines import Machine
from fitcheck.records.makes import Make
from fitcheck.records.points import REPEATED, PieceKind
from fitcheck.records.size_tables import SizeTable

EITHER: tuple[Parity, ...] = ("even", "odd")


def free_counts(plan: SizePlan, make: Make, table: SizeTable | None, machine: Machine | None) -> FreeCounts | CannotSay:
    """The nearest counts that repeat, parity and bed allow, with the chance that they fit.

    They aim at what is wanted, whatever is allowed: both sides count as the smaller one (fit rule 26). The repeat is
    the make's own, else the table's. Shaping takes the same stitches off at both sides, so all
    widths are even or all are odd (fit rule 25): an even repeat says which, else the nearer of the two.
    """
    if plan.stitch is None or plan.why_no_chance is not None:
        return plan.why_no_chance or NO_GAUGE
    multiple, balance = repeat_of(make, table)
    asked = _asked(plan, multiple, balance)
    if not asked.points:
        return CannotSay("no_wanted_width")
    # No length is asked for here; the row height is not used.
    of_parity = partial(
        best_counts,
        asked.points,
        StitchAndRow(plan.stitch.mm, plan.stitch.mm),
        multiple=asked.repeats,
        balance=dict.fromkeys(asked.repeats, balance),
        needles=machine.needles if machine is not None else None,
    )
    parities = [asked.parity] if multiple % 2 == 0 else [dict.fromkeys(asked.places, way) for way in EITHER]
    every = [of_parity(parity=parity) for parity in parities]
    possible = [counts for counts in every if counts.relax is None]
    if not possible:
        return every[0].relax or CannotSay("no_counts")
    of_kind = {
        kind: _nearest(possible, [point for point in asked.points if point.piece == kind])
        for kind in {point.piece for point in asked.points}
    }
    counts: dict[str, dict[PieceKind, int]] = {}
    for point in plan.asked.points:
        for kind in point.on_piece:
            if kind in of_kind and (kind, point.key) in of_kind[kind].counts:
                counts.setdefault(point.key, {})[kind] = of_kind[kind].counts[kind, point.key]
    lines = plan.lines(counts)
    chance = plan.chance(lines)
    if isinstance(chance, CannotSay):
        return chance
    widths = plan.widths(counts, {}, lines, chance)
    planned = [PlannedCount(kind, key, n) for key, per in counts.items() for kind, n in per.items()]
    return FreeCounts(tuple(planned), widths, chance.all_fit, chance.limiting)


def free_planned(make: Make, free: FreeCounts | CannotSay) -> bool:
    """Whether the make plans these counts."""
    return not isinstance(free, CannotSay) and all(
        make.planned.get(count.piece, {}).get(count.key) == count.count for count in free.counts
    )


class _Asked(NamedTuple):
    """Widths that counts are asked for.

    repeats  those that hold whole repeats, with the multiple [stitches];  parity: the even or odd ones
    """

    points: list[CountPoint]
    repeats: dict[str | CountPlace, int]
    parity: dict[str | CountPlace, Parity]

    @property
    def places(self) -> list[str | CountPlace]:
        return [point.place for point in self.points]


def _asked(plan: SizePlan, multiple: int, balance: int) -> _Asked:
    """Every width that is wanted on a piece, with its demands."""
    points: list[CountPoint] = []
    repeats: dict[str | CountPlace, int] = {}
    parity: dict[str | CountPlace, Parity] = {}
    for asked in plan.asked.points:
        if asked.point.direction != "across" or not isinstance(asked.wanted, Estimate):
            continue
        for kind, on in asked.on_piece.items():
            wanted = on.plain(asked.wanted.value)
            if wanted <= 0:
                continue
            allowed = _both_sides(asked) * on.scale
            points.append(CountPoint(asked.key, kind, "across", wanted, allowed, on.swallowed, max(asked.weight, 1e-6)))
            if asked.key in REPEATED:
                repeats[kind, asked.key] = multiple
            elif multiple % 2 == 0:
                parity[kind, asked.key] = "odd" if balance % 2 else "even"
    return _Asked(points, repeats, parity)


def _nearest(possible: Sequence[Counts], points: Sequence[CountPoint]) -> Counts:
    """The counts that leave the least of a piece's wanted widths, over what is allowed and with each one's weight."""

    def loss(counts: Counts) -> float:
        return math.fsum(
            point.weight * abs(counts.off_mm[point.place]) / min(tolerance_sides(point.tolerance_mm))
            for point in points
        )

    return min(possible, key=loss)


def _both_sides(asked: AskedPoint) -> float:
    """The smaller side of what is allowed, flat [mm]; the catalogue's where both are free."""
    allowed = min(asked.tolerance)
    return allowed if math.isfinite(allowed) else min(asked.point.tolerance)
