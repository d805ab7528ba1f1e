"""The stitch of a make's bands, from its swatch of a rib: it never enters that of the plain fabric (fit rule 1)."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.advice.fabric.of_make import by_itself
from fitcheck.advice.groups import called_a_rib
from fitcheck.advice.rest.bands import NOT_SWATCHED, BandStitch
from fitcheck.estimates.fabric.assumptions import BLOCKED
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.households import Household
from fitcheck.records.swatches import Swatch


def band_stitch(swatches: Sequence[Swatch], household: Household) -> BandStitch | CannotSay:
    """What a make's swatch of a rib says, washed and blocked; why nothing is known without."""
    swatched = rib_swatch(swatches, household)
    return NOT_SWATCHED if swatched is None else swatched[1]


def rib_swatch(swatches: Sequence[Swatch], household: Household) -> tuple[Swatch, BandStitch] | None:
    """The swatch that tells the bands, the last of several, and the stitch that it has; None without one."""
    for swatch in reversed(swatches):
        if not called_a_rib(swatch.stitch_pattern):
            continue
        sizes = by_itself(swatch, household)
        across, along = sizes.get((BLOCKED, "across")), sizes.get((BLOCKED, "along"))
        if across is not None and along is not None:
            return swatch, BandStitch(across.value, along.value)
    return None
