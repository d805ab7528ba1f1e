"""The outline of a planned piece, from the edges of its plan: every stitch and row as it is knitted, none guessed.

Millimetres of the piece, x from the middle of its cast-on to the right of the bed, y down from its top.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from fitcheck.drawing.svg import Point
from fitcheck.knitting.counts import Fabric
from fitcheck.knitting.plan import SIDES, Edge, Plan, Side
from fitcheck.records.frozen import frozen

_CAST_ON = ("hem", "cuff")
_UNDERARM = ("to_underarm", "sleeve_to_underarm", "panel_length")
_DIVISION = ("neck_depth", "back_neck_drop")
_NOT_INWARD = ("side", "front", "neck")
"""Edges of one side of a piece that do not go inward above its underarm."""


@frozen
class PlannedShape:
    """A planned piece as it lies [mm].

    line    its corners, from the left end of the cast-on round to the right one
    rows    counter at its top;  h: height of a row [mm]
    rib_mm  length of the rib under its cast-on; 0 without one
    """

    line: tuple[Point, ...]
    rows: int
    h: float
    rib_mm: float = 0.0

    @property
    def reach(self) -> tuple[float, float]:
        """Its farthest places to the left and to the right [mm]."""
        return min(x for x, _ in self.line), max(x for x, _ in self.line)

    @property
    def cast_on(self) -> tuple[float, float]:
        """From where to where its cast-on lies [mm]."""
        return self.line[0][0], self.line[-1][0]

    @property
    def plain_mm(self) -> float:
        """From its top down to its cast-on [mm]."""
        return self.rows * self.h

    @property
    def length_mm(self) -> float:
        """From its top down to its lower end, the rib included [mm]."""
        return self.plain_mm + self.rib_mm

    def y(self, counter: int) -> float:
        """How far down a row lies [mm]."""
        return (self.rows - counter) * self.h

    def across(self, counter: int) -> tuple[float, float]:
        """From where to where it reaches just under a row [mm]: a cast-off of that row is not done yet."""
        y = self.y(counter) + self.h / 4
        meets = list(_meets((*self.line, self.line[0]), min(y, self.plain_mm - self.h / 4)))
        return min(meets), max(meets)


def shape_of(plan: Plan, fabric: Fabric, *, rib_mm: float = 0.0) -> PlannedShape:
    """The outline of a plan.

    fabric  stitch width and row height [mm]
    rib_mm  length of the rib that is knitted before the counter is set to 0 [mm]
    """
    left, right = (_border(plan, side) for side in SIDES)
    rows = max(y for _, y in (*left, *right))
    corners = [*left, *reversed(right)]
    line = tuple(dict.fromkeys((x * fabric.w, (rows - y) * fabric.h) for x, y in corners))
    return PlannedShape(line, round(rows), fabric.h, rib_mm)


def first_counter(plan: Plan, keys: Iterable[str]) -> int | None:
    """The counter of the first of some points that a plan has; None where it has none of them."""
    return next((plan.points[key][0] for key in keys if key in plan.points), None)


def underarm_of(plan: Plan) -> int:
    """The counter at which a plan's sides end."""
    return first_counter(plan, _UNDERARM) or 0


def division_of(plan: Plan) -> int | None:
    """The counter at which a plan is divided at its neck; None where it is not."""
    return first_counter(plan, _DIVISION) if any(name.endswith("_neck") for name in plan.edges) else None


def _border(plan: Plan, side: Side) -> list[Point]:
    """One side of a plan from its cast-on up, and down again along its neck: (stitches from the middle, rows)."""
    out = 1.0 if side == "right" else -1.0
    at = (out * plan.span.stitches / 2, 0.0)
    corners = [at]
    if f"{side}_front" in plan.edges:
        corners += _climbed(plan.edges[f"{side}_front"], at, 0.0)
        corners += _climbed(plan.edges.get("neck", ()), corners[-1], -out)
        return [*corners, *_climbed(plan.edges.get(f"{side}_neck", ()), corners[-1], -out)]
    corners += _side(plan, side, at, out)
    for edge in _inward(plan, side):
        corners += _climbed(edge, corners[-1], -out)
    division = division_of(plan)
    if division is not None and f"{side}_neck" in plan.edges:
        middle = sum(run.stitches for run in plan.edges.get("neck", ()))
        foot = (out * middle / 2, float(division))
        corners += reversed([foot, *_climbed(plan.edges[f"{side}_neck"], foot, out)])
    return corners


def _inward(plan: Plan, side: Side) -> list[Edge]:
    """The edges above a side, from its underarm up: a cast-off, an armhole or a cap, a shoulder."""
    names = [name for name in plan.edges if name.startswith(f"{side}_")]
    inward = [name for name in names if name.removeprefix(f"{side}_") not in _NOT_INWARD]
    upward = sorted(inward, key=lambda name: (not name.endswith("_underarm"), name.endswith("_shoulder")))
    return [plan.edges[name] for name in upward]


def _side(plan: Plan, side: Side, at: Point, out: float) -> Iterator[Point]:
    """Up a side: a chain does not say whether it widens, the stitches at its levels do."""
    keys = (*_CAST_ON, "waist", *_UNDERARM)
    levels = sorted({(0, plan.span.stitches), *(plan.points[key] for key in keys if key in plan.points)})
    x, y = at
    for run in plan.edges[f"{side}_side"]:
        higher = next((pair for pair in pairwise(levels) if pair[0][0] <= y < pair[1][0]), None)
        narrows = higher is not None and higher[1][1] < higher[0][1]
        x, y = x + (-out if narrows else out) * run.stitches, y + run.rows
        yield x, y


def _climbed(edge: Edge, at: Point, way: float) -> list[Point]:
    """The corners of a chain that begins at a place and goes up, each stitch a step to one side."""
    x, y = at
    corners = []
    for run in edge:
        x, y = x + way * run.stitches, y + run.rows
        corners.append((x, y))
    return corners


def _meets(line: Iterable[Point], y: float) -> Iterator[float]:
    """Where a line crosses a height."""
    for (x1, y1), (x2, y2) in pairwise(line):
        if y1 != y2 and min(y1, y2) <= y <= max(y1, y2):
            yield x1 + (x2 - x1) * (y - y1) / (y2 - y1)
