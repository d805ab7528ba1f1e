"""What the counts of a make keep, and where one does not: even steps, whole pattern repeats, the needles of the bed."""

from __future__ import annotations

from collections.abc import Iterable

from fitcheck.advice.rest.pieces import How, RestPiece
from fitcheck.advice.rest.planned import repeat_of, size_table_of
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household, by_key
from fitcheck.records.makes import Make
from fitcheck.records.points import REPEATED, PieceKind


@frozen
class Unmet:
    """A count that does not keep a demand.

    below, above  counts beside it that would; None where only fewer stitches would
    """

    piece: PieceKind
    how: How
    key: str
    count: int
    below: int | None = None
    above: int | None = None


@frozen
class Demands:
    """What all stitch counts keep; nothing where no stitch count is known.

    even               every change is even, so that the middle of a piece stays its middle
    multiple, balance  stitches of the pattern repeat, and those over; 1 without a repeat
    broken             counts that are no whole number of repeats
    needles            on the bed; None where no machine is named
    too_wide           counts of more stitches than that
    """

    even: bool = False
    multiple: int = 1
    balance: int = 0
    broken: tuple[Unmet, ...] = ()
    needles: int | None = None
    too_wide: tuple[Unmet, ...] = ()


NO_DEMANDS = Demands()
"""Nothing is said of counts where none is known."""


def demands(make: Make, household: Household, pieces: Iterable[RestPiece]) -> Demands:
    """Look which demands the counts of a make keep; what was asked about and kept is no whole repeats on purpose."""
    counts = [(piece, count) for piece in pieces for count in piece.counts if count.across]
    stitches = [(piece, count, count.now) for piece, count in counts if count.now is not None]
    if not stitches:
        return NO_DEMANDS
    multiple, balance = repeat_of(make, size_table_of(make, household))
    machine = by_key(household.machines, make.machine)
    needles = machine.needles if machine is not None else None
    steps = [count.step for _, count, _ in stitches if count.step]
    broken = [
        Unmet(piece.kind, piece.how, count.key, now, now - over, now - over + multiple)
        for piece, count, now in stitches
        if count.key in REPEATED and (over := (now - balance) % multiple) and not make.keeps(piece.kind, count.key, now)
    ]
    too_wide = [
        Unmet(piece.kind, piece.how, count.key, now)
        for piece, count, now in stitches
        if needles is not None and now > needles
    ]
    even = bool(steps) and all(step % 2 == 0 for step in steps)
    return Demands(even, multiple, balance, tuple(broken), needles, tuple(too_wide))
