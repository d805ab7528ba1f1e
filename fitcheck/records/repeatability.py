"""Repeatability: how far readings of one length scatter, as long as a household's own readings do not say it.

It stands with the records because they are questioned by it (ISO 5725-6) before anything is estimated from them.
"""

from __future__ import annotations

import math

from fitcheck.records.frozen import frozen

OVERHANG_MM = 2.0
"""An overhang scatters by 2 mm a reading, its laying included, whatever the length [mm] (assumed)."""

MEDIAN_FACTOR = 1.2533
"""SD of a median over SD of a mean, normal readings: sqrt(pi / 2)."""


@frozen
class Repeatability:
    """What is assumed of a hand until its own readings speak.

    One reading of one laying scatters by l(L) = hypot(reading_mm, reading_share L), a laying by
    hypot(laying_mm, laying_share L).

    reading_mm, laying_mm        [mm]
    reading_share, laying_share  [mm per mm]
    source                       name that estimates made with one pool of this hand share
    """

    reading_mm: float
    reading_share: float
    laying_mm: float
    laying_share: float
    source: str

    def reading(self, length_mm: float) -> float:
        """Assumed SD of one reading of one laying [mm]."""
        return math.hypot(self.reading_mm, self.reading_share * length_mm)

    def laying(self, length_mm: float) -> float:
        """Assumed SD of one laying [mm]."""
        return math.hypot(self.laying_mm, self.laying_share * length_mm)

    def with_laying(self, length_mm: float) -> float:
        """Assumed SD of one reading with its laying [mm].

        >>> TAPE.with_laying(500.0) == math.hypot(1.5, 2.0, 2.0), OVERHANG.with_laying(500.0)
        (True, 2.0)
        """
        return math.hypot(self.reading(length_mm), self.laying(length_mm))


TAPE = Repeatability(1.5, 0.004, 0.0, 0.004, "tape pool")
"""A tape reading: 1.5 mm and 0.4 % of the length; laying 0.4 % (assumed)."""

OVERHANG = Repeatability(math.sqrt(OVERHANG_MM**2 / 2), 0.0, math.sqrt(OVERHANG_MM**2 / 2), 0.0, "overhang pool")
"""An overhang: half its variance from the laying (assumed)."""
