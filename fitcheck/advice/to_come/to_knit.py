"""The pieces still to knit with every count that a sheet needs: what the advice says, and what it leaves open.

A count that nobody gave is the one of least expected loss for what is wanted (`counts_for_rest`), of the parity of the
piece's other widths, in whole repeats, on the bed; where nothing is wanted either, the usual one, and it says so.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import field, replace
from itertools import pairwise
from typing import Literal

from fitcheck.advice.left import TWINS
from fitcheck.advice.rest.count_series import least_count
from fitcheck.advice.rest.counts import counts_for_rest
from fitcheck.advice.rest.loss_table import Known, fit_table
from fitcheck.advice.rest.pieces import RestCount
from fitcheck.advice.rest.planned import planned_counts, repeat_of, size_table_of, taken_rows
from fitcheck.advice.rest.programme import Choice, Demand, Programme, candidates
from fitcheck.advice.rest.sizes_ahead import SizeAhead, Sizes, Stretched
from fitcheck.advice.rest.still_to_knit import Rest
from fitcheck.advice.rest.tabled import tabled, usual_mm
from fitcheck.advice.target.to_come import ToCome
from fitcheck.advice.target.wanted import Target, Targets, targets
from fitcheck.advice.to_come.held_together import MORE_FOR_THE_CAP, Together, Widths, held_together
from fitcheck.advice.to_come.round_the_body import made_by
from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.shoulders import groups_of_slope, shoulder_rows
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household, by_key
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import BODY, FRONTS, HALF_FRONTS, POINTS, REPEATED, SLEEVES, PieceKind

CountFrom = Literal["advised", "as_piece", "as_twin", "wanted", "reckoned", "usual"]
"""advised: as the advice has it; as_piece: as on a piece that is knitted, to which it is sewn; as_twin: as on the other
one of a pair, and not as it was planned, if anybody planned it; wanted: of least expected loss for what is wanted;
reckoned: from the other counts; usual: nothing says it."""
TOLD: tuple[CountFrom, ...] = ("advised", "as_twin", "wanted")
"""Counts that stand for what is wanted, with a chance that it comes so."""
FRONT_NECK_MM = 80.0
"""Depth of a front's neck where nothing is wanted of it [mm] (common practice, no source)."""
SHOULDER_SLOPE_MM = 25.0
"""Fall of a shoulder where nobody counted it [mm] (common practice, no source)."""
MOST_SLOPE_MM = 60.0
"""Fall of a shoulder beyond which a length does not add up [mm] (assumed)."""
_PARTS = frozenset(("to_underarm", "armhole_depth", "body_length"))
WIDTHS: Mapping[str, tuple[str, ...]] = {
    "body": ("hem", "chest", "shoulder_width", "neck_width"),
    "sleeve": ("cuff", "upper_arm"),
    "side_panel": ("panel_width",),
}
UNSAID = frozenset({"front_band_unsaid", "panel_width_unsaid", "overlap_unsaid", "body_unsaid"})
"""Reasons why nothing is wanted of a point that only want something said."""
LENGTHS: Mapping[str, tuple[str, ...]] = {
    "body": ("to_underarm", "armhole_depth", "neck_depth"),
    "sleeve": ("sleeve_length",),
    "side_panel": ("panel_length",),
}


@frozen
class OffBed:
    """A count that comes nearest to what is wanted, and the bed that is too narrow for it: both in needles."""

    needed: int
    needles: int


@frozen
class CountToKnit:
    """One count of a piece.

    key     point of measure
    count   stitches of a width, rows of a length
    before  what was planned, or stood there before; None where it is as it was, or nothing was known
    comes   where it comes from
    mm      what it measures on the piece, bands on it included [mm]
    fits    chance that its point fits, sewn to what is knitted; None where it cannot differ, or nothing is wanted
    off_bed  where the bed, and nothing else, keeps it from coming nearer to what is wanted; None where it does not
    """

    key: str
    count: int
    before: int | None
    comes: CountFrom
    mm: float
    fits: float | None = None
    off_bed: OffBed | None = None


@frozen
class PieceToKnit:
    """One piece still to knit.

    kind    which
    counts  by point, in the order in which they are knitted
    asks    the point without which nothing can be knitted; None where every count is there
    other   it is the other one of two that are called alike
    for_the_cap  counts that the knitter chose otherwise, so that a cap fits
    together  whether its widths hold together; None where a count is missing
    lacks   why nothing tells the count that is asked for, or whether a width fits, where something is missing for it
    """

    kind: PieceKind
    counts: Mapping[str, CountToKnit]
    asks: str | None = None
    other: bool = False
    together: Together | None = None
    for_the_cap: tuple[str, ...] = ()
    lacks: CannotSay | None = None

    def count(self, key: str) -> int | None:
        """The count of a point; None where there is none."""
        known = self.counts.get(key)
        return known.count if known is not None else None

    @property
    def times(self) -> int:
        """How often it is still to knit: sleeves and panels are two that are called alike."""
        return 2 if self.kind in ("sleeve", "side_panel") and not self.other else 1


def pieces_to_knit(counting: Counting, rest: Rest) -> tuple[PieceToKnit, ...]:
    """Every piece that is still to knit, in the order of the rest, with the counts that a sheet needs.

    Nothing where no stitch width or row height is known.
    """
    if "across" not in counting.sizes or "along" not in counting.sizes:
        return ()
    return tuple(
        counting.of_kind(piece.kind).piece(piece.kind, piece.counts, other=piece.other)
        for piece in rest.pieces
        if piece.how == "planned"
    )


def altered_counts(make: Make, rest: Rest) -> dict[PieceKind, dict[str, int]]:
    """The counts that the advice changed, or changes, on pieces that are knitted, by kind and point."""
    taken: dict[PieceKind, dict[str, int]] = {}
    for piece in make.standing:
        taken.setdefault(piece.piece, {}).update({key: now for key, (_, now) in taken_rows(make, piece).items()})
    return taken | {
        coming.kind: {count.key: count.now for count in coming.counts if count.now is not None}
        for coming in rest.pieces
        if coming.how != "planned"
    }


def counts_of_knitted(
    make: Make, household: Household, piece: Piece, sizes: Sizes, altered: Mapping[str, int]
) -> dict[str, int]:
    """The counts of a knitted piece by point, with those that follow from others; what nobody can know stays open.

    altered  counts that the advice changes on it
    """
    work = Counting(make, household, sizes, ToCome(make, household), {piece.piece: altered})
    known = {key: counts.best for key, counts in piece.counts.items() if counts.best is not None} | dict(altered)
    made = {key: work.as_knitted(key, count) for key, count in known.items()}
    return known | {count.key: count.count for count in work.reckoned(piece.piece, made)}


def family_of(kind: PieceKind) -> str:
    """Which points a kind of piece has: those of a body, of a sleeve, or of a side panel."""
    return "body" if kind in BODY else "sleeve" if kind in SLEEVES else "side_panel"


@frozen
class Counting:
    """What the counts of the pieces still to knit are worked out from.

    sizes    of what is knitted next;  coming: what these pieces must measure
    stretch  what the sizes hold of a stretch
    altered  the counts that the advice changes on what is knitted
    waits    nothing is decided yet, or a piece is knitted again first: planned counts stay, whether they hold together
             or not
    blocked  the knitted piece that the advice has blocked again: nothing says yet how wide it will be
    made_up  by how much seams and bands make the garment larger at a width, whatever the piece is [mm]
    """

    make: Make
    household: Household
    sizes: Sizes
    coming: ToCome
    altered: Mapping[PieceKind, Mapping[str, int]]
    waits: bool = False
    blocked: PieceKind | None = None
    stretch: Stretched | None = None
    made_up: Mapping[str, float] = field(default_factory=dict)
    _measured: dict[str, Targets] = field(default_factory=dict)  # of knitted pieces, by id: every count asks for them

    @classmethod
    def of(
        cls,
        make: Make,
        household: Household,
        rest: Rest,
        sizes: Sizes,
        *,
        coming: ToCome,
        read: Mapping[str, Targets],
        blocked: PieceKind | None = None,
        stretch: Stretched | None = None,
    ) -> Counting:
        """What the counts of a rest are worked out from.

        read  what knitted pieces measure, by id, where it was worked out before
        """
        waits = rest.open or any("wait" in piece.notes for piece in rest.pieces)
        made_up = {part.point: part.mm for part in rest.parts if part.by in ("armhole_seam", "neck_band")}
        known = altered_counts(make, rest)
        return cls(make, household, sizes, coming, known, waits, blocked, stretch, made_up, dict(read))

    def of_kind(self, kind: PieceKind) -> Counting:
        """The same with the sizes of a kind of piece."""
        return self if self.stretch is None else replace(self, sizes=self.stretch.of(kind, self.sizes), stretch=None)

    def piece(self, kind: PieceKind, advised: Sequence[RestCount], *, other: bool) -> PieceToKnit:
        """One piece: the advised counts, those that follow from them, those of what is wanted, the usual ones."""
        wanted = self._wanted(kind)
        counts = {
            count.key: self._told(kind, count, wanted.get(count.key)) for count in advised if count.now is not None
        }
        counts |= {count.key: count for count in self._advised_by_mm(kind, counts, wanted, advised)}
        counts |= {count.key: count for count in self.reckoned(kind, counts)}
        counts |= {count.key: count for count in self._of_what_is_wanted(kind, counts, wanted)}
        counts |= {count.key: count for count in self.reckoned(kind, counts)}
        counts |= {count.key: count for count in self._usual(kind, counts)}
        counts |= {count.key: count for count in self._with_equal_shoulders(kind, counts)}
        chosen = {count.key: count for count in self._for_the_cap(kind, counts, wanted)}
        counts |= chosen
        lacking = next((key for key in self._needed(kind) if key not in counts), None)
        alike = {count.key for count in advised if count.like and count.like == TWINS.get(kind) and not count.changed}
        whole = lacking is None and kind not in HALF_FRONTS
        together = self._together(kind, counts, wanted, alike) if whole else None
        if together is not None and together.counts and not self.waits:
            counts |= {count.key: count for count in self._that_hold(kind, counts, together.counts, wanted)}
        ordered = sorted(
            (self._on_bed(kind, count, wanted.get(count.key)) for count in counts.values()),
            key=lambda count: POINTS[count.key].knitted,
        )
        asked = WIDTHS[family_of(kind)] if lacking is None else (lacking,)
        unsaid = {key: why for key, why in self.coming.of(kind).refused if why.code in UNSAID}
        lacks = next((unsaid[key] for key in asked if key in unsaid), None)
        return PieceToKnit(
            kind, {count.key: count for count in ordered}, lacking, other, together, tuple(chosen), lacks
        )

    def worse(self, kind: PieceKind, key: str, count: int, other: int) -> float | None:
        """How much more the other of two counts of a point of a kind of piece is expected to lose [works of a back].

        None where nothing is wanted of the point.
        """
        target = self._wanted(kind).get(key)
        if target is None or target.wanted is None:
            return None
        known, usual = self.of_kind(kind)._known(kind, target), usual_mm(key)
        losses = tabled(key, (count, other), known, target.tolerance_mm, usual_mm=usual, weight=target.weight).losses
        return losses[other] - losses[count]

    def _for_the_cap(
        self, kind: PieceKind, counts: Mapping[str, CountToKnit], wanted: Mapping[str, Target]
    ) -> Iterator[CountToKnit]:
        """The counts that the knitter chose otherwise so that a cap fits; a pair is knitted alike."""
        steps: Counter[str] = Counter()
        for lift in self.make.choices.lifted:
            keys, step = MORE_FOR_THE_CAP.get(lift.demand, ((), 0))
            if lift.piece in (kind, TWINS.get(kind)):
                steps.update({key: step * lift.times for key in keys if key in counts})
        for key, step in steps.items():
            known = counts[key]
            comes: CountFrom = known.comes if known.comes in TOLD else "reckoned"
            before = known.before if known.before is not None else known.count
            yield self._made(kind, key, known.count + step, comes, wanted.get(key), before=before)

    def _together(
        self, kind: PieceKind, counts: Mapping[str, CountToKnit], wanted: Mapping[str, Target], alike: Set[str]
    ) -> Together:
        """Whether the widths of a piece hold together; its hem follows the chest, so it is no width of its own here.

        alike  those that are as on its twin, which is knitted: none of them leaves it by more than a stitch
        """
        slanting = CONSTRUCTIONS[self.make.construction].armhole == "slanting"
        planned = planned_counts(self.make, self.household, kind)
        widths = {key: counts[key].count for key in WIDTHS[family_of(kind)] if key in counts and key != "hem"}
        tables = {
            key: self._choice(kind, wanted[key], widths[key])
            for key in widths
            if key in wanted and wanted[key].wanted is not None and self._ideal(wanted[key]) >= 1
        }
        for key in alike & tables.keys():
            near = {count: loss for count, loss in tables[key].losses.items() if abs(count - widths[key]) <= 1}
            tables[key] = replace(tables[key], losses=near or tables[key].losses)
        return held_together(
            Widths(
                kind,
                widths,
                tables,
                self._across if kind in BODY and not slanting else "",
                self._repeat,
                # A planned count that is no whole repeats is told as such (`demands`), and never changed unasked.
                frozenset(key for key, count in widths.items() if planned.get(key) == count),
                self._knitted("back") if kind == "front" else {},
                self.make.choices.lifted,
            )
        )

    def _that_hold(
        self,
        kind: PieceKind,
        counts: Mapping[str, CountToKnit],
        held: Mapping[str, int],
        wanted: Mapping[str, Target],
    ) -> Iterator[CountToKnit]:
        """The counts that became others so that they hold together, and a hem that has the parity of its chest."""
        for key, count in {**held, **_hem_of(counts, held)}.items():
            known = counts[key]
            if known.count != count:
                comes: CountFrom = "reckoned" if known.comes in ("as_piece", "reckoned") else known.comes
                before = known.before if known.before is not None else known.count
                yield self._made(kind, key, count, comes, wanted.get(key), before=before)

    def _on_bed(self, kind: PieceKind, count: CountToKnit, target: Target | None) -> CountToKnit:
        """A width, and how many needles the one would take that is wanted, where that is more than the bed has."""
        machine = by_key(self.household.machines, self.make.machine)
        step = self._repeat[0] if count.key in REPEATED and self._repeat[0] > 1 else 2
        if machine is None or target is None or target.wanted is None or target.direction != "across":
            return count
        if count.count + step <= machine.needles:
            return count
        known = self._known(kind, target)
        ideal = (known["wanted_mm"] - known.get("fixed_mm", 0.0)) / (known.get("share", 1.0) * known["size_mm"])
        needed = count.count + step * round((ideal - count.count) / step)
        return replace(count, off_bed=OffBed(needed, machine.needles)) if needed > machine.needles else count

    def chances(self, kind: PieceKind, counts: Mapping[str, int]) -> dict[str, float]:
        """The chance of each count that its point fits, where something is wanted of it."""
        wanted, alike = self._wanted(kind), self.of_kind(kind)
        made = (alike._made(kind, key, count, "wanted", wanted.get(key)) for key, count in counts.items())
        return {count.key: count.fits for count in made if count.fits is not None}

    def as_knitted(self, key: str, count: int) -> CountToKnit:
        """A count of a piece that is knitted."""
        return CountToKnit(key, count, None, "as_piece", count * self._size(key).mm + self._band_mm(key))

    def _wanted(self, kind: PieceKind) -> Mapping[str, Target]:
        return {target.key: target for target in self.coming.of(kind).points}

    def _needed(self, kind: PieceKind) -> Iterator[str]:
        """Points without whose counts a piece cannot be knitted; a raglan has no shoulders."""
        for key in (*WIDTHS[family_of(kind)], *LENGTHS[family_of(kind)]):
            dropped = key == "shoulder_width" and (self._across == "chest" or self._raglan)
            if not dropped and not (key == "neck_depth" and kind not in FRONTS) and kind in POINTS[key].pieces:
                yield key

    def _told(self, kind: PieceKind, advised: RestCount, target: Target | None) -> CountToKnit:
        """An advised count, with the chance that its point fits."""
        assert advised.now is not None
        if advised.changed:
            return self._made(kind, advised.key, advised.now, "advised", target, before=advised.before)
        before = planned_counts(self.make, self.household, kind).get(advised.key)
        if advised.like in (TWINS.get(kind), kind) and before != advised.now:
            return self._made(kind, advised.key, advised.now, "as_twin", target, before=before)
        tied = advised.like is not None and not POINTS[advised.key].flat
        return self._made(kind, advised.key, advised.now, "as_piece" if tied else "advised", target)

    def _made(
        self,
        kind: PieceKind,
        key: str,
        count: int,
        comes: CountFrom,
        target: Target | None = None,
        *,
        before: int | None = None,
    ) -> CountToKnit:
        size = self._size(key)
        mm = count * size.mm + self._band_mm(key)
        fits = None
        open_still = kind in BODY and POINTS[key].flat and any(self._open(beside, key) for beside in BODY)
        if target is not None and target.wanted is not None and comes in TOLD and not open_still:
            known = self._known(kind, target)
            known["wanted_mm"] -= self.made_up.get(key, 0.0) if kind in BODY else 0.0
            fits = fit_table([count], **known, tolerance_mm=target.tolerance_mm)[0]
        return CountToKnit(key, count, before, comes, mm, fits)

    def _known(self, kind: PieceKind, target: Target, *, alone: bool = False) -> Known:
        """What a table wants to know of a point; how unsure the size is holds what pieces differ by.

        alone  a flat width is the piece's own, not the garment's
        """
        assert target.wanted is not None
        size = self._size(target.key)
        known: Known = {
            "wanted_mm": target.wanted.value,
            "size_mm": size.mm,
            "swallowed": 0.0,
            "fixed_mm": self._band_mm(target.key),
            "u_size": size.unsure,
            "piece": 0.0,
            "u_wanted_mm": target.wanted.u,
        }
        return known if alone else {**known, **made_by(kind, target, lambda beside: self._read(beside, target.key))}

    def _read(self, kind: PieceKind, key: str) -> Target | None:
        """A point of a piece that is knitted and read, and stays so; None where there is none."""
        for piece in reversed(self.make.standing):
            if piece.piece == kind and not self._open(kind, key) and any(stage.readings for stage in piece.stages):
                if piece.id not in self._measured:
                    self._measured[piece.id] = targets(self.make, piece, self.household, pool=self.coming.pool)
                return self._measured[piece.id].get(key)
        return None

    def _open(self, kind: PieceKind, key: str) -> bool:
        """Whether nothing says yet what a body piece will be at a point: it becomes another, or nothing is decided."""
        return self.waits or kind == self.blocked or key in self.altered.get(kind, {})

    def _of_what_is_wanted(
        self, kind: PieceKind, known: Mapping[str, CountToKnit], wanted: Mapping[str, Target]
    ) -> Iterator[CountToKnit]:
        """The counts of least expected loss for points that are wanted and have none."""
        open_keys = [
            key
            for key in self._needed(kind)
            if key not in known and key in wanted and wanted[key].wanted is not None and self._ideal(wanted[key]) >= 1
        ]
        choices = [self._choice(kind, wanted[key]) for key in open_keys]
        for key, count in self._taken(kind, known, choices).items():
            yield self._made(kind, key, count, "wanted", wanted[key])

    def _advised_by_mm(
        self,
        kind: PieceKind,
        known: Mapping[str, CountToKnit],
        wanted: Mapping[str, Target],
        advised: Sequence[RestCount],
    ) -> Iterator[CountToKnit]:
        """Counts of widths that nobody planned and the advice moves off what is wanted, to make up for a piece."""
        moved = {count.key: count.amount_mm for count in advised if count.now is None and count.across}
        choices = []
        for key, mm in moved.items():
            target = wanted.get(key)
            if mm and key not in known and target is not None and target.wanted is not None:
                aimed = replace(target.wanted, value=target.wanted.value + mm)
                choices.append(self._choice(kind, replace(target, wanted=aimed), alone=True))
        for key, count in self._taken(kind, known, choices).items():
            yield self._made(kind, key, count, "advised", wanted[key])

    def _taken(self, kind: PieceKind, known: Mapping[str, CountToKnit], choices: Sequence[Choice]) -> Mapping[str, int]:
        """The counts for the rest of some points of a piece, beside those that stand."""
        open_keys = [choice.key for choice in choices]
        if not choices:
            return {}
        widths = [key for key in WIDTHS[family_of(kind)] if key in known or key in open_keys]
        stand = [Choice(key, {known[key].count: 0.0}) for key in widths if key in known]
        programme = Programme((*stand, *choices), demands=tuple(self._demands(widths, open_keys)))
        rest = counts_for_rest(programme)
        counts = rest.counts or (rest.to_lift[0].counts if rest.to_lift else {})
        return {key: counts[key] for key in open_keys if key in counts}

    def _ideal(self, target: Target) -> float:
        assert target.wanted is not None
        return (target.wanted.value - self._band_mm(target.key)) / self._size(target.key).mm

    def _choice(self, kind: PieceKind, target: Target, stands: int | None = None, *, alone: bool = False) -> Choice:
        """The table of a width; stands: a count that is among its candidates wherever it lies, on the bed.

        alone  what is wanted is of this piece alone: it has in it already what the others lack
        """
        machine = by_key(self.household.machines, self.make.machine)
        across = target.direction == "across"
        values: Sequence[int] = candidates(
            self._ideal(target),
            step=self._repeat[0] if target.key in REPEATED else 1,
            least=least_count(0.0),
            most=machine.needles if machine is not None and across else None,
        )
        if stands is not None:
            on_bed = machine is None or not across or stands <= machine.needles
            values = sorted({*values, *((stands,) if on_bed else ())})
        known, usual = self._known(kind, target, alone=alone), usual_mm(target.key)
        return tabled(target.key, values, known, target.tolerance_mm, usual_mm=usual, weight=target.weight)

    @property
    def _repeat(self) -> tuple[int, int]:
        return repeat_of(self.make, size_table_of(self.make, self.household))

    def _demands(self, widths: Sequence[str], open_keys: Sequence[str]) -> Iterator[Demand]:
        """Whole repeats; and both sides shaped alike, so that all widths of a piece are even or all are odd."""
        multiple, balance = self._repeat
        for key in open_keys:
            if key in REPEATED and multiple > 1:
                yield Demand(f"repeat {key}", "repeat", {key: 1}, balance % multiple, step=multiple)
        for key, following in pairwise(widths):
            if key in open_keys or following in open_keys:
                yield Demand(f"parity {key}, {following}", "parity", {key: 1, following: -1}, step=2)

    def reckoned(self, kind: PieceKind, known: Mapping[str, CountToKnit]) -> Iterator[CountToKnit]:
        """Counts that follow from others: lengths from the whole, a front's shoulders from those of the back."""
        rows = {key: count.count for key, count in known.items()}
        if "to_underarm" not in rows and {"body_length", "armhole_depth"} <= rows.keys():
            left = rows["body_length"] - rows["armhole_depth"] - rows.get("shoulder_drop", self._drop_rows)
            if left > 0 and kind in BODY:
                yield self._made(kind, "to_underarm", left, "reckoned")
        elif "shoulder_drop" not in rows and rows.keys() >= _PARTS and not self._raglan:
            left = rows["body_length"] - rows["armhole_depth"] - rows["to_underarm"]
            if kind in BODY and 0 <= left <= MOST_SLOPE_MM / self._size("shoulder_drop").mm:
                # The whole less its parts; groups of a shoulder take two rows each, so an odd row is none of it.
                yield self._made(kind, "shoulder_drop", left - left % 2, "reckoned")
        if "sleeve_length" not in rows and {"sleeve_to_underarm", "cap_height"} <= rows.keys():
            yield self._made(kind, "sleeve_length", rows["sleeve_to_underarm"] + rows["cap_height"], "reckoned")
        if kind in BODY and "hem" not in rows and "chest" in rows:
            yield self._made(kind, "hem", rows["chest"], "reckoned")
        back = self._knitted("back")
        beside = back.get("to_underarm") or self._knitted("front").get("to_underarm")
        if kind == "side_panel" and "panel_length" not in rows and beside:
            yield self._made(kind, "panel_length", beside, "as_piece")
        if kind in HALF_FRONTS and "chest" in rows:
            half = self._beside(back, rows["chest"])
            yield from (self._made(kind, key, count, "reckoned") for key, count in half.items() if key not in rows)

    def _beside(self, back: Mapping[str, int], chest: int) -> Mapping[str, int]:
        """What half a front has above its chest, to be sewn to its back: its shoulder, if it has one, and its neck."""
        at_top = "chest" if self._raglan else self._across
        if not {"chest", at_top} <= back.keys():
            return {}
        across = chest - (back["chest"] - back[at_top]) // 2
        neck = across - (back[at_top] - back.get("neck_width", 0)) // 2
        counts = {at_top: across, **({"neck_width": neck} if "neck_width" in back else {})}
        return {key: count for key, count in counts.items() if count > 0}

    def _with_equal_shoulders(self, kind: PieceKind, known: Mapping[str, CountToKnit]) -> Iterator[CountToKnit]:
        """The neck that leaves a front the shoulders of its back, where nobody said another."""
        back, across = self._knitted("back"), self._across
        neck = known.get("neck_width")
        if kind != "front" or neck is None or across not in known or not {across, "neck_width"} <= back.keys():
            return
        width = known[across].count - (back[across] - back["neck_width"])
        if neck.comes != "advised" and width > 0 and width != neck.count:
            yield self._made(kind, "neck_width", width, "reckoned")

    @property
    def _raglan(self) -> bool:
        """Whether back, front and sleeves go up to the neck along slanting edges."""
        return CONSTRUCTIONS[self.make.construction].armhole == "slanting"

    @property
    def _across(self) -> str:
        """The point that says how wide a body piece is at its shoulders."""
        return "chest" if CONSTRUCTIONS[self.make.construction].armhole == "straight" else "shoulder_width"

    def _knitted(self, kind: PieceKind) -> dict[str, int]:
        """Counts of a piece that is knitted; nothing where there is none."""
        piece = next((piece for piece in reversed(self.make.standing) if piece.piece == kind), None)
        if piece is None:
            return {}
        own = {key: counts.best for key, counts in piece.counts.items() if counts.best is not None}
        return {**own, **self.altered.get(kind, {})}

    @property
    def _drop_rows(self) -> int:
        """Rows that a shoulder falls by where nobody counted them; whole short-row groups, two rows each.

        0 of a raglan, which has no shoulders.
        """
        if self._raglan:
            return 0
        return shoulder_rows(groups_of_slope(SHOULDER_SLOPE_MM, self._size("shoulder_drop").mm))

    def _usual(self, kind: PieceKind, known: Mapping[str, CountToKnit]) -> Iterator[CountToKnit]:
        if kind in BODY and "shoulder_drop" not in known and not self._raglan:
            yield self._made(kind, "shoulder_drop", self._drop_rows, "usual")
        if kind in FRONTS and "neck_depth" not in known:
            rows = round(FRONT_NECK_MM / self._size("neck_depth").mm)
            yield self._made(kind, "neck_depth", rows, "usual")

    def _size(self, key: str) -> SizeAhead:
        return self.sizes["along" if POINTS[key].direction == "along" else "across"]

    def _band_mm(self, key: str) -> float:
        """How much of a piece's length is a band and no plain rows [mm]."""
        point = POINTS[key]
        if point.direction != "along" or not point.band:
            return 0.0
        return math.fsum(band.mm_in_piece for band in self.make.bands if band.edge == point.band)


def _hem_of(counts: Mapping[str, CountToKnit], held: Mapping[str, int]) -> dict[str, int]:
    """The hem that goes with a chest: as it is where both are even or both odd, else a stitch nearer to the chest."""
    if "hem" not in counts or "chest" not in held:
        return {}
    hem, chest = counts["hem"].count, held["chest"]
    if counts["hem"].comes == "reckoned":
        return {"hem": chest}
    return {"hem": hem + (1 if chest > hem else -1)} if (chest - hem) % 2 else {}
