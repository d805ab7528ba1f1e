"""What the sewn garment measures: every point once, from this piece, what is knitted and what is still to come.

At a point that this piece shares with others the garment's difference from what is wanted is

    x = share d + sum over knitted pieces of share_r d_r + share_f (F - W_f),    F = N w

d being the difference of this piece, F the width of the piece that is still to come, with N stitches of the width w
that the next piece is expected to have. N is the planned count; where nobody planned one, this piece's. w is known
through this piece, and what is wanted of both is read once, so F - W deviates along with d:

    cov(F - W, d) = rho (u_w L)^2 + var W,    rho = dF/dL at the planned count

Other points are this piece's own, again at the twin that is still to come, which is knitted like it; and the seams with
pieces that are knitted (fit rule 27). All lengths are mm; arrays of this piece have J columns, those of the garment G.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cached_property
from typing import NamedTuple

import numpy as np

from fitcheck.advice.alteration import LOWER_ENDS
from fitcheck.advice.decide.nearest import Aims, Series, best_of
from fitcheck.advice.decide.state import Array, DecisionPoint, DecisionState, Mask, Other, Places
from fitcheck.advice.rest.count_series import Series as CountSeries
from fitcheck.advice.rest.count_series import like_planned, repeats
from fitcheck.advice.rest.rule import WORTH
from fitcheck.estimates.piece import USUAL_MM
from fitcheck.records.makes import Costs
from fitcheck.records.points import POINTS
from fitcheck.records.repeatability import TAPE

BODY_PARTS = ("front", "back", "left_front", "right_front")
"""What can answer for a width that goes round the body, beside side panels."""
PARTS = ("armhole_seam", "neck_band", "front_rows_and_cap", "armhole_mark")
"""What answers for a misfit without a count of a width."""
ROWS_OF_THE_OTHER = "front_rows_and_cap"
"""Rows of the other body piece: of an armhole, which is as deep as the mean of both pieces, they make up half."""
LAYINGS = 3
"""Layings that a piece is read in once it is blocked or knitted anew."""
LEAST_CHANGE_MM = 1.0
"""No length is changed by less [mm]."""
NINE_IN_TEN = 1.6449
"""Half width of the interval that holds nine in ten [standard uncertainties]; less is as good as nothing."""
ALIKE_WIDE = 0.25
"""Front and back are compared where they are to be as wide as each other, give or take this share (assumed)."""
LEAST_SHARE = 0.5
"""A misfit that the tape cannot tell from nothing is left alone below this share of what is allowed (assumed)."""
_STEP = {"across": 2, "along": 1, "edge": 1}
"""Counts of this piece move in steps that keep its parity across, and one row at a time along."""
_USUAL_SIZE = {"across": USUAL_MM["across"], "along": USUAL_MM["along"], "edge": USUAL_MM["across"]}
"""Stitch width and row height where none is known [mm]; assumed."""


STRAINED = 1.5
"""By one step of its counts a piece may be so many times as far off the one beside it as otherwise [1] (assumed)."""
HALF = 0.5
"""Share of a flat width that back and front have in it each."""


class LowerEnd(NamedTuple):
    """What rows at the lower end of the piece can answer.

    weight             of each own point in what they are weighed by [1/mm^2]
    most_off, most_on  how far they go [mm];  row  its height, None where no rows were counted [mm]
    least              no less is changed [mm]
    """

    weight: Array
    most_off: float
    most_on: float
    row: float | None
    least: float


class Answering(NamedTuple):
    """The widths that the body piece to come answers, and what it may be there.

    at             their places among the own points
    share          how far the garment moves with it [mm per mm];  stitch: the width of its stitch [mm]
    wanted, mine   what it and this piece are to measure [mm];  most: how far it may be off this one [mm]
    paired         whether it stays near its plan instead, as a pair must: half a front, planned like the knitted one
    least          no width is changed by less [mm];  step, first: its series of counts;  aims: what is allowed
    uncounted      whether one of them is not counted
    """

    at: Places
    share: Array
    stitch: Array
    wanted: Array
    mine: Array
    most: Array
    paired: Mask
    least: Array
    step: Array
    first: Array
    aims: Aims
    uncounted: bool


class Garment:
    """A state as arrays. J own points; then those of a twin to come; then seams: G points of the garment."""

    def __init__(self, state: DecisionState, costs: Costs) -> None:
        points = state.points
        J = len(points)
        self.state, self.points = state, points
        self.place = {point.key: j for j, point in enumerate(points)}
        self.d = np.array([point.difference for point in points])
        self.cov = np.asarray(state.covariance, dtype=np.float64).reshape(J, J)
        self.var = self.cov.diagonal().copy()
        self.u = np.sqrt(self.var)
        self.length = np.array([point.piece_mm for point in points])
        self.wanted = self.length - self.d
        self.wanted_var = np.array([point.wanted_u**2 for point in points])
        # What the tape can tell of the differences, and what stays open whatever it says.
        self.untold = np.minimum(np.array([point.untold_u**2 for point in points]), self.var)
        told = np.sqrt(1 - np.divide(self.untold, self.var, out=np.zeros(J), where=self.var > 0))
        self.told_cov = self.cov * (told[:, None] * told)
        self.across = np.array([point.direction == "across" for point in points])
        self.along = np.array([point.direction == "along" for point in points])
        # Variance with which each length is read once the piece is blocked or knitted anew.
        self.read_again = np.array([TAPE.with_laying(mm) ** 2 / LAYINGS for mm in self.wanted.tolist()])
        self._own_sizes()
        self._what_makes_up()
        self._others()
        self._points_of_the_garment()
        self.printed_cost = costs.printed_counts if state.printed else 0.0

    def _own_sizes(self) -> None:
        points, state = self.points, self.state
        shifts = [state.shift.get(point.direction, 1.0) if point.direction != "edge" else 1.0 for point in points]
        self.shift = np.array(shifts)
        self.size = np.array([point.size_mm or math.nan for point in points])
        self.counted = ~np.isnan(self.size) & np.array([point.count is not None for point in points])
        self.count = np.array([float(point.count or 0) for point in points])
        counted = {point.key: point.count for point in points}
        series = [_of_this_piece(point, counted) for point in points]
        self.step = np.array([counts.step for counts in series], dtype=np.float64)
        self.first = np.array([counts.first for counts in series], dtype=np.float64)
        usual = np.array([_USUAL_SIZE[point.direction] for point in points])
        self.rounding = (np.where(np.isnan(self.size), usual, self.size) * self.step) ** 2 / 12
        half = np.where(self.counted, self.size / 2, 0.0)
        read = np.array([point.step_mm for point in points])
        self.least_told = np.maximum(read, LEAST_CHANGE_MM)
        self.least = np.maximum(self.least_told, half)
        known = np.array([point.size_u if point.size_u is not None else math.nan for point in points])
        self.size_u = np.where(np.isnan(known), self.u / np.maximum(self.length, 1.0), known)
        # What a deviation of the piece tells of its stitches; without counts all of it is taken for that.
        of_length = np.maximum(self.var - self.wanted_var, 0.0)
        told = np.minimum((self.size_u * self.length) ** 2, of_length)
        self.stitch_var = np.where(self.counted & ~np.isnan(known), told, of_length)
        bare = np.hypot(state.piece_sd, self.size_u)
        self.next_sd = bare if state.next_sd is None else np.full(len(points), state.next_sd)
        # Spread of the next piece's stitch about this one's, and of the one after it about that once it is known.
        self.spread = np.full(len(points), state.piece_sd)
        self.spread_after_next = self.next_sd * math.sqrt(1 - state.next_follows**2)

    def _made_up(self) -> tuple[Array, Array, Array]:
        """What this piece, knitted anew, makes up of what the knitted piece on the other side lacks [mm].

        It is sewn to that one for good: share d + fixed is what the garment is off, so it aims at d = -fixed/share, as
        far from that piece as the shape bears. Where a piece or a panel to come answers, it aims at what is wanted.
        Returns what it aims at, and the least and the most that it may be off what is wanted of itself.
        """
        alone = self.across & self.shared & ~self.comes & (self.panel_share == 0) & (self.share == HALF)
        other = np.where(alone, self.fixed / HALF, 0.0)
        bears = np.where(alone & (self.too_large > 0), self.too_large, math.inf)
        # Beside a piece that is further off than that it is made as it is wanted, however far apart they then are.
        far = np.abs(other) > bears
        other, bears = np.where(far, 0.0, other), np.where(far, math.inf, bears)
        least, most = reach(other, bears, np.zeros(other.shape), np.nan_to_num(self.step * self.size))
        return np.minimum(np.maximum(-other, least), most), least, most

    def _new_counts(self, shift: Array) -> Array:
        """The counts of this piece for knitting it anew: of its parity, in whole repeats, on the bed.

        Its own count stands by the rule of the counts for the rest, unless it is off the bed.

        shift  stitch width and row height over this piece's own [1]
        """
        size = np.where(self.counted, self.size, 1.0) * shift
        aim, (least, most) = self.wanted + self.makes_up, self.bears
        bed = np.where(self.across, math.inf if self.state.needles is None else self.state.needles, math.inf)
        widest = np.maximum(np.minimum(bed, (self.wanted + most) / size), 1.0)
        series = Series(self.step, self.first, np.maximum((self.wanted + least) / size, 1.0), widest)
        share = np.where(self.makes_up != 0, self.share, 1.0)
        own_var = self.wanted_var + self.wanted**2 * (self.next_sd**2 + self.state.local_sd**2)
        s = np.sqrt(share**2 * own_var + np.where(self.makes_up != 0, self.fixed_var, 0.0))
        beside = self.aims.beside(np.where(self.counted, share * size * self.step, math.nan))

        def off(counts: Array) -> Array:
            return np.asarray(share * (counts * size - aim))

        before = np.where(self.count > bed, math.nan, off(self.count))
        count = best_of(series.near(aim / size, beside), off, (s, s), self.aims, before)
        count = np.where(np.isnan(count), self.count, count)
        tells = self.aims.fall(off(self.count), off(count), s) > WORTH
        tells &= np.abs(self.d - self.makes_up) >= self.least
        return np.where(tells | (self.count > bed), count, self.count)

    def left_by_count(self, counts: Array, shift: Array | float = 1.0) -> Array:
        """What a count leaves of a length that is knitted anew [mm]; what it makes up where none is known.

        shift  stitch width and row height over this piece's own [1]
        """
        size = np.where(self.counted, self.size, 1.0) * shift
        return np.where(self.counted, counts * size - self.wanted, self.makes_up)

    def _what_makes_up(self) -> None:
        makers = [point.make_up.by if point.make_up else "" for point in self.points]
        self.makers = makers
        self.hem = np.array([by in LOWER_ENDS for by in makers])
        self.ends = self.hem | np.array([point.key == "to_underarm" for point in self.points])
        self.part = np.array([by in PARTS for by in makers]) & self.state.more
        self.parts = np.flatnonzero(self.part)
        rows = np.array([by == ROWS_OF_THE_OTHER for by in makers])
        self.part_gives = np.where(rows, 0.5, 1.0)
        # Rows are whole, and half of one is no less than the tape can tell; of seam and band nobody makes less.
        self.part_row = np.where(rows & self.counted, np.nan_to_num(self.size * self.shift), 0.0)
        self.part_least = np.where(rows & self.counted, self.least_told, self.least)
        share = np.array(
            [
                point.make_up.share * abs(point.piece_mm) if point.make_up and point.make_up.share else math.inf
                for point in self.points
            ]
        )
        self.too_large = np.minimum([p.make_up.too_large_mm if p.make_up else 0.0 for p in self.points], share)
        self.too_small = np.minimum([p.make_up.too_small_mm if p.make_up else 0.0 for p in self.points], share)
        self.whole = np.array([p.key in ("body_length", "centre_back", "sleeve_length") for p in self.points])

    def _others(self) -> None:
        """What lies round the garment beside this piece: constants, the body piece to come, the panels to come."""
        points, state = self.points, self.state
        J = len(points)
        self.own_share = np.array([point.share for point in points])
        # The share of this piece and of those that come out as it does, and that of knitted ones.
        self.share, self.known_share = self.own_share.copy(), np.zeros(J)
        self.fixed, self.fixed_var = np.zeros(J), np.zeros(J)
        self.answers = np.zeros(J, dtype=bool)
        self.by: list[Other | None] = [None] * J
        self.other_share, self.other_wanted = np.zeros(J), np.zeros(J)
        self.planned, self.other_size = np.full(J, math.nan), np.full(J, math.nan)
        self.as_planned, self.rho = np.zeros(J), np.zeros(J)
        self.other_step, self.other_first = np.ones(J), np.zeros(J)
        self.odd_step, self.odd_first = np.ones(J), np.zeros(J)
        self.paired = np.zeros(J, dtype=bool)
        self.panel_share, self.panel = np.zeros(J), None
        # Of a length: a piece to come with the rows of this one, in a row height of its own, but for those it was
        # planned to have more.
        self.alike_share, alike_square, self.more_rows = np.zeros(J), np.zeros(J), np.zeros(J)
        for j, point in enumerate(points):
            for other in point.others:
                if other.known is not None:
                    self.known_share[j] += other.share
                    self.fixed[j] += other.share * other.known[0]
                    both = 2 * point.share * other.share * self.wanted_var[j]
                    self.fixed_var[j] += (other.share * other.known[1]) ** 2 + both
                elif point.direction == "along":
                    self.share[j] += other.share
                    self.alike_share[j] += other.share
                    alike_square[j] += other.share**2
                    self.more_rows[j] += other.share * self._rows_apart(j, point, other)
                elif other.kind == "side_panel":
                    self.panel_share[j], self.panel = other.share, other
                elif other.kind in BODY_PARTS and self.by[j] is None and other.kind != state.twin:
                    self.by[j] = other
                else:
                    # The twin of half a front comes out as this one does.
                    self.share[j] += other.share
            self._to_come(j, point)
        self.alike_spread = np.sqrt(alike_square) * self.length
        # What lengths are more because the rows of a piece to come, which are this one's, are expected otherwise.
        self.alike = self.alike_share * self.length * (self.shift - 1)
        self.planned_var = self.spread_to_come(self.as_planned, self.spread)
        # What the rest is off beside this piece, but for the width of the body piece to come.
        self.beside_it = self.fixed - self.other_share * self.other_wanted
        self.shared = np.array([bool(point.others) for point in points])
        self.comes = self.answers.copy()
        self.answers &= state.more
        self.answering = np.flatnonzero(self.answers)
        self.cov_other = self.rho * self.stitch_var + self.wanted_var
        with np.errstate(divide="ignore", invalid="ignore"):
            self.follows = np.where(
                self.var > 0, np.minimum(self.cov_other / self.var, np.maximum(self.rho, 1.0)), self.rho
            )
        self.other_var = self.rho**2 * self.stitch_var + self.wanted_var
        self.panel_stitch = next(
            (size for size, panel in zip(self.other_size, self.panel_share, strict=True) if panel and size == size),
            math.nan,
        )

    def _rows_apart(self, j: int, point: DecisionPoint, other: Other) -> float:
        """What a piece to come is longer by its planned rows than with those of this one [mm], as far as it makes up.

        Nothing where it gets the rows of this one; what is off by its own plan alone is for its own answer to say.
        """
        gets = any(change.point == point.key for change in self.state.to_come)
        if other.planned is None or not self.counted[j] or gets:
            return 0.0
        more = float((other.planned - self.count[j]) * self.size[j] * self.shift[j])
        least, most = sorted((0.0, -2 * point.difference))
        return min(max(more, least), most)

    def _to_come(self, j: int, point: DecisionPoint) -> None:
        """The body piece that is still to come at a point, as it is planned."""
        stitch = float(self.size[j] * self.shift[j])
        self.other_size[j] = stitch
        other = self.by[j]
        if other is None:
            return
        self.answers[j] = True
        self.other_share[j], self.other_wanted[j], self.paired[j] = other.share, other.wanted_mm, other.paired
        own = float(point.count) if self.counted[j] and point.count else math.nan
        planned = float(other.planned) if other.planned is not None else own if other.like else math.nan
        if not math.isnan(stitch) and not math.isnan(planned):
            self.planned[j] = planned
            self.as_planned[j] = planned * stitch
            self.rho[j] = planned * stitch / self.length[j]
        elif other.like:
            self.as_planned[j], self.rho[j] = self.length[j] * self.shift[j], self.shift[j]
        else:
            self.as_planned[j] = other.wanted_mm
        series, loose = _of_the_other(point, planned)
        self.other_step[j], self.other_first[j] = series.step, series.first
        self.odd_step[j], self.odd_first[j] = loose.step, loose.first

    def _points_of_the_garment(self) -> None:
        points, state = self.points, self.state
        J = len(points)
        twins = [j for j in range(J) if not self.shared[j]] if state.twin else []
        seams = [self.place.get(seam.key, 0) for seam in state.seams]
        self.seam_moves = np.array([seam.key in self.place for seam in state.seams], dtype=bool)
        # Sewn row by row: neither a stretch nor the stitch of a new piece moves these, only rows do.
        self.seam_by_rows = np.array([seam.rows is not None for seam in state.seams], dtype=bool)
        self.seam_ends = np.array(
            [bool(self.ends[j]) if moves else True for j, moves in zip(seams, self.seam_moves, strict=True)], dtype=bool
        )
        self.at = np.array([*range(J), *twins, *seams], dtype=np.intp)
        self.J, self.T, self.K = J, len(twins), len(seams)
        self.twins = np.array(twins, dtype=np.intp)
        low = np.array([point.tolerance_mm[0] for point in points])
        high = np.array([point.tolerance_mm[1] for point in points])
        eased = np.array([seam.allowed_mm for seam in state.seams])
        self.half_low, self.half_high = LEAST_SHARE * low, LEAST_SHARE * high
        self.low = np.concatenate([low, low[self.twins], eased])
        self.high = np.concatenate([high, high[self.twins], eased])
        weight = np.array([point.weight for point in points])
        self.weight = np.concatenate([weight, weight[self.twins], np.ones(self.K)])
        usual = np.array([min(POINTS[point.key].tolerance) * point_scale(point) for point in points])
        narrow = np.minimum(low, high)
        self.aim = np.where(np.isfinite(narrow), narrow, usual)
        self.aims = Aims(self.aim, low, high, weight)
        self.aims_of_parts = self.aims.at(self.parts)
        self.widths = self.answering_at(self.answering)
        self.beside = self.widths.aims.beside(self.widths.share * self.widths.stitch * self.widths.step)
        both = np.isfinite(low) & np.isfinite(high)
        self.even_sided = bool(np.all(both & (low == high)))
        self.seam_mm = np.array([seam.difference for seam in state.seams])
        self.seam_var = np.array([seam.u**2 for seam in state.seams])
        self.seam_other_var = np.array([seam.other_u**2 for seam in state.seams])
        self.seam_most = np.array([seam.most_mm for seam in state.seams])
        self.seam_at = np.array(seams, dtype=np.intp)
        self.makes_up, *self.bears = self._made_up()
        # Counts for knitting a part of this piece anew, and all of it with the stitch that the next piece has.
        self.counts_anew = self._new_counts(np.ones(J))
        self.counts_again = self.counts_anew if bool((self.shift == 1.0).all()) else self._new_counts(self.shift)
        self.twin_left = self.left_by_count(self.counts_again, self.shift)

    def answering_at(self, at: Places) -> Answering:
        """Some of the widths that the body piece to come answers."""
        mine, wanted, most = self.wanted[at], self.other_wanted[at], self.too_large[at]
        # Of half a front and the whole back the widths are not to be compared.
        alike = np.abs(wanted / mine - 1) < ALIKE_WIDE
        return Answering(
            at,
            self.other_share[at],
            self.other_size[at],
            wanted,
            mine,
            np.where((most > 0) & alike, most, math.inf),
            self.paired[at],
            self.least[at],
            self.other_step[at],
            self.other_first[at],
            self.aims.at(at),
            bool(np.isnan(self.other_size[at]).any()),
        )

    @cached_property
    def stands_out(self) -> Mask:
        """Where the piece itself is off noticeably."""
        return self.noticeable(self.d)

    @cached_property
    def lower_end(self) -> LowerEnd:
        """What rows at the lower end can answer, where any length ends there."""
        rows = self.size[self.hem & self.counted]
        return LowerEnd(
            self.weight[: self.J] * self.hem / self.aim**2,
            float(self.too_large[self.hem].min()),
            float(self.too_small[self.hem].min()),
            float(rows[0]) if rows.size else None,
            float(self.least[self.hem].min()),
        )

    def to_come(self, width: Array) -> Array:
        """What the body piece to come has in each measure of the garment [mm].

        width  how wide it is [mm]; a length is as long as this one's
        """
        return np.asarray(self.other_share * width + self.alike_spread)

    def spread_to_come(self, width: Array, spread: Array) -> Array:
        """Variance that the body piece to come brings by itself [mm^2]: from piece to piece and from place to place."""
        return np.asarray(self.to_come(width) ** 2 * (spread**2 + self.state.local_sd**2))

    def noticeable(self, off: Array) -> Mask:
        """Where a difference is more than the tape's own doubt, or than half of what is allowed."""
        return np.asarray((np.abs(off) > NINE_IN_TEN * self.u) | (np.abs(off) > self.half_allowed(off)))

    def half_allowed(self, off: Array) -> Array:
        """Half of what is allowed on the side of a difference [mm]."""
        return np.where(off < 0, self.half_low, self.half_high)


def reach(beside: Array, most: Array, planned: Array, step: Array) -> tuple[Array, Array]:
    """Least and most that a piece may be [mm]: so far from the one beside it as the shape bears, or one step.

    beside  what lies beside it is;  most: how far off that it may be;  step: by how much its counts move
    A step here and one there of very thick stitches or of a long repeat are more than that, and the least there is.
    """
    far = np.where(2 * step > most, STRAINED * most, most)
    least, largest = np.maximum(planned - step, beside - far), np.minimum(planned + step, beside + far)
    return np.minimum(beside - most, least), np.maximum(beside + most, largest)


def point_scale(point: DecisionPoint) -> float:
    """How many times the garment's flat figure the piece measures at a point [1]."""
    return float(POINTS[point.key].per_piece)


def _of_this_piece(point: DecisionPoint, counted: Mapping[str, int | None]) -> CountSeries:
    """The counts that this piece may be knitted with anew: of its parity, in whole repeats.

    An upper arm has the parity of its cuff, or its two sides could not be shaped alike.
    """
    if point.direction != "across":
        return CountSeries(_STEP[point.direction], 0)
    cuff = counted.get("cuff") if point.key == "upper_arm" else None
    return like_planned(cuff or point.count or 0, point.repeat)


def _of_the_other(point: DecisionPoint, planned: float) -> tuple[CountSeries, CountSeries]:
    """The counts of the piece to come: whole repeats that keep the middle, and whole repeats alone."""
    return like_planned(0 if math.isnan(planned) else int(planned), point.repeat), repeats(*point.repeat)
