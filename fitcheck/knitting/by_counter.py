"""Where in a sheet the figure of the row counter is: it runs on until it is set, and only so far is it one place."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.knitting.lines import SheetLine


def stretches(lines: Sequence[SheetLine]) -> tuple[int, ...]:
    """Number of the stretch of each line: within one the counter only runs on; what sets it is the last of its own.

    lines  unfolded
    """
    numbers, number = [], 0
    for line in lines:
        numbers.append(number)
        number += line.act == "set_counter"
    return tuple(numbers)


def line_at(lines: Sequence[SheetLine], here: int, counter: int) -> int | None:
    """The line that comes next while the counter shows a figure, in the stretch of another line.

    lines    unfolded;  here: number of a line of the stretch, from 0
    counter  what the counter shows [rows]

    An act stands at the figure at which it is done, so those at the figure itself are still to come. None where the
    stretch ends before it. What is done at a counter that nobody said may be done at any.
    """
    numbers = stretches(lines)
    there = (place for place, number in enumerate(numbers) if number == numbers[here])
    return next((place for place in there if (row := lines[place].counter) is None or row >= counter), None)
