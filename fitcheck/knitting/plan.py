"""A piece as it is knitted: what is done at which row, and what its edges, ends and points then are.

Counter r = rows knitted since the part began, short rows too. "At r" = done while the counter shows r, before row
r + 1 is knitted. The carriage stands where the part says while r - start is even, else at the other side. Needles have
whole numbers: Lk is -k, Rk is k - 1; an odd count has one needle more on the left. Left and right are the bed's.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import field
from typing import Literal

from fitcheck.knitting.needles import Span
from fitcheck.records.frozen import frozen
from fitcheck.records.sheet_kinds import SheetKind
from fitcheck.records.written_sheets import Act, SheetSide

Side = SheetSide
SIDES: tuple[Side, Side] = ("left", "right")
At = Literal["left", "right", "both", "all"]
"""Where an act is done: at one end of the needles in work, at both, or on all of them."""


def other_side(side: Side) -> Side:
    """The other end of the bed."""
    return "right" if side == "left" else "left"


@frozen
class Event:
    """One act of a part.

    part      name of the part that it belongs to
    counter   the row counter shows it [rows]
    do        what is done
    at        where
    stitches  how many; at both sides: at each; of wake those that rested
    inset     how many loops move with a transfer, the new edge stitch among them; 0 where nothing is transferred
    name      the group that is parked, taken back or cast off, or the point that is marked
    """

    part: str
    counter: int
    do: Act
    at: At
    stitches: int = 0
    inset: int = 0
    name: str = ""


@frozen
class Part:
    """Rows that are knitted without a break.

    name        "body", "first_half", "second_half"
    start       the counter is set to it [rows]
    carriage    where the carriage stands at the start
    takes_back  the parked group that it begins with; empty for a cast-on, and for the group that stayed on the bed
    end         the counter after the last row [rows]
    events      by counter; of one counter in the order in which they are done
    """

    name: str
    start: int
    carriage: Side
    end: int
    events: tuple[Event, ...]
    takes_back: str = ""

    def carriage_at(self, counter: int) -> Side:
        """Where the carriage stands while the counter shows a row."""
        return self.carriage if (counter - self.start) % 2 == 0 else other_side(self.carriage)


@frozen
class Segment:
    """A straight run of an edge: so many stitches across over so many rows; a cast-off has no rows."""

    stitches: int
    rows: int


Edge = tuple[Segment, ...]
"""A chain of segments, in the order in which they are knitted."""


@frozen
class Plan:
    """A whole piece.

    piece   kind of piece, or of band
    span    needles of the cast-on: needles.span_of gives those about the middle; of a band those of its widest part
    parts   in the order in which they are knitted
    edges   name -> chain: left_side, left_underarm, left_armhole, left_shoulder, left_neck, neck, and so on; left and
            right as the bed has them
    points  point of measure -> (counter, stitches in work there); the counter is that of the part that holds it
    ends    group on waste yarn or cast off together -> stitches
    drops   shoulder group -> rows that its innermost needle has more than its outermost
    """

    piece: SheetKind
    span: Span
    parts: tuple[Part, ...]
    edges: Mapping[str, Edge] = field(default_factory=dict)
    points: Mapping[str, tuple[int, int]] = field(default_factory=dict)
    ends: Mapping[str, int] = field(default_factory=dict)
    drops: Mapping[str, int] = field(default_factory=dict)

    @property
    def events(self) -> Iterator[Event]:
        """Every event, part by part."""
        return (event for part in self.parts for event in part.events)


def mirrored(plan: Plan) -> Plan:
    """The same piece for the other side of the body: sides swapped, needle p becomes -1 - p.

    Twice is the plan itself.
    """
    first, last = plan.span
    parts = tuple(
        Part(
            part.name,
            part.start,
            other_side(part.carriage),
            part.end,
            tuple(_mirrored_event(event) for event in part.events),
            _swapped(part.takes_back),
        )
        for part in plan.parts
    )
    return Plan(
        _SWAPPED_PIECES.get(plan.piece, plan.piece),
        Span(-1 - last, -1 - first),
        parts,
        {_swapped(name): edge for name, edge in plan.edges.items()},
        dict(plan.points),
        {_swapped(name): stitches for name, stitches in plan.ends.items()},
        {_swapped(name): rows for name, rows in plan.drops.items()},
    )


_SWAPPED_PIECES: Mapping[SheetKind, SheetKind] = {
    "left_front": "right_front",
    "right_front": "left_front",
    "left_sleeve": "right_sleeve",
    "right_sleeve": "left_sleeve",
}
_SWAPPED_SIDES: Mapping[At, At] = {"left": "right", "right": "left", "both": "both", "all": "all"}


def _mirrored_event(event: Event) -> Event:
    return Event(
        event.part,
        event.counter,
        event.do,
        _SWAPPED_SIDES[event.at],
        event.stitches,
        event.inset,
        _swapped(event.name),
    )


def _swapped(name: str) -> str:
    """A name of an edge or a group with its side swapped: left_shoulder becomes right_shoulder."""
    for side in SIDES:
        if name.startswith(f"{side}_"):
            return f"{other_side(side)}_{name.removeprefix(f'{side}_')}"
    return name
