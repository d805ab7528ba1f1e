"""How the edges of a knitted piece were shaped, typed in one line: "5 at once, then 2 every row, 6 every 2nd".

    line  = [count "at once"] {("," | "then") count "every" ("row" | nth ["row"])}
    nth   = "2nd", "3rd", "4th" ...

Cast-offs come first, at one counter; each step after them takes one stitch off at that edge, on every row, every 2nd
row and so on, in the order in which it was knitted.
"""

import re
from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from fitcheck.records.base import FROM_FIGURES, Record, no_entries, refused
from fitcheck.records.faults import Accepts

ShapedEdge = Literal["armhole", "neck", "cap"]
"""An edge whose shaping is asked: of one half of the piece, both are shaped alike."""
AtOnce = Annotated[int, FROM_FIGURES, Field(ge=0, le=400)]
Times = Annotated[int, FROM_FIGURES, Field(ge=1, le=400)]
Every = Annotated[int, FROM_FIGURES, Field(ge=1, le=99)]

LONGEST = 400
"""Characters of the longest line that is read."""
_AT_ONCE = re.compile(r"(\d{1,3}) at once", re.ASCII)
_STEPS = re.compile(r"(\d{1,3}) every (?:row|(\d{1,2})(st|nd|rd|th)(?: row)?)", re.ASCII)
_BETWEEN = re.compile(r"\s*(?:,\s*then|,|;|then)\s+|\s*[,;]\s*")


class EdgeSteps(Record):
    """Stitches taken off one by one.

    times  how many
    every  on every row, every 2nd row and so on [rows]
    """

    times: Times
    every: Every


class EdgeShaping(Record):
    """How one edge was shaped. A bare line of text is read as one.

    at_once  stitches cast off at one counter
    steps    what was taken off after that, in its order
    """

    at_once: AtOnce = 0
    steps: list[EdgeSteps] = Field(default_factory=no_entries, max_length=20)

    @model_validator(mode="before")
    @classmethod
    def _line(cls, value: Any) -> Any:
        return _read(value) if isinstance(value, str) else value

    @property
    def stitches(self) -> int:
        """Stitches that it takes off in all."""
        return self.at_once + sum(steps.times for steps in self.steps)

    @property
    def rows(self) -> int:
        """Rows from the cast-off to the last step."""
        return sum(steps.times * steps.every for steps in self.steps)


def written_shaping(shaping: EdgeShaping) -> str:
    """The line of a shaping, as it is read: "5 at once, then 2 every row, 6 every 2nd"."""
    steps = ", ".join(
        f"{steps.times} every {'row' if steps.every == 1 else ordinal(steps.every)}" for steps in shaping.steps
    )
    at_once = f"{shaping.at_once} at once" if shaping.at_once or not steps else ""
    return ", then ".join(part for part in (at_once, steps) if part)


def ordinal(number: int) -> str:
    """A number with its ending: 1st, 2nd, 3rd, 4th, 11th, 22nd."""
    ending = "th" if number % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"


def _read(line: str) -> dict[str, Any]:
    """A line as the fields of a shaping."""
    text = " ".join(line.lower().split())
    parts = _BETWEEN.split(text) if 0 < len(text) <= LONGEST else [""]
    at_once = _AT_ONCE.fullmatch(parts[0])
    steps = [_STEPS.fullmatch(part) for part in (parts[1:] if at_once else parts)]
    if not all(steps) or any(step[2] and ordinal(int(step[2])) != step[2] + step[3] for step in steps if step):
        raise refused(Accepts("shaping_line"))
    return {
        "at_once": int(at_once[1]) if at_once else 0,
        "steps": [{"times": int(step[1]), "every": int(step[2] or 1)} for step in steps if step],
    }
