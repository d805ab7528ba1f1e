"""What cannot be knitted as it was counted: why, and what would go instead."""

from __future__ import annotations

from fitcheck.knitting.cap_ways import MOST_STEPS, CapWay
from fitcheck.knitting.refusals import CannotShape
from fitcheck.words.faults import accepted
from fitcheck.words.phrases import capital, count_words, listed, small_first

_WHY = {
    "steps": "{read} steps do not go into their rows",
    "stitches": "{read} stitches do not go off, or on, within their rows",
    "armhole_rows": "An armhole of {rows} does not hold its shaping",
    "neck_rows": "A neck {rows} deep cannot be shaped so",
    "rows": "{rows} are too few",
    "needles": "{read} stitches do not lie on this bed",
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
        return f"Armhole of {read} rows: the shoulder would rest at the carriage.", accepted(accepts)
    why = _WHY.get(place, f"{capital(place.replace('_', ' '))}: {{read}} does not go")
    why = why.format(read=read, rows=count_words(int(read), "row") if read.isdecimal() else read)
    if place == "steps" and accepts.values.get("every", 1) > 1:
        each, over = accepts.values["every"], accepts.values["over"]
        why = f"{read} steps on every {'2nd' if each == 2 else '3rd' if each == 3 else f'{each}th'} row in {over} rows"
    return f"Not possible: {small_first(why)}.", accepted(accepts)


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
