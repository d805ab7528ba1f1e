"""What can be done with the piece on the table, before the rest answers: what becomes of its lengths, and the work.

Every way turns a difference d of the piece into scale d + offset, with a variance of its own. Stretches: common
practice, no source (fit rule 5); how much springs back is assumed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from fitcheck.advice.decide.garment import Garment
from fitcheck.advice.decide.state import ActionCode, Array, Counted, Mask, RipTo
from fitcheck.advice.stretch import STRETCH_PRICE
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.frozen import frozen
from fitcheck.records.makes import Costs
from fitcheck.records.points import FRONTS, POINTS, SLEEVES

MOST_STRETCH = 0.03
"""The most that is asked of a piece, stretches already given among it (common practice, no source)."""
DIRECTIONS: tuple[Counted, ...] = ("across", "along")
STRETCHES = (0.01, 0.02, 0.03)
"""Stretches tried when blocking again."""
SPRINGS_BACK, SPRINGS_BACK_SD = 0.33, 0.2
"""Share of a stretch that goes at the next wash; assumed ("part springs back": common practice, no source)."""

MOST_APART = 0.02
"""Two pieces that are worn as a pair, or sewn together, are not further apart, relative (fit rule 27)."""
NECK = ("neck_width", "neck_inside", "neck_depth", "back_neck_drop", "shoulder_drop")
"""What is knitted anew from the start of the neck upward (fit rule 23)."""


@frozen
class Way:
    """One way with the piece. Arrays have J columns.

    code, cost     [works of a back]
    scale, offset  the difference that the piece then has: scale d + offset [mm]
    extra          variance that the way adds [mm^2]
    rest           how much larger everything still to come is made with it: it is blocked alike [1]
    anew           what is knitted anew
    hem            rows come off or go on at the lower end;  both_ends  of the knitted piece beside it alike
    twin_right     this piece is kept and its twin is knitted as it is wanted
    stretch        direction and share when blocked again;  rip  how far it is ripped out
    """

    code: ActionCode
    cost: float
    scale: Array
    offset: Array
    extra: Array
    rest: Array
    anew: Mask
    hem: bool = False
    both_ends: bool = False
    twin_right: bool = False
    stretch: tuple[Counted, float] | None = None
    rip: RipTo | None = None


class Ways:
    """Several ways as arrays, one row each: shapes [V, 1, J], and [V, 1] of what is no point's."""

    def __init__(self, each: Sequence[Way]) -> None:
        self.each = tuple(each)
        self.cost = np.array([way.cost for way in each])
        self.scale, self.offset, self.extra, self.rest = (
            np.array([part for way in each for part in (way.scale, way.offset, way.extra, way.rest)])
            .reshape(len(each), 4, 1, -1)
            .swapaxes(0, 1)
        )
        self.any_anew = any(way.rip is not None for way in each)
        self.anew = np.array([way.anew for way in each])[:, None]
        flags = np.array([(way.hem, way.both_ends, way.twin_right) for way in each])
        self.hem, self.both_ends, self.twin_right = flags.T[..., None]

    def at(self, places: Sequence[int]) -> Ways:
        """Some of them."""
        return Ways([self.each[place] for place in places])


def impossible_ways(garment: Garment) -> dict[ActionCode, CannotSay]:
    """The ways that cannot be gone, and why."""
    state = garment.state
    said: dict[ActionCode, CannotSay] = {}
    if not garment.hem.any():
        said["alter_hem"] = CannotSay("no_length")
    if state.holds is None:
        said["block_again"] = CannotSay("fibre_unsaid")
    elif not state.holds:
        said["block_again"] = CannotSay("does_not_hold")
    elif bool((garment.across & (garment.d > garment.high[: garment.J])).any()):
        said["block_again"] = CannotSay("too_wide")
    elif not any(small(garment, garment.d, direction) for direction in DIRECTIONS):
        said["block_again"] = CannotSay("nothing_small")
    elif not _stretches(garment):
        said["block_again"] = CannotSay("stretched_enough")
    if not _rips(garment):
        said["rip_back"] = CannotSay("no_underarm")
    if not state.more:
        said["other_counts"] = CannotSay("nothing_left")
    elif not (garment.answers.any() or garment.part.any() or garment.panel is not None or state.twin):
        said["other_counts"] = CannotSay("nothing_answers")
    return said


def ways(garment: Garment, costs: Costs, impossible: dict[ActionCode, CannotSay]) -> list[Way]:
    """Every way but knitting all of it again, in the order of work."""
    bare = plain(garment, "carry_on", 0.0)
    listed = [bare]
    if _twin_may_differ(garment):
        listed.append(replace(bare, twin_right=True))
    if "alter_hem" not in impossible:
        listed += at_the_hem(garment, replace(bare, code="alter_hem"), costs)
    for way in [*_blocked(garment, costs, impossible), *_ripped(garment, costs)]:
        listed.append(way)
        if "alter_hem" not in impossible:
            listed += at_the_hem(garment, way, costs)
    return listed


def at_the_hem(garment: Garment, way: Way, costs: Costs) -> list[Way]:
    """A way joined with rows off or on at the lower end; beside a knitted piece at that one's end too."""
    alone = replace(way, cost=way.cost + costs.alter_hem, hem=True)
    return [alone, replace(alone, cost=alone.cost + costs.alter_hem, both_ends=True)] if garment.K else [alone]


def _twin_may_differ(garment: Garment) -> bool:
    """Whether the twin may be knitted as it is wanted beside this one: nowhere 2 % apart, nor more than allowed."""
    if not garment.T or not garment.stands_out[garment.twins].any():
        return False
    apart = np.abs(garment.twin_left - garment.d)[garment.twins]
    return bool((apart <= np.minimum(MOST_APART * garment.length, garment.aim)[garment.twins]).all())


def plain(garment: Garment, code: ActionCode, cost: float, *, hem: bool = False) -> Way:
    """The piece as it is, and what is still to come as it would be."""
    J = garment.J
    one, none = np.ones(J), np.zeros(J)
    return Way(code, cost, one, none, none, one, np.zeros(J, dtype=bool), hem)


def _stretches(garment: Garment) -> list[tuple[Counted, float]]:
    """Stretches that are tried: where something is too small, and what was already given leaves room."""
    listed: list[tuple[Counted, float]] = []
    for direction in DIRECTIONS:
        if not small(garment, garment.d, direction):
            continue
        room = MOST_STRETCH - garment.state.given.get(direction, 0.0) + 1e-9
        listed += [(direction, share) for share in STRETCHES if share <= room]
    return listed


def small(garment: Garment, d: Array, direction: Counted) -> Mask:
    """Whether pieces with these differences [mm] are noticeably too small somewhere: only then they are stretched."""
    mine = garment.across if direction == "across" else garment.along
    return np.asarray(((d < 0) & mine & garment.noticeable(d)).any(axis=-1))


def _blocked(garment: Garment, costs: Costs, impossible: dict[ActionCode, CannotSay]) -> list[Way]:
    """Blocked again, every piece that is still to come alike (fit rule 5)."""
    if "block_again" in impossible:
        return []
    return [stretched(garment, costs, direction, share) for direction, share in _stretches(garment)]


def stretched(garment: Garment, costs: Costs, direction: Counted, share: float) -> Way:
    """The piece stretched by a share in one direction, a part of which springs back."""
    mine, pays = (garment.across, garment.along) if direction == "across" else (garment.along, garment.across)
    factor = np.where(mine, share, np.where(pays, -STRETCH_PRICE * share, 0.0))
    stays = factor * (1 - SPRINGS_BACK)
    return replace(
        plain(garment, "block_again", costs.block_again),
        scale=1 + stays,
        offset=garment.wanted * stays,
        extra=(garment.length * factor * SPRINGS_BACK_SD) ** 2,
        rest=1 + stays,
        stretch=(direction, share),
    )


def _rips(garment: Garment) -> dict[RipTo, Mask]:
    """How far the piece can be ripped out, each with the points that are then knitted anew.

    To the start of the neck only where something is wrong there; else the first wrong row lies in the armhole.
    """
    keys = [point.key for point in garment.points]
    kind = garment.state.kind
    anew: dict[RipTo, Mask] = {}
    if kind in SLEEVES:
        anew["sleeve_underarm"] = np.array([key == "cap_height" for key in keys])
    elif kind == "back" or kind in FRONTS:
        neck = np.array([key in NECK for key in keys])
        if bool((neck & garment.stands_out).any()):
            anew["neck"] = neck
        anew["armhole"] = np.array([POINTS[key].above_underarm for key in keys])
    return {rip: mask for rip, mask in anew.items() if mask.any() and rip in garment.state.work.above}


def _ripped(garment: Garment, costs: Costs) -> list[Way]:
    """Ripped out down to below the first wrong row, and knitted upward in this piece's own fabric."""
    work = garment.state.work
    listed = []
    for rip, anew in _rips(garment).items():
        bare = plain(garment, "rip_back", work.above[rip] * work.piece + costs.rip_extra)
        left = garment.left_by_count(garment.counts_anew)
        # What is wanted stays uncertain; its own length does not: it follows from the stitches of the piece.
        new = garment.wanted_var + garment.length**2 * (garment.size_u**2 + garment.state.local_sd**2)
        listed.append(
            replace(
                bare,
                scale=np.where(anew, 0.0, bare.scale),
                offset=np.where(anew, left, bare.offset),
                extra=np.where(anew, new + np.where(garment.counted, 0.0, garment.rounding), bare.extra),
                anew=anew,
                rip=rip,
            )
        )
    return listed
