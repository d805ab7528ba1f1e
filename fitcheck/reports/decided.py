"""What the decision looks at beside the verdict: what is still to be knitted, the other body piece, the next piece."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fitcheck.advice.decide.decision import Recommendation
from fitcheck.advice.decide.remedies import PIECE_TO_PIECE, DecisionState
from fitcheck.advice.rest.planned import planned_counts
from fitcheck.advice.target.wanted import Target, targets
from fitcheck.estimates.numbers import CannotSay
from fitcheck.estimates.piece import CountedDirection
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.machines import Dial
from fitcheck.records.makes import Counts, Make, Piece
from fitcheck.records.points import HALF_FRONTS, POINTS, PieceKind
from fitcheck.reports.given import Given
from fitcheck.reports.reads import Read, in_fabric

if TYPE_CHECKING:
    from fitcheck.advice.fabric.of_make import FabricOf
    from fitcheck.estimates.fabric.answers import StitchSize

PINNED = CannotSay(
    "pinned",
    "the piece was read while pins held it: it measures its pins",
    "Take the pins out, wait until the next day, and read it lying free.",
)
PARTNERS: dict[str, PieceKind] = {"back": "front", "front": "back"}
"""The other body piece of a garment."""
KNOWN_SLOPE = 0.5
"""Share of the dial's slope that the swatches must tell before another click is named (assumed)."""


@dataclass(frozen=True, slots=True)
class Decided:
    """The recommendation, and the state that it was made from."""

    state: DecisionState
    advice: Recommendation


def to_knit(make: Make, piece: Piece | None) -> list[PieceKind]:
    """Kinds of pieces of this construction that were not read at any stage yet; none of a finished make."""
    if make.finished:
        return []
    there = {other.piece for other in make.pieces if other.stages} | ({piece.piece} if piece else set())
    return [kind for kind in CONSTRUCTIONS[make.construction].pieces if kind not in there]


def partner_to_knit(make: Make, piece: Piece) -> bool:
    """Whether the other body piece is still to be knitted; of an open front, either half."""
    partner = PARTNERS.get(piece.piece)
    return partner is None or partner in to_knit(make, piece)


def partner_planned(given: Given, piece: Piece) -> dict[str, int]:
    """Stitches or rows that are planned for the other body piece, per point."""
    partner = PARTNERS.get(piece.piece)
    return planned_counts(given.make, given.household, partner) if partner else {}


def halves_planned(given: Given, piece: Piece) -> dict[str, int]:
    """Stitches that are planned across both halves of an open front, per point; its band is no stitch of either."""
    if piece.piece != "back":
        return {}
    left, right = (planned_counts(given.make, given.household, half) for half in HALF_FRONTS)
    return {key: left[key] + right[key] for key in left if key in right and POINTS[key].direction == "across"}


def ratios_of(planned: Mapping[str, int], points: Sequence[Read]) -> dict[str, float]:
    """Planned counts of the other body piece over those of this one [1]."""
    return {
        read.key: planned[read.key] / read.target.count for read in points if read.key in planned and read.target.count
    }


def next_piece(piece: Piece, fabric: FabricOf | None) -> tuple[float, dict[str, float]]:
    """Spread of the next piece's stitch size about this one's, and how far it is expected off it, per direction."""
    pair = fabric.fabric.pair(piece.id) if fabric is not None and in_fabric(piece, fabric) else None
    if pair is None or isinstance(pair, CannotSay):
        return PIECE_TO_PIECE, {}
    cov = pair.across.cov
    spread = math.sqrt(max(1e-8, float(cov[0, 0] + cov[1, 1] - 2 * cov[0, 1])))
    moved = {
        direction: math.exp(float(both.mean[1] - both.mean[0]))
        for direction, both in (("across", pair.across), ("along", pair.along))
    }
    return spread, moved


def knitted_partner(given: Given, piece: Piece) -> dict[str, tuple[float, float]]:
    """Difference and standard uncertainty per point of the other body piece, where it is knitted and blocked [mm]."""
    partner = PARTNERS.get(piece.piece)
    for other in reversed(given.make.standing):
        if other.piece != partner:
            continue
        wanted = targets(given.make, other, given.household)
        if wanted.state == "blocked":
            known = {target.key: target.difference or target.overhang_difference for target in wanted.points}
            return {key: (difference.value, difference.u) for key, difference in known.items() if difference}
    return {}


def swallowed_mm(target: Target) -> float:
    """What the seams at both ends of a point swallow [mm]."""
    parts = [part for part in target.parts if part.code in ("seam_stitch", "seam_overlap")]
    return math.fsum(part.weight * part.estimate.value for part in parts)


def dial_again(given: Given, points: Sequence[Read], known: FabricOf | None) -> Dial | None:
    """The click at which the planned counts would come out right where they do not at this piece's dial.

    None unless the swatches tell the slope of the dial, and every planned width then lies within what is
    allowed.
    """
    piece = given.piece
    if known is None or piece is None or piece.dial is None:
        return None
    if known.fabric.slope("across").share_from_data < KNOWN_SLOPE:
        return None
    widths = _planned_widths(given, piece, points)
    clicks = known.machine.clicks() if known.machine else []
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
