"""How likely everything is that can explain the lengths of a piece: the arithmetic, one direction and the whole."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from statistics import median
from typing import NamedTuple, Protocol, cast, runtime_checkable

import numpy as np

from fitcheck.advice.judge.points import PiecePoint
from fitcheck.advice.judge.slips import NO_SLIP_WEIGHT, Slips, slips_of, variances
from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.piece import CountedDirection, Matrix, PieceReading, StitchSizePrior, check_reading
from fitcheck.estimates.student import normal_quantile
from fitcheck.records.frozen import frozen

EDGE_OFFSET_SD_MM = 4.0
"""SD of an offset common to all points of a direction: curl, slack edges [mm] (assumed)."""
OWN_EDGE_SD = 0.02
"""SD of what a welt or a curling edge is wider or narrower than its stitches, relative [1] (assumed)."""
FALSE_ALARM = 0.01
"""Chance per tail and direction that a piece without a miscount is flagged (model of the piece)."""
DIAL_WEIGHT, DIALS_WEIGHT = 0.02, 0.06
"""How likely each other setting of the dial is before anything is read, and all of them together (assumed)."""
PULLED_WEIGHT = 0.05
"""How likely it is that a piece was laid out of shape (assumed)."""
PULLED_SD = 0.03
"""SD of how far a piece is pulled: wider by a share, shorter by the same [1] (assumed)."""


class KnownFabric(Protocol):
    """Anything that tells a stitch or row size before this piece was read."""

    def prior(self, direction: CountedDirection, /) -> StitchSizePrior | None:
        """Log of the size in a direction, None where the fabric cannot say."""


@frozen
class AtDial:
    """What the fabric says of a piece at another setting of the dial.

    dial           the setting as it is written
    across, along  log of the stitch width and of the row height [ln mm]
    """

    dial: str
    across: StitchSizePrior
    along: StitchSizePrior


@runtime_checkable
class SwatchedFabric(KnownFabric, Protocol):
    """A fabric that also tells what the piece would be at another dial, or relaxed.

    other_dials  settings that the dial may have stood at instead of where it was written down
    relaxed      a swatch at the piece's dial or a finished piece of the fabric tells its shape
    """

    @property
    def other_dials(self) -> Sequence[AtDial]:
        """Settings two marks or more from what was written down, swatched or whole numbers."""

    @property
    def relaxed(self) -> bool:
        """Whether something tells the shape of the fabric at rest."""


@frozen
class Weighed:
    """One direction weighed: its arrays, and how likely every slip is against one gauge.

    W, Wr     inverse covariance of the lengths with the edge offset in it [mm-2], and W (F - N w0)
    A         one column for every slip [mm per unit], shape (points, slips)
    q         variance of its size [unit^2]
    odds      how likely each slip is against one gauge, times exp(-top)
    none      the same of one gauge
    off       size of each slip left free, without the edge offset, and its SD [unit]
    """

    direction: CountedDirection
    keys: list[str]
    measured: list[Estimate]
    slips: Slips
    q: Matrix
    N: Matrix
    w0: float
    prior_var: float
    typical: float
    z: dict[str, float]
    limit: float
    stands_out: bool
    W: Matrix
    Wr: Matrix
    A: Matrix
    WA: Matrix
    information: Matrix
    score: Matrix
    odds: Matrix
    none: float
    top: float
    off: Matrix
    off_sd: Matrix
    f: float
    n: float

    @property
    def whole_off(self) -> Matrix:
        """Size of each slip left free, in stitches or rows of the size that they have if it is one."""
        gain = self.q / (1 + self.q * self.information)
        size = self.w0 + self.prior_var * (self.N @ self.Wr - gain * self.score * (self.N @ self.WA))
        return self.off * self.typical / size

    @property
    def total(self) -> float:
        """All explanations of this direction alone, the piece as a whole left aside."""
        return self.none + float(self.odds.sum())

    def log_likelihood(self, w0: float, prior_var: float) -> float:
        """Log of the marginal likelihood under another size, but for what does not depend on it."""
        g = self.f - w0 * self.n
        grown = 1 + prior_var * self.n
        return -0.5 * (w0 * (w0 * self.n - 2 * self.f) - prior_var * g * g / grown + math.log(grown))


def weighed_direction(
    direction: CountedDirection, points: Sequence[PiecePoint], prior: StitchSizePrior, local_sd: float
) -> Weighed:
    """Weigh every slip of a direction against one gauge; see explain_piece for the formulas.

    points  of that direction, each with a count and a reading, in the order they were knitted
    prior   log of the size before the piece was read [ln mm]
    Raises PieceError for a count or length that is not positive and finite.
    """
    keys = [point.key for point in points]
    measured = [cast(Estimate, point.measured) for point in points]
    for point, estimate in zip(points, measured, strict=True):
        check_reading(point.key, PieceReading(point.count, estimate))
    slips = slips_of(tuple(keys), tuple(point.counted for point in points), direction)
    N = np.array([point.count for point in points], dtype=float)
    F = np.array([estimate.value for estimate in measured])
    tape = np.array([estimate.u for estimate in measured])
    w0 = math.exp(prior.log_mean)
    typical = median((F / N).tolist())
    prior_var = (prior.sd * w0) ** 2

    # The floor (a hundredth of a millimetre) keeps exact readings without local scatter weighable.
    place = (local_sd**2 + OWN_EDGE_SD**2 * slips.own_edge) * (N * typical) ** 2
    precision = 1 / np.maximum(tape**2 + place, 1e-4)
    r = F - N * w0
    alone = np.diag(precision)
    plain = _with_column(alone, N, prior_var)
    # The explanations are compared with the edge offset allowed in each: it may explain what stands out.
    level = _with_column(alone, np.ones(len(N)), EDGE_OFFSET_SD_MM**2)
    W = _with_column(level, N, prior_var)
    Wr = W @ r

    loo = plain @ r / np.sqrt(plain.diagonal())
    limit = normal_quantile(1 - FALSE_ALARM / len(N))
    A = typical * slips.masks * np.where(slips.gauge, N[:, None], 1.0)
    off, off_sd = _left_free(A, plain, r)
    stands_out = bool((~slips.gauge & (np.abs(off) > limit * off_sd) & (np.abs(off) >= 1)).any())
    WA = W @ A
    information = (A * WA).sum(axis=0)
    score = A.T @ Wr
    q = variances(slips, N)
    odds, none, top = _against_one_gauge(slips, q, information, score)
    return Weighed(
        direction=direction,
        keys=keys,
        measured=measured,
        slips=slips,
        q=q,
        N=N,
        w0=w0,
        prior_var=prior_var,
        typical=typical,
        z=dict(zip(keys, loo.tolist(), strict=True)),
        limit=limit,
        stands_out=stands_out,
        W=W,
        Wr=Wr,
        A=A,
        WA=WA,
        information=information,
        score=score,
        odds=odds,
        none=none,
        top=top,
        off=off,
        off_sd=off_sd,
        f=float(N @ level @ F),
        n=float(N @ level @ N),
    )


def _left_free(A: Matrix, plain: Matrix, r: Matrix) -> tuple[Matrix, Matrix]:
    """Size of each slip without a prior, a'W r / a'W a, and its SD [unit]; plain: W without the edge offset."""
    information = (A * (plain @ A)).sum(axis=0)
    return A.T @ (plain @ r) / information, 1 / np.sqrt(information)


def _against_one_gauge(slips: Slips, q: Matrix, information: Matrix, score: Matrix) -> tuple[Matrix, float, float]:
    """Odds of every slip and of none, both times exp(-top), and top, the largest log Bayes factor: none overflows."""
    log_bf = 0.5 * (q * score**2 / (1 + q * information) - np.log1p(q * information))
    top = max(0.0, float(log_bf.max(initial=0.0)))
    return slips.weight * np.exp(log_bf - top), NO_SLIP_WEIGHT * math.exp(-top), top


def _with_column(W: Matrix, column: Matrix, variance: float) -> Matrix:
    """Inverse covariance once variance x column column' is added to the covariance (Sherman and Morrison 1950)."""
    Wc = W @ column
    return W - Wc[:, None] * Wc * (variance / (1 + variance * float(column @ Wc)))


class WholePiece(NamedTuple):
    """What is off in both directions at once, against "each direction by itself".

    alone  weight of each direction by itself
    dials  weight of every other dial
    shape  weight of a piece out of shape, and how far it is pulled [1]
    """

    alone: float = 1.0
    dials: tuple[tuple[str, float], ...] = ()
    shape: float = 0.0
    pull: float = 0.0

    def weights(self, weighed: Mapping[CountedDirection, Weighed], direction: CountedDirection) -> Weights:
        """How likely every explanation of a direction is."""
        told = weighed[direction]
        share = self.alone / told.total
        slips = told.odds * share
        return Weights(told.none * share, slips, dict(self.dials), self.shape)


class Weights(NamedTuple):
    """How likely each explanation of one direction is, adding up to 1."""

    none: float
    slips: Matrix
    dials: Mapping[str, float]
    shape: float


def whole_piece(weighed: Mapping[CountedDirection, Weighed], fabric: KnownFabric | None) -> WholePiece:
    """Weigh another dial and a pull, which show in both directions, against each direction by itself."""
    if len(weighed) < 2 or fabric is None or not isinstance(fabric, SwatchedFabric):
        return WholePiece()
    across, along = weighed["across"], weighed["along"]
    # The weight of one gauge in both directions over all that each direction by itself can be.
    logs: list[tuple[str, float, float]] = []
    dials = list(fabric.other_dials)
    each = min(DIAL_WEIGHT, DIALS_WEIGHT / len(dials)) if dials else 0.0
    for other in dials:
        log_bf = 0.0
        for told, prior in ((across, other.across), (along, other.along)):
            size = math.exp(prior.log_mean)
            log_bf += told.log_likelihood(size, (prior.sd * size) ** 2)
            log_bf -= told.log_likelihood(told.w0, told.prior_var)
        logs.append((other.dial, each, log_bf))
    pull = 0.0
    pulled_weight = PULLED_WEIGHT if fabric.relaxed else 0.0
    if pulled_weight:
        score = along.w0 * float(along.N @ along.Wr) - across.w0 * float(across.N @ across.Wr)
        information = sum(told.w0**2 * float(told.N @ told.W @ told.N) for told in weighed.values())
        grown = 1 + PULLED_SD**2 * information
        pull = PULLED_SD**2 * score / grown
        log_bf = 0.5 * (PULLED_SD**2 * score**2 / grown - math.log(grown))
        logs.append(("", pulled_weight, log_bf))
    each_alone = sum(told.top + math.log(told.total) for told in weighed.values())
    alone_weight = 1 - each * len(dials) - pulled_weight
    top = max([each_alone, *(log_bf for _, _, log_bf in logs)])
    alone = alone_weight * math.exp(each_alone - top)
    others = [(dial, weight * math.exp(log_bf - top)) for dial, weight, log_bf in logs]
    total = alone + sum(weight for _, weight in others)
    return WholePiece(
        alone / total,
        tuple((dial, weight / total) for dial, weight in others if dial),
        sum(weight / total for dial, weight in others if not dial),
        pull,
    )
