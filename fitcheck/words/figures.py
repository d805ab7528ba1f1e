"""Lengths, numbers, chances and work as they are written, in the person's unit and with their decimal mark."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Literal

from fitcheck.records.frozen import frozen
from fitcheck.records.lengths import FOUR_INCHES_MM, INCH_MM, whole_steps, write_bare

Unit = Literal["cm", "in", "mm"]
Mark = Literal[".", ","]
_SHARES = (
    (1 / 50, "a fiftieth"),
    (1 / 30, "a thirtieth"),
    (1 / 20, "a twentieth"),
    (1 / 10, "a tenth"),
    (1 / 8, "an eighth"),
    (1 / 7, "a seventh"),
    (1 / 6, "a sixth"),
    (1 / 5, "a fifth"),
    (1 / 4, "a quarter"),
    (1 / 3, "a third"),
    (2 / 5, "two fifths"),
    (1 / 2, "half"),
    (3 / 5, "three fifths"),
    (2 / 3, "two thirds"),
    (3 / 4, "three quarters"),
    (9 / 10, "nine tenths"),
)


HALVES_BELOW = 3.0
"""A share is written in halves below this [%]; nobody knits or stretches finer (common practice, no source)."""


EIGHTHS, SIXTEENTHS = 8, 16
"""Parts of an inch that lengths are written to, and where eighths would lose the side of a limit."""
HALF_MM = 0.5
"""Nothing of a piece is written finer [mm] (common practice, no source)."""


@frozen
class Tape:
    """How lengths are written: unit and decimal mark; the parts that an inch is written to."""

    unit: Unit
    mark: Mark
    parts: int = EIGHTHS

    def bare(self, mm: float, *, signed: bool = False) -> str:
        """A length [mm] as a figure without its unit."""
        return write_bare(mm, self.unit, signed=signed, parts=self.parts).replace(".", self.mark)

    @property
    def step_mm(self) -> float:
        """What lengths are written to [mm]: 1 mm, 1/8 in."""
        return INCH_MM / self.parts if self.unit == "in" else 1.0

    @property
    def finer(self) -> Tape:
        """The same in sixteenths, where inches are written."""
        return replace(self, parts=SIXTEENTHS) if self.unit == "in" else self

    @property
    def span(self) -> str:
        """What a gauge is told to."""
        return "4 in" if self.unit == "in" else "10 cm"

    @property
    def span_mm(self) -> float:
        """The same [mm]."""
        return FOUR_INCHES_MM if self.unit == "in" else 100.0

    def steps(self, mm: float) -> int:
        """Whole steps of a length as it is written, halves away from zero."""
        return whole_steps(mm, self.step_mm)

    def size(self, mm: float) -> str:
        """A length without its sign, without the unit."""
        return self.bare(abs(mm))

    def length(self, mm: float) -> str:
        """A length without its sign, with the unit."""
        return f"{self.size(mm)} {self.unit}"

    def amount(self, mm: float) -> str:
        """A change without its sign: finer than the tape's marks where it is smaller than one."""
        return self.small(abs(mm)) if self.bare(mm) == "0" else self.length(mm)

    def small(self, mm: float) -> str:
        """A length too small for what others are written to: in halves of a millimetre, or in sixteenths."""
        if self.unit == "in":
            step_mm, text = INCH_MM / SIXTEENTHS, f"{write_bare(mm, 'in', parts=SIXTEENTHS)} in"
        else:
            step_mm, text = HALF_MM, f"{self.short(whole_steps(mm, HALF_MM) * HALF_MM)} mm"
        return text if whole_steps(mm, step_mm) else f"less than {'1/16 in' if self.unit == 'in' else 'half a mm'}"

    def of_stitch(self, mm: float) -> str:
        """The size of a stitch or row: a tenth of a millimetre or a hundredth of an inch makes a stitch of a piece."""
        return f"{self.number(mm / INCH_MM, 2)} in" if self.unit == "in" else f"{self.short(mm)} mm"

    def number(self, value: float, decimals: int) -> str:
        """A plain number with a real minus; a zero has no sign."""
        text = f"{value:.{decimals}f}"
        if not text.strip("-0."):
            text = text.lstrip("-")
        return text.replace(".", self.mark).replace("-", "−")

    def percent(self, value: float) -> str:
        """A share [%] without its sign, as fine as anybody knits: whole, and in halves below 3."""
        return f"{self.share(value)} %"

    def share(self, value: float) -> str:
        """The same without its mark: "11", "1.5"."""
        share = abs(value)
        steps = 1 if share >= HALVES_BELOW else 2
        return self.short(math.floor(share * steps + 0.5) / steps)

    def signed_share(self, value: float, *, plus: bool = False) -> str:
        """The same with its minus, and with a plus where it is asked for; none has no sign."""
        text = self.share(value)
        if text == "0":
            return text
        return f"−{text}" if value < 0 else f"+{text}" if plus else text

    def short(self, value: float) -> str:
        """A number to one decimal; whole numbers have none."""
        return self.number(value, 0 if round(value, 1).is_integer() else 1)


CM = Tape("cm", ".")


def own_unit(written: Literal["mm", "cm", "m", "in"]) -> Unit:
    """The unit that a household's answers are written in, by that of its bare numbers: cm where those are metres."""
    return "cm" if written == "m" else written


"""What is written where nobody said otherwise."""


def is_nil(mm: float, tape: Tape) -> bool:
    """Whether a length is written as 0 with this tape."""
    return tape.bare(mm) == "0"


def spread_words(mm: float, unit: Unit, parts: int) -> str:
    """How far readings lie apart [mm]; parts: the finest part of an inch that is told, 8 or 16."""
    if unit == "in":
        apart = write_bare(mm, "in", parts=parts)
        return f"{apart} in" if apart != "0" else f"less than 1/{parts} in"
    return f"{round(mm)} mm" if mm >= 0.5 else "nothing"


NEARLY_SURE, HARDLY = 0.95, 0.05
"""Chances [1] beyond which twentieths are said and not tenths."""


def chance_words(p: float, *, below: str = "less than") -> str:
    """A chance [1] as people say it: "9 in 10"; over 95 % "19 in 20", under 5 % "less than 1 in 20"."""
    if p > NEARLY_SURE:
        return "19 in 20"
    return f"{below} 1 in 20" if p < HARDLY else f"{_tenths(p)} in 10"


def chance_figure(p: float) -> str:
    """A chance [1] in a column of tenths: "2", "<½"."""
    if p > NEARLY_SURE:
        return ">9½"
    return "<½" if p < HARDLY else f"{_tenths(p)}"


def _tenths(p: float) -> int:
    return min(9, max(1, int(10 * p + 0.5)))


def work_words(cost: float, unit: str = "a back") -> str:
    """A cost [works of a back] in words: "about a twentieth of the work of the back".

    unit  the back whose work it is told in
    """
    if cost < 0.005:
        return "no work"
    if cost < 0.95:
        return f"about {nearest_share(cost)} of the work of {unit}"
    if cost < 1.25:
        return f"as much work as knitting {unit} once"
    return f"{cost:.1f} times the work of {unit}"


def nearest_share(cost: float) -> str:
    """A cost [works of a back] as the share that people say: "none", "a twentieth", "all of it", "1.4 times"."""
    if cost < 0.005:
        return "none"
    if cost < 0.95:
        return min(_SHARES, key=lambda share: abs(share[0] - cost))[1]
    return "all of it" if cost < 1.25 else f"{cost:.1f} times"


def share_words(cost: float) -> str:
    """A cost [works of a back] in a few words: "no work", "a twentieth of a back"."""
    if cost < 0.005:
        return "no work"
    if cost < 0.95:
        return f"{nearest_share(cost)} of a back"
    return "a whole back" if cost < 1.25 else f"{cost:.1f} times a back"
