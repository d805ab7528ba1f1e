"""From the verdict on a piece to the state that the decision looks at."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Literal

import numpy as np

from fitcheck.advice.decide.remedies import DecisionPoint, DecisionState
from fitcheck.advice.judge.points import HowRead, PiecePoint
from fitcheck.advice.judge.verdict import PieceVerdict, Side, Verdict
from fitcheck.records.points import POINTS, MakeUp

THREAD_MM = 1.0
"""What even the shallowest seam swallows at an edge [mm]; assumed."""
HEAVY_TAILS_FROM = 2.5
"""Below these degrees of freedom a variance is not inflated further: Student's has none at 2."""


def decision_state(
    points: Sequence[PiecePoint],
    verdict: PieceVerdict,
    *,
    weights: Mapping[str, float] | None = None,
    ratios: Mapping[str, float] | None = None,
    others: Mapping[str, tuple[float, float]] | None = None,
    swallowed_mm: Mapping[str, float] | None = None,
    carried: bool = False,
    repeats: Mapping[str, int] | None = None,
    planned: Mapping[str, int] | None = None,
    own_sizes: Mapping[str, float] | None = None,
) -> DecisionState:
    """Points and covariance that the decision looks at, from the points and their verdict; the rest is the caller's.

    Differences and covariance are the verdict's, the variances widened to those of Student's distribution,
    dof / (dof - 2). Points held by pins are left out: they say nothing about the dry, unpinned piece.

    weights  loss per point where the make says another than the catalogue
    ratios   planned counts of the other body piece over this piece's, per point [1]
    others   difference and standard uncertainty of the other body piece where it is knitted [mm]
    swallowed_mm
             what the seams at both ends of a point swallow [mm]: a seam cannot give back more than it takes
    planned  stitches or rows planned for the other body piece, per point
    repeats  stitches of the pattern repeat at the points that hold whole ones [1]
    own_sizes
             stitch or row size of a part of the piece that has another than the rest [mm], per point
    carried  the piece is not blocked yet: one reading of it washed and blocked would settle what is open
    """
    weights, ratios, others, swallowed = weights or {}, ratios or {}, others or {}, swallowed_mm or {}
    planned = planned or {}
    kept = [place for place, point in enumerate(points) if not point.pinned]
    sizes: dict[str, float] = {
        direction: posterior.size_mm
        for direction, posterior in (("across", verdict.across), ("along", verdict.along))
        if posterior is not None
    }
    for direction, estimate in verdict.explanation.sizes.items():
        sizes.setdefault(direction, estimate.value)
    listed = []
    for place in kept:
        point, judged = points[place], verdict.points[place]
        label, catalogue = judged.verdict, POINTS[point.key]
        size = sizes.get(point.direction) if point.direction != "edge" else None
        size = (own_sizes or {}).get(point.key, size)
        if size is None and point.count and point.measured is not None:
            size = point.measured.value / point.count
        listed.append(
            DecisionPoint(
                point.key,
                point.direction,
                label.difference,
                judged.measured.value,
                label.tolerance_mm,
                weights.get(point.key, catalogue.weight),
                size if point.count or point.key in planned else None,
                round(point.count) if point.count else None,
                ratios.get(point.key, 1.0),
                others.get(point.key),
                _within_the_seam(catalogue.make_up, swallowed.get(point.key)),
                *((1, "piece") if carried else _settles(point, label)),
                (repeats or {}).get(point.key, 1),
                planned.get(point.key),
            )
        )
    tails = np.array([_tails(verdict.points[place].verdict.dof) for place in kept])
    covariance = verdict.difference_cov_mm2[np.ix_(kept, kept)] * np.sqrt(np.outer(tails, tails))
    return DecisionState(tuple(listed), covariance)


def _within_the_seam(make_up: MakeUp | None, swallowed_mm: float | None) -> MakeUp | None:
    """A seam sewn nearer to the edge gives back what it swallowed less a thread at each side, and no more."""
    if make_up is None or make_up.by != "armhole_seam" or swallowed_mm is None:
        return make_up
    return replace(make_up, too_small_mm=min(make_up.too_small_mm, max(0.0, swallowed_mm - 2 * THREAD_MM)))


def _settles(point: PiecePoint, label: Verdict) -> tuple[int | None, Side | Literal["both"] | None]:
    """Further readings, and of which side, that would settle the label; or halve what the tape leaves open.

    Three times the readings so far halve a side's share. The side with clearly more of it is named, else both.
    A point that matches needs none.
    """
    if label.code == "matches" or label.readings_needed is not None:
        return label.readings_needed, label.side
    own = point.overhang or point.measured
    sides: list[tuple[float, Side, HowRead]] = []
    if point.piece_read is not None and own is not None:
        sides.append((own.u, "piece", point.piece_read))
    if point.reference_read is not None and point.overhang is None:
        sides.append((point.wanted.u, "reference", point.reference_read))
    if not sides:
        return None, None
    larger, side, how_read = max(sides, key=lambda side: side[0])
    if len(sides) == 2 and larger < 1.5 * min(u for u, _, _ in sides):
        return 3 * max(how_read.readings for _, _, how_read in sides), "both"
    return 3 * how_read.readings, side


def _tails(dof: float) -> float:
    """Variance of Student's distribution over that of the normal."""
    dof = max(dof, HEAVY_TAILS_FROM)
    return dof / (dof - 2.0) if np.isfinite(dof) else 1.0
