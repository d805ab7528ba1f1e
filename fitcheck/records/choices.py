"""What the knitter chooses for the pieces still to knit; the counts do not say it."""

from typing import Annotated, Literal

from pydantic import Field

from fitcheck.records.base import FROM_FIGURES, Record, no_entries
from fitcheck.records.point_keys import PointKey
from fitcheck.records.points import PieceKind
from fitcheck.records.written_sheets import SheetSide

EndRule = Literal["last", "inside", "half", "ends"]
"""What stays plain before the first step of a side and after its last: nothing after it; a gap; half a gap at both
ends; nothing at either end."""
Widening = Literal["needle", "moved"]
"""How a stitch comes in at an edge: on an empty needle, or by moving the outer loops outward."""
Inset = Annotated[Literal[2, 3], FROM_FIGURES]


LiftedDemand = Literal[
    "repeat",
    "parity",
    "shoulders",
    "neck",
    "ease",
    "wider_arm",
    "narrower_arm",
    "deeper_armhole",
    "shallower_armhole",
]
"""What counts no longer keep: whole pattern repeats; both sides alike; shoulders of as many stitches as the back's; a
neck as wide as the back's; a cap that is eased in by no more than usual; and, so that a cap fits at all, an upper arm
or the rows of a front's armhole: more or fewer than they come to otherwise, two by two."""


class Lifted(Record):
    """A demand that a piece still to knit no longer keeps, because it could not hold together with others.

    piece   which
    demand  what is lifted
    points  the widths that it ties; none of what lets a cap fit
    times   how often two stitches, or two rows, are more or fewer; nothing else is lifted more than once
    """

    piece: PieceKind
    demand: LiftedDemand
    points: list[PointKey] = Field(default_factory=no_entries, max_length=4)
    times: Annotated[int, FROM_FIGURES, Field(ge=1, le=10)] = 1


class Choices(Record):
    """How the rest is knitted. What is not said is the usual way (common practice, no source).

    end_rule         where evenly spread steps end
    inset            loops that move with a transfer, the edge stitch among them
    cast_on          by e-wrap, or on waste yarn with open loops
    widening         how a stitch comes in at an edge
    first_side       bed side that a back's shaping begins at; a front's begins at the other
    shoulder_groups  groups that rest at a shoulder; not said = by the slope
    armhole_rows     an armhole of even rows becomes odd by one row more or one fewer; not said = it is asked
    neck             the centre of the neck goes on waste yarn, or is cast off
    lifted           demands that the counts of pieces still to knit no longer keep
    """

    end_rule: EndRule = "last"
    inset: Inset = 3
    cast_on: Literal["e_wrap", "waste_yarn"] = "e_wrap"
    widening: Widening = "moved"
    first_side: SheetSide = "left"
    shoulder_groups: Annotated[int, FROM_FIGURES, Field(ge=1, le=20)] | None = None
    armhole_rows: Literal["up", "down"] | None = None
    neck: Literal["parked", "cast_off"] = "parked"
    lifted: list[Lifted] = Field(default_factory=no_entries, max_length=40)
