"""Bands that are picked up along an edge of the sweater: how many stitches, and which of its loops and rows they take.

    stitches of rows = edge (1 - less)/band stitch, a tenth less where the edge is hollow; mirror pairs alike
    stitches of loops = the loops themselves, as they lie on the waste yarn or in the cast-off edge

A neck band is picked up all round while one shoulder is open; in an open front it runs from one front edge to the
other. Hem and cuff bands take at most every loop of the cast-on edge (common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from typing import Literal

from fitcheck.advice.rest.bands import BandStitch, BandToCome
from fitcheck.advice.to_come.plans_of import PlannedPiece, rib_mm, rib_rows
from fitcheck.advice.to_come.seams import KINDS, NO_PLAN, runs_of
from fitcheck.advice.to_come.standing import or_why
from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.counts import Fabric
from fitcheck.knitting.needles import needle_name, span_of
from fitcheck.knitting.pick_up import CONCAVE_LESS, PickUp, pick_up, pick_up_rows, share
from fitcheck.knitting.plan import Plan, Segment
from fitcheck.knitting.seam_line import bare_line
from fitcheck.records.constructions import CONSTRUCTIONS, Part
from fitcheck.records.frozen import frozen
from fitcheck.records.makes import BAND_KIND, BandEdge, Make
from fitcheck.records.points import HALF_FRONTS
from fitcheck.records.sheet_kinds import Begins, RunKey

STITCH_SHARE, ROW_SHARE = 0.87, 0.95
"""Stitch width and row height of a band, of those of the plain fabric, where no rib was swatched [1] (assumed)."""
HOLLOW_LESS = CONCAVE_LESS[0]
"""Share that a band on a hollow edge is shorter, so that it lies in [1] (common practice, no source)."""


@frozen
class PickedRun:
    """A run of an edge, in the order in which it is picked up.

    key       which
    mm        its length [mm]
    of        loops or rows that it has; 0 where nobody counted its rows
    loops     whether they are loops, on waste yarn or cast off, and no rows
    stitches  picked up along it
    groups    of a run of rows: which are taken, from its beginning; none where every loop is, or nobody counted
    begins    where its groups begin; None of loops
    """

    key: RunKey
    mm: float
    of: int
    loops: bool
    stitches: int
    groups: tuple[PickUp, ...] = ()
    begins: Begins | None = None


@frozen
class PickedUp:
    """The stitches of one band along its edge.

    stitches  in all;  edge_mm: length of the edge [mm]
    needles   that they hang on, about the middle of the bed, from L48 to R48; of several pieces those of the widest
    goes      how often the bed is filled until all of them are knitted: 1 where they go on it, or nobody named a bed
    less      how much shorter its hollow runs are picked up [1]
    """

    stitches: int
    edge_mm: float
    less: float
    runs: tuple[PickedRun, ...]
    needles: tuple[str, str] = ("", "")
    goes: int = 1


@frozen
class BandUp:
    """A band that is picked up.

    edge      which;  times: how many of it are knitted alike
    depth_mm  how deep it is [mm];  rows: that make it; None where nobody said how deep
    stitch    its stitch and row, washed and blocked
    assumed   whether they are a share of the plain fabric's, for no rib was swatched
    picked    its stitches, or why they cannot be said
    on        it is knitted already: its sheet was ended
    """

    edge: BandEdge
    times: int
    depth_mm: float | None
    rows: int | None
    stitch: BandStitch
    assumed: bool
    picked: PickedUp | CannotSay
    on: bool = False


def bands_up(
    make: Make, bands: Sequence[BandToCome], pieces: Sequence[PlannedPiece], *, bed: int | None = None
) -> tuple[BandUp, ...]:
    """Every band that is picked up, the neck band first, as they are knitted.

    bands   `bands_to_come` of the rest;  pieces: `plans_of`
    bed     needles of the machine; None where nobody named one
    """
    if not pieces:
        return ()
    order: tuple[BandEdge, ...] = ("neck", "front", "hem", "cuff")
    plain = pieces[-1].fabric
    return tuple(
        _band(_Edges(make, pieces), band, plain, bed) for band in sorted(bands, key=lambda band: order.index(band.edge))
    )


def _band(edges: _Edges, band: BandToCome, plain: Fabric, bed: int | None) -> BandUp:
    assumed = isinstance(band.stitch, CannotSay)
    stitch = (
        BandStitch(STITCH_SHARE * plain.w, ROW_SHARE * plain.h) if isinstance(band.stitch, CannotSay) else band.stitch
    )
    times = 2 if band.edge in ("front", "cuff") else 1
    rows = stitch.rows(band.depth_mm) if band.depth_mm is not None else None
    picked = or_why(partial(_picked, edges, band, stitch, bed), BAND_KIND[band.edge])
    return BandUp(band.edge, times, band.depth_mm, rows, stitch, assumed, picked, band.edge in edges.make.bands_on)


def _picked(edges: _Edges, band: BandToCome, stitch: BandStitch, bed: int | None) -> PickedUp | CannotSay:
    try:
        return _on_the_bed(_PICKED[band.edge](edges, stitch), band.edge, bed)
    except _Unknown as unknown:
        return unknown.why


def _on_the_bed(picked: PickedUp, edge: BandEdge, bed: int | None) -> PickedUp:
    """The same with its needles. Hem bands of back and front are knitted one after the other."""
    widest = max(run.stitches for run in picked.runs) if edge == "hem" else picked.stitches
    goes = 1 if bed is None else math.ceil(widest / bed)
    span = span_of(math.ceil(widest / goes))
    return replace(picked, needles=(needle_name(span.first), needle_name(span.last)), goes=goes)


class _Unknown(Exception):  # noqa: N818 - it carries a reason, and never leaves this module
    """An edge that no plan tells."""

    def __init__(self, why: CannotSay) -> None:
        super().__init__(why.code)
        self.why = why


@frozen
class _Edges:
    """The planned pieces of a make, by part."""

    make: Make
    pieces: Sequence[PlannedPiece]

    def piece(self, part: Part) -> tuple[PlannedPiece, Plan]:
        """The first piece of a part that has a plan; raises _Unknown with why there is none."""
        of_part = [piece for piece in self.pieces if piece.kind in KINDS[part]]
        for piece in of_part:
            if isinstance(piece.plan, Plan):
                return piece, piece.plan
        whys = (piece.plan for piece in of_part if isinstance(piece.plan, CannotSay))
        raise _Unknown(next(whys, CannotSay(NO_PLAN, part=part)))

    def loops(self, part: Part, key: RunKey) -> PickedRun:
        """The loops of a neck: every one of them is taken."""
        piece, plan = self.piece(part)
        stitches = sum(run.stitches for run in plan.edges.get("neck", ()))
        return PickedRun(key, stitches * piece.fabric.w, stitches, True, stitches)

    def cast_on(self, part: Part, key: RunKey, stitch: BandStitch) -> PickedRun:
        """A cast-on edge: as many as its length takes, at most every loop."""
        piece, plan = self.piece(part)
        loops = plan.span.last - plan.span.first + 1
        mm = loops * piece.fabric.w
        return PickedRun(key, mm, loops, True, min(loops, pick_up(mm, stitch.stitch_mm)))


def _neck(edges: _Edges, stitch: BandStitch) -> PickedUp:
    """All round the neck, from the open left shoulder; along an open front from the right edge to the left."""
    if CONSTRUCTIONS[edges.make.construction].armhole == "slanting":
        return _raglan_neck(edges, stitch)
    front, _ = edges.piece("front")
    back = tuple(_back(edges))
    right, left = _halves(edges, "front")
    runs: tuple[PickedRun, ...]
    down: tuple[RunKey, ...]
    if front.kind in HALF_FRONTS:
        right_end, left_end = edges.loops("front", "front_right_neck"), edges.loops("front", "front_left_neck")
        runs = (right_end, right, *reversed(back), left, left_end)
        down = ("back_right", "front_left")
    else:
        runs = (*back, right, edges.loops("front", "front_neck"), left)
        down = ("back_left", "front_right")
    return _whole(_shared(runs, stitch, down), HOLLOW_LESS)


def _raglan_neck(edges: _Edges, stitch: BandStitch) -> PickedUp:
    """From the open seam at the back over the sleeves; a front with a neck of its own has two sides.

    Along an open front from the right edge to the left.
    """
    right, left = _halves(edges, "front")
    runs: tuple[PickedRun, ...]
    down: tuple[RunKey, ...] = ("front_right",)
    if edges.piece("front")[0].kind in HALF_FRONTS:
        down = ("front_left",)
        runs = (
            edges.loops("front", "front_right_neck"),
            right,
            edges.loops("sleeve", "sleeve_right"),
            edges.loops("back", "back_neck"),
            edges.loops("sleeve", "sleeve_left"),
            left,
            edges.loops("front", "front_left_neck"),
        )
    else:
        runs = (
            edges.loops("back", "back_neck"),
            edges.loops("sleeve", "sleeve_right"),
            *((right,) if right.of else ()),
            edges.loops("front", "front_neck"),
            *((left,) if right.of else ()),
            edges.loops("sleeve", "sleeve_left"),
        )
    shared = _shared(runs, stitch, down)
    # It has no shoulder: a side begins at the slanting seam.
    begun = tuple(replace(run, begins="slant") if run.begins == "shoulder" else run for run in shared)
    return _whole(begun, HOLLOW_LESS)


def _back(edges: _Edges) -> Iterator[PickedRun]:
    """The back's neck from the left shoulder to the right one: straight across, or with its sides."""
    right, left = _halves(edges, "back")
    yield from (left, edges.loops("back", "back_neck"), right) if left.of else (edges.loops("back", "back_neck"),)


def _halves(edges: _Edges, part: Literal["back", "front"]) -> tuple[PickedRun, PickedRun]:
    """The wearer's right and left side of a neck, without their stitches; no rows where it goes straight across.

    Half a front has one, which stands for both.
    """
    piece, plan = edges.piece(part)
    left, right = plan.edges.get("left_neck", ()), plan.edges.get("right_neck", ())
    if part == "front":  # the purl side faces the knitter: a front's left on the bed is the wearer's, a back's is not
        return _side("front_right", right or left, piece.fabric), _side("front_left", left or right, piece.fabric)
    return _side("back_right", left or right, piece.fabric), _side("back_left", right or left, piece.fabric)


def _side(key: RunKey, runs: Sequence[Segment], fabric: Fabric) -> PickedRun:
    across = [(run.stitches, run.rows) for run in runs]
    mm = bare_line(across, fabric.w, fabric.h) if across else 0.0
    return PickedRun(key, mm, sum(rows for _, rows in across), False, 0)


def _shared(runs: Sequence[PickedRun], stitch: BandStitch, down: Sequence[RunKey]) -> tuple[PickedRun, ...]:
    """The stitches of the runs of rows, those of a mirror pair alike, and which of their rows they take.

    down  runs that are gone along from the shoulder down; the others from the centre up
    """
    sides = [run for run in runs if not run.loops]
    if not sides:
        return tuple(runs)
    # One half of a divided neck is a row longer than the other; both are picked up alike.
    pairs = [(run.mm + other.mm) / 2 for run, other in zip(sides, reversed(sides), strict=True)]
    total = pick_up(math.fsum(pairs), stitch.stitch_mm, less=HOLLOW_LESS, multiple=2)
    shares = iter(share(total, pairs))
    return tuple(run if run.loops else _taken(run, next(shares), down=run.key in down) for run in runs)


def _taken(run: PickedRun, stitches: int, *, down: bool) -> PickedRun:
    """A side of a neck with its groups: counted from the shoulder down, or from the centre up, as one goes round.

    A flat one may have fewer rows than stitches: then some come from the stitches that were cast off in steps, and no
    groups are said.
    """
    groups = pick_up_rows(stitches, run.of) if 0 < stitches <= run.of else ()
    if not down:
        groups = tuple(reversed(groups))
    return PickedRun(run.key, run.mm, run.of, False, stitches, groups, "shoulder" if down else "centre")


def _front(edges: _Edges, stitch: BandStitch) -> PickedUp:
    """Each front edge: the rib below it, and the plain rows up to the neck."""
    piece, plan = edges.piece("front")
    runs = runs_of(plan, "front")
    if piece.kind not in HALF_FRONTS or runs is None:
        raise _Unknown(CannotSay(NO_PLAN, part="front", edge="front"))
    rows = sum(rows for _, rows in runs)
    plain = rows * piece.fabric.h
    rib = rib_mm(edges.make, piece.kind)
    if not rib:
        stitches = pick_up(plain, stitch.stitch_mm)
        return _whole((_along("front", plain, rows, stitches),))
    total = pick_up(plain + rib, stitch.stitch_mm)
    below = round(total * rib / (plain + rib))
    counted = rib_rows(edges.make, piece) or 0
    return _whole((_along("rib", rib, counted, below), _along("front", plain, rows, total - below)))


def _along(key: RunKey, mm: float, rows: int, stitches: int) -> PickedRun:
    """A straight edge of rows, from the hem up."""
    groups = pick_up_rows(stitches, rows) if 0 < stitches <= rows else ()
    return PickedRun(key, mm, rows, False, stitches, groups, "hem")


def _hem(edges: _Edges, stitch: BandStitch) -> PickedUp:
    """Back, front or both halves of an open one, and side panels, each by itself."""
    front, _ = edges.piece("front")
    keys: tuple[RunKey, ...] = ("hem_right", "hem_left") if front.kind in HALF_FRONTS else ("hem_front",)
    runs = [edges.cast_on("back", "hem_back", stitch), *(edges.cast_on("front", key, stitch) for key in keys)]
    if CONSTRUCTIONS[edges.make.construction].panels:
        panels: tuple[RunKey, ...] = ("hem_right_panel", "hem_left_panel")
        runs += [edges.cast_on("side_panel", key, stitch) for key in panels]
    return _whole(runs)


def _cuff(edges: _Edges, stitch: BandStitch) -> PickedUp:
    return _whole((edges.cast_on("sleeve", "cuff", stitch),))


_PICKED = {"neck": _neck, "front": _front, "hem": _hem, "cuff": _cuff}


def _whole(runs: Sequence[PickedRun], less: float = 0.0) -> PickedUp:
    """A band of its runs; those of nothing are none."""
    listed = tuple(run for run in runs if run.mm > 0)
    stitches, mm = sum(run.stitches for run in listed), math.fsum(run.mm for run in listed)
    return PickedUp(stitches, mm, less if any(not run.loops for run in listed) else 0.0, listed)
