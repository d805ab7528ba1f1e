"""What more tape would settle of a report: the points, the sides to read again, and how often."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.advice.rounds import Round, Side, Step
from fitcheck.estimates.numbers import CannotSay
from fitcheck.reports.shapes import Advice, Report

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
    if not isinstance(advice, CannotSay) and _asks_for_tape(advice) and advice.about:
        for key in {advice.about, *advice.round}:
            sides.setdefault(key, set()).update(_sides(advice.side))
    return sides


def _asks_for_tape(advice: Advice) -> bool:
    """Whether a round is asked for, or offered beside a plan that is sure enough (model 6.6)."""
    return advice.action == "measure_again" or bool(advice.round and advice.about)


def _sides(side: str | None) -> tuple[Side, ...]:
    return ("piece", "garment") if side == "both" else (_side(side),)


def _side(side: str | None) -> Side:
    return "garment" if side == "reference" else "piece"


def times_of(report: Report | None, round_: Round, steps: Sequence[Step]) -> dict[str, int]:
    """How often a round reads the points that the answer asks for, where it asks for more than one reading."""
    advice = None if report is None else report.recommendation
    if advice is None or isinstance(advice, CannotSay) or not _asks_for_tape(advice) or (round_.look or 1) < 2:
        return {}
    wanted = advice.readings or 1
    if not 1 < wanted <= MOST_TIMES:
        return {}
    asked = {(key, side) for key in (advice.about, *advice.round) for side in _sides(advice.side)}
    return {step.id: wanted for step in steps if (step.point, step.side) in asked and step.id in round_.steps}
