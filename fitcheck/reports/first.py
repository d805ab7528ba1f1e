"""What to knit first, while no piece is there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitcheck.advice.rest.planned import planned_counts
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.reports.given import Given
from fitcheck.reports.shapes import FirstPiece

if TYPE_CHECKING:
    from fitcheck.advice.fabric.answer import FabricAnswer
    from fitcheck.advice.sizes.answers import SizesAnswer


def first_of(given: Given, fabric: FabricAnswer | None, sizes: SizesAnswer | None) -> FirstPiece | None:
    """The first piece of a make that has none: its planned counts, else the best size's, else free ones."""
    make = given.make
    if given.piece is not None or make.finished:
        return None
    from fitcheck.advice.sizes.choice import LIKELY_ENOUGH

    kind = CONSTRUCTIONS[make.construction].pieces[0]
    dial = _dial(fabric)
    counts = planned_counts(make, given.household, kind)
    if counts:
        return FirstPiece(kind, counts, make.size if not make.planned.get(kind) else None, True, dial)
    at = sizes.advised or sizes if sizes is not None else None
    if at is None or sizes is None or isinstance(at.best, CannotSay):
        return FirstPiece(kind, {}, None, False, dial)
    of_best = sizes.size(at.best)
    fit = sizes.advised.all_fit if sizes.advised is not None else of_best.all_fit if of_best is not None else None
    likely = isinstance(fit, float) and fit >= LIKELY_ENOUGH
    free = at.free_counts
    if not likely and not isinstance(free, CannotSay) and free.all_fit >= LIKELY_ENOUGH:
        return FirstPiece(
            kind, {count.key: count.count for count in free.counts if count.piece == kind}, None, True, dial
        )
    chosen = planned_counts(make.model_copy(update={"size": at.best}), given.household, kind)
    return FirstPiece(kind, chosen, at.best, likely, dial)


def _dial(fabric: FabricAnswer | None) -> str | None:
    """The advised dial, else the fabric's own, as it is written."""
    if fabric is None:
        return None
    best = fabric.dials.best
    return fabric.dial if isinstance(best, CannotSay) else best.dial
