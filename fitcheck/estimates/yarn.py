"""Grams per stitch from weighed pieces, and what is still needed (facts of the rest, section 6).

    r = ln(grams/loops) of a specimen ~ N(mu, v),  v = tau^2 + d^2/12/grams^2 (+ .02^2 for a swatch)
    mu before anything is weighed ~ N(ln(k w tex strands / 1e6), .12^2)
    need = g S + extra,  var = (g S)^2/K + g^2 tau^2 sum S_p^2 + u_extra^2,  K = 1/.12^2 + sum 1/v
    P(lasts) = t_nu((hand - need)/s)

g [grams a stitch], S [loops to knit], S_p [loops of one piece], d the step of the scale [g]. tau begins as .02 with
four pseudo-degrees of freedom and is learned with every piece weighed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from fitcheck.estimates.numbers import Basis, CannotSay, Estimate
from fitcheck.estimates.student import student_cdf, student_quantile
from fitcheck.records.faults import FitcheckError
from fitcheck.records.frozen import frozen

TAU = 0.02
"""Relative SD of grams per stitch from piece to piece in one yarn at one dial (assumed)."""
TAU_DOF = 4.0
"""Pseudo-degrees of freedom of TAU (assumed)."""
SWATCH_SD = 0.02
"""What a swatch adds to that: its edges are a larger part of it (assumed)."""
STITCH_LENGTH = 4.1
"""Yarn in a plain stitch, in widths of the stitch (assumed)."""
PRIOR_SD = 0.12
"""Relative SD of grams per stitch that yarn and gauge alone tell (assumed)."""
ASK_BEYOND = 0.25
"""A weighed piece so far from what yarn and gauge tell is asked about [relative] (assumed)."""
FAR = 3.0
"""A weight so many times what the other pieces tell, or so small a part of it, has a figure too many or too few (ours,
no source)."""
OIL, OIL_SD = 0.04, 0.012
"""Share of its weight that yarn spun in oil loses in the wash (assumed)."""


class YarnError(FitcheckError, ValueError):
    """Grams or loops cannot be used; the message names the field, what was read and what is accepted."""


class Weighed(NamedTuple):
    """A weighed specimen.

    grams   its weight [g];  loops: stitches in it, row by row
    step_g  step of the scale [g]
    swatch  it is a swatch, no piece
    """

    grams: float
    loops: float
    step_g: float = 1.0
    swatch: bool = False


@frozen
class GramsPerStitch:
    """What a stitch weighs.

    grams      g [grams a stitch]
    sd         relative SD of g as the mean of the yarn, 1/sqrt(K)
    piece_sd   tau, relative SD from piece to piece
    dof        nu
    basis      measured where a specimen was weighed, else assumed
    off_prior  ratio of the weighed to what yarn and gauge tell, less 1; None where either is not known
    """

    grams: float
    sd: float
    piece_sd: float
    dof: float
    basis: Basis
    off_prior: float | None = None

    @property
    def asks(self) -> bool:
        """Whether what was weighed is so far from what yarn and gauge tell that it is asked about."""
        return self.off_prior is not None and abs(self.off_prior) > ASK_BEYOND


def grams_if_far(piece: Weighed, others: Sequence[Weighed]) -> float | None:
    """What a piece would weigh by the others of its yarn, where its own weight is `FAR` from that [g]; else None.

        loops sum(grams)/sum(loops)

    Without others nothing is far.
    """
    loops = math.fsum(other.loops for other in others)
    if not loops:
        return None
    told = piece.loops * math.fsum(other.grams for other in others) / loops
    return None if told / FAR < piece.grams < told * FAR else told


@frozen
class Needed:
    """Grams that are still needed.

    grams      need [g];  u: its SD [g];  dof: nu
    per_stitch g [grams a stitch], for rows that are left out
    """

    grams: float
    u: float
    dof: float
    per_stitch: float

    def lasts(self, hand_g: float) -> float:
        """Chance that so many grams are enough [0 to 1]."""
        if self.u == 0:
            return float(hand_g >= self.grams)
        return student_cdf((hand_g - self.grams) / self.u, self.dof)

    def interval(self, level: float = 0.90) -> tuple[float, float]:
        """Likely range of what is needed [g]."""
        half = student_quantile(0.5 + level / 2, self.dof) * self.u
        return self.grams - half, self.grams + half

    def rows_to_leave_out(self, hand_g: float, stitches: float, *, sure: float = 0.95) -> int:
        """Rows of so many stitches to leave out until the yarn lasts as surely as that.

            ceil((need + t u - hand) / (g stitches))

        hand_g    on hand [g];  stitches: of a row, of both sleeves where both are knitted at once
        Raises YarnError for a row of no stitches.
        """
        if not stitches > 0:
            raise YarnError(f"stitches: read {stitches}; a number above 0 is accepted. Count a row.")
        short = self.grams + student_quantile(sure, self.dof) * self.u - hand_g
        return max(0, math.ceil(short / (self.per_stitch * stitches)))


def yarn_prior(stitch_mm: float, tex: float, strands: int = 1) -> float:
    """What yarn and gauge alone say of a stitch: k w tex strands / 1e6 [grams a stitch].

    stitch_mm  finished stitch width [mm];  tex: grams of one strand in 1000 m
    Raises YarnError for what is not above 0.
    """
    for name, value in (("stitch_mm", stitch_mm), ("tex", tex), ("strands", strands)):
        if not 0 < value < math.inf:
            raise YarnError(f"{name}: read {value}; a number above 0 is accepted. Read the yarn's label again.")
    return STITCH_LENGTH * stitch_mm * tex * strands / 1e6


def grams_per_stitch(
    weighed: Iterable[Weighed | tuple[float, float]], *, prior: float | None = None
) -> GramsPerStitch | CannotSay:
    """What a stitch of this yarn weighs, from weighed specimens and what yarn and gauge tell.

    weighed  specimens, or pairs of grams and loops
    prior    `yarn_prior`; None where the yarn does not say its thickness
    Raises YarnError for grams, loops or a step that are not above 0.
    """
    specimens = [Weighed(*each) for each in weighed]
    for at, specimen in enumerate(specimens):
        for name in ("grams", "loops", "step_g"):
            value = getattr(specimen, name)
            if not 0 < value < math.inf:
                raise YarnError(
                    f"weighed[{at}].{name}: read {value}; a number above 0 is accepted. Weigh or count again."
                )
    if not specimens and prior is None:
        return CannotSay("nothing_weighed")
    logs = [math.log(specimen.grams / specimen.loops) for specimen in specimens]
    tau = TAU
    # The spread about a mean that is weighted with the spread: twice is enough, the second step moves tau by 1e-4.
    for _ in range(2):
        variances = [_own_variance(specimen) + tau**2 for specimen in specimens]
        precision, mean = _mean(logs, variances, prior)
        own = math.fsum((log - mean) ** 2 * tau**2 / v for log, v in zip(logs, variances, strict=True))
        dof = TAU_DOF + max(0, len(specimens) - 1)
        tau = math.sqrt((TAU_DOF * TAU**2 + own) / dof) if len(specimens) > 1 else TAU
    variances = [_own_variance(specimen) + tau**2 for specimen in specimens]
    precision, mean = _mean(logs, variances, prior)
    off = None
    if specimens and prior is not None:
        alone = math.fsum(log / v for log, v in zip(logs, variances, strict=True)) / math.fsum(1 / v for v in variances)
        off = math.exp(alone) / prior - 1
    basis: Basis = "measured" if specimens else "assumed"
    return GramsPerStitch(math.exp(mean), 1 / math.sqrt(precision), tau, dof, basis, off)


def yarn_needed(loops: Sequence[float], fit: GramsPerStitch, *, extra: float = 0.0, extra_u: float = 0.0) -> Needed:
    """Grams for pieces that are still to knit.

    loops           of each piece, those of the rest of a begun one too
    extra, extra_u  seams, tails and bands with their SD [g]
    Raises YarnError for loops below 0.
    """
    for at, piece in enumerate(loops):
        if not 0 <= piece < math.inf:
            raise YarnError(f"loops[{at}]: read {piece}; a number from 0 up is accepted. Count again.")
    knitted = fit.grams * math.fsum(loops)
    of_pieces = fit.grams * fit.piece_sd * math.sqrt(math.fsum(piece**2 for piece in loops))
    return Needed(knitted + extra, math.hypot(knitted * fit.sd, of_pieces, extra_u), fit.dof, fit.grams)


def as_oiled(washed_g: float) -> Estimate:
    """What a washed piece weighed while the oil was in it [g]: washed/(1 - .04 +- .012)."""
    oiled = washed_g / (1 - OIL)
    return Estimate(oiled, oiled * OIL_SD / (1 - OIL), basis="assumed")


def _own_variance(specimen: Weighed) -> float:
    """Variance of a specimen's log that is not the yarn's: the step of the scale, the edges of a swatch."""
    return specimen.step_g**2 / 12 / specimen.grams**2 + (SWATCH_SD**2 if specimen.swatch else 0.0)


def _mean(logs: Sequence[float], variances: Sequence[float], prior: float | None) -> tuple[float, float]:
    """K and the weighted mean of the logs, with the prior where there is one."""
    weights, values = [1 / v for v in variances], list(logs)
    if prior is not None:
        weights.append(1 / PRIOR_SD**2)
        values.append(math.log(prior))
    precision = math.fsum(weights)
    return precision, math.fsum(w * value for w, value in zip(weights, values, strict=True)) / precision
