"""One make in, the whole answer out: the only place that knows the order of the steps.

The report is data: codes and numbers, no prose (``fitcheck.words`` has the sentences). It is a function of the
records that the make names and of nothing else: equal records give an equal report, byte for byte.
"""

from __future__ import annotations

import hashlib
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fitcheck.advice.decide.decision import MOST_READINGS, Action, Recommendation, recommend
from fitcheck.advice.decide.remedies import PIECE_TO_PIECE, SPRINGS_BACK, SPRINGS_BACK_SD, DecisionState
from fitcheck.advice.decide.situation import decision_state
from fitcheck.advice.ease import ease_of
from fitcheck.advice.hands import pools
from fitcheck.advice.judge.explanation import Explanation, KnownFabric
from fitcheck.advice.judge.points import HowRead, PiecePoint
from fitcheck.advice.judge.verdict import PieceVerdict, PointVerdict, judge_piece
from fitcheck.advice.rest.planned import REPEATED, planned_counts, repeat_of, size_table_of
from fitcheck.advice.tape import Taped, estimated_once, taped
from fitcheck.advice.target.parts import Part, fabric_direction, total
from fitcheck.advice.target.wanted import Target, Targets, stage_of, targets
from fitcheck.estimates.numbers import Assumed, CannotSay, Estimate, Quantity, quantity
from fitcheck.estimates.piece import VAGUE, CountedDirection, PieceReading, StitchSizePrior, piece_posterior
from fitcheck.estimates.readings import Pool
from fitcheck.estimates.student import MANY_DOF
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.faults import Question
from fitcheck.records.hand import OVERHANG_MM
from fitcheck.records.households import Household, by_key
from fitcheck.records.makes import Counts, Make, Piece
from fitcheck.records.named import named_by
from fitcheck.records.plausibility import questions
from fitcheck.records.points import BODY, DECIDING_FIRST, KNITTED, ORDER, POINTS, PieceKind
from fitcheck.records.readings import MAX_LOOKS
from fitcheck.reports.choose import chosen_make, chosen_piece
from fitcheck.reports.shapes import (
    SCHEMA,
    ActionReport,
    Advice,
    AlterationReport,
    DirectionReport,
    EaseReport,
    ExplanationReport,
    FirstPiece,
    GaugeReport,
    Head,
    Help,
    PointReport,
    Report,
)

if TYPE_CHECKING:
    from fitcheck.advice.fabric.answer import FabricAnswer
    from fitcheck.advice.fabric.of_make import FabricOf
    from fitcheck.advice.sizes.answers import SizesAnswer
    from fitcheck.estimates.fabric.fit import Fabric

READING_ID = re.compile(r'("text":"(?:[^"\\]|\\.)*","unit":"[a-z]+"),"id":"[^"]*"')
"""A reading's id in the JSON text of a record."""
NINE_IN_TEN = 1.6449
"""Half width of a normal interval that holds nine in ten, in SDs."""

ABOVE_UNDERARM_SHARE = 1 / 3
"""Share of a body piece from the underarm upward (common practice, no source)."""


def report(
    source: str | Path | bytes | Mapping[str, Any] | Household,
    *,
    make: str | None = None,
    piece: str | None = None,
) -> Report:
    """Answer for one make: is the piece right, and what now?

    source  a household file (path, bytes or mapping) or a household already opened
    make    key of the make; None takes the only one
    piece   key of the piece; None takes the last piece that was read and not replaced

    Raises RecordsError with every fault when the records are wrong, ReportError when make or piece is unknown.
    """
    from fitcheck.records.files import open_household

    household = source if isinstance(source, Household) else open_household(source)
    with estimated_once():
        return _Answer(household, chosen_make(household, make), piece).report()


@dataclass(frozen=True, slots=True)
class _Read:
    """One point ready to be judged: the target, the point, and its length that is no plain fabric [mm].

    count  stitches or rows of a carried point, which is judged without them
    """

    target: Target
    point: PiecePoint
    band_mm: float
    count: float | None = None


@dataclass(frozen=True, slots=True)
class _Before:
    """What the fabric without this piece says of its stitch and row size, at its dial."""

    fabric: Fabric
    dial: float | None

    def prior(self, direction: CountedDirection, /) -> StitchSizePrior | None:
        return self.fabric.prior(direction, self.dial)


class _Answer:
    """The steps of one report, in their order."""

    def __init__(self, household: Household, make: Make, piece: str | None) -> None:
        self.household = household
        self.make = make
        self.piece = chosen_piece(make, piece)
        self.garment = by_key(household.garments, make.fits.garment)
        self.wearer = by_key(household.wearers, make.wearer)
        yarn = make.yarn or (self.piece.yarn if self.piece else None)
        self.yarn = by_key(household.yarns, yarn)
        self._questions: tuple[Question, ...] | None = None
        self._pooled: tuple[Pool, Pool] | None = None
        self.after: FabricOf | None = None
        self.piece_sd = PIECE_TO_PIECE
        self.swatches = [swatch for swatch in household.swatches if swatch.id in make.swatches]
        self.occasion = by_key(self.garment.occasions, make.fits.occasion) if self.garment else None

    def report(self) -> Report:
        """Work through the steps and put the report together."""
        if self.piece is None:
            nothing = CannotSay(
                "no_piece",
                "no piece of this make was read",
                "Lay a washed and blocked piece flat and read it.",
            )
            return self._assemble(nothing)
        tape, laid = self._pools()
        asked = self._counts_asked()
        # A count that is asked about feeds nothing until it is answered, neither the fabric nor the plan.
        self.after = self._fabric(tape, frozenset({self.piece.id}) if asked else frozenset())
        stitch, row = self._sizes(tape)
        found = targets(self.make, self.piece, self.household, stitch=stitch, row=row, pool=tape, overhang_pool=laid)
        if asked:
            found = replace(
                found, points=tuple(replace(one, count=None) if one.key in asked else one for one in found.points)
            )
        if found.state is None:
            why = CannotSay("not_read", "the piece was not read at any stage", "Read it washed, blocked and dry.")
            return self._assemble(why, found)
        read = self._read(found)
        if found.state != "blocked":
            carried = self._carried(read, found.state)
            if isinstance(carried, CannotSay):
                return self._assemble(carried, found)
            read = carried
        if not read:
            return self._assemble(
                CannotSay(
                    "nothing_to_compare",
                    "no point was read that anything says how large it should be",
                    "Read the same point on the piece and on the garment, or the overhang.",
                ),
                found,
            )
        points = [one.point for one in read]
        looks = {one.target.key: _looks(one.target) for one in read}
        verdict = judge_piece(points, self._prior(tape) if found.state == "blocked" else None, looks=looks)
        if found.state != "blocked":
            verdict = replace(verdict, difference_cov_mm2=self._carried_together(verdict, read))
        doubted = self._doubted(verdict.explanation)
        if doubted is not None:
            # A count in doubt feeds neither the fabric nor the plan: what it would say is said without it.
            self.after = self._fabric(tape, frozenset({self.piece.id}))
        state = self._state(read, verdict, max(looks.values()), found, doubted)
        if any(one.point.pinned for one in read):
            held = CannotSay(
                "pinned",
                "the piece was read while pins held it: it measures its pins",
                "Take the pins out, wait until the next day, and read it lying free.",
            )
            return self._assemble(held, found, read, verdict)
        advice = recommend(state, self.make.costs)
        answer = self._assemble(None, found, read, verdict, state, advice)
        as_if = self._as_if(read, verdict, doubted) if advice.reason == "miscount" else None
        return answer if doubted is None or as_if is None else self._as_if_counted(answer, doubted, as_if)

    def _as_if_counted(self, answer: Report, doubted: str, count: int) -> Report:
        """The ways to go on as they will be if the doubted count turns out as the tape says.

        A plan that rests on a count in doubt is no plan, and one that knows no count there forgets that those of
        the other pieces are known: so it is worked out with the count that the tape stands for.
        """
        assert self.piece is not None
        counts = self.piece.counts
        counted = {**counts, doubted: counts[doubted].model_copy(update={"counted": count})}
        told = self._told_otherwise(self.piece.model_copy(update={"counts": counted}))
        if isinstance(told.recommendation, CannotSay) or told.recommendation.reason == "miscount":
            return answer
        assert isinstance(answer.recommendation, Advice)
        kept = [one for one in answer.actions if one.code == "measure_again"]
        ways = [one for one in told.actions if one.code != "measure_again"]
        return replace(
            answer,
            recommendation=replace(answer.recommendation, then=told.recommendation.then),
            actions=(*ways, *kept),
        )

    def _told_otherwise(self, piece: Piece) -> Report:
        """The report if this piece had been written down as `piece`."""
        pieces = [piece if other is self.piece else other for other in self.make.pieces]
        make = self.make.model_copy(update={"pieces": pieces})
        makes = [make if other is self.make else other for other in self.household.makes]
        return report(self.household.model_copy(update={"makes": makes}), make=make.id, piece=piece.id)

    # -- the steps -------------------------------------------------------------------------------------

    def _pools(self) -> tuple[Pool, Pool]:
        """Pool the hands: every reading of this make's pieces, garment and swatches, and the household's sets."""
        if self._pooled is not None:
            return self._pooled
        stages = [stage for piece in self.make.pieces for stage in piece.stages]
        readings = [one for stage in stages for one in stage.readings.values()]
        if self.occasion:
            readings += list(self.occasion.readings.values())
        readings += [one for swatch in self.swatches for stage in swatch.stages for one in (stage.across, stage.along)]
        overhangs = [one for stage in stages for one in stage.overhangs.values()]
        reads = frozenset({self.make.id, self.garment.id if self.garment else "", *self.make.swatches})
        self._pooled = pools(readings, overhangs, self.household.tape, reads)
        return self._pooled

    def _sizes(self, pool: Pool) -> tuple[Estimate | None, Estimate | None]:
        """Stitch width and row height that the piece itself tells, for what its seams swallow [mm]."""
        assert self.piece is not None
        place = stage_of(self.piece)
        if place is None:
            return None, None
        if self.piece.stages[place].kind != "blocked":
            return self._sizes_of_fabric()
        stage = self.piece.stages[place]
        sizes: list[Estimate | None] = []
        for direction in ("across", "along"):
            counted = []
            for key, listed in stage.readings.items():
                counts = self.piece.counts.get(key)
                if POINTS[key].direction != direction or not counts or direction in stage.pinned:
                    continue
                one = taped(listed, pool)
                if one is not None and counts.best and not (direction == "along" and self._has_band(key)):
                    counted.append(PieceReading(counts.best, one.estimate))
            if not counted:
                sizes.append(None)
                continue
            own = piece_posterior(counted, VAGUE["across" if direction == "across" else "along"])
            sizes.append(Estimate(own.size_mm, own.size_mm * own.log_size.u, own.dof))
        return sizes[0], sizes[1]

    def _sizes_of_fabric(self) -> tuple[Estimate | None, Estimate | None]:
        """Stitch width and row height that the swatches promise a piece that is not blocked yet [mm]."""
        if self.after is None:
            return None, None
        gauge = self.after.fabric.gauge(self.after.dial)
        if isinstance(gauge, CannotSay):
            return None, None
        across, along = gauge.across, gauge.along
        return (
            Estimate(across.value, across.value * across.sd, basis=across.basis),
            Estimate(along.value, along.value * along.sd, basis=along.basis),
        )

    def _has_band(self, key: str) -> bool:
        return any(band.edge == POINTS[key].band and band.how != "added_later" for band in self.make.bands)

    def _fabric(self, pool: Pool, without: frozenset[str] = frozenset()) -> FabricOf | None:
        """The fabric of the make's swatches and pieces; None where this piece is all there is."""
        others = [piece for piece in self.make.pieces if piece is not self.piece and piece.stages]
        if not self.swatches and not others:
            return None
        from fitcheck.advice.fabric.of_make import fabric_of

        return fabric_of(self.make, self.household, pool, without=without)

    def _prior(self, pool: Pool) -> KnownFabric | None:
        """What was known of this piece's stitch and row size before it was read."""
        assert self.piece is not None
        before = self._fabric(pool, frozenset({self.piece.id})) if self.after else None
        if before is None:
            return None
        dial = self.piece.dial.position(before.marks) if self.piece.dial else before.dial
        return None if before.fabric.refuses(dial) else _Before(before.fabric, dial)

    def _carried(self, read: list[_Read], stage: str) -> list[_Read] | CannotSay:
        """The points of a piece that is not blocked yet, with the lengths that it will have washed and blocked."""
        assert self.piece is not None
        own = self.after.fabric.specimen(self.piece.id) if self.after and self._in_fabric() else None
        if own is None or isinstance(own, CannotSay):
            return CannotSay(
                "cannot_carry",
                "the piece is not washed and blocked, and no swatch of this yarn was measured before and after",
                "Wash and block it as the garment will be washed, let it dry, and read it again.",
            )
        assert self.after is not None
        change = self.after.fabric.change(stage)
        listed = []
        for one in read:
            along = fabric_direction(one.target.key) == "along"
            size, percent = (own.along, change.along) if along else (own.across, change.across)
            measured, count = one.point.measured, one.point.count
            if measured is None:
                continue
            spread = (math.log1p(percent.high / 100) - math.log1p(percent.low / 100)) / (2 * NINE_IN_TEN)
            if count is not None:
                length, u = count * size.value, count * size.value * size.sd
            else:
                length = measured.value * (1 + percent.value / 100)
                u = math.hypot(length * spread, measured.u)
            carried = Estimate(length, u, measured.dof, basis="mixed")
            point = replace(one.point, measured=carried, count=None, overhang=None, pinned=False, piece_read=None)
            listed.append(replace(one, point=point, count=count))
        return listed

    def _in_fabric(self) -> bool:
        return bool(self.after and self.piece and self.piece.id in {one.key for one in self.after.specimens})

    def _carried_together(self, verdict: PieceVerdict, read: list[_Read]) -> Any:
        """Covariance of carried lengths: those of one direction are off together, for they share one stitch size."""
        covariance = verdict.difference_cov_mm2.copy()
        for i, one in enumerate(read):
            for j, other in enumerate(read):
                if i != j and fabric_direction(one.target.key) == fabric_direction(other.target.key):
                    mine, theirs = one.point.measured, other.point.measured
                    assert mine is not None
                    assert theirs is not None
                    covariance[i, j] += mine.u * theirs.u
        return covariance

    def _next_piece(self) -> tuple[float, dict[str, float]]:
        """Spread of the next piece's stitch size about this one's, and how far it is expected off it, per direction."""
        if not self.after or not self.piece or not self._in_fabric():
            return PIECE_TO_PIECE, {}
        pair = self.after.fabric.pair(self.piece.id)
        if isinstance(pair, CannotSay):
            return PIECE_TO_PIECE, {}
        cov = pair.across.cov
        spread = math.sqrt(max(1e-8, float(cov[0, 0] + cov[1, 1] - 2 * cov[0, 1])))
        moved = {
            direction: math.exp(float(one.mean[1] - one.mean[0]))
            for direction, one in (("across", pair.across), ("along", pair.along))
        }
        return spread, moved

    def _read(self, found: Targets) -> list[_Read]:
        """The points that can be judged, in the order in which they were knitted."""
        ready = []
        for target in found.points:
            if target.refused is not None or (target.measured is None and target.overhang is None):
                continue
            wanted, measured = target.wanted, target.measured
            if wanted is None:
                low, high = POINTS[target.key].plausible
                usual = (low + high) / 2 * target.garment_scale
                wanted = Estimate(usual, basis="assumed")
                measured = None
            elif target.reference is not None:
                # What is wanted was read with the same hands as the piece: one variance estimate, not two.
                own = target.reference.estimate
                wanted = replace(wanted, source=own.source, dof=min(wanted.dof, own.dof))
            band = target.not_plain_mm if target.count and target.direction == "along" else 0.0
            if band and min(wanted.value, measured.value if measured else math.inf) <= band:
                band = 0.0
            plain = None if measured is None else replace(measured, value=measured.value - band)
            over = target.overhang_difference
            piece_read = target.taped or target.overhang_taped
            point = PiecePoint(
                target.key,
                target.direction,
                replace(wanted, value=wanted.value - band),
                plain,
                target.tolerance_mm,
                target.count if target.direction != "edge" else None,
                over,
                _how(piece_read),
                _how(target.reference, target.garment_scale, wanted.u),
                target.pinned,
            )
            if plain is not None or over is not None:
                ready.append(_Read(target, point, band))
        return sorted(ready, key=lambda one: KNITTED.get(one.target.key, len(KNITTED)))

    def _state(
        self, read: list[_Read], verdict: PieceVerdict, looks: int, found: Targets, doubted: str | None
    ) -> DecisionState:
        """What the decision looks at: the verdict, what is still to be knitted, doubts that come first."""
        assert self.piece is not None
        kind = self.piece.piece
        other_kind: dict[str, PieceKind] = {"back": "front", "front": "back"}
        partner = other_kind.get(kind)
        ratios: dict[str, float] = {}
        others: dict[str, tuple[float, float]] = {}
        if partner is not None:
            planned = planned_counts(self.make, self.household, partner)
            for key, counts in self.piece.counts.items():
                if key in planned and counts.best and key != doubted and key not in self._counts_asked():
                    ratios[key] = planned[key] / counts.best
            others = self._knitted_partner(partner)
        self.piece_sd, moved = self._next_piece()
        for one in read:
            if one.target.direction in moved:
                ratios[one.target.key] = ratios.get(one.target.key, 1.0) * moved[one.target.direction]
        row = self.piece.counts.get("to_underarm")
        return decision_state(
            [
                replace(one.point, count=None if one.target.key == doubted else one.point.count or one.count)
                for one in read
            ],
            verdict,
            looks=looks,
            weights={one.target.key: one.target.weight for one in read},
            ratios=ratios,
            others=others,
            piece_sd=self.piece_sd,
            swallowed_mm={one.target.key: _swallowed(one.target) for one in read},
            holds=self.yarn.holds_a_stretch if self.yarn else None,
            body=kind in BODY,
            more=bool(self._to_knit()),
            wild=self._wild(read),
            miscount=doubted,
            underarm_row=row.best if row else None,
            carried=found.state != "blocked",
            repeats=dict.fromkeys(REPEATED, repeat_of(self.make, size_table_of(self.make, self.household))[0]),
        )

    def _as_if(self, read: list[_Read], verdict: PieceVerdict, doubted: str | None) -> int | None:
        """The count of the doubted point that goes with its tape reading and the piece's own stitch or row size."""
        point = next((one.point for one in read if one.target.key == doubted), None)
        if point is None or point.measured is None or point.direction == "edge":
            return None
        found = verdict.explanation.directions.get(point.direction)
        if found is not None and found.point == doubted and found.stitches and point.count:
            return max(1, round(point.count) + found.stitches)
        size = verdict.explanation.sizes.get(point.direction)
        return max(1, round(point.measured.value / size.value)) if size is not None else None

    def _to_knit(self) -> list[PieceKind]:
        """Kinds of pieces of this construction that were not read at any stage yet; none of a finished make."""
        if self.make.finished:
            return []
        own = self.piece.piece if self.piece else None
        kinds = {piece.piece for piece in self.make.pieces if piece.stages}
        return [one for one in CONSTRUCTIONS[self.make.construction].pieces if one not in kinds and one != own]

    def _knitted_partner(self, kind: PieceKind) -> dict[str, tuple[float, float]]:
        """Differences of the other body piece where it is knitted, blocked and read [mm]."""
        for piece in reversed(self.make.standing):
            if piece.piece != kind:
                continue
            found = targets(self.make, piece, self.household)
            if found.state == "blocked":
                known = {one.key: one.difference or one.overhang_difference for one in found.points}
                return {key: (one.value, one.u) for key, one in known.items() if one is not None}
        return {}

    def _wild(self, read: list[_Read]) -> list[str]:
        """Points with a reading or count of this piece or its garment that is asked about and not answered."""
        assert self.piece is not None
        mine = [f"makes[{self.make.id}].pieces[{self.make.pieces.index(self.piece)}].", f"makes[{self.make.id}].fits."]
        if self.garment is not None and self.occasion is not None:
            mine.append(f"garments[{self.garment.id}].occasions[{self.garment.occasions.index(self.occasion)}].")
        asked = [one.place for one in self._asked() if one.place.startswith(tuple(mine))]
        return [one.target.key for one in read if any(re.search(rf"\.{one.target.key}\b", place) for place in asked)]

    def _counts_asked(self) -> frozenset[str]:
        """Points of this piece whose count is asked about and not answered."""
        assert self.piece is not None
        at = f"makes[{self.make.id}].pieces[{self.make.pieces.index(self.piece)}].counts."
        return frozenset(one.place.removeprefix(at) for one in self._asked() if one.place.startswith(at))

    def _doubted(self, explanation: Explanation) -> str | None:
        """The point whose count is doubted and was not counted on the piece yet."""
        assert self.piece is not None
        for found in explanation.directions.values():
            if found.code not in ("miscount", "cast_on"):
                continue
            suspects = [found.point] if found.point else list(found.z)
            for key in suspects:
                counts = self.piece.counts.get(key)
                if counts and counts.counted is None:
                    return key
        return None

    # -- the report ------------------------------------------------------------------------------------

    def _assemble(
        self,
        cannot: CannotSay | None,
        found: Targets | None = None,
        read: list[_Read] | None = None,
        verdict: PieceVerdict | None = None,
        state: DecisionState | None = None,
        advice: Recommendation | None = None,
    ) -> Report:
        read = read or []
        by_key = {one.target.key: one for one in read}
        deciding = advice.deciding if advice else ()
        points = []
        if verdict is not None:
            judged = {one.key: one for one in verdict.points}
            for key in sorted(by_key, key=ORDER.__getitem__):
                points.append(
                    _point(by_key[key], judged[key], key in deciding, carried=bool(found and found.state != "blocked"))
                )
        recommendation: Advice | CannotSay
        if advice is not None and state is not None:
            recommendation = _advice(advice, state, carried=bool(found and found.state != "blocked"))
            if self.make.finished:
                recommendation = replace(
                    recommendation,
                    action="carry_on",
                    then="carry_on",
                    reason="finished",
                    about=None,
                    side=None,
                    readings=None,
                )
                advice = replace(advice, actions=tuple(_too_late(one) for one in advice.actions))
            elif advice.reason == "wild_reading":
                recommendation = replace(recommendation, hangs=self._hangs())
        else:
            assert cannot is not None
            recommendation = cannot
        fabric, sizes = self._fabric_and_sizes()
        first = self._first(fabric, sizes)
        return Report(
            SCHEMA,
            self._digest(),
            self._head(found, read),
            recommendation,
            tuple(self._action(one, read) for one in advice.actions) if advice else (),
            tuple(points),
            dict(found.refused) if found else {},
            _explanation(verdict.explanation) if verdict else CannotSay("not_judged", "no point was judged"),
            self._gauge(verdict, found),
            self._ease(found),
            self._assumed(found, read, advice),
            self._helps(found, read, verdict, state, advice) if first is None else self._helps_begin(first),
            self._asked(),
            self._cautions(found),
            fabric,
            sizes,
            first,
        )

    def _first(self, fabric: FabricAnswer | None, sizes: SizesAnswer | None) -> FirstPiece | None:
        """The first piece of a make that has none: its planned counts, else the best size's, else free ones."""
        if self.piece is not None or self.make.finished:
            return None
        from fitcheck.advice.sizes.choice import LIKELY_ENOUGH

        kind = CONSTRUCTIONS[self.make.construction].pieces[0]
        best = fabric.dials.best if fabric is not None else None
        dial = None
        if fabric is not None:
            dial = fabric.dial if best is None or isinstance(best, CannotSay) else best.dial
        counts = planned_counts(self.make, self.household, kind)
        if counts:
            return FirstPiece(kind, counts, self.make.size if not self.make.planned.get(kind) else None, True, dial)
        at = sizes.advised or sizes if sizes is not None else None
        if at is None or sizes is None or isinstance(at.best, CannotSay):
            return FirstPiece(kind, {}, None, False, dial)
        of_best = sizes.size(at.best)
        fit = sizes.advised.all_fit if sizes.advised is not None else of_best.all_fit if of_best is not None else None
        likely = isinstance(fit, float) and fit >= LIKELY_ENOUGH
        free = at.free_counts
        if not likely and not isinstance(free, CannotSay) and free.all_fit >= LIKELY_ENOUGH:
            return FirstPiece(kind, {one.key: one.count for one in free.counts if one.piece == kind}, None, True, dial)
        chosen = planned_counts(self.make.model_copy(update={"size": at.best}), self.household, kind)
        return FirstPiece(kind, chosen, at.best, likely, dial)

    def _helps_begin(self, first: FirstPiece) -> tuple[Help, ...]:
        """What would help most before the first piece: what it shall fit, a swatch, counts; then reading it."""
        helps = [] if self.make.fits.is_said else [Help("say_fits")]
        if not self.swatches:
            helps.append(Help("swatches"))
        if not first.counts:
            helps.append(Help("say_counts"))
        return (*helps, Help("read_first"))[:3]

    def _fabric_and_sizes(self) -> tuple[FabricAnswer | None, SizesAnswer | None]:
        """What the swatches and the size table answer, where the make has them."""
        if not self.swatches and self.make.size_table is None:
            return None, None
        from fitcheck.advice.fabric.answer import fabric_answer
        from fitcheck.advice.sizes.table import look_at_table
        from fitcheck.advice.sizes.which_size import sizes_of

        pool, _ = self._pools()
        if self.after is None:
            self.after = self._fabric(pool)
        known = self.after
        looked = look_at_table(self.make, self.household, pool)
        fabric = None
        if self.swatches and known:
            fabric = fabric_answer(self.make, self.household, pool, known, looked=looked)
        if self.make.size_table is None:
            return fabric, None
        # What is seamed to a piece keeps its dial, whatever another would bring.
        best = fabric.dials.best if fabric is not None and fabric.dials.keeps is None else None
        sizes = sizes_of(
            self.make,
            self.household,
            known.fabric if known else None,
            pool=pool,
            dial=known.dial if known else None,
            looked=looked,
            advised=None if best is None or isinstance(best, CannotSay) else best.position,
        )
        return fabric, sizes

    def _head(self, found: Targets | None, read: list[_Read]) -> Head:
        stage = self.piece.stages[found.stage] if self.piece and found and found.stage is not None else None
        listed = [one for group in (stage.readings, stage.overhangs) for one in group.values()] if stage else []
        counting = [reading for readings in listed for reading in readings if reading.counts]
        days = [reading.at.isoformat() for reading in counting if reading.at]
        latest = max(days) if days else (stage.on.isoformat() if stage and stage.on else None)
        return Head(
            self.make.id,
            self.make.name,
            self.wearer.name if self.wearer else None,
            self.garment.name if self.garment else None,
            self.piece.id if self.piece else None,
            self.piece.piece if self.piece else None,
            found.state if found else None,
            len(counting),
            max((reading.look for reading in counting), default=0),
            latest,
            self.household.invented,
            bool(found and found.state not in (None, "blocked") and read),
            tuple(self._to_knit()),
            self.make.finished.isoformat() if self.make.finished else None,
        )

    def _action(self, action: Action, read: list[_Read]) -> ActionReport:
        grams = None
        weight = self._piece_grams()
        if weight is not None and action.impossible is None:
            if action.code == "knit_again":
                grams = weight
            elif action.code == "rip_back":
                grams = weight * ABOVE_UNDERARM_SHARE
            else:
                grams = self._more_yarn(action, read, weight)
        # The state keeps the order in which the points were knitted; pinned points are not in it.
        keys = [one.point.key for one in read if not one.point.pinned]
        return ActionReport(
            action.code,
            action.cost,
            action.expected_loss,
            action.chance,
            dict(sorted(zip(keys, action.chances, strict=False), key=lambda one: ORDER[one[0]])),
            tuple(
                AlterationReport(one.point, one.by, one.mm, one.stitches, one.count, one.left_mm)
                for one in action.alterations
            ),
            action.stretch[0] if action.stretch else None,
            100 * action.stretch[1] if action.stretch else None,
            grams,
            action.impossible,
            self._dial_of_the_plan(read) if action.code == "knit_again" and action.impossible is None else None,
        )

    def _more_yarn(self, action: Action, read: list[_Read], weight: float) -> float | None:
        """Yarn that what is still to be knitted takes more (+) or less (-) than planned [g]; None without a change.

        A wider piece takes more by its share of stitches; rows at a lower end are that share of the piece's
        length, in the twin that is altered alike, and in this piece where rows are added to it. Rows that come
        off this piece were knitted already.
        """
        lengths = {one.target.key: one.target.measured.value for one in read if one.target.measured is not None}
        wider = [
            weight * one.stitches / (one.count - one.stitches)
            for one in action.alterations
            if one.by == "other_body_piece" and one.stitches and one.count
        ]
        ends = [
            weight * one.mm / lengths[one.point]
            for one in action.alterations
            if one.by in ("hem", "cuff_band") and lengths.get(one.point)
        ]
        if not wider and not ends:
            return None
        front = max(wider, key=abs, default=0.0)
        rows = min(ends, key=abs, default=0.0)
        twin = rows if {"front", "back", "sleeve"} & set(self._to_knit()) else 0.0
        return front + twin + max(0.0, rows)

    def _dial_of_the_plan(self, read: list[_Read]) -> str | None:
        """The click at which the planned counts would come out right where they do not at this piece's dial.

        None unless the swatches tell the slope of the dial, and every planned width then lies within what is
        allowed.
        """
        if not self.after or not self.piece or self.piece.dial is None:
            return None
        fabric, marks = self.after.fabric, self.after.marks
        if fabric.slope("across").share_from_data < 0.5:
            return None
        planned = planned_counts(self.make, self.household, self.piece.piece)
        listed = [
            (planned.get(one.target.key) or own.planned, one)
            for one in read
            if one.target.direction == "across"
            and one.target.wanted is not None
            and ((own := self.piece.counts.get(one.target.key, Counts())).planned or one.target.key in planned)
        ]
        machine = self.after.machine
        clicks = machine.clicks() if machine else []
        if not listed or not clicks:
            return None

        def worst(stitch: float) -> float:
            off = []
            for count, one in listed:
                assert one.target.wanted is not None
                lack = (count or 0) * stitch - one.target.wanted.value
                off.append(abs(lack) / one.target.tolerance_mm[0 if lack < 0 else 1])
            return max(off)

        dials = [one.position(marks) for one in (self.piece.dial, *clicks)]
        here, *there = [worst(math.exp(one.log_mean)) for one in fabric.priors("across", dials)]
        least = min(there)
        return clicks[there.index(least)].written() if least < 1.0 <= here else None

    def _piece_grams(self) -> float | None:
        weighed = [stage.grams for stage in self.piece.stages if stage.grams] if self.piece else []
        return weighed[-1] if weighed else None

    def _gauge(self, verdict: PieceVerdict | None, found: Targets | None) -> tuple[GaugeReport, ...]:
        if verdict is None or self.piece is None:
            return ()
        listed = []
        for direction in ("across", "along"):
            size = verdict.explanation.sizes.get("across" if direction == "across" else "along")
            if size is not None:
                listed.append(_gauge(self.piece.id, "blocked", direction, size))
        return tuple(listed)

    def _ease(self, found: Targets | None) -> tuple[EaseReport, ...]:
        """Ease of the finished garment as it is wanted, where the body was measured."""
        if found is None or self.wearer is None:
            return ()
        flat = {}
        for target in found.points:
            said = self.make.fits.numbers.get(target.key)
            if target.source == "overhang" or (said is not None and said.meant == "piece"):
                continue
            finished = [
                Part(one.code, one.estimate, one.weight / target.garment_scale)
                for one in target.parts
                if one.code in ("figure", "number", "body", "ease", "wish")
            ]
            if finished:
                flat[target.key] = total(finished)
        return tuple(
            EaseReport(one.key, quantity(one.ease, "mm"), one.code or None) for one in ease_of(flat, self.wearer)
        )

    def _assumed(self, found: Targets | None, read: list[_Read], advice: Recommendation | None) -> tuple[Assumed, ...]:
        """What was taken for granted; what costs most certainty first."""
        listed = list(found.assumed) if found else []
        taped_shares, laid_shares = [0.0], [0.0]
        for one in read:
            known = one.target.difference
            own = one.target.measured
            if known is not None and own is not None and own.basis == "assumed" and known.u:
                theirs = one.target.reference.estimate.u * one.target.garment_scale if one.target.reference else 0.0
                taped_shares.append(min(1.0, (own.u**2 + theirs**2) / known.u**2))
            over, laid = one.target.overhang, one.target.overhang_difference
            if over is not None and laid is not None and over.basis == "assumed" and laid.u:
                beside = 1.0 if known is None else known.u**2 / (known.u**2 + laid.u**2)
                laid_shares.append(min(1.0, over.u**2 / laid.u**2) * beside)
        if max(taped_shares):
            listed.append(Assumed("tape_hand", "", 3.0, None, "mm", max(taped_shares)))
        if max(laid_shares):
            listed.append(Assumed("overhang_hand", "", OVERHANG_MM, None, "mm", max(laid_shares)))
        if any(one.target.wanted is None for one in read):
            listed.append(Assumed("level"))
        if advice is not None:
            if self.piece_sd == PIECE_TO_PIECE:
                listed.append(Assumed("piece_to_piece", "", 100 * PIECE_TO_PIECE, None, "percent"))
            if any(one.code == "block_again" and one.impossible is None for one in advice.actions):
                listed.append(Assumed("springs_back", "", 100 * SPRINGS_BACK, 100 * SPRINGS_BACK_SD, "percent"))
        for one in read:
            if one.target.taped and one.target.taped.laying_assumed:
                listed.append(Assumed("one_laying", self.piece.id if self.piece else ""))
                break
        for one in read:
            if one.target.reference and one.target.reference.laying_assumed:
                listed.append(Assumed("one_laying", self.garment.id if self.garment else ""))
                break
        unique = list(dict.fromkeys((one.code, one.about) for one in listed))
        first = {(one.code, one.about): one for one in reversed(listed)}
        return tuple(sorted((first[key] for key in unique), key=lambda one: -one.share))

    def _helps(
        self,
        found: Targets | None,
        read: list[_Read],
        verdict: PieceVerdict | None,
        state: DecisionState | None,
        advice: Recommendation | None,
    ) -> tuple[Help, ...]:
        """What would help, most useful first; three at most."""
        helps: list[Help] = []
        if found is None or found.state not in (None, "blocked"):
            helps.append(Help("wash_and_block"))
        if advice is None or verdict is None or state is None or self.make.finished:
            return () if self.make.finished else tuple(helps)
        if found is not None and found.state != "blocked":
            # Until it is washed nothing else would tell as much.
            return tuple(helps)
        labels = {one.key: one.verdict for one in verdict.points}
        if advice.reason == "wild_reading":
            helps.append(Help("answer_question", advice.about))
        if advice.reason == "miscount":
            direction = POINTS[advice.about].direction
            helps.append(Help("count_rows" if direction == "along" else "count_stitches", advice.about))
        if advice.reason == "worth_measuring":
            asked = next(one for one in state.points if one.key == advice.about)
            helps.append(Help("read_again", advice.about, asked.side, asked.readings_needed))
        keys = {one.target.key for one in read}
        uncounted = [
            one.target.key for one in read if one.target.count is None and one.target.key in ("chest", "hem", "waist")
        ]
        off = [key for key in uncounted if labels[key].code != "matches"]
        if uncounted:
            helps.append(Help("count_stitches", (off or uncounted)[0]))
        blocked = next((one for one in advice.actions if one.code == "block_again"), None)
        small = [key for key, one in labels.items() if one.code != "matches" and one.difference < 0]
        if blocked and blocked.impossible and blocked.impossible.code == "fibre_unsaid" and small:
            helps.append(Help("say_fibre"))
        for key in advice.deciding:
            label = labels[key]
            few = label.readings_needed is not None and label.readings_needed <= MOST_READINGS
            if label.code == "too_close" and few and key != advice.about and state.looks < MAX_LOOKS:
                helps.append(Help("read_again", key, label.side, label.readings_needed))
        for key in DECIDING_FIRST:
            lacks = CONSTRUCTIONS[self.make.construction].lacks
            if key not in keys and self.piece and self.piece.piece in POINTS[key].pieces and key not in lacks:
                helps.append(Help("read_point", key))
        codes = {one.code for one in found.assumed} if found else set()
        if any(one.target.taped and one.target.taped.layings < 2 for one in read):
            helps.append(Help("lay_again"))
        if "reference_state" in codes or any(code.startswith("growth") for code in codes):
            helps.append(Help("reference_state"))
        if not self.swatches:
            helps.append(Help("swatches"))
        return tuple(dict.fromkeys(helps))[:3]

    def _hangs(self) -> bool:
        """Whether the plan is another with what is questioned on this piece than without it.

        With it: every questioned reading is confirmed. Without it: it is set aside, where it is one reading of
        several; a questioned count or only reading cannot be left out, and then the advice hangs on it.
        """
        assert self.piece is not None
        at = self.make.pieces.index(self.piece)
        place = re.compile(
            rf"makes\[{re.escape(self.make.id)}\]\.pieces\[{at}\]\.stages\[(\d+)\]\.(\w+)\.(\w+)\[(\d+)\]"
        )
        plans = []
        for change in ({"confirmed": True}, {"set_aside": "questioned"}):
            piece = self.piece
            for one in self._asked():
                found = place.fullmatch(one.place)
                if found is None:
                    return True
                stage = piece.stages[int(found[1])]
                listed = list(getattr(stage, found[2])[found[3]])
                if len(listed) < 2 and one.code != "overhang_against_tape":
                    return True
                # An overhang against the tape is about all the overhangs of the point.
                every = one.code == "overhang_against_tape"
                for number in range(len(listed)) if every else (int(found[4]),):
                    listed[number] = listed[number].model_copy(update=change)
                kept = stage.model_copy(update={found[2]: {**getattr(stage, found[2]), found[3]: listed}})
                stages = [kept if other is stage else other for other in piece.stages]
                piece = piece.model_copy(update={"stages": stages})
            answer = self._told_otherwise(piece)
            if isinstance(answer.recommendation, CannotSay) or answer.recommendation.reason == "wild_reading":
                return True
            then = next(one for one in answer.actions if one.code == answer.recommendation.then)
            changes = tuple((one.point, one.by, one.stitches) for one in then.alterations)
            plans.append((answer.recommendation.action, then.code, changes))
        return plans[0] != plans[1]

    def _asked(self) -> tuple[Question, ...]:
        """What is unlikely in the records that the make names, and not confirmed."""
        if self._questions is None:
            named = named_by(self.make, self.household)
            self._questions = tuple(replace(one, place=self._by_key(one.place, named)) for one in questions(named))
        return self._questions

    def _by_key(self, place: str, named: Household) -> str:
        """A place with the record's key instead of its number: the same whatever else the household keeps."""
        found = re.match(r"([a-z_]+)\[(\d+)\]", place)
        if not found:
            return place
        return f"{found[1]}[{getattr(named, found[1])[int(found[2])].id}]{place[found.end() :]}"

    def _cautions(self, found: Targets | None) -> tuple[str, ...]:
        """Codes of what to ask oneself about the reference, and of the usual cautions that apply to this make."""
        fibres = {share.fibre for share in self.yarn.fibres} if self.yarn else set()
        codes = list(found.asks) if found else []
        if fibres & {"wool", "alpaca", "mohair"} or not fibres:
            codes.append("felting")
        if "acrylic" in fibres or not fibres:
            codes.append("steam_acrylic")
            if self.piece and any(stage.blocking == "steamed" for stage in self.piece.stages) and "acrylic" in fibres:
                codes.append("steamed_acrylic")
        codes.append("care_label")
        if self.swatches:
            codes += ["wash_alike", "small_sample"]
        if self.wearer and self.wearer.child:
            codes.append("children")
        codes.append("advice_only")
        return tuple(codes)

    def _digest(self) -> str:
        # A reading's id is the store's business: the same readings without ids give the same report.
        text = READING_ID.sub(r"\1", named_by(self.make, self.household).model_dump_json(exclude_defaults=True))
        asked = f"{self.make.id} {self.piece.id if self.piece else ''}"
        return hashlib.sha256(f"{SCHEMA} {asked} {text}".encode()).hexdigest()


def _looks(target: Target) -> int:
    sides = (target.taped, target.overhang_taped, target.reference)
    return max((side.looks for side in sides if side is not None), default=1)


def _how(side: Taped | None, scale: float = 1.0, u_mm: float | None = None) -> HowRead | None:
    """How a side was read, on the piece's scale; what of its uncertainty u is not the tape's no reading removes."""
    if side is None:
        return None
    fixed = max(0.0, u_mm**2 - (scale * side.estimate.u) ** 2) if u_mm is not None else 0.0
    return HowRead(scale * side.s_mm, side.readings, scale * side.resolution_mm, fixed)


def _too_late(action: Action) -> Action:
    """Every way but carrying on is closed once the make is finished."""
    if action.code == "carry_on" or action.impossible is not None:
        return action
    return Action(action.code, action.cost, impossible=CannotSay("finished", "the make is finished"))


def _advice(found: Recommendation, state: DecisionState, *, carried: bool) -> Advice:
    asked = next((one for one in state.points if one.key == found.about), None)
    tape = found.reason == "worth_measuring" and asked is not None
    return Advice(
        found.action.code,
        found.then.code,
        "wash_and_block" if tape and carried else found.reason,
        found.about or None,
        asked.side if tape and asked and not carried else None,
        asked.readings_needed if tape and asked and not carried else None,
        found.value_of_measuring,
        found.deciding,
    )


def _point(read: _Read, judged: PointVerdict, decides: bool, *, carried: bool) -> PointReport:
    target, label = read.target, judged.verdict
    wanted = target.wanted
    measured = None
    if wanted is not None:
        length = judged.measured
        measured = quantity(replace(length, value=length.value + read.band_mm), "mm")
    code = "on_the_line" if label.reason == "on_the_line" else label.code
    difference = Quantity(
        label.difference,
        label.low,
        label.high,
        label.level,
        label.u,
        _finite(label.dof),
        "mm",
        label.estimate.basis,
    )
    return PointReport(
        target.key,
        POINTS[target.key].name,
        target.direction,
        POINTS[target.key].flat,
        quantity(wanted, "mm") if wanted is not None else None,
        measured,
        quantity(target.measured, "mm") if target.measured is not None else None,
        difference,
        _finite(label.tolerance_mm[0]),
        _finite(label.tolerance_mm[1]),
        code,
        judged.alone.code,
        label.reason,
        label.side,
        label.readings_needed,
        label.chance_within,
        target.count,
        (target.taped.readings if target.taped else 0)
        + (target.overhang_taped.readings if target.overhang_taped else 0),
        target.reference.readings if target.reference else 0,
        target.source,
        target.garment_figure.value if target.garment_figure else None,
        decides,
        target.weight,
        quantity(target.overhang_taped.estimate, "mm") if target.overhang_taped else None,
        math.fsum(one.weight * one.estimate.value for one in target.parts if one.code.startswith("seam_")),
        carried,
    )


def _swallowed(target: Target) -> float:
    """What the seams at both ends of a point swallow [mm]."""
    parts = [one for one in target.parts if one.code in ("seam_stitch", "seam_overlap")]
    return math.fsum(one.weight * one.estimate.value for one in parts)


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) and value < MANY_DOF else None


def _explanation(found: Explanation) -> ExplanationReport:
    listed = [
        DirectionReport(
            direction,
            one.code,
            one.point,
            one.stitches,
            one.stitches_low,
            one.stitches_high,
            one.percent,
            quantity(one.size, "mm") if one.size else None,
            dict(one.weights),
        )
        for direction, one in found.directions.items()
    ]
    return ExplanationReport(found.code, found.direction, found.point, tuple(listed))


def _gauge(of: str, stage: str, direction: str, size: Estimate) -> GaugeReport:
    """Size of a stitch or row [mm] with its interval, and what that makes per 10 cm and per 4 in."""
    mm = quantity(size, "mm")

    def per(span_mm: float) -> Quantity:
        value = span_mm / mm.value
        return Quantity(
            value,
            span_mm / mm.high,
            span_mm / max(mm.low, 1e-9),
            mm.level,
            value * mm.u / mm.value,
            mm.dof,
            "1",
            mm.basis,
        )

    return GaugeReport(of, stage, direction, mm, per(100.0), per(101.6))
