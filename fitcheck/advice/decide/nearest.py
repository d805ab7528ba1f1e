"""Counts of one point each of many garments at once, taken by the rule of the counts for the rest.

Where as much is allowed on both sides, the count nearest to what is wanted loses least and is the likeliest to fit.
Where the sides differ the counts beside it may be as good, and the likeliest of them is taken: the aim is what is
wanted, whatever is allowed; what is allowed tells two good counts apart (`rest/rule.py`). Candidates stand on a first
axis of their own; lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from fitcheck.advice.decide.state import Array, Places
from fitcheck.advice.loss import EXACT_MM, WITHIN, expected_loss_even, loss_even
from fitcheck.advice.rest.programme import REACH
from fitcheck.advice.rest.rule import ALIKE, UNLIKELY, best_at
from fitcheck.estimates.student import normal_cdf


class Aims(NamedTuple):
    """What is allowed at some points, and what they weigh.

    even        both sides set to the smaller [mm];  low, high: the real sides [mm];  weight: omega [1]
    """

    even: Array
    low: Array
    high: Array
    weight: Array

    def at(self, places: Places) -> Aims:
        """Some of the points."""
        return Aims(*(side[places] for side in self))

    def lost(self, off: Array, s: Array | None) -> Array:
        """E g of a point so far off, or g where it is known [works of a back]; it aims at what is wanted."""
        if s is None:
            return loss_even(off, self.even, self.weight)
        return expected_loss_even(off, s, self.even, self.weight)

    def fall(self, before: Array, after: Array, s: Array | None) -> Array:
        """What a change saves [works of a back]."""
        each = self.lost(np.array([before, after]), s)
        return np.asarray(each[0] - each[1])

    def log_fits(self, off: Array, s: Array) -> Array:
        """Logarithm of the chance that it fits."""
        s = np.maximum(s, EXACT_MM)
        fits = normal_cdf((self.high - off) / s) - normal_cdf((-self.low - off) / s)
        return np.asarray(np.log(np.maximum(fits, UNLIKELY)))

    def beside(self, step_mm: Array) -> int:
        """How many steps from the nearest count another may lie that is as good; 0 where both sides are alike.

        At the nearest a point is off by half a step at most. With k steps more E g grows by no less than

            omega 0.1 ((k - 1/2)^2 - 1/4) step^2 / even^2
        """
        uneven = (self.low != self.high) & np.isfinite(step_mm) & (step_mm > 0)
        if not uneven.any():
            return 0
        even, weight, step = self.even[uneven], np.maximum(self.weight[uneven], 1e-9), step_mm[uneven]
        far = float((ALIKE / (WITHIN * weight) * (even / step) ** 2).max())
        return min(REACH, math.floor(0.5 + math.sqrt(0.25 + far)))


class Series(NamedTuple):
    """Counts first + step k, no fewer than least and no more than most: one series for each point."""

    step: Array
    first: Array
    least: Array | float
    most: Array | float

    def near(self, ideal: Array, beside: int = 0) -> Array:
        """The nearest count, of two equally near the larger, and so many beside it; not a number where there is none.

        A billionth of a stitch is no difference: halfway cases must not hang on rounding.
        """
        step, first = self.step, self.first
        most = np.floor((self.most - first) / step + 1e-9)
        least = np.ceil((self.least - first) / step - 1e-9)
        place = np.maximum(np.minimum(np.floor((ideal - first) / step + 0.5 + 1e-9), most), least)
        if not beside:
            return np.where(place > most, math.nan, first + step * place)[None]
        places = place + np.arange(-beside, beside + 1).reshape(-1, *([1] * place.ndim))
        return np.where((places < least) | (places > most), math.nan, first + step * places)


def best_of(
    values: Array, off: Callable[[Array], Array], s: tuple[Array | None, Array], aims: Aims, planned: Array
) -> Array:
    """The best of some candidates, where none is not a number; any where the planned count stands.

    off      what one leaves the points off [mm];  s: its SD for the loss, None where it counts as known, and for the
             chance
    planned  what the planned count leaves them off, not a number where there is none
    Where one count moves several points `off` has them on a last axis of its own: losses and chances go together.
    """
    if len(values) == 1:
        return np.asarray(values[0])
    there = np.nan_to_num(values)
    left, bare = off(there), np.nan_to_num(planned)
    losses, fits, before = aims.lost(left, s[0]), aims.log_fits(left, s[1]), aims.lost(bare, s[0])
    before = np.where(np.isnan(planned), math.inf, before)
    if left.ndim > values.ndim:
        losses, fits, before = (table.sum(axis=-1) for table in (losses, fits, before))
    losses = np.where(np.isnan(values), math.inf, losses)
    each = (np.moveaxis(table, 0, -1) for table in (losses, fits, there))
    place = best_at(*each, planned=before[..., None])
    return np.asarray(np.take_along_axis(values, place[None], axis=0)[0])
