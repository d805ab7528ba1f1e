"""A pattern's size table from the records, checked against itself (model 7).

Columns whose printed figures are rounded alike are checked together: a sleeve's flat figure stands for half
of its piece, so the same step of print is twice as coarse there.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from fitcheck.advice.sizes.answers import ColumnCheck, GroupCheck, NamedCell, SizeTableCheck
from fitcheck.advice.sizes.points import AskedPoints, OnPiece, asked_points
from fitcheck.advice.sizes.table_check import TableCheck, check_size_table
from fitcheck.advice.target.to_come import ToCome
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.frozen import frozen
from fitcheck.records.households import by_key
from fitcheck.records.points import ORDER, PieceKind, Point
from fitcheck.records.size_tables import PrintedGauge, SizeTable

NO_TABLE = CannotSay("no_size_table")
STEPS_MM = (25.4, 12.7, 10.0, 6.35, 5.0, 3.175, 2.5, 1.0)
"""Steps that figures are printed in [mm], the coarsest first."""
ROWS_ROUNDED_TO = 2
"""Rows are counted in pairs, back and forth (common practice, no source)."""
WORST_FIRST = (
    "cell_off",
    "one_of_several_off",
    "more_than_one_off",
    "looks_like_bodies",
    "printed_gauge_off",
    "four_inches_or_ten_cm",
    "agrees",
)
"""Codes of a check: the first that any group has is the table's."""


@frozen
class _Column:
    """A piece's point over all sizes: counts with like edge stitches, lengths on the piece [mm]."""

    piece: PieceKind
    point: Point
    counts: tuple[float | None, ...]
    mm: tuple[float | None, ...]


class TableLooked(NamedTuple):
    """What can be said of a make's size table before any fabric is known.

    coming  what the make's pieces must measure
    table  the table, None where the make has none
    asked  the make's points, seams reckoned with the usual stitch
    check  the table against itself; CannotSay ``no_size_table`` without one
    """

    coming: ToCome
    table: SizeTable | None
    asked: AskedPoints
    check: SizeTableCheck | CannotSay


def look_at_table(coming: ToCome) -> TableLooked:
    """Look at a make's size table: its points, and its check against itself, which no fabric changes."""
    table = by_key(coming.household.size_tables, coming.make.size_table)
    asked = asked_points(coming, table)
    return TableLooked(coming, table, asked, check_table(table, asked) if table is not None else NO_TABLE)


def check_table(table: SizeTable, asked: AskedPoints) -> SizeTableCheck | CannotSay:
    """Check a size table against itself: edge stitches, multiple, step of print and printed gauge as typed.

    Every cell with a count and a measure, pieces and points. Lengths with a band in them are left out: a rib
    has another row height. With `measures` of the piece, no edge stitch is taken off.
    CannotSay ``no_cells`` where no cell has both a count and a measure.
    """
    step = table.print_step.value_mm if table.print_step is not None else step_of_print(table)
    groups = []
    for direction in ("across", "along"):
        for scale, columns in _grouped(table, asked, direction, step).items():
            groups.append(_group(table, direction, columns, step * scale))
    if not groups:
        return CannotSay("no_cells")
    code = min((group.code for group in groups), key=WORST_FIRST.index)
    return SizeTableCheck(
        code,
        tuple(groups),
        made_for(groups, "across", printed_gauge_mm(table.gauge, "across")),
        made_for(groups, "along", printed_gauge_mm(table.gauge, "along")),
        step,
    )


def printed_gauge_mm(gauge: PrintedGauge | None, direction: str) -> float | None:
    """Stitch width or row height by the printed gauge [mm]; None where it is not printed."""
    if gauge is None:
        return None
    count = gauge.stitches if direction == "across" else gauge.rows
    return gauge.over.value_mm / count if count else None


def step_of_print(table: SizeTable) -> float:
    """Step of print as the figures look: the coarsest usual step that all of them are multiples of [mm]."""
    figures = [
        cell.measure.value_mm
        for size in table.sizes
        for cells in size.pieces.values()
        for cell in cells.values()
        if cell.measure is not None
    ]
    for step in STEPS_MM:
        if all(abs(mm / step - round(mm / step)) < 1e-6 for mm in figures):
            return step
    return STEPS_MM[-1]


def made_for(groups: list[GroupCheck], direction: str, printed_mm: float | None) -> float | None:
    """Stitch width (row height) that the counts were made for [mm].

    The printed one where every group allows it; else the middle of what they allow; None where they disagree.
    """
    own = [group for group in groups if group.direction == direction]
    if not own:
        return printed_mm
    low = max((group.gauge_low_mm for group in own if group.gauge_low_mm is not None), default=None)
    high = min((group.gauge_high_mm for group in own if group.gauge_high_mm is not None), default=None)
    if low is None or high is None or low > high or any(group.gauge_low_mm is None for group in own):
        return None
    if printed_mm is not None and low <= printed_mm <= high:
        return printed_mm
    return (low + high) / 2


def _grouped(table: SizeTable, asked: AskedPoints, direction: str, step_mm: float) -> Mapping[float, list[_Column]]:
    """Columns by how coarse the step of print is on the piece [mm per mm]."""
    groups: dict[float, list[_Column]] = {}
    named = {(kind, key) for size in table.sizes for kind, cells in size.pieces.items() for key in cells}
    for kind, key in sorted(named, key=lambda place: (place[0], ORDER[place[1]])):
        point = asked.get(key)
        if point is None or point.point.direction != direction:
            continue
        on = point.on_piece.get(kind)
        if on is None or on.band_mm or (direction == "along" and point.point.band):
            continue
        coarse = 1.0 if table.measures == "piece" else on.scale
        if table.measures == "round" and point.point.flat:
            coarse /= 2
        column = _column(table, kind, point.point, on, direction, step_mm * coarse)
        if any(n is not None and x is not None for n, x in zip(column.counts, column.mm, strict=True)):
            groups.setdefault(coarse, []).append(column)
    return groups


def _column(table: SizeTable, kind: PieceKind, point: Point, on: OnPiece, direction: str, step_mm: float) -> _Column:
    """One point of one piece, size by size; a count that the seams swallow whole, or a measure of half a step, is none.

    step_mm  step of print on the piece [mm]
    """
    edge = _edge(table, direction)
    # The pattern's own seams: as typed where two edges are seamed, none at a neck or in rows.
    own = edge if direction == "across" and point.seam_ends > 0 else 0.0
    counts: list[float | None] = []
    widths: list[float | None] = []
    for size in table.sizes:
        cell = size.pieces.get(kind, {}).get(point.key)
        counts.append(cell.count - own + edge if cell and cell.count and cell.count > own else None)
        if cell is None or cell.measure is None:
            widths.append(None)
            continue
        mm = cell.measure.value_mm
        if table.measures != "piece":
            flat = mm / 2 if table.measures == "round" and point.flat else mm
            mm = on.plain(flat)
        widths.append(mm if mm > step_mm / 2 else None)
    return _Column(kind, point, tuple(counts), tuple(widths))


def _edge(table: SizeTable, direction: str) -> float:
    return float(table.edge_stitches) if direction == "across" and table.measures != "piece" else 0.0


def _group(table: SizeTable, direction: str, columns: list[_Column], step_mm: float) -> GroupCheck:
    printed = printed_gauge_mm(table.gauge, direction)
    edge = _edge(table, direction)
    multiple = table.multiple if direction == "across" else ROWS_ROUNDED_TO

    def check(these: list[_Column]) -> TableCheck | CannotSay:
        return check_size_table(
            [[column.counts[i] for column in these] for i in range(len(table.sizes))],
            [[column.mm[i] for column in these] for i in range(len(table.sizes))],
            edge_stitches=edge,
            multiple=multiple,
            printed_step_mm=step_mm,
            printed_gauge_mm=printed,
        )

    def named(these: list[_Column], cells: tuple[int | tuple[int, int], ...]) -> list[NamedCell]:
        places = [cell if isinstance(cell, tuple) else (cell, 0) for cell in cells]
        return [NamedCell(table.sizes[i].name, these[j].piece, these[j].point.key) for i, j in places]

    whole = check(columns)
    assert not isinstance(whole, CannotSay)  # every column has a whole cell
    alone: list[ColumnCheck] = []
    off, candidates = named(columns, whole.off_cells), named(columns, whole.candidates)
    for column in columns:
        # What agrees with all agrees with itself.
        own = whole if len(columns) == 1 or whole.code == "agrees" else check([column])
        assert not isinstance(own, CannotSay)
        alone.append(ColumnCheck(column.piece, column.point.key, own.code))
        if not whole.off_cells:
            # Two slips hide each other in the whole; each may show in its own column.
            off += named([column], own.off_cells)
    code = "cell_off" if off and whole.code in ("one_of_several_off", "more_than_one_off") else whole.code
    return GroupCheck(
        direction=direction,
        columns=tuple(alone),
        code=code,
        gauge_low_mm=whole.gauge_low,
        gauge_high_mm=whole.gauge_high,
        printed_gauge_mm=printed,
        printed_gauge_percent=whole.printed_gauge_percent,
        disagrees=whole.disagrees,
        off=tuple(off),
        candidates=tuple(cell for cell in candidates if cell not in off),
        looks_like_bodies=whole.looks_like_bodies,
    )
