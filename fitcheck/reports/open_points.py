"""What more tape would settle of a report: the points, the sides to read again, and how often."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.advice.rounds import Round, Side, Step
from fitcheck.estimates.numbers import CannotSay
from fitcheck.reports.shapes import Report

MOST_TIMES = 4
"""Readings of one point that a round asks for at most; where more would be needed the answer does not count them."""


def open_points(report: Report | None) -> dict[str, set[Side]]:
    """The points that more tape would settle, each with the sides to read again."""
    if report is None:
        return {}
    sides: dict[str, set[Side]] = {}
    for point in report.points:
        if point.code == "too_close" and point.reason != "on_the_line" and point.side is not None:
            sides.setdefault(point.key, set()).add(_side(point.side))
    advice = report.recommendation
    if not isinstance(advice, CannotSay) and advice.action == "measure_again" and advice.about:
        sides.setdefault(advice.about, set()).add(_side(advice.side))
    return sides


def _side(side: str | None) -> Side:
    return "garment" if side == "reference" else "piece"


def times_of(report: Report | None, round_: Round, steps: Sequence[Step]) -> dict[str, int]:
    """How often a round reads the point that the answer asks about, where it asks for more than one reading."""
    advice = None if report is None else report.recommendation
    if advice is None or isinstance(advice, CannotSay) or advice.action != "measure_again" or (round_.look or 1) < 2:
        return {}
    wanted = advice.readings or 1
    about = next((step for step in steps if (step.point, step.side) == (advice.about, _side(advice.side))), None)
    if about is None or about.id not in round_.steps or not 1 < wanted <= MOST_TIMES:
        return {}
    return {about.id: wanted}
