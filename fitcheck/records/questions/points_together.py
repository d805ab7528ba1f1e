"""Points of one garment or piece against each other."""

from __future__ import annotations

import math
from collections.abc import Iterator

from fitcheck.records.points import POINTS
from fitcheck.records.questions.figures import Figures
from fitcheck.records.questions.question import LengthsDoNotAddUp, Question, ShouldersDoNotAddUp, WiderThanAround
from fitcheck.records.questions.usual import ADD_UP_MM

_SUMS = (
    (("shoulder_drop", "armhole_depth"), "armhole_from_neck"),
    (("shoulder_drop", "armhole_depth", "to_underarm"), "body_length"),
    (("armhole_from_neck", "to_underarm"), "body_length"),
)
"""Lengths that make up another."""

_WITHIN = (
    ("shoulder_width", "chest", "shoulder_beyond_chest"),
    ("neck_width", "shoulder_width", "neck_beyond_shoulder"),
)
"""Widths that lie within another, and the code of the question where they do not."""


def lengths_add_up(figures: Figures) -> Iterator[Question]:
    """Ask where lengths that make up another miss it by more than a tape explains."""
    for parts, whole in _SUMS:
        middles = [(part, middle) for part in parts if (middle := figures.middle(part)) is not None]
        total = figures.middle(whole)
        if total is None or len(middles) < len(parts):
            continue
        first = figures.points[whole][0]
        odd = LengthsDoNotAddUp(tuple(middles), whole, math.fsum(mm for _, mm in middles), total)
        if odd.away_mm > ADD_UP_MM and not first.confirmed:
            yield figures.ask(first.question("lengths_add_up", odd))


def shoulders_add_up(figures: Figures) -> Iterator[Question]:
    """Ask where the neck and both shoulders miss the shoulder width by more than a tape explains (fit rule 36).

    A shoulder whose drop was not read drops as on a plain sweater.
    """
    neck, seam, whole = (figures.middle(point) for point in ("neck_width", "shoulder_seam", "shoulder_width"))
    if neck is None or seam is None or whole is None:
        return
    drop = figures.middle("shoulder_drop")
    odd = ShouldersDoNotAddUp(neck, seam, POINTS["shoulder_drop"].plain_mm if drop is None else drop, whole)
    first = figures.points["shoulder_width"][0]
    if abs(odd.parts_mm - whole) > ADD_UP_MM and not first.confirmed:
        yield figures.ask(first.question("shoulders_add_up", odd))


def widths_within(figures: Figures) -> Iterator[Question]:
    """Ask about a shoulder wider than the chest, and a neck wider than the shoulder."""
    for inner, outer, code in _WITHIN:
        small, large = figures.middle(inner), figures.middle(outer)
        if small is None or large is None or small <= large:
            continue
        first, second = figures.points[inner][0], figures.points[outer][0]
        if not first.confirmed and not second.confirmed:
            yield figures.ask(first.question(code, WiderThanAround(inner, small, outer, large)))
