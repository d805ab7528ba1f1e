"""What a plan is made from: the counts of a piece, its shaping where it is known, and what the knitter chose."""

from __future__ import annotations

from itertools import accumulate
from typing import Literal

from fitcheck.knitting.cap import Cap
from fitcheck.knitting.curve import STEP_ROWS, Times
from fitcheck.knitting.plan import Side
from fitcheck.records.choices import EndRule
from fitcheck.records.frozen import frozen

SIDE_PLAIN_MM = 25.0
"""Rows left plain below an underarm, where a tape for the chest lies [mm] (definition of the point of measure)."""
SLEEVE_PLAIN_MM = 40.0
"""Rows left plain below a sleeve's cap [mm] (common practice, no source)."""


@frozen
class Shaping:
    """What goes off at one edge of an armhole or at half a neck, from below.

    at_once  stitches cast off at an underarm; of a neck half of those in the middle, so that it may end in a half
    steps    stitches of each stepped cast-off after it, every 2nd row
    every    decreases of one stitch: (how many times, every how many rows)
    """

    at_once: float
    every: tuple[Times, ...] = ()
    steps: tuple[int, ...] = ()

    @property
    def stitches(self) -> float:
        """Off altogether."""
        return self.at_once + sum(self.steps) + sum(times for times, _ in self.every)

    @property
    def rows(self) -> int:
        """Rows from what goes off at once to the last decrease."""
        return STEP_ROWS * len(self.steps) + sum(times * every for times, every in self.every)

    @property
    def decreases(self) -> tuple[int, ...]:
        """Rows of each decrease after the last cast-off."""
        return tuple(accumulate([every for times, every in self.every for _ in range(times)]))


@frozen
class Fabric:
    """Finished stitch width and row height [mm]."""

    w: float
    h: float


@frozen
class BodyCounts:
    """A back or a front, whole or half, with set-in sleeves or drop shoulders.

    cast_on        stitches
    chest          stitches below the underarm
    to_underarm    rows from the cast-on to the underarm
    across         stitches above the armholes: shoulder to shoulder; of half a front its half of them
    armhole_rows   rows from the first underarm cast-off, or its mark, to the first row of the shoulder
    neck           stitches of the neck: across less both shoulders; of half a front its half of them
    neck_rows      depth of the neck below the last row; 0: straight across at the end [rows]
    groups         short-row groups of each shoulder
    fabric         of the finished piece
    waist          (rows from the cast-on, stitches) at the waist; None where the side is one run
    armhole        shaping of each armhole; None: the curve nearest to a quarter ellipse
    neck_shaping   shaping of each half of the neck; None: likewise
    unlike         chest and across may be an odd number apart: the bed's left side, which has the one needle more of an
                   odd count, casts one stitch more off at its underarm
    underarm       cast off at each side, as at the piece that it is sewn to; None: as usual
    """

    cast_on: int
    chest: int
    to_underarm: int
    across: int
    armhole_rows: int
    neck: int
    neck_rows: int
    groups: int
    fabric: Fabric
    waist: tuple[int, int] | None = None
    armhole: Shaping | None = None
    neck_shaping: Shaping | None = None
    unlike: bool = False
    underarm: int | None = None


@frozen
class SleeveCounts:
    """A sleeve: with a cap for a set-in armhole, straight across the top for a drop shoulder.

    cast_on      stitches
    upper        stitches at its widest
    to_underarm  rows from the cast-on to the underarm, or to the top where there is no cap
    fabric       of the finished piece
    underarm     cast off at each side below the cap
    armhole_mm   sewn edges of back and front together that the cap goes into [mm]
    cap_rows     wanted height of the cap [rows]; None: any
    cap          the cap, where it was chosen; None: the fairest that fits
    """

    cast_on: int
    upper: int
    to_underarm: int
    fabric: Fabric
    underarm: int = 0
    armhole_mm: float = 0.0
    cap_rows: float | None = None
    cap: Cap | None = None


@frozen
class RaglanCounts:
    """A piece of a raglan: back, front or half of one, sleeve.

    cast_on       stitches
    widest        stitches below the underarm
    to_underarm   rows from the cast-on to the underarm
    underarm      cast off at each side
    raglan_rows   rows from the first underarm cast-off to the end: the same for all four edges
    top           stitches that are left at the end; of a front with a neck of its own, at both tips together
    fabric        of the finished piece
    neck_rows     depth of a front's neck below the end; 0: straight across [rows]
    neck          stitches of that neck; of half a front its half of them
    neck_shaping  shaping of each half of it; None: the curve nearest to a quarter ellipse
    """

    cast_on: int
    widest: int
    to_underarm: int
    underarm: int
    raglan_rows: int
    top: int
    fabric: Fabric
    neck_rows: int = 0
    neck: int = 0
    neck_shaping: Shaping | None = None


@frozen
class PanelCounts:
    """A side panel: straight or tapered, cast off together.

    cast_on  stitches
    top      stitches at its end
    rows     from the cast-on to the end
    fabric   of the finished piece
    """

    cast_on: int
    top: int
    rows: int
    fabric: Fabric


Counts = BodyCounts | SleeveCounts | RaglanCounts | PanelCounts


@frozen
class Choices:
    """What the knitter chose; each as usual where nothing is said.

    first         side of the bed that is shaped first; a front's is the other than its back's
    inset         loops that move with a transfer: 2 or 3
    increase      moved: the outer loops one needle outward, both sides at once; edge: an empty needle at the
                  carriage's side, the other side one row later
    side_rule     what stays plain at the ends of a side's spacing
    neck          the middle of a neck is parked on waste yarn, or cast off
    made_odd      armhole rows that would rest with the carriage at its own side are made odd one row up or down;
                  None: refused
    needles       on the bed; None: as many as are needed
    """

    first: Side = "left"
    inset: Literal[2, 3] = 3
    increase: Literal["moved", "edge"] = "moved"
    side_rule: EndRule = "last"
    neck: Literal["parked", "cast_off"] = "parked"
    made_odd: Literal["up", "down"] | None = None
    needles: int | None = None


USUAL = Choices()
"""What is chosen where nobody says it (common practice, no source)."""
