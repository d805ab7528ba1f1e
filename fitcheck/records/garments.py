"""The wardrobe: finished garments that fit, measured on dated occasions."""

from datetime import date
from typing import Annotated, Literal

from pydantic import Field

from fitcheck.records.base import Count, Key, Note, Record, Text, TypedLength, no_entries
from fitcheck.records.constructions import USUAL, ConstructionKey
from fitcheck.records.machines import Dial
from fitcheck.records.photographs import Photographs
from fitcheck.records.point_keys import PointKey
from fitcheck.records.points import PieceKind
from fitcheck.records.readings import Reading, Readings

State = Literal["washed_flat", "worn", "unsaid"]


class Occasion(Record):
    """One measuring of a garment.

    state   washed_flat: washed, dried flat, not worn since; worn; unsaid
    washes  how often it was washed before
    """

    id: Key
    on: date | None = None
    state: State = "unsaid"
    washes: Annotated[int, Field(ge=0, le=10_000)] | None = None
    readings: Readings = Field(default_factory=dict[PointKey, list[Reading]])
    notes: Note = ""


class ToFit(Record):
    """What was wanted of a finished garment at one point, half round where a point is flat.

    wanted           what it was to measure
    u                standard uncertainty of that; not said = it was a figure, and exact
    smaller, larger  what was allowed on either side; not said = anything
    """

    wanted: TypedLength
    u: TypedLength | None = None
    smaller: TypedLength | None = None
    larger: TypedLength | None = None


class AsKnitted(Record):
    """How a garment was knitted, as it was when its make was finished.

    dial    of the pieces; not said where they were knitted at several, or nobody said it
    stitch, row  stitch width and row height of the fabric, washed and blocked
    counts  stitches at widths and rows at lengths of each kind of piece: as knitted, else as planned
    fit     what it was to fit: with what the garment measures that tells how it fits, however often it is measured
    """

    dial: Dial | None = None
    stitch: TypedLength | None = None
    row: TypedLength | None = None
    counts: dict[PieceKind, dict[PointKey, Count]] = Field(default_factory=dict)
    fit: dict[PointKey, ToFit] = Field(default_factory=dict)


class Garment(Record):
    """A garment of the wardrobe.

    rib               the fabric is a rib: it stretches, so its widths are asked about before they are copied
    negative_ease     it is worn stretched: the same question
    thickness         thickness of the fabric; a much thicker new fabric takes room inside
    growth_along_percent, growth_across_percent
                      known growth from washed flat to worn, in percent; not said = assumed
    knitted           how it was knitted, where it is a make that was finished
    photographs       SHA-256 of each that lies beside it
    """

    id: Key
    name: Text
    wearer: Key | None = None
    construction: ConstructionKey = USUAL
    open_front: bool = False
    fabric: Text = ""
    rib: bool = False
    negative_ease: bool = False
    thickness: TypedLength | None = None
    growth_along_percent: Annotated[float, Field(ge=-10, le=20)] | None = None
    growth_across_percent: Annotated[float, Field(ge=-10, le=20)] | None = None
    occasions: Annotated[list[Occasion], Field(min_length=1)]
    knitted: AsKnitted | None = None
    photographs: Photographs = Field(default_factory=no_entries)
    notes: Note = ""

    @property
    def in_time(self) -> list[Occasion]:
        """The occasions from the first to the latest; one without a date counts as the oldest."""
        placed = enumerate(self.occasions)
        return [occasion for _, occasion in sorted(placed, key=lambda pair: (pair[1].on or date.min, pair[0]))]
