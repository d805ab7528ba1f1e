"""Repeats of a sheet: equal acts that follow one another become one line with a box for each time.

A fold begins at three times, because two lines are read sooner than one sentence and two boxes, and it never spans
another act, because that one would be passed over.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import NamedTuple

from fitcheck.knitting.lines import Repeat, SheetLine

FEWEST = 3
"""Times at which a fold begins (common practice, no source)."""
LONGEST = 4
"""Gaps of a pattern, "4, 4, 5 and over again", that are still counted by heart (common practice, no source)."""
FOLDED = ("widen", "narrow", "widen_edge", "add", "cast_off", "rest", "mark")
"""Acts that are done again and again; each of the others is an event of its own."""


def fold(lines: Sequence[SheetLine]) -> tuple[SheetLine, ...]:
    """The lines with repeats as one line, in as few lines as may be, and of those with the shortest patterns.

    lines  one for each time that something is done; unfolding the answer gives them again
    """
    return tuple(line for run in _runs(lines) for line in _fewest(run))


def _runs(lines: Sequence[SheetLine]) -> Iterator[list[SheetLine]]:
    """Lines that follow one another with the same act, each run as long as may be."""
    run: list[SheetLine] = []
    for line in lines:
        if run and not _again(run[-1], line):
            yield run
            run = []
        run.append(line)
    if run:
        yield run


def _again(line: SheetLine, later: SheetLine) -> bool:
    """Whether a line asks for the same as the one before it, with the carriage where those rows bring it."""
    if line.act not in FOLDED or line.counter is None or later.counter is None or later.counter <= line.counter:
        return False
    came_back = (later.counter - line.counter) % 2 == 0
    return _asked(line) == _asked(later) and (line.carriage == later.carriage) == came_back and line.carriage != ""


def _asked(line: SheetLine) -> tuple[object, ...]:
    return line.part, line.act, line.at, line.stitches, line.inset, line.name, line.to, line.moved, line.notes


class _Way(NamedTuple):
    """A way to write the end of a run: its lines, the gaps that its patterns name, where the next line begins."""

    lines: int
    gaps: int
    end: int
    length: int


def _fewest(run: list[SheetLine]) -> list[SheetLine]:
    """A run in as few lines as may be, worked out from its end."""
    if len(run) < FEWEST:
        return run
    gaps = [_gap(line, later) for line, later in pairwise(run)]
    steps = [_step(line, later) for line, later in pairwise(run)]
    best = [_Way(0, 0, len(run), 0)] * (len(run) + 1)
    for start in range(len(run) - 1, -1, -1):
        after = best[start + 1]
        chosen = _Way(after.lines + 1, after.gaps, start + 1, 0)
        steady = _comes_again(steps, start, 1)
        for length in range(1, LONGEST + 1):
            # A pattern of several gaps is seen as one where the whole of it comes twice.
            fewest = max(FEWEST, 2 * length + 1) if length > 1 else FEWEST
            last = min(_comes_again(gaps, start, length), steady)
            for end in range(start + fewest, last + 1):
                way = _Way(best[end].lines + 1, best[end].gaps + length, end, length)
                chosen = min(chosen, way)
        best[start] = chosen
    written, start = [], 0
    while start < len(run):
        way = best[start]
        line, last_line = run[start], run[way.end - 1]
        if way.length:
            every = tuple(gaps[start : start + way.length])
            line = replace(line, repeat=Repeat(every, way.end - start, last_line.needles, last_line.after))
        written.append(line)
        start = way.end
    return written


def _gap(line: SheetLine, later: SheetLine) -> int:
    return (later.counter or 0) - (line.counter or 0)


def _step(line: SheetLine, later: SheetLine) -> tuple[int, int, int] | None:
    """How many stitches more are in work, and how far the ends of the needles move."""
    if line.needles is None or later.needles is None:
        return None
    first, last = later.needles.first - line.needles.first, later.needles.last - line.needles.last
    return later.after - line.after, first, last


def _comes_again(values: Sequence[object], start: int, length: int) -> int:
    """One past the last line of a run up to which the first values come over and over."""
    if start + length > len(values) or None in values[start : start + length]:
        return start
    end = start + length
    while end < len(values) and values[end] == values[end - length]:
        end += 1
    return end + 1
