"""Pattern sizes, typed by the knitter from the pattern that they own."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from fitcheck.records.base import Count, Key, Note, Record, Text, TypedLength, no_entries, refused
from fitcheck.records.faults import Accepts
from fitcheck.records.point_keys import PointKey
from fitcheck.records.points import PieceKind

EVEN = 2
"""A repeat of two stitches, which a table has where nobody says one: counts keep their parity."""


class PrintedGauge(Record):
    """The gauge as the pattern prints it: stitches and rows over a length."""

    stitches: Annotated[float, Field(gt=0, le=400)] | None = None
    rows: Annotated[float, Field(gt=0, le=600)] | None = None
    over: TypedLength


class Cell(Record):
    """One piece's figure at one point in one size: a printed finished measure, a count, or both."""

    measure: TypedLength | None = None
    count: Count | None = None

    @model_validator(mode="after")
    def _something(self) -> Self:
        if self.measure is None and self.count is None:
            raise refused(Accepts("measure_or_count"))
        return self


class Size(Record):
    """One size of the table: cells per piece and point."""

    name: Text
    pieces: dict[PieceKind, dict[PointKey, Cell]]


class SizeTable(Record):
    """A pattern's sizes as the knitter typed them.

    measures       whether the printed measures are of the finished garment (flat or round) or of the pieces
    edge_stitches  stitches of each piece's width that seams swallow, both edges together
    multiple       stitches of a pattern repeat (2 keeps the parity)
    print_step     step of the printed measures (0.5 cm, 1/4 in)
    row_counted    points whose shaping the pattern counts in rows
    """

    id: Key
    name: Text
    gauge: PrintedGauge | None = None
    measures: Literal["flat", "round", "piece"] = "flat"
    edge_stitches: Annotated[int, Field(ge=0, le=20)] = 2
    multiple: Annotated[int, Field(ge=1, le=60)] = EVEN
    balance: Annotated[int, Field(ge=0, le=59)] = 0
    print_step: TypedLength | None = None
    row_counted: list[PointKey] = Field(default_factory=no_entries)
    sizes: Annotated[list[Size], Field(min_length=1)]
    notes: Note = ""
