"""A plan as a knitting sheet: what the bed holds after each act, what only the knitter does, and marks by the way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from fitcheck.knitting.folding import fold
from fitcheck.knitting.lines import Head, Note, Sheet, SheetLine, Side
from fitcheck.knitting.needles import Span, span_of
from fitcheck.knitting.plan import Event, Part, Plan
from fitcheck.records.frozen import frozen
from fitcheck.records.points import FRONTS

MARKED_EVERY = 40
"""Rows from mark to mark at both edges, where claw weights go up too (common practice, no source)."""
BEFORE_A_MARK = ("cast_on", "hang", "take_back", "widen", "narrow", "widen_edge", "add")
"""Acts of one counter that come before a mark at it: what is marked is the width that they make."""


@frozen
class Notch:
    """A row of this piece that meets one of another when they are sewn.

    part, counter  where it is marked [rows]
    partner        kind of the other piece
    meets          its row [rows]
    """

    part: str
    counter: int
    partner: str
    meets: int


def sheet(plan: Plan, *, rib_rows: int | None = 0, notches: Sequence[Notch] = (), on_waste_yarn: bool = False) -> Sheet:
    """Write a plan as lines.

    rib_rows  rows of the rib that is knitted before the plan begins [rows]; 0 for none, None where nobody said: then a
              line is left for a pencil
    notches   rows that meet those of other pieces
    on_waste_yarn  it is cast on so, with open loops

    What the sheet says of needles and stitches is worked out here; whether it can be knitted is for the replay to say.
    """
    walk = _Walk(plan)
    lines = list(walk.lines(_rib(plan, rib_rows), notches))
    if on_waste_yarn and lines[0].act == "cast_on":
        lines[0] = replace(lines[0], notes=(*lines[0].notes, Note("open_loops")))
    head = Head(
        piece=plan.piece,
        needles=plan.span,
        widest=Span(*walk.widest),
        carriage=lines[0].carriage or plan.parts[0].carriage,
        right_is=_right_is(plan),
        rows=walk.rows,
        loops=walk.loops,
    )
    return Sheet(head, fold(lines), dict(plan.ends), dict(plan.drops))


def _right_is(plan: Plan) -> Literal["wearers_left", "wearers_right", ""]:
    """Which side of the wearer the bed's right is: the purl side faces the knitter (fit rule 13)."""
    if plan.piece == "back":
        return "wearers_left"
    return "wearers_right" if plan.piece in FRONTS else ""


@frozen
class _Rib:
    """A rib before the first part: its rows, None where nobody said, and where the carriage starts."""

    rows: int | None
    carriage: Side


def _rib(plan: Plan, rows: int | None) -> _Rib | None:
    if rows == 0:
        return None
    start = plan.parts[0].carriage
    return _Rib(rows, start if (rows or 0) % 2 == 0 else _other(start))


def _other(side: Side) -> Side:
    return "right" if side == "left" else "left"


@dataclass(slots=True)
class _Bed:
    """Loops from needle to needle; those at the ends may rest."""

    span: Span | None = None
    resting: dict[Side, int] = field(default_factory=lambda: {"left": 0, "right": 0})

    @property
    def in_work(self) -> Span | None:
        if self.span is None:
            return None
        work = Span(self.span.first + self.resting["left"], self.span.last - self.resting["right"])
        return work if work.stitches > 0 else None

    def moved_out(self, side: Side, needles: int) -> None:
        """Move one end of the loops outward, or inward by a negative number."""
        if self.span is not None:
            first, last = self.span
            span = Span(first - needles, last) if side == "left" else Span(first, last + needles)
            self.span = span if span.stitches > 0 else None

    def taken(self, at: str, stitches: int) -> _Bed:
        """Take loops off an end, or all of them."""
        if self.span is None:
            return _Bed()
        if at not in ("left", "right") or stitches >= self.span.stitches:
            off, self.span, self.resting = _Bed(self.span, self.resting), None, {"left": 0, "right": 0}
            return off
        side: Side = "left" if at == "left" else "right"
        first, last = self.span
        span = Span(first, first + stitches - 1) if side == "left" else Span(last - stitches + 1, last)
        resting: dict[Side, int] = {"left": 0, "right": 0, side: min(self.resting[side], stitches)}
        self.moved_out(side, -stitches)
        self.resting[side] -= resting[side]
        return _Bed(span, resting)


class _Walk:
    """One walk through a plan: the bed, what is off it, the counter and the carriage."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.bed = _Bed()
        self.parked: dict[str, _Bed] = {}
        self.counter = 0
        self.carriage: Side = plan.parts[0].carriage
        self.rows = self.loops = 0
        self.widest = (plan.span.first, plan.span.last)

    def lines(self, rib: _Rib | None, notches: Sequence[Notch]) -> Iterator[SheetLine]:
        """Every line, one for each time that something is done."""
        for number, part in enumerate(self.plan.parts):
            told = _marked(part, whole=not self.parked, notches=notches)
            if number == 0 and rib is not None:
                yield from self._rib_lines(next(told)[0], part, rib)
            elif number:
                yield from self._brought_to(part)
            for event, notes in told:
                if event.do == "wake" and event.counter == part.end:
                    notes += (Note("no_row_over_all"),)
                yield self._line(part, event, notes)
            self._knit_to(part.end)

    def _rib_lines(self, cast_on: Event, part: Part, rib: _Rib) -> Iterator[SheetLine]:
        self.counter, self.carriage = 0, rib.carriage
        line = self._done(replace(cast_on, part="rib", counter=0), ())
        yield line
        self.counter, self.carriage = part.start, part.carriage
        if rib.rows is not None:
            self.rows, self.loops = rib.rows, rib.rows * line.after
        note = Note("rib_rows", {"rows": rib.rows}) if rib.rows is not None else Note("rib_rows_unsaid")
        yield replace(line, counter=rib.rows, carriage=part.carriage, act="set_counter", at="", stitches=0,
                      to=part.start, notes=(note,))  # fmt: skip

    def _brought_to(self, part: Part) -> Iterator[SheetLine]:
        """Counter and carriage as a part wants them, where they are not."""
        here = SheetLine(part.name, self.counter, self.carriage, "set_counter",
                         needles=self.bed.in_work, after=self._stitches)  # fmt: skip
        if self.carriage != part.carriage and self.bed.span is None:
            yield replace(here, act="move_carriage", at=part.carriage)
            here = replace(here, carriage=part.carriage)
        if self.counter != part.start:
            yield replace(here, to=part.start)
        self.counter, self.carriage = part.start, part.carriage

    def _line(self, part: Part, event: Event, notes: tuple[Note, ...]) -> SheetLine:
        self._knit_to(event.counter)
        self.carriage = part.carriage_at(event.counter)
        return self._done(event, notes)

    def _knit_to(self, counter: int) -> None:
        rows = counter - self.counter
        self.rows += rows
        self.loops += rows * self._stitches
        self.counter = counter
        if rows % 2:
            self.carriage = _other(self.carriage)

    @property
    def _stitches(self) -> int:
        work = self.bed.in_work
        return work.stitches if work else 0

    def _done(self, event: Event, notes: tuple[Note, ...]) -> SheetLine:
        """Do an event and write its line."""
        bed, sides = self.bed, _sides(event)
        stitches, moved = event.stitches, None
        match event.do:
            case "cast_on":
                bed.span = self.plan.span
                stitches = self.plan.span.stitches
            case "hang":
                bed.span = span_of(stitches)
            case "take_back":
                self.bed = bed = self.parked.pop(event.name, _Bed())
                moved = bed.span
                stitches = bed.span.stitches if bed.span else 0
                resting = sum(bed.resting.values())
                notes += (Note("rests", {"stitches": resting}),) if resting else ()
            case "widen" | "widen_edge" | "add" | "narrow" | "cast_off":
                for side in sides:
                    bed.moved_out(side, -stitches if event.do in ("narrow", "cast_off") else stitches)
            case "rest":
                for side in sides:
                    bed.resting[side] += stitches
            case "wake":
                stitches = sum(bed.resting.values())
                bed.resting = {"left": 0, "right": 0}
            case "park":
                off = bed.taken(event.at, stitches)
                self.parked[event.name], moved = off, off.span
                stitches = off.span.stitches if off.span else 0
            case "cast_off_all":
                stitches = self._stitches
                bed.taken("all", stitches)
        if bed.span is not None:
            self.widest = min(self.widest[0], bed.span.first), max(self.widest[1], bed.span.last)
        return SheetLine(event.part, event.counter, self.carriage, event.do, event.at, stitches, event.inset,
                         event.name, None, moved, bed.in_work, self._stitches, notes)  # fmt: skip


def _sides(event: Event) -> tuple[Side, ...]:
    match event.at:
        case "left":
            return ("left",)
        case "right":
            return ("right",)
        case _:
            return ("left", "right")


def _marked(part: Part, *, whole: bool, notches: Sequence[Notch]) -> Iterator[tuple[Event, tuple[Note, ...]]]:
    """The events of a part with its marks between them, one mark a row with all that is said of it.

    whole  whether both ends of the bed are the piece's own edges
    """
    notes: dict[int, list[Note]] = {}
    if whole:
        for counter in range(MARKED_EVERY * (part.start // MARKED_EVERY + 1), _end_of_sides(part), MARKED_EVERY):
            notes.setdefault(counter, []).append(Note("claws_up"))
    for event in part.events:
        if event.do == "mark":
            notes.setdefault(event.counter, []).append(Note("point", {"point": event.name}))
    for notch in notches:
        if notch.part == part.name:
            meets = Note("meets", {"piece": notch.partner, "counter": notch.meets})
            notes.setdefault(notch.counter, []).append(meets)
    waiting = [(Event(part.name, counter, "mark", "both"), tuple(said)) for counter, said in sorted(notes.items())]
    for event in part.events:
        if event.do == "mark":
            continue
        while waiting and _comes_before(waiting[0][0], event):
            yield waiting.pop(0)
        yield event, ()
    yield from waiting


def _comes_before(mark: Event, event: Event) -> bool:
    return mark.counter < event.counter or (mark.counter == event.counter and event.do not in BEFORE_A_MARK)


def _end_of_sides(part: Part) -> int:
    """The counter at which the side seams of a part end: at the underarm, else with the part."""
    return min((event.counter for event in part.events if event.do in ("cast_off", "rest", "park")), default=part.end)
