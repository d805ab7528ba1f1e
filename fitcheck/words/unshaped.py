"""What cannot be knitted as it was counted: why, and what would go instead."""

from __future__ import annotations

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
    ways = [
        f"{abs(upper - now)} stitches {'more' if upper > now else 'fewer'} at the upper arm"
        for now in (refused.values["upper_now"],)
        for upper in refused.values["upper"]
    ]
    if refused.values["more_ease"]:
        ways.append(f"ease to {100 * refused.values['more_ease']:.0f} %")
    ways += [
        f"armhole 2 rows {'deeper' if rows > now else 'shallower'} on the front"
        for now, rows in refused.values.get("front_rows", ())
    ]
    return f"No cap fits: the nearest is {off}.", f"{capital(listed(ways, 'or'))}." if ways else ""
