"""What the steps tell of the fabric and of the sizes: one figure for report, commands, pages and API."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from fitcheck.estimates.numbers import CannotSay
from fitcheck.reports.steps import Steps

if TYPE_CHECKING:
    from fitcheck.advice.fabric.answer import FabricAnswer
    from fitcheck.advice.sizes.answers import SizesAnswer
    from fitcheck.advice.sizes.table import TableLooked


def parts_of(told: Steps) -> tuple[FabricAnswer | None, SizesAnswer | None]:
    """What the swatches and the size table answer, where the make has them."""
    given = told.given
    if not given.swatches and given.make.size_table is None:
        return None, None
    looked = _looked_at(told)
    fabric = fabric_told(told, looked) if given.swatches else None
    return fabric, sizes_told(told, fabric, looked) if given.make.size_table is not None else None


def fabric_told(told: Steps, looked: TableLooked | None = None) -> FabricAnswer:
    """What the make's fabric does; a piece that is all there is tells its own, though nothing else by it.

    looked  the size table checked already
    """
    from fitcheck.advice.fabric.answer import fabric_answer
    from fitcheck.advice.fabric.of_make import fabric_of

    given, looked = told.given, looked or _looked_at(told)
    known = told.ahead or fabric_of(given.make, given.household, told.hands.tape, doubts=told.doubts.counts)
    answer = fabric_answer(given.make, given.household, known, looked)
    best = answer.dials.best
    if isinstance(best, CannotSay) or answer.dials.keeps is not None or best.dial == answer.dial:
        return answer
    # Before the first piece what is knitted next is knitted at the advised dial.
    advised = replace(known, dial=best.position, written=best.dial)
    return fabric_answer(given.make, given.household, advised, looked)


def sizes_told(told: Steps, fabric: FabricAnswer | None, looked: TableLooked | None = None) -> SizesAnswer:
    """Which size's numbers to knit, at the dial of what comes next; before a piece is there at the advised one too.

    fabric  what the swatches answer; None without any
    looked  the size table checked already
    """
    from fitcheck.advice.sizes.which_size import sizes_of

    given, known = told.given, told.ahead
    # What is seamed to a piece keeps its dial, whatever another would bring.
    best = fabric.dials.best if fabric is not None and fabric.dials.keeps is None else None
    return sizes_of(
        given.make,
        given.household,
        known.fabric if known else None,
        pool=told.hands.tape,
        dial=known.dial if known else None,
        looked=looked or _looked_at(told),
        advised=None if best is None or isinstance(best, CannotSay) else best.position,
    )


def _looked_at(told: Steps) -> TableLooked:
    from fitcheck.advice.sizes.table import look_at_table

    return look_at_table(told.given.make, told.given.household, told.hands.tape)
