"""The lines of a knitting sheet: one act each, with the counter, the carriage, and what is in work after it.

A sheet holds what is printed: repeats are one line with a box for each time. ``unfolded`` gives a line for each time;
CSV and JSON hold those. Nothing here knows the plan that a sheet was made from.
"""

from __future__ import annotations

import io
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import field, fields
from typing import Any, Literal

from fitcheck.knitting.needles import Span, needle_name
from fitcheck.records.frozen import frozen
from fitcheck.records.written_sheets import SHEET_FORMAT, SheetAct, SheetSide

Side = SheetSide
At = Literal["left", "right", "both", "all", ""]
"""At which end of the needles in work; on all of them; empty where an act has no place."""


@frozen
class Note:
    """What stands small under an act: a code, and the values that its sentence names."""

    code: str
    values: Mapping[str, Any] = field(default_factory=dict)


@frozen
class Repeat:
    """The other times of an act that is done again and again.

    every    rows from one time to the next, over and over: (2,), or (4, 4, 5)
    times    how often, the first among them; 3 or more
    needles  in work after the last time
    after    stitches in work after the last time
    """

    every: tuple[int, ...]
    times: int
    needles: Span | None
    after: int


@frozen
class SheetLine:
    """One act.

    part      name of the part that it belongs to
    counter   the row counter shows it [rows]; None where the rows before it were not said
    carriage  where the carriage stands; empty where nobody can say
    act       what is done
    at        where
    stitches  how many; at both sides: at each
    inset     how many loops move with a transfer, the new edge stitch among them
    name      the group that goes on waste yarn, comes back or is cast off
    to        what the counter is set to [rows]
    moved     needles that go off the bed or come back to it, of a named group
    needles   in work after it; None where there are none
    after     stitches in work after it
    notes     what stands small under it
    repeat    its other times; None where it is done once. Counter, carriage, needles and after are then the first's
    """

    part: str
    counter: int | None
    carriage: Side | Literal[""]
    act: SheetAct
    at: At = ""
    stitches: int = 0
    inset: int = 0
    name: str = ""
    to: int | None = None
    moved: Span | None = None
    needles: Span | None = None
    after: int = 0
    notes: tuple[Note, ...] = ()
    repeat: Repeat | None = None

    @property
    def times(self) -> tuple[SheetLine, ...]:
        """The line once for each time that its act is done, from time to time as many stitches more or fewer.

        Raises ValueError where the stitches after the last time are no whole number of steps from the first.
        """
        repeat = self.repeat
        if repeat is None:
            return (self,)
        if self.counter is None or self.carriage == "":
            raise ValueError("a repeat begins at a counter and with the carriage at a side")
        lines, counter = [], self.counter
        for time in range(repeat.times):
            there = (counter - self.counter) % 2 == 0
            needles = _needles_between(self.needles, repeat.needles, time, repeat.times)
            after = _between(self.after, repeat.after, time, repeat.times)
            # Every field by its place: a copy with changes takes five times as long.
            lines.append(
                SheetLine(
                    self.part, counter, self.carriage if there else _OTHER[self.carriage], self.act, self.at,
                    self.stitches, self.inset, self.name, self.to, self.moved, needles, after, self.notes,
                )
            )  # fmt: skip
            counter += repeat.every[time % len(repeat.every)]
        return tuple(lines)


_OTHER: Mapping[Side, Side] = {"left": "right", "right": "left"}


def _needles_between(first: Span | None, last: Span | None, time: int, times: int) -> Span | None:
    if first is None or last is None:
        return None
    return Span(_between(first.first, last.first, time, times), _between(first.last, last.last, time, times))


def _between(first: int, last: int, time: int, times: int) -> int:
    step, over = divmod(last - first, times - 1)
    if over:
        raise ValueError(f"{first} to {last} is no whole number of {times - 1} equal steps")
    return first + time * step


@frozen
class Head:
    """What stands above the lines.

    piece     kind of piece, or of band
    needles   cast on
    widest    from the leftmost to the rightmost needle that is ever in work
    carriage  where it starts
    right_is  which side of the wearer the bed's right is, the purl side towards the knitter; empty of a piece that
              has none
    rows      knitted in all, both halves of a divided piece counted
    loops     knitted in all
    make      the make's name
    revision  number of the begun sheet; None of one that nobody has begun
    dial      as it is written
    yarn      its name
    lot       name of its lot
    bed       needles of the bed; None where no machine says it
    """

    piece: str
    needles: Span
    widest: Span
    carriage: Side
    right_is: Literal["wearers_left", "wearers_right", ""]
    rows: int
    loops: int
    make: str = ""
    revision: int | None = None
    dial: str = ""
    yarn: str = ""
    lot: str = ""
    bed: int | None = None


@frozen
class Sheet:
    """A piece as a list of acts.

    head   what stands above them
    lines  in the order in which they are done
    ends   group on waste yarn or cast off together -> stitches that it has in the end
    drops  shoulder group -> rows that its innermost needle has more than its outermost
    """

    head: Head
    lines: tuple[SheetLine, ...]
    ends: Mapping[str, int] = field(default_factory=dict)
    drops: Mapping[str, int] = field(default_factory=dict)

    def unfolded(self) -> tuple[SheetLine, ...]:
        """A line for each time that something is done."""
        return tuple(unfolded(self.lines))

    def to_csv(self) -> str:
        """The unfolded lines as a table with a head: CSV as RFC 4180 has it, lines ended as there."""
        import csv

        out = io.StringIO()
        table = csv.writer(out)
        table.writerow(COLUMNS)
        for line in self.unfolded():
            table.writerow([_cell(value) for value in _line_data(line).values()])
        return out.getvalue()

    def to_json(self) -> str:
        """Head, ends, drops and the unfolded lines; a line leaves out what is empty in it."""
        lines = [
            {name: value for name, value in _line_data(line).items() if value or (value == 0 and name in _FIGURES)}
            for line in self.unfolded()
        ]
        head = {item.name: _plain(getattr(self.head, item.name)) for item in fields(self.head)}
        document = {
            "sheet": SHEET_FORMAT,
            "head": head,
            "ends": dict(self.ends),
            "drops": dict(self.drops),
            "lines": lines,
        }
        return json.dumps(document, ensure_ascii=False, indent=1)


def unfolded(lines: Iterable[SheetLine]) -> Iterator[SheetLine]:
    """A line for each time that something is done; raises ValueError where a repeat cannot be what it says."""
    return (time for line in lines for time in line.times)


COLUMNS = tuple(item.name for item in fields(SheetLine) if item.name != "repeat")
"""Columns of the CSV and names in the JSON, in their order."""


_FIGURES = ("counter", "to", "after")
"""What is written even where it is 0."""


def _line_data(line: SheetLine) -> dict[str, Any]:
    return {name: _plain(getattr(line, name)) for name in COLUMNS}


def _plain(value: Any) -> Any:
    if isinstance(value, Span):
        return written_span(value)
    if isinstance(value, tuple):
        return [{"code": note.code, **note.values} for note in value]
    return value


def _cell(value: Any) -> str:
    if isinstance(value, list):
        return "; ".join(" ".join(_part(part) for part in note.values()) for note in value)
    return "" if value is None else str(value)


def _part(part: Any) -> str:
    """A value of a note; groups of an edge as "2 x 3/4", yes and no as JSON has them."""
    if not isinstance(part, list):
        return str(part).lower() if isinstance(part, bool) else str(part)
    return ", ".join(f"{group['times']} x {group['stitches']}/{group['of']}" for group in part)


def written_span(span: Span) -> str:
    """Needles in plain letters: "L59-R59"."""
    return f"{needle_name(span.first)}-{needle_name(span.last)}"
