"""Somebody who knits a printed sheet from its words alone: rows of cells as they lie on the paper, nothing else.

Knows how a sheet is laid out (counter, carriage, act, needles in work, stitches; under a repeat a box for each time,
its counter above and the stitches below) and what its words mean. Knows nothing of the program that wrote it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

_ACT = re.compile(
    r"(?P<verb>Cast on|Cast off all|Cast off|Set the counter|Widen|Narrow|Bring in|Add|Rest|Back to work all|Waste yarn"
    r"|Hang back|Hang|Mark|Weigh|Carriage)\b(?P<what>.*)"
)
_COUNT_AND_SIDE = re.compile(r" (\d+), (left|right|both sides)")
_NEEDLES = re.compile(r"([LR])(\d+)–([LR])(\d+)")
_REPEAT = re.compile(r"at (\d+), then (.*), (\d+) times, ?last at (\d+)")
_OTHER = {"left": "right", "right": "left"}
OUTER = 3
"""Loops that move where the sheet says "the three outer loops"."""


@dataclass
class Knitted:
    """What came of it.

    troubles  what did not agree with what the paper says, in its words
    off       what went off the bed and did not come back: name and stitches
    rows      knitted
    acts      done, each box once
    """

    troubles: list[str] = field(default_factory=list)
    off: list[tuple[str, int]] = field(default_factory=list)
    rows: int = 0
    acts: int = 0


@dataclass
class _Act:
    counter: str
    carriage: str
    act: str
    needles: str
    stitches: str
    repeat: str = ""
    boxes: list[tuple[str, str]] = field(default_factory=list)


def knit(paper: Sequence[Sequence[str]]) -> Knitted:
    """Knit what the rows of a paper say, one act after the other."""
    knitter = _Knitter()
    for act in _acts(paper):
        knitter.do(act)
    knitter.end()
    return knitter.knitted


def _acts(paper: Sequence[Sequence[str]]) -> list[_Act]:
    """The acts of a paper with their boxes; headings, notes and explanations are passed over."""
    acts: list[_Act] = []
    waiting, above = 0, []  # boxes of the last act that are still to be read; counters above them
    for cells in paper:
        text = " ".join(cells)
        if len(cells) >= 3 and cells[1] in _OTHER and _ACT.match(cells[2]):
            beside = [place for place, cell in enumerate(cells) if place > 2 and _NEEDLES.fullmatch(cell)]
            after = cells[beside[0] :] if beside else []  # before them a short note may stand
            acts.append(_Act(cells[0], cells[1], cells[2], *[*after, "", ""][:2]))
            waiting, above = 0, []
        elif acts and (repeat := _REPEAT.search(text)):
            waiting, acts[-1].repeat = int(repeat[3]), text
        elif waiting and all(cell.isdigit() for cell in cells):
            if not above:
                above = list(cells)
            else:
                acts[-1].boxes += zip(above, cells, strict=True)
                waiting, above = waiting - len(cells), []
    return acts


class _Knitter:
    def __init__(self) -> None:
        self.knitted = Knitted()
        self.loops: dict[int, bool] = {}  # needle -> whether it rests
        self.waste: list[tuple[str, dict[int, bool]]] = []
        self.counter: int | None = None
        self.carriage = ""

    def trouble(self, text: str) -> None:
        self.knitted.troubles.append(text)

    def do(self, act: _Act) -> None:
        if act.repeat:
            if len(act.boxes) < 3 or act.boxes[-1][1] != act.stitches or act.boxes[0][0] != act.counter:
                self.trouble(f"{act.counter} {act.act}: the boxes do not begin and end as its line does")
            for number, (counter, stitches) in enumerate(act.boxes):
                last = number == len(act.boxes) - 1
                carriage = act.carriage if (int(counter) - int(act.boxes[0][0])) % 2 == 0 else _OTHER[act.carriage]
                self.once(_Act(counter, carriage, act.act, act.needles if last else "", stitches))
            if [int(counter) for counter, _ in act.boxes] != _counters(act.repeat):
                self.trouble(f"{act.counter} {act.act}: the boxes are not {act.repeat}")
        else:
            self.once(act)

    def once(self, act: _Act) -> None:
        self.knitted.acts += 1
        self.knit_up_to(act)
        match = _ACT.match(act.act)
        assert match is not None
        before = len(self.knitted.troubles)
        getattr(self, "_" + match["verb"].lower().replace(" ", "_"))(match["what"], act)
        if len(self.knitted.troubles) > before:
            return
        work = sorted(needle for needle, rests in self.loops.items() if not rests)
        if act.stitches != (str(len(work)) if work else ""):
            self.trouble(f"{act.counter} {act.act}: {len(work)} stitches, and the paper says {act.stitches or 'none'}")
        if act.needles and (not work or (work[0], work[-1]) != _ends(act.needles)):
            self.trouble(f"{act.counter} {act.act}: other needles than {act.needles}")
        if work and not act.needles and act.stitches == "":
            self.trouble(f"{act.counter} {act.act}: the paper names no needles")

    def knit_up_to(self, act: _Act) -> None:
        if not act.counter.isdigit():
            self.carriage = act.carriage
            return
        counter = int(act.counter)
        if self.counter is None:
            self.counter, self.carriage = counter, act.carriage
        rows = counter - self.counter
        if rows < 0:
            self.trouble(f"{act.counter} {act.act}: the counter shows {self.counter}")
            return
        self.knitted.rows += rows
        self.counter = counter
        if rows % 2:
            self.carriage = _OTHER[self.carriage]
        if self.carriage != act.carriage:
            self.trouble(f"{act.counter} {act.act}: the carriage is {self.carriage}")

    def sides(self, what: str, act: _Act, *, at_carriage: bool = False) -> tuple[int, list[str]]:
        match = _COUNT_AND_SIDE.fullmatch(what)
        if match is None:
            self.trouble(f"{act.act}: no count and side")
            return 0, []
        sides = ["left", "right"] if match[2] == "both sides" else [match[2]]
        if at_carriage and sides != [self.carriage]:
            self.trouble(f"{act.counter} {act.act}: the carriage is {self.carriage}")
        return int(match[1]), sides

    def outermost(self, side: str, many: int) -> list[int]:
        needles = sorted(self.loops)
        return needles[:many] if side == "left" else needles[::-1][:many]

    def free(self, side: str, many: int) -> list[int]:
        """The next empty needles beyond an end."""
        if not self.loops:
            self.trouble("nothing is on the bed")
            return []
        (end,) = self.outermost(side, 1)
        return [end - 1 - step if side == "left" else end + 1 + step for step in range(many)]

    def take(self, needles: Sequence[int], act: _Act, *, resting: bool = False) -> dict[int, bool]:
        missing = [needle for needle in needles if needle not in self.loops]
        if missing:
            self.trouble(f"{act.counter} {act.act}: nothing on {len(missing)} of these needles")
        taken = {needle: self.loops.pop(needle) for needle in needles if needle in self.loops}
        if any(taken.values()) and not resting:
            self.trouble(f"{act.counter} {act.act}: some of these rest")
        return taken

    def _cast_on(self, what: str, act: _Act) -> None:
        first, last = _ends(act.needles)
        if self.loops or last - first + 1 != int(what):
            self.trouble(f"{act.act}: not {act.needles}")
        self.loops = dict.fromkeys(range(first, last + 1), False)

    def _hang(self, what: str, act: _Act) -> None:
        self._cast_on(what.removesuffix(" loops"), act)

    def _set_the_counter(self, what: str, act: _Act) -> None:
        self.counter = int(what.split()[-1])

    def _carriage(self, what: str, act: _Act) -> None:
        if self.loops:
            self.trouble(f"{act.act}: the bed is not empty")
        self.carriage = "left" if "left" in what else "right"

    def _widen(self, what: str, act: _Act) -> None:
        many, sides = self.sides(what, act)
        for side in sides:
            self.loops.update(dict.fromkeys(self.free(side, many), False))

    def _narrow(self, what: str, act: _Act) -> None:
        many, sides = self.sides(what, act)
        if len(self.loops) < len(sides) * (OUTER + many):
            self.trouble(f"{act.counter} {act.act}: too few stitches")
            return
        for side in sides:
            self.take(self.outermost(side, many), act)

    def _bring_in(self, what: str, act: _Act) -> None:
        self._add(what, act)

    def _add(self, what: str, act: _Act) -> None:
        many, sides = self.sides(what, act, at_carriage=True)
        for side in sides:
            self.loops.update(dict.fromkeys(self.free(side, many), False))

    def _cast_off(self, what: str, act: _Act) -> None:
        many, sides = self.sides(what, act, at_carriage=True)
        for side in sides:
            self.take(self.outermost(side, many), act)

    def _cast_off_all(self, what: str, act: _Act) -> None:
        if int(what) != len(self.loops):
            self.trouble(f"{act.act}: there are {len(self.loops)}")
        self.knitted.off.append(("cast off", len(self.take(list(self.loops), act))))

    def _rest(self, what: str, act: _Act) -> None:
        many, sides = self.sides(what, act)
        if sides == [self.carriage] or len(sides) != 1:
            self.trouble(f"{act.counter} {act.act}: the carriage is there")
            return
        working = sorted((needle for needle in self.loops if not self.loops[needle]), reverse=sides[0] == "right")
        self.loops.update(dict.fromkeys(working[:many], True))

    def _back_to_work_all(self, what: str, act: _Act) -> None:
        if not any(self.loops.values()) or int(what) != len(self.loops):
            self.trouble(f"{act.counter} {act.act}: {sum(self.loops.values())} of {len(self.loops)} rest")
        self.loops = dict.fromkeys(self.loops, False)

    def _waste_yarn(self, what: str, act: _Act) -> None:
        name, _, needles = what.strip().rpartition(", ")
        first, last = _ends(needles)
        self.waste.append((name, self.take(range(first, last + 1), act, resting=True)))

    def _hang_back(self, what: str, act: _Act) -> None:
        name, many, *_ = what.strip().split(", ")
        groups = [
            place for place, (called, loops) in enumerate(self.waste) if (called, len(loops)) == (name, int(many))
        ]
        if not groups or self.loops:
            self.trouble(f"{act.act}: not on waste yarn, or the bed is not empty")
            return
        self.loops = self.waste.pop(groups[-1])[1]

    def _mark(self, what: str, act: _Act) -> None:
        if not what.endswith(("edges", "edge")):
            self.trouble(f"{act.act}: which edge?")

    def _weigh(self, what: str, act: _Act) -> None:
        if self.loops:
            self.trouble(f"{act.act}: still on the bed")

    def end(self) -> None:
        if self.loops:
            self.trouble(f"{len(self.loops)} stitches are left on the bed")
        for name, loops in self.waste:
            if any(loops.values()):
                self.trouble(f"{sum(loops.values())} of {name} rest still")
            self.knitted.off.append((name, len(loops)))


def _counters(repeat: str) -> list[int]:
    """The counters that a sentence names: "at 113, then every 2nd row, 9 times, last at 129"."""
    match = _REPEAT.search(repeat)
    assert match is not None
    first, times, last = int(match[1]), int(match[3]), int(match[4])
    gaps = [int(figure) for figure in re.findall(r"\d+", match[2])] or [1]
    counters = [first]
    while len(counters) < times:
        counters.append(counters[-1] + gaps[(len(counters) - 1) % len(gaps)])
    return counters if counters[-1] == last else []


def _ends(needles: str) -> tuple[int, int]:
    match = _NEEDLES.search(needles)
    if match is None:
        return 0, -1
    left, right = match[1] == "L", match[3] == "L"
    return -int(match[2]) if left else int(match[2]) - 1, -int(match[4]) if right else int(match[4]) - 1
