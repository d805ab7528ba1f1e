"""What explains the differences of a piece: one gauge, a miscount, the cast-on, or two gauges."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from statistics import median
from typing import Literal, NamedTuple, Protocol, cast

import numpy as np

from fitcheck.advice.judge.points import PiecePoint
from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.piece import (
    LOCAL_SD,
    VAGUE,
    CountedDirection,
    Matrix,
    PieceReading,
    StitchSizePrior,
    check_reading,
)
from fitcheck.estimates.student import normal_quantile

ExplanationCode = Literal["one_gauge", "miscount", "cast_on", "two_gauges", "cannot_say"]
OddExplanation = Literal["miscount", "cast_on", "two_gauges"]

EDGE_OFFSET_SD_MM = 4.0
"""SD of an offset common to all points of a direction: curl, slack edges [mm] (assumed)."""
FALSE_ALARM = 0.01
"""Chance per tail and direction that a piece without a miscount is flagged (model of the piece)."""
SLIP_SD = 3.0
"""SD of a miscount, in stitches or rows (assumed)."""
GAUGE_STEP_SD = 0.03
"""SD of the relative step between two gauges: about one click of the dial (fit rules 14; common practice)."""
PRIOR_WEIGHTS: dict[str, float] = {"one_gauge": 0.79, "miscount": 0.15, "cast_on": 0.03, "two_gauges": 0.03}
"""How likely each explanation is before anything is read (assumed)."""
WORTH_COUNTING = 0.125
"""A doubt this likely against one gauge is worth a recount, which is cheap (assumed)."""

_DIRECTIONS: tuple[CountedDirection, ...] = ("across", "along")


class KnownFabric(Protocol):
    """Anything that tells a stitch or row size before this piece was read."""

    def prior(self, direction: CountedDirection, /) -> StitchSizePrior | None:
        """Log of the size in a direction, None where the fabric cannot say."""


@dataclass(frozen=True)
class DirectionExplanation:
    """What explains one direction.

    code            one_gauge unless a point stands out and another explanation is worth counting for;
                    cannot_say without enough counted points
    weights         how likely each explanation is after the readings, adding up to 1
    z               per point: distance from what the other points and the fabric promise, in its own SDs
    limit           |z| from here on stands out
    point           the point whose count is doubted (miscount), the last point before the step (two_gauges)
    point_weights   how likely each point is the miscounted one, given that one of them is; empty otherwise
    stitches        stitches or rows more (minus: fewer) than counted (miscount) or cast on (cast_on)
    stitches_low    fewest and most that are likely (whole numbers inside the 90 % range)
    stitches_high
    percent         step of the second gauge against the first [%] (two_gauges)
    size            stitch or row size under this explanation [mm]; the first gauge under two_gauges
    edge_offset_mm  offset common to all points under this explanation [mm]
    """

    code: ExplanationCode
    weights: Mapping[str, float] = field(default_factory=dict)
    z: Mapping[str, float] = field(default_factory=dict)
    limit: float = math.inf
    point: str | None = None
    point_weights: Mapping[str, float] = field(default_factory=dict)
    stitches: int | None = None
    stitches_low: int | None = None
    stitches_high: int | None = None
    percent: float | None = None
    size: Estimate | None = None
    edge_offset_mm: Estimate | None = None

    @property
    def flagged(self) -> bool:
        """Whether a count or gauge is doubted here."""
        return self.code in ("miscount", "cast_on", "two_gauges")


@dataclass(frozen=True)
class Explanation:
    """What explains the differences of the whole piece: the direction that stands out most, and each.

    The fields of the leading direction are repeated here; see DirectionExplanation. direction is None when
    nothing stands out. sizes holds the stitch (across) and row (along) size where it can be said [mm].
    """

    code: ExplanationCode
    direction: CountedDirection | None
    point: str | None
    stitches: int | None
    stitches_low: int | None
    stitches_high: int | None
    weights: Mapping[str, float]
    sizes: Mapping[CountedDirection, Estimate]
    directions: Mapping[CountedDirection, DirectionExplanation]

    @property
    def flagged(self) -> tuple[CountedDirection, ...]:
        """Directions in which a count or gauge is doubted: no joint judgement there until it is counted."""
        return tuple(direction for direction, explained in self.directions.items() if explained.flagged)


def explain_piece(
    points: Sequence[PiecePoint], fabric: KnownFabric | None = None, *, local_sd: float = LOCAL_SD
) -> Explanation:
    """Say what explains the lengths of a piece, from its counts.

        z_j = (F_j - N_j w_-j) / sqrt(u_j^2 + (lambda N_j w)^2 + N_j^2 var w_-j)

    w_-j comes from the other points and the fabric: with Sigma the covariance of all F_j given the prior,
    r = F - N w0 and W = Sigma^-1, z_j = (W r)_j / sqrt(W_jj). A point stands out if |z_j| > z(1 - .01/J) and
    it is off by one stitch or more. Then four explanations are compared, each with an edge offset common to
    all points, c ~ N(0, (4 mm)^2), allowed: nothing else, one point miscounted by m, all points off by the
    same m (a wrong cast-on), another gauge from some point on. Each of the last three adds q a a' to Sigma
    and is weighed by its marginal likelihood, 2 log BF = q (a'W r)^2 / (1 + q a'W a) - log(1 + q a'W a).
    A direction is flagged iff a point stands out and the likeliest of the last three is at least an
    eighth as likely as "nothing else": then its rows are worth counting again.

    points    points of one piece; those of one direction in the order they were knitted, from the cast-on up
              (a second gauge needs two points on either side). Only points with a count and a reading that
              were not pinned are used; positive counts and lengths [mm]
    fabric    tells the size before this piece, or None
    local_sd  relative SD from place to place
    With fewer than two such points in both directions and no fabric the code is cannot_say.
    Raises PieceError for a count or length that is not positive and finite.
    Source: the piece model of this project (its section 5); leave-one-out residuals from the inverse
    covariance as in Cook and Weisberg (1982), Residuals and Influence in Regression, 2.2 (from memory).
    """
    directions: dict[CountedDirection, DirectionExplanation] = {}
    for direction in _DIRECTIONS:
        usable = [
            point
            for point in points
            if point.direction == direction
            and point.count is not None
            and point.measured is not None
            and not point.pinned
        ]
        prior = fabric.prior(direction) if fabric is not None else None
        if usable and (len(usable) > 1 or prior is not None):
            directions[direction] = _explain_direction(usable, prior or VAGUE[direction], local_sd)
        else:
            directions[direction] = DirectionExplanation("cannot_say")

    flagged = [direction for direction in directions if directions[direction].flagged]
    known = [direction for direction in directions if directions[direction].code != "cannot_say"]
    leading = max(flagged or known, key=lambda direction: _stands_out(directions[direction]), default=None)
    sizes = {direction: size for direction in directions if (size := directions[direction].size) is not None}
    if leading is None:
        return Explanation("cannot_say", None, None, None, None, None, {}, sizes, directions)
    lead = directions[leading]
    return Explanation(
        lead.code,
        leading if lead.flagged else None,
        lead.point,
        lead.stitches,
        lead.stitches_low,
        lead.stitches_high,
        lead.weights,
        sizes,
        directions,
    )


def _stands_out(explained: DirectionExplanation) -> float:
    return max(abs(z) for z in explained.z.values()) / explained.limit


def _explain_direction(points: Sequence[PiecePoint], prior: StitchSizePrior, local_sd: float) -> DirectionExplanation:
    J = len(points)
    keys = [point.key for point in points]
    measured = [cast(Estimate, point.measured) for point in points]
    for point, estimate in zip(points, measured, strict=True):
        check_reading(point.key, PieceReading(point.count, estimate))
    N = np.array([point.count for point in points], dtype=float)
    F = np.array([estimate.value for estimate in measured])
    tape = np.array([estimate.u for estimate in measured])
    w0 = math.exp(prior.log_mean)
    typical = median((F / N).tolist())
    prior_var = (prior.sd * w0) ** 2
    edge_var = EDGE_OFFSET_SD_MM**2

    r = F - N * w0
    Sigma = prior_var * np.outer(N, N)
    # The floor (a hundredth of a millimetre) keeps exact readings without local scatter weighable.
    Sigma[np.diag_indices(J)] += np.maximum(tape**2 + (local_sd * N * typical) ** 2, 1e-4)
    plain = np.linalg.inv(Sigma)
    loo_var = 1 / np.diag(plain)
    off = (plain @ r) * loo_var  # F_j less what the others promise [mm]
    z = off / np.sqrt(loo_var)
    limit = normal_quantile(1 - FALSE_ALARM / J)

    # The explanations are compared with the edge offset allowed in each: it may explain what stands out.
    row_sum = plain.sum(axis=1)
    W = plain - np.outer(row_sum, row_sum) * edge_var / (1 + edge_var * row_sum.sum())
    Wr = W @ r

    # One column of a and one variance q for every way a count or gauge can be off.
    masks = [np.arange(J) > last for last in range(1, J - 2)]
    columns = [typical * np.eye(J), np.full((J, 1), typical)]
    columns += [(mask * N * typical)[:, None] for mask in masks]
    A = np.concatenate(columns, axis=1)
    q = np.array([SLIP_SD**2] * (J + 1) + [GAUGE_STEP_SD**2] * len(masks))
    WA = W @ A
    information = (A * WA).sum(axis=0)
    score = A.T @ Wr
    log_bf = 0.5 * (q * score**2 / (1 + q * information) - np.log1p(q * information))
    prior_weight = np.array(
        [PRIOR_WEIGHTS["miscount"] / J] * J
        + [PRIOR_WEIGHTS["cast_on"]]
        + [PRIOR_WEIGHTS["two_gauges"] / max(1, len(masks))] * len(masks)
    )
    top = max(0.0, float(log_bf.max()))
    weight = prior_weight * np.exp(log_bf - top)
    none = PRIOR_WEIGHTS["one_gauge"] * math.exp(-top)
    total = none + float(weight.sum())
    weights = {
        "one_gauge": none / total,
        "miscount": float(weight[:J].sum() / total),
        "cast_on": float(weight[J] / total),
        "two_gauges": float(weight[J + 1 :].sum() / total),
    }

    stands_out = (np.abs(z) > limit) & (np.abs(off) >= typical)
    named = dict(zip(keys, z.tolist(), strict=True))
    odd: tuple[OddExplanation, ...] = ("miscount", "cast_on", "two_gauges")
    code = max(odd, key=lambda explanation: weights[explanation])
    if not stands_out.any() or weights[code] < WORTH_COUNTING * weights["one_gauge"]:
        size, edge = _size_and_edge(W, Wr, N, w0, prior_var, edge_var, measured)
        return DirectionExplanation("one_gauge", weights, named, limit, size=size, edge_offset_mm=edge)

    named_point: str | None = None
    point_weights: dict[str, float] = {}
    stitches: float | None = None
    spread = 0.0
    percent: float | None = None
    if code == "miscount":
        h = int(np.argmax(weight[:J]))
        named_point = keys[h]
        point_weights = dict(zip(keys, (weight[:J] / weight[:J].sum()).tolist(), strict=True))
        # The count at this point is free here, so the estimate is the leave-one-out one, not pulled to 0.
        stitches, spread = float(off[h] / typical), float(math.sqrt(loo_var[h]) / typical)
    elif code == "cast_on":
        h = J
        variance = 1 / (1 / q[h] + information[h])
        stitches, spread = float(variance * score[h]), math.sqrt(variance)
    else:
        split = int(np.argmax(weight[J + 1 :]))
        h = J + 1 + split
        named_point = keys[1 + split]
        percent = float(100 * score[h] / (1 / q[h] + information[h]))
    gain = q[h] / (1 + q[h] * information[h])
    W_odd = W - gain * np.outer(WA[:, h], WA[:, h])
    size, edge = _size_and_edge(W_odd, W_odd @ r, N, w0, prior_var, edge_var, measured)
    whole = _whole_range(stitches, spread)
    return DirectionExplanation(
        code, weights, named, limit, named_point, point_weights, whole.best, whole.low, whole.high, percent, size, edge
    )


def _size_and_edge(
    W: Matrix,
    Wr: Matrix,
    N: Matrix,
    w0: float,
    prior_var: float,
    edge_var: float,
    measured: Sequence[Estimate],
) -> tuple[Estimate, Estimate]:
    """Stitch size and common edge offset given all points [mm], W = Sigma^-1 and Wr = Sigma^-1 (F - N w0)."""
    dof = min(estimate.dof for estimate in measured)
    size_var = max(0.0, prior_var - prior_var**2 * float(N @ W @ N))
    edge_left = max(0.0, edge_var - edge_var**2 * float(W.sum()))
    size = Estimate(w0 + prior_var * float(N @ Wr), math.sqrt(size_var), dof)
    return size, Estimate(edge_var * float(Wr.sum()), math.sqrt(edge_left), dof, basis="mixed")


class _WholeRange(NamedTuple):
    """Whole stitches: the best guess and the ends of its range."""

    low: int | None = None
    best: int | None = None
    high: int | None = None


def _whole_range(stitches: float | None, spread: float) -> _WholeRange:
    """Whole stitches inside the 90 % range around an estimate, never 0 itself as the best guess."""
    if stitches is None:
        return _WholeRange()
    best = round(stitches) or int(math.copysign(1, stitches))
    half = normal_quantile(0.95) * spread
    return _WholeRange(min(best, math.ceil(stitches - half)), best, max(best, math.floor(stitches + half)))
