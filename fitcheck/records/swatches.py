"""A swatch: how it was knitted, what lies between its markers, and its readings at each stage."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from fitcheck.records.base import FROM_FIGURES, Key, Note, Record, Text, no_entries, refused
from fitcheck.records.faults import Accepts
from fitcheck.records.machines import Dial
from fitcheck.records.photographs import Photographs
from fitcheck.records.stages import SwatchStage

MarkerRule = Literal["between", "centre_to_centre", "inner_edge_to_inner_edge"]


class Span(Record):
    """What the tape spans between two marks, in stitches or in rows (fit rule 11).

    Either `count` says how many lie between (rule ``between``), or `first` and `last` are the marked needles
    (or rows): from centre to centre of the marks last - first lie between; from inner edge to inner edge
    last - first - 1.
    """

    count: Annotated[int, FROM_FIGURES, Field(ge=1, le=2000)] | None = None
    first: Annotated[int, FROM_FIGURES, Field(ge=-500, le=5000)] | None = None
    last: Annotated[int, FROM_FIGURES, Field(ge=-500, le=5000)] | None = None
    rule: MarkerRule = "between"

    @model_validator(mode="after")
    def _complete(self) -> Self:
        if self.rule == "between":
            if self.count is None or self.first is not None or self.last is not None:
                raise refused(Accepts("count_alone"))
        elif self.count is not None or self.first is None or self.last is None:
            raise refused(Accepts("first_and_last", rule=self.rule))
        if self.between < 1:
            raise refused(Accepts("last_mark_beyond_the_first"))
        return self

    @property
    def between(self) -> int:
        """Stitches or rows that the tape spans [1]."""
        if self.count is not None:
            return self.count
        assert self.first is not None
        assert self.last is not None
        return self.last - self.first - (self.rule == "inner_edge_to_inner_edge")


class Knitted(Record):
    """How a swatch or piece was knitted: what must be equal before two are pooled.

    strands  knitted together; not said = it agrees with any number
    """

    yarn: Key | None = None
    lot: Text = ""
    strands: Annotated[int, Field(ge=1, le=12)] | None = None
    machine: Key | None = None
    carriage: Text = ""
    dial: Dial | None = None
    mast_tension: Text = ""
    weights: Text = ""
    needle_arrangement: Text = ""
    stitch_pattern: Text = "plain"


class Swatch(Knitted):
    """A swatch of the swatch book.

    photographs  SHA-256 of each that lies beside it
    """

    id: Key
    name: Text = ""
    stitches: Span
    rows: Span | None = None
    stages: Annotated[list[SwatchStage], Field(min_length=1)]
    photographs: Photographs = Field(default_factory=no_entries)
    notes: Note = ""
