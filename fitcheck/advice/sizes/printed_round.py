"""Rows of a size table that were printed round where the table says flat: found by their stitches."""

from __future__ import annotations

from statistics import median

from fitcheck.advice.sizes.table import printed_gauge_mm
from fitcheck.advice.sizes.table_check import round_rows
from fitcheck.records.frozen import frozen
from fitcheck.records.points import POINTS, ROUND_THE_BODY
from fitcheck.records.size_tables import SizeTable

HALF_AS_WIDE = 0.65
"""Share of the largest round body width below which another is a flat one (assumed; a flat one has half of it)."""


@frozen
class PrintedRound:
    """Rows of measures that look round.

    rows   piece and point of each
    whole  every row that can be round may be so: the table is of round measures
    counted  their stitches say so; else that no sweater laid flat is usually so wide
    """

    rows: tuple[tuple[str, str], ...] = ()
    whole: bool = False
    counted: bool = False

    def __bool__(self) -> bool:
        return bool(self.rows)


def printed_round(table: SizeTable) -> PrintedRound:
    """Which rows of a table of flat measures are about twice what their stitches make, or too wide to lie flat."""
    if table.measures != "flat":
        return PrintedRound()
    rows = tuple(
        dict.fromkeys(
            (piece, point)
            for size in table.sizes
            for piece, cells in size.pieces.items()
            for point in cells
            if POINTS[point].direction == "across"
        )
    )
    cells = [[size.pieces.get(piece, {}).get(point) for size in table.sizes] for piece, point in rows]
    counts = [[cell.count if cell else None for cell in row] for row in cells]
    times = [POINTS[point].on_piece(piece) for piece, point in rows]
    widths = [
        [cell.measure.value_mm * on_piece if cell and cell.measure else None for cell in row]
        for row, on_piece in zip(cells, times, strict=True)
    ]
    looks = round_rows(
        counts,
        widths,
        [POINTS[point].flat for _, point in rows],
        edge_stitches=table.edge_stitches,
        gauge_mm=printed_gauge_mm(table.gauge, "across"),
        widest_mm=[POINTS[point].plausible[1] * on_piece for (_, point), on_piece in zip(rows, times, strict=True)],
    )
    middles = {
        row: median(known)
        for row, listed in zip(rows, widths, strict=True)
        if (known := [mm for mm in listed if mm is not None])
    }
    printed = tuple(rows[number] for number in looks if rows[number] in middles)
    largest = max((middles[row] for row in printed if row[1] in ROUND_THE_BODY), default=0.0)

    def stays(number: int) -> bool:
        """Whether a row beside the round ones is flat: its stitches make it so, or it is about half as wide."""
        row = rows[number]
        point = row[1]
        if not POINTS[point].flat or row in printed or row not in middles:
            return False
        return counted(number) or (point in ROUND_THE_BODY and middles[row] < HALF_AS_WIDE * largest)

    def counted(number: int) -> bool:
        """Whether stitches stand beside a measure of a row."""
        both = zip(counts[number], widths[number], strict=True)
        return any(count is not None and mm is not None for count, mm in both)

    whole = not any(stays(number) for number in range(len(rows)))
    return PrintedRound(printed, whole, all(counted(number) for number in looks))
