"""What makes two edges join that do not, in words: each way with what it comes to, its cost and its button."""

from __future__ import annotations

from collections.abc import Iterator

from fitcheck.advice.to_come.seams import JoinWay, Seam
from fitcheck.knitting.joins import Join
from fitcheck.records.frozen import frozen
from fitcheck.records.points import POINTS
from fitcheck.words.figures import Tape
from fitcheck.words.phrases import capital, count_words, spaced


@frozen
class WaySaid:
    """One way: its heading, what is done, what it costs, the word on its button, and the way itself."""

    head: str
    told: str
    cost: str
    button: str
    way: JoinWay


def ways_said(seam: Seam, tape: Tape) -> Iterator[WaySaid]:
    """What makes a seam join; nothing of one that does."""
    if isinstance(seam.join, Join):
        for way in seam.ways:
            yield _way(way, tape)


_WHERE = {
    "to_underarm": "up to the underarm",
    "body_length": "in all",
    "panel_length": "in all",
    "neck_width": "at the neck",
    "upper_arm": "at the upper arm",
}


def _way(way: JoinWay, tape: Tape) -> WaySaid:
    noun, name = way_noun(way), spaced(way.piece)
    changed, counted = count_words(abs(way.change), noun), f"{count_words(way.count, noun)} {_WHERE[way.point]}"
    button = f"{capital(name)}: {count_words(way.count, noun)}"
    if way.code == "count_again":
        told = f"The {name} is written down with {counted}: count them from mark to mark."
        return WaySaid("Count again", told, "A minute, before anything is undone.", f"Count the {name}", way)
    if way.code == "leave":
        told = f"It has {counted} as it was knitted; what the advice changes at its lower end parts it from the other."
        return WaySaid(f"Leave the {name} as it is", told, "No work.", "Look at the answer", way)
    eased = f" The rest, {tape.number(100 * abs(way.ease), 1)} %, is eased over the whole seam." if way.ease else ""
    told = f"Then the {name} has {counted}.{eased}"
    if way.code == "count":
        more = f"Knit the {name} with {changed} {'more' if way.change > 0 else 'fewer'}"
        return WaySaid(more, told, "No work: it is still to knit.", button, way)
    head = f"Take {changed} out" if way.code == "rip_back" else f"Knit {changed} more"
    return WaySaid(head, told, _AGAIN[way.point in ("to_underarm", "body_length")], button, way)


_AGAIN = ("All above that is knitted again.", "Below the underarm: all above that is knitted again.")


def way_noun(way: JoinWay) -> str:
    """What a way counts: rows of a length, stitches of a width."""
    return "row" if POINTS[way.point].direction == "along" else "stitch"
