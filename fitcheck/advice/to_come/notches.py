"""Marks at the edges of a piece that meet marks of the pieces that it is sewn to.

Seams of rows have one every 40 rows, an armhole in its middle; edges that may ease have them at equal shares, so that
the ease is spread over the whole seam (common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from fitcheck.advice.to_come.plans_of import PlannedPiece
from fitcheck.advice.to_come.seams import KINDS, SeamMark, runs_of
from fitcheck.knitting.plan import Plan, Segment
from fitcheck.knitting.sheet import MARKED_EVERY, Notch
from fitcheck.records.constructions import CONSTRUCTIONS, ConstructionKey, EdgeOfPart, JoinOfParts

FROM_THE_CAST_ON = ("side",)
"""Edges that begin at the cast-on; every other one that has rows begins at the underarm."""


def notches_of(piece: PlannedPiece, pieces: Sequence[PlannedPiece], construction: ConstructionKey) -> tuple[Notch, ...]:
    """The marks of a piece that is still to knit, each with the row of the other piece that it meets.

    pieces  every piece of the make, knitted and to come; what has no plan has no marks
    """
    return tuple(sorted(_notches(piece, pieces, construction), key=lambda notch: (notch.counter, notch.partner)))


def _notches(piece: PlannedPiece, pieces: Sequence[PlannedPiece], construction: ConstructionKey) -> Iterator[Notch]:
    for join in CONSTRUCTIONS[construction].joins:
        if join.by == "stitches":
            continue
        for mine, theirs in _sides_of(join.edges, join.partners):
            partner = _first(pieces, theirs)
            if _is(piece, mine) and partner is not None and mine.part != theirs.part:
                yield from _meeting(piece, mine.edge, partner, theirs.edge, by_rows=join.by == "rows")


def _sides_of(edges: Sequence[EdgeOfPart], partners: Sequence[EdgeOfPart]) -> Iterator[tuple[EdgeOfPart, EdgeOfPart]]:
    """Each edge with each that it is sewn to, either way around."""
    for edge in edges:
        for partner in partners:
            yield edge, partner
            yield partner, edge


def _is(piece: PlannedPiece, edge: EdgeOfPart) -> bool:
    return piece.kind in KINDS[edge.part]


def _meeting(piece: PlannedPiece, edge: str, partner: PlannedPiece, other: str, *, by_rows: bool) -> Iterator[Notch]:
    whole = piece.plan.parts[0] if isinstance(piece.plan, Plan) else None  # of a half one edge is the neck
    for met in _met(piece, edge, partner, other, by_rows=by_rows):
        if whole is not None and whole.start < met.counter < whole.end:
            yield Notch(whole.name, met.counter, partner.kind, met.meets)


class _Met(NamedTuple):
    """Rows that meet: by the counters of both pieces, and from the beginning of their edges."""

    counter: int
    meets: int
    row: int
    meets_row: int


def _met(piece: PlannedPiece, edge: str, partner: PlannedPiece, other: str, *, by_rows: bool) -> Iterator[_Met]:
    mine, theirs = _along(piece, edge), _along(partner, other)
    if mine is None or theirs is None:
        return
    (start, runs), (their_start, their_runs) = mine, theirs
    rows, their_rows = sum(run.rows for run in runs), sum(run.rows for run in their_runs)
    if not rows or not their_rows:
        return  # an edge that is cast off has no row to mark
    if by_rows:
        places = [(row, math.floor(row * their_rows / rows + 0.5)) for row in range(MARKED_EVERY, rows, MARKED_EVERY)]
    else:
        places = [(_middle(piece, runs), _middle(partner, their_runs))]
    for row, their_row in places:
        yield _Met(start + row, their_start + their_row, row, their_row)


def marks_of(join: JoinOfParts, pieces: Sequence[PlannedPiece]) -> tuple[SeamMark, ...]:
    """The rows that meet at a seam, by the counters of both its sides."""
    if join.by == "stitches":
        return ()
    marks: list[SeamMark] = []
    for mine in join.edges:
        for theirs in join.partners:
            piece, partner = _first(pieces, mine), _first(pieces, theirs)
            if piece is not None and partner is not None:
                met = _met(piece, mine.edge, partner, theirs.edge, by_rows=join.by == "rows")
                marks += [SeamMark(mine.part, rows.counter, theirs.part, *rows[1:]) for rows in met]
    return tuple(marks)


def _first(pieces: Sequence[PlannedPiece], edge: EdgeOfPart) -> PlannedPiece | None:
    """The first piece of a part that has a plan."""
    return next((piece for piece in pieces if _is(piece, edge) and isinstance(piece.plan, Plan)), None)


def _along(piece: PlannedPiece, edge: str) -> tuple[int, list[Segment]] | None:
    """The counter at which an edge begins, and its runs from there up; None where the plan has none of that name."""
    if not isinstance(piece.plan, Plan):
        return None
    runs = runs_of(piece.plan, edge)
    underarm = piece.plan.points.get("to_underarm") or piece.plan.points.get("sleeve_to_underarm")
    above = edge not in FROM_THE_CAST_ON
    if runs is None or (above and underarm is None):
        return None
    return (underarm[0] if above and underarm is not None else 0), [Segment(*run) for run in runs]


def _middle(piece: PlannedPiece, runs: Sequence[Segment]) -> int:
    """Rows from the start of an edge up to its middle, by length."""
    w, h = piece.fabric.w, piece.fabric.h
    lengths = [math.hypot(run.stitches * w, run.rows * h) for run in runs]
    left, rows = math.fsum(lengths) / 2, 0.0
    for run, length in zip(runs, lengths, strict=True):
        if left <= length:
            return round(rows + (run.rows * left / length if length else 0))
        left, rows = left - length, rows + run.rows
    return round(rows)
