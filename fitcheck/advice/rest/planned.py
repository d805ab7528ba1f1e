"""Planned counts: what the make says, else what the chosen size of the pattern's table says; and what was taken."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.advice.left import TWINS
from fitcheck.advice.rest.nested import LOWEST
from fitcheck.records.households import Household, by_key
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import HALF_FRONTS, POINTS, PieceKind
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


def counts_to_come(make: Make, household: Household, kind: PieceKind) -> dict[str, int]:
    """Planned counts of a piece that is still to come; half an open front is planned as the knitted half came out.

    What the two halves were planned apart, for an overlap, they stay apart (fit rule 27: both half fronts).
    """
    planned = planned_counts(make, household, kind)
    knitted = knitted_half(make, kind)
    if knitted is None:
        return planned
    its = planned_counts(make, household, knitted.piece)
    apart = {key: planned[key] - its[key] for key in planned if key in its}
    return planned | {key: of.best + apart.get(key, 0) for key, of in knitted.counts.items() if of.best}


def taken_rows(make: Make, piece: Piece) -> dict[str, tuple[int, int]]:
    """Rows of the lengths of a knitted piece that end at its lower end: as they were recorded, and as they are since.

    Its advised counts became the planned ones while its own stayed: rows came off there, or went on.
    """
    own = {str(key): counts.best for key, counts in piece.counts.items() if counts.best}
    now = dict(own)
    for taken in make.taken:
        if taken.piece == piece.piece and taken.point in now and taken.instead_of == now[taken.point]:
            now[taken.point] = taken.count
    planned = {str(key): count for key, count in make.planned.get(piece.piece, {}).items()}
    return {
        key: (own[key], count)
        for key, count in now.items()
        if count != own[key] and count == planned.get(key)
        if LOWEST in POINTS[key].zones and POINTS[key].direction == "along"
    }


def knitted_half(make: Make, kind: PieceKind) -> Piece | None:
    """The half of an open front that is knitted, beside the other one; None where it is not, and of any other piece."""
    if kind not in HALF_FRONTS:
        return None
    return next((piece for piece in reversed(make.standing) if piece.piece == TWINS[kind] and piece.stages), None)


def _counts(cells: dict[str, Cell]) -> dict[str, int]:
    return {key: cell.count for key, cell in cells.items() if cell.count is not None}
