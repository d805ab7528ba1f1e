"""Where the tape of a point of measure lies on the outline of its piece."""

from __future__ import annotations

from typing import Literal, NamedTuple


class Lies(NamedTuple):
    """Where the tape lies on the outline of a piece, by the outline's corners.

    way      across: level through a corner; inside: the same, drawn above the opening, as wide as it was measured;
             along: upright from the level of one corner to that of another; edge: straight from corner to corner;
             curve: along the stretches of that name
    column   where an upright tape stands: a corner, or a column of drawing/tapes.py
    """

    way: Literal["across", "inside", "along", "edge", "curve"]
    begin: str
    end: str = ""
    column: str = "middle"
