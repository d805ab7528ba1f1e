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
    """What a make's swatch of a rib says, washed and blocked, the last of several; why nothing is known without."""
    for swatch in reversed(swatches):
        if not called_a_rib(swatch.stitch_pattern):
            continue
        sizes = by_itself(swatch, household)
        across, along = sizes.get((BLOCKED, "across")), sizes.get((BLOCKED, "along"))
        if across is not None and along is not None:
            return BandStitch(across.value, along.value)
    return NOT_SWATCHED
