"""What the decision looks at beside the verdict: what is still to be knitted, the other body piece, the next piece."""

from __future__ import annotations

import math
from dataclasses import dataclass

from fitcheck.advice.decide.decision import Recommendation
from fitcheck.advice.decide.remedies import PIECE_TO_PIECE, DecisionState
from fitcheck.advice.fabric.of_make import FabricOf
from fitcheck.advice.rest.planned import planned_counts
from fitcheck.advice.target.wanted import Target, targets
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import PieceKind
from fitcheck.reports.given import Given
from fitcheck.reports.reads import in_fabric

PINNED = CannotSay(
    "pinned",
    "the piece was read while pins held it: it measures its pins",
    "Take the pins out, wait until the next day, and read it lying free.",
)
PARTNERS: dict[str, PieceKind] = {"back": "front", "front": "back"}
"""The other body piece of a garment."""


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


def ratios_of(given: Given, piece: Piece, doubted: set[str]) -> dict[str, float]:
    """Planned counts of the other body piece over those of this one, where these are not in doubt [1]."""
    partner = PARTNERS.get(piece.piece)
    planned = planned_counts(given.make, given.household, partner) if partner else {}
    return {
        key: planned[key] / counts.best
        for key, counts in piece.counts.items()
        if key in planned and counts.best and key not in doubted
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
