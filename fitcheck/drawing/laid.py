"""A piece laid over what is wanted: two outlines, one shift, and where the difference between them may be hatched."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from fitcheck.drawing.outline import Outline, outline_of
from fitcheck.drawing.svg import Point
from fitcheck.drawing.tapes import Tape, key_figures, tape_of
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.constructions import CONSTRUCTIONS, USUAL
from fitcheck.records.frozen import frozen
from fitcheck.reports.shapes import PointReport, Report

At = Literal["shoulders", "underarm", "hem"]
PLACES: tuple[At, ...] = ("shoulders", "underarm", "hem")

NOT_THERE = "not_in_construction"
"""Reason for which points are refused that a construction does not have."""


@frozen
class Laid:
    """A piece laid over what is wanted [mm].

    wanted, piece  their outlines;  at  where they are lined up
    shifts         how far down the piece is moved for each way of lining up [mm]
    figures        key of a point to its figure;  points  the points that were read
    tapes          the tapes on the piece, before the shift, in the order of the figures
    flip           the right half stands at the left (a right front)
    """

    wanted: Outline
    piece: Outline
    at: At
    shifts: dict[At, float]
    figures: dict[str, int]
    points: dict[str, PointReport]
    tapes: tuple[Tape, ...]
    flip: bool

    @property
    def shift(self) -> float:
        """How far down the piece is moved [mm]."""
        return self.shifts[self.at]

    @property
    def drawn_in(self) -> tuple[str, ...]:
        """Points that were not measured and are drawn in."""
        return tuple(dict.fromkeys((*self.wanted.drawn_in, *self.piece.drawn_in)))

    def reach(self, *, every_way: bool) -> tuple[float, float, float]:
        """Width over all, and highest and lowest y of both outlines [mm]; every_way: wherever they are lined up."""
        outlines = (self.wanted, self.piece)
        half = max(outline.half_mm for outline in outlines)
        shifts = list(self.shifts.values()) if every_way else [self.shift]
        lowest = max(self.wanted.length_mm, self.piece.length_mm + max(shifts))
        return (2 * half if self.wanted.mirrored else half), min(0.0, *shifts), lowest

    def zones(self) -> tuple[tuple[float, float, float, float], ...]:
        """Where the tape touched both: boxes (left, top, right, bottom) of the right half, in which the
        difference may be hatched, whatever the line-up [mm]. Drawn-in stretches of neither outline enter them."""
        w, p = self.wanted, self.piece
        lowest, highest = max(self.shifts.values()), min(self.shifts.values())
        touched = _touched(w) & _touched(p)
        bottom = max(w.length_mm, p.length_mm + lowest) + 1.0
        hem_top = min(w.length_mm, p.length_mm + highest) - 1.0
        # A drop shoulder's straight armhole was touched at both its ends, and goes on from the side.
        begins = "T" if "armhole" in touched else "U"
        top = max(w.corners[begins][1], p.corners[begins][1] + lowest)
        wide = max(w.half_mm, p.half_mm) + 1.0
        boxes = []
        if "side" in touched:
            inside = 0.5 * _inner(w, p)
            boxes.append((inside, top, wide, bottom if "hem" in touched else hem_top))
        if "hem" in touched:
            right = wide if "side" in touched else _inner(w, p)
            boxes.append((0.0, hem_top, right, bottom))
        if "shoulder" in touched:
            inner = max(w.corners["N"][0], p.corners["N"][0])
            outer = min(w.corners["T"][0], p.corners["T"][0])
            above = min(0.0, highest) - 1.0
            below = max(w.corners["T"][1], p.corners["T"][1] + lowest)
            boxes.append((inner, above, outer, below))
        return tuple(boxes)


def _inner(*outlines: Outline) -> float:
    """Smallest x of the sides [mm]."""
    return min(outline.corners[name][0] for outline in outlines for name in ("C", "W", "H") if name in outline.corners)


def _touched(outline: Outline) -> set[str]:
    """Names of stretches that are touched in all their parts."""
    thin = {stretch.name for stretch in outline.stretches if not stretch.touched}
    return {stretch.name for stretch in outline.stretches} - thin


def lay(report: Report, at: At = "shoulders", construction: str | None = None) -> Laid | CannotSay:
    """Lay the piece of a report over what is wanted.

    at            where the two are lined up: the ends of the shoulders, the underarm or the lower end (a sleeve:
                  the top of its cap)
    construction  as the make names it; None: what the refused points say

    Returns CannotSay (``no_piece``, ``no_outline``) where nothing can be drawn.
    """
    kind = report.head.piece_kind
    if kind is None:
        return CannotSay("no_piece")
    if at not in PLACES:
        raise ValueError(f"at: read {at!r}; shoulders, underarm or hem is wanted.")
    points = {point.key: point for point in report.points}
    wanted = {point.key: point.wanted.value for point in report.points if point.wanted and point.measured}
    measured = {point.key: point.measured.value for point in report.points if point.wanted and point.measured}
    construction = construction or _guessed(report)
    pair = two_outlines(
        lambda lent: outline_of(wanted, piece=kind, construction=construction, under=lent),
        lambda lent: outline_of(measured, piece=kind, construction=construction, under=lent),
    )
    if isinstance(pair, CannotSay):
        return pair
    under, over = pair
    figures = key_figures(points)
    tapes = [tape for key in figures if (tape := tape_of(over, key)) is not None]
    return Laid(under, over, at, shifts_of(under, over), figures, points, tuple(tapes), kind == "right_front")


def _guessed(report: Report) -> str:
    """The construction that the refused points tell of."""
    lacking = {key for key, reason in report.refused.items() if reason.code == NOT_THERE}
    return next((key for key, built in CONSTRUCTIONS.items() if lacking <= built.lacks.keys()), USUAL)


Lent = Callable[[Outline | None], Outline | CannotSay]
"""Draws an outline, what was not measured lent by another one."""


def two_outlines(lower: Lent, upper: Lent) -> tuple[Outline, Outline] | CannotSay:
    """The outlines of two things that lie on one another, each lending the other what only it was measured at."""
    alone = upper(None)
    if isinstance(alone, CannotSay):
        return alone
    below = lower(alone)
    if isinstance(below, CannotSay):
        return below
    above = upper(below)
    assert isinstance(above, Outline)
    return below, above


def shifts_of(wanted: Outline, piece: Outline) -> dict[At, float]:
    """How far down the upper one is moved for each way of lining up [mm]."""
    corner = {"shoulders": "T" if "T" in wanted.corners else "S", "underarm": "U", "hem": "H"}

    def down(name: str) -> float:
        return wanted.corners[name][1] - piece.corners[name][1]

    return {at: down(corner[at]) for at in PLACES}


def gap(laid: Laid, tape: Tape) -> tuple[Point, Point] | None:
    """Where a difference shows: the end of the tape on the wanted outline, and on the piece as it lies [mm].

    A width's right end; a length's lower end, or its upper one where the lower ends were lined up.
    """
    other = tape_of(laid.wanted, tape.key)
    if other is None:
        return None
    last = -1
    if tape.lies == "along" and laid.at == "hem":
        last = 0
    (x, y), (wanted_x, wanted_y) = tape.ends[last], other.ends[last]
    if tape.lies == "across":
        return (wanted_x, y + laid.shift), (x, y + laid.shift)
    if tape.lies == "along":
        return (x, wanted_y), (x, y + laid.shift)
    return (wanted_x, wanted_y), (x, y + laid.shift)
