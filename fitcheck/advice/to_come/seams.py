"""Which edges of the sweater are sewn together, and whether they fit: row by row, stitch by stitch, or with ease."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import Literal

from fitcheck.advice.to_come.plans_of import PlannedPiece, is_eased
from fitcheck.advice.to_come.standing import or_why
from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.joins import Join, SewnEdge, join
from fitcheck.knitting.plan import Plan
from fitcheck.knitting.seam_line import seam_line
from fitcheck.records.constructions import (
    CAP_EASE,
    CONSTRUCTIONS,
    MORE_EASE,
    EdgeOfPart,
    JoinKey,
    JoinOfParts,
    Part,
)
from fitcheck.records.frozen import frozen
from fitcheck.records.makes import Make
from fitcheck.records.points import FRONTS, SLEEVES, PieceKind

NO_PLAN = "no_plan"
"""Code of a join that cannot be looked at: one of its pieces has no plan."""
ORDER: tuple[JoinKey, ...] = (
    "shoulder",
    "panel_back",
    "panel_front",
    "panel_top",
    "raglan_back",
    "raglan_front",
    "armhole",
    "underarm",
    "side",
    "sleeve",
)
"""The order of making up (common practice, no source); the neck band comes after the shoulders."""
KINDS: dict[Part, tuple[PieceKind, ...]] = {
    "back": ("back",),
    "front": FRONTS,
    "sleeve": SLEEVES,
    "side_panel": ("side_panel",),
}
"""Kinds of piece that a part may be knitted as."""


@frozen
class RibSewn:
    """The rib below a seam's rows, which is sewn in one with them.

    mm  its length [mm];  rows: that it has; None where nobody counted them
    """

    mm: float
    rows: int | None


@frozen
class SeamMark:
    """Rows that meet: the counter of one part shows `counter` where that of its partner shows `meets`.

    row, meets_row  rows from the beginning of the seam up to there
    """

    part: Part
    counter: int
    partner: Part
    meets: int
    row: int
    meets_row: int


JoinWayCode = Literal["leave", "count", "knit_on", "rip_back", "count_again"]
"""leave: as it was knitted, where the advice alters it; count: another count for a piece still to knit; rip_back,
knit_on: rows off or on below the underarm of one that is knitted, and all above it again; count_again: before anything
is undone."""


@frozen
class JoinWay:
    """What makes two edges join.

    piece, id  which piece changes; no id where it is still to knit
    point      whose count is another then;  count: what it is
    change     how many more, or fewer
    ease       what is left to ease in, of the other edge [1]; 0 where they are alike
    """

    code: JoinWayCode
    piece: PieceKind
    id: str | None
    point: str
    count: int
    change: int = 0
    ease: float = 0.0


@frozen
class Seam:
    """One join of the garment.

    key       which
    parts     parts on the one side and on the other
    join      the edges laid to each other, or why they cannot be
    assumed   whether the shaping of an edge was never written down
    ribs      the rib below each side; None where none is sewn with it
    marks     rows that meet
    ways      what makes it join, the least work first; nothing where it does
    """

    key: JoinKey
    parts: tuple[tuple[Part, ...], tuple[Part, ...]]
    join: Join | CannotSay
    assumed: bool = False
    ribs: tuple[RibSewn | None, RibSewn | None] = (None, None)
    marks: tuple[SeamMark, ...] = ()
    ways: tuple[JoinWay, ...] = ()


def seams_of(make: Make, pieces: Sequence[PlannedPiece]) -> tuple[Seam, ...]:
    """The joins of a make in the order of making up, each looked at with the plans that there are.

    A cap may be eased in by more than usual where the knitter takes it.
    """
    joins = sorted(CONSTRUCTIONS[make.construction].joins, key=lambda of: ORDER.index(of.key))
    eased = any(piece.cap is not None and is_eased(make, piece.kind) for piece in pieces)
    every = (replace(of, ease=MORE_EASE) if eased and of.ease == CAP_EASE else of for of in joins)
    return tuple(_stands(of, pieces) for of in every)


def _stands(of: JoinOfParts, pieces: Sequence[PlannedPiece]) -> Seam:
    """A seam, whatever the program fails over: then with that as the reason."""
    seam = or_why(partial(_seam, of, pieces), f"{of.key} seam")
    parts = tuple(edge.part for edge in of.edges), tuple(edge.part for edge in of.partners)
    return Seam(of.key, parts, seam) if isinstance(seam, CannotSay) else seam


def _seam(of: JoinOfParts, pieces: Sequence[PlannedPiece]) -> Seam:
    parts = tuple(edge.part for edge in of.edges), tuple(edge.part for edge in of.partners)
    edges = [_sewn(edge, pieces) for edge in (*of.edges, *of.partners)]
    missing = next((edge for edge in edges if isinstance(edge, CannotSay)), None)
    if missing is not None:
        return Seam(of.key, parts, missing)
    sewn = [edge for edge in edges if isinstance(edge, SewnEdge)]
    one, other = _together(sewn[: len(of.edges)]), _together(sewn[len(of.edges) :])
    return Seam(of.key, parts, join(one, other, by=of.by, ease=of.ease), one.assumed or other.assumed)


def _sewn(edge: EdgeOfPart, pieces: Sequence[PlannedPiece]) -> SewnEdge | CannotSay:
    """An edge as it is sewn; the side that is shaped first, or the only one that a half has."""
    piece = next((piece for piece in pieces if piece.kind in KINDS[edge.part] and isinstance(piece.plan, Plan)), None)
    if piece is None:
        whys = (p.plan for p in pieces if p.kind in KINDS[edge.part] and isinstance(p.plan, CannotSay))
        return next(whys, CannotSay(NO_PLAN, part=edge.part))
    assert isinstance(piece.plan, Plan)
    if edge.edge == "cap":
        return _cap(piece)
    runs = runs_of(piece.plan, edge.edge)
    if runs is None:
        return CannotSay(NO_PLAN, part=edge.part, edge=edge.edge)
    w, h = piece.fabric.w, piece.fabric.h
    rows, stitches = sum(run[1] for run in runs), sum(run[0] for run in runs)
    shaped = edge.edge == "armhole" and bool(runs_of(piece.plan, "underarm"))
    mm = seam_line(runs, w, h) if shaped else math.fsum(math.hypot(s * w, r * h) for s, r in runs)
    curve = edge.edge == "armhole" and "armhole_curve" in piece.assumed
    return SewnEdge(edge.times * rows, edge.times * stitches, edge.times * mm, curve)


def runs_of(plan: Plan, edge: str) -> list[tuple[int, int]] | None:
    """(stitches, rows) of an edge; None where the plan has none of that name.

    Of two sides the one that is shaped first: the other one's cast-off waits a row for the carriage, and it has less.
    """
    sides = [plan.edges[name] for name in (edge, f"left_{edge}", f"right_{edge}") if name in plan.edges]
    if not sides:
        return None
    return [(run.stitches, run.rows) for run in max(sides, key=lambda runs: sum([run.rows for run in runs]))]


def _cap(piece: PlannedPiece) -> SewnEdge | CannotSay:
    """A cap: both its halves and the top."""
    if piece.cap is None:
        return CannotSay(NO_PLAN, part="sleeve", edge="cap")
    across = sum(stitches for stitches, _ in piece.cap.segments)
    return SewnEdge(2 * piece.cap.rows, 2 * across + piece.cap.top, piece.cap.edge_mm, "armhole_curve" in piece.assumed)


def _together(edges: Sequence[SewnEdge]) -> SewnEdge:
    return SewnEdge(
        sum(edge.rows for edge in edges),
        sum(edge.stitches for edge in edges),
        math.fsum(edge.mm for edge in edges),
        any(edge.assumed for edge in edges),
    )
