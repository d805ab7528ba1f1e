"""Sheets spoilt in one place: what a slip of the pen, a lost line or a fold done wrong would make of one.

A kind is what is spoilt and the act that it is spoilt at. Marks and weighing change nothing that is knitted: one that
is lost, or moved by an even number of rows, leaves a sheet that can be knitted as planned, and is not spoilt here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from random import Random
from typing import NamedTuple

from fitcheck.knitting.lines import Sheet, SheetLine

WAYS = ("counter", "side", "count", "carriage", "after", "drop", "swap")
IDLE = ("mark", "weigh")
SIDED = ("widen", "narrow", "widen_edge", "add", "cast_off", "rest", "park", "move_carriage")
COUNTED = ("cast_on", "take_back", "widen", "narrow", "add", "cast_off", "rest", "wake", "park", "cast_off_all")


class Spoilt(NamedTuple):
    """A sheet, what was done to it, and at which act."""

    sheet: Sheet
    way: str
    act: str

    @property
    def kind(self) -> str:
        return f"{self.way} of {self.act}"


def spoilt(sheet: Sheet, random: Random, many: int) -> Iterator[Spoilt]:
    """So many spoilt copies of a sheet, each spoilt in one place and one way."""
    while many:
        way = random.choice(WAYS)
        lines = list(sheet.unfolded())
        # Each act alike, however often it is done.
        act = random.choice(sorted({line.act for line in lines}))
        place = random.choice([place for place, line in enumerate(lines) if line.act == act])
        line = lines[place]
        spoil = _SPOIL[way](lines, place, random)
        if spoil is not None and spoil != list(sheet.unfolded()):
            yield Spoilt(replace(sheet, lines=tuple(spoil)), way, line.act)
            many -= 1


def _with(lines: list[SheetLine], place: int, line: SheetLine) -> list[SheetLine]:
    return [*lines[:place], line, *lines[place + 1 :]]


def _counter(lines: list[SheetLine], place: int, random: Random) -> list[SheetLine] | None:
    line = lines[place]
    by = random.choice([-3, -1, 1, 3] if line.act in IDLE else [-10, -3, -2, -1, 1, 2, 3, 10])
    if line.act == "set_counter" and random.random() < 0.5:
        return _with(lines, place, replace(line, to=line.to + by))
    return _with(lines, place, replace(line, counter=line.counter + by))


def _side(lines: list[SheetLine], place: int, random: Random) -> list[SheetLine] | None:
    line = lines[place]
    if line.act not in SIDED:
        return None
    sides = ("left", "right", "both", "all", "")
    if line.act == "park" and line.needles is None:
        sides = ("both", "")  # whoever takes everything off begins at either end
    other = random.choice([at for at in sides if at != line.at])
    return _with(lines, place, replace(line, at=other))


def _count(lines: list[SheetLine], place: int, random: Random) -> list[SheetLine] | None:
    line = lines[place]
    if line.act not in COUNTED:
        return None
    return _with(lines, place, replace(line, stitches=line.stitches + random.choice([-2, -1, 1, 2])))


def _carriage(lines: list[SheetLine], place: int, random: Random) -> list[SheetLine] | None:
    line = lines[place]
    other = random.choice([side for side in ("left", "right", "") if side != line.carriage])
    return _with(lines, place, replace(line, carriage=other))


def _after(lines: list[SheetLine], place: int, random: Random) -> list[SheetLine] | None:
    line = lines[place]
    return _with(lines, place, replace(line, after=line.after + random.choice([-10, -2, -1, 1, 2, 10])))


def _drop(lines: list[SheetLine], place: int, random: Random) -> list[SheetLine] | None:
    return None if lines[place].act in IDLE else [*lines[:place], *lines[place + 1 :]]


def _swap(lines: list[SheetLine], place: int, random: Random) -> list[SheetLine] | None:
    other = random.randrange(len(lines))
    if {lines[place].act, lines[other].act} <= set(IDLE):
        return None
    spoil = list(lines)
    spoil[place], spoil[other] = spoil[other], spoil[place]
    return spoil


_SPOIL = {
    "counter": _counter, "side": _side, "count": _count, "carriage": _carriage, "after": _after, "drop": _drop,
    "swap": _swap,
}  # fmt: skip
