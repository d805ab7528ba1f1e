"""The machine: needle pitch, needles on the bed, and the dial with its marks between numbers."""

import re
from functools import lru_cache
from typing import Annotated, Any

from pydantic import Field, model_validator

from fitcheck.records.base import Key, Note, Record, Text, TypedLength, refused
from fitcheck.records.faults import Accepts

_DIAL = re.compile(r"^\s*(\d{1,2})\s*(?:[.,](\d)|(\++)|([·.]{1,3}))?\s*$")

DIAL_SETTING = Accepts("dial_setting", such_as=("7", "7.1", "7+", "7··"))
"""What is accepted where a dial setting is not."""


MARKS = 2
"""Marks between two dial numbers where no machine says it (common practice, no source)."""

BEDS = (110, 112, 114, 150, 200, 250)
"""Needles of the usual beds, from those for thick yarn to those for fine (common practice, no source)."""
NARROWEST_BED = BEDS[0]
"""Needles that every usual bed has: whether more stitches lie on it hangs on the machine."""
WIDEST_BED = BEDS[-1]
"""Needles of the longest usual bed, where no machine is named."""


MOST_NEEDLES = 500
"""Needles of the widest bed that is taken."""


class Dial(Record):
    """A dial setting: a number and marks after it. Text stands for it: ``7``, ``7.1``, ``7+``, ``7··``.

    ``7.1`` is 7 and one mark, not a decimal. A bare JSON number with decimals is refused, because it could be
    either.
    """

    number: Annotated[int, Field(ge=0, le=30)]
    marks: Annotated[int, Field(ge=0, le=9)] = 0

    @model_validator(mode="before")
    @classmethod
    def _from_text(cls, value: Any) -> Any:
        if isinstance(value, bool):
            return value
        if isinstance(value, int):
            return {"number": value}
        if isinstance(value, float):
            raise refused(Accepts("dial_setting_in_quotes", such_as='"7.1"'))
        if isinstance(value, str):
            match = _DIAL.match(value)
            if not match:
                raise refused(DIAL_SETTING)
            number, marks, pluses, dots = match.groups()
            return {"number": int(number), "marks": int(marks) if marks else len(pluses or dots or "")}
        return value

    def position(self, marks_between: int = MARKS) -> float:
        """Place on the dial in numbers: 7 and one mark of two between numbers is 7 1/3."""
        return self.number + self.marks / (marks_between + 1)

    def written(self) -> str:
        """As it is written: 7, 7.1."""
        return f"{self.number}.{self.marks}" if self.marks else str(self.number)


class Machine(Record):
    """A flat-bed machine of the household.

    pitch     distance from needle to needle
    needles   needles on the bed
    marks     marks between two dial numbers (two = thirds)
    """

    id: Key
    name: Text
    pitch: TypedLength | None = None
    needles: Annotated[int, Field(ge=10, le=MOST_NEEDLES)]
    carriage: Text = ""
    lowest_dial: Dial = Dial.model_construct(number=0)
    highest_dial: Dial = Dial.model_construct(number=10)
    marks: Annotated[int, Field(ge=0, le=9)] = MARKS
    notes: Note = ""

    def clicks(self) -> tuple[Dial, ...]:
        """Every setting that the dial can be put to, from the lowest to the highest."""
        return _clicks(self.lowest_dial, self.highest_dial, self.marks)


@lru_cache(maxsize=32)
def _clicks(lowest: Dial, highest: Dial, marks: int) -> tuple[Dial, ...]:
    settings = [
        Dial.model_construct(number=number, marks=mark)
        for number in range(lowest.number, highest.number + 1)
        for mark in range(marks + 1)
    ]
    low, high = lowest.position(marks), highest.position(marks)
    return tuple(dial for dial in settings if low <= dial.position(marks) <= high)


def written_dial(position: float, marks: int) -> str:
    """A place on the dial as it is written, to the nearest click of a dial with so many marks between its numbers."""
    number, over = divmod(round(position * (marks + 1)), marks + 1)
    return Dial(number=number, marks=over).written()
