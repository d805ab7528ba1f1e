"""A wearer: body measures, optional; used for ease."""

from datetime import date

from pydantic import Field

from fitcheck.records.base import Key, Note, Record, Text, no_entries
from fitcheck.records.point_keys import PointKey
from fitcheck.records.readings import Reading, ReadingList, Readings


class Wearer(Record):
    """A person of the household.

    body   readings on the body per point: chest, waist, hem, upper arm and cuff are round on the body; the
           others are as the catalogue has them
    head   round the head, for the neck opening
    child  children's wear: cords, buttons and tight necks need the usual care
    """

    id: Key
    name: Text
    measured: date | None = None
    body: Readings = Field(default_factory=dict[PointKey, list[Reading]])
    head: ReadingList = Field(default_factory=no_entries)
    child: bool = False
    notes: Note = ""
