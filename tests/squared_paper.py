"""A sheet knitted on squared paper: a column of cells for each needle, from what `fitcheck sheet --json` prints.

Reads the lines of that JSON and nothing else, and knows nothing of the program: where the carriage is follows from the
rows, a row fills a cell above every loop in work, and what a point measures is counted on the paper.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

OTHER = {"left": "right", "right": "left"}


def needle(name: str) -> int:
    """Place of a needle: L1 is -1, R1 is 0."""
    return -int(name[1:]) if name[0] == "L" else int(name[1:]) - 1


def needles(span: str) -> range:
    """Places of "L60-R60"."""
    first, last = span.split("-")
    return range(needle(first), needle(last) + 1)


@dataclass
class Paper:
    """What is drawn so far.

    columns   rows of each loop on the bed, from where the counter was 0
    resting   loops that hold while the others knit
    off       groups that went off the bed, with their columns
    troubles  what does not agree with what a line says
    counts    of each point that the paper shows
    """

    columns: dict[int, int] = field(default_factory=dict)
    resting: set[int] = field(default_factory=set)
    off: dict[str, dict[int, int]] = field(default_factory=dict)
    counter: int = 0
    carriage: str = ""
    troubles: list[str] = field(default_factory=list)
    counts: dict[str, int] = field(default_factory=dict)
    widest: int = 0
    outer: int = 0
    inner: int = 0
    underarm: int | None = None
    cast_off: bool = False
    division: int | None = None
    half: str = ""

    @property
    def work(self) -> list[int]:
        """Loops that knit, from left to right."""
        return sorted(set(self.columns) - self.resting)


def knitted(sheet: Mapping[str, Any]) -> Paper:
    """Draw a sheet through."""
    paper = Paper(carriage=sheet["head"]["carriage"])
    paper.half = {"left_front": "left", "right_front": "right"}.get(sheet["head"]["piece"], "")
    for number, line in enumerate(sheet["lines"], start=1):
        _rows_before(paper, line)
        _ACTS[line["act"]](paper, line)
        _agrees(paper, line, number)
    if paper.columns:
        paper.troubles.append(f"{len(paper.columns)} loops left")
    _measure(paper, sheet["head"]["piece"], sheet["ends"])
    return paper


def _rows_before(paper: Paper, line: Mapping[str, Any]) -> None:
    """Knit up to the counter of a line; where nobody counted the rows of a rib, the next line says where it is."""
    if "counter" not in line:
        paper.carriage = ""
        return
    if not paper.carriage:
        paper.carriage = line["carriage"] if (line["counter"] - paper.counter) % 2 == 0 else OTHER[line["carriage"]]
    for _ in range(line["counter"] - paper.counter):
        for place in paper.work:
            paper.columns[place] += 1
        paper.carriage = OTHER[paper.carriage]
        paper.counter += 1


def _agrees(paper: Paper, line: Mapping[str, Any], number: int) -> None:
    """What a line says of counter, carriage, needles and stitches."""
    said = (line["counter"] if line["act"] != "set_counter" else line["to"], line.get("carriage", ""), line["after"])
    if line["act"] == "move_carriage":
        said = (line["counter"], line["at"], line["after"])
    here = (paper.counter, paper.carriage or said[1], len(paper.work))
    span = list(needles(line["needles"])) if line.get("needles") else []
    if said != here or span != paper.work:
        paper.troubles.append(f"line {number}, {line['act']}: says {said}, {line.get('needles')}; here {here}")


def _cast_on(paper: Paper, line: Mapping[str, Any]) -> None:
    paper.columns = dict.fromkeys(needles(line["needles"]), 0)
    paper.counts["cast_on"] = paper.widest = len(paper.columns)


def _set_counter(paper: Paper, line: Mapping[str, Any]) -> None:
    paper.counter = line["to"]
    if not paper.off:
        paper.columns = dict.fromkeys(paper.columns, line["to"])


def _sides(line: Mapping[str, Any]) -> tuple[str, ...]:
    return ("left", "right") if line["at"] == "both" else (line["at"],)


def _outer_loops(paper: Paper, side: str, many: int) -> list[int]:
    work = paper.work
    return work[:many] if side == "left" else work[-many:]


def _widen(paper: Paper, line: Mapping[str, Any]) -> None:
    for side in _sides(line):
        (edge,) = _outer_loops(paper, side, 1)
        for step in range(1, line["stitches"] + 1):
            paper.columns[edge - step if side == "left" else edge + step] = paper.columns[edge]
    paper.widest = max(paper.widest, len(paper.columns))


def _narrow(paper: Paper, line: Mapping[str, Any]) -> None:
    for side in _sides(line):
        for place in _outer_loops(paper, side, line["stitches"]):
            del paper.columns[place]
        if paper.underarm is None and side == (paper.half or side):
            paper.underarm = paper.counter
        if paper.half and side != paper.half:
            paper.inner += line["stitches"]
        else:
            paper.outer += line["stitches"]


def _cast_off(paper: Paper, line: Mapping[str, Any]) -> None:
    if line["at"] != paper.carriage:
        paper.troubles.append(f"cast off at the {line['at']}, the carriage is at the {paper.carriage}")
    if not paper.cast_off and line["at"] == (paper.half or line["at"]):
        # What was narrowed below the underarm is no armhole.
        paper.cast_off, paper.underarm = True, paper.counter
        paper.widest, paper.outer = len(paper.columns), 0
    _narrow(paper, line)


def _rest(paper: Paper, line: Mapping[str, Any]) -> None:
    if line["at"] == paper.carriage:
        paper.troubles.append("rests where the carriage is")
    paper.resting |= set(_outer_loops(paper, line["at"], line["stitches"]))


def _wake(paper: Paper, line: Mapping[str, Any]) -> None:
    paper.resting = set()


def _park(paper: Paper, line: Mapping[str, Any]) -> None:
    going = needles(line["moved"]) if line.get("moved") else paper.work
    paper.off[line["name"]] = {place: paper.columns.pop(place) for place in going}
    paper.resting -= set(going)
    if line["name"] == "second_half":
        paper.division, paper.half = paper.counter, OTHER[line["at"]]
    elif line["name"] == "neck" and paper.division is None and paper.columns:
        paper.division = paper.counter


def _take_back(paper: Paper, line: Mapping[str, Any]) -> None:
    paper.columns = paper.off.pop(line["name"])
    lowest = max(paper.columns.values())
    paper.resting = {place for place, rows in paper.columns.items() if rows < lowest}
    paper.half = OTHER[paper.half]


def _move(paper: Paper, line: Mapping[str, Any]) -> None:
    paper.carriage = line["at"]


def _mark(paper: Paper, line: Mapping[str, Any]) -> None:
    """Where nothing is cast off the underarm is a mark, and what was narrowed below it is no armhole."""
    if any(note.get("point") == "to_underarm" for note in line.get("notes", ())):
        paper.underarm = paper.counter
        paper.widest, paper.outer = len(paper.columns), 0


def _nothing(paper: Paper, line: Mapping[str, Any]) -> None:
    """A weight changes no loop."""


_ACTS = {
    "cast_on": _cast_on,
    "set_counter": _set_counter,
    "widen": _widen,
    "widen_edge": _widen,
    "add": _widen,
    "narrow": _narrow,
    "cast_off": _cast_off,
    "rest": _rest,
    "wake": _wake,
    "park": _park,
    "cast_off_all": _park,
    "take_back": _take_back,
    "move_carriage": _move,
    "mark": _mark,
    "weigh": _nothing,
}


def _measure(paper: Paper, piece: str, ends: Mapping[str, int]) -> None:
    """Count every point on the paper."""
    counts = paper.counts
    if {name: len(columns) for name, columns in paper.off.items()} != ends:
        paper.troubles.append(f"ends {ends} are { {name: len(columns) for name, columns in paper.off.items()} }")
    tops = [columns for name, columns in paper.off.items() if name != "second_half"]
    last = max(max(columns.values()) for columns in tops)
    cast_on, underarm = counts.pop("cast_on"), paper.underarm
    if piece == "side_panel":
        counts |= {"panel_width": cast_on, "panel_length": last}
        return
    if "sleeve" in piece:
        counts |= {"cuff": cast_on, "upper_arm": paper.widest, "sleeve_length": last}
        if underarm is not None:
            counts |= {"sleeve_to_underarm": underarm, "cap_height": last - underarm}
        return
    shoulders = [columns for name, columns in paper.off.items() if "shoulder" in name]
    tips = [columns for name, columns in paper.off.items() if "tip" in name]
    neck = paper.inner + len(paper.off.get("neck", ())) + sum(len(columns) for columns in tips)
    counts |= {"hem": cast_on, "chest": paper.widest, "neck_width": neck}
    if shoulders:
        low = min(max(columns.values()) for columns in shoulders)
        counts["body_length"] = low
        counts["shoulder_drop"] = min(max(columns.values()) - min(columns.values()) for columns in shoulders)
        if paper.outer:
            counts["shoulder_width"] = paper.widest - paper.outer
    else:
        counts["body_length"] = low = min(max(columns.values()) for columns in tips) if tips else last
    if underarm is not None:
        counts |= {"to_underarm": underarm, "armhole_depth": low - counts.get("shoulder_drop", 0) - underarm}
    if paper.division is not None:
        counts["neck_depth"] = low - paper.division
