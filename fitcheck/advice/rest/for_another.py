"""A make begun for another person: the same fabric and counts, and nothing that was wanted for the first."""

from __future__ import annotations

import json
from typing import Any

from fitcheck.advice.rest.planned import chosen_size, planned_counts
from fitcheck.records.households import Household
from fitcheck.records.makes import Make
from fitcheck.records.points import PieceKind

KEPT = frozenset(
    (
        "construction", "open_front", "front_band", "panel_width", "seams", "seam_overlap", "bands", "choices",
        "thickness", "yarn", "machine", "swatches", "size_table",
        "planned_kept", "multiple", "balance", "steam", "costs", "learns_from",
    )
)  # fmt: skip
"""Fields of a make that speak of its fabric and of how it is built: whoever wears it."""


def for_another(make: Make, household: Household) -> dict[str, Any]:
    """The document of a make for another person, without its name and key.

    What it must fit, its wishes and what is allowed are asked anew, so no size is chosen either: its counts and those
    of the pieces that stand are the planned ones. A finished make is one that it learns from.
    """
    document: dict[str, Any] = json.loads(make.model_dump_json(include=set(KEPT), exclude_defaults=True))
    document["planned"] = counts_of(make, household)
    if make.finished is not None:
        document["learns_from"] = [*document.get("learns_from", []), make.id]
    return document


def counts_of(make: Make, household: Household) -> dict[PieceKind, dict[str, int]]:
    """The counts of each kind of piece: those of the pieces that stand, else the planned ones."""
    size = chosen_size(make, household)
    pieces = [piece.piece for piece in make.standing]
    kinds = dict.fromkeys((*make.planned, *(size.pieces if size else ()), *pieces))
    counts: dict[PieceKind, dict[str, int]] = {kind: dict(planned_counts(make, household, kind)) for kind in kinds}
    for piece in make.standing:
        counts[piece.piece] |= {point: own.best for point, own in piece.counts.items() if own.best}
    return {kind: of_points for kind, of_points in counts.items() if of_points}
