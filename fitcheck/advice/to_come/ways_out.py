"""Why a piece still to knit cannot be knitted as it was counted, and up to three ways out."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import field
from typing import Literal

from fitcheck.advice.rest.programme import Demand
from fitcheck.advice.to_come.held_together import MORE_FOR_THE_CAP
from fitcheck.advice.to_come.plans_of import PlannedPiece
from fitcheck.advice.to_come.to_knit import PieceToKnit
from fitcheck.knitting.cap_ways import MOST_STEPS, CapWay
from fitcheck.knitting.refusals import CannotShape
from fitcheck.records.choices import Lifted, LiftedDemand
from fitcheck.records.frozen import frozen
from fitcheck.records.points import FRONTS, PieceKind

OutCode = Literal["lift", "armhole_rows", "upper_arm", "ease", "front_rows", "together"]
"""What a way does: it lifts demands, makes the armhole's rows odd; and that a cap fits: it takes stitches more or fewer
at the upper arm, eases it in by more than usual, takes rows more or fewer in the armhole of the front, or several of
these together."""
Worse = Callable[[PieceKind, str, int, int], float | None]
"""How much more the other of two counts of a point of a piece is expected to lose [works of a back]."""


@frozen
class OfferedWay:
    """A way out.

    code    what it does;  piece: of which piece
    lifted  demands that it lifts
    counts  the widths that it leads to, by point
    worse   how much more is lost than with the best of all counts [works of a back]; None where that is not reckoned
    rows    rows of the armhole;  up: more than counted, not fewer
    ease    largest share by which a cap is eased in [1]
    times   how often two stitches or two rows are more or fewer
    parts   the ways that are taken together
    """

    code: OutCode
    piece: PieceKind
    lifted: tuple[Demand, ...] = ()
    counts: Mapping[str, int] = field(default_factory=dict)
    worse: float | None = None
    rows: int = 0
    up: bool = False
    ease: float = 0.0
    times: int = 1
    parts: tuple[OfferedWay, ...] = ()

    @property
    def lifts(self) -> tuple[Lifted, ...]:
        """The demands that it lifts, as they are kept in the choices of a make."""
        if self.code == "together":
            return tuple(lift for part in self.parts for lift in part.lifts)
        if self.code == "ease":
            return (Lifted(piece=self.piece, demand="ease"),)
        if self.code == "upper_arm":
            return (Lifted(piece=self.piece, demand="wider_arm" if self.up else "narrower_arm", times=self.times),)
        if self.code == "front_rows":
            demand: LiftedDemand = "deeper_armhole" if self.up else "shallower_armhole"
            return (Lifted(piece=self.piece, demand=demand, times=self.times),)
        return tuple(
            Lifted.model_validate({"piece": self.piece, "demand": demand.code, "points": list(demand.terms)})
            for demand in self.lifted
        )


@frozen
class Refused:
    """A piece that cannot be knitted as it was counted.

    piece     which
    conflict  demands of its widths that cannot hold together; nothing where its plan was refused
    why       why it has no plan; None where its widths do not hold together
    counts    its counts as they stand, by point
    ways      ways out, the cheapest first
    """

    piece: PieceKind
    conflict: tuple[Demand, ...]
    why: CannotShape | None
    counts: Mapping[str, int]
    ways: tuple[OfferedWay, ...]


def refused_of(
    to_knit: Sequence[PieceToKnit], planned: Sequence[PlannedPiece], taken: Sequence[Lifted], worse: Worse
) -> Refused | None:
    """The first piece to come that cannot be knitted as it was counted; None where all can, or a count is missing.

    taken  what the knitter lifted before: none of it is offered again
    worse  `Counting.worse`
    """
    plans = {piece.kind: piece.plan for piece in planned if piece.id is None}
    for piece in to_knit:
        plan, conflict = plans.get(piece.kind), piece.together.conflict if piece.together is not None else ()
        why = plan if isinstance(plan, CannotShape) else None
        if piece.asks is None and (conflict or why is not None):
            counts = {key: count.count for key, count in piece.counts.items()}
            ways = _of_plan(piece, why, to_knit, worse) if why is not None else _of_demands(piece)
            offered = tuple(way for way in ways if not _is_taken(way, taken))
            return Refused(piece.kind, conflict, why, counts, offered)
    return None


def _is_taken(way: OfferedWay, taken: Sequence[Lifted]) -> bool:
    """Whether a way was taken already; stitches and rows go on top of those that were, as far as they may."""
    times = {(lift.piece, lift.demand): lift.times for lift in taken}
    return any(
        times.get((lift.piece, lift.demand), 0) + lift.times > MOST_STEPS
        if lift.demand in MORE_FOR_THE_CAP
        else lift in taken
        for lift in way.lifts
    )


def _of_demands(piece: PieceToKnit) -> Iterator[OfferedWay]:
    assert piece.together is not None
    for way in piece.together.ways:
        yield OfferedWay("lift", piece.kind, way.lifted, way.counts, way.worse)


def _of_plan(
    piece: PieceToKnit, why: CannotShape, to_knit: Sequence[PieceToKnit], worse: Worse
) -> Iterator[OfferedWay]:
    """What makes a plan of an armhole of even rows, or lets a cap fit."""
    if why.code == "armhole_rows_even":
        for place, rows in enumerate(why.values["rows"]):
            yield OfferedWay("armhole_rows", piece.kind, rows=rows, up=place == 1)
    for way in why.values["ways"] if why.code == "no_cap" else ():
        parts = tuple(_of_cap(piece, way, to_knit, worse))
        yield parts[0] if len(parts) == 1 else _together(parts)


def _of_cap(piece: PieceToKnit, way: CapWay, to_knit: Sequence[PieceToKnit], worse: Worse) -> Iterator[OfferedWay]:
    """Each thing that lets a cap fit, as a way of its own."""
    if way.upper is not None:
        now = piece.counts["upper_arm"].count
        yield _stepped("upper_arm", piece.kind, "upper_arm", now, way.upper, worse)
    if way.ease is not None:
        yield OfferedWay("ease", piece.kind, ease=way.ease)
    if way.rows is not None:
        front = next(other for other in to_knit if other.kind in FRONTS)
        now = front.counts["armhole_depth"].count
        yield _stepped("front_rows", front.kind, "armhole_depth", now, now + way.rows, worse)


def _stepped(code: OutCode, kind: PieceKind, key: str, now: int, other: int, worse: Worse) -> OfferedWay:
    """Another count of a point, two by two."""
    rows = other if code == "front_rows" else 0
    costs, times = worse(kind, key, now, other), abs(other - now) // 2
    return OfferedWay(code, kind, counts={key: other}, worse=costs, rows=rows, up=other > now, times=times)


def _together(parts: Sequence[OfferedWay]) -> OfferedWay:
    """Ways that are only enough together: of the piece and the counts of all, and as much worse as all."""
    counts = {key: count for part in parts for key, count in part.counts.items()}
    known = [part.worse for part in parts if part.worse is not None]
    worse = sum(known) if known else None
    return OfferedWay("together", parts[0].piece, counts=counts, worse=worse, parts=tuple(parts))
