"""What finishing does to the stitch: a row per swatch, then what is expected of the next piece."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from fitcheck.advice.fabric.shapes import FabricAnswer
from fitcheck.drawing.rows import Kind, Row, rows_drawing, scale_for, signed
from fitcheck.estimates.numbers import Quantity
from fitcheck.words import Mark
from fitcheck.words.phrases import spaced


def change_rows(rows: Sequence[Row], *, mark: Mark = ".") -> str:
    """Changes in percent, minus = shrinks, one row each on one axis; empty without rows. mark: decimal mark."""
    if not rows:
        return ""
    ends = [0.0, *(row.low for row in rows), *(row.high for row in rows)]

    def percent(value: float) -> str:
        return signed(value, mark) if value else "0 %"

    # A word stands only at an end that something reaches.
    words = ("shrinks" if min(ends) < 0 else "", "grows" if max(ends) > 0 else "")
    return rows_drawing(rows, scale_for(ends), percent, name="change-rows", ends=words)


def changes_of(answer: FabricAnswer, stage: str, direction: str, names: Mapping[str, str]) -> list[Row]:
    """Rows of a fabric's change from a stage to blocked in one direction [percent].

    names  what swatches are called, by key

    A swatch's interval: half-lengths of its two relative intervals, root of the sum of squares.
    """
    rows = []
    for specimen in answer.pooled:
        sizes = {gauge.stage: gauge.size for gauge in specimen.gauges if gauge.direction == direction}
        if specimen.piece or stage not in sizes or "blocked" not in sizes:
            continue
        before, after = sizes[stage], sizes["blocked"]
        change = after.value / before.value
        half = change * math.hypot(_half(before), _half(after))
        value = 100 * (change - 1)
        rows.append(Row(names.get(specimen.key, spaced(specimen.key)), value, value - 100 * half, value + 100 * half))
    for fabric_change in answer.change:
        if fabric_change.stage == stage:
            known = fabric_change.across if direction == "across" else fabric_change.along
            kind: Kind = "assumed" if known.basis == "assumed" else "next"
            rows.append(Row("next piece", known.value, known.low, known.high, kind))
    return rows


def _half(size: Quantity) -> float:
    return (size.high - size.low) / 2 / size.value
