"""The seams of a make as they are sewn: with the rib below them, rows that meet, and what makes one join that does not.

The armhole of a knitted piece is as it was typed, else assumed: then it is asked for in one line.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from types import MappingProxyType
from typing import Literal

from fitcheck.advice.rest.nested import PARTS
from fitcheck.advice.to_come.notches import marks_of
from fitcheck.advice.to_come.picked_up import BandUp, PickedUp
from fitcheck.advice.to_come.plans_of import PlannedPiece, rib_mm, rib_rows
from fitcheck.advice.to_come.seams import KINDS, JoinWay, RibSewn, Seam, runs_of, seams_of
from fitcheck.advice.to_come.standing import or_else
from fitcheck.advice.to_come.to_knit import PieceToKnit
from fitcheck.knitting.joins import Join
from fitcheck.knitting.plan import Plan
from fitcheck.records.constructions import CONSTRUCTIONS, EdgeOfPart, JoinOfParts, Part
from fitcheck.records.frozen import frozen
from fitcheck.records.households import by_key
from fitcheck.records.makes import Make
from fitcheck.records.points import HALF_FRONTS, PieceKind
from fitcheck.records.shaping import EdgeShaping, EdgeSteps, written_shaping

FROM_THE_LOWER_END = "side"
"""The edge that goes on from the rib: its seam begins at the lower end of the piece."""
COUNTED_AT: Mapping[tuple[Part, str], str] = {
    ("back", "side"): "to_underarm",
    ("front", "side"): "to_underarm",
    ("side_panel", "side"): "panel_length",
    ("side_panel", "top"): "panel_width",
    ("sleeve", "top"): "upper_arm",
    ("back", "shoulder"): "neck_width",
    ("front", "shoulder"): "neck_width",
}
"""The count that makes an edge as long as it is."""


@frozen
class ArmholeSaid:
    """How the armhole of a knitted piece was shaped.

    piece, id  which
    stitches   that go off at each side, by its counts
    line       as it is drawn, in the line in which it is typed; empty where no line says it
    typed      whether that is what somebody typed
    refused    a line that was typed and takes off another number of stitches, so it is not drawn; empty without
    """

    piece: PieceKind
    id: str
    stitches: int
    line: str
    typed: bool
    refused: str = ""


def armholes_said(make: Make, pieces: Sequence[PlannedPiece]) -> tuple[ArmholeSaid, ...]:
    """The armholes of the knitted pieces that have a curved one."""
    told = []
    for piece in pieces:
        knitted = by_key(make.pieces, piece.id)
        runs = _armhole_runs(piece)
        if knitted is None or runs is None:
            continue
        stitches = sum(across for across, _ in runs)
        if not stitches:
            continue
        typed = knitted.shaping.get("armhole")
        drawn = typed is not None and "armhole_curve" not in piece.assumed
        line = written_shaping(typed) if typed is not None and drawn else _line(runs)
        refused = written_shaping(typed) if typed is not None and not drawn else ""
        told.append(ArmholeSaid(piece.kind, knitted.id, stitches, line, drawn, refused))
    return tuple(told)


def armhole_line(piece: PlannedPiece) -> str:
    """How the armhole of a piece is shaped, in the line in which it is typed; empty where it has none, or no line."""
    runs = _armhole_runs(piece)
    return _line(runs) if runs else ""


def _armhole_runs(piece: PlannedPiece) -> list[tuple[int, int]] | None:
    """Stitches and rows of the underarm and of the armhole above it; None where a piece has no armhole."""
    if not isinstance(piece.plan, Plan) or runs_of(piece.plan, "armhole") is None:
        return None
    return [*(runs_of(piece.plan, "underarm") or ()), *(runs_of(piece.plan, "armhole") or ())]


def _line(runs: Sequence[tuple[int, int]]) -> str:
    """The line that says an edge; empty where a step of it falls on no whole row."""
    slanting = [(across, rows) for across, rows in runs if across and rows]
    if any(rows % across for across, rows in slanting):
        return ""
    at_once = sum(across for across, rows in runs if not rows)
    steps = [EdgeSteps.model_construct(times=across, every=rows // across) for across, rows in slanting]
    return written_shaping(EdgeShaping.model_construct(at_once=at_once, steps=steps))


Altered = Mapping[PieceKind, Mapping[str, int]]
NO_COUNTS: Altered = MappingProxyType({})


def made_up(
    make: Make, to_knit: Sequence[PieceToKnit], pieces: Sequence[PlannedPiece], altered: Altered = NO_COUNTS
) -> tuple[Seam, ...]:
    """Every seam in the order of making up.

    to_knit, pieces  `pieces_to_knit`, `plans_of`
    altered          the counts that the advice changes on knitted pieces, `altered_counts`
    """
    joins = {join.key: join for join in CONSTRUCTIONS[make.construction].joins}
    work = _Work(make, to_knit, pieces, altered)
    return tuple(
        or_else(partial(work.seam, seam, joins[seam.key]), f"{seam.key} seam", seam) for seam in seams_of(make, pieces)
    )


@frozen
class _Changing:
    """A piece that can change so that a seam joins: its count now, and the edge that it comes to.

    per  stitches or rows of the edge for one of the count
    """

    piece: PlannedPiece
    point: str
    count: int
    per: float


@frozen
class _Work:
    make: Make
    to_knit: Sequence[PieceToKnit]
    pieces: Sequence[PlannedPiece]
    altered: Altered

    def seam(self, seam: Seam, of: JoinOfParts) -> Seam:
        if not isinstance(seam.join, Join):
            return seam
        ribs = self._rib(of.edges[0]), self._rib(of.partners[0])
        ways = tuple(self._ways(seam.join, of)) if seam.join.verdict == "does_not_join" else ()
        return replace(seam, ribs=ribs, marks=marks_of(of, self.pieces), ways=ways)

    def _rib(self, edge: EdgeOfPart) -> RibSewn | None:
        piece = self._piece(edge.part)
        mm = rib_mm(self.make, piece.kind) if piece is not None and edge.edge == FROM_THE_LOWER_END else 0.0
        return RibSewn(mm, rib_rows(self.make, piece)) if piece is not None and mm else None

    def _piece(self, part: Part) -> PlannedPiece | None:
        return next(
            (piece for piece in self.pieces if piece.kind in KINDS[part] and isinstance(piece.plan, Plan)), None
        )

    def _ways(self, join: Join, of: JoinOfParts) -> Iterator[JoinWay]:
        """What makes two edges join: the other edge's count, as near to it as can be eased, and counting again."""
        changing = self._changing(of)
        if changing is None:
            return
        edge, piece = changing
        ours, other = (join.partner, join.edge) if edge in of.partners else (join.edge, join.partner)
        if of.by == "length":
            now, target = ours.mm / piece.piece.fabric.w, other.mm / piece.piece.fabric.w
        else:
            now, target = (float(ours.rows), float(other.rows)) if of.by == "rows" else (ours.stitches, other.stitches)
        whole = round((target - now) / piece.per)
        yield from self._left(of.edges[0] if ours is join.partner else of.partners[0], of, now - target)
        if piece.piece.id is not None:
            yield self._way(piece, 0, (now - target) / target, "count_again")
        yield self._way(piece, whole, 0.0)
        if of.by == "rows" and of.ease[1] > 0:
            eased = math.floor(of.ease[1] * target) * (1 if now > target else -1)
            if eased and round(target + eased - now):
                yield self._way(piece, round(target + eased - now), eased / target)

    def _left(self, edge: EdgeOfPart, of: JoinOfParts, apart: float) -> Iterator[JoinWay]:
        """The other piece as it was knitted, where it joins so and only the advice makes it another.

        apart  how many rows the edge that changes has more
        """
        other = self._counted(edge)
        if other is None or other.piece.id is None or of.by != "rows":
            return
        undone = other.count - self.altered.get(other.piece.kind, {}).get(other.point, other.count)
        if undone and undone == apart:
            yield self._way(other, 0, 0.0, "leave")

    def _way(self, of: _Changing, change: int, ease: float, code: str = "") -> JoinWay:
        known = "count" if of.piece.id is None else "rip_back" if change < 0 else "knit_on"
        return JoinWay(code or known, of.piece.kind, of.piece.id, of.point, of.count + change, change, ease)  # type: ignore[arg-type]

    def _changing(self, of: JoinOfParts) -> tuple[EdgeOfPart, _Changing] | None:
        """The edge whose piece changes: of one that is still to knit, else of the one that was knitted last."""
        places = {id(piece): at for at, piece in enumerate(self.pieces)}
        known = [
            (edge, changing) for edge in (*of.edges, *of.partners) if (changing := self._counted(edge)) is not None
        ]
        return max(known, key=lambda pair: places[id(pair[1].piece)], default=None)

    def _counted(self, edge: EdgeOfPart) -> _Changing | None:
        """The count that makes an edge so long: its own, else that of a length over all which it is a part of."""
        piece, point = self._piece(edge.part), COUNTED_AT.get((edge.part, edge.edge))
        if piece is None or point is None:
            return None
        known = self._counts(piece)
        point = next((key for key in (point, *lengths_with(point)) if key in known), None)
        if point is None:
            return None
        # A neck that is a stitch wider leaves each of two shoulders half a stitch less, and that of a half a whole one.
        per = 1.0 if point != "neck_width" else -1.0 if piece.kind in HALF_FRONTS else -0.5
        return _Changing(piece, point, known[point], per)

    def _counts(self, piece: PlannedPiece) -> dict[str, int]:
        """The counts of a piece by point, as they are written down, or as they are to be knitted."""
        if piece.id is None:
            coming = next((coming for coming in self.to_knit if coming.kind == piece.kind), None)
            return {key: count.count for key, count in coming.counts.items()} if coming is not None else {}
        knitted = by_key(self.make.pieces, piece.id)
        counts = knitted.counts.items() if knitted is not None else ()
        return {str(key): count.best for key, count in counts if count.best is not None}


def lengths_with(point: str) -> tuple[str, ...]:
    """The lengths over all that a length is a part of: they change with it."""
    return tuple(whole for whole, parts in PARTS.items() if point in parts)


StepWhen = Literal["one_shoulder_open", "one_raglan_open", "edge_to_edge", "after_the_neck", "while_flat", ""]
"""When a band is picked up: while one shoulder, or one raglan seam, is open; from one front edge to the other, after
the shoulders; after the neck band; before the sides are sewn. Empty for a seam."""


@frozen
class Step:
    """One step of making up: a seam, or a band that is picked up.

    side  of a seam that there are two of and that are not sewn together: right or left, the wearer's
    """

    seam: Seam | None = None
    band: BandUp | None = None
    side: Literal["both", "right", "left"] = "both"
    when: StepWhen = ""

    @property
    def times(self) -> int:
        """How many seams it is."""
        return 0 if self.seam is None else 2 if self.side == "both" else 1


def steps_of(seams: Sequence[Seam], bands: Sequence[BandUp]) -> tuple[Step, ...]:
    """Seams and bands in the order of making up (common practice, no source).

    A closed neck is picked up flat on the bed, so one shoulder, or one raglan seam, stays open until then.

    seams  `made_up`;  bands: `bands_up`
    """
    by_edge = {band.edge: band for band in bands}
    neck = by_edge.get("neck")
    is_open = "front" in by_edge or (
        neck is not None and isinstance(neck.picked, PickedUp) and neck.picked.runs[0].key == "front_right_neck"
    )
    steps: list[Step] = []
    for seam in seams:
        if seam.key == "shoulder" and neck is not None and not is_open:
            steps += [
                Step(seam, side="right"),
                Step(band=neck, when="one_shoulder_open"),
                Step(seam, side="left"),
            ]
            continue
        if seam.key in ("side", "panel_back") and "hem" in by_edge:
            steps.append(Step(band=by_edge["hem"], when="while_flat"))
        if seam.key == "sleeve" and "cuff" in by_edge:
            steps.append(Step(band=by_edge["cuff"], when="while_flat"))
        steps.append(Step(seam))
        if seam.key in ("shoulder", "raglan_front") and is_open:
            steps += [Step(band=neck, when="edge_to_edge")] if neck is not None else []
            steps += [Step(band=by_edge["front"], when="after_the_neck")] if "front" in by_edge else []
        elif seam.key == "raglan_front" and neck is not None:
            steps.append(Step(band=neck, when="one_raglan_open"))
    return tuple(steps)
