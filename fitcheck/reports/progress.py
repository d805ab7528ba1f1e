"""How far a begun sheet is knitted, by the taps on it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from fitcheck.records.begun_sheets import BegunSheet, Tap
from fitcheck.records.frozen import frozen


@frozen
class Progress:
    """How far a begun sheet is knitted.

    sheet   its id;  ended: it is no longer knitted from
    lines   how many it has, one for each time of a repeat
    done    those that are done, from 0 up
    next    the one after the last that is done; None where the last one is
    latest  the tap that stands of each line that has any
    """

    sheet: str
    ended: bool
    lines: int
    done: tuple[int, ...]
    next: int | None
    latest: Mapping[int, Tap]


def progress_of(begun: BegunSheet, taps: Iterable[Tap]) -> Progress:
    """How far a begun sheet is knitted.

    taps  in the order in which they came

    The latest tap of a line stands, by the clock of the device that made it; of two at one instant the one that came
    last.
    """
    latest: dict[int, Tap] = {}
    for tap in sorted(taps, key=lambda tap: tap.at):
        latest[tap.line] = tap
    done = tuple(line for line, tap in sorted(latest.items()) if tap.done)
    lines = len(begun.sheet.lines)
    following = done[-1] + 1 if done else 0
    return Progress(begun.id, begun.ended, lines, done, following if following < lines else None, latest)
