"""Whether it is the right sweater, from the steps of one answer."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.advice.rest.right_sweater import BesideGarment, RightSweater, right_sweater
from fitcheck.advice.target.wanted import stage_of
from fitcheck.reports.shapes import PointReport
from fitcheck.reports.steps import Steps


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
