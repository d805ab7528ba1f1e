"""What a figure is wherever it is shown, what is shown under which key, and the words that surfaces have for it.

Lengths are in millimetres, gauges in stitches or rows to 10 cm, changes in percent. A figure that was printed carries
the half of its last place, so that it can be held against data; two printed ones must be the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from fitcheck.records.points import POINTS

Data = Mapping[str, Any]
Key = tuple[str, ...]
AGAIN = "said again"
"""Ends the key of a figure that its own surface shows a second time, and not the same."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure.

    value  the number, or what is said where it is no number
    half   half of the last printed place; 0 = not rounded
    """

    value: float | str | frozenset[int]
    half: float = 0.0

    def agrees(self, other: Figure) -> bool:
        """Whether it is the same figure as another one, shown elsewhere."""
        ours, theirs = self.value, other.value
        if isinstance(ours, frozenset) and isinstance(theirs, frozenset):
            return ours <= theirs or theirs <= ours
        if isinstance(ours, str) and isinstance(theirs, str):
            return ours.startswith(theirs) or theirs.startswith(ours)
        if isinstance(ours, float) and isinstance(theirs, float):
            both_printed = self.half and other.half
            slack = 0.0 if both_printed else max(self.half, other.half)
            return abs(ours - theirs) <= slack + 1e-6 * max(1.0, abs(ours))
        return False

    def __str__(self) -> str:
        if isinstance(self.value, float):
            return f"{self.value:.1f}" if self.half else f"{self.value:.4g}"
        return str(set(self.value)) if isinstance(self.value, frozenset) else self.value


class Figures(dict[Key, Figure]):
    """Figures of one surface. One that it shows twice stands under the key with a prime the second time."""

    def add(self, key: Key, value: Any, half: float = 0.0) -> None:
        """Take a figure; nothing, or a reason why it cannot be said, is none."""
        if not isinstance(value, float | int | str | frozenset) or value == "":
            return
        figure = Figure(float(value) if isinstance(value, int) else value, half)
        if key not in self:
            self[key] = figure
        elif not self[key].agrees(figure):
            self[(*key, AGAIN)] = figure

    def three(self, key: Key, told: Iterable[str | None], half: float, *, scale: float = 1.0) -> None:
        """Take a printed value and the two ends of what is likely."""
        for name, figure in zip(("value", "low", "high"), told, strict=True):
            self.add((*key, name), figure and float(figure) * scale, half)

    def off(self, key: Key, told: Iterable[str], half: float, *, smaller: bool, scale: float = 1.0) -> None:
        """Take a value and its two ends, said in the direction in which it is off."""
        self.three(key, turned(told, smaller=smaller), half, scale=scale)

    def shares(self, key: Key, told: Iterable[str | None], *, smaller: bool = False) -> None:
        """Take a share and its two ends, which are said whole, and in halves below three [%]."""
        for name, figure in zip(("value", "low", "high"), turned(told, smaller=smaller), strict=True):
            if figure is not None:
                self.add((*key, name), float(figure), 0.25 if abs(float(figure)) < 3 else 0.5)

    def has(self, *first: str) -> bool:
        """Whether a figure of this is shown."""
        return any(key[: len(first)] == first for key in self)

    def take(self, others: Mapping[Key, Figure]) -> None:
        """Take what another part of the same surface shows."""
        for key, figure in others.items():
            self.add(key, figure.value, figure.half)


def turned(told: Iterable[str | None], *, smaller: bool) -> tuple[str | None, ...]:
    """A value and its two ends, said of how much smaller something is, as what they are of its size."""
    value, low, high = told
    if not smaller or value is None or low is None or high is None:
        return value, low, high
    return f"-{value}", str(-float(high)), str(-float(low))


MINUS = str.maketrans({"−": "-", "\u00a0": " ", "\u2060": "", "’": "'"})
NUMBER = r"([+-]?\d+(?:\.\d+)?)"
SPAN = rf"{NUMBER} to {NUMBER}"
CHANCE = r"((?:[Ll]ess than |under )?\d+ in \d+)"
LIKELY = rf"\(likely {SPAN}\)"
STAGES = {
    "blocked and dry": "blocked",
    "washed, blocked and dry": "blocked",
    "rested": "rested",
    "off the machine": "off_machine",
}
STAGE_HEADINGS = {
    "off the machine": "off_machine",
    "rested": "rested",
    "washed, blocked": "blocked",
}
ACTIONS = {
    "carry on": "carry_on",
    "other counts": "other_counts",
    "alter": "alter_hem",
    "block again": "block_again",
    "rip back": "rip_back",
    "knit again": "knit_again",
}
PIECES = ("left front", "right front", "left sleeve", "right sleeve", "side panel", "back", "front", "sleeve")
SMALLER = ("narrow", "short", "smaller", "low")


def chance_said(share: Any) -> str | None:
    """A chance as every surface says it; None where there is none to say."""
    if not isinstance(share, float):
        return None
    if share > 0.95:
        return "19 in 20"
    return "less than 1 in 20" if share < 0.05 else f"{min(9, max(1, int(10 * share + 0.5)))} in 10"


def told_chance(said: str | None) -> str | None:
    """A chance as a surface said it, in the one form."""
    return said and said.lower().replace("under", "less than")


def point_of(name: str) -> str | None:
    """The key of a point from any of its names."""
    name = name.strip().lower().removesuffix(", flat").removesuffix(" decides between them")
    short = {"shoulder": "shoulder_width", "underarm": "to_underarm"}
    for key, point in POINTS.items():
        if name in (key.replace("_", " "), point.name, point.name.split(",")[0], point.name.removeprefix("back ")):
            return key
    return short.get(name)


def cm(text: str) -> float:
    """A length that was printed in cm [mm]."""
    return 10.0 * float(text)


def signed(value: str, smaller: bool) -> float:
    """A figure that was said with a word for its direction: narrower and shorter are negative."""
    return -float(value) if smaller else float(value)


def action_of(name: str) -> str | None:
    """The code of an action from what a table calls it."""
    return next((code for said, code in ACTIONS.items() if name.lower().startswith(said)), None)
