"""A stage: what was done to a swatch or a piece, when, and what the tape then said.

Stages are a dated list of events: a piece can be blocked twice. A change in finishing is between two of them.
"""

from datetime import date
from typing import Annotated, Literal

from pydantic import Field

from fitcheck.records.base import Note, Record, Text, TypedLength, no_entries
from fitcheck.records.photographs import Photographs
from fitcheck.records.point_keys import PointKey
from fitcheck.records.readings import Overhang, Overhangs, Reading, ReadingList, Readings

StageKind = Literal["off_machine", "rested", "blocked", "hung"]
Blocking = Literal["patted", "pinned", "steamed"]


class Stage(Record):
    """What every stage carries.

    kind         off_machine, rested, blocked (washed and blocked, dry) or hung
    hours        hours since it came off the machine, or hours dry after blocking
    treatment    how it was washed, in a few words; unequal treatments are not pooled
    blocking     laid and patted, pinned, or steamed
    pinned       directions held by pins while it was read: such a direction gives no gauge and no verdict
    load_grams   load that it hung with
    grams        weight at this stage
    """

    kind: StageKind
    on: date | None = None
    hours: Annotated[float, Field(ge=0, le=100_000)] | None = None
    treatment: Text = ""
    blocking: Blocking | None = None
    pinned: list[Literal["across", "along"]] = Field(default_factory=no_entries)
    load_grams: Annotated[float, Field(gt=0, le=10_000)] | None = None
    grams: Annotated[float, Field(gt=0, le=10_000)] | None = None
    notes: Note = ""


class SwatchStage(Stage):
    """A stage of a swatch: distance between the markers, across and along."""

    across: ReadingList = Field(default_factory=no_entries)
    along: ReadingList = Field(default_factory=no_entries)


class PieceStage(Stage):
    """A stage of a piece: readings, or overhangs over the garment, per point of measure.

    held_at   the size it was pinned to, per point
    photographs   SHA-256 of each that lies beside it
    """

    readings: Readings = Field(default_factory=dict[PointKey, list[Reading]])
    overhangs: Overhangs = Field(default_factory=dict[PointKey, list[Overhang]])
    held_at: dict[PointKey, TypedLength] = Field(default_factory=dict)
    photographs: Photographs = Field(default_factory=no_entries)
