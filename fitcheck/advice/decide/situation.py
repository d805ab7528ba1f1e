"""From the verdict on a piece to the points that the decision looks at."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Literal

import numpy as np

from fitcheck.advice.decide.others import Beside
from fitcheck.advice.decide.state import DecisionPoint, DecisionState
from fitcheck.advice.judge.points import HowRead, PiecePoint
from fitcheck.advice.judge.verdict import PieceVerdict, PointVerdict, Side, Verdict
from fitcheck.advice.target.wanted import Target
from fitcheck.estimates.numbers import Estimate
from fitcheck.records.constructions import Construction
from fitcheck.records.make_up import MakeUp
from fitcheck.records.points import POINTS

Size = tuple[float, float]
"""A stitch width or row height [mm] and its relative standard uncertainty [1]."""
THREAD_MM = 1.0
"""What even the shallowest seam swallows at an edge [mm]; assumed."""
HEAVY_TAILS_FROM = 2.5
"""Below these degrees of freedom a variance is not inflated further: Student's has none at 2."""
DISAGREE = 2.0
"""Readings disagree so much, and are so few, that Student's variance is this many times the normal's [1]; assumed."""
NECK_MM = POINTS["neck_width"].tolerance[1]
"""What the neck of a front may be wider or narrower than wanted [mm]."""
FREE_MM = 1e9
"""A mark on a straight edge is moved as far as it takes [mm]."""


def decision_state(
    points: Sequence[PiecePoint],
    verdict: PieceVerdict,
    *,
    targets: Mapping[str, Target] | None = None,
    around: Beside | None = None,
    construction: Construction | None = None,
    swallowed_mm: Mapping[str, float] | None = None,
    repeats: Mapping[str, tuple[int, int]] | None = None,
    own_sizes: Mapping[str, float] | None = None,
    carried: bool = False,
) -> DecisionState:
    """Points and covariance that the decision looks at, from the points and their verdict; the rest is the caller's.

    Differences and covariance are the verdict's, the variances widened to those of Student's distribution,
    dof / (dof - 2). Points held by pins are left out: they say nothing about the dry, unpinned piece.

    targets       what each point must measure, and how both sides were read
    around        the pieces beside this one
    construction  of the make: what can make up an armhole
    swallowed_mm  what the seams at both ends of a point swallow [mm]: a seam cannot give back more than it takes
    repeats       stitches of the pattern repeat, and those over, at the points that hold whole ones [1]
    own_sizes     stitch or row size of a part of the piece that has another than the rest [mm], per point
    carried       the piece is not blocked yet: one reading of it washed and blocked would settle what is open
    """
    targets, around = targets or {}, around or Beside()
    swallowed, repeats, own = swallowed_mm or {}, repeats or {}, own_sizes or {}
    kept = [place for place, point in enumerate(points) if not point.pinned]
    sizes = _sizes(verdict)
    neck = any(point.key == "neck_width" and point.count for point in points)
    listed = []
    for place in kept:
        point, judged = points[place], verdict.points[place]
        key, target = point.key, targets.get(point.key)
        size = _size_at(point, judged.measured, sizes, own.get(key))
        make_up = _make_up(key, construction, swallowed.get(key), knitted=around.knitted, neck=neck)
        repeat = repeats.get(key, (1, 0))
        listed.append(_decision_point(point, judged, target, around, size, make_up, repeat, carried=carried))
    tails = np.array([_tails(verdict.points[place].verdict.dof) for place in kept])
    covariance = verdict.difference_cov_mm2[np.array(kept)[:, None], kept] * np.sqrt(tails[:, None] * tails)
    covariance += np.diag([around.moved.get(points[place].key, (0.0, 0.0))[1] ** 2 for place in kept])
    return DecisionState(tuple(listed), covariance, seams=around.seams, twin=around.twin)


def _sizes(verdict: PieceVerdict) -> dict[str, Size]:
    """Stitch width and row height of the piece: of its joint posterior, else as its explanation has them."""
    sizes = {
        direction: (posterior.size_mm, posterior.log_size.u)
        for direction, posterior in (("across", verdict.across), ("along", verdict.along))
        if posterior is not None
    }
    for direction, estimate in verdict.explanation.sizes.items():
        sizes.setdefault(direction, (estimate.value, estimate.u / estimate.value))
    return sizes


def _size_at(point: PiecePoint, measured: Estimate, sizes: Mapping[str, Size], own_mm: float | None) -> Size | None:
    """Stitch or row size at a point; None along an edge, and where nothing tells it.

    own_mm  size of a part of the piece that has another than the rest [mm]
    """
    if own_mm is not None:
        return own_mm, measured.u / measured.value
    if point.direction == "edge":
        return None
    if point.direction not in sizes and point.count:
        # Where it was only laid on the garment, its usual length tells the stitch well enough for a few of them.
        return measured.value / point.count, measured.u / measured.value
    return sizes.get(point.direction)


def _decision_point(
    point: PiecePoint,
    judged: PointVerdict,
    target: Target | None,
    around: Beside,
    size: Size | None,
    make_up: MakeUp | None,
    repeat: tuple[int, int],
    *,
    carried: bool,
) -> DecisionPoint:
    label, piece_mm = judged.verdict, judged.measured.value
    doubt = _widened(label)
    only_laid = point.measured is None
    moved, moved_u = around.moved.get(point.key, (0.0, 0.0))
    wanted_mm = piece_mm - label.difference + moved
    readings_needed, side = (1, "piece") if carried else _settles(point, label)
    layings, reference_layings = _layings(target, carried)
    return DecisionPoint(
        key=point.key,
        direction=point.direction,
        difference=label.difference - moved,
        piece_mm=piece_mm,
        tolerance_mm=label.tolerance_mm,
        weight=target.weight if target is not None else POINTS[point.key].weight,
        size_mm=size[0] if size else None,
        count=round(point.count) if point.count else None,
        size_u=size[1] if size and not only_laid else None,
        share=around.shares.get(point.key, 1.0),
        others=tuple(
            replace(other, wanted_mm=wanted_mm) if math.isnan(other.wanted_mm) else other
            for other in around.others.get(point.key, ())
        ),
        wanted_u=doubt if only_laid else math.hypot(min(_widened(point.wanted), doubt), moved_u),
        untold_u=_untold(point, label),
        make_up=make_up,
        readings_needed=readings_needed,
        side=side,
        repeat=repeat,
        step_mm=_step(target),
        layings=layings,
        reference_layings=reference_layings,
    )


def _make_up(
    key: str, construction: Construction | None, swallowed_mm: float | None, *, knitted: bool, neck: bool
) -> MakeUp | None:
    """What can make up a point: a seam gives back what it swallowed less a thread at each side, and no more.

    An armhole is answered by rows of the front and a cap drawn anew. On a straight edge it is a mark, which is moved,
    and takes the length to the underarm with it (fit rule 29). On a slanting one nothing makes up for it: all four of
    its edges have the same rows (fit rule 27). Nor do the rows of a front that is knitted already.
    """
    make_up = POINTS[key].make_up
    straight = construction is not None and construction.armhole == "straight"
    if straight and key in ("armhole_depth", "to_underarm"):
        return MakeUp("armhole_mark", FREE_MM, FREE_MM)
    if make_up is None:
        return None
    if straight and key == "chest" and neck:
        # Its shoulders are sewn to those of this piece: what it is wider than that, its neck is.
        return replace(make_up, too_small_mm=NECK_MM, too_large_mm=NECK_MM)
    slanting = construction is not None and construction.armhole == "slanting"
    if make_up.by == "front_rows_and_cap" and (knitted or slanting):
        return None
    if make_up.by == "armhole_seam" and swallowed_mm is not None:
        return replace(make_up, too_small_mm=min(make_up.too_small_mm, max(0.0, swallowed_mm - 2 * THREAD_MM)))
    return make_up


def _untold(point: PiecePoint, label: Verdict) -> float:
    """Part of a difference's uncertainty that no further reading removes: assumed seams, growth [mm]."""
    if point.measured is None and point.overhang is not None and point.piece_read is not None:
        read = point.piece_read.s_mm**2 / point.piece_read.readings
        return math.sqrt(max(0.0, label.u**2 - read))
    fixed = point.reference_read.fixed_mm2 if point.reference_read is not None else 0.0
    return math.sqrt(fixed) if point.overhang is None else 0.0


def _step(target: Target | None) -> float:
    """What the readings of a point of the piece were written to [mm]."""
    sides = (target.taped, target.overhang_taped) if target is not None else ()
    return max((side.resolution_mm for side in sides if side is not None), default=1.0)


def _layings(target: Target | None, carried: bool) -> tuple[int, int | None]:
    """Layings of the piece and of the garment; a number counts as read."""
    if target is None:
        return 2, None
    taped, over, reference = target.taped, target.overhang_taped, target.reference
    layings = 1 if carried else max((side.layings for side in (taped, over) if side is not None), default=1)
    # Laid on the garment twice, both were laid twice.
    both = over is not None and over.layings >= 2
    theirs = None if reference is None or both or target.source != "garment" else reference.layings
    return layings, theirs


def _settles(point: PiecePoint, label: Verdict) -> tuple[int | None, Side | Literal["both"] | None]:
    """Further readings, and of which side, that would settle the label; or halve what the tape leaves open.

    Three times the readings so far halve a side's share; where few disagree, as many again do. The side with clearly
    more of it is named, else both. A point that matches needs none.
    """
    disagree = _tails(label.dof) >= DISAGREE
    if label.code == "matches" or (label.readings_needed is not None and not disagree):
        return label.readings_needed, label.side
    own = point.overhang or point.measured
    sides: list[tuple[float, Side, HowRead]] = []
    if point.piece_read is not None and own is not None:
        sides.append((own.u, "piece", point.piece_read))
    if point.reference_read is not None and point.overhang is None:
        sides.append((point.wanted.u, "reference", point.reference_read))
    if not sides:
        return label.readings_needed, label.side
    times = 1 if disagree else 3
    larger, side, how_read = max(sides, key=lambda side: side[0])
    if len(sides) == 2 and larger < 1.5 * min(u for u, _, _ in sides):
        return times * max(how_read.readings for _, _, how_read in sides), "both"
    return times * how_read.readings, side


def _widened(known: Estimate | Verdict) -> float:
    """Standard uncertainty that a normal distribution needs to have the variance of Student's [mm]."""
    return known.u * math.sqrt(_tails(known.dof))


def _tails(dof: float) -> float:
    """Variance of Student's distribution over that of the normal."""
    dof = max(dof, HEAVY_TAILS_FROM)
    return dof / (dof - 2.0) if np.isfinite(dof) else 1.0
