"""What is still to knit by the advice, and whether it is the right sweater, from the steps of one answer."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from fitcheck.advice.rest.right_sweater import BesideGarment, RightSweater, right_sweater
from fitcheck.advice.rest.still_to_knit import Rest, still_to_knit
from fitcheck.advice.target.wanted import stage_of
from fitcheck.estimates.numbers import CannotSay
from fitcheck.reports.decided import to_knit
from fitcheck.reports.shapes import ActionReport, PointReport
from fitcheck.reports.steps import Steps

if TYPE_CHECKING:
    from fitcheck.advice.fabric.answer import FabricAnswer


def rest_of(told: Steps, fabric: FabricAnswer | None, actions: Sequence[ActionReport]) -> Rest | None:
    """What is still to knit by the advice; None before an answer, of a finished make, and where nothing is left.

    fabric   what the swatches answer, where there are any
    actions  the ways to go on: a piece that is knitted again has its dial there
    """
    given, piece = told.given, told.given.piece
    if isinstance(told.decided, CannotSay) or piece is None or told.judged is None:
        return None
    action, reason = told.decided.advice.action, told.decided.advice.reason
    again = next((one.dial for one in actions if one.code == action.code == "knit_again"), None)
    sizes = {direction: size.value for direction, size in told.judged.explanation.sizes.items()}
    if told.carried or reason == "miscount" or again:
        # Its own sizes are in doubt, not of the washed piece, or of another dial than the rest's.
        sizes = {}
    if fabric is not None:
        from fitcheck.advice.fabric.ahead import sizes_ahead

        sizes = {**sizes_ahead(fabric, again), **sizes}
    rest = still_to_knit(
        given.make, given.household, piece, action, dial=again, sizes=sizes, kinds=to_knit(given.make, piece)
    )
    return rest if rest.any else None


def right_sweater_of(told: Steps, points: Sequence[PointReport]) -> RightSweater | None:
    """The question whether it is the right sweater; None where it need not be asked.

    points  as the report has them
    """
    piece = told.given.piece
    at = stage_of(piece) if piece else None
    if piece is None or at is None or told.given.make.finished is not None:
        return None
    beside = [
        BesideGarment(point.key, point.measured.value, point.wanted.value, point.difference.value)
        for point in points
        if point.source == "garment" and point.measured and point.wanted
    ]
    return right_sweater(beside, [reading for listed in piece.stages[at].readings.values() for reading in listed])
