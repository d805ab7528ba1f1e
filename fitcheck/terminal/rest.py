"""What is still to knit as text for a terminal: a table of counts for each piece, what else changes, what they keep."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.terminal.paper import heading, padded, wrapped
from fitcheck.words.rest import CountRow, PieceTable, RestTold


def rest_lines(told: RestTold, *, width: int) -> list[str]:
    """Lay the list out under its heading."""
    lines = heading(told.title)
    for sentence in told.taken:
        lines += [*wrapped(sentence, width, "  ", "  "), ""]
    if told.open:
        lines += [*wrapped(told.open, width, "  ", "  "), ""]
    for piece in told.pieces:
        lines += [*_piece(piece, width), ""]
    if told.parts:
        lines.append("  What else changes")
        points = padded([part.point for part in told.parts], "left")
        parts = padded([part.part for part in told.parts], "left")
        for point, part, told_part in zip(points, parts, told.parts, strict=True):
            lines.append(f"    {point}   {part}   {told_part.change}")
        lines.append("")
    measured = any(row.gives for piece in told.pieces for row in piece.rows)
    for sentence in (*told.bands, *told.unmet, *told.demands, *([told.gives] if measured else [])):
        lines += wrapped(sentence, width, "  ", "    ")
    return lines if lines[-1] else lines[:-1]


def _piece(table: PieceTable, width: int) -> list[str]:
    lines = [f"  {table.title}"]
    if table.rows:
        lines += _rows(table.rows, table.before, width)
    for note in table.notes:
        lines += wrapped(note, width, "    ", "    ")
    if table.asked:
        lines += wrapped(table.asked, width, "    ", "    ")
    return lines


def _rows(rows: Sequence[CountRow], before: str, width: int) -> list[str]:
    """Point, count before, count to knit, change, what it gives; below, what it was taken from and its band."""
    known = any(row.count.before is not None for row in rows)
    gives = any(row.gives for row in rows)
    columns = [
        padded(["point", *(row.point for row in rows)], "left"),
        padded([before, *("" if row.count.before is None else str(row.count.before) for row in rows)], "right")
        if known
        else None,
        padded(["knit", *(row.knit for row in rows)], "right"),
        padded(["", *(row.change for row in rows)], "left"),
        padded(["gives", *(row.parts for row in rows)], "right") if gives else None,
    ]
    shown = [column for column in columns if column is not None]
    for room in (3, 2, 1):
        laid = ["    " + (room * " ").join(cells) for cells in zip(*shown, strict=True)]
        if max(len(line) for line in laid) <= width:
            break
    lines = [laid[0]]
    for row, line in zip(rows, laid[1:], strict=True):
        lines.append(line)
        if below := ", ".join(part for part in (row.like, row.band) if part):
            lines += wrapped(below, width, "      ", "      ")
    return lines
