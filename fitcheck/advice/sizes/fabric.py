"""The next piece's stitch and row for sizes: what all pieces share, and what each has of its own."""

from __future__ import annotations

import math

import numpy as np

from fitcheck.estimates.fabric.answers import StitchSize as FabricSize
from fitcheck.estimates.fabric.assumptions import BLOCKED
from fitcheck.estimates.fabric.fit import NO_SPECIMEN, Fabric
from fitcheck.estimates.numbers import Basis, CannotSay, Estimate, Quantity
from fitcheck.estimates.piece import Matrix
from fitcheck.records.frozen import frozen

SPREADS = 3
"""Nodes over the spread of the fabric. Chances after one swatch differ from those of ten nodes by 0.001; with
two nodes by 0.014, with one by 0.02 (measured)."""

NO_ROWS = CannotSay("no_rows_read")


@frozen
class Spread:
    """The size if pieces of this fabric differ from each other by piece_sd.

    weight  chance of that [1];  mm, common_sd, piece_sd as in KnownSize
    """

    weight: float
    mm: float
    common_sd: float
    piece_sd: float


@frozen
class KnownSize:
    """Stitch width (or row height) of the pieces to come.

    mm, low, high  median and 90 % interval for one piece [mm]
    common_sd      SD of what all pieces share [relative]
    piece_sd       SD from piece to piece [relative];  local_sd: from place to place
    basis, assumed as the fabric says
    spreads        the same per possible spread of the fabric: chances are averaged over them
    """

    mm: float
    low: float
    high: float
    common_sd: float
    piece_sd: float
    local_sd: float
    basis: Basis
    assumed: tuple[str, ...] = ()
    spreads: tuple[Spread, ...] = ()

    def ends(self, share: float) -> tuple[float, float]:
        """Interval of a width to which several pieces give shares: their own deviations halve each other.

        share  sum of squared shares [1]
        """
        whole = math.hypot(self.common_sd, self.piece_sd)
        ratio = self.relative_sd(share) / whole if whole else 0.0
        return self.mm - ratio * (self.mm - self.low), self.mm + ratio * (self.high - self.mm)

    def relative_sd(self, share: float) -> float:
        """SD of a width of such pieces [1]."""
        return math.sqrt(self.common_sd**2 + share * (self.piece_sd**2 + self.local_sd**2))

    def estimate(self) -> Estimate:
        """The size as an estimate [mm]."""
        return Estimate(self.mm, self.mm * math.hypot(self.common_sd, self.piece_sd), basis=self.basis)

    def quantity(self) -> Quantity:
        """The size as the report carries it [mm]."""
        u = self.mm * math.hypot(self.common_sd, self.piece_sd)
        return Quantity(self.mm, self.low, self.high, 0.90, u, None, "mm", self.basis)


def known_sizes(fabric: Fabric | None, dial: float | None) -> tuple[KnownSize | CannotSay, KnownSize | CannotSay]:
    """Stitch width and row height of the next piece at a dial; CannotSay where only the prior speaks."""
    if fabric is None:
        return NO_SPECIMEN, NO_SPECIMEN
    gauge = fabric.gauge(dial)
    if isinstance(gauge, CannotSay):
        return gauge, gauge
    across = _known(fabric, 0, gauge.across, dial)
    along = _known(fabric, 1, gauge.along, dial)
    return across or NO_SPECIMEN, along or NO_ROWS


def pattern_size(mm: float | None) -> KnownSize | None:
    """The pattern's own gauge, taken as met."""
    return None if mm is None else KnownSize(mm, mm, mm, 0.0, 0.0, 0.0, "assumed", ("pattern_gauge",))


def _known(fabric: Fabric, direction: int, size: FabricSize, dial: float | None) -> KnownSize | None:
    if "size" in size.assumed:
        return None
    own = fabric.assumptions.piece_share**2 * float(fabric.nodes.weight @ fabric.nodes.tau**2)
    common = math.sqrt(max(size.sd**2 - own, 0.0))
    return KnownSize(
        mm=size.value,
        low=size.low,
        high=size.high,
        common_sd=common,
        piece_sd=math.sqrt(own),
        local_sd=fabric.assumptions.local_sd,
        basis=size.basis,
        assumed=size.assumed,
        spreads=_spreads(fabric, direction, dial),
    )


def _spreads(fabric: Fabric, direction: int, dial: float | None) -> tuple[Spread, ...]:
    """The posterior of the spread tau as a few nodes, and the size given each.

    Few swatches leave tau wide open, and a mixture over it is no normal: with one normal of the same variance
    a chance of .62 was said to be .55. Gauss nodes of the posterior of tau; means and variances in between.
    """
    mean, sd = fabric._predict(direction, np.array([fabric._z(dial)]), True, BLOCKED)
    share, nodes = fabric.assumptions.piece_share, fabric.nodes
    taus, at = np.unique(nodes.tau, return_inverse=True)
    weight = np.asarray(np.bincount(at, nodes.weight), dtype=np.float64)
    kept = weight > 0
    whole = np.where(kept, weight, 1.0)
    centre = np.bincount(at, nodes.weight * mean[0]) / whole
    common = np.maximum(sd[0] ** 2 - (share * nodes.tau) ** 2, 0.0) + (mean[0] - centre[at]) ** 2
    common = np.bincount(at, nodes.weight * common) / whole
    taus, weight, centre, common = taus[kept], weight[kept], centre[kept], common[kept]
    spreads, weights = gauss_nodes(taus, weight, SPREADS)
    means, sds = np.interp(spreads, taus, centre), np.sqrt(np.interp(spreads, taus, common))
    return tuple(
        Spread(float(p), math.exp(m), float(c), share * float(tau))
        for p, m, c, tau in zip(weights, means, sds, spreads, strict=True)
    )


def gauss_nodes(x: Matrix, weight: Matrix, n: int) -> tuple[Matrix, Matrix]:
    """Gauss nodes and weights of a discrete distribution: exact for polynomials up to degree 2 n - 1.

    Golub and Welsch (1969), Math. Comp. 23:221 (from memory): eigenvalues of the recurrence's Jacobi matrix,
    which the Lanczos steps on the points themselves give.

    x, weight  points and chances, shape (k,);  n: nodes, fewer where x has fewer points
    """
    total = float(weight.sum())
    scale = float(np.abs(x).max()) or 1.0
    y = x / scale
    basis = [np.sqrt(weight / total)]
    diagonal, beside = [], []
    for step in range(min(n, len(x))):
        v = y * basis[-1]
        diagonal.append(float(v @ basis[-1]))
        for _ in range(2):  # a second pass takes off what rounding left
            for vector in basis:
                v = v - (v @ vector) * vector
        size = float(np.linalg.norm(v))
        if size < 1e-9 or step + 1 == min(n, len(x)):
            break
        beside.append(size)
        basis.append(v / size)
    jacobi = np.diag(diagonal) + np.diag(beside, 1) + np.diag(beside, -1)
    values, vectors = np.linalg.eigh(jacobi)
    return np.maximum(values, 0.0) * scale, vectors[0] ** 2
