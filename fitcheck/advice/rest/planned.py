"""Planned counts: what the make says, else what the chosen size of the pattern's table says."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.records.households import Household, by_key
from fitcheck.records.makes import Make
from fitcheck.records.points import PieceKind
from fitcheck.records.size_tables import Cell, Size, SizeTable

SAME_CHEST: Mapping[PieceKind, PieceKind] = {"back": "front", "front": "back"}
"""Pieces that are as wide across the chest as each other (assumed, as of the sizes themselves)."""


def repeat_of(make: Make, table: SizeTable | None) -> tuple[int, int]:
    """Stitches of the pattern repeat, and those over: the make's own, else the table's."""
    if make.multiple == 1 and table is not None:
        return table.multiple, table.balance
    return make.multiple, make.balance


def size_table_of(make: Make, household: Household) -> SizeTable | None:
    """The pattern's sizes that the make names, None without."""
    return by_key(household.size_tables, make.size_table) if make.size_table else None


def chosen_size(make: Make, household: Household) -> Size | None:
    """The size of the pattern that is knitted; None where none is chosen."""
    table = size_table_of(make, household)
    return next((size for size in table.sizes if size.name == make.size), None) if table else None


def chosen_cells(make: Make, household: Household, kind: PieceKind) -> dict[str, Cell]:
    """Cells of the chosen size for a piece, per point; nothing where no size is chosen."""
    size = chosen_size(make, household)
    return size.pieces.get(kind, {}) if size else {}


def planned_counts(make: Make, household: Household, kind: PieceKind) -> dict[str, int]:
    """Planned stitches or rows per point of a piece: the make's own, else the chosen size's.

    Back and front have the same chest where the size says but one of them.
    """
    own = make.planned.get(kind, {})
    if not make.size_table:
        return {**own}
    of_size = _counts(chosen_cells(make, household, kind))
    if kind in SAME_CHEST and "chest" not in of_size:
        of_other = _counts(chosen_cells(make, household, SAME_CHEST[kind]))
        of_size |= {key: count for key, count in of_other.items() if key == "chest"}
    return of_size | own


def _counts(cells: dict[str, Cell]) -> dict[str, int]:
    return {key: cell.count for key, cell in cells.items() if cell.count is not None}
