"""A sheet that somebody began: its lines as they were shown, and the taps on them.

It is what was *read off*: nothing reckons with it but the replay and its page. A sheet that nobody has begun is
reckoned anew and has no number.
"""

from typing import Annotated

from pydantic import Field

from fitcheck.records.base import Count, Key, Record, Text
from fitcheck.records.point_keys import PointKey
from fitcheck.records.readings import Moment
from fitcheck.records.sheet_kinds import SheetKind
from fitcheck.records.written_sheets import MOST_LINES, Rows, WrittenSheet

MostTaps = 20_000
"""Taps of one sheet: each line done and taken back twice over."""


class BegunSheet(Record):
    """A sheet from its first tick or print on.

    id         its name in the make
    piece      what is knitted from it, a band too;  number: 1, 2, 3 for each piece, what pages call revision
    counts     stitches and rows that it was made for, per point; none of a band
    stitch_mm, row_mm  size of the fabric that it was made for [mm]
    digest     SHA-256 of its lines
    at         when it was begun
    ended      it is no longer knitted from: a newer one is, or the piece is off the needles
    kept_against  SHA-256 of newer lines that were not taken: the piece goes on as it was begun
    sheet      its lines as they were shown
    """

    id: Key
    piece: SheetKind
    number: Annotated[int, Field(ge=1, le=999)]
    counts: dict[PointKey, Count] = Field(default_factory=dict)
    stitch_mm: Annotated[float, Field(gt=0, le=50)]
    row_mm: Annotated[float, Field(gt=0, le=50)]
    digest: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
    at: Moment
    ended: bool = False
    kept_against: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")] | None = None
    sheet: WrittenSheet


class Tap(Record):
    """One tap at the machine: only ever added, never changed. No answer depends on it.

    id       made on the device, so that the same tap sent twice is one
    line     line of the sheet, from 0 up; beyond the last it is refused
    done     the line was knitted, else taken back
    counter  what the row counter showed [rows]
    at       when, by the clock of the device
    device   which one, so that two of them tell their taps apart
    """

    id: Annotated[str, Field(pattern=r"^[0-9a-z-]{8,64}$")]
    line: Annotated[int, Field(ge=0, lt=MOST_LINES)]
    done: bool
    counter: Rows
    at: Moment
    device: Text = ""


class SheetTaps(Record):
    """The taps on a begun sheet of a make, in the order in which they came."""

    make: Key
    sheet: Key
    taps: Annotated[list[Tap], Field(max_length=MostTaps)]
