"""Is a piece right? Matches, differs or too close to call, per point, and what more readings would settle."""

from __future__ import annotations

import functools
import math
from collections.abc import Mapping, Sequence
from typing import Literal, NamedTuple

import numpy as np

from fitcheck.advice.judge.explanation import Explanation, explain_piece
from fitcheck.advice.judge.points import HowRead, PiecePoint, Tolerance
from fitcheck.advice.judge.weighed import KnownFabric
from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.piece import (
    VAGUE,
    CountedDirection,
    Matrix,
    PiecePosterior,
    PieceReading,
    piece_posterior,
)
from fitcheck.estimates.readings import combine
from fitcheck.estimates.student import student_cdf, student_quantile
from fitcheck.records.faults import FitcheckError
from fitcheck.records.frozen import frozen

ALPHA = 0.022
"""Error per side and look: three looks then pass a piece at the edge wrongly in 5 % (simulated, model 4)."""
MOST_LOOKS = 3
"""Rounds of readings after which an open point is called on the line (model 4)."""

VerdictCode = Literal["matches", "differs", "too_close", "held_at"]
Reason = Literal["more_readings", "tolerance_below_tape", "wanted_value_too_uncertain", "on_the_line"]
Side = Literal["piece", "reference"]


class VerdictError(FitcheckError, ValueError):
    """A difference cannot be judged; the message names the field, what was read and what is accepted."""


@frozen
class Verdict:
    """The label of one difference, with the interval that the label used.

    code             matches | differs | too_close | held_at (pinned: it measures its pins)
    difference       measured - wanted [mm]
    low, high        interval of the difference at this level [mm]
    u                standard uncertainty of the difference [mm]
    dof              its degrees of freedom
    alpha            error per side
    level            1 - 2 alpha
    tolerance_mm     allowed on the narrower (shorter) and wider (longer) side, both positive [mm]
    reason           why it is too close, None otherwise
    side             which side to measure again, None where more tape does not settle it
    readings_needed  further readings of that side that settle it if the difference stays what it is; None
                     where that cannot be told
    """

    code: VerdictCode
    difference: float
    low: float
    high: float
    u: float
    dof: float
    alpha: float
    level: float
    tolerance_mm: tuple[float, float]
    reason: Reason | None
    side: Side | None
    readings_needed: int | None

    @property
    def estimate(self) -> Estimate:
        """The difference as an estimate, for an interval at another level."""
        return Estimate(self.difference, self.u, self.dof)

    @property
    def chance_within(self) -> float:
        """Chance that the true difference is within the tolerance (JCGM 106:2012)."""
        narrower, wider = self.tolerance_mm
        too_large = _above(self.difference - wider, self.u, self.dof)
        return max(0.0, 1 - too_large - _above(-narrower - self.difference, self.u, self.dof))

    @property
    def p_value(self) -> float:
        """The larger p-value of the two one-sided tests: the point matches iff it is at most alpha."""
        low, high = self.tolerance_mm
        return max(
            _above(self.difference - high, self.u, self.dof),
            _above(-low - self.difference, self.u, self.dof),
        )


@frozen
class PointVerdict:
    """The verdict of one point of a piece.

    key       key of the point of measure
    verdict   from everything known: the piece's joint posterior where its counts allow it
    measured  true length of the piece at this point as then known [mm]
    wanted    what it should measure [mm]
    alone     from this point's own readings only
    """

    key: str
    verdict: Verdict
    measured: Estimate
    wanted: Estimate
    alone: Verdict


@frozen
class PieceVerdict:
    """The verdict of a piece.

    points              one verdict per point, in the order given
    across, along       joint posterior of the counted points of a direction, None where it was not used
    explanation         what explains the lengths; a flagged direction is judged point by point
    order               keys of the rows of the next field
    difference_cov_mm2  covariance of the differences [mm2], shape (points, points)
    """

    points: tuple[PointVerdict, ...]
    across: PiecePosterior | None
    along: PiecePosterior | None
    explanation: Explanation
    order: tuple[str, ...]
    difference_cov_mm2: Matrix


def tolerance_sides(tolerance_mm: Tolerance, field: str = "tolerance_mm") -> tuple[float, float]:
    """What is allowed on the narrower (shorter) and on the wider (longer) side [mm], both positive.

    tolerance_mm  one number for both sides, or a pair; math.inf frees a side
    field         name for the message
    Raises VerdictError unless every side is above 0.
    """
    low, high = tolerance_mm if isinstance(tolerance_mm, tuple | list) else (tolerance_mm, tolerance_mm)
    if not (low > 0 and high > 0):
        raise VerdictError(
            f"{field}: read {tolerance_mm} mm; a tolerance above 0 mm is accepted, or a pair (narrower or "
            "shorter, wider or longer side). Give what may be off at this point."
        )
    return float(low), float(high)


def judge_difference(
    wanted: Estimate | float, measured: Estimate | float, tolerance_mm: Tolerance, *, look: int = 1
) -> Verdict:
    """Label the difference measured - wanted against a tolerance.

        d = measured - wanted,  u^2 = u_wanted^2 + u_measured^2,  [low, high] = d -+ t(1 - .022, dof) u
        matches iff [low, high] lies inside the tolerance, differs iff wholly beyond one side, else too_close

    This is the two one-sided tests procedure at 2.2 % a look. reason of too_close: at the third look
    on_the_line; under a tolerance that no reading of this quality could meet tolerance_below_tape; else
    what settles it: more_readings of the piece, wanted_value_too_uncertain (read the reference again), or
    on_the_line where neither does. With D the tolerance, n readings of SD s settle it when
    n >= s^2 / [((D - |d|)/t)^2 - u_other^2 - resolution^2/12]; beyond the tolerance |d| - D takes the place
    of D - |d|. Plain estimates do not tell s, so here readings_needed is None; HowRead tells judge_piece.

    wanted, measured  estimates [mm], or plain numbers that are taken as exact
    tolerance_mm      one number, or (narrower or shorter side, wider or longer side) [mm], above 0
    look              1 for the first verdict, one more for every round of readings added after a verdict
    Raises VerdictError for a tolerance, number or look out of range.
    Sources: Schuirmann (1987) J. Pharmacokin. Biopharm. 15:657 (two one-sided tests); ISO 14253-1 (zones);
    JCGM 106:2012 (chance within); JCGM 100:2008 G.4 (degrees of freedom).
    """
    reference, piece = _as_estimate(wanted, "wanted"), _as_estimate(measured, "measured")
    difference = combine(reference, piece, weights=(-1.0, 1.0))
    return _label(difference, tolerance_sides(tolerance_mm), look, _Parts(piece.u**2, reference.u**2))


def judge_piece(
    points: Sequence[PiecePoint], fabric: KnownFabric | None = None, *, looks: int | Mapping[str, int]
) -> PieceVerdict:
    """Judge all points of a piece.

    Where two or more points of a direction have a count and a reading of their own, lengths come from the
    joint posterior of the piece (piece_posterior), unless explain_piece doubts a count there: then, and
    everywhere else, from each point's own readings. An overhang o is a second measurement of the difference,
    independent of the tape: d = (1 - v) (F - wanted) + v o with v by inverse variance, and the true
    length is wanted + d. Alone it is the difference. The covariance of the differences is that of the
    lengths, scaled by 1 - v, plus a wanted value's and an overhang's own variance on the diagonal.

    points  at least one; distinct keys; those of one direction in the order they were knitted, from the
            cast-on up; each with a reading or an overhang
    fabric  tells the stitch or row size before this piece was read (it must not contain this piece), or None
    looks   look of every point, or of each by key (a key left out: first look)
    Raises VerdictError for a point without reading and overhang, a key given twice, or values out of range.
    """
    _check(points)
    explanation = explain_piece(points, fabric)
    length, cov, joint = _lengths(points, fabric, explanation)
    verdicts, share, extra = [], [], []
    for place, point in enumerate(points):
        look = looks if isinstance(looks, int) else looks.get(point.key, 1)
        tolerance = tolerance_sides(point.tolerance_mm, f"{point.key}.tolerance_mm")
        difference, parts, weight = _difference(point, length[place])
        verdict = _label(difference, tolerance, look, parts, point.pinned)
        if length[place] is point.measured:
            alone = verdict
        else:
            own_difference, own_parts, _ = _difference(point, point.measured)
            alone = _label(own_difference, tolerance, look, own_parts, point.pinned)
        shown = _true_length(point, length[place], difference, weight)
        verdicts.append(PointVerdict(point.key, verdict, shown, point.wanted, alone))
        share.append(1 - weight)
        overhang_var = point.overhang.u**2 if point.overhang is not None else 0.0
        extra.append((1 - weight) ** 2 * point.wanted.u**2 + weight**2 * overhang_var)
    left = np.array(share)
    cov = cov * (left[:, None] * left) + np.diag(extra)
    return PieceVerdict(
        tuple(verdicts),
        joint["across"],
        joint["along"],
        explanation,
        tuple(point.key for point in points),
        cov,
    )


def differences(points: Sequence[PiecePoint]) -> dict[str, Estimate]:
    """How far every point of a piece is off what is wanted [mm], by its key, as `judge_piece` has it without a fabric.

    Raises VerdictError as it does.
    """
    _check(points)
    length = _lengths(points, None, explain_piece(points)).length
    off = [_difference(point, own)[0] for point, own in zip(points, length, strict=True)]
    return {point.key: Estimate(own.value, own.u, own.dof) for point, own in zip(points, off, strict=True)}


def _check(points: Sequence[PiecePoint]) -> None:
    if len({point.key for point in points}) < len(points):
        raise VerdictError(
            f"points: read the keys {', '.join(point.key for point in points)}; each key once is accepted. "
            "Join the readings of one point of measure."
        )
    for point in points:
        _check_point(point)


class _Lengths(NamedTuple):
    """Every point's length as it is judged, their covariance [mm^2], and the joint posterior of each direction."""

    length: list[Estimate | None]
    cov: Matrix
    joint: dict[CountedDirection, PiecePosterior | None]


def _lengths(points: Sequence[PiecePoint], fabric: KnownFabric | None, explanation: Explanation) -> _Lengths:
    """Lengths from the joint posterior of a direction where no count is doubted in it; else each point's own."""
    length: list[Estimate | None] = [point.measured for point in points]
    cov = np.diag([point.measured.u**2 if point.measured is not None else 0.0 for point in points])
    joint: dict[CountedDirection, PiecePosterior | None] = {"across": None, "along": None}
    for direction in joint:
        at = [place for place, point in enumerate(points) if _joins(point, direction)]
        if len(at) < 2 or direction in explanation.flagged:
            continue
        prior = fabric.prior(direction) if fabric is not None else None
        readings = [_reading(points[place]) for place in at]
        posterior = piece_posterior(readings, prior or VAGUE[direction])
        joint[direction] = posterior
        cov[np.array(at)[:, None], at] = posterior.cov_mm2
        u = np.sqrt(posterior.cov_mm2.diagonal()).tolist()
        for place, value, own_u, reading in zip(at, posterior.means_mm.tolist(), u, readings, strict=True):
            own = reading.measured
            length[place] = Estimate(value, own_u, posterior.dof, own.outliers, own.source, own.basis)
    return _Lengths(length, cov, joint)


@frozen
class _Parts:
    """Where the variance of a difference comes from [mm2], for telling how many readings are still needed.

    piece      variance of the piece's length; nil where the overhang is the difference
    reference  variance of the wanted value; nil where the overhang is the difference
    known      precision of the difference by a way that further readings leave as it is (an overhang beside
               tape readings) [1/mm2]
    borrowed   precision of the length that comes from the other points of the piece [1/mm2]
    """

    piece: float
    reference: float
    known: float = 0.0
    borrowed: float = 0.0
    piece_read: HowRead | None = None
    reference_read: HowRead | None = None


def _joins(point: PiecePoint, direction: CountedDirection) -> bool:
    return point.direction == direction and point.count is not None and point.measured is not None and not point.pinned


def _reading(point: PiecePoint) -> PieceReading:
    assert point.measured is not None  # _joins
    return PieceReading(point.count, point.measured)


def _difference(point: PiecePoint, length: Estimate | None) -> tuple[Estimate, _Parts, float]:
    """Difference of a point, where its variance comes from, and the weight of the overhang in it."""
    overhang = point.overhang
    if length is None:
        assert overhang is not None  # _check_point
        return overhang, _Parts(overhang.u**2, 0.0, 0.0, 0.0, point.piece_read, None), 1.0
    own = point.measured.u**2 if point.measured is not None else 0.0
    borrowed = max(0.0, 1 / length.u**2 - 1 / own) if own and length.u else 0.0
    taped = combine(length, point.wanted, weights=(1.0, -1.0))
    known = 0.0 if overhang is None else (1 / overhang.u**2 if overhang.u else math.inf)
    parts = _Parts(length.u**2, point.wanted.u**2, known, borrowed, point.piece_read, point.reference_read)
    if overhang is None:
        return taped, parts, 0.0
    total = taped.u**2 + overhang.u**2
    weight = taped.u**2 / total if total else 0.5
    both = combine(taped, overhang, weights=(1 - weight, weight))
    return both, parts, weight


def _true_length(point: PiecePoint, length: Estimate | None, difference: Estimate, weight: float) -> Estimate:
    """Length of the piece, wanted + d = (1 - v) F + v (wanted + o) [mm]."""
    if length is not None and point.overhang is None:
        return length
    own = length.u if length is not None else 0.0
    over = math.hypot(point.wanted.u, point.overhang.u) if point.overhang is not None else 0.0
    u = math.hypot((1 - weight) * own, weight * over)
    return Estimate(point.wanted.value + difference.value, u, difference.dof, basis=difference.basis)


@functools.lru_cache(maxsize=512)
def _quantile(dof: float) -> float:
    return student_quantile(1 - ALPHA, dof)  # points read with one pool share their degrees of freedom


def _label(
    difference: Estimate, tolerance: tuple[float, float], look: int, parts: _Parts, pinned: bool = False
) -> Verdict:
    if look < 1:
        raise VerdictError(
            f"look: read {look}; 1 for the first verdict or more is accepted. Count the rounds of readings."
        )
    d, u, dof = difference.value, difference.u, difference.dof
    t = _quantile(dof)
    low, high = d - t * u, d + t * u
    narrower, wider = tolerance
    code: VerdictCode
    reason: Reason | None = None
    side: Side | None = None
    needed: int | None = None
    if pinned:
        code = "held_at"
    elif -narrower <= low and high <= wider:
        code = "matches"
    elif high < -narrower or low > wider:
        code = "differs"
    else:
        code = "too_close"
        reason, side, needed = _what_settles(d, t, tolerance, t * u, look, parts)
    return Verdict(
        code=code,
        difference=d,
        low=low,
        high=high,
        u=u,
        dof=dof,
        alpha=ALPHA,
        level=1 - 2 * ALPHA,
        tolerance_mm=tolerance,
        reason=reason,
        side=side,
        readings_needed=needed,
    )


class _Settling(NamedTuple):
    """Why a point is open, which side to read again, and how many further readings settle it."""

    reason: Reason
    side: Side | None
    needed: int | None


_ON_THE_LINE = _Settling("on_the_line", None, None)


def _what_settles(
    d: float, t: float, tolerance: tuple[float, float], half_width: float, look: int, parts: _Parts
) -> _Settling:
    """What settles a point that is open.

    gap is the distance of d from the nearer limit. (gap/t)^2 is the variance at which it is settled; what an
    overhang already knows and what the other side leaves is taken off it. The side that needs fewer further
    readings is named, the piece where they are equal or where nothing is known of the hands.
    """
    if look >= MOST_LOOKS:
        return _ON_THE_LINE
    narrower, wider = tolerance
    gap = min(abs(d + narrower), abs(wider - d))
    settled = (gap / t) ** 2
    # 1/(taped variance) + known >= 1/settled
    short = 1 / settled - parts.known if settled else math.inf
    taped = 1 / short if short > 0 else math.inf
    of_piece = taped - parts.reference
    of_reference = taped - parts.piece
    piece_helps = of_piece > 0 and parts.piece > 0
    reference_helps = of_reference > 0 and parts.reference > 0
    piece_more = _further(of_piece, parts.borrowed, parts.piece_read) if piece_helps else None
    reference_more = _further(of_reference, 0.0, parts.reference_read) if reference_helps else None

    side: Side | None = None
    needed: int | None = None
    if piece_helps and piece_more != math.inf:
        side, needed = "piece", _whole(piece_more)
    if reference_helps and reference_more != math.inf:
        fewer = needed is not None and reference_more is not None and reference_more < needed
        if side is None or fewer:
            side, needed = "reference", _whole(reference_more)
    if half_width > (narrower + wider) / 2:
        return _Settling("tolerance_below_tape", side, needed)
    if side is None:
        return _ON_THE_LINE
    return _Settling("more_readings" if side == "piece" else "wanted_value_too_uncertain", side, needed)


def _further(variance: float, borrowed: float, how_read: HowRead | None) -> float | None:
    """Further readings that bring a length to a variance [mm2]; inf where none do, None where s is unknown.

    Own readings need s^2/n + resolution^2/12 + fixed <= 1/(1/variance - borrowed).
    """
    if how_read is None:
        return None
    own = 1 / variance - borrowed
    if own <= 0:
        return 1
    left = 1 / own - how_read.resolution_mm**2 / 12 - how_read.fixed_mm2
    if left <= 0:
        return math.inf
    total = how_read.s_mm**2 / left * (1 - 1e-12)  # a whole number stays one in spite of rounding
    return max(1, math.ceil(total) - how_read.readings) if math.isfinite(total) else math.inf


def _whole(readings: float | None) -> int | None:
    return None if readings is None else int(readings)


def _above(distance: float, u: float, dof: float) -> float:
    """Chance that a true difference is beyond a limit that lies -distance above the estimate [mm]."""
    if math.isinf(distance):
        return 0.0 if distance < 0 else 1.0
    if u == 0:
        return float(distance > 0)
    return student_cdf(distance / u, dof)


def _as_estimate(value: Estimate | float, field: str) -> Estimate:
    estimate = value if isinstance(value, Estimate) else Estimate(float(value))
    _check_estimate(estimate, field)
    return estimate


def _check_estimate(estimate: Estimate, field: str) -> None:
    known = math.isfinite(estimate.value) and math.isfinite(estimate.u)
    if not (known and estimate.u >= 0 and estimate.dof > 0):
        raise VerdictError(
            f"{field}: read {estimate.value} mm, u {estimate.u} mm, {estimate.dof} degrees of freedom; "
            "a finite length with u of 0 mm or more and degrees of freedom above 0 is accepted. Make the "
            "estimate from its readings again."
        )


def _check_point(point: PiecePoint) -> None:
    _check_estimate(point.wanted, f"{point.key}.wanted")
    for estimate, field in ((point.measured, "measured"), (point.overhang, "overhang")):
        if estimate is not None:
            _check_estimate(estimate, f"{point.key}.{field}")
    if point.measured is None and point.overhang is None:
        raise VerdictError(
            f"{point.key}.measured: read no reading and no overhang; one of them is accepted. Measure the "
            "point, or leave it out."
        )
