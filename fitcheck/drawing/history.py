"""A garment's history at one point: a row per measuring, as difference from the latest one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fitcheck.drawing.rows import Row, rows_drawing, scale_for
from fitcheck.records.lengths import write_bare
from fitcheck.words import Mark, Unit


@dataclass(frozen=True, slots=True)
class Measuring:
    """One measuring of a garment at a point: what it is called, its value and interval [mm].

    flat  it was washed and dried flat; a worn garment is drawn as a ring
    """

    name: str
    value: float
    low: float
    high: float
    flat: bool = True


def history(measurings: Sequence[Measuring], unit: Unit = "cm", *, along: bool = False, mark: Mark = ".") -> str:
    """Measurings from the first to the latest on one axis; empty without any.

    along  a length, so that its ends are shorter and longer;  mark: decimal mark
    """
    if not measurings:
        return ""
    base = measurings[-1].value
    rows = [
        Row(
            measuring.name,
            measuring.value - base,
            measuring.low - base,
            measuring.high - base,
            "read" if measuring.flat else "assumed",
        )
        for measuring in measurings
    ]
    ends = [0.0, *(row.low for row in rows), *(row.high for row in rows)]
    if unit == "in":
        inches = scale_for([end / 25.4 for end in ends], steps=(1.25, 2.5, 5.0), most=5, finest=0.125)
        scale = type(inches)(inches.low * 25.4, inches.high * 25.4, inches.step * 25.4)
    else:
        scale = scale_for(ends, finest=1.0)
    words = ("shorter", "longer") if along else ("narrower", "wider")

    def written(mm: float) -> str:
        return write_bare(mm, unit, signed=True).removesuffix(".0").replace(".", mark)

    return rows_drawing(rows, scale, written, name="history", ends=words)
