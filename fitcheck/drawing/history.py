"""A garment's history at one point: a row per measuring, as difference from the latest one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from fitcheck.drawing.rows import Row, rows_drawing, scale_for
from fitcheck.records.lengths import INCH_MM, write_bare
from fitcheck.words import Mark, Unit


def history(measurings: Sequence[Row], unit: Unit = "cm", *, along: bool = False, mark: Mark = ".") -> str:
    """Measurings of a point [mm] from the first to the latest on one axis; empty without any.

    A garment that was worn is drawn as a ring: its kind is "assumed".
    along  a length, so that its ends are shorter and longer;  mark: decimal mark
    """
    if not measurings:
        return ""
    base = measurings[-1].value
    rows = [replace(row, value=row.value - base, low=row.low - base, high=row.high - base) for row in measurings]
    ends = [0.0, *(row.low for row in rows), *(row.high for row in rows)]
    if unit == "in":
        inches = scale_for([end / INCH_MM for end in ends], steps=(1.25, 2.5, 5.0), most=5, finest=0.125)
        scale = type(inches)(inches.low * INCH_MM, inches.high * INCH_MM, inches.step * INCH_MM)
    else:
        scale = scale_for(ends, finest=1.0)
    words = ("shorter", "longer") if along else ("narrower", "wider")

    def written(mm: float) -> str:
        return write_bare(mm, unit, signed=True).removesuffix(".0").replace(".", mark)

    return rows_drawing(rows, scale, written, name="history", ends=words)
