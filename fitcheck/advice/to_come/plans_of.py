"""Every piece of a make as a plan by row counter: what is knitted as its edges are known, what is to come as counted.

An edge of a knitted piece is its own where its shaping was written down, else it is assumed from its counts: the curve
nearest to a quarter ellipse. A sleeve's cap is drawn for the armholes of back and front as they are.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import cache, partial
from typing import Literal

from fitcheck.advice.rest.sizes_ahead import Sizes
from fitcheck.advice.rest.still_to_knit import Rest
from fitcheck.advice.to_come.standing import or_why
from fitcheck.advice.to_come.to_knit import (
    FRONT_NECK_MM,
    SHOULDER_SLOPE_MM,
    PieceToKnit,
    altered_counts,
    counts_of_knitted,
)
from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.amounts import Amount, amount_of
from fitcheck.knitting.cap import Cap, fairest_cap
from fitcheck.knitting.cap_families import CapAsked
from fitcheck.knitting.cap_ways import ways_to_a_cap
from fitcheck.knitting.counts import BodyCounts, Counts, Fabric, PanelCounts, RaglanCounts, Shaping, SleeveCounts
from fitcheck.knitting.counts import Choices as Chosen
from fitcheck.knitting.pieces import plan_piece
from fitcheck.knitting.plan import Edge, Plan, Side, other_side
from fitcheck.knitting.refusals import CannotShape
from fitcheck.knitting.seam_line import seam_line
from fitcheck.knitting.shoulders import groups_of_slope, shoulder_rows
from fitcheck.records.constructions import CAP_EASE, CONSTRUCTIONS, MORE_EASE
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household, by_key
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import BODY, FRONTS, HALF_FRONTS, SLEEVES, PieceKind
from fitcheck.records.shaping import EdgeShaping, ShapedEdge
from fitcheck.records.sheet_kinds import SheetKind

AssumedShape = Literal["armhole_curve", "neck_curve", "neck_depth", "shoulder_groups", "raglan_top", "no_rib"]
"""What of a plan nobody said: the shape of an armhole or a neck, the depth of the neck, the groups of a shoulder, the
stitches left at the top of a raglan sleeve."""
RAGLAN_TIPS = range(2, 7)
"""Stitches that each tip of a raglan front ends with, beside its neck (common practice, no source)."""
RAGLAN_TOP_MM = 50.0
"""Width that a raglan sleeve ends with (common practice, no source) [mm]."""


@frozen
class PlannedPiece:
    """A piece of the make as it is knitted, or why no plan can be made.

    kind     which;  id: its key where it is knitted, None where it is to come
    plan     by row counter, or why there is none
    fabric   stitch width and row height, its own where it is knitted [mm]
    assumed  what of its shape nobody said
    cap      the cap that a sleeve ends with; None without one
    amount   rows and loops of the plan; None without one
    """

    kind: PieceKind
    id: str | None
    plan: Plan | CannotShape | CannotSay
    fabric: Fabric
    assumed: tuple[AssumedShape, ...] = ()
    cap: Cap | None = None
    amount: Amount | None = None


_Draw = Callable[[Sequence[PlannedPiece]], PlannedPiece]
"""Makes the plan of a piece, from those that were drawn before it."""


def plans_of(
    make: Make, household: Household, rest: Rest, to_knit: Sequence[PieceToKnit], sizes: Sizes
) -> tuple[PlannedPiece, ...]:
    """The knitted pieces that stand, then those still to knit, each with its plan.

    rest     what the advice changes of the piece on the table stands there as it will be
    to_knit  `pieces_to_knit`;  sizes: of what is knitted next
    """
    if "across" not in sizes or "along" not in sizes:
        return ()
    ahead = Fabric(sizes["across"].mm, sizes["along"].mm)
    machine = by_key(household.machines, make.machine)
    drawing = _Drawing(make, ahead, machine.needles if machine is not None else None, to_knit)
    altered = altered_counts(make, rest)
    listed: list[tuple[PieceKind, str | None, _Draw]] = [
        (piece.piece, piece.id, partial(_knitted, drawing, household, sizes, piece, altered.get(piece.piece, {})))
        for piece in make.standing
    ]
    listed += [(coming.kind, None, partial(_to_come, drawing, coming)) for coming in to_knit]
    planned: dict[int, PlannedPiece] = {}
    # A sleeve, knitted before its body or not, is drawn for the armholes that it goes into.
    for place, (kind, key, draw) in sorted(enumerate(listed), key=lambda piece: piece[1][0] in SLEEVES):
        planned[place] = _stands(draw, kind, key, ahead, list(planned.values()))
    return tuple(planned[place] for place in range(len(listed)))


def _stands(
    draw: _Draw, kind: PieceKind, key: str | None, ahead: Fabric, before: Sequence[PlannedPiece]
) -> PlannedPiece:
    """A piece, whatever the program fails over: then with that as the reason why it has no plan."""
    drawn = or_why(partial(draw, before), kind)
    return PlannedPiece(kind, key, drawn, ahead) if isinstance(drawn, CannotSay) else drawn


def _knitted(
    drawing: _Drawing,
    household: Household,
    sizes: Sizes,
    piece: Piece,
    altered: Mapping[str, int],
    before: Sequence[PlannedPiece],
) -> PlannedPiece:
    rows = counts_of_knitted(drawing.make, household, piece, sizes, altered)
    return drawing.piece(piece.piece, rows, before, piece)


def _to_come(drawing: _Drawing, coming: PieceToKnit, before: Sequence[PlannedPiece]) -> PlannedPiece:
    if coming.together is not None and coming.together.conflict:
        apart = CannotSay("do_not_hold_together", piece=coming.kind, demands=coming.together.conflict)
        return PlannedPiece(coming.kind, None, apart, drawing.ahead)
    if coming.asks is None:
        return drawing.piece(coming.kind, {key: count.count for key, count in coming.counts.items()}, before)
    asks = CannotSay("no_counts", piece=coming.kind, point=coming.asks)
    return PlannedPiece(coming.kind, None, asks if coming.lacks is None else coming.lacks, drawing.ahead)


@frozen
class _Drawing:
    """What the plans of a make are drawn with."""

    make: Make
    ahead: Fabric
    needles: int | None
    to_knit: Sequence[PieceToKnit] = ()

    def piece(
        self, kind: PieceKind, rows: Mapping[str, int], before: Sequence[PlannedPiece], knitted: Piece | None = None
    ) -> PlannedPiece:
        """One piece; its fabric is the next one's where nothing else is known of it."""
        family = self.make.construction
        drawn: tuple[Counts | CannotShape | CannotSay, tuple[AssumedShape, ...]]
        if kind == "side_panel":
            drawn = self._panel(rows)
        elif CONSTRUCTIONS[family].armhole == "slanting":
            drawn = self._raglan(kind, rows, before)
        elif kind in SLEEVES:
            drawn = self._sleeve(kind, rows, before)
        else:
            drawn = self._body(kind, rows, before, knitted)
        counts, assumed = drawn
        if knitted is None and rib_unnamed(self.make, kind):
            assumed = (*assumed, "no_rib")
        if not isinstance(counts, BodyCounts | SleeveCounts | RaglanCounts | PanelCounts):
            return PlannedPiece(kind, knitted.id if knitted else None, counts, self.ahead, assumed)
        plan = plan_piece(kind, counts, self._chosen(kind), family)
        cap = counts.cap if isinstance(counts, SleeveCounts) else None
        amount = amount_of(plan) if isinstance(plan, Plan) else None
        return PlannedPiece(kind, knitted.id if knitted else None, plan, self.ahead, assumed, cap, amount)

    def _chosen(self, kind: PieceKind) -> Chosen:
        choices = self.make.choices
        first: Side = choices.first_side
        return Chosen(
            other_side(first) if kind in FRONTS else first,
            choices.inset,
            "moved" if choices.widening == "moved" else "edge",
            choices.end_rule,
            choices.neck,
            choices.armhole_rows or ("up" if self._body_knitted else None),
            self.needles,
        )

    @property
    def _sleeves_knitted(self) -> list[Piece]:
        """Sleeves that are there: what is to come is their twin, row by row."""
        return [piece for piece in self.make.standing if piece.piece in SLEEVES]

    @property
    def _body_knitted(self) -> bool:
        """Whether a body piece is there: beside even armhole rows that are knitted the next takes a row more."""
        return any(piece.piece in BODY for piece in self.make.standing)

    def _body(
        self, kind: PieceKind, rows: Mapping[str, int], before: Sequence[PlannedPiece], knitted: Piece | None
    ) -> tuple[BodyCounts | CannotSay, tuple[AssumedShape, ...]]:
        dropped = CONSTRUCTIONS[self.make.construction].armhole == "straight"
        across = rows.get("chest") if dropped else rows.get("shoulder_width")
        drop = rows.get("shoulder_drop")
        assumed: list[AssumedShape] = []
        groups = self.make.choices.shoulder_groups
        if groups is None and drop is not None:
            groups = drop // 2 + 1
        if groups is None:
            groups = groups_of_slope(SHOULDER_SLOPE_MM, self.ahead.h)
            assumed.append("shoulder_groups")
        to_underarm = rows.get("to_underarm")
        if to_underarm is None and {"body_length", "armhole_depth"} <= rows.keys():
            to_underarm = rows["body_length"] - rows["armhole_depth"] - shoulder_rows(groups)
        neck_rows = rows.get("neck_depth") if kind in FRONTS else rows.get("back_neck_drop", 0)
        if neck_rows is None:
            neck_rows = round(FRONT_NECK_MM / self.ahead.h)
            assumed.append("neck_depth")
        chest, armhole_rows, neck = rows.get("chest"), rows.get("armhole_depth"), rows.get("neck_width")
        if not (chest and across and to_underarm and armhole_rows and neck):
            return _uncounted(kind, rows, "chest", *(() if dropped else ("shoulder_width",)), *_BODY_NEEDS), ()
        own = knitted.shaping if knitted is not None else self._of_partner()
        sides = 1 if kind in HALF_FRONTS else 2
        unlike = self._unlike(kind) and (chest - across) % 2 == 1
        armhole = _of_edge(own.get("armhole"), chest - across - unlike, sides)
        if armhole is None and chest > across and knitted is not None:  # what is to come is planned, not assumed
            assumed.append("armhole_curve")
        neck_shaping = _of_edge(knitted.shaping.get("neck"), neck, 2) if knitted is not None else None
        if neck_rows and neck_shaping is None:
            assumed.append("neck_curve")
        counts = BodyCounts(
            rows.get("hem", chest),
            chest,
            to_underarm,
            across,
            armhole_rows,
            neck,
            neck_rows,
            groups,
            self.ahead,
            None,
            armhole,
            neck_shaping,
            unlike,
            _underarm(before),
        )
        return counts, tuple(assumed)

    def _unlike(self, kind: PieceKind) -> bool:
        """Whether the knitter takes it that both sides of a piece are not alike."""
        return any((lifted.piece, lifted.demand) == (kind, "parity") for lifted in self.make.choices.lifted)

    def _of_partner(self) -> Mapping[ShapedEdge, EdgeShaping]:
        """The shaping of the body piece that is knitted: partners are shaped at one counter."""
        body = [piece for piece in self.make.standing if piece.piece in BODY and piece.shaping]
        return body[-1].shaping if body else {}

    def _sleeve(
        self, kind: PieceKind, rows: Mapping[str, int], before: Sequence[PlannedPiece]
    ) -> tuple[SleeveCounts | CannotShape | CannotSay, tuple[AssumedShape, ...]]:
        upper, length, cuff = rows.get("upper_arm"), rows.get("sleeve_length"), rows.get("cuff")
        if not (upper and length and cuff):
            return _uncounted(kind, rows, "cuff", "upper_arm", "sleeve_length"), ()
        if CONSTRUCTIONS[self.make.construction].armhole == "straight":
            return SleeveCounts(cuff, upper, length, self.ahead), ()
        armhole = armhole_of(before, panels=CONSTRUCTIONS[self.make.construction].panels)
        if isinstance(armhole, CannotSay):
            return armhole, ()
        cap = self._cap(kind, rows, armhole, before)
        if isinstance(cap, CannotShape):
            return cap, ()
        below = length - cap.rows
        if below <= 0:
            return CannotSay("steps_do_not_fit", rows=cap.rows), ()
        return SleeveCounts(cuff, upper, below, self.ahead, armhole.underarm, armhole.mm, cap=cap), armhole.assumed

    def _cap(
        self, kind: PieceKind, rows: Mapping[str, int], armhole: Armhole, before: Sequence[PlannedPiece]
    ) -> Cap | CannotShape:
        """The fairest cap; where none fits, what lets one, the rows of a front to come among it."""
        ease = MORE_EASE if is_eased(self.make, kind) else CAP_EASE
        upper, wanted = rows["upper_arm"], rows.get("cap_height")
        asked = CapAsked(upper, armhole.underarm, armhole.mm, self.ahead.w, self.ahead.h, ease, rows=wanted)
        twin = wanted is not None and any("cap_height" in piece.counts for piece in self._sleeves_knitted)
        exact = fairest_cap(replace(asked, exact=True)) if twin else None
        cap = exact if isinstance(exact, Cap) else fairest_cap(asked)
        if isinstance(cap, Cap):
            return cap
        ways = ways_to_a_cap(asked, cache(lambda more: self._armhole_mm(before, more)))
        return replace(cap, values={**cap.values, "ways": ways})

    def _armhole_mm(self, before: Sequence[PlannedPiece], more: int) -> float | None:
        """The armhole with so many rows more on the front; None where it is knitted, or cannot have them [mm]."""
        coming = {
            piece.kind: {key: count.count for key, count in piece.counts.items()}
            for piece in self.to_knit
            if piece.kind in FRONTS and piece.count("armhole_depth")
        }
        fronts = [
            self.piece(piece.kind, _deeper(coming[piece.kind], more), before[:place])
            if piece.id is None and piece.kind in coming
            else piece
            for place, piece in enumerate(before)
        ]
        armhole = armhole_of(fronts) if fronts != list(before) else None
        return armhole.mm if isinstance(armhole, Armhole) else None

    def _raglan(
        self, kind: PieceKind, rows: Mapping[str, int], before: Sequence[PlannedPiece]
    ) -> tuple[RaglanCounts | CannotSay, tuple[AssumedShape, ...]]:
        """Of all four edges the rows are equal: a sleeve's are those of the body."""
        widest = rows.get("upper_arm" if kind in SLEEVES else "chest")
        slant = _raglan_rows(before) if kind in SLEEVES else rows.get("armhole_depth")
        length = rows.get("sleeve_length" if kind in SLEEVES else "body_length")
        if length is None and slant and "to_underarm" in rows:
            length = rows["to_underarm"] + slant
        if kind in SLEEVES and not slant:
            return CannotSay("no_plan", part="back"), ()
        if not (widest and length and slant):
            needs = ("upper_arm", "sleeve_length") if kind in SLEEVES else ("chest", "body_length", "armhole_depth")
            return _uncounted(kind, rows, *needs), ()
        underarm = round(25.0 / self.ahead.w)
        top = rows.get("neck_width")
        assumed: tuple[AssumedShape, ...] = ()
        if top is None:
            top = round(RAGLAN_TOP_MM / self.ahead.w)
            top += (widest - top) % 2
            assumed = ("raglan_top",)
        cast_on = rows.get("cuff" if kind in SLEEVES else "hem", widest)
        counts = RaglanCounts(cast_on, widest, length - slant, underarm, slant, top, self.ahead)
        divided = self._with_a_neck(kind, counts, rows.get("neck_depth", 0)) if kind in FRONTS else None
        return (counts, assumed) if divided is None else (divided, (*assumed, "neck_curve"))

    def _with_a_neck(self, kind: PieceKind, counts: RaglanCounts, depth: int) -> RaglanCounts | None:
        """A raglan front with a neck of its own between two tips, as narrow as its transfers go; None where none goes.

        depth  of the neck [rows];  half a front has one tip
        """
        for tip in RAGLAN_TIPS if depth else ():
            tips = tip if kind in HALF_FRONTS else 2 * tip
            divided = replace(counts, top=tips, neck=counts.top - tips, neck_rows=depth)
            if divided.neck > 0 and isinstance(
                plan_piece(kind, divided, self._chosen(kind), self.make.construction), Plan
            ):
                return divided
        return None

    def _panel(self, rows: Mapping[str, int]) -> tuple[PanelCounts | CannotSay, tuple[AssumedShape, ...]]:
        width, length = rows.get("panel_width"), rows.get("panel_length")
        if not (width and length):
            return _uncounted("side_panel", rows, "panel_width", "panel_length"), ()
        return PanelCounts(width, width, length, self.ahead), ()


def _deeper(counts: Mapping[str, int], more: int) -> dict[str, int]:
    """The counts of a front whose armhole has so many rows more."""
    return {**counts, "armhole_depth": counts["armhole_depth"] + more}


_BODY_NEEDS = ("to_underarm", "armhole_depth", "neck_width")
"""What a plan of a body piece needs besides its widths; up to the underarm it may follow from the whole length."""


def _uncounted(kind: PieceKind, rows: Mapping[str, int], *needs: str) -> CannotSay:
    """Which of the counts that a plan needs nobody gave."""
    return CannotSay("no_counts", piece=kind, lacks=tuple(key for key in needs if not rows.get(key)))


def _raglan_rows(pieces: Sequence[PlannedPiece]) -> int | None:
    """Rows of the slanting edges of a body piece that has a plan; None without one."""
    plans = (piece.plan for piece in pieces if piece.kind in BODY and isinstance(piece.plan, Plan))
    edges = (edge for plan in plans for name, edge in plan.edges.items() if name.endswith("_raglan"))
    return max((sum(run.rows for run in edge) for edge in edges), default=None)


def _underarm(before: Sequence[PlannedPiece]) -> int | None:
    """Stitches cast off at an underarm of the body piece before this one; None where there is none.

    The underarms of back, front and sleeve are sewn to each other stitch by stitch.
    """
    plans = (piece.plan for piece in before if piece.kind in BODY and isinstance(piece.plan, Plan))
    edges = (edge for plan in plans for name, edge in plan.edges.items() if name.endswith("_underarm"))
    return min((sum(run.stitches for run in edge) for edge in edges), default=None)


@frozen
class Armhole:
    """What a sleeve's cap goes into.

    mm        sewn edges of back and front together, without their underarms [mm]
    underarm  stitches cast off at each side of the sleeve, which are sewn to the underarm
    assumed   what of it nobody said
    """

    mm: float
    underarm: int
    assumed: tuple[AssumedShape, ...]


def armhole_of(pieces: Sequence[PlannedPiece], *, panels: bool = False) -> Armhole | CannotSay:
    """The armhole that a sleeve goes into, from a back and a front, or one half of it, that have plans.

    panels  a side panel lies between them: a sleeve is sewn to its top as well, half of it at each side

    Back and front are shaped first at opposite sides of the bed, and an edge that is shaped second may be a row longer:
    edges of one name are one of each, and together the mean of both armholes, for two sleeves that are knitted alike.
    """
    halves: list[tuple[PlannedPiece, Edge, int]] = []
    for kinds in (("back",), FRONTS):
        piece = next((piece for piece in pieces if piece.kind in kinds and isinstance(piece.plan, Plan)), None)
        if piece is None:
            whys = (piece.plan for piece in pieces if piece.kind in kinds and isinstance(piece.plan, CannotSay))
            return next(whys, CannotSay("no_plan", part=kinds[0], edge="armhole"))
        assert isinstance(piece.plan, Plan)
        side = next(name.split("_")[0] for name in piece.plan.edges if name.endswith("_armhole"))
        underarm = piece.plan.edges.get(f"{side}_underarm", ())
        halves.append((piece, piece.plan.edges[f"{side}_armhole"], sum(run.stitches for run in underarm)))
    mm = sum(
        seam_line([(run.stitches, run.rows) for run in edge], piece.fabric.w, piece.fabric.h)
        for piece, edge, _ in halves
    )
    assumed = tuple(dict.fromkeys(code for piece, _, _ in halves for code in piece.assumed if code == "armhole_curve"))
    at_each_side = halves[0][2]
    if panels:
        panel = next((piece.plan for piece in pieces if piece.kind == "side_panel"), None)
        if not isinstance(panel, Plan):
            return panel if isinstance(panel, CannotSay) else CannotSay("no_plan", part="side_panel", edge="top")
        at_each_side = (panel.ends["top"] + sum(stitches for _, _, stitches in halves)) // 2
    return Armhole(mm, at_each_side, assumed)


def is_eased(make: Make, kind: PieceKind) -> bool:
    """Whether the knitter takes it that a cap is eased in by more than usual."""
    return any((lifted.piece, lifted.demand) == (kind, "ease") for lifted in make.choices.lifted)


def _of_edge(shaping: EdgeShaping | None, across: int, sides: int) -> Shaping | None:
    """A shaping that was written down, where it takes off what the counts say; None where it does not, or is not."""
    if shaping is None or sides * shaping.stitches != across:
        return None
    return Shaping(shaping.at_once, tuple((steps.times, steps.every) for steps in shaping.steps))


def _lower_edge(kind: SheetKind) -> str:
    """The edge that a piece begins at; empty of a band."""
    return "cuff" if kind in SLEEVES else "hem" if kind in (*BODY, "side_panel") else ""


def rib_mm(make: Make, kind: SheetKind) -> float:
    """Length of the rib that a piece begins with [mm]; 0 where none is knitted on, and of a band."""
    edge = _lower_edge(kind)
    return sum(band.mm_in_piece for band in make.bands if band.edge == edge)


def rib_unnamed(make: Make, kind: PieceKind) -> bool:
    """Whether rows of a rib were counted at this edge of a knitted piece, and no band there is named."""
    edge = _lower_edge(kind)
    counted = (piece for piece in make.standing if piece.rib and piece.rib.rows)
    return all(band.edge != edge for band in make.bands) and any(_lower_edge(piece.piece) == edge for piece in counted)


def rib_rows(make: Make, piece: PlannedPiece) -> int | None:
    """Rows of the rib that a piece begins with: its own, else those of a knitted one, in proportion to its depth.

    0 where none is knitted on, None where nobody counted it.
    """
    depth = rib_mm(make, piece.kind)
    if not depth:
        return 0
    counted = {knitted.id: knitted.rib.rows for knitted in make.standing if knitted.rib and knitted.rib.rows}
    if piece.id in counted:
        return counted[piece.id]
    of_depth = {rib_mm(make, knitted.piece): counted[knitted.id] for knitted in make.standing if knitted.id in counted}
    if depth in of_depth:
        return of_depth[depth]
    return next((round(rows * depth / other) for other, rows in of_depth.items() if other), None)


def rib_to_count(make: Make, kind: SheetKind) -> Piece | None:
    """The knitted piece whose rib tells how many rows that of a piece to come has, where nobody has counted it."""
    depth = rib_mm(make, kind)
    if not depth or any(piece.rib and piece.rib.rows for piece in make.standing if rib_mm(make, piece.piece)):
        return None
    ribbed = [piece for piece in make.standing if rib_mm(make, piece.piece)]
    return min(ribbed, key=lambda piece: abs(rib_mm(make, piece.piece) - depth), default=None)
