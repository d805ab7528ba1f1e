"""What explains the lengths of a piece: one gauge, a slip in the counts, two gauges, another dial, out of shape."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import field, replace
from typing import Literal, NamedTuple, cast

import numpy as np

from fitcheck.advice.judge.points import PiecePoint
from fitcheck.advice.judge.slips import Slip, Slips
from fitcheck.advice.judge.weighed import (
    KnownFabric,
    Weighed,
    Weights,
    WholePiece,
    weighed_direction,
    whole_piece,
)
from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.piece import LOCAL_SD, VAGUE, CountedDirection, Matrix
from fitcheck.estimates.student import normal_quantile
from fitcheck.records.frozen import frozen

ExplanationCode = Literal[
    "one_gauge", "miscount", "zone", "cast_on", "two_gauges", "another_dial", "out_of_shape", "cannot_say"
]

WORTH_COUNTING = 0.125
"""A doubt this likely against one gauge is worth a recount, which is cheap (assumed)."""
IN_DOUBT = 0.5
"""One gauge below this weight is in doubt: what hangs on it is asked first (model of the piece)."""
LEAST_PULL = 0.03
"""A piece pulled by less is judged as it lies [1] (assumed)."""

_DIRECTIONS: tuple[CountedDirection, ...] = ("across", "along")


@frozen
class Suspect:
    """One explanation that can be settled by counting or by an answer.

    points    points whose counts it moves; empty for the dial
    first     the one to count first
    stitches  stitches or rows more (minus: fewer) than counted [1]
    dial      the setting that the dial would have stood at
    weight    how likely it is after the readings
    """

    code: ExplanationCode
    points: tuple[str, ...]
    first: str
    stitches: int
    weight: float
    dial: str | None = None


@frozen
class DirectionExplanation:
    """What explains one direction.

    code          one_gauge unless something stands out and another explanation is worth counting for, or one
                  gauge has less than half the weight; cannot_say without enough counted points
    weights       how likely each explanation is after the readings, adding up to 1
    z             per point: distance from what the other points and the fabric promise, in its own SDs
    limit         |z| from here on stands out
    point         the point whose count is doubted (miscount), the point of the zone (zone), the last point before
                  the step (two_gauges)
    points        the points that the explanation moves: of a zone, after a wrong cast-on, after the step
    stitches      stitches or rows more (minus: fewer) than counted (miscount, zone) or cast on (cast_on)
    stitches_low  fewest and most that are likely (whole numbers inside the 90 % range)
    stitches_high
    percent       step of the second gauge against the first (two_gauges), how far it is pulled (out_of_shape) [%]
    size          stitch or row size under this explanation [mm]; the first gauge under two_gauges
    dial          the setting that the dial stood at (another_dial)
    suspects      what counting could settle, the likeliest first
    own_sizes     stitch or row size at the points that it moves, if their counts are right after all [mm]
    """

    code: ExplanationCode
    weights: Mapping[str, float] = field(default_factory=dict)
    z: Mapping[str, float] = field(default_factory=dict)
    limit: float = math.inf
    point: str | None = None
    points: tuple[str, ...] = ()
    stitches: int | None = None
    stitches_low: int | None = None
    stitches_high: int | None = None
    percent: float | None = None
    size: Estimate | None = None
    dial: str | None = None
    suspects: tuple[Suspect, ...] = ()
    own_sizes: Mapping[str, float] = field(default_factory=dict)

    @property
    def flagged(self) -> bool:
        """Whether a count, a gauge, the dial or the shape is doubted here."""
        return self.code not in ("one_gauge", "cannot_say")

    @property
    def in_doubt(self) -> bool:
        """Whether one gauge has less than half the weight."""
        return self.flagged and self.weights["one_gauge"] < IN_DOUBT


_CANNOT_SAY = DirectionExplanation("cannot_say")


@frozen
class Explanation:
    """What explains the differences of the whole piece: the direction that stands out most, and each.

    The fields of the leading direction are repeated here; see DirectionExplanation. direction is None when
    nothing stands out. sizes holds the stitch (across) and row (along) size where it can be said [mm].
    pulled is how far the piece is likely to lie out of shape [1], plus = longer and narrower; 0 unless it is.
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
    pulled: float = 0.0

    @property
    def own_sizes(self) -> dict[str, float]:
        """Stitch or row size at the points that are off, if what was written down is right after all [mm]."""
        return {key: size for told in self.directions.values() for key, size in told.own_sizes.items()}

    @property
    def flagged(self) -> tuple[CountedDirection, ...]:
        """Directions in which something is doubted: no joint judgement there until it is settled."""
        return tuple(direction for direction, explained in self.directions.items() if explained.flagged)


def explain_piece(
    points: Sequence[PiecePoint], fabric: KnownFabric | None = None, *, local_sd: float = LOCAL_SD
) -> Explanation:
    """Say what explains the lengths of a piece, from its counts.

        z = a'W r / sqrt(a'W a),  W = Sigma^-1,  r = F - N w0
        Sigma = (sd w0)^2 N N' + diag(u_j^2 + (lambda N_j w)^2 + [own edge] (.02 N_j w)^2)

    with a the column of one slip: for a single point z is its distance from what the other points and the fabric
    promise. A slip stands out if |z| > z(1 - .01/J) and it is one stitch or more. The explanations are compared with
    an edge offset common to all points, c ~ N(0, (4 mm)^2), allowed in each: nothing else, the slips of slips_of
    (one point, one zone, the cast-on off by m, another gauge from some point on), and for the piece as a whole
    another dial (both sizes as the fabric has them there) and out of shape (w e^-k, h e^k). A slip or a pull adds
    q a a' to Sigma and is weighed by its marginal likelihood,

        2 log BF = q (a'W r)^2 / (1 + q a'W a) - log(1 + q a'W a).

    A direction is flagged iff a slip stands out and the likeliest other explanation is at least an eighth as likely
    as "nothing else", or that has less than half the weight.

    points    points of one piece; those of one direction in the order they were knitted, from the cast-on up. Only
              points with a count and a reading that were not pinned are used; positive counts and lengths [mm]
    fabric    tells the size before this piece, or None; a SwatchedFabric tells other dials and the shape too
    local_sd  relative SD from place to place
    With fewer than two such points in both directions and no fabric the code is cannot_say.
    Raises PieceError for a count or length that is not positive and finite.
    Source: the piece model of this project (its section 5); leave-one-out residuals from the inverse
    covariance as in Cook and Weisberg (1982), Residuals and Influence in Regression, 2.2 (from memory).
    """
    told = {direction: _weighed(direction, points, fabric, local_sd) for direction in _DIRECTIONS}
    weighed = {direction: one_way for direction, one_way in told.items() if one_way is not None}
    whole = whole_piece(weighed, fabric)
    directions = {
        direction: _explained(weighed[direction], whole.weights(weighed, direction), whole)
        if direction in weighed
        else _CANNOT_SAY
        for direction in _DIRECTIONS
    }
    flagged = [direction for direction in directions if directions[direction].flagged]
    known = [direction for direction in directions if directions[direction].code != "cannot_say"]
    leading = max(flagged or known, key=lambda direction: _stands_out(directions[direction]), default=None)
    lead = directions[leading] if leading is not None else _CANNOT_SAY
    pulled = whole.pull if lead.weights.get("out_of_shape", 0.0) >= IN_DOUBT and abs(whole.pull) >= LEAST_PULL else 0.0
    return Explanation(
        code=lead.code,
        direction=leading if lead.flagged else None,
        point=lead.point,
        stitches=lead.stitches,
        stitches_low=lead.stitches_low,
        stitches_high=lead.stitches_high,
        weights=lead.weights,
        sizes={direction: size for direction in directions if (size := directions[direction].size) is not None},
        directions=directions,
        pulled=pulled,
    )


def _weighed(
    direction: CountedDirection, points: Sequence[PiecePoint], fabric: KnownFabric | None, local_sd: float
) -> Weighed | None:
    """A direction weighed; None with fewer than two usable points and no fabric."""
    usable = [
        point
        for point in points
        if point.direction == direction and point.count is not None and point.measured is not None and not point.pinned
    ]
    prior = fabric.prior(direction) if fabric is not None else None
    if not usable or (len(usable) == 1 and prior is None):
        return None
    return weighed_direction(direction, usable, prior or VAGUE[direction], local_sd)


def _stands_out(explained: DirectionExplanation) -> float:
    return max(abs(z) for z in explained.z.values()) / explained.limit


def _explained(told: Weighed, likely: Weights, whole: WholePiece) -> DirectionExplanation:
    weights = {"one_gauge": likely.none, "miscount": 0.0, "zone": 0.0, "cast_on": 0.0, "two_gauges": 0.0}
    for slip, weight in zip(told.slips.listed, likely.slips.tolist(), strict=True):
        weights[slip.code] += weight
    if whole.alone < 1:
        weights |= {"another_dial": sum(likely.dials.values()), "out_of_shape": likely.shape}
    odd = [cast(ExplanationCode, code) for code in weights if code != "one_gauge"]
    code = max(odd, key=lambda explanation: weights[explanation])
    seen = told.stands_out and weights[code] >= WORTH_COUNTING * weights["one_gauge"]
    if not _is_odd(told, code, likely.slips) or not (seen or weights["one_gauge"] < IN_DOUBT):
        code = "one_gauge"
    explained = DirectionExplanation(code, weights, told.z, told.limit, suspects=_suspects(told, likely))
    match code:
        case "one_gauge":
            return replace(explained, size=_size(told, told.W, told.Wr))
        case "another_dial":
            dial = max(likely.dials, key=lambda setting: likely.dials[setting])
            return replace(explained, size=_size(told, told.W, told.Wr), dial=dial)
        case "out_of_shape":
            return replace(explained, size=_size(told, told.W, told.Wr), percent=100 * whole.pull)
    return _slipped(told, explained, likely.slips)


def _likeliest(slips: Slips, code: ExplanationCode, likely: Matrix) -> int:
    """Place of the likeliest slip of a kind."""
    of_kind = (h for h, slip in enumerate(slips.listed) if slip.code == code)
    return max(of_kind, key=lambda h: float(likely[h]))


def _is_odd(told: Weighed, code: ExplanationCode, likely: Matrix) -> bool:
    """Whether it is more than a part of a stitch: a slip is a stitch or row at least."""
    if code not in ("miscount", "zone", "cast_on"):
        return True
    listed = [slip.code for slip in told.slips.listed]
    return code in listed and abs(float(told.off[_likeliest(told.slips, code, likely)])) >= 1


class _Off(NamedTuple):
    """How far off a slip is: stitches or rows with their SD, or the step of a second gauge [%]; and at which point."""

    point: str | None
    stitches: float | None = None
    spread: float = 0.0
    percent: float | None = None


def _off(told: Weighed, slip: Slip, h: int) -> _Off:
    precision = 1 / told.q[h] + told.information[h]
    pulled_in = float(told.score[h] / precision)
    match slip.code:
        case "miscount" | "zone":
            # The count is free here, so the estimate is the one without a prior, not pulled to 0.
            return _Off(told.keys[slip.first], float(told.off[h]), float(told.off_sd[h]))
        case "cast_on":
            return _Off(None, pulled_in, 1 / math.sqrt(precision))
        case _:
            return _Off(told.keys[min(slip.points) - 1], percent=100 * pulled_in)


def _slipped(told: Weighed, explained: DirectionExplanation, likely: Matrix) -> DirectionExplanation:
    """What explains a direction by its likeliest slip of a kind."""
    h = _likeliest(told.slips, explained.code, likely)
    slip = told.slips.listed[h]
    off = _off(told, slip, h)
    gain = told.q[h] / (1 + told.q[h] * told.information[h])
    W_odd = told.W - gain * np.outer(told.WA[:, h], told.WA[:, h])
    size = _size(told, W_odd, told.Wr - gain * told.score[h] * told.WA[:, h])
    whole = _WholeRange()
    if off.stitches is not None:
        # A column of a slip is in stitches of the middle size; under this explanation they have another.
        scale = told.typical / size.value
        whole = _whole_range(off.stitches * scale, off.spread * scale)
    return replace(
        explained,
        point=off.point,
        points=tuple(told.keys[j] for j in sorted(slip.points)),
        stitches=whole.best,
        stitches_low=whole.low,
        stitches_high=whole.high,
        percent=off.percent,
        size=size,
        own_sizes=_own_sizes(told, slip, size.value, off.percent),
    )


def _own_sizes(told: Weighed, slip: Slip, size_mm: float, percent: float | None) -> dict[str, float]:
    """Size at every point that a slip moves, if its count is right [mm]; beyond a step the second gauge's."""
    if percent is not None:
        return {told.keys[j]: size_mm * (1 + percent / 100) for j in sorted(slip.points)}
    return {told.keys[j]: told.measured[j].value / float(told.N[j]) for j in sorted(slip.points)}


def _suspects(told: Weighed, likely: Weights) -> tuple[Suspect, ...]:
    """What counting this direction or an answer about the dial could settle, the likeliest first."""
    suspects = [
        Suspect(
            slip.code,
            tuple(told.keys[j] for j in sorted(slip.points)),
            told.keys[slip.first],
            _whole(off),
            weight,
        )
        for slip, off, weight in zip(told.slips.listed, told.whole_off.tolist(), likely.slips.tolist(), strict=True)
        if slip.of_counts
    ]
    suspects += [Suspect("another_dial", (), "", 0, weight, dial) for dial, weight in likely.dials.items()]
    return tuple(sorted(suspects, key=lambda suspect: -suspect.weight))


def _size(told: Weighed, W: Matrix, Wr: Matrix) -> Estimate:
    """Stitch or row size given all points [mm], W = Sigma^-1 and Wr = Sigma^-1 (F - N w0)."""
    dof = min(estimate.dof for estimate in told.measured)
    variance = max(0.0, told.prior_var - told.prior_var**2 * float(told.N @ W @ told.N))
    return Estimate(told.w0 + told.prior_var * float(told.N @ Wr), math.sqrt(variance), dof)


class _WholeRange(NamedTuple):
    """Whole stitches: the best guess and the ends of its range."""

    low: int | None = None
    best: int | None = None
    high: int | None = None


def _whole(stitches: float) -> int:
    """A number of stitches as a whole one, never 0."""
    return round(stitches) or int(math.copysign(1, stitches))


def _whole_range(stitches: float, spread: float) -> _WholeRange:
    """Whole stitches inside the 90 % range around an estimate, never 0 itself as the best guess."""
    best = _whole(stitches)
    half = normal_quantile(0.95) * spread
    return _WholeRange(min(best, math.ceil(stitches - half)), best, max(best, math.floor(stitches + half)))
