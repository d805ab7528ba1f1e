"""Chance that all points of the pieces fit, given what is known of stitch and row size."""

from __future__ import annotations

import functools
import math
from collections.abc import Sequence

import numpy as np

from fitcheck.advice.judge.points import Tolerance
from fitcheck.advice.judge.verdict import tolerance_sides
from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.piece import LOCAL_SD, CountedDirection, Matrix
from fitcheck.estimates.student import MANY_DOF, normal_cdf
from fitcheck.records.faults import FitcheckError
from fitcheck.records.frozen import frozen

COMMON_NODES = 48
PIECE_NODES = 24
REACH = 6.0
"""SDs beyond which a normal error is left out (2e-9)."""


class ChanceError(FitcheckError, ValueError):
    """A chance cannot be computed; the message names the field, what was read and what is accepted."""


@frozen
class FitPoint:
    """One point of one piece that must fit.

    piece         name of the piece; points of one piece share its own deviation
    direction     across (stitches) or along (rows)
    count         stitches or rows measured across
    wanted        wanted length as a measure of the piece [mm]; a plain number is exact
    tolerance_mm  allowed on both sides, or (narrower or shorter side, wider or longer side) [mm]
    """

    piece: str
    direction: CountedDirection
    count: float
    wanted: Estimate | float
    tolerance_mm: Tolerance


@frozen
class StitchSize:
    """What is known of the stitch or row size that the pieces will have.

    width_mm  the size [mm]
    sd        SD of what all pieces share [relative]
    piece_sd  SD from piece to piece [relative]
    dof       degrees of freedom of sd
    """

    width_mm: float
    sd: float
    piece_sd: float = 0.0
    dof: float = math.inf


@frozen
class FitChance:
    """Chances that points fit.

    all        chance that every point fits
    per_point  chance of each point on its own, in the order given
    limiting   index of the least likely point, None when there are no points
    """

    all: float
    per_point: tuple[float, ...]
    limiting: int | None


def chance_all_fit(
    points: Sequence[FitPoint],
    across: StitchSize | Estimate,
    along: StitchSize | Estimate,
    *,
    local_sd: float = LOCAL_SD,
) -> FitChance:
    """Chance that all points fit, with wanted values from a tape and pieces that differ from each other.

        P = prod_directions Int f(q) prod_pieces [ Int phi(b) prod_j p_j(q + b) db ] dq
        p_j(w) = Phi((D - N w + t)/s) - Phi((-D - N w + t)/s),  s^2 = u_T^2 + (lambda N w)^2

    q is the size that the pieces share (Student's t about its estimate), b a piece's own deviation (normal),
    both in mm per stitch or row. Gauss-Legendre, 48 nodes in q and 24 in b, only where all points of a piece
    can fit at all: so with exact wanted values, one piece and lambda 0 this is the interval formula,
    F(least upper limit) - F(greatest lower limit). The chance of one point is
    Int f(q) p_j(q) dq with (N piece_sd)^2 added to s^2.

    points    of any number of pieces; counts positive
    across    size of a stitch: StitchSize, or an estimate [mm] that all pieces share
    along     size of a row, likewise
    local_sd  lambda, relative SD from place to place
    Raises ChanceError for a count or size that is not positive, or another direction; VerdictError for a
    tolerance that is not above 0. Source: the fit model of this project (its section 3).
    """
    per_point = [1.0] * len(points)
    joint = 1.0
    for direction, size in (("across", across), ("along", along)):
        at = [place for place, point in enumerate(points) if point.direction == direction]
        if not at:
            continue
        fabric = _Size.of(size, direction)
        aims = _Aims.of(points, at, local_sd)
        alone = _each(aims, fabric)
        for place, chance in zip(at, alone.tolist(), strict=True):
            per_point[place] = chance
        joint *= alone.item() if len(at) == 1 else min(_together(aims, fabric), float(alone.min()))
    for place, point in enumerate(points):
        if point.direction not in ("across", "along"):
            raise ChanceError(
                f"points[{place}].direction: read {point.direction!r}; across or along is accepted. Leave edges out."
            )
    limiting = min(range(len(points)), key=per_point.__getitem__, default=None)
    return FitChance(joint, tuple(per_point), limiting)


def chance_together(points: Sequence[FitPoint], size: StitchSize, *, local_sd: float) -> float:
    """Chance that all points across fit; the chance of each on its own is not worked out. Arguments as there."""
    return _together(_Aims.of(points, range(len(points)), local_sd), _Size.of(size, "across"))


@frozen
class _Size:
    """A size with what scatters in it, all in mm: value, SD of the shared part, SD of a piece, dof."""

    value: float
    sd: float
    piece_sd: float
    dof: float

    @staticmethod
    def of(size: StitchSize | Estimate, direction: str) -> _Size:
        if isinstance(size, Estimate):
            made = _Size(size.value, size.u, 0.0, size.dof)
        else:
            made = _Size(size.width_mm, size.sd * size.width_mm, size.piece_sd * size.width_mm, size.dof)
        if not (0 < made.value < math.inf and 0 <= made.sd < math.inf and 0 <= made.piece_sd < math.inf):
            raise ChanceError(
                f"{direction}: read a size of {made.value} mm with SD {made.sd} mm and {made.piece_sd} mm "
                "from piece to piece; a size above 0 and SDs of 0 or more are accepted. Estimate the "
                "gauge again."
            )
        # An SD under a billionth of the size is none: dividing by it would only overflow.
        small = 1e-9 * made.value
        return _Size(
            made.value,
            made.sd if made.sd > small else 0.0,
            made.piece_sd if made.piece_sd > small else 0.0,
            made.dof,
        )

    def nodes(self, low: Matrix, high: Matrix) -> tuple[Matrix, Matrix]:
        """Nodes q in windows [low, high] [mm] and their weights, shape (*low.shape, 48) each.

        Student's t as t = sqrt(nu) sinh(z / sqrt(nu)): the density of z is proportional to
        cosh(z / sqrt(nu))^-nu, close to normal and smooth for every nu.
        """
        low, high = np.asarray(low)[..., None], np.asarray(high)[..., None]
        if self.sd == 0:
            inside = (low <= self.value) & (self.value <= high)
            return np.full(inside.shape, self.value), inside.astype(float)
        first, last = (low - self.value) / self.sd, (high - self.value) / self.sd
        x, weight = _legendre(COMMON_NODES)
        if self.dof >= MANY_DOF:
            first, last = np.maximum(first, -REACH), np.minimum(last, REACH)
            span = np.maximum(last - first, 0.0)
            z = first + span * x
            return self.value + self.sd * z, span * weight * np.exp(-0.5 * z * z) / math.sqrt(2 * math.pi)
        root = math.sqrt(self.dof)
        # From here on less than about 1e-9 is left out: cosh^-nu falls as 2^nu exp(-sqrt(nu) z).
        reach = (21 + self.dof * math.log(2)) / root if self.dof < 36 else 7.0
        first = np.maximum(root * np.arcsinh(first / root), -reach)
        last = np.minimum(root * np.arcsinh(last / root), reach)
        span = np.maximum(last - first, 0.0)
        z = first + span * x
        log_density = -self.dof * np.log(np.cosh(z / root)) + (
            math.lgamma((self.dof + 1) / 2) - math.lgamma(self.dof / 2) - 0.5 * math.log(self.dof * math.pi)
        )
        return self.value + self.sd * root * np.sinh(z / root), span * weight * np.exp(log_density)


@frozen
class _Aims:
    """Points of one direction as arrays: limits and wanted SD [mm], counts, piece of each, lambda N."""

    low: Matrix
    high: Matrix
    count: Matrix
    tape: Matrix
    piece: list[str]
    local: Matrix

    @staticmethod
    def of(points: Sequence[FitPoint], at: Sequence[int], local_sd: float) -> _Aims:
        low, high, count, tape = [], [], [], []
        for place in at:
            point = points[place]
            if not 0 < point.count < math.inf:
                raise ChanceError(
                    f"points[{place}].count: read {point.count}; more than 0 stitches or rows are accepted. "
                    "Count again, or leave the point out."
                )
            wanted = point.wanted if isinstance(point.wanted, Estimate) else Estimate(point.wanted)
            narrower, wider = tolerance_sides(point.tolerance_mm, f"points[{place}].tolerance_mm")
            low.append(wanted.value - narrower)
            high.append(wanted.value + wider)
            count.append(point.count)
            tape.append(wanted.u)
        N = np.array(count)
        return _Aims(np.array(low), np.array(high), N, np.array(tape), [points[p].piece for p in at], local_sd * N)

    def chance(self, rows: list[int], w: Matrix, piece_sd: float = 0.0) -> Matrix:
        """p_j(w) for some points; w has a first axis for the points, of length 1 where they share it.

        piece_sd [mm] joins s where b is left out.
        """
        shape = (-1,) + (1,) * (w.ndim - 1)
        low, high, N, tape, local = (
            column[rows].reshape(shape) for column in (self.low, self.high, self.count, self.tape, self.local)
        )
        length = N * w
        s2 = tape**2 + (local * w) ** 2 + (N * piece_sd) ** 2
        if not s2.all():  # exact points: inside or outside
            inside = ((low <= length) & (length <= high)).astype(float)
            s = np.sqrt(np.where(s2 > 0, s2, 1.0))
            return np.where(s2 > 0, normal_cdf((high - length) / s) - normal_cdf((low - length) / s), inside)
        s = np.sqrt(s2)
        return np.asarray(normal_cdf((high - length) / s) - normal_cdf((low - length) / s))

    def window(self, rows: list[int], piece_sd: float = 0.0) -> tuple[Matrix, Matrix]:
        """Sizes between which each point can fit at all [mm]: its limits, 6 s wider, shape (len(rows),)."""
        N, low, high = self.count[rows], self.low[rows], self.high[rows]
        # s at the wider end of the window, because it grows with the size.
        ends = []
        for limit, sign in ((low, -1.0), (high, 1.0)):
            w = np.where(np.isfinite(limit), limit, 0.0) / N
            s = np.sqrt(self.tape[rows] ** 2 + (self.local[rows] * w) ** 2 + (N * piece_sd) ** 2)
            ends.append((limit + sign * REACH * s) / N)
        return ends[0], ends[1]


def _each(aims: _Aims, fabric: _Size) -> Matrix:
    """Chance of each point on its own, shape (J,)."""
    rows = list(range(len(aims.count)))
    q, weight = fabric.nodes(*aims.window(rows, fabric.piece_sd))
    return np.asarray((aims.chance(rows, q, fabric.piece_sd) * weight).sum(axis=1))


def _together(aims: _Aims, fabric: _Size) -> float:
    """Chance that all points of a direction fit."""
    pieces: dict[str, list[int]] = {}
    for row, piece in enumerate(aims.piece):
        pieces.setdefault(piece, []).append(row)
    windows: dict[str, tuple[float, float]] = {}
    for piece, rows in pieces.items():
        lows, highs = aims.window(rows)
        windows[piece] = (float(lows.max()), float(highs.min()))
    reach = REACH * fabric.piece_sd
    lowest = max(low for low, _ in windows.values()) - reach
    highest = min(high for _, high in windows.values()) + reach
    q, chance = fabric.nodes(np.array(lowest), np.array(highest))
    for piece, rows in pieces.items():
        low, high = windows[piece]
        chance = chance * _piece(aims, rows, q, low, high, fabric.piece_sd)
    return float(chance.sum())


def _piece(aims: _Aims, rows: list[int], q: Matrix, low: float, high: float, piece_sd: float) -> Matrix:
    """Chance that all points of one piece fit, given the shared size q: shape of q."""
    if piece_sd == 0:
        return np.asarray(aims.chance(rows, q[None]).prod(axis=0))
    x, weight = _legendre(PIECE_NODES)
    first = np.maximum((low - q) / piece_sd, -REACH)
    last = np.minimum((high - q) / piece_sd, REACH)
    span = np.maximum(last - first, 0.0)[:, None]
    z = first[:, None] + span * x
    density = np.exp(-0.5 * z * z) * (weight / math.sqrt(2 * math.pi)) * span
    fits = aims.chance(rows, (q[:, None] + piece_sd * z)[None]).prod(axis=0)
    return np.asarray((fits * density).sum(axis=1))


@functools.cache
def _legendre(nodes: int) -> tuple[Matrix, Matrix]:
    """Gauss-Legendre nodes and weights on [0, 1]."""
    x, weight = np.polynomial.legendre.leggauss(nodes)
    return (x + 1) / 2, weight / 2
