"""What the steps tell of the fabric and of the sizes: one figure for report, commands, pages and API."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitcheck.estimates.numbers import CannotSay
from fitcheck.reports.steps import Steps

if TYPE_CHECKING:
    from fitcheck.advice.fabric.answer import FabricAnswer
    from fitcheck.advice.sizes.answers import SizesAnswer


def fabric_and_sizes(told: Steps) -> tuple[FabricAnswer | None, SizesAnswer | None]:
    """What the swatches and the size table answer, where the make has them."""
    given, known, pool = told.given, told.fabric, told.hands.tape
    if not given.swatches and given.make.size_table is None:
        return None, None
    from fitcheck.advice.fabric.answer import fabric_answer
    from fitcheck.advice.sizes.table import look_at_table
    from fitcheck.advice.sizes.which_size import sizes_of

    looked = look_at_table(given.make, given.household, pool)
    fabric = None
    if given.swatches and known is not None:
        fabric = fabric_answer(given.make, given.household, pool, known, looked=looked)
    if given.make.size_table is None:
        return fabric, None
    # What is seamed to a piece keeps its dial, whatever another would bring.
    best = fabric.dials.best if fabric is not None and fabric.dials.keeps is None else None
    sizes = sizes_of(
        given.make,
        given.household,
        known.fabric if known else None,
        pool=pool,
        dial=known.dial if known else None,
        looked=looked,
        advised=None if best is None or isinstance(best, CannotSay) else best.position,
    )
    return fabric, sizes
