"""The one thing to count or to answer that separates what may explain a piece best."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from fitcheck.advice.judge.explanation import WORTH_COUNTING, Explanation, Suspect
from fitcheck.advice.judge.slips import counted_first
from fitcheck.records.points import POINTS

DoubtCode = Literal["miscount", "another_dial", "out_of_shape"]
"""What is doubted, and so counted, answered, or wetted and read again."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """What one gauge for the whole piece is given up for, and what settles it.

    code      miscount: a count; another_dial: where the dial stood; out_of_shape: how the piece lies
    about     point to count; empty otherwise
    stitches  stitches or rows more (minus: fewer) than written there, by the likeliest explanation that moves it
    dial      where the dial would have stood
    suspects  points whose counts feed nothing until it is settled
    """

    code: DoubtCode
    about: str = ""
    stitches: int = 0
    dial: str | None = None
    suspects: frozenset[str] = frozenset()


def doubt_of(explanation: Explanation) -> Doubt | None:
    """What to count or ask first; None where one gauge has half the weight, or nothing is left that would settle it.

    With L the likeliest explanation that counting or an answer settles and R the next likely of all, the point is
    one that L moves and R does not, else one that both move: a welt only where nothing else is left.
    """
    if explanation.pulled:
        return Doubt("out_of_shape")
    doubted = [told for told in explanation.directions.values() if told.in_doubt]
    doubted.sort(key=lambda told: told.weights["one_gauge"])
    leading = [told.suspects[0] for told in doubted if told.suspects and told.suspects[0].weight >= WORTH_COUNTING]
    if not leading:
        return None
    first, told = leading[0], next(told for told in doubted if told.suspects and told.suspects[0] in leading)
    if first.code == "another_dial":
        return Doubt("another_dial", dial=first.dial)
    rival = next(iter(told.suspects[1:]), None)
    settled_otherwise = max(told.weights["one_gauge"], told.weights["two_gauges"])
    shared = rival.points if rival is not None and rival.weight > settled_otherwise else ()
    about = _telling(first, frozenset(shared))
    return Doubt(
        "miscount", about, first.stitches, suspects=frozenset(key for suspect in leading for key in suspect.points)
    )


def _telling(first: Suspect, shared: frozenset[str]) -> str:
    """The point that tells the likeliest explanation from the next."""
    telling = [key for key in first.points if key not in shared and not (key in POINTS and POINTS[key].own_edge)]
    return min(telling, key=counted_first, default=first.first)
