"""A reading of the tape, and an overhang: kept as typed, never overwritten, only set aside."""

from datetime import datetime
from functools import cached_property
from typing import Annotated, Any, ClassVar, Literal

from pydantic import BeforeValidator, Field, ValidationInfo, model_validator

from fitcheck.records.base import Key, Record, Text, length_of, length_typed, refused, unit_of
from fitcheck.records.faults import Accepts
from fitcheck.records.lengths import Length
from fitcheck.records.point_keys import PointKey

LengthUnit = Literal["mm", "cm", "m", "in", "ft", "yd"]
MAX_LOOKS = 3
"""Rounds of readings that may be judged: at most three looks (repeated judging, 2.2 % each)."""
DATE_AND_TIME = Accepts("date_and_time", such_as="2025-03-31T18:30")
"""What is accepted where a moment is not."""


def moment(value: Any) -> Any:
    """Read date and time as JSON carries them; a strict record behind a shorthand takes no text by itself."""
    if not isinstance(value, str):
        return value
    try:
        return datetime.fromisoformat(value)
    except ValueError as error:
        raise refused(DATE_AND_TIME) from error


Moment = Annotated[datetime, BeforeValidator(moment)]
"""Date and time, as JSON carries them."""


class Reading(Record):
    """One reading of the tape. A bare text or number stands for ``{"text": ...}``.

    text       as typed; a bare number is read in `unit`
    unit       the unit that a bare number was typed in; filled in when it is read, so that it stays when
               the household changes its unit
    laying     which laying of the piece it belongs to; not said = the same laying as its neighbours
    look       round of readings: 1, then 2 and 3 for rounds added after a verdict was shown
    set_aside  why it does not count any more; empty = it counts
    confirmed  it was questioned as unlikely and kept
    """

    signed: ClassVar[bool] = False

    text: Annotated[str, Field(min_length=1, max_length=60)]
    unit: LengthUnit | None = None
    id: Key | None = None
    at: Moment | None = None
    by: Text = ""
    tape: Text = ""
    laying: Annotated[int, Field(ge=1, le=99)] | None = None
    look: Annotated[int, Field(ge=1, le=MAX_LOOKS)] = 1
    set_aside: Text = ""
    confirmed: bool = False

    @model_validator(mode="before")
    @classmethod
    def _from_bare(cls, value: Any, info: ValidationInfo) -> Any:
        """Take a bare text or number, and settle the unit while it is known."""
        if not isinstance(value, dict):
            if value is None or isinstance(value, bool | list):
                return value
            value = {"text": value}
        if "text" not in value:
            return value
        unit = value.get("unit")
        length = length_of(value["text"], unit or unit_of(info), signed=cls.signed, in_list=True)
        return {**value, "text": length.text, "unit": unit or length.unit}

    @cached_property
    def length(self) -> Length:
        """The reading as a length [mm] with its resolution [mm]."""
        return length_typed(self.text, self.unit, signed=self.signed)

    @property
    def counts(self) -> bool:
        """Whether the reading still counts (was not set aside)."""
        return not self.set_aside


class Overhang(Reading):
    """How far the piece, laid on the garment, sticks out (+) or falls short (-) at a point."""

    signed: ClassVar[bool] = True


def listed(value: Any) -> Any:
    """One reading may stand without its list."""
    return value if isinstance(value, list) else [value]


ReadingList = Annotated[list[Reading], BeforeValidator(listed)]
"""Readings of one thing."""

Readings = Annotated[dict[PointKey, Annotated[list[Reading], BeforeValidator(listed)]], Field()]
"""Readings per point of measure."""

Overhangs = Annotated[dict[PointKey, Annotated[list[Overhang], BeforeValidator(listed)]], Field()]
"""Overhangs per point of measure."""
