"""One planned piece, small: the rows of its points at the left, the stitches there at the right, its rib under it."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.drawing.canvas import View, graph
from fitcheck.drawing.labels import push_apart
from fitcheck.drawing.look import SCREEN, WIDTH, Look
from fitcheck.drawing.planned import PlannedShape, division_of, shape_of, underarm_of
from fitcheck.drawing.svg import Point, drawing, n, path, polyline, rect, text, text_width
from fitcheck.knitting.counts import Fabric
from fitcheck.knitting.plan import Plan
from fitcheck.records.points import POINTS
from fitcheck.words import Unit

LARGEST = 0.288
"""Largest scale [units per mm]: 1:10 where the drawing is 100 mm wide, as on paper."""
TALLEST = 200.0
"""Tallest piece [units]."""
COLUMN = 44.0
"""What a column of figures with its leaders takes [units]."""
ROW = 15.0
"""From one figure of a column to the next [units]."""
TOP, FOOT = 40.0, 14.0
"""What stands over the piece and under it [units]."""
RIBS = 10.0
"""From one line of a rib to the next [units]."""


def piece_drawing(
    plan: Plan,
    fabric: Fabric,
    unit: Unit = "cm",
    *,
    label: str,
    heads: tuple[str, str] = ("", ""),
    rib_mm: float = 0.0,
    ids: str = "pc",
    file: bool = False,
) -> str:
    """One planned piece as an SVG 288 units wide, with the rows and the stitches of its points.

    fabric  stitch width and row height [mm];  rib_mm: length of the rib under its cast-on [mm]
    label   what it shows, one sentence
    heads   over the column of rows and over that of stitches
    ids     prefix of its ids, one of its own per drawing on a page
    file    the text of a file of its own
    """
    shape = shape_of(plan, fabric, rib_mm=rib_mm)
    left, right = shape.reach
    scale = min(LARGEST, (WIDTH - 2 * COLUMN) / (right - left), TALLEST / shape.length_mm)
    view = View(scale, WIDTH / 2 - scale * (left + right) / 2, TOP)
    height = TOP + scale * shape.length_mm + FOOT
    rows, stitches = row_levels(plan), stitch_levels(plan)
    parts = [
        graph(SCREEN, ids, view, unit, WIDTH, height),
        *shape_parts(SCREEN, shape, view),
        *_column(SCREEN, shape, view, [(counter, str(counter)) for counter in rows], height, "left"),
        *_column(SCREEN, shape, view, [(counter, str(count)) for counter, count in stitches], height, "right"),
        text(SCREEN, "l-label", COLUMN - 12.0, 18.0, heads[0], "end"),
        text(SCREEN, "l-label", WIDTH - 8.0, 18.0, heads[1], "end"),
        rect(SCREEN, "frame", 0.75, 0.75, WIDTH - 1.5, height - 1.5),
    ]
    return drawing("piece-draw overlay", WIDTH, height, parts, label=label, ids=ids, look=SCREEN, file=file)


def row_levels(plan: Plan) -> list[int]:
    """The counters of a plan between which its lengths lie, from the cast-on up, each once."""
    division = division_of(plan)
    ends = {counter for key, (counter, _) in plan.points.items() if POINTS[key].direction == "along"}
    return sorted({0, underarm_of(plan), *ends, *(() if division is None else (division,))})


def stitch_levels(plan: Plan) -> list[tuple[int, int]]:
    """(counter, stitches) of the widths of a plan, from the cast-on up."""
    across = {key: at for key, at in plan.points.items() if POINTS[key].direction == "across"}
    return sorted({(0, plan.span.stitches), *across.values()})


def shape_parts(look: Look, shape: PlannedShape, view: View) -> list[str]:
    """The dashed outline of a plan, and its rib."""
    line = polyline([view.at(point) for point in shape.line])
    parts = [path(look, "o-ref", f"{line}Z" if not shape.rib_mm else line)]
    if shape.rib_mm:
        (left, right), top, foot = shape.cast_on, view.y(shape.plain_mm), view.y(shape.length_mm)
        x1, x2 = view.x(left), view.x(right)
        parts.append(path(look, "o-ref", f"M{n(x1)} {n(top)}V{n(foot)}H{n(x2)}V{n(top)}"))
        many = int((x2 - x1) // RIBS)
        lines = "".join(f"M{n(x1 + RIBS * place)} {n(top + 1)}V{n(foot - 1)}" for place in range(1, many + 1))
        parts.append(path(look, "cell", lines))
    return parts


def _column(
    look: Look, shape: PlannedShape, view: View, figures: Sequence[tuple[int, str]], height: float, at: str
) -> list[str]:
    """Figures at one side, each led to the edge of the piece at its row."""
    wanted = [view.y(shape.y(counter)) for counter, _ in figures]
    parts = []
    for (counter, figure), y, to_y in zip(figures, push_apart(wanted, ROW, 30.0, height - 8.0), wanted, strict=True):
        left, right = shape.across(counter)
        end = view.x(left) - 2.0 if at == "left" else view.x(right) + 2.0
        begin = COLUMN - 9.0 if at == "left" else WIDTH - COLUMN + 9.0
        bend = begin + 8.0 if at == "left" else begin - 8.0
        leader: list[Point] = [(begin, y), (bend, to_y), (end, to_y)]
        parts.append(path(look, "t-lead", polyline(leader)))
        x = COLUMN - 12.0 if at == "left" else WIDTH - 8.0 - max(text_width("999"), text_width(figure))
        parts.append(text(look, "t-val", x, y + 4.4, figure, "end" if at == "left" else "start"))
    return parts
