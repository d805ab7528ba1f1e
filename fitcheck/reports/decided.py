"""What the decision looks at beside the verdict: what is still to be knitted, the other body piece, the next piece."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from fitcheck.advice.decide.decision import Recommendation
from fitcheck.advice.decide.state import PIECE_TO_PIECE, DecisionState
from fitcheck.advice.judge.verdict import PieceVerdict
from fitcheck.advice.rest.planned import planned_counts
from fitcheck.advice.stretch import blocked_alike, lengthened
from fitcheck.advice.target.wanted import Target
from fitcheck.estimates.numbers import CannotSay
from fitcheck.estimates.piece import CountedDirection, PiecePosterior
from fitcheck.records.frozen import frozen
from fitcheck.records.machines import Dial
from fitcheck.records.makes import Counts, Piece
from fitcheck.records.points import PieceKind
from fitcheck.reports.given import Given
from fitcheck.reports.reads import Read, in_fabric

if TYPE_CHECKING:
    from fitcheck.advice.fabric.of_make import FabricOf
    from fitcheck.estimates.fabric.answers import PairOf, StitchSize

PINNED = CannotSay("pinned")
KNOWN_SLOPE = 0.5
"""Share of the dial's slope that the swatches must tell before another click is named (assumed)."""


@frozen
class Decided:
    """The recommendation, and the state that it was made from."""

    state: DecisionState
    advice: Recommendation


class NextPiece(NamedTuple):
    """What is known of the next piece of this fabric.

    spread  of its stitch size about this piece's, relative [1]
    spreads  equally likely factors on it, their mean square 1: how little the spread is known [1]
    follows  how far the piece after it deviates with it: what of its doubt both share [1]
    unsure  how far its stitch size is not known, relative [1]; None where only this piece tells it
    moved   how far it is expected off this piece's, per direction [1]
    """

    spread: float = PIECE_TO_PIECE
    unsure: float | None = None
    moved: Mapping[CountedDirection, float] = {}
    spreads: tuple[float, ...] = (1.0,)
    follows: float = 0.5


def next_piece(piece: Piece, fabric: FabricOf | None, left: Collection[PieceKind] = ()) -> NextPiece:
    """What the fabric says of the next piece beside this one.

    left  kinds that are still to be knitted: what belongs to a stretched piece is blocked alike, and nothing else is
    """
    pair = fabric.fabric.pair(piece.id) if fabric is not None and in_fabric(piece, fabric) else None
    if pair is None or isinstance(pair, CannotSay):
        return NextPiece()
    cov = pair.across.cov
    spread = math.sqrt(max(1e-8, float(cov[0, 0] + cov[1, 1] - 2 * cov[0, 1])))
    both: tuple[tuple[CountedDirection, PairOf], ...] = (("across", pair.across), ("along", pair.along))
    longer = {} if blocked_alike(piece.piece, left) else lengthened(piece)
    moved = {way: math.exp(float(two.mean[1] - two.mean[0])) / longer.get(way, 1.0) for way, two in both}
    factors = tuple((pair.spreads / spread).tolist())
    unsure = math.sqrt(max(1e-8, float(cov[1, 1])))
    return NextPiece(spread, unsure, moved, factors, max(0.0, 1 - (pair.own_sd / unsure) ** 2))


def sizes_to_come(verdict: PieceVerdict, following: NextPiece) -> dict[CountedDirection, tuple[float, float]]:
    """Stitch width and row height of the next piece [mm], each with its standard uncertainty, relative [1].

    Without a direction where no count tells it.
    """
    both: tuple[tuple[CountedDirection, PiecePosterior | None], ...] = (
        ("across", verdict.across),
        ("along", verdict.along),
    )
    sizes: dict[CountedDirection, tuple[float, float]] = {}
    for direction, own in both:
        if own is not None:
            unsure = following.unsure if following.unsure is not None else math.hypot(following.spread, own.log_size.u)
            sizes[direction] = own.size_mm * following.moved.get(direction, 1.0), unsure
    return sizes


def swallowed_mm(target: Target) -> float:
    """What the seams at both ends of a point swallow [mm]."""
    parts = [part for part in target.parts if part.code in ("seam_stitch", "seam_overlap")]
    return math.fsum(part.weight * part.estimate.value for part in parts)


def dial_again(given: Given, points: Sequence[Read], known: FabricOf | None) -> Dial | None:
    """The swatched dial at which the planned counts would come out right where they do not at this piece's dial.

    Its own where it felted: nothing was wrong but the wash.

    None unless the swatches tell the slope of the dial, and every planned width then lies within what is allowed; and
    while another piece of the make is knitted and kept: the new one is sewn to it.
    """
    piece = given.piece
    if piece is not None and piece.felted:
        return piece.dial
    if known is None or piece is None or piece.dial is None:
        return None
    if any(other.stages and other.id != piece.id for other in given.make.standing):
        return None
    if known.fabric.slope("across").share_from_data < KNOWN_SLOPE:
        return None
    widths = _planned_widths(given, piece, points)
    swatched = {swatch.dial.written() for swatch in given.swatches if swatch.dial is not None}
    clicks = [dial for dial in (known.machine.clicks() if known.machine else ()) if dial.written() in swatched]
    if not widths or not clicks:
        return None
    here, *there = _worst(widths, known, [piece.dial, *clicks])
    least = min(there)
    return clicks[there.index(least)] if least < 1.0 <= here else None


def _planned_widths(given: Given, piece: Piece, points: Sequence[Read]) -> list[tuple[int, Read]]:
    """Planned stitches of every width that was read and is wanted."""
    planned = planned_counts(given.make, given.household, piece.piece)
    return [
        (planned.get(read.key) or own.planned or 0, read)
        for read in points
        if read.target.direction == "across"
        and read.target.wanted is not None
        and ((own := piece.counts.get(read.key, Counts())).planned or read.key in planned)
    ]


def _worst(widths: list[tuple[int, Read]], known: FabricOf, dials: list[Dial]) -> list[float]:
    """Per dial, how far the width that is furthest off would miss what is wanted, over what is allowed [1]."""

    def off(stitch_mm: float, count: int, read: Read) -> float:
        assert read.target.wanted is not None
        lack = count * stitch_mm - read.target.wanted.value
        return abs(lack) / read.target.tolerance_mm[0 if lack < 0 else 1]

    sizes = known.fabric.priors("across", [dial.position(known.marks) for dial in dials])
    return [max(off(math.exp(size.log_mean), count, read) for count, read in widths) for size in sizes]


def sizes_promised(ahead: FabricOf | None) -> dict[CountedDirection, float]:
    """Stitch width and row height that the fabric promises what is knitted next [mm]; what is only assumed is not."""
    gauge = ahead.fabric.gauge(ahead.dial) if ahead is not None else None
    if gauge is None or isinstance(gauge, CannotSay):
        return {}
    both: dict[CountedDirection, StitchSize] = {"across": gauge.across, "along": gauge.along}
    return {direction: size.value for direction, size in both.items() if size.basis != "assumed"}
