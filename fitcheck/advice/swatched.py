"""Which dials were swatched, what lies between two of them, and swatches whose labels were changed."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from fitcheck.estimates.fabric.assumptions import BLOCKED
from fitcheck.estimates.fabric.fit import SAME_DIAL, Fabric
from fitcheck.estimates.numbers import Estimate
from fitcheck.records.frozen import frozen

ONE_NUMBER = 1.0
"""Dials of two swatches between which a third is as good as swatched, at most so far apart (model 8b, assumed)."""
SWATCH_SD = 0.0135
"""SD from swatch to swatch of one fabric [relative]: the median of the half-normal prior of scale 0.02 (model 2)."""
CONTRADICTS_SDS = 1.645
"""A looser dial with stitches smaller by more SDs contradicts the tighter one (assumed)."""


@frozen
class Blocked:
    """A swatch as it lies washed and blocked: key, dial number, and stitch width [mm]."""

    key: str
    dial: float | None
    stitch: Estimate


def blocked_swatches(fabric: Fabric | None) -> tuple[Blocked, ...]:
    """Every swatch of a fabric that was read across, washed and blocked."""
    if fabric is None:
        return ()
    return tuple(
        Blocked(specimen.key, specimen.dial, stage.across)
        for specimen in fabric.specimens
        if not specimen.piece
        for stage in specimen.stages
        if stage.stage == BLOCKED and stage.across is not None
    )


def swatched_dials(fabric: Fabric | None) -> list[float]:
    """Dial numbers of the swatches that were read washed and blocked, the tightest first."""
    return sorted({swatch.dial for swatch in blocked_swatches(fabric) if swatch.dial is not None})


def swatched(dial: float, dials: Sequence[float]) -> bool:
    """Whether a dial was swatched, or lies between two that were and are at most one number apart."""
    below = max((other for other in dials if other <= dial + SAME_DIAL), default=None)
    above = min((other for other in dials if other >= dial - SAME_DIAL), default=None)
    return below is not None and above is not None and above - below <= ONE_NUMBER + SAME_DIAL


def contradiction(blocked: Sequence[Blocked]) -> tuple[str, str] | None:
    """Keys of the two swatches that contradict each other most: the looser dial has clearly smaller stitches.

    z = ln(tighter / looser) / sqrt(u_t^2 + u_l^2 + 2 tau^2), all relative, tau as `SWATCH_SD`.
    """
    worst, pair = CONTRADICTS_SDS, None
    for one, other in itertools.combinations(blocked, 2):
        if one.dial is None or other.dial is None or abs(one.dial - other.dial) <= SAME_DIAL:
            continue
        tighter, looser = (one, other) if one.dial < other.dial else (other, one)
        u = math.hypot(
            tighter.stitch.u / tighter.stitch.value, looser.stitch.u / looser.stitch.value, math.sqrt(2) * SWATCH_SD
        )
        z = math.log(tighter.stitch.value / looser.stitch.value) / u
        if z > worst:
            worst, pair = z, (tighter.key, looser.key)
    return pair
