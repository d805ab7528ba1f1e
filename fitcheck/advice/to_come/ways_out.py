"""Why a piece still to knit cannot be knitted as it was counted, and up to three ways out."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from fitcheck.advice.rest.programme import Demand
from fitcheck.advice.to_come.plans_of import PlannedPiece
from fitcheck.advice.to_come.to_knit import PieceToKnit
from fitcheck.knitting.refusals import CannotShape
from fitcheck.records.choices import Lifted
from fitcheck.records.points import FRONTS, PieceKind

OutCode = Literal["lift", "armhole_rows", "upper_arm", "ease", "front_rows"]
"""What a way does: it lifts demands, makes the armhole's rows odd; and that a cap fits: it takes two stitches more or
fewer at the upper arm, eases it in by more than usual, or takes two rows more or fewer in the armhole of the front."""
Worse = Callable[[PieceKind, str, int, int], float | None]
"""How much more the other of two counts of a point of a piece is expected to lose [works of a back]."""


@dataclass(frozen=True, slots=True)
class OfferedWay:
    """A way out.

    code    what it does;  piece: of which piece
    lifted  demands that it lifts
    counts  the widths that it leads to, by point
    worse   how much more is lost than with the best of all counts [works of a back]; None where that is not reckoned
    rows    rows of the armhole;  up: more than counted, not fewer
    ease    largest share by which a cap is eased in [1]
    """

    code: OutCode
    piece: PieceKind
    lifted: tuple[Demand, ...] = ()
    counts: Mapping[str, int] = field(default_factory=dict)
    worse: float | None = None
    rows: int = 0
    up: bool = False
    ease: float = 0.0

    @property
    def lifts(self) -> tuple[Lifted, ...]:
        """The demands that it lifts, as they are kept in the choices of a make."""
        if self.code == "ease":
            return (Lifted(piece=self.piece, demand="ease"),)
        if self.code == "upper_arm":
            return (Lifted(piece=self.piece, demand="wider_arm" if self.up else "narrower_arm"),)
        if self.code == "front_rows":
            return (Lifted(piece=self.piece, demand="deeper_armhole" if self.up else "shallower_armhole"),)
        return tuple(
            Lifted.model_validate({"piece": self.piece, "demand": demand.code, "points": list(demand.terms)})
            for demand in self.lifted
        )


@dataclass(frozen=True, slots=True)
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

    taken  ways that the knitter took before: none of them is offered again
    worse  `worse_by` of `to_knit`
    """
    plans = {piece.kind: piece.plan for piece in planned if piece.id is None}
    for piece in to_knit:
        plan, conflict = plans.get(piece.kind), piece.together.conflict if piece.together is not None else ()
        why = plan if isinstance(plan, CannotShape) else None
        if piece.asks is None and (conflict or why is not None):
            counts = {key: count.count for key, count in piece.counts.items()}
            ways = _of_plan(piece, why, to_knit, worse) if why is not None else _of_demands(piece)
            offered = tuple(way for way in ways if not any(lift in taken for lift in way.lifts))
            return Refused(piece.kind, conflict, why, counts, offered)
    return None


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
    if why.code != "no_cap":
        return
    now = why.values["upper_now"]
    for upper in why.values["upper"]:
        costs = worse(piece.kind, "upper_arm", now, upper)
        yield OfferedWay("upper_arm", piece.kind, counts={"upper_arm": upper}, worse=costs, up=upper > now)
    if why.values["more_ease"]:
        yield OfferedWay("ease", piece.kind, ease=why.values["more_ease"])
    for now, rows in why.values.get("front_rows", ()):
        front = next(other.kind for other in to_knit if other.kind in FRONTS)
        costs = worse(front, "armhole_depth", now, rows)
        yield OfferedWay("front_rows", front, counts={"armhole_depth": rows}, worse=costs, rows=rows, up=rows > now)
