"""What makes two edges join that do not, in words: each way with what it comes to, its cost and its button."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from fitcheck.advice.to_come.seams import JoinWay, Seam
from fitcheck.knitting.joins import Join
from fitcheck.records.points import POINTS
from fitcheck.words.figures import Tape
from fitcheck.words.phrases import capital, count_words, spaced


@dataclass(frozen=True, slots=True)
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
            yield _way(way, seam.join, tape)


_PLACES = {"to_underarm": "underarm", "panel_length": "top", "neck_width": "neck", "upper_arm": "upper arm"}


def _way(way: JoinWay, join: Join, tape: Tape) -> WaySaid:
    noun, name, where = way_noun(way), spaced(way.piece), _PLACES[way.point]
    button = f"{capital(name)}: {count_words(way.count, noun)}"
    changed, counted = count_words(abs(way.change), noun), count_words(way.count, noun)
    if way.code == "count_again":
        told = f"{counted} are written down up to the {where}: count them from mark to mark."
        return WaySaid("Count again", told, "A minute, before anything is undone.", f"Count the {name}", way)
    if way.code == "leave":
        told = f"It has {counted} as it was knitted; what the advice changes at its lower end parts it from the other."
        return WaySaid(f"Leave the {name} as it is", told, "No work.", "Look at the answer", way)
    if way.code == "count":
        told = f"It is still to knit: {changed} {'more' if way.change > 0 else 'fewer'} at the {where}."
        return WaySaid(f"Knit the {name} with {way.count}", told, "No work.", button, way)
    eased = f" The rest, {tape.number(100 * abs(way.ease), 1)} %, is eased over the whole seam." if way.ease else ""
    again = "All above that is knitted again."
    if way.code == "rip_back":
        return WaySaid(
            f"Take {changed} out", f"Back to {counted} at the {where} of the {name}.{eased}", again, button, way
        )
    told = f"Back to the {where} of the {name}, then {changed} more.{eased}"
    return WaySaid(f"Knit {changed} more", told, again, button, way)


def way_noun(way: JoinWay) -> str:
    """What a way counts: rows of a length, stitches of a width."""
    return "row" if POINTS[way.point].direction == "along" else "stitch"
