"""One who knows every true length and stitch of a back, and what may be done with it: the least loss there is.

    keep       the front gets the best even counts at hem and chest, and rows within 1 % of the back's
    hem        the same with rows on or off at the lower end
    rip back   what lies above the underarm is knitted anew, in this back's own stitch
    again      all of it, in a stitch that differs from piece to piece

What no one can know, the next piece's own stitch, is averaged over.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from tests.simulations.truths import ALLOWED, COSTS, MATTERS, loss
from tests.worked.truth import ALONG, PLAIN, SWALLOWED

NODES, WEIGHTS = np.polynomial.hermite_e.hermegauss(9)
"""Nodes and weights of a standard normal expectation."""
FRONT_ANSWERS = {"chest": 40.0, "hem": 40.0}
"""How far a front may differ from its back there (fit rule 4) [mm]."""
SEAM = {"shoulder_width": (-4.0, 15.0), "neck_width": (-5.0, 30.0)}
"""What an armhole seam and a neck band hide, of too small and of too large (fit rule 4) [mm]."""
EASED = 0.01
"""How much a front's rows may differ from its back's, as a share."""
AT_THE_HEM = range(-50, 51, 2)
"""Lengths that may go on or off at the hem [mm]."""
HEM = ("to_underarm", "body_length")
ABOVE = ("armhole_depth", "shoulder_width", "neck_width")

Sizes = Mapping[str, float]


def expected(key: str, off_mm: float, sd_mm: float) -> float:
    """Expected loss at a point of the garment that is off by N(off, sd^2)."""
    matters = MATTERS.get(key, 1.0)
    values = [loss(off_mm + sd_mm * node, ALLOWED[key], matters) for node in NODES]
    return float(np.average(values, weights=WEIGHTS))


class AllKnowing:
    """What can be had from a back, given the true size of the next stitch and row and how it varies."""

    def __init__(self, back: Sizes, own: Sizes, following: Sizes, piece: float, local: float) -> None:
        self.back, self.own, self.following, self.piece, self.local = back, own, following, piece, local
        self.next_sd = float(np.hypot(piece, local))

    def least(self) -> float:
        """The least loss there is, work included."""
        ripped = {key: self._anew(key, self.own) if key in ABOVE else mm for key, mm in self.back.items()}
        return min(
            self._kept(self.back),
            COSTS["rip_back"] + self._kept(ripped),
            COSTS["knit_again"] + self._again(),
        )

    def _anew(self, key: str, size: Sizes) -> float:
        """The point with the best count [mm]."""
        step = size["along" if key in ALONG else "across"]
        worn = PLAIN[key] + SWALLOWED.get(key, 0) * self.following["along" if key in ALONG else "across"]
        return step * (round(worn / step) if key in ALONG else 2 * round(worn / step / 2))

    def _again(self) -> float:
        """A new back, its stitch and row off by the spread between pieces, each by itself."""
        total = 0.0
        for direction in ("across", "along"):
            keys = [key for key in self.back if (key in ALONG) == (direction == "along")]
            for node, weight in zip(NODES, WEIGHTS / WEIGHTS.sum(), strict=True):
                new = {key: self._anew(key, self.following) * (1 + self.piece * node) for key in keys}
                total += float(weight) * self._kept(new)
        return total

    def _kept(self, back: Sizes) -> float:
        """The least loss with this back, with and without rows at the hem."""
        widths = sum(self._width(key, mm) for key, mm in back.items() if key not in ALONG)
        lengths = {key: mm for key, mm in back.items() if key in ALONG}
        if not lengths:
            return widths
        plain = sum(self._length(key, mm) for key, mm in lengths.items())
        return widths + min(plain, COSTS["alter_hem"] + min(self._hemmed(lengths)))

    def _hemmed(self, lengths: Sizes) -> Iterator[float]:
        for by in AT_THE_HEM:
            moved = {key: mm + by if key in HEM else mm for key, mm in lengths.items()}
            yield sum(self._length(key, mm) for key, mm in moved.items())

    def _wanted(self, key: str) -> float:
        return PLAIN[key] + SWALLOWED.get(key, 0) * self.following["along" if key in ALONG else "across"]

    def _width(self, key: str, mm: float) -> float:
        wanted = self._wanted(key)
        if key in SEAM:
            small, large = SEAM[key]
            off = mm - wanted
            return expected(key, off - min(max(off, small), large), 0.0)
        step = self.following["across"]
        middle = 2 * round((2 * wanted - mm) / step / 2)
        fronts = [count * step for count in range(middle - 4, middle + 6, 2)]
        within = [front for front in fronts if abs(front - mm) <= FRONT_ANSWERS[key]] or [mm]
        return self._best(key, [(mm, front) for front in within])

    def _length(self, key: str, mm: float) -> float:
        front = min(max(2 * self._wanted(key) - mm, mm * (1 - EASED)), mm * (1 + EASED))
        return self._best(key, [(mm, front)])

    def _best(self, key: str, pairs: list[tuple[float, float]]) -> float:
        wanted = self._wanted(key)
        return min(expected(key, (back + front) / 2 - wanted, self.next_sd * front / 2) for back, front in pairs)
