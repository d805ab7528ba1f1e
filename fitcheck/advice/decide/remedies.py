"""Remedies: what each way of going on leads to, for the finished garment.

A remedy is a plan made from the best estimate: the counts of the other body piece, a deeper seam, a band, rows at
the hem, a stretch, a part knitted anew. Its outcome is the garment's difference from what is wanted at every
point, with the variance that remains. All lengths are mm; differences d have shape [J] or [S, J].

Limits come from the catalogue of points of measure (fit rule 4); how far a stretch holds is assumed (fit rule 5;
both common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from fitcheck.advice.decide.work import work_of
from fitcheck.estimates.numbers import CannotSay
from fitcheck.estimates.student import normal_cdf, normal_quantile
from fitcheck.records.makes import Costs
from fitcheck.records.points import POINTS, MakeUp

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
ActionCode = Literal["carry_on", "other_counts", "alter_hem", "block_again", "rip_back", "knit_again", "measure_again"]

WORTH_CHANGING = 0.15
"""What a change at one point must save before it is put on the list [works of a back]."""

LEAST_CHANGE_MM = 2.0
"""A change of a length smaller than this is not written down [mm]."""
NINE_IN_TEN = 1.6449
"""Half width of the interval that holds nine in ten [standard uncertainties]; less is as good as nothing."""
LEAST_SHARE = 0.5
"""A misfit that the tape cannot tell from nothing is left alone below this share of what is allowed (assumed)."""

PIECE_TO_PIECE = 0.015
"""Spread of stitch size from piece to piece, relative; assumed until the household's own makes speak."""
LOCAL_SPREAD = 0.007
"""Spread of stitch size inside a piece from point to point, relative; assumed."""

STRETCHES = (0.01, 0.02, 0.03)
"""Stretches tried when blocking again; 3 % is the most that is asked of a piece (common practice, no source)."""
STRETCH_PRICE = 0.5
"""What a gain across costs along, and the other way round, as a share (common practice, no source)."""
SPRINGS_BACK, SPRINGS_BACK_SD = 0.33, 0.2
"""Share of a stretch that goes at the next wash; assumed ("part springs back": common practice, no source)."""

_STEP = {"across": 2, "along": 1, "edge": 1}
"""Counts move in steps that keep the parity across, and one row at a time along; whole repeats where there are any."""
_USUAL_SIZE = {"across": 4.5, "along": 3.2, "edge": 4.5}
"""Stitch width and row height where none is known [mm]; assumed."""


@dataclass(frozen=True, slots=True)
class DecisionPoint:
    """One point of the piece on the table, ready for the decision. Lengths in mm on the piece.

    difference       piece minus wanted, best estimate [mm]
    piece_mm         length of the point on the piece [mm]
    tolerance_mm     allowed (too small, too large) [mm], both positive; infinite where free
    weight           loss if the finished garment is out here
    size_mm          stitch width or row height at the point [mm]; None when neither body piece has a count there
    count            stitches or rows at the point; None when not known
    repeat           stitches of the pattern repeat that the point holds whole [1]
    planned          stitches or rows planned for the other body piece; None where nobody planned any: this one's then
    ratio            planned counts of the other body piece over this piece's counts at the point [1]
    other            difference and its standard uncertainty [mm] of the other body piece if it is already knitted
    make_up          what can answer when this piece is fixed
    readings_needed  further readings that would settle the point, or halve what the tape leaves open where the
                     label is settled but the plan is not; None when no number would
    side             which side these readings are of
    """

    key: str
    direction: Literal["across", "along", "edge"]
    difference: float
    piece_mm: float
    tolerance_mm: tuple[float, float]
    weight: float = 1.0
    size_mm: float | None = None
    count: int | None = None
    ratio: float = 1.0
    other: tuple[float, float] | None = None
    make_up: MakeUp | None = None
    readings_needed: int | None = None
    side: Literal["piece", "reference", "both"] | None = None
    repeat: int = 1
    planned: int | None = None


@dataclass(frozen=True, slots=True)
class DecisionState:
    """Everything that the decision looks at.

    points        the points of the piece on the table
    covariance    of the differences [mm^2], J x J, in the order of the points
    looks         rounds of readings that were judged, 1 to 3
    piece_sd      spread of stitch size from this piece to the next, relative [1]
    local_sd      spread of stitch size inside a piece, relative [1]
    holds         whether the yarn holds a stretch; None when the fibre is not said
    share         work of knitting the piece [1 = knitting a back once]
    body          the piece is a body piece (it has an underarm to rip back to)
    more          the rest is still to be knitted, so its counts are free
    partner       the other body piece is among the rest
    outliers      points with a reading that was questioned and not answered
    miscount, another_dial, out_of_shape  point whose count, and what else, is in doubt where the deed hangs on it
    underarm_row  row counter at the underarm, where known
    """

    points: tuple[DecisionPoint, ...]
    covariance: Sequence[Sequence[float]] | Array
    looks: int = 1
    piece_sd: float = PIECE_TO_PIECE
    local_sd: float = LOCAL_SPREAD
    holds: bool | None = None
    share: float = 1.0
    body: bool = True
    more: bool = True
    partner: bool = True
    outliers: tuple[str, ...] = ()
    miscount: str | None = None
    another_dial: bool = False
    out_of_shape: bool = False
    underarm_row: int | None = None


@dataclass(frozen=True, slots=True)
class Alteration:
    """One thing to do differently at a point.

    by        what answers: the other body piece, a band, a seam, the hem, or this piece itself
    mm        change of that part's measure [mm], plus = larger
    stitches  the same in stitches or rows, where counts are known
    count     the new count of the part, where known
    left_mm   difference from what is wanted that the finished garment is expected to keep at the point [mm]
    """

    point: str
    by: str
    mm: float
    stitches: int | None = None
    count: int | None = None
    left_mm: float | None = None


@lru_cache(maxsize=32)
def lattice(size: int, dimensions: int) -> Array:
    """Standard normal points, size x dimensions, on a lattice of the generalised golden ratio and its mirror.

    Fixed and low-discrepancy: the same state gives the same mean to the last digit. Whitened, so that means are
    zero, variances one and correlations zero exactly.
    """
    root = 2.0
    for _ in range(60):
        root = (1.0 + root) ** (1.0 / (dimensions + 1))
    steps = root ** -np.arange(1, dimensions + 1)
    half = (0.5 + np.outer(np.arange(1, size // 2 + 1), steps)) % 1.0
    flat = [normal_quantile(p) for p in half.ravel().tolist()]
    z = np.array(flat).reshape(half.shape)
    z = np.concatenate([z, -z])
    return np.asarray(np.linalg.solve(np.linalg.cholesky(z.T @ z / len(z)), z.T).T, dtype=np.float64)


@dataclass(frozen=True)
class Plan:
    """What is changed, fixed from the best estimate. Shapes [J] or [S, J].

    shift    what the rest makes up at each point [mm on the garment]
    hem      rows off (+) at the hem or cuff [mm]
    stretch  direction and share when blocked again
    anew     points of this piece that are knitted anew
    """

    code: ActionCode
    cost: float
    shift: Array | float = 0.0
    hem: Array | float = 0.0
    stretch: tuple[Literal["across", "along"], float] | None = None
    anew: Mask | None = None


@dataclass(frozen=True)
class Outcome:
    """Garment differences and their variances at every point [mm, mm^2]."""

    mean: Array
    var: Array


class BestPlan(NamedTuple):
    """The best plan of one action made from the best estimate, with its expected loss and the chances per point."""

    loss: float
    plan: Plan
    chances: Array


class NewPiece(NamedTuple):
    """What knitting the piece again leads to: expected loss, the chance that all fit, and the chances per point."""

    loss: float
    all_fit: float
    chances: Array


@dataclass
class Remedies:
    """The state as arrays, what can be done, and what it leads to."""

    state: DecisionState
    costs: Costs
    impossible: dict[ActionCode, CannotSay] = field(default_factory=dict)
    _new_piece: dict[bool, NewPiece] = field(default_factory=dict)

    def __post_init__(self) -> None:
        points = self.state.points
        self.work = work_of(self.costs, self.state.share)
        size = len(points)
        self.d = np.array([p.difference for p in points])
        self.cov = np.asarray(self.state.covariance, dtype=np.float64).reshape(size, size)
        self.var = np.diag(self.cov).copy()
        self.nothing = np.zeros(size)
        self.wanted = np.array([p.piece_mm for p in points]) - self.d
        self.low = -np.array([p.tolerance_mm[0] for p in points])
        self.high = np.array([p.tolerance_mm[1] for p in points])
        both = np.isfinite(self.low) & np.isfinite(self.high)
        self.centre = np.where(both, np.where(both, self.low, 0) + np.where(both, self.high, 0), 0.0) / 2
        self.weight = np.array([p.weight for p in points])
        self.across = np.array([p.direction == "across" for p in points])
        self.along = np.array([p.direction == "along" for p in points])
        makers = [p.make_up.by if p.make_up else "" for p in points]
        self.shared = np.array([by == "other_body_piece" for by in makers])
        self.hem = np.array([by in ("hem", "cuff_band") for by in makers])
        self.part = np.array([by in ("armhole_seam", "neck_band", "front_rows_and_cap") for by in makers])
        self.upper = np.array([POINTS[p.key].above_underarm for p in points])
        self.whole = np.array([p.key in ("body_length", "centre_back") for p in points])
        self.armhole = next((j for j, p in enumerate(points) if p.key == "armhole_depth"), None)
        share = np.array(
            [p.make_up.share * abs(p.piece_mm) if p.make_up and p.make_up.share else math.inf for p in points]
        )
        self.too_large = np.minimum([p.make_up.too_large_mm if p.make_up else 0.0 for p in points], share)
        self.too_small = np.minimum([p.make_up.too_small_mm if p.make_up else 0.0 for p in points], share)
        self.ratio = np.array([p.ratio for p in points])
        known = np.array([p.size_mm or math.nan for p in points])
        self.size = np.where(np.isnan(known), 1e-6, known)
        self.step = np.array([math.lcm(_STEP[p.direction], p.repeat) for p in points], dtype=np.float64)
        usual = np.array([_USUAL_SIZE[p.direction] for p in points])
        self.rounding = (np.where(np.isnan(known), usual, known) * self.step) ** 2 / 12
        self.other_known = np.array([p.other is not None for p in points])
        self.other = np.array([p.other[0] if p.other else 0.0 for p in points])
        self.other_var = np.array([p.other[1] ** 2 if p.other else 0.0 for p in points])
        # The garment as planned is linear in d: mean = slope d + start, var = slope^2 var + known + open piece^2.
        follows = np.where(self.other_known, 0.0, self.ratio)
        self.slope = np.where(self.shared, (1 + follows) / 2, 1.0)
        start = np.where(self.other_known, self.other, (self.ratio - 1) * self.wanted) / 2
        self.start = np.where(self.shared, start, 0.0)
        self.place = {p.key: j for j, p in enumerate(points)}
        off = np.abs(self.d - self.centre)
        room = np.where(self.d < self.centre, self.centre - self.low, self.high - self.centre)
        self.noticeable = (off > NINE_IN_TEN * np.sqrt(self.var)) | (off > LEAST_SHARE * room)
        self.known_var = np.where(self.shared & self.other_known, self.other_var / 4, 0.0)
        open_var = (self.ratio * self.state.piece_sd) ** 2 / 4
        self.open_var = np.where(self.shared & ~self.other_known, open_var, 0.0)
        self.by_counts = self.shared & ~self.other_known & (self.state.more and self.state.partner)
        self.by_part = self.part & self.state.more
        self._gates()

    def _gates(self) -> None:
        """Say which actions are impossible, and why."""
        state = self.state
        if not self.hem.any():
            self.impossible["alter_hem"] = CannotSay(
                "no_length", "no length that ends at a hem or cuff was read", "Read the body length."
            )
        if state.holds is None:
            self.impossible["block_again"] = CannotSay(
                "fibre_unsaid",
                "the fibre is not said, and cotton, acrylic and superwash do not hold a stretch",
                "Say the yarn's fibres.",
            )
        elif not state.holds:
            self.impossible["block_again"] = CannotSay(
                "does_not_hold", "this yarn does not hold a piece that is blocked larger"
            )
        elif bool((self.across & (self.d > self.high)).any()):
            self.impossible["block_again"] = CannotSay("too_wide", "the piece is too wide, and blocking only enlarges")
        elif not bool(((self.across | self.along) & (self.d < self.centre)).any()):
            self.impossible["block_again"] = CannotSay("nothing_small", "nothing on the piece is too small")
        if not state.body:
            self.impossible["rip_back"] = CannotSay("no_underarm", "only a body piece is ripped back to the underarm")
        elif not self.upper.any():
            self.impossible["rip_back"] = CannotSay("no_underarm", "no point above the underarm was read")
        if not state.more:
            self.impossible["other_counts"] = CannotSay("nothing_left", "no other piece is still to be knitted")
        elif not (self.by_counts.any() or self.by_part.any()):
            self.impossible["other_counts"] = CannotSay(
                "nothing_answers", "no other piece can make up any of the points that were read"
            )

    # What a plan leads to

    def inside(self, mean: Array, var: Array) -> Array:
        """Chance per point that the garment lies inside what is allowed."""
        s = np.sqrt(np.maximum(var, 1e-12))
        below = normal_cdf(np.stack([(self.high - mean) / s, (self.low - mean) / s]))
        return np.asarray(below[0] - below[1])

    def as_planned(self, d: Array, var: Array) -> Outcome:
        """The rest is knitted as planned: at shared widths the garment is the mean of both body pieces.

        The other piece comes out at ratio x this piece, with the spread from piece to piece; or it is known.
        """
        mean = self.slope * d + self.start
        spread = self.slope**2 * var + self.known_var + self.open_var * (self.wanted + d) ** 2
        return Outcome(mean, spread)

    def outcome(self, plan: Plan, d: Array, var: Array) -> Outcome:
        """The garment that a fixed plan leads to for differences d with variances var."""
        base = self.as_planned(d, var)
        mean, spread = base.mean, base.var
        piece = self.wanted + d
        if plan.stretch:
            stretched = self._stretched(base, piece, self._stretch_factor(*plan.stretch))
            mean, spread = stretched.mean, stretched.var
        if plan.anew is not None:
            noise = (piece * self.state.local_sd) ** 2 + self.rounding
            # What is wanted stays as uncertain as it is: d may differ from the estimate that the plan was made for.
            mean = np.where(plan.anew, self.centre + d - self.d, mean)
            if self.armhole is not None and plan.anew[self.armhole]:
                moved = self.centre[self.armhole] - self.d[self.armhole]
                mean = np.where(self.whole & ~plan.anew, mean + moved, mean)
            spread = np.where(plan.anew, var + noise, spread)
        mean = mean + plan.shift - np.where(self.hem, plan.hem, 0.0)
        if np.any(plan.hem):
            spread = spread + np.where(self.hem, self.rounding, 0.0)
        return Outcome(mean, spread)

    def _stretch_factor(self, direction: str, share: float) -> Array:
        mine, pays = (self.across, self.along) if direction == "across" else (self.along, self.across)
        return np.where(mine, share, np.where(pays, -STRETCH_PRICE * share, 0.0))

    def _stretched(self, base: Outcome, piece: Array, factor: Array) -> Outcome:
        mean = base.mean + piece * factor * (1 - SPRINGS_BACK)
        return Outcome(mean, base.var + (piece * factor * SPRINGS_BACK_SD) ** 2)

    # The best plan of each kind

    def rest_shift(self, base: Outcome, d: Array, p: Array) -> tuple[Array, Array]:
        """What the rest makes up, only where it pays; and the chances with it.

        Other piece: an even number of stitches, in whole repeats of the pattern, within the limit between the two
        pieces; a seam, a band, rows of the front with the cap redrafted: as far as each goes.
        """
        lack = self.centre - base.mean
        piece = self.wanted + d
        start = np.where(self.shared, (self.ratio - 1) * piece, 0.0)
        up, down = self.too_large - start, -self.too_large - start
        size, step = self.size, self.step
        count = step * np.round(np.minimum(np.maximum(2 * lack, down), up) / (step * size))
        count = np.where(count * size > up, count - step, np.where(count * size < down, count + step, count))
        shift = np.where(self.by_counts, count * size / 2, 0.0)
        shift = shift + np.where(self.by_part, np.minimum(np.maximum(lack, -self.too_large), self.too_small), 0.0)
        changed = self.inside(base.mean + shift, base.var)
        pays = self.weight * (changed - p) > WORTH_CHANGING
        return np.where(pays, shift, 0.0), np.where(pays, changed, p)

    def trouble(self, shift: Array) -> Array:
        """Cost of what the rest makes up: other counts once for the other body piece, once for each further part."""
        front = (self.by_counts & (shift != 0.0)).any(axis=-1)
        parts = (self.by_part & (shift != 0.0)).sum(axis=-1)
        return np.asarray(self.work["other_counts"] * (front + parts))

    def hem_amount(self, base: Outcome) -> Array:
        """Rows off (+) at the hem [mm], the same for every length that ends there, within the limits."""
        weights = self.weight * self.hem
        amount = ((base.mean - self.centre) @ weights / max(float(weights.sum()), 1e-9))[..., None]
        most_off = float(np.where(self.hem, self.too_large, math.inf).min())
        most_on = float(np.where(self.hem, self.too_small, math.inf).min())
        return np.asarray(np.minimum(np.maximum(amount, -most_on), most_off))

    def stretches(self) -> list[tuple[Literal["across", "along"], float]]:
        """Stretches that are tried."""
        return [("across", share) for share in STRETCHES] + [("along", share) for share in STRETCHES]

    def losses(self, d: Array, var: Array) -> dict[ActionCode, Array]:
        """Least expected loss of every possible action for each row of d [S, J], the plan being free per row."""
        possible = self.possible()
        base = self.as_planned(d, var)
        p = self.inside(base.mean, base.var)
        rest = "other_counts" in possible
        shift, with_rest = self.rest_shift(base, d, p) if rest else (self.nothing, p)
        extra = self.trouble(shift)
        losses: dict[ActionCode, Array] = {"carry_on": self._loss(p)}

        def either(plain: Array, adapted: Array, cost: float, extra: Array = extra) -> Array:
            return cost + (np.minimum(self._loss(plain), extra + self._loss(adapted)) if rest else self._loss(plain))

        if rest:
            losses["other_counts"] = np.maximum(extra, self.work["other_counts"]) + self._loss(with_rest)
        if "alter_hem" in possible:
            plan = Plan("alter_hem", 0.0, hem=self.hem_amount(base))
            altered = self.outcome(plan, d, var)
            at_hem = self.inside(altered.mean, altered.var)
            losses["alter_hem"] = either(
                np.where(self.hem, at_hem, p), np.where(self.hem, at_hem, with_rest), self.costs.alter_hem
            )
        if "block_again" in possible:
            factors = np.stack([self._stretch_factor(*stretch) for stretch in self.stretches()])[:, None]
            way = self._stretched(base, self.wanted + d, factors)
            plain = self.inside(way.mean, way.var)
            moved, adapted = self.rest_shift(way, d, plain) if rest else (self.nothing, plain)
            ways = either(plain, adapted, self.costs.block_again, self.trouble(moved))
            losses["block_again"] = ways.min(axis=0)
        if "rip_back" in possible:
            again = self._ripped(d, var)
            anew = self.inside(again.mean, again.var)
            renewed = self.upper | (self.whole & (self.armhole is not None))
            below = self.trouble(np.where(self.upper, 0.0, shift))
            losses["rip_back"] = either(
                np.where(renewed, anew, p), np.where(renewed, anew, with_rest), self.work["rip_back"], below
            )
            if "alter_hem" in possible:
                plan = Plan("rip_back", 0.0, hem=self.hem_amount(again))
                mean, spread = (
                    again.mean - np.where(self.hem, plan.hem, 0.0),
                    again.var + self.rounding * self.hem,
                )
                at_hem = self.inside(mean, spread)
                also = either(
                    np.where(renewed | self.hem, np.where(self.hem, at_hem, anew), p),
                    np.where(renewed | self.hem, np.where(self.hem, at_hem, anew), with_rest),
                    self.work["rip_back"] + self.costs.alter_hem,
                    below,
                )
                losses["rip_back"] = np.minimum(losses["rip_back"], also)
        losses["knit_again"] = np.full(len(d), self.work["knit_again"] + self.new_piece(known=not np.any(var)).loss)
        return losses

    def _ripped(self, d: Array, var: Array) -> Outcome:
        """Ripped back with the truth d known: what is knitted anew comes out at the centre of what is allowed."""
        base = self.as_planned(d, var)
        noise = ((self.wanted + d) * self.state.local_sd) ** 2 + self.rounding
        mean = np.where(self.upper, self.centre, base.mean)
        if self.armhole is not None:
            moved = self.centre[self.armhole] - d[..., self.armhole, None]
            mean = np.where(self.whole, mean + moved, mean)
        return Outcome(mean, np.where(self.upper, var + noise, base.var))

    def new_piece(self, *, known: bool) -> NewPiece:
        """Expected loss after knitting the piece again, the chance that all fit, and the chances per point.

        The new piece comes out with its own spread; then the cheap remedies are open again (other counts, the
        hem), and the best of them is taken. Mean over a fixed lattice.
        """
        if known in self._new_piece:
            return self._new_piece[known]
        var = self.nothing if known else self.var
        size = len(self.d)
        z = lattice(64, size + 2)
        of_direction = np.where(self.across, z[:, size, None], z[:, size + 1, None])
        spread = of_direction * self.state.piece_sd + z[:, :size] * self.state.local_sd
        made = self.centre + self.wanted * spread + z[:, :size] * np.sqrt(self.rounding)
        base = self.as_planned(made, var)
        p = self.inside(base.mean, base.var)
        options: list[tuple[Array, Array]] = [(np.zeros(len(made)), p)]
        extra, with_rest = options[0]
        if "other_counts" not in self.impossible:
            shift, with_rest = self.rest_shift(base, made, p)
            extra = self.trouble(shift)
            options.append((extra, with_rest))
        if self.hem.any():
            altered = self.outcome(Plan("alter_hem", 0.0, hem=self.hem_amount(base)), made, var)
            at_hem = self.inside(altered.mean, altered.var)
            options.append((np.full(len(made), self.costs.alter_hem), np.where(self.hem, at_hem, p)))
            options.append((self.costs.alter_hem + extra, np.where(self.hem, at_hem, with_rest)))
        each = np.stack([cost + self._loss(chances) for cost, chances in options])
        best = each.argmin(axis=0)
        chosen = np.stack([chances for _, chances in options])[best, np.arange(len(best))]
        expected = NewPiece(float(each.min(axis=0).mean()), float(chosen.prod(axis=-1).mean()), chosen.mean(axis=0))
        self._new_piece[known] = expected
        return expected

    def _loss(self, p: Array) -> Array:
        return np.asarray((1.0 - p) @ self.weight)

    def possible(self) -> list[ActionCode]:
        """Actions that can be done with the piece, in the order of work."""
        every: tuple[ActionCode, ...] = (
            "carry_on",
            "other_counts",
            "alter_hem",
            "block_again",
            "rip_back",
            "knit_again",
        )
        return [code for code in every if code not in self.impossible]

    def best_plan(self, code: ActionCode) -> BestPlan:
        """The plan bare, or with what the rest makes up, whichever loses less."""
        if code == "knit_again":
            again = Plan(code, self.work[code], anew=np.ones(len(self.d), dtype=bool))
            expected = self.new_piece(known=False)
            return BestPlan(again.cost + expected.loss, again, expected.chances)
        cost = self.work[code]
        bare = [Plan(code, cost)]
        if code == "alter_hem":
            bare = [Plan(code, cost, hem=self.hem_amount(self.as_planned(self.d, self.var))[0])]
        elif code == "block_again":
            bare = [Plan(code, cost, stretch=stretch) for stretch in self.stretches()]
        elif code == "rip_back":
            bare = [Plan(code, cost, anew=self.upper)]
            if "alter_hem" not in self.impossible:
                moved = self.hem_amount(self.outcome(bare[0], self.d, self.var))
                if self.worth_a_change(moved[0]):
                    bare.append(Plan(code, cost + self.costs.alter_hem, hem=moved[0], anew=self.upper))
        outcomes = [self.outcome(plan, self.d, self.var) for plan in bare]
        led_to = Outcome(
            np.stack([outcome.mean for outcome in outcomes]), np.stack([outcome.var for outcome in outcomes])
        )
        p = self.inside(led_to.mean, led_to.var)
        losses = np.array([plan.cost for plan in bare]) + self._loss(p)
        if "other_counts" in self.impossible or code == "carry_on":
            best = int(losses.argmin())
            return BestPlan(float(losses[best]), bare[best], p[best])
        shift, adapted = self.rest_shift(led_to, self.d, p)
        if code == "rip_back":
            shift, adapted = np.where(self.upper, 0.0, shift), np.where(self.upper, p, adapted)
        extra = self.trouble(shift)
        if code == "other_counts":
            extra = np.maximum(extra - cost, 0.0)
        with_rest = np.array([plan.cost for plan in bare]) + extra + self._loss(adapted)
        best, best_rest = int(losses.argmin()), int(with_rest.argmin())
        if code != "other_counts" and losses[best] <= with_rest[best_rest]:
            return BestPlan(float(losses[best]), bare[best], p[best])
        plan = replace(bare[best_rest], cost=bare[best_rest].cost + float(extra[best_rest]), shift=shift[best_rest])
        return BestPlan(float(with_rest[best_rest]), plan, adapted[best_rest])

    def alterations(self, plan: Plan) -> tuple[Alteration, ...]:
        """What a plan changes, as a list for the knitter; what the tape cannot tell from nothing is left alone."""
        left = self.outcome(plan, self.d, self.var).mean
        return tuple(
            replace(alteration, left_mm=float(left[self.place[alteration.point]])) for alteration in self._altered(plan)
        )

    def _altered(self, plan: Plan) -> list[Alteration]:
        listed: list[Alteration] = []
        shift = np.broadcast_to(plan.shift, self.d.shape)
        for j, point in enumerate(self.state.points):
            by = point.make_up.by if point.make_up else ""
            amount = float(shift[j])
            if amount and self.shared[j]:
                stitches = round(2 * amount / point.size_mm) if point.size_mm else None
                planned = point.count if point.planned is None else point.planned
                count = planned + stitches if planned is not None and stitches is not None else None
                listed.append(Alteration(point.key, by, 2 * amount, stitches, count))
            elif amount:
                listed.append(Alteration(point.key, by, amount))
            if self.hem[j] and np.any(plan.hem) and self.worth_a_change(plan.hem):
                amount = -float(plan.hem)
                rows = round(amount / point.size_mm) if point.size_mm else None
                amount = rows * point.size_mm if rows and point.size_mm else amount
                if abs(amount) > LEAST_CHANGE_MM:
                    listed.append(Alteration(point.key, by, amount, rows))
            if plan.anew is not None and plan.anew[j] and self.noticeable[j]:
                amount = float(self.centre[j] - self.d[j])
                if point.size_mm and point.count:
                    step = int(self.step[j])
                    stitches = step * round(amount / (step * point.size_mm))
                    if stitches:
                        listed.append(Alteration(point.key, "this_piece", amount, stitches, point.count + stitches))
                elif abs(amount) > LEAST_CHANGE_MM:
                    listed.append(Alteration(point.key, "this_piece", amount))
        return listed

    def answers(self, direction: str) -> bool:
        """Whether a stretch in a direction answers a point that is too small by more than the tape's own doubt."""
        mine = self.across if direction == "across" else self.along
        return bool((mine & self.noticeable & (self.d < self.centre)).any())

    def worth_a_change(self, hem: Array | float) -> bool:
        """Whether rows at the lower end [mm] answer more than the tape's own doubt at any length that ends there."""
        amount = np.abs(hem)
        room = np.where(np.asarray(hem) < 0.0, -self.low, self.high)
        tells = (amount > NINE_IN_TEN * np.sqrt(self.var)) | (amount > LEAST_SHARE * room)
        return bool((self.hem & tells & (amount > LEAST_CHANGE_MM)).any())
