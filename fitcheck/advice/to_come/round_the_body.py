"""What a body piece to come makes of a flat width of the garment, beside those that are knitted and measured.

    flat width = (back + front) / 2,    front = both halves of an open one and its band

so one half is a quarter of a width; a twin that is still to come is knitted like it, and counts with it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypedDict

from fitcheck.advice.left import TWINS
from fitcheck.advice.target.wanted import Target
from fitcheck.records.points import BODY, HALF_FRONTS, POINTS, PieceKind


class MadeBy(TypedDict, total=False):
    """What a table is told of a width that others make too, empty where they do not; names of `loss_table`."""

    share: float
    fixed_mm: float
    u_fixed_mm: float


def made_by(kind: PieceKind, target: Target, knitted: Callable[[PieceKind], Target | None]) -> MadeBy:
    """What a piece to come makes of the width of the garment, on the piece's own scale, and what is there of it.

    knitted  the same point of a piece that is knitted and read; None where there is none
    """
    if not POINTS[target.key].flat or kind not in BODY or target.wanted is None:
        return {}
    if kind in HALF_FRONTS:
        return _by_halves(target.wanted.value, knitted("back"), knitted(TWINS[kind]))
    partner = knitted("front" if kind == "back" else "back")
    if partner is None or partner.measured is None:
        return {}
    return {"share": 0.5, "fixed_mm": partner.measured.value / 2, "u_fixed_mm": partner.measured.u / 2}


def _by_halves(wanted_mm: float, back: Target | None, twin: Target | None) -> MadeBy:
    """The width that a half makes, where the back, or back and twin, are off by what is measured of them."""
    sides = [
        side for side in (back, twin) if side is not None and side.measured is not None and side.wanted is not None
    ]
    if back not in sides:
        return {}
    share = 0.25 if twin in sides else 0.5
    off = math.fsum(side.measured.value - side.wanted.value for side in sides if side.measured and side.wanted)
    u = math.hypot(*(side.measured.u for side in sides if side.measured))
    return {"share": share, "fixed_mm": (1 - share) * wanted_mm + off / 4, "u_fixed_mm": u / 4}
