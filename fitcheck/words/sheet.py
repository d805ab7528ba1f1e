"""A knitting sheet in words: the verb of each act first, and what its words mean, once."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType

from fitcheck.advice.to_come.picked_up import PickedRun
from fitcheck.knitting.lines import Head, Note, Repeat, Sheet, SheetLine
from fitcheck.knitting.needles import Span, needle_name
from fitcheck.knitting.pick_up import PickUp
from fitcheck.records.frozen import frozen
from fitcheck.records.makes import BAND_KIND
from fitcheck.records.sheet_kinds import BAND_KINDS
from fitcheck.words.names import point_name
from fitcheck.words.phrases import capital, few, listed, spaced
from fitcheck.words.picked_up import cast_off_told, run_told


@frozen
class LineTold:
    """One line as it stands on a sheet.

    counter   what the row counter shows; empty where a pencil fills it in
    carriage  "left", "right"
    verb      the act, in bold
    what      the rest of it: " 1, both sides"
    repeat    "at 113, then every 2nd row, 9 times, last at 129"; empty where it is done once
    boxes     counter and stitches after of each time; one of a line that is done once
    ticks     whether it is done, of each time
    needles   in work after it, after its last time: "L47–R47"; empty where there are none
    stitches  after it, after its last time; empty where nothing is on the bed
    notes     what stands small under it, a sentence each
    """

    counter: str
    carriage: str
    verb: str
    what: str
    repeat: str
    boxes: tuple[tuple[str, str], ...]
    ticks: tuple[bool, ...]
    needles: str
    stitches: str
    notes: tuple[str, ...]

    @property
    def act(self) -> str:
        """ "Narrow 1, both sides" """
        return f"{self.verb}{self.what}"

    @property
    def done(self) -> bool:
        """Whether it is done every time."""
        return all(self.ticks)


@frozen
class PartTold:
    """Lines under one heading: "Armholes", "counter from 108 to 152"."""

    title: str
    counters: str
    lines: tuple[LineTold, ...]


@frozen
class SheetTold:
    """A whole sheet.

    title  "Front";  facts: name and figure of what stands above the lines;  words: each word of it and what it means
    """

    title: str
    facts: tuple[tuple[str, str], ...]
    parts: tuple[PartTold, ...]
    words: tuple[tuple[str, str], ...]


def sheet_told(sheet: Sheet, done: Collection[int] = ()) -> SheetTold:
    """Say a sheet.

    done  lines that are done, counted from 0, one for each time of a repeat
    """
    return SheetTold(
        capital(spaced(sheet.head.piece)),
        tuple(_facts(sheet)),
        _parts_told(sheet, frozenset(done)),
        tuple(_words(sheet)),
    )


def needles_words(span: Span) -> str:
    """ "L59–R59" """
    return f"{needle_name(span.first)}–{needle_name(span.last)}"


# Above the lines


def _facts(sheet: Sheet) -> Iterator[tuple[str, str]]:
    head = sheet.head
    if head.dial:
        yield "dial", head.dial
    if head.yarn:
        yield "yarn", f"{head.yarn}, lot {head.lot}" if head.lot else head.yarn
    yield "needles", _needles(head)
    yield "carriage starts", head.carriage
    if head.right_is:
        yield "purl side faces you", f"your right is the {_WEARERS[head.right_is]}"
    if head.piece in BAND_KINDS:
        yield "purl side faces you", "hung so, the band’s outside is the sweater’s"
    yield "rows", _rows(sheet)


def _rows(sheet: Sheet) -> str:
    """ "186", "20 rib, then 186; 219 with both halves" """
    notes = {note.code: note for line in sheet.lines for note in line.notes}
    rib = notes["rib_rows"].values["rows"] if "rib_rows" in notes else 0
    last = max(line.counter or 0 for line in sheet.unfolded())
    if sheet.head.piece in BAND_KINDS:
        return f"{last} each" if len(sheet.ends) > 1 else str(last)
    told = f"{rib} rib, then {last}" if rib else f"rib, then {last}" if "rib_rows_unsaid" in notes else str(last)
    plain = sheet.head.rows - rib
    return f"{told}; {plain} with both halves" if plain > last else told


_WEARERS = {"wearers_left": "wearer’s left", "wearers_right": "wearer’s right"}


def _needles(head: Head) -> str:
    cast_on = f"{head.needles.stitches}"
    if head.widest == head.needles:
        return f"{cast_on} ({needles_words(head.widest)})"
    return f"{cast_on}, at most {head.widest.stitches} ({needles_words(head.widest)})"


# Parts


_ARM_SIDE = {"left_front": "left", "right_front": "right"}
"""Which end of the bed is the armhole's, of half a front; of any other piece both are."""


def _parts_told(sheet: Sheet, done: frozenset[int]) -> tuple[PartTold, ...]:
    parts = list(_parts(sheet))
    counters = _counters([lines for _, lines in parts])
    places = itertools.count()  # of the times of every line, in the order in which they are knitted

    def told(line: SheetLine) -> LineTold:
        return _line(line, sheet.head, [next(places) in done for _ in line.times])

    return tuple(
        PartTold(title, where, tuple(map(told, lines))) for (title, lines), where in zip(parts, counters, strict=True)
    )


def _parts(sheet: Sheet) -> Iterator[tuple[str, list[SheetLine]]]:
    """The lines under their headings: by part, and the first with an underarm in two.

    What has shoulders has armholes; a sleeve and a raglan are told by their underarms.
    """
    parts: dict[str, list[SheetLine]] = {}
    for line in sheet.lines:
        parts.setdefault(line.part, []).append(line)
    shoulders = any(name.endswith("shoulder") for name in sheet.ends)
    armholes = "armhole" if sheet.head.piece in _ARM_SIDE else "armholes"
    for part, lines in parts.items():
        underarm = next((place for place, line in enumerate(lines) if _is_underarm(line, sheet.head)), 0)
        if part == "body" and underarm:
            yield f"Up to the {armholes}" if shoulders else "Up to the underarm", lines[:underarm]
            yield capital(armholes) if shoulders else "Above the underarm", lines[underarm:]
        elif part == "body":
            yield capital(spaced(sheet.head.piece)), lines
        else:
            yield f"Neck, {group_half(lines)}" if part.endswith("_half") else capital(spaced(part)), lines


def _is_underarm(line: SheetLine, head: Head) -> bool:
    return line.act == "cast_off" and line.at == _ARM_SIDE.get(head.piece, line.at)


def _counters(parts: Sequence[Sequence[SheetLine]]) -> list[str]:
    """From where to where the counter goes in each part: "counter from 0 to 108"."""
    starts: list[int] = []
    for place, lines in enumerate(parts):
        set_here = [line.to for line in lines if line.act == "set_counter" and line.part != "rib"]
        before = parts[place - 1][-1] if place else None
        if set_here and set_here[0] is not None:
            starts.append(set_here[0])
        elif before is None or before.part == lines[0].part:
            starts.append(lines[0].counter or 0)
        else:
            starts.append(before.to if before.to is not None else before.times[-1].counter or 0)
    told = []
    for place, lines in enumerate(parts):
        last = lines[-1].times[-1].counter
        following = parts[place + 1][0] if place + 1 < len(parts) else None
        if following is not None and following.part == lines[0].part:
            last = starts[place + 1]
        told.append(f"counter from {starts[place]} to {last}" if last is not None else f"counter from {starts[place]}")
    return told


# One line


def _line(line: SheetLine, head: Head, ticks: Sequence[bool]) -> LineTold:
    verb, what = ACTS[line.act](line, head)
    last = line.times[-1]
    return LineTold(
        "" if line.counter is None else str(line.counter),
        line.carriage,
        verb,
        what,
        _repeat(line, line.repeat) if line.repeat else "",
        tuple((str(time.counter), str(time.after)) for time in line.times),
        tuple(ticks),
        needles_words(last.needles) if last.needles else "",
        str(last.after) if last.needles else "",
        tuple(notes_told(line.notes)),
    )


def line_act(line: SheetLine, head: Head) -> str:
    """An act by itself: "Cast off 5, left"."""
    return "".join(ACTS[line.act](line, head))


def _repeat(line: SheetLine, repeat: Repeat) -> str:
    """ "at 113, then every 2nd row, 9 times, last at 129" """
    last = line.times[-1].counter
    return f"at {line.counter}, then {_every(repeat.every)}, {repeat.times} times, last at {last}"


def _every(pattern: tuple[int, ...]) -> str:
    """ "every row", "every 2nd row", "after 4, 4 and 5 rows over and over" """
    if len(pattern) > 1:
        return f"after {listed([str(rows) for rows in pattern])} rows over and over"
    return "every row" if pattern[0] == 1 else f"every {ordinal(pattern[0])} row"


def ordinal(number: int) -> str:
    """ "2nd", "3rd", "4th", "11th", "21st" """
    ending = "th" if number % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"


def _sides(line: SheetLine) -> str:
    return "both sides" if line.at == "both" else line.at


def _at(verb: str) -> Callable[[SheetLine, Head], tuple[str, str]]:
    return lambda line, head: (verb, f" {line.stitches}, {_sides(line)}")


def group_half(lines: Sequence[SheetLine]) -> str:
    """Which half of the bed lines are knitted on, or go to: "left half"."""
    for line in lines:
        needles = line.moved or line.needles
        if needles:
            return "left half" if needles.first + needles.last < 0 else "right half"
    return "other half"


def _group(line: SheetLine) -> str:
    """A group that goes on waste yarn: "right half", "shoulder" where the needles say which."""
    if line.name.endswith("_half"):
        return group_half([line])
    return "shoulder" if line.name.endswith("_shoulder") else spaced(line.name)


def _moved(line: SheetLine) -> str:
    return f", {needles_words(line.moved)}" if line.moved else ""


def _to(line: SheetLine) -> str:
    back = line.part != "rib" and (line.counter or 0) > (line.to or 0)
    return f" back to {line.to}" if back else f" to {line.to}"


def _picked(note: Note) -> PickedRun:
    """The run of an edge that a note names."""
    values = note.values
    groups = tuple(PickUp(group["stitches"], group["of"], group["times"]) for group in values.get("groups", ()))
    return PickedRun(
        values["run"], 0.0, values["of"], values["loops"], values["stitches"], groups, values.get("begins")
    )


_EDGE_OF = {kind: edge for edge, kind in BAND_KIND.items()}


ACTS: Mapping[str, Callable[[SheetLine, Head], tuple[str, str]]] = {
    "cast_on": lambda line, head: ("Cast on", f" {line.stitches}"),
    "hang": lambda line, head: ("Hang", f" {line.stitches} loops"),
    "take_back": lambda line, head: ("Hang back", f" {_group(line)}, {line.stitches}{_moved(line)}"),
    "widen": _at("Widen"),
    "narrow": _at("Narrow"),
    "widen_edge": _at("Bring in"),
    "add": _at("Add"),
    "cast_off": _at("Cast off"),
    "rest": _at("Rest"),
    "wake": lambda line, head: ("Back to work", f" all {line.after}"),
    "park": lambda line, head: ("Waste yarn", f" {_group(line)}{_moved(line)}"),
    "cast_off_all": lambda line, head: ("Cast off", f" all {line.stitches}"),
    "mark": lambda line, head: ("Mark", " both edges" if line.at == "both" else f" the {line.at} edge"),
    "weigh": lambda line, head: ("Weigh", f" the {spaced(head.piece)}"),
    "set_counter": lambda line, head: ("Set the counter", _to(line)),
    "move_carriage": lambda line, head: ("Carriage", f" to the {line.at}, over the empty bed"),
}  # fmt: skip


NOTES: Mapping[str, Callable[[Note], str]] = {
    "claws_up": lambda note: "Claw weights up.",
    "point": lambda note: f"The tape for the {point_name(note.values['point'])} lies here.",
    "rests": lambda note: f"The outer {few(note.values['stitches'])} of them rest still.",
    "no_row_over_all": lambda note: "No row over them.",
    "open_loops": lambda note: (
        "On waste yarn: some rows of it, one of the ravel cord, then the yarn. The loops stay open."
    ),
    "rib_rows": lambda note: f"Rib of {note.values['rows']} rows.",
    "rib_rows_unsaid": lambda note: (
        "How many rows has the rib? Nobody said: write them in here. "
        "Begin a rib of an odd number with the carriage at the other side."
    ),
    "picked": lambda note: " ".join(run_told(_picked(note))),
    "loosely": lambda note: cast_off_told(_EDGE_OF[note.values["piece"]], (note.values.get("run"),)),
}


def notes_told(
    notes: Iterable[Note], instead: Mapping[str, Callable[[Note], str]] = MappingProxyType({})
) -> Iterator[str]:
    """Notes in words, those of a code in `instead` in its words; pieces that are met at one row in one sentence."""
    met: dict[int, list[str]] = {}
    for note in notes:
        if note.code == "meets":
            met.setdefault(note.values["counter"], []).append(f"the {spaced(note.values['piece'])}’s")
        else:
            yield instead.get(note.code, NOTES[note.code])(note)
    for counter, pieces in met.items():
        yield f"Meets {listed(pieces)} {counter}."


# The words of the sheet, once


def _words(sheet: Sheet) -> Iterator[tuple[str, str]]:
    """Each word that stands on the sheet, in the order of a piece, and what it means."""
    acts = {line.act for line in sheet.lines}
    insets = {line.act: line.inset for line in sheet.lines}
    yield "Counter", "Act while the row counter shows this figure, before the next row."
    for act, (word, meaning) in _MEANINGS.items():
        if act in acts:
            yield word, meaning.format(loops=few(insets[act]))
    outermost = max(abs(sheet.head.widest.first), sheet.head.widest.last + 1)
    yield f"L{outermost}, R{outermost}", f"The {ordinal(outermost)} needle left, right of the middle of the bed."


_MEANINGS: Mapping[str, tuple[str, str]] = {
    "hang": (
        "Hang",
        "Pick up loops along the edge, run by run in the order under the act, and hang one on each needle. Then set "
        "the counter to 0.",
    ),
    "mark": (
        "Mark",
        "Knot a thread of another colour into the edge stitch of the row that was knitted last. What it meets is a row "
        "of the other piece: the two are sewn mark to mark.",
    ),
    "widen": ("Widen 1", "Move the {loops} outer loops one needle out; hang the empty needle from its neighbour."),
    "widen_edge": ("Bring in 1", "Push one empty needle out to work beside the last one, at the carriage’s side."),
    "add": ("Add", "Cast on so many more by winding the yarn around empty needles, at the carriage’s side."),
    "narrow": ("Narrow 1", "Move the {loops} outer loops one needle in; push the empty needle back."),
    "cast_off": ("Cast off", "Bind off so many at the carriage’s side, loop over loop, and push their needles back."),
    "rest": (
        "Rest",
        "Push these needles out to hold, on the side away from the carriage. Once the row has come to them, lay the "
        "yarn around the innermost one, so that no hole opens. Back to work: push them in again.",
    ),
    "park": (
        "Waste yarn",
        "Push the other needles out to hold. Over these knit a row with the ravel cord and 7 of other yarn, so that "
        "the carriage comes back. Take them off, push the others in, set the counter to this figure.",
    ),
    "take_back": ("Hang back", "Hang these loops on the needles that they came from, and pull the waste yarn out."),
    "weigh": ("Weigh", "Before washing, less the waste yarn that hangs on it: ________ g."),
}
