"""What a blocked piece tells about its own fabric: its stitch or row size, and its true lengths jointly."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal, Protocol

import numpy as np
from numpy.typing import NDArray

from fitcheck.estimates.numbers import Basis, Estimate
from fitcheck.records.faults import FitcheckError
from fitcheck.records.frozen import frozen

CountedDirection = Literal["across", "along"]
Matrix = NDArray[np.float64]

LOCAL_SD = 0.007
"""Relative SD of one place of a piece about the piece's own stitch size (assumed, model of the fabric)."""
LOCAL_DOF = 4.0
"""Pseudo-degrees of freedom of LOCAL_SD, weighed against the piece's own residuals (assumed)."""


class PieceError(FitcheckError, ValueError):
    """A piece's readings or counts cannot be used; the message says which and what is accepted."""


class StitchSizePrior(Protocol):
    """Anything that tells the log of a stitch or row size before this piece was read."""

    @property
    def log_mean(self) -> float:
        """Mean of the log of the size [ln mm]."""

    @property
    def sd(self) -> float:
        """SD of the log of the size [relative]."""


@frozen
class StitchPrior:
    """The size of a stitch (or row) before this piece was read.

    log_mean  mean of its log [ln mm]
    sd        SD of its log, piece to piece included [relative]
    """

    log_mean: float
    sd: float


USUAL_MM: dict[CountedDirection, float] = {"across": 4.5, "along": 3.2}
"""Width of a stitch and height of a row of plain fabric of a standard gauge, blocked [mm] (assumed, no source)."""
SIZE_SD = 0.25
"""Relative SD of the size of a stitch of which nothing is known [1] (assumed)."""
VAGUE: dict[CountedDirection, StitchPrior] = {
    direction: StitchPrior(math.log(mm), SIZE_SD) for direction, mm in USUAL_MM.items()
}
"""Priors where no swatch is known (assumed, editable in the model)."""


@frozen
class PieceReading:
    """One point of a piece, in one direction.

    count     stitches or rows measured across, None where nobody counted
    measured  length of the point [mm]
    """

    count: float | None
    measured: Estimate


@frozen
class PiecePosterior:
    """What all readings of one direction tell together.

    log_size  log of the piece's stitch or row size [ln mm]
    size_mm   the size itself, exp(log_size.value) [mm]
    means_mm  likeliest true length of every point [mm], shape (J,), in the order given
    cov_mm2   covariance of those true lengths [mm2], shape (J, J)
    local_sd  relative SD from place to place that was used, after the piece's own residuals spoke
    dof       degrees of freedom for intervals: the smallest of the readings' (they share one pool)
    """

    log_size: Estimate
    size_mm: float
    means_mm: Matrix
    cov_mm2: Matrix
    local_sd: float
    dof: float


def updated_local_sd(
    log_sizes: Matrix, variances: Matrix, *, local_sd: float = LOCAL_SD, local_dof: float = LOCAL_DOF
) -> float:
    """Relative SD from place to place, the assumption updated by the piece's own residuals.

        p_j = 1/(u_j^2 + lambda0^2),  xbar = sum p_j x_j / sum p_j,  Q = sum p_j (x_j - xbar)^2
        E(Q | tape alone) = sum p_j u_j^2 - sum p_j^2 u_j^2 / sum p_j,   C = sum p_j - sum p_j^2 / sum p_j
        S = (J - 1) (Q - E(Q | tape alone)) / C
        lambda^2 = (nu0 lambda0^2 + max(0, S)) / (nu0 + J - 1)

    S is the sum of squares that J places without tape error would show, because E(Q) = E(Q | tape alone)
    + C lambda^2; with equal u it is the plain sum of squares about the mean less (J - 1) u^2.

    log_sizes  x_j = ln(length / count) [ln mm], shape (J,)
    variances  u_j^2, relative, shape (J,)
    Source: moment estimator of a between-places variance with known within variances (DerSimonian and Laird
    1986, weights fixed beforehand), joined to the assumption as in a scaled inverse chi-square update.
    """
    J = len(log_sizes)
    prior_square = local_dof * local_sd**2
    if J < 2:
        return local_sd
    p = 1 / (variances + local_sd**2) if local_sd else 1 / np.maximum(variances, 1e-18)
    total = p.sum()
    residual = log_sizes - p @ log_sizes / total
    p_over_total = p / total
    from_tape = p @ variances - p_over_total @ (p * variances)
    S = (J - 1) * (p @ residual**2 - from_tape) / (total - p_over_total @ p)
    return math.sqrt((prior_square + max(0.0, float(S))) / (local_dof + J - 1))


def piece_posterior(
    readings: Sequence[PieceReading],
    prior: StitchSizePrior,
    *,
    local_sd: float = LOCAL_SD,
    local_dof: float = LOCAL_DOF,
) -> PiecePosterior:
    """Joint posterior of the true lengths of one direction of a piece, from all its readings and counts.

        ln F_j = ln N_j + eta + l_j + eps_j,  eta ~ prior,  l_j ~ N(0, lambda^2),  eps_j ~ N(0, (u_j/F_j)^2)
        true length of point j = N_j exp(eta + l_j)

    theta = eta + l has covariance P = sd^2 11' + lambda^2 I before and P - P (P + U)^-1 P after the readings;
    lengths follow to first order, F_j F_k cov(theta_j, theta_k). lambda: see updated_local_sd. Points
    without a count keep their own reading and are independent of the others.

    readings   points of one direction; lengths positive [mm], counts positive
    prior      log of the size before this piece [ln mm, relative SD]; it must not contain this piece already
    local_sd   assumed relative SD from place to place
    local_dof  pseudo-degrees of freedom of that assumption
    Raises PieceError for a length or count that is not positive and finite.
    Source: the fabric model of this project (its section 2); linear-Gaussian update as in any textbook.
    """
    for place, reading in enumerate(readings):
        check_reading(f"readings[{place}]", reading)
    value = np.array([reading.measured.value for reading in readings], dtype=float)
    u = np.array([reading.measured.u for reading in readings], dtype=float)
    counted = np.array([reading.count is not None for reading in readings], dtype=bool)
    count = np.array([reading.count for reading in readings if reading.count is not None], dtype=float)
    dof = min((reading.measured.dof for reading in readings), default=math.inf)

    if not counted.any():
        size = Estimate(prior.log_mean, prior.sd, basis="assumed")
        return PiecePosterior(size, math.exp(size.value), value, np.diag(u**2), local_sd, dof)

    x = np.log(value[counted] / count)
    variance = (u[counted] / value[counted]) ** 2
    sd = updated_local_sd(x, variance, local_sd=local_sd, local_dof=local_dof)
    prior_var, local_var = prior.sd**2, sd**2
    # Closed form instead of a solve: P + U is a diagonal plus one common variance. A point whose total
    # variance is nil (exact, no local scatter) gets a floor far below any tape, so that it can be weighed.
    weight = 1 / np.maximum(variance + local_var, 1e-18)
    size_var = 1 / (1 / prior_var + weight.sum()) if prior_var else 0.0
    size_mean = prior.log_mean + size_var * float(weight @ (x - prior.log_mean))
    pull = weight * local_var  # how far a point follows its own reading
    keep = 1 - pull
    theta = size_mean + pull * (x - size_mean)
    theta_cov = size_var * (keep[:, None] * keep) + np.diag(local_var * keep)
    means = length = count * np.exp(theta)
    cov = length_cov = theta_cov * (length[:, None] * length)
    if not counted.all():
        means, cov = value, np.diag(u**2)
        means[counted] = length
        cov[counted[:, None] & counted] = length_cov.ravel()
    basis: Basis = "measured" if prior is VAGUE["across"] or prior is VAGUE["along"] else "mixed"
    size = Estimate(size_mean, math.sqrt(size_var), dof, basis=basis)
    return PiecePosterior(size, math.exp(size_mean), means, cov, sd, dof)


def check_reading(where: str, reading: PieceReading) -> None:
    """Raise PieceError, naming where, unless length and count are positive and finite."""
    if not (reading.measured.value > 0 and math.isfinite(reading.measured.value)):
        raise PieceError(
            f"{where}.measured: read {reading.measured.value} mm; a length above 0 mm is accepted. "
            "Measure the point again."
        )
    if not (reading.measured.u >= 0 and math.isfinite(reading.measured.u)):
        raise PieceError(
            f"{where}.measured: read an uncertainty of {reading.measured.u} mm; 0 mm or more is "
            "accepted. Make the estimate from its readings again."
        )
    if reading.count is not None and not (reading.count > 0 and math.isfinite(reading.count)):
        raise PieceError(
            f"{where}.count: read {reading.count}; more than 0 stitches or rows are accepted. "
            "Count again, or leave it out where nobody counted."
        )
