"""What is allowed at a point, on the piece: flat, round or piece, and which side (fit rule 8)."""

from __future__ import annotations

import math
from itertools import pairwise

from fitcheck.records.makes import Make
from fitcheck.records.points import BODY, SLEEVES, PieceKind, Point
from fitcheck.records.size_tables import SizeTable


def allowed(
    point: Point, make: Make, piece: PieceKind, scale: float, table: SizeTable | None
) -> tuple[tuple[float, float], bool]:
    """Return what is allowed (too small, too large) on the piece [mm], and whether half a step limits it.

    flat x scale, round / 2 x scale, piece as it is; the catalogue's default is flat.

    scale  mm on the piece per mm of the garment's flat figure [1]
    table  the pattern's sizes, where the make has them
    """
    said = make.tolerances.get(point.key)
    if said is None:
        smaller, larger = point.tolerance[0] * scale, point.tolerance[1] * scale
    else:
        factor = {"flat": scale, "round": scale / 2, "piece": 1.0}[said.meant]
        smaller, larger = said.smaller.value_mm * factor, said.larger.value_mm * factor
    if table is None or not point.half_a_step:
        return (smaller, larger), False
    limit = _flat_step(point.key, piece, scale, table) / 2 * scale
    return (min(smaller, limit), min(larger, limit)), limit < max(smaller, larger)


def _flat_step(key: str, piece: PieceKind, scale: float, table: SizeTable) -> float:
    """Smallest step of the garment's flat figure between two printed sizes [mm]; infinite without two."""
    kin = SLEEVES if piece in SLEEVES else BODY
    for kind in (piece, *kin):
        printed = sorted(
            {
                cell.measure.value_mm
                for size in table.sizes
                if (cell := size.pieces.get(kind, {}).get(key)) is not None and cell.measure is not None
            }
        )
        if len(printed) > 1:
            per_flat = {"flat": 1.0, "round": 2.0, "piece": scale}[table.measures]
            return min(larger - smaller for smaller, larger in pairwise(printed)) / per_flat
    return math.inf
