"""The counts of the pieces still to knit as their plans have them: what is shown of a piece is what its sheet knits.

A length may be counted otherwise than it can be knitted: an armhole of even rows becomes odd, a shoulder rests in the
groups that were chosen, a cap has the rows of the fairest one that fits, and the whole is the sum of its parts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from fitcheck.advice.to_come.plans_of import PlannedPiece
from fitcheck.advice.to_come.to_knit import CountToKnit, PieceToKnit
from fitcheck.knitting.plan import Plan
from fitcheck.records.points import PieceKind

DRAWN = "cap_height"
"""What a plan draws for other edges: a cap is as high as the armholes that it goes into let it be (fit rule 27)."""
_WHOLE = ("to_underarm", "body_length", "sleeve_to_underarm", "sleeve_length", "panel_length")
"""Lengths from the cast-on up."""
Chances = Callable[[PieceKind, Mapping[str, int]], Mapping[str, float]]
"""The chance of each count of a piece that its point fits."""


def as_planned(
    to_knit: Sequence[PieceToKnit], planned: Sequence[PlannedPiece], chances: Chances
) -> tuple[PieceToKnit, ...]:
    """The pieces with the rows that their plans have; those without a plan as they were.

    chances  of counts that become others
    """
    coming = {piece.kind: piece for piece in planned if piece.id is None and isinstance(piece.plan, Plan)}
    return tuple(
        replace(piece, counts={**piece.counts, **dict(_others(piece, coming[piece.kind], chances))})
        if piece.kind in coming
        else piece
        for piece in to_knit
    )


def rows_of(plan: Plan) -> dict[str, int]:
    """The length of each point that a plan tells [rows]."""
    at = {key: counter for key, (counter, _) in plan.points.items()}
    rows = {key: at[key] for key in _WHOLE if key in at}
    lengths = {
        "armhole_depth": ("to_underarm", "armhole_depth"),
        "shoulder_drop": ("armhole_depth", "body_length"),
        "neck_depth": ("neck_depth", "body_length"),
        "cap_height": ("sleeve_to_underarm", "cap_height"),
    }
    return rows | {key: at[last] - at[first] for key, (first, last) in lengths.items() if {first, last} <= at.keys()}


def _others(piece: PieceToKnit, planned: PlannedPiece, chances: Chances) -> Iterator[tuple[str, CountToKnit]]:
    """The counts of a piece that its plan has otherwise, by point."""
    assert isinstance(planned.plan, Plan)
    rows = rows_of(planned.plan)
    others = {key: count for key, count in piece.counts.items() if rows.get(key, count.count) != count.count}
    judged = {key: rows[key] for key, count in others.items() if count.fits is not None and key != DRAWN}
    fit = chances(piece.kind, judged) if judged else {}
    for key, count in others.items():
        mm = count.mm + (rows[key] - count.count) * planned.fabric.h
        before = count.before if count.before is not None else count.count
        comes = "reckoned" if count.comes == "as_piece" or key == DRAWN else count.comes
        yield key, replace(count, count=rows[key], before=before, comes=comes, mm=mm, fits=fit.get(key))
