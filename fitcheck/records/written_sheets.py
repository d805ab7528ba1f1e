"""A knitting sheet as it is written down: head, lines, and what is to come of it."""

import re
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from fitcheck.records.base import Record, Text, no_entries, refused
from fitcheck.records.faults import Accepts
from fitcheck.records.machines import MOST_NEEDLES
from fitcheck.records.sheet_kinds import Begins, RunKey, SheetKind

SHEET_FORMAT = 1
"""Number of the form in which a sheet is written."""
MOST_ROWS = 20_000
"""Rows of the longest piece: forty metres (assumed; nothing in a sweater comes near it)."""
MOST_LINES = 5_000
"""Acts of the longest sheet (assumed; a sweater's have a hundred)."""

_NEEDLES = re.compile(r"[LR][1-9]\d{0,2}-[LR][1-9]\d{0,2}", re.ASCII)


def _needles(text: object) -> object:
    if not isinstance(text, str) or not _NEEDLES.fullmatch(text):
        raise refused(Accepts("needles", such_as=("L59-R59", "L47-L19")))
    return text


def _format(number: object) -> object:
    if number != SHEET_FORMAT or isinstance(number, bool):
        raise refused(Accepts("format", number=SHEET_FORMAT))
    return number


Needles = Annotated[str, BeforeValidator(_needles)]
"""Needles from the first to the last: "L59-R59"."""
Rows = Annotated[int, Field(ge=0, le=MOST_ROWS)]
Stitches = Annotated[int, Field(ge=0, le=MOST_NEEDLES)]
SheetSide = Literal["left", "right"]
Act = Literal[
    "cast_on",
    "hang",
    "take_back",
    "widen",
    "narrow",
    "widen_edge",
    "add",
    "cast_off",
    "rest",
    "wake",
    "park",
    "cast_off_all",
    "mark",
    "weigh",
]
"""What is done to the loops.

cast_on       the part's first stitches, on the needles of its span
hang          loops of other pieces are hung on needles about the middle: what is picked up for a band
take_back     a parked group is hung back on its own needles, those that rested resting still
widen         the outer loops move one needle outward; either side of any row
narrow        the outer loops move inward, those before them are doubled; either side of any row
widen_edge    one empty needle is brought into work at the carriage's side
add           stitches are cast on by e-wrap at the carriage's side
cast_off      stitches are cast off at the carriage's side
rest          needles hold their loops while the others knit, at the side opposite the carriage
wake          all resting needles knit again
park          a named group goes on waste yarn
cast_off_all  everything in work is cast off, as a named group
mark          a mark at both edges, of a named point
weigh         the piece is weighed
"""
SheetAct = Literal[Act, "set_counter", "move_carriage"]
"""What a line asks for: the acts of a plan, and what only the knitter has to do: set the counter to the figure ``to``,
bring the carriage over the empty bed to the side ``at``."""
NoteCode = Literal[
    "claws_up",
    "open_loops",
    "point",
    "meets",
    "rests",
    "no_row_over_all",
    "rib_rows",
    "rib_rows_unsaid",
    "picked",
    "loosely",
]


class WrittenGroup(Record):
    """Of every `of` rows of an edge so many stitches are picked up, so many times over."""

    stitches: Rows
    of: Rows
    times: Rows


class WrittenNote(Record):
    """What stands small under an act: a code, and the values that its sentence names.

    run, of, loops, begins, groups  a run of an edge that is picked up: loops or rows that it has, which of them are
                                    taken, and from where they are counted
    """

    code: NoteCode
    point: Text | None = None
    piece: Text | None = None
    counter: Rows | None = None
    stitches: Stitches | None = None
    rows: Rows | None = None
    run: RunKey | None = None
    of: Rows | None = None
    loops: bool | None = None
    begins: Begins | None = None
    groups: Annotated[list[WrittenGroup], Field(min_length=1, max_length=MOST_LINES)] | None = None


class WrittenLine(Record):
    """One act, once.

    part, counter, carriage  where in the piece; the counter is left out where the rows before were not said
    act, at, stitches        what is done, where, to how many stitches; at both sides: at each
    inset                    loops that move with a transfer
    name                     group that goes on waste yarn, comes back or is cast off
    to                       what the counter is set to [rows]
    moved                    needles that go off the bed or come back to it
    needles, after           in work after it, and how many
    """

    part: Text
    counter: Rows | None = None
    carriage: SheetSide | Literal[""]
    act: SheetAct
    at: Literal["left", "right", "both", "all", ""] = ""
    stitches: Stitches = 0
    inset: Annotated[int, Field(ge=0, le=20)] = 0
    name: Text = ""
    to: Rows | None = None
    moved: Needles | None = None
    needles: Needles | None = None
    after: Stitches
    notes: Annotated[list[WrittenNote], Field(default_factory=no_entries)]


class WrittenHead(Record):
    """What stands above the lines; the loops are those of the whole piece."""

    piece: SheetKind
    needles: Needles
    widest: Needles
    carriage: SheetSide
    right_is: Literal["wearers_left", "wearers_right", ""] = ""
    rows: Rows
    loops: Annotated[int, Field(ge=0, le=MOST_ROWS * MOST_NEEDLES)]
    make: Text = ""
    revision: Annotated[int, Field(ge=1)] | None = None
    dial: Text = ""
    yarn: Text = ""
    lot: Text = ""
    bed: Annotated[int, Field(ge=10, le=MOST_NEEDLES)] | None = None


class WrittenSheet(Record):
    """A sheet: head, a line for each time that something is done, and what is to come of it.

    ends   group on waste yarn or cast off together -> its stitches
    drops  shoulder group -> rows that its innermost needle has more than its outermost
    """

    sheet: Annotated[int, BeforeValidator(_format)]
    head: WrittenHead
    ends: Annotated[dict[Text, Stitches], Field(default_factory=dict)]
    drops: Annotated[dict[Text, Rows], Field(default_factory=dict)]
    lines: Annotated[list[WrittenLine], Field(min_length=1, max_length=MOST_LINES)]
