"""The settings of a machine's dial."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Protocol

from fitcheck.estimates.fabric.assumptions import FabricError


class DialScale(Protocol):
    """A machine's dial: its lowest and highest number and the marks between two numbers."""

    @property
    def lowest(self) -> float:
        """Lowest number."""

    @property
    def highest(self) -> float:
        """Highest number."""

    @property
    def marks(self) -> int:
        """Marks between two numbers."""


def reachable_dials(lowest: float, highest: float, marks: int = 2) -> tuple[float, ...]:
    """Every click from the lowest to the highest number; two marks between numbers make thirds [C].

    >>> reachable_dials(7, 8)
    (7.0, 7.333333333333333, 7.666666666666667, 8.0)
    """
    if marks < 0 or not math.isfinite(highest - lowest) or highest < lowest:
        raise FabricError(
            f"dial: read {lowest!r} to {highest!r} with {marks!r} marks; a lowest number not above the "
            "highest, and 0 or more marks are accepted"
        )
    clicks = round((highest - lowest) * (marks + 1))
    return tuple(lowest + k / (marks + 1) for k in range(clicks + 1))


def settings_of(dials: DialScale | Sequence[float]) -> list[float]:
    """Every setting to choose from: a machine's clicks, or the settings themselves."""
    if isinstance(dials, Sequence):
        settings = [float(dial) for dial in dials]
    else:
        settings = list(reachable_dials(dials.lowest, dials.highest, dials.marks))
    if not settings or not all(map(math.isfinite, settings)):
        raise FabricError(f"dials: read {settings!r}; at least one dial number is accepted")
    return settings
