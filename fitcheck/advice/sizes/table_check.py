"""A size table against itself: one stitch width must explain every count and printed width.

A mistyped number here spoils everything after it. Counts are rounded to the pattern's multiple and widths to
the printer's step, so each cell allows a range of stitch widths; the ranges of a sound table have a common
part.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from heapq import nlargest, nsmallest
from statistics import median
from typing import Literal, NamedTuple, TypeAlias

from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.faults import wrong_value
from fitcheck.records.frozen import frozen
from fitcheck.records.lengths import FOUR_INCHES_MM
from fitcheck.records.questions.usual import READ_ROUND

Cell: TypeAlias = int | tuple[int, int]
Code = Literal[
    "agrees",
    "cell_off",
    "one_of_several_off",
    "more_than_one_off",
    "looks_like_bodies",
    "printed_gauge_off",
    "four_inches_or_ten_cm",
]

FOUR_INCHES_OVER_TEN_CM = FOUR_INCHES_MM / 100.0
"""4 in = 101.6 mm exactly (the inch is 25.4 mm by definition)."""
MOST_EDGE_STITCHES = 4
"""Seams and selvedges together swallow no more than this at both edges (common practice, no source)."""
WIDEST_ALLOWANCE = 80
"""Stitches between body and garment that are still looked for; 30 cm and more in most fabrics."""
ROUNDING = 1e-9
"""Ranges that miss each other by this share only do so in the last digits of the arithmetic."""


@frozen
class TableCheck:
    """What the table says about itself. "Gauge" is the stitch width, mm per stitch.

    code          agrees | cell_off (one named) | one_of_several_off (any one of the candidates would do) |
                  more_than_one_off | looks_like_bodies | printed_gauge_off | four_inches_or_ten_cm
    consistent    one stitch width explains every cell
    gauge_low, gauge_high
                  the stitch widths that the counts can have been made for [mm]; without the named cell when
                  one is named, None when the cells disagree otherwise
    off_cells     the cell that is off, when it alone can be meant: size, or (size, point), counted from 0
    candidates    every cell whose removal alone makes the rest agree
    disagrees     the printed stitch width lies outside the range and "4 in" against 10 cm does not explain it
    printed_gauge_percent
                  how much the printed stitch width is wider than the nearest one that the counts allow [%];
                  0 inside the range, None when there is no printed gauge or no range
    looks_like_bodies
                  only a larger allowance at the edges makes the cells agree: the printed widths are probably
                  bodies, not finished garments; a question, not a finding
    edge_stitches_needed
                  the least such allowance, for each point [stitches]; empty otherwise
    """

    code: Code
    consistent: bool
    gauge_low: float | None
    gauge_high: float | None
    off_cells: tuple[Cell, ...] = ()
    candidates: tuple[Cell, ...] = ()
    disagrees: bool = False
    printed_gauge_percent: float | None = None
    looks_like_bodies: bool = False
    edge_stitches_needed: tuple[float, ...] = ()

    @property
    def named(self) -> Cell | None:
        """The one cell that is off, if it is certain which."""
        return self.off_cells[0] if self.off_cells else None


@frozen
class _Printed:
    """One cell with its rounding: stitches +- half the multiple, width +- half the step [mm]."""

    name: Cell
    point: int
    stitches: float
    mm: float

    def widths(self, edge: float, multiple: float, step_mm: float) -> tuple[float, float]:
        """The stitch widths that the cell allows [mm]."""
        across = self.stitches - edge
        most, least = across + multiple / 2, across - multiple / 2
        low = (self.mm - step_mm / 2) / most if most > 0 else math.inf
        return low, (self.mm + step_mm / 2) / least if least > 0 else math.inf


def check_size_table(
    counts: Sequence[object],
    printed_mm: Sequence[object],
    *,
    edge_stitches: float = 2,
    multiple: float = 2,
    printed_step_mm: float = 0.0,
    printed_gauge_mm: float | None = None,
) -> TableCheck | CannotSay:
    """Check the counts and printed widths of a pattern's sizes against each other.

    With g stitches per mm, e edge stitches, multiple M and step of print rho, a cell of n stitches and x mm
    says |n - e - g x| <= B, B = M/2 + g rho/2. In stitch widths w = 1/g:

        (x - rho/2)/(n - e + M/2) <= w <= (x + rho/2)/(n - e - M/2)

    The common part of all cells is the stitch width that the counts were made for. If it is empty, a cell is
    off, and it is named iff dropping it alone makes the rest agree and no other cell could be dropped
    instead. In simulated tables of 5 to 9 sizes a count 6 stitches off is always noticed, one 2 stitches off
    hardly ever: it hides in the rounding (tests/simulations/test_table_faults.py prints the shares).

    counts           stitches, [sizes] for one point or [sizes][points]; None where nothing is printed
    printed_mm       printed widths that belong to them [mm], same shape
    edge_stitches    stitches that both seams together swallow
    multiple         counts are rounded to a multiple of this [stitches]
    printed_step_mm  step that the widths are printed in [mm]
    printed_gauge_mm stitch width by the printed gauge [mm], for example 100/22

    A printed gauge that would fit if 4 in had been meant for 10 cm, or the other way round (1.6 %), gets the
    code ``four_inches_or_ten_cm`` and no alarm. If no single cell explains the disagreement and a larger
    allowance at the edges does (each point its own, at least one over 4 stitches), the widths look like
    bodies. CannotSay ``no_cells`` when no size has both a count and a width.
    Raises RecordsError for unequal shapes and for counts and widths that no piece can have.
    """
    _check_rounding(edge_stitches, multiple, printed_step_mm, printed_gauge_mm)
    cells = _cells(counts, printed_mm, edge_stitches, printed_step_mm)
    if not cells:
        return CannotSay("no_cells")
    agreed = _agreed(cells, edge_stitches, multiple, printed_step_mm)
    code, percent, disagrees = _against_print(agreed, printed_gauge_mm)
    low, high = agreed.common if agreed.common is not None else (None, None)
    return TableCheck(
        code=code,
        consistent=agreed.code == "agrees",
        gauge_low=low,
        gauge_high=None if high == math.inf else high,
        off_cells=agreed.candidates if agreed.code == "cell_off" else (),
        candidates=agreed.candidates,
        disagrees=disagrees,
        printed_gauge_percent=percent,
        looks_like_bodies=bool(agreed.needed),
        edge_stitches_needed=agreed.needed,
    )


def _check_rounding(edge_stitches: float, multiple: float, step_mm: float, gauge_mm: float | None) -> None:
    """Refuse what no table is rounded by. Raises RecordsError."""
    for name, value, least in (
        ("edge_stitches", edge_stitches, 0.0),
        ("multiple", multiple, 1.0),
        ("printed_step_mm", step_mm, 0.0),
    ):
        if not (math.isfinite(value) and value >= least):
            raise wrong_value(name, repr(value), f"a number from {least:g}")
    if gauge_mm is not None and not (math.isfinite(gauge_mm) and gauge_mm > 0):
        raise wrong_value("printed_gauge_mm", repr(gauge_mm), "mm per stitch, above 0")


class _Agreed(NamedTuple):
    """How far the cells agree on a stitch width.

    common      the widths that they share, without the named cell where one is off [mm]; None where they share none
    candidates  cells of which any one could be off;  needed: edge stitches that would make all agree, per point
    """

    code: Code
    common: tuple[float, float] | None
    candidates: tuple[Cell, ...] = ()
    needed: tuple[float, ...] = ()


def _agreed(cells: Sequence[_Printed], edge: float, multiple: float, step_mm: float) -> _Agreed:
    """The stitch width that the cells share; else the one that is off, or what would make them agree."""
    ranges = [cell.widths(edge, multiple, step_mm) for cell in cells]
    common = _common(ranges)
    if common is not None:
        return _Agreed("agrees", common)
    rests = _without_each(ranges)
    candidates = tuple(cell.name for cell, rest in zip(cells, rests, strict=True) if rest is not None)
    if len(candidates) == 1:
        return _Agreed("cell_off", next(rest for rest in rests if rest is not None), candidates)
    if candidates:
        return _Agreed("one_of_several_off", None, candidates)
    needed = _allowance(cells, edge, multiple, step_mm)
    return _Agreed("looks_like_bodies" if needed else "more_than_one_off", None, (), needed)


def _against_print(agreed: _Agreed, printed_mm: float | None) -> tuple[Code, float | None, bool]:
    """The code with the printed gauge [mm per stitch] looked at, how far that is outside [%], and whether it is off."""
    if agreed.common is None or printed_mm is None:
        return agreed.code, None, False
    percent = _percent_outside(printed_mm, agreed.common)
    code: Code = agreed.code
    other_tape = (printed_mm * FOUR_INCHES_OVER_TEN_CM, printed_mm / FOUR_INCHES_OVER_TEN_CM)
    explained = not all(_percent_outside(width, agreed.common) for width in other_tape)
    if percent and code == "agrees":
        code = "four_inches_or_ten_cm" if explained else "printed_gauge_off"
    return code, percent, bool(percent) and not explained


def round_rows(
    counts: Sequence[Sequence[int | None]],
    printed_mm: Sequence[Sequence[float | None]],
    flat: Sequence[bool],
    *,
    edge_stitches: float = 2,
    gauge_mm: float | None = None,
    widest_mm: Sequence[float] = (),
) -> tuple[int, ...]:
    """Say which rows of printed widths are about twice what their stitches make: round measures taken for flat ones.

    A row is held against the printed gauge; without one against the rows that have no round measure, a shoulder.
    Without these too, a row is round where every width is above the widest that is usual and its half is not.

    counts, printed_mm  [rows][sizes]; None where nothing is printed
    flat                rows whose garment has a round measure beside the flat one
    edge_stitches       stitches that both seams together swallow
    gauge_mm            stitch width by the printed gauge [mm]
    widest_mm           per row, the widest flat measure that passes without a question [mm]; empty = not known

    The factor is the median over the sizes, 1.75 to 2.3 (`READ_ROUND`), as for single readings.
    """
    made = [
        [
            mm / (n - edge_stitches)
            for n, mm in zip(stitches, widths, strict=True)
            if n is not None and mm is not None and n > edge_stitches
        ]
        for stitches, widths in zip(counts, printed_mm, strict=True)
    ]
    straight = [median(sizes) for sizes, has_round in zip(made, flat, strict=True) if sizes and not has_round]
    usual = gauge_mm if gauge_mm is not None else median(straight) if straight else None
    rows = []
    for row, has_round in enumerate(flat):
        widths = [mm for mm in printed_mm[row] if mm is not None]
        if not has_round or not widths:
            continue
        if usual is not None and made[row]:
            looks = READ_ROUND[0] <= median(made[row]) / usual <= READ_ROUND[1]
        else:
            looks = bool(widest_mm) and all(mm / 2 <= widest_mm[row] < mm for mm in widths)
        if looks:
            rows.append(row)
    return tuple(rows)


def _common(ranges: Sequence[tuple[float, float]]) -> tuple[float, float] | None:
    """The part that all ranges share; None when there is none."""
    return _part(max([low for low, _ in ranges]), min([high for _, high in ranges])) if ranges else None


def _without_each(ranges: Sequence[tuple[float, float]]) -> list[tuple[float, float] | None]:
    """The part that all ranges but one share, for each of them that is left out."""
    if len(ranges) < 2:
        return [None for _ in ranges]
    last, before = nlargest(2, [low for low, _ in ranges])
    first, after = nsmallest(2, [high for _, high in ranges])
    return [_part(before if low == last else last, after if high == first else first) for low, high in ranges]


def _part(low: float, high: float) -> tuple[float, float] | None:
    """From one end to the other; None where they miss each other."""
    if low <= high:
        return low, high
    # Ends that touch, apart from the last digits, still touch.
    return (high, low) if low <= high * (1 + ROUNDING) else None


def _percent_outside(width: float, allowed: tuple[float, float]) -> float:
    """How far a stitch width lies outside a range [% of the nearest end]; 0 inside."""
    low, high = allowed
    if low * (1 - ROUNDING) <= width <= high * (1 + ROUNDING):
        return 0.0
    return 100 * (width / (low if width < low else high) - 1)


def _allowance(cells: Sequence[_Printed], edge: float, multiple: float, step_mm: float) -> tuple[float, ...]:
    """The least edge stitches of each point under which all cells agree; empty when there are none.

    At g stitches per mm a cell allows e from n - M/2 - (x + rho/2) g to n + M/2 - (x - rho/2) g. Two cells
    of one point share an e iff (x_j - x_i - rho) g <= n_j - n_i + M, so the g that serve all points are one
    interval, and the allowances are least at its upper end.
    """
    points = sorted({cell.point for cell in cells})
    slack = 1 + ROUNDING
    g_low, g_high = 0.0, math.inf
    for cell in cells:
        g_low = max(g_low, (cell.stitches - multiple / 2 - WIDEST_ALLOWANCE) / (cell.mm + step_mm / 2))
        g_high = min(g_high, (cell.stitches + multiple / 2 - edge) / (cell.mm - step_mm / 2))
        for other in cells:
            if other.point != cell.point:
                continue
            wider, more = other.mm - cell.mm - step_mm, other.stitches - cell.stitches + multiple
            if wider > 0:
                g_high = min(g_high, more / wider)
            elif wider < 0:
                g_low = max(g_low, more / wider)
            elif more < 0:
                return ()
    if g_low > g_high * slack:
        return ()
    needed = tuple(
        max(
            edge,
            *(cell.stitches - multiple / 2 - (cell.mm + step_mm / 2) * g_high for cell in cells if cell.point == point),
        )
        for point in points
    )
    return needed if max(needed) > MOST_EDGE_STITCHES * slack else ()


def _cells(counts: Sequence[object], printed_mm: Sequence[object], edge: float, step_mm: float) -> list[_Printed]:
    """The cells with both a count and a width, refusing what no piece can have."""
    flat_counts, flat_mm = _flat("counts", counts), _flat("printed_mm", printed_mm)
    if flat_counts.keys() != flat_mm.keys():
        raise wrong_value(
            "printed_mm",
            f"{len(flat_mm)} cells where counts has {len(flat_counts)}",
            "the same sizes and points in both; None where nothing is printed",
        )
    cells = []
    for name, stitches in flat_counts.items():
        mm = flat_mm[name]
        at = "".join(f"[{i}]" for i in ((name,) if isinstance(name, int) else name))
        if stitches is not None and not stitches > edge:
            raise wrong_value(f"counts{at}", f"{stitches:g}", f"more than {edge:g} edge stitches")
        if mm is not None and not mm > step_mm / 2:
            raise wrong_value(f"printed_mm{at}", f"{mm:g}", "a width above half the step of print")
        if stitches is not None and mm is not None:
            cells.append(_Printed(name, 0 if isinstance(name, int) else name[1], stitches, mm))
    return cells


def _flat(place: str, table: Sequence[object]) -> dict[Cell, float | None]:
    """Every cell by its name: size, or (size, point) when the rows are sequences."""
    cells: dict[Cell, float | None] = {}
    deep = any(isinstance(row, Sequence) and not isinstance(row, str) for row in table)
    for i, row in enumerate(table):
        if not deep:
            cells[i] = _number(f"{place}[{i}]", row)
            continue
        if not isinstance(row, Sequence) or isinstance(row, str):
            raise wrong_value(f"{place}[{i}]", repr(row), "a row of points, like the other sizes")
        for j, value in enumerate(row):
            cells[i, j] = _number(f"{place}[{i}][{j}]", value)
    return cells


def _number(place: str, value: object) -> float | None:
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise wrong_value(place, repr(value), "a number, or None where nothing is printed")
    return float(value)
