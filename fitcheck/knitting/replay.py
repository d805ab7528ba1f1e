"""Knitting a sheet through in figures: from its lines alone, needle by needle, as the knitter would.

Nothing here knows how plans are made. Each line is held against what the bed can do and against what the sheet itself
says of carriage, needles and stitches; the first line that cannot be knitted ends the replay, because nobody knows what
lies on the bed after it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from fitcheck.knitting.lines import Sheet, SheetLine
from fitcheck.records.frozen import frozen

FaultCode = Literal[
    "outside_bed",
    "carriage_elsewhere",
    "not_at_carriage",
    "rest_at_carriage",
    "twice_at_one_counter",
    "edge_jumps",
    "too_few_stitches",
    "cast_off_of_resting",
    "counter_runs_back",
    "count_differs",
    "needles_differ",
    "not_the_parked_loops",
    "step_higher_than_two_rows",
    "stitches_left_on_the_bed",
    "resting_at_the_end",
    "ends_differ",
    "drop_differs",
    "side_unsaid",
]
"""Why a sheet cannot be knitted.

outside_bed                a needle that the bed does not have
carriage_elsewhere         the rows knitted leave the carriage at the other side, or it cannot be brought over
not_at_carriage            casting off, casting on or one needle more where the carriage is not
rest_at_carriage           needles rest where the carriage comes from: its next row would pass them by
twice_at_one_counter       one edge is shaped twice before a row is knitted
edge_jumps                 an edge narrowed by more than 2 or widened by more than 1 at once
too_few_stitches           fewer loops than the act moves or takes
cast_off_of_resting        loops that rest are cast off or moved
counter_runs_back          the counter shows less than before, and nobody set it
count_differs              the sheet says another number of stitches, rows or loops
needles_differ             the sheet says other needles
not_the_parked_loops       no group of that name is on waste yarn, or it has other loops
step_higher_than_two_rows  a needle rests while the one beside it knits more than 2 rows
stitches_left_on_the_bed   loops are in the way of what is cast on or hung back, or left when all is done
resting_at_the_end         loops still rest when all is done
ends_differ                other groups, or with other stitches, than planned
drop_differs               a shoulder falls by other rows than planned
side_unsaid                a line that does not say where, of which group, or to which figure
"""

NARROW_AT_MOST, WIDEN_AT_MOST = 2, 1
"""Stitches that an edge is moved by at once: more leaves a hole or a knot (common practice, no source)."""
HIGHEST_STEP = 2
"""Rows that a needle may knit more than a resting one beside it: short rows are knitted there and back."""


@frozen
class ReplayFault:
    """Why a sheet cannot be knitted, and where.

    code     why
    line     place of the line among the unfolded ones, from 0; their number where all was knitted and the end is wrong
    part     its part; empty for the end
    counter  what the counter shows there [rows]; None where nobody said
    read     what the sheet says: a number, a name, a side, needles (first, last), or numbers by their group
    found    what there is instead
    """

    code: FaultCode
    line: int
    part: str = ""
    counter: int | None = None
    read: object = None
    found: object = None


@frozen
class Replay:
    """What came of knitting a sheet.

    faults   of the first line that cannot be knitted, or of the end; empty where there are none
    rows     knitted, all parts together
    loops    knitted
    widths   stitches knitted in each row, in the order of knitting
    ends     group on waste yarn or cast off together -> its stitches
    heights  the same group -> rows from the cast-on up to each of its needles, from left to right; a stitch that was
             cast on at an edge stands as high as its neighbour
    """

    faults: tuple[ReplayFault, ...]
    rows: int
    loops: int
    widths: tuple[int, ...]
    ends: Mapping[str, int]
    heights: Mapping[str, tuple[int, ...]]


def replay(
    sheet: Sheet, *, needles: int, ends: Mapping[str, int] | None = None, drops: Mapping[str, int] | None = None
) -> Replay:
    """Knit a sheet through.

    sheet    its lines are read, and the rows and loops that its head says
    needles  on the bed, half of them on either side [1]; an odd one more on the left
    ends     group -> stitches that are to come of it; None for those that the sheet says
    drops    group -> rows that its innermost needle is to have more than its outermost; None for those of the sheet

    Rows, loops and ends are those up to the fault where there is one.
    """
    lines = sheet.unfolded()
    knitting = _Knitting(needles, sheet.head.carriage)
    for number, line in enumerate(lines):
        knitting.do(number, line)
        if knitting.faults:
            break
    else:
        knitting.end(
            len(lines),
            (sheet.head.rows, sheet.head.loops),
            sheet.ends if ends is None else ends,
            sheet.drops if drops is None else drops,
        )
    return Replay(
        tuple(knitting.faults),
        len(knitting.widths),
        sum(knitting.widths),
        tuple(knitting.widths),
        {name: len(group.rows) for name, group in knitting.off.items()},
        {name: tuple(group.rows) for name, group in knitting.off.items()},
    )


@dataclass(slots=True)
class _Loops:
    """Loops side by side.

    first   needle of the leftmost
    rows    height of each [rows]
    rests   whether each of them rests
    """

    first: int = 0
    rows: list[int] = field(default_factory=list)
    rests: list[bool] = field(default_factory=list)

    def __len__(self) -> int:
        return len(self.rows)

    def cut(self, start: int, end: int) -> _Loops:
        """Take the loops from one place up to another away, which is at an end."""
        taken = _Loops(self.first + start, self.rows[start:end], self.rests[start:end])
        del self.rows[start:end], self.rests[start:end]
        if start == 0:
            self.first += end
        return taken


class _Knitting:
    """The bed, what is off it, the counter and the carriage, from line to line."""

    def __init__(self, needles: int, carriage: str) -> None:
        self.lowest, self.highest = -(needles - needles // 2), needles // 2 - 1
        self.bed = _Loops()
        self.work = (0, 0)  # places of the loops in work, from the first up to the one after the last
        self.off: dict[str, _Loops] = {}
        self.cast: set[str] = set()  # groups of those off the bed that cannot come back
        self.counter: int | None = None
        self.carriage = carriage
        self.widths: list[int] = []
        self.shaped: set[str] = set()
        self.faults: list[ReplayFault] = []
        self.here: tuple[int, str, int | None] = (0, "", None)

    def do(self, number: int, line: SheetLine) -> None:
        """Knit up to a line and do what it says."""
        self.here = (number, line.part, line.counter)
        self._knit_up_to(line)
        if not self.faults:
            self._carriage_of(line)
        if self.faults:
            return
        act = getattr(self, f"_{line.act}")
        act(line)
        self._find_work()
        if not self.faults:
            self._hold_against(line)

    def end(self, lines: int, said: tuple[int, int], ends: Mapping[str, int], drops: Mapping[str, int]) -> None:
        """Hold what has come of it against what was to come."""
        self.here = (lines, "", self.counter)
        knitted = (len(self.widths), sum(self.widths))
        if len(self.bed):
            self._fault("stitches_left_on_the_bed", found=len(self.bed))
        for name, group in self.off.items():
            if any(group.rests):
                self._fault("resting_at_the_end", name, sum(group.rests))
        found = {name: len(group) for name, group in self.off.items()}
        if found != dict(ends):
            self._fault("ends_differ", dict(ends), found)
        for name, rows in drops.items():
            heights = self.off[name].rows if name in self.off else [0]
            if max(heights) - min(heights) != rows:
                self._fault("drop_differs", {name: rows}, {name: max(heights) - min(heights)})
        if said != knitted:
            self._fault("count_differs", said, knitted)

    def _fault(self, code: FaultCode, read: object = None, found: object = None) -> None:
        number, part, counter = self.here
        self.faults.append(ReplayFault(code, number, part, counter, read, found))

    # What lies between two lines

    def _knit_up_to(self, line: SheetLine) -> None:
        if line.counter is None:
            # Rows that nobody said: only setting the counter ends them.
            if line.act != "set_counter":
                self._fault("counter_runs_back", found=self.counter)
            self.carriage = line.carriage
            return
        if self.counter is None:
            self.counter = line.counter
        rows = line.counter - self.counter
        if rows < 0:
            self._fault("counter_runs_back", line.counter, self.counter)
        if rows <= 0:
            return
        start, end = self.work
        loops = end - start
        self.widths += [loops] * rows
        self.bed.rows[start:end] = [height + rows for height in self.bed.rows[start:end]]
        self.shaped.clear()
        self.counter = line.counter
        if rows % 2:
            self.carriage = "left" if self.carriage == "right" else "right"
        if loops < len(self.bed):
            steps = zip(self.bed.rows, self.bed.rows[1:], strict=False)
            highest = max(abs(height - beside) for height, beside in steps)
            if highest > HIGHEST_STEP:
                self._fault("step_higher_than_two_rows", HIGHEST_STEP, highest)

    def _carriage_of(self, line: SheetLine) -> None:
        if line.carriage not in ("left", "right"):
            self._fault("side_unsaid")
        elif line.carriage != self.carriage:
            self._fault("carriage_elsewhere", line.carriage, self.carriage)

    def _find_work(self) -> None:
        """Find the loops in work: those between the resting ones at both ends."""
        rests = self.bed.rests
        if True in rests:
            start = rests.index(False) if False in rests else len(rests)
            end = len(rests) - rests[::-1].index(False) if False in rests else len(rests)
            self.work = (start, end)
        else:
            self.work = (0, len(rests))

    def _hold_against(self, line: SheetLine) -> None:
        start, end = self.work
        if line.after != end - start:
            self._fault("count_differs", line.after, end - start)
        needles = (self.bed.first + start, self.bed.first + end - 1) if end > start else None
        if line.needles != needles:
            self._fault("needles_differ", line.needles, needles)

    # What every shaping of an edge needs

    def _edges(self, line: SheetLine) -> Sequence[str]:
        """The ends of the bed that a line names; none after a fault."""
        sides = {"left": ("left",), "right": ("right",), "both": ("left", "right")}.get(line.at, ())
        if not sides:
            self._fault("side_unsaid")
        if self.shaped.intersection(sides):
            self._fault("twice_at_one_counter", line.at)
        self.shaped.update(sides)
        return () if self.faults else sides

    def _at_carriage(self, line: SheetLine) -> str:
        """The end that a line names, where the carriage must stand; empty after a fault."""
        edges = self._edges(line)
        if edges and list(edges) != [self.carriage]:
            self._fault("not_at_carriage", line.at, self.carriage)
        return "" if self.faults else self.carriage

    def _has(self, stitches: int, enough: int) -> bool:
        """Whether there are enough loops on the bed for what is taken or moved; says so where there are not."""
        if stitches < 1 or len(self.bed) < enough:
            self._fault("too_few_stitches", enough, len(self.bed))
        return not self.faults

    def _outermost_in_work(self, edges: Iterable[str], loops: int) -> bool:
        for edge in edges:
            outermost = self.bed.rests[:loops] if edge == "left" else self.bed.rests[-loops:]
            if any(outermost):
                self._fault("cast_off_of_resting", edge, sum(outermost))
        return not self.faults

    def _grown(self, edge: str, needles: int) -> bool:
        """Whether the bed goes so far; says so where it does not."""
        last = self.bed.first + len(self.bed) - 1
        reached = self.bed.first - needles if edge == "left" else last + needles
        if not self.lowest <= reached <= self.highest:
            self._fault("outside_bed", reached)
        return not self.faults

    # The acts

    def _cast_on(self, line: SheetLine) -> None:
        if len(self.bed):
            self._fault("stitches_left_on_the_bed", found=len(self.bed))
        elif line.needles is None:
            self._fault("needles_differ")
        elif line.needles.first < self.lowest or line.needles.last > self.highest:
            self._fault("outside_bed", line.needles)
        elif line.needles.stitches != line.stitches:
            self._fault("count_differs", line.stitches, line.needles.stitches)
        else:
            self.bed = _Loops(line.needles.first, [0] * line.stitches, [False] * line.stitches)

    _hang = _cast_on  # whatever the loops were before, nothing has been knitted over them here

    def _widen(self, line: SheetLine) -> None:
        edges = self._edges(line)
        if line.stitches > WIDEN_AT_MOST or line.inset < 1:
            self._fault("edge_jumps", line.stitches, min(WIDEN_AT_MOST, line.inset))
        if not edges or not self._has(line.stitches, len(edges) * line.inset + 1):
            return
        if not self._outermost_in_work(edges, line.inset):
            return
        for edge in edges:
            if not self._grown(edge, line.stitches):
                return
            # The loops that move out leave a needle empty; it is filled from the one before it.
            place = line.inset if edge == "left" else len(self.bed) - line.inset
            height = self.bed.rows[place if edge == "left" else place - 1]
            self.bed.rows.insert(place, height)
            self.bed.rests.insert(place, False)
            self.bed.first -= edge == "left"

    def _narrow(self, line: SheetLine) -> None:
        edges = self._edges(line)
        if line.stitches > NARROW_AT_MOST or line.stitches > line.inset:
            self._fault("edge_jumps", line.stitches, min(NARROW_AT_MOST, line.inset))
        moved = line.inset + line.stitches
        if not edges or not self._has(line.stitches, len(edges) * moved):
            return
        if not self._outermost_in_work(edges, moved):
            return
        for edge in edges:
            # The loops that move in lie on those before them: of each two that share a needle one is left.
            place = line.inset if edge == "left" else len(self.bed) - moved
            del self.bed.rows[place : place + line.stitches], self.bed.rests[place : place + line.stitches]
            self.bed.first += line.stitches if edge == "left" else 0

    def _widen_edge(self, line: SheetLine) -> None:
        if line.stitches > WIDEN_AT_MOST:
            self._fault("edge_jumps", line.stitches, WIDEN_AT_MOST)
        self._add(line)

    def _add(self, line: SheetLine) -> None:
        edge = self._at_carriage(line)
        if not edge or not self._has(line.stitches, 1) or not self._outermost_in_work([edge], 1):
            return
        if not self._grown(edge, line.stitches):
            return
        place, height = (0, self.bed.rows[0]) if edge == "left" else (len(self.bed), self.bed.rows[-1])
        self.bed.rows[place:place] = [height] * line.stitches
        self.bed.rests[place:place] = [False] * line.stitches
        self.bed.first -= line.stitches if edge == "left" else 0

    def _cast_off(self, line: SheetLine) -> None:
        edge = self._at_carriage(line)
        if not edge or not self._has(line.stitches, line.stitches + 1):
            return
        if self._outermost_in_work([edge], line.stitches):
            self._cut_off(edge, line.stitches)

    def _cut_off(self, edge: str, stitches: int) -> _Loops:
        loops = len(self.bed)
        return self.bed.cut(0, stitches) if edge == "left" else self.bed.cut(loops - stitches, loops)

    def _rest(self, line: SheetLine) -> None:
        edges = self._edges(line)
        if edges and (len(edges) > 1 or edges[0] == self.carriage):
            self._fault("rest_at_carriage", line.at, self.carriage)
        start, end = self.work
        if not self.faults and not 0 < line.stitches < end - start:
            self._fault("too_few_stitches", line.stitches, end - start)
        if self.faults:
            return
        first = start if edges[0] == "left" else end - line.stitches
        self.bed.rests[first : first + line.stitches] = [True] * line.stitches

    def _wake(self, line: SheetLine) -> None:
        resting = sum(self.bed.rests)
        if not resting:
            self._fault("too_few_stitches", line.stitches, 0)
        elif line.stitches != resting:
            self._fault("count_differs", line.stitches, resting)
        self.bed.rests = [False] * len(self.bed)

    def _park(self, line: SheetLine) -> None:
        edge = line.at if line.at in ("left", "right") else "left" if line.at == "all" else ""
        if not edge or not line.name:
            self._fault("side_unsaid")
        elif line.name in self.off:
            self._fault("not_the_parked_loops", line.name)
        elif line.at == "all" and line.stitches != len(self.bed):
            self._fault("count_differs", line.stitches, len(self.bed))
        elif self._has(line.stitches, line.stitches):
            self._take_off(line, self._cut_off(edge, line.stitches))

    def _take_off(self, line: SheetLine, loops: _Loops) -> None:
        needles = (loops.first, loops.first + len(loops) - 1)
        if line.moved is not None and line.moved != needles:
            self._fault("needles_differ", line.moved, needles)
        self.off[line.name] = loops

    def _cast_off_all(self, line: SheetLine) -> None:
        if not line.name:
            self._fault("side_unsaid")
        elif line.name in self.off:
            self._fault("not_the_parked_loops", line.name)
        elif any(self.bed.rests):
            self._fault("cast_off_of_resting", line.name, sum(self.bed.rests))
        elif line.stitches != len(self.bed):
            self._fault("count_differs", line.stitches, len(self.bed))
        elif self._has(line.stitches, line.stitches):
            self._take_off(line, self._cut_off("left", line.stitches))
            self.cast.add(line.name)

    def _take_back(self, line: SheetLine) -> None:
        group: _Loops | None = None if line.name in self.cast else self.off.get(line.name)
        if not line.name:
            self._fault("side_unsaid")
        elif group is None or len(group) != line.stitches:
            self._fault("not_the_parked_loops", line.stitches, len(group) if group is not None else 0)
        elif line.moved is not None and line.moved != (group.first, group.first + len(group) - 1):
            self._fault("not_the_parked_loops", line.moved, (group.first, group.first + len(group) - 1))
        elif len(self.bed):
            self._fault("stitches_left_on_the_bed", found=len(self.bed))
        else:
            self.bed = self.off.pop(line.name)

    def _mark(self, line: SheetLine) -> None:
        if not line.at:
            self._fault("side_unsaid")

    def _weigh(self, line: SheetLine) -> None:
        if len(self.bed):
            self._fault("stitches_left_on_the_bed", found=len(self.bed))

    def _set_counter(self, line: SheetLine) -> None:
        if line.to is None:
            self._fault("side_unsaid")
        self.counter = line.to
        self.shaped.clear()

    def _move_carriage(self, line: SheetLine) -> None:
        if line.at not in ("left", "right"):
            self._fault("side_unsaid")
        elif len(self.bed):
            self._fault("carriage_elsewhere", line.at, self.carriage)
        else:
            self.carriage = line.at
