"""Whether the pattern's table means what the make means (fit rule 36): sleeve lengths, and shoulders that add up."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.advice.sizes.answers import ShouldersAsked, SizeAnswer, SleeveAsked
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.points import POINTS
from fitcheck.records.questions.question import ShouldersDoNotAddUp
from fitcheck.records.questions.usual import ADD_UP_MM
from fitcheck.records.size_tables import Size, SizeTable

OTHER_SLEEVE_MM = (100.0, 160.0)
"""How far a sleeve length is off in every size that is measured another way (fit rule 36): the height of a cap [mm]."""


def sleeve_asked(sizes: Sequence[SizeAnswer]) -> SleeveAsked | None:
    """Whether the sleeve length is off in every size by the height of a cap: then it is measured another way."""
    low, high = OTHER_SLEEVE_MM
    for key in ("sleeve_length", "sleeve_to_underarm"):
        lengths = [length for size in sizes for length in size.lengths if length.key == key]
        off = [length.difference.value for length in lengths if not isinstance(length.difference, CannotSay)]
        alike = off and (all(mm > 0 for mm in off) or all(mm < 0 for mm in off))
        if alike and len(off) == len(sizes) and all(low <= abs(mm) <= high for mm in off):
            return SleeveAsked(key, min(map(abs, off)), max(map(abs, off)), off[0] < 0, len(sizes))
    return None


def shoulders_asked(table: SizeTable | None) -> ShouldersAsked | None:
    """The first size whose neck and shoulders miss its shoulder width, as the records ask it of a garment.

    Measures of the pieces as they lie have their seams in them, and are left alone.
    """
    if table is None or table.measures == "piece":
        return None
    for size in table.sizes:
        neck, seam, whole, drop = (
            _printed(size, key) for key in ("neck_width", "shoulder_seam", "shoulder_width", "shoulder_drop")
        )
        if neck is None or seam is None or whole is None:
            continue
        parts = ShouldersDoNotAddUp(neck, seam, POINTS["shoulder_drop"].plain_mm if drop is None else drop, whole)
        if abs(parts.parts_mm - whole) > ADD_UP_MM:
            return ShouldersAsked(size.name, neck, seam, parts.parts_mm, whole)
    return None


def _printed(size: Size, key: str) -> float | None:
    """The printed measure of a size at a point [mm], of the first piece that has one."""
    cells = [cells[key] for cells in size.pieces.values() if key in cells]
    return next((cell.measure.value_mm for cell in cells if cell.measure is not None), None)
