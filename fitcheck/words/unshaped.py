"""What cannot be knitted as it was counted: why, and what would go instead."""

from __future__ import annotations

from typing import Any

from fitcheck.knitting.cap_ways import MOST_STEPS, CapWay
from fitcheck.knitting.refusals import CannotShape
from fitcheck.reports.shapes import Report
from fitcheck.words.bed import LOOSER_DIAL, off_the_bed
from fitcheck.words.demanded import cannot_hold
from fitcheck.words.faults import accepted
from fitcheck.words.phrases import capital, count_words, listed, sentence, small_first, spaced
from fitcheck.words.said import MOST_HEAD

_WHY = {
    "stitches": "{read} stitches do not go off, or on, within their rows",
    "armhole_rows": "An armhole of {rows} does not hold its shaping",
    "neck_rows": "A neck {rows} deep cannot be shaped so",
    "rows": "{rows} are too few",
    "sleeve_rows": "{rows} are too few for a sleeve up to its top",
    "counter": "At row {read} an edge would be shaped twice",
    "k": "A shoulder cannot rest in {read} groups",
    "across": "From the chest to {read} stitches across, both sides cannot be shaped alike",
    "neck": "With {read} stitches of neck both shoulders cannot be alike",
    "top": "With {read} stitches at the top both sides cannot be shaped alike",
    "upper": "{read} stitches are too few for a cap",
}
"""By the count that does not go."""


def unshaped(refused: CannotShape) -> tuple[str, str]:
    """Why a piece cannot be knitted so, and what would help: two sentences, the second empty where nothing is known."""
    if refused.fault is None:
        return _no_cap(refused)
    place, read, accepts = refused.fault.place, refused.fault.read, refused.fault.accepts
    if accepts.code == "armhole_rows_even":
        return armhole_of_even_rows(read), accepted(accepts)
    if accepts.code == "too_few_needles":
        return off_the_bed(**accepts.values), LOOSER_DIAL
    if accepts.code == "steps_do_not_fit":
        return f"Not possible: {_steps(int(read), **accepts.values)}.", accepted(accepts)
    why = _WHY.get(place, f"{capital(place.replace('_', ' '))}: {{read}} does not go")
    why = why.format(read=read, rows=count_words(int(read), "row") if read.isdecimal() else read)
    return f"Not possible: {small_first(why)}.", accepted(accepts)


def pieces_unshaped(report: Report) -> list[str]:
    """Body pieces that cannot be knitted as they are counted; those with one reason together.

    "The front cannot be knitted so: a neck 90 rows deep cannot be shaped so. 71 rows or fewer."
    """
    pieces: dict[tuple[str, str], list[str]] = {}
    for piece in report.unshaped:
        why = unshaped(piece.why) if piece.why is not None else (cannot_hold(piece.conflict), "")
        pieces.setdefault(why, []).append(f"the {spaced(piece.kind)}")
    return [
        f"{capital(listed(kinds))}, as counted: {small_first(why)}{f' {sentence(helps)}' if helps else ''}"
        for (why, helps), kinds in pieces.items()
    ]


def unshaped_heading(refused: CannotShape) -> tuple[str, str]:
    """The same as a heading and the sentence under it."""
    why, helps = unshaped(refused)
    if refused.fault is not None and refused.code == "armhole_rows_even":
        return f"Armhole of {refused.fault.read} rows: {helps}", f"{capital(_REST_AT_CARRIAGE)}."
    return (why, helps) if len(why) <= MOST_HEAD else ("This cannot be knitted as it stands.", f"{why} {helps}")


def armhole_of_even_rows(rows: int | str) -> str:
    """ "Armhole of 70 rows: the shoulder would rest with the carriage at its own side." """
    return f"Armhole of {rows} rows: {_REST_AT_CARRIAGE}."


_REST_AT_CARRIAGE = "the shoulder would rest with the carriage at its own side"


def _steps(steps: int, every: int, over: float, **_: Any) -> str:
    """ "21 steps on every 2nd row in 40 rows" """
    which = {1: "", 2: "2nd ", 3: "3rd "}.get(every, f"{every}th ")
    return f"{count_words(steps, 'step')} on every {which}row in {over:g} rows"


def _no_cap(refused: CannotShape) -> tuple[str, str]:
    nearest = refused.values["nearest"]
    if nearest is None:
        return "No cap fits: its top takes all stitches.", ""
    low, high = refused.values["ease"]
    off = f"{100 * (low - nearest):.1f} % short" if nearest < low else f"{100 * (nearest - high):.1f} % long"
    ways = [_way(way, refused.values["upper_now"]) for way in refused.values["ways"]]
    anew = f"Look at the upper arm and the armholes again: {2 * MOST_STEPS} stitches or rows either way let none in."
    return f"No cap fits: the nearest is {off}.", f"{capital(listed(ways, 'or'))}." if ways else anew


def _way(way: CapWay, upper: int) -> str:
    """What lets a cap fit: "2 stitches more at the upper arm"."""
    parts = []
    if way.upper is not None:
        more = "more" if way.upper > upper else "fewer"
        parts.append(f"{abs(way.upper - upper)} stitches {more} at the upper arm")
    if way.ease is not None:
        parts.append(f"ease to {100 * way.ease:.0f} %")
    if way.rows is not None:
        parts.append(f"armhole {abs(way.rows)} rows {'deeper' if way.rows > 0 else 'shallower'} on the front")
    return listed(parts)
