"""What is open once a deed is done and the piece is read again: it may take another before it is kept.

A stretch springs back in part, and what went may be given again: room is what the tape finds of the 3 % (fit rule 38).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from fitcheck.advice.decide.garment import Garment
from fitcheck.advice.decide.state import Array, Mask
from fitcheck.advice.decide.ways import DIRECTIONS, MOST_STRETCH, Way, Ways, at_the_hem, plain, small, stretched
from fitcheck.records.makes import Costs

LATER_STRETCHES = (0.02,)
"""Stretches looked at after a deed: the middle one alone, for speed; the others gain little over it."""


class Open:
    """The ways that a piece has after each deed, each worked out once."""

    def __init__(self, garment: Garment, every: Sequence[Way], costs: Costs) -> None:
        """Take all ways with the piece as it is."""
        self.garment, self.costs = garment, costs
        self.kept = [way for way in every if way.rip is None and way.stretch is None and not way.twin_right]
        self.ripped = [way for way in every if way.rip and way.stretch is None and not way.hem]
        self.stretches = [
            stretched(garment, costs, direction, share)
            for direction in (DIRECTIONS if garment.state.holds else ())
            for share in LATER_STRETCHES
        ]

    def after_stretching(self, first: Way) -> Ways:
        """To keep it, with and without its lower end, to stretch it again or to rip it back; the rest blocked alike."""
        ways = (*self.kept, *self.stretches, *self.ripped)
        return Ways([replace(way, rest=way.rest * first.rest) for way in ways])

    def after_ripping(self) -> Ways:
        """To keep it, with and without its lower end, or to stretch it."""
        return Ways([*self.kept, *self.stretches])

    def after_knitting_again(self) -> Ways:
        """To keep it, with and without its lower end, to stretch it, or to rip it back in its turn."""
        garment = self.garment
        left = garment.left_by_count(garment.counts_again, garment.shift)
        ripped = [replace(way, offset=np.where(way.anew, left, way.offset)) for way in self.ripped]
        bare = plain(garment, "knit_again", 0.0)
        hemmed = at_the_hem(garment, bare, self.costs) if garment.hem.any() else []
        return Ways([bare, *hemmed, *self.stretches, *ripped])


def stretches_closed(garment: Garment, ways: Ways, d: Array, given: Mapping[str, Array | float]) -> Mask:
    """Where a piece is not stretched: nothing of it is too small, a width is too large, or no room is left; [V, S].

    d      differences of the pieces [mm], [S, J];  given: share of a stretch that they have, per direction [1]
    """
    closed = np.zeros((len(ways.each), len(d)), dtype=bool)
    wide = (garment.across & (d > garment.high[: garment.J])).any(axis=-1)
    for v, way in enumerate(ways.each):
        if way.stretch is not None:
            direction, share = way.stretch
            full = share > MOST_STRETCH + 1e-9 - given.get(direction, 0.0)
            closed[v] = wide | full | ~small(garment, d, direction)
    return closed
