"""Writes the acts of a part, in order, and counts what is left on the bed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from fitcheck.knitting.counts import Choices
from fitcheck.knitting.needles import span_of
from fitcheck.knitting.plan import SIDES, At, Edge, Event, Part, Segment, Side, other_side
from fitcheck.knitting.refusals import ShapingError, need
from fitcheck.records.faults import Accepts
from fitcheck.records.written_sheets import Act


class Turns:
    """Where the carriage stands: at the side that is shaped first at one counter, then to and fro.

    first  side of the bed that is shaped first
    at     a counter at which the carriage stands there
    """

    def __init__(self, first: Side, at: int) -> None:
        self.first = first
        self.at = at

    def side(self, counter: int) -> Side:
        """Where it stands while the counter shows a row."""
        return self.first if (counter - self.at) % 2 == 0 else other_side(self.first)

    def next_at(self, side: Side, counter: int) -> int:
        """The first counter from there on that finds it at a side."""
        return counter if self.side(counter) == side else counter + 1


class PartWriter:
    """The acts of one part while it is planned.

    name     of the part
    start    the counter is set to it
    turns    where the carriage stands
    choices  the knitter's
    """

    def __init__(self, name: str, start: int, turns: Turns, choices: Choices) -> None:
        self.name = name
        self.start = start
        self.turns = turns
        self.choices = choices
        self.events: list[Event] = []

    def act(self, counter: int, do: Act, at: At, stitches: int, name: str = "") -> None:
        """One act; a transfer moves as many loops as were chosen."""
        inset = self.choices.inset if do in ("widen", "narrow") else 0
        self.events.append(Event(self.name, counter, do, at, stitches, inset, name))

    def side_step(self, counter: int, change: Literal[1, -1], only: Side | None) -> None:
        """One stitch more or less at both sides or at one, in the knitter's way."""
        if change < 0:
            self.act(counter, "narrow", only or "both", 1)
        elif self.choices.increase == "moved":
            self.act(counter, "widen", only or "both", 1)
        elif only is not None:
            self.act(self.turns.next_at(only, counter), "widen_edge", only, 1)
        else:
            for later in (counter, counter + 1):
                self.act(later, "widen_edge", self.turns.side(later), 1)

    def part(self, end: int, *, takes_back: str = "", working: int = 0, resting: int = 0) -> Part:
        """The part with its acts by counter.

        end               the counter after its last row
        takes_back        the group that it begins with
        working, resting  stitches on the bed before its first act, or hung back by it

        Errors: ShapingError where an act would find too few stitches, or an edge that was shaped at that counter.
        """
        events = _together(sorted(self.events, key=lambda event: event.counter))
        _once(events)
        _enough(events, working, resting)
        return Part(self.name, self.start, self.turns.side(self.start), end, events, takes_back)


def _together(events: Sequence[Event]) -> tuple[Event, ...]:
    """The acts with transfers of one counter that are alike at both ends said as one."""
    together: list[Event] = []
    places: dict[tuple[int, int, Side], int] = {}
    for event in events:
        if event.do == "narrow" and (event.at == "left" or event.at == "right"):
            beside = places.get((event.counter, event.stitches, other_side(event.at)))
            if beside is not None:
                together[beside] = replace(event, at="both")
                continue
            places[event.counter, event.stitches, event.at] = len(together)
        together.append(event)
    return tuple(together)


def _once(events: Sequence[Event]) -> None:
    """Refuse to shape an edge twice at one counter."""
    shaped: set[tuple[int, str]] = set()
    for event in events:
        if event.do in ("narrow", "widen", "widen_edge", "add", "cast_off"):
            for side in SIDES if event.at == "both" else (event.at,):
                if (event.counter, side) in shaped:
                    raise ShapingError("counter", event.counter, Accepts("edge_once"))
                shaped.add((event.counter, side))


def _enough(events: Sequence[Event], working: int, resting: int) -> None:
    """Refuse acts that find too few stitches: a transfer needs its loops, and those that they are hung on or beside."""
    for event in events:
        sides = 2 if event.at == "both" else 1
        change = sides * event.stitches
        match event.do:
            case "narrow":
                least = sides * event.inset + change
            case "widen":
                least = sides * event.inset + 1
            case "cast_off" | "rest":
                least = change + 1
            case _:
                least = 0
        if least and working < least:
            raise ShapingError("stitches", working, Accepts("stitches_left", counter=event.counter, least=least))
        match event.do:
            case "cast_on" | "widen" | "widen_edge" | "add":
                working += change
            case "narrow" | "cast_off" | "park":
                working -= change
            case "rest":
                working, resting = working - change, resting + change
            case "wake":
                working, resting = working + resting, 0


def chain(runs: Sequence[Segment]) -> Edge:
    """Runs without those that are nothing."""
    return tuple(run for run in runs if run.stitches or run.rows)


def check_bed(cast_on: int, most: int, choices: Choices, *, one_sided: bool = False) -> None:
    """Refuse a piece that reaches beyond the bed, half of whose needles lie on either side of the middle.

    most       stitches at its widest
    one_sided  it grows at one side only; either, so that its mirror image goes on the bed too

    Errors: ShapingError too_few_needles.
    """
    if choices.needles is None:
        return
    grown = max(0, most - cast_on)
    reach = -span_of(cast_on).first + (grown if one_sided else grown // 2)
    accepts = Accepts("too_few_needles", needed=2 * reach, needles=choices.needles)
    need(reach <= choices.needles // 2, "needles", most, accepts)
