"""Counts bound to no size: the nearest stitches for what is wanted, in this fabric, on this bed."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from typing import TypeAlias

from fitcheck.advice.rest.count_series import least_count
from fitcheck.advice.rest.counts import counts_for_rest
from fitcheck.advice.rest.loss_table import Known
from fitcheck.advice.rest.planned import repeat_of
from fitcheck.advice.rest.programme import Choice, Demand, Programme, candidates
from fitcheck.advice.rest.tabled import tabled
from fitcheck.advice.sizes.answers import FreeCounts, PlannedCount
from fitcheck.advice.sizes.fabric import KnownSize
from fitcheck.advice.sizes.plan import SizePlan
from fitcheck.advice.sizes.points import AskedPoint, OnPiece
from fitcheck.estimates.numbers import CannotSay, Estimate
from fitcheck.records.machines import Machine
from fitcheck.records.makes import Make
from fitcheck.records.points import REPEATED, PieceKind
from fitcheck.records.size_tables import SizeTable

Places: TypeAlias = Mapping[str, tuple[str, PieceKind]]
"""Point and kind of piece of a choice, by its name."""


def free_counts(plan: SizePlan, make: Make, table: SizeTable | None, machine: Machine | None) -> FreeCounts | CannotSay:
    """The counts of least expected loss that repeat, parity and bed allow, with the chance that they fit.

    They aim at what is wanted, whatever is allowed: both sides count as the smaller one (fit rule 26). The repeat is
    the make's own, else the table's. Shaping takes the same stitches off at both sides, so all
    widths of a piece are even or all are odd (fit rule 25): an even repeat says which, else the better of the two.
    """
    if plan.why_no_chance is not None:
        return plan.why_no_chance
    assert plan.stitch is not None
    choices, places = _choices(plan, plan.stitch, repeat_of(make, table), machine)
    if not choices:
        return CannotSay("no_wanted_width")
    rest = counts_for_rest(Programme(choices, demands=_demands(places, *repeat_of(make, table))))
    if not rest.counts:
        return CannotSay("no_counts", of="bed")
    counts: dict[str, dict[PieceKind, int]] = {}
    for name, (key, kind) in places.items():
        counts.setdefault(key, {})[kind] = rest.counts[name]
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


def _choices(
    plan: SizePlan, stitch: KnownSize, repeat: tuple[int, int], machine: Machine | None
) -> tuple[tuple[Choice, ...], Places]:
    """A count for every width that is wanted on a piece, in the order of the points."""
    choices: list[Choice] = []
    places: dict[str, tuple[str, PieceKind]] = {}
    for asked in plan.asked.points:
        if asked.point.direction != "across" or not isinstance(asked.wanted, Estimate):
            continue
        for kind, on in asked.on_piece.items():
            wanted_mm = on.plain(asked.wanted.value)
            if wanted_mm <= 0:
                continue
            name = f"{kind} {asked.key}"
            places[name] = (asked.key, kind)
            values = candidates(
                wanted_mm / stitch.mm + on.swallowed,
                step=repeat[0] if asked.key in REPEATED else 1,
                least=least_count(on.swallowed),
                most=machine.needles if machine is not None else None,
            )
            choices.append(_choice(name, values, asked, on, stitch))
    return tuple(choices), places


def _choice(name: str, values: Sequence[int], asked: AskedPoint, on: OnPiece, stitch: KnownSize) -> Choice:
    """What each count of a width is expected to lose, and how likely it fits."""
    assert isinstance(asked.wanted, Estimate)
    smaller, larger = asked.tolerance
    known: Known = {
        "wanted_mm": on.plain(asked.wanted.value),
        "size_mm": stitch.mm,
        "swallowed": on.swallowed,
        "u_size": stitch.common_sd,
        "piece": stitch.piece_sd,
        "local": stitch.local_sd,
        "u_wanted_mm": asked.wanted.u * on.scale,
    }
    allowed = smaller * on.scale, larger * on.scale
    return tabled(name, values, known, allowed, usual_mm=min(asked.point.tolerance) * on.scale, weight=asked.weight)


def _demands(places: Places, multiple: int, balance: int) -> tuple[Demand, ...]:
    """Whole repeats where the pattern goes from edge to edge; all widths of a piece even, or all odd."""
    demands: list[Demand] = []
    of_kind: dict[PieceKind, list[str]] = {}
    for name, (key, kind) in places.items():
        of_kind.setdefault(kind, []).append(name)
        if key in REPEATED and multiple > 1:
            demands.append(Demand(f"repeat {name}", "repeat", {name: 1}, balance % multiple, step=multiple))
        elif multiple % 2 == 0:
            demands.append(Demand(f"parity {name}", "parity", {name: 1}, balance % 2, step=2))
    if multiple % 2:
        pairs = [pair for names in of_kind.values() for pair in itertools.pairwise(names)]
        demands += [Demand(f"parity {one}, {other}", "parity", {one: 1, other: -1}, step=2) for one, other in pairs]
    return tuple(demands)
