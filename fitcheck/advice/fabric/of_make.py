"""From the records to one fabric: which swatches and pieces are pooled, which are not, and why not.

Pooled is what belongs to the make's group (``advice.groups``); what disagrees is left out and named. A swatch of it
that was washed or blocked in another way keeps what was read before (fit rules 2 and 14, model 8b).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Literal, TypeVar

from fitcheck.advice.groups import SETTINGS, GroupAsked, SwatchGroup, agree, finish_of, grouped, said_of
from fitcheck.advice.hands import pools
from fitcheck.advice.stretch import lengthened
from fitcheck.advice.tape import Taped, finest, taped
from fitcheck.advice.unanswered import lists_asked_about, sure_of
from fitcheck.estimates.fabric.assumptions import (
    BLOCKED,
    DEFAULT,
    DIRECTIONS,
    FIBRES,
    Assumptions,
    Direction,
    FinishedShift,
    Prior,
    assumptions_for,
)
from fitcheck.estimates.fabric.fit import Fabric, fit_fabric
from fitcheck.estimates.fabric.specimens import PointReading, Specimen, SpecimenStage
from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.readings import Pool
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household, by_key
from fitcheck.records.machines import MARKS, Dial, Machine
from fitcheck.records.makes import Make, Piece
from fitcheck.records.places import Place
from fitcheck.records.points import POINTS
from fitcheck.records.questions.question import Question
from fitcheck.records.readings import Reading
from fitcheck.records.stages import PieceStage, Stage, SwatchStage
from fitcheck.records.swatches import Span, Swatch

SWATCH = "swatch "
"""Stands before the key of a swatch that a piece has too: keys of records hold no blanks, so this is nobody else's."""

_BEFORE_WASHING = ("off_machine", "rested")
_VAGUE_SHIFT_SD = 0.10
"""SD of the prior of ln(piece / swatch) while a finished make tells its own: wide enough to say nothing."""

LeftOutCode = Literal[
    "other_yarn",
    "other_machine",
    "other_carriage",
    "other_strands",
    "other_tension",
    "other_weights",
    "other_needles",
    "other_pattern",
    "other_treatment",
    "other_blocking",
    "pinned",
    "after_washing",
    "count_in_doubt",
    "stretched",
    "felted",
    "asked_about",
    "no_readings",
]


@frozen
class LeftOut:
    """A swatch or piece that is not pooled, or a part of it.

    key     its key
    code    why: other_<setting>, pinned (a direction held by pins), after_washing (a stage from before
            washing, read on what was washed already), count_in_doubt (a point of a piece), stretched (what a piece
            gained between its blockings), felted (a piece), asked_about (readings of a swatch, or its counts),
            no_readings
    detail  what it has: the setting as written, the pinned or stretched direction, the stage, the point, the
            direction of the readings
    usual   what the fabric has instead; empty where that says nothing
    """

    key: str
    code: LeftOutCode
    detail: str = ""
    usual: str = ""


@frozen(eq=False)
class FabricOf:
    """The fabric of a make, fitted to everything that may be pooled.

    fabric     the fitted model
    specimens  the swatches and pieces in it
    swatches   every swatch of the make by the key of its specimen, pooled or not, without what is asked about
    groups     the swatches in groups of one fabric, the one that is taken first
    asked      which group it is, where neither make nor pieces say so
    left_out   what is not in it, and why
    dial       dial of the next piece [numbers]: that of the last piece, None where nobody said it; else of the newest
               swatch
    written    the same as it is written, 7.1
    machine    the machine, where it is known
    marks      marks between two dial numbers
    assumed    codes of what the records left unsaid: tape_hand, one_laying, fibre_unsaid, dial_unsaid (of a swatch),
               piece_dial_unsaid, dial_of_swatch
    learned    keys of the finished makes whose shift from swatch to piece replaced the usual one
    """

    fabric: Fabric
    specimens: tuple[Specimen, ...]
    swatches: Mapping[str, Swatch]
    groups: tuple[SwatchGroup, ...]
    asked: GroupAsked | None
    left_out: tuple[LeftOut, ...]
    dial: float | None
    written: str | None
    machine: Machine | None
    marks: int
    assumed: tuple[str, ...]
    learned: tuple[str, ...]

    def without(self, key: str) -> FabricOf:
        """The same fabric fitted without one of its pieces, for judging that one by the others; the rest stays."""
        others = tuple(specimen for specimen in self.specimens if specimen.key != key)
        if len(others) == len(self.specimens):
            return self
        return replace(self, fabric=fit_fabric(others, self.fabric.assumptions), specimens=others)


def fabric_of(
    make: Make,
    household: Household,
    pool: Pool | None = None,
    *,
    doubts: frozenset[tuple[str, str]] = frozenset(),
    asked: Sequence[Question] = (),
) -> FabricOf:
    """Fit the fabric of a make to its swatches and pieces.

    The reference is the make's yarn and machine, for the rest its pieces, the last first, and then the largest group of
    its swatches. Finished makes in `learns_from` replace the prior of the shift from swatch to piece.

    pool     the household's repeatability of tape readings; None = the usual hand
    doubts   counts in doubt, by the keys of piece and point: nothing is learned from what they count
    asked    questions that are open: what they ask about a swatch is left out of it
    """
    fitted = _Pooling(make, household, pool, doubts, asked)
    learned = {key: _shift_of(key, household, pool) for key in make.learns_from}
    shifts = {key: shift for key, shift in learned.items() if shift is not None}
    assumptions = assumptions_for(fitted.fibre, tuple(shifts.values()))
    return fitted.fit(assumptions, tuple(shifts))


def _shift_of(key: str, household: Household, pool: Pool | None) -> FinishedShift | None:
    """What a finished make says of ln(piece / swatch), its own earlier makes not asked again."""
    make = next((make for make in household.makes if make.id == key and make.finished is not None), None)
    if make is None:
        return None
    pooling = _Pooling(make, household, pool)
    vague = Prior(0.0, _VAGUE_SHIFT_SD)
    base = replace(DEFAULT, shift_across=vague, shift_along=vague)
    shift = pooling.fit(assumptions_for(pooling.fibre, base=base), ()).fabric.piece_shift()
    return shift if shift.across is not None or shift.along is not None else None


def by_itself(swatch: Swatch, household: Household) -> dict[tuple[str, Direction], Estimate]:
    """What a swatch says of its stitch width and row height per stage [mm], the same in every make and in none.

    The hand is the one of its own readings and of what the household froze of its other records.
    """
    lists = [listed for stage in swatch.stages for listed in (stage.across, stage.along)]
    pool, _ = pools(lists, [], household.tape, frozenset({swatch.id}))
    sizes = {}
    for kind, stage in _current(swatch.stages)[0].items():
        steps = finest((stage.across, stage.along))
        for direction, readings, span in _ways(swatch, stage):
            read = taped(readings, pool, steps=steps) if span is not None and direction not in stage.pinned else None
            if read is not None and span is not None:
                sizes[kind, direction] = _over(read, span)
    return sizes


def _ways(swatch: Swatch, stage: SwatchStage) -> tuple[tuple[Direction, Sequence[Reading], Span | None], ...]:
    return (DIRECTIONS[0], stage.across, swatch.stitches), (DIRECTIONS[1], stage.along, swatch.rows)


def _over(read: Taped, span: Span) -> Estimate:
    """Size of one stitch or row [mm]: what the tape says over what it spans."""
    whole = read.estimate
    value, u = whole.value / span.between, whole.u / span.between
    return Estimate(value, u, whole.dof, whole.outliers, whole.source, whole.basis)


def _swatches(make: Make, household: Household) -> list[Swatch]:
    return [swatch for swatch in household.swatches if swatch.id in make.swatches]


def newest_first(swatches: Iterable[Swatch]) -> list[Swatch]:
    """Swatches by the day of their latest stage; of one day, or of none, the one that was added later comes first."""
    dated = [
        (max((stage.on for stage in swatch.stages if stage.on), default=date.min), place, swatch)
        for place, swatch in enumerate(swatches)
    ]
    return [swatch for _, _, swatch in sorted(dated, key=lambda entry: entry[:2], reverse=True)]


_AnyStage = TypeVar("_AnyStage", bound=Stage)


def _current(stages: Sequence[_AnyStage]) -> tuple[dict[str, _AnyStage], list[str]]:
    """The last stage of each kind, and kinds from before washing that were read after it.

    What was washed once and lies about again is no longer the fabric that came off the machine.
    """
    current: dict[str, _AnyStage] = {}
    late: list[str] = []
    washed = False
    for stage in stages:
        if washed and stage.kind in _BEFORE_WASHING:
            late.append(stage.kind)
            continue
        washed = washed or stage.kind == "blocked"
        current[stage.kind] = stage
    return current, late


class _Pooling:
    """One make's swatches and pieces on their way into one fabric."""

    def __init__(
        self,
        make: Make,
        household: Household,
        pool: Pool | None,
        doubts: frozenset[tuple[str, str]] = frozenset(),
        asked: Sequence[Question] = (),
    ) -> None:
        self.make = make
        self.pool = pool
        self.doubts = doubts
        self.asked = asked
        self.swatches = newest_first(_swatches(make, household))
        self.groups = grouped(make, self.swatches)
        self.usual = self.groups.usual
        self.machine = by_key(household.machines, self.usual["machine"])
        self.marks = self.machine.marks if self.machine else MARKS
        yarn = by_key(household.yarns, self.usual["yarn"])
        fibre = {"superwash_wool": "superwash"}.get(yarn.main_fibre or "", yarn.main_fibre) if yarn else None
        self.fibre_said = fibre is not None
        self.fibre = fibre if fibre in FIBRES else None
        self.left_out: list[LeftOut] = []
        self.assumed: list[str] = []

    def fit(self, assumptions: Assumptions, learned: tuple[str, ...]) -> FabricOf:
        keys = {piece.id for piece in self.make.pieces}
        order = {key: place for place, key in enumerate(self.make.swatches)}
        specimens: list[Specimen] = []
        swatches: dict[str, Swatch] = {}
        for swatch in sorted(self.swatches, key=lambda swatch: order[swatch.id]):
            key = swatch.id if swatch.id not in keys else f"{SWATCH}{swatch.id}"
            pooled = self._belongs(key, swatch)
            sure = self._sure(key, swatch)
            if sure is None:
                continue
            swatches[key] = sure
            if pooled:
                specimens += self._kept(self._swatch(key, self._finished_alike(key, sure)))
        for piece in self.make.pieces:
            if piece.felted:
                self.left_out.append(LeftOut(piece.id, "felted"))
            elif piece.stages and self._belongs(piece.id, piece) and not any(self._other_finish(piece.id, piece)):
                specimens += self._kept(self._piece(piece, assumptions))
        if any(specimen.apart for specimen in specimens):
            self._take("piece_dial_unsaid")
        if any(specimen.dial is None and not specimen.piece for specimen in specimens):
            self._take("dial_unsaid")
        if not self.fibre_said:
            self._take("fibre_unsaid")
        dial = self._next_dial()
        return FabricOf(
            fabric=fit_fabric(specimens, assumptions),
            specimens=tuple(specimens),
            swatches=swatches,
            groups=self.groups.groups,
            asked=self.groups.asked,
            left_out=tuple(self.left_out),
            dial=self._position(dial),
            written=dial.written() if dial else None,
            machine=self.machine,
            marks=self.marks,
            assumed=tuple(self.assumed),
            learned=learned,
        )

    def _position(self, dial: Dial | None) -> float | None:
        return dial.position(self.marks) if dial else None

    def _next_dial(self) -> Dial | None:
        """Dial of the next piece: pieces that are seamed together keep one; None where nobody said it."""
        for piece in reversed(self.make.standing):
            if piece.dial or piece.stages:
                return piece.dial
        for swatch in self.swatches:
            if swatch.dial and not any(self._unequal(swatch)):
                self._take("dial_of_swatch")
                return swatch.dial
        return None

    def _take(self, code: str) -> None:
        if code not in self.assumed:
            self.assumed.append(code)

    def _unequal(self, record: Swatch | Piece) -> Iterable[tuple[LeftOutCode, str, str]]:
        beside = self.swatches if isinstance(record, Swatch) else ()
        for field, said in said_of(record, beside).items():
            usual = self.usual[field]
            if not agree(field, said, usual):
                yield SETTINGS[field], said, usual  # type: ignore[misc]

    def _belongs(self, key: str, record: Swatch | Piece) -> bool:
        unequal = [LeftOut(key, *difference) for difference in self._unequal(record)]
        self.left_out += unequal
        return not unequal

    def _other_finish(self, key: str, record: Swatch | Piece) -> list[LeftOut]:
        """In what it was washed or blocked otherwise than the fabric; said so."""
        finish = finish_of(record).items()
        other = [
            LeftOut(key, f"other_{field}", said, self.usual[field])  # type: ignore[arg-type]
            for field, said in finish
            if not agree(field, said, self.usual[field])
        ]
        self.left_out += other
        return other

    def _finished_alike(self, key: str, swatch: Swatch) -> Swatch:
        """The swatch, without what it measured since it was washed and blocked in another way."""
        if not self._other_finish(key, swatch):
            return swatch
        before = [stage for stage in swatch.stages if stage.kind in _BEFORE_WASHING]
        return swatch.model_copy(update={"stages": before})

    def _sure(self, key: str, swatch: Swatch) -> Swatch | None:
        """The swatch without what is asked about; None where nothing is left of it."""
        asked = [question for question in self.asked if question.place.within(Place("swatches", swatch.id))]
        sure = sure_of(swatch, asked) if asked else swatch
        if sure is None:
            self.left_out.append(LeftOut(key, "asked_about"))
        elif sure is not swatch:
            directions = dict.fromkeys(
                str(path[-1]) for path in lists_asked_about(question.place for question in asked)
            )
            self.left_out += [LeftOut(key, "asked_about", direction) for direction in sorted(directions)]
        return sure

    def _kept(self, specimen: Specimen) -> list[Specimen]:
        if any(stage.across or stage.along for stage in specimen.stages) or specimen.points:
            return [specimen]
        if not any(left.key == specimen.key for left in self.left_out):
            self.left_out.append(LeftOut(specimen.key, "no_readings"))
        return []

    def _stages(self, key: str, stages: Sequence[_AnyStage]) -> dict[str, _AnyStage]:
        current, late = _current(stages)
        self.left_out += [LeftOut(key, "after_washing", kind) for kind in dict.fromkeys(late)]
        return current

    def _read(self, readings: Sequence[Reading], steps: Mapping[str, float]) -> Taped | None:
        figure = taped(readings, self.pool, steps=steps)
        if figure is None:
            return None
        if figure.laying_assumed:
            self._take("one_laying")
        if figure.estimate.basis == "assumed":
            self._take("tape_hand")
        return figure

    def _pinned(self, key: str, stage: Stage, direction: Direction) -> bool:
        if direction not in stage.pinned:
            return False
        self._leave_out(LeftOut(key, "pinned", direction))
        return True

    def _leave_out(self, part: LeftOut) -> None:
        if part not in self.left_out:
            self.left_out.append(part)

    def _swatch(self, key: str, swatch: Swatch) -> Specimen:
        read = [
            SpecimenStage(kind, *self._sizes(key, swatch, stage))
            for kind, stage in self._stages(key, swatch.stages).items()
        ]
        return Specimen(key, self._position(swatch.dial), False, tuple(read))

    def _sizes(self, key: str, swatch: Swatch, stage: SwatchStage) -> list[Estimate | None]:
        """Stitch width and row height of one stage [mm]: what the tape says over what it spans."""
        steps = finest((stage.across, stage.along))
        sizes: list[Estimate | None] = []
        for direction, readings, span in _ways(swatch, stage):
            figure = None
            if readings and span is not None and not self._pinned(key, stage, direction):
                figure = self._read(readings, steps)
            if figure is None or span is None:
                sizes.append(None)
                continue
            sizes.append(_over(figure, span))
        return sizes

    def _piece(self, piece: Piece, assumptions: Assumptions) -> Specimen:
        points = []
        for kind, stage in self._stages(piece.id, piece.stages).items():
            points += self._points(piece, kind, stage, assumptions)
        return Specimen(piece.id, self._position(piece.dial), True, (), tuple(points))

    def _points(self, piece: Piece, kind: str, stage: PieceStage, assumptions: Assumptions) -> list[PointReading]:
        """Points of one stage whose stitches or rows are known, less a stretch and bands that are no plain fabric."""
        steps = finest(stage.readings.values())
        longer = lengthened(piece) if kind == BLOCKED else {}
        points = []
        for key, readings in stage.readings.items():
            direction, counts = POINTS[key].direction, piece.counts.get(key)
            if direction == "edge" or counts is None or counts.best is None:
                continue
            if (piece.id, key) in self.doubts:
                self._leave_out(LeftOut(piece.id, "count_in_doubt", key))
                continue
            if self._pinned(piece.id, stage, direction):
                continue
            figure = self._read(readings, steps)
            if figure is None:
                continue
            band = self._band(key, kind, assumptions)
            if longer.get(direction, 1.0) > 1.0:
                self._leave_out(LeftOut(piece.id, "stretched", direction))
            plain = figure.estimate.value / longer.get(direction, 1.0) - band.value
            if plain <= 0:
                continue
            length = replace(figure.estimate, value=plain, u=math.hypot(figure.estimate.u, band.u))
            points.append(PointReading(direction, counts.best, length, kind))
        return points

    def _band(self, key: str, stage: str, assumptions: Assumptions) -> Estimate:
        """Length of the point that is a band [mm].

        Its depth is said of the finished garment; before washing it is taken to be off by as much as plain
        fabric is assumed to be, with the doubt of that.
        """
        edge = POINTS[key].band
        if edge in ("", "neck"):
            return Estimate(0.0)
        depth = math.fsum(band.mm_in_piece for band in self.make.bands if band.edge == edge)
        if not depth or stage == BLOCKED:
            return Estimate(depth)
        change = assumptions.change(stage, "along")
        before = depth * math.exp(-change.mean)
        return Estimate(before, before * change.sd)
