"""What a piece that is still to come must measure: nothing was read of it, so it is the same whoever asks."""

from __future__ import annotations

from dataclasses import field
from functools import cache

from fitcheck.advice.target.wanted import Targets, targets
from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.readings import Pool
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import PieceKind


@frozen
class ToCome:
    """What the pieces of a make that are still to come must measure, each kind worked out when it is first asked for.

    pool         the household's repeatability of tape readings; None = the usual hand
    stitch, row  of the piece on the table, in whose fabric the others are knitted, for what seams swallow [mm];
                 None = assumed
    """

    make: Make
    household: Household
    pool: Pool | None = None
    stitch: Estimate | None = None
    row: Estimate | None = None
    _by_kind: dict[PieceKind, Targets] = field(default_factory=dict)

    def of(self, kind: PieceKind) -> Targets:
        """What a piece of that kind must measure."""
        if kind not in self._by_kind:
            piece, make, household = to_come(kind), self.make, self.household
            self._by_kind[kind] = targets(make, piece, household, stitch=self.stitch, row=self.row, pool=self.pool)
        return self._by_kind[kind]


@cache
def to_come(kind: PieceKind) -> Piece:
    """A piece of which nothing is there yet; one of each kind is made, and kept."""
    return Piece.model_construct(id="to_come", piece=kind)
