"""Rows of a size table that were printed round where the table says flat: found by their stitches."""

from __future__ import annotations

from statistics import median
from typing import NamedTuple

from fitcheck.advice.sizes.table import printed_gauge_mm
from fitcheck.advice.sizes.table_check import round_rows
from fitcheck.records.points import POINTS
from fitcheck.records.size_tables import SizeTable

BODY_WIDTHS = ("chest", "waist", "hem")
"""Widths round the body: of one sweater they are alike, so a half is told from a whole."""


class RoundRows(NamedTuple):
    """Rows of measures that look round: piece and point of each; `whole` when every row that can be round may be so."""

    rows: tuple[tuple[str, str], ...]
    whole: bool

    def __bool__(self) -> bool:
        return bool(self.rows)


def round_rows_of(one: SizeTable) -> RoundRows:
    """Which rows of a table of flat measures are about twice what their stitches make."""
    if one.measures != "flat":
        return RoundRows((), False)
    named = dict.fromkeys(
        (piece, point)
        for size in one.sizes
        for piece, cells in size.pieces.items()
        for point in cells
        if POINTS[point].direction == "across"
    )
    counts: list[list[int | None]] = []
    widths: list[list[float | None]] = []
    for piece, point in named:
        cells = [size.pieces.get(piece, {}).get(point) for size in one.sizes]
        counts.append([cell.count if cell else None for cell in cells])
        widths.append(
            [cell.measure.value_mm * POINTS[point].on_piece(piece) if cell and cell.measure else None for cell in cells]
        )
    found = round_rows(
        counts,
        widths,
        [POINTS[point].flat for _, point in named],
        edge_stitches=one.edge_stitches,
        gauge_mm=printed_gauge_mm(one.gauge, "across"),
        widest_mm=[POINTS[point].plausible[1] * POINTS[point].on_piece(piece) for piece, point in named],
    )
    rows = tuple(named)
    middles = {
        rows[n]: median(known) for n, mm in enumerate(widths) if (known := [one for one in mm if one is not None])
    }
    round_ = [rows[n] for n in found if rows[n] in middles]
    largest = max((middles[row] for row in round_ if row[1] in BODY_WIDTHS), default=0.0)

    def stays(row: tuple[str, str], n: int) -> bool:
        """Whether a row beside the round ones is flat: its stitches make it so, or it is about half as wide."""
        if not POINTS[row[1]].flat or row in round_ or row not in middles:
            return False
        counted = any(count is not None and mm is not None for count, mm in zip(counts[n], widths[n], strict=True))
        return counted or (row[1] in BODY_WIDTHS and middles[row] < 0.65 * largest)

    return RoundRows(tuple(round_), not any(stays(row, n) for n, row in enumerate(rows)))
