"""The points of a piece that can be judged, as the tape has them or as the fabric carries them to the wash."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence, Set
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from fitcheck.advice.judge.points import HowRead, PiecePoint
from fitcheck.advice.judge.verdict import PieceVerdict
from fitcheck.advice.tape import Taped, taped
from fitcheck.advice.target.wanted import Target, Targets, stage_of, targets
from fitcheck.estimates.numbers import CannotSay, Estimate
from fitcheck.estimates.piece import VAGUE, CountedDirection, PieceReading, piece_posterior
from fitcheck.records.frozen import frozen
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import POINTS
from fitcheck.records.stages import PieceStage
from fitcheck.reports.given import Doubts, Given, Hands

if TYPE_CHECKING:
    from fitcheck.advice.fabric.of_make import FabricOf

NINE_IN_TEN = 1.6449
"""Half width of a normal interval that holds nine in ten, in SDs."""
COUNT_AGAINST_TAPE = 0.02
"""Where a count and the tape disagree by more, the tape is what was measured (fit rule 34) [log of the ratio]."""
NOT_READ = CannotSay("not_read")
NOTHING_TO_COMPARE = CannotSay("nothing_to_compare")
NOT_COPIED = CannotSay("not_copied")
CANNOT_CARRY = CannotSay("cannot_carry")


@frozen
class Read:
    """One point ready to be judged: the target, the point, and its length that is no plain fabric [mm].

    count  stitches or rows of a carried point, which is judged without them
    """

    target: Target
    point: PiecePoint
    band_mm: float
    count: float | None = None

    @property
    def key(self) -> str:
        """The point of measure."""
        return self.target.key


SeamSizes = tuple[Estimate | None, Estimate | None]
"""Stitch width and row height for what seams swallow [mm]; None is assumed."""


def targets_of(given: Given, piece: Piece, hands: Hands, doubts: Doubts, seam: SeamSizes) -> Targets:
    """What the piece must measure at every point beside what it measures; counts that are asked about are left out."""
    asked = doubts.asked_of(piece)
    whole = targets(
        given.make,
        piece,
        given.household,
        stitch=seam[0],
        row=seam[1],
        pool=hands.tape,
        overhang_pool=hands.overhang,
    )
    if not asked:
        return whole
    points = [replace(target, count=None) if target.key in asked else target for target in whole.points]
    return replace(whole, points=tuple(points))


def seam_sizes(make: Make, piece: Piece, hands: Hands, asked: Set[str]) -> SeamSizes:
    """The sizes that a blocked piece itself tells; nothing before.

    asked  points whose count is asked about: they tell nothing
    """
    place = stage_of(piece)
    if place is None or piece.stages[place].kind != "blocked":
        return None, None
    stage = piece.stages[place]
    sure = {key: count for key, counts in piece.counts.items() if (count := counts.best) and key not in asked}
    return _size(make, stage, sure, "across", hands), _size(make, stage, sure, "along", hands)


def _size(
    make: Make, stage: PieceStage, counts: Mapping[str, int], direction: CountedDirection, hands: Hands
) -> Estimate | None:
    """Stitch width or row height that the piece itself tells at a stage [mm]; None without a counted point."""
    bands = {band.edge for band in make.bands if band.how != "added_later"}
    counted = []
    for key, readings in stage.readings.items():
        point = POINTS[key]
        if point.direction != direction or key not in counts or direction in stage.pinned:
            continue
        read = taped(readings, hands.tape)
        if read is not None and not (direction == "along" and point.band in bands):
            counted.append(PieceReading(counts[key], read.estimate))
    if not counted:
        return None
    own = piece_posterior(counted, VAGUE[direction])
    return Estimate(own.size_mm, own.size_mm * own.log_size.u, own.dof)


def seam_sizes_promised(fabric: FabricOf | None) -> SeamSizes:
    """The sizes that the fabric promises the next piece: those of one that is not washed yet."""
    gauge = fabric.fabric.gauge(fabric.dial) if fabric is not None else None
    if gauge is None or isinstance(gauge, CannotSay):
        return None, None
    across, along = gauge.across, gauge.along
    return (
        Estimate(across.value, across.value * across.sd, basis=across.basis),
        Estimate(along.value, along.value * along.sd, basis=along.basis),
    )


def read_of(piece: Piece, wanted: Targets, fabric: FabricOf | None) -> tuple[Read, ...] | CannotSay:
    """The points that can be judged, in the order in which they were knitted; why none can be otherwise."""
    if wanted.state is None or not any(stage.readings or stage.overhangs for stage in piece.stages):
        return NOT_READ
    read = _ready(wanted)
    if wanted.state != "blocked":
        carried = _carried(read, wanted.state, piece, fabric)
        if isinstance(carried, CannotSay):
            return carried
        read = carried
    not_copied = any(why.code == NOT_COPIED.code for _, why in wanted.refused)
    return read or (NOT_COPIED if not_copied else NOTHING_TO_COMPARE)


def _ready(wanted: Targets) -> tuple[Read, ...]:
    ready = [
        _point(target)
        for target in wanted.points
        if target.refused is None and (target.measured is not None or target.overhang is not None)
    ]
    judged = [read for read in ready if read.point.measured is not None or read.point.overhang is not None]
    return tuple(sorted(judged, key=lambda read: POINTS[read.key].knitted))


def _point(target: Target) -> Read:
    """One target as the judge takes it: plain fabric only, without the band that may be knitted on."""
    wanted, measured = target.wanted, target.measured
    if wanted is None:
        low, high = POINTS[target.key].plausible
        usual = (low + high) / 2 * target.garment_scale
        wanted = Estimate(usual, basis="assumed")
        measured = None
    elif target.reference is not None:
        # What is wanted was read with the same hands as the piece: one variance estimate, not two.
        own = target.reference.estimate
        wanted = replace(wanted, source=own.source, dof=min(wanted.dof, own.dof))
    band = target.not_plain_mm if target.count and target.direction == "along" else 0.0
    if band and min(wanted.value, measured.value if measured else math.inf) <= band:
        band = 0.0
    if band:
        wanted = replace(wanted, value=wanted.value - band)
        measured = measured and replace(measured, value=measured.value - band)
    point = PiecePoint(
        key=target.key,
        direction=target.direction,
        wanted=wanted,
        measured=measured,
        tolerance_mm=target.tolerance_mm,
        count=target.count if target.direction != "edge" else None,
        overhang=target.overhang_difference,
        piece_read=_how(target.taped or target.overhang_taped),
        reference_read=_how(target.reference, target.garment_scale, wanted.u),
        pinned=target.pinned,
    )
    return Read(target, point, band)


def _how(side: Taped | None, scale: float = 1.0, u_mm: float | None = None) -> HowRead | None:
    """How a side was read, on the piece's scale; what of its uncertainty u is not the tape's no reading removes."""
    if side is None:
        return None
    fixed = max(0.0, u_mm**2 - (scale * side.estimate.u) ** 2) if u_mm is not None else 0.0
    return HowRead(scale * side.s_mm, side.readings, scale * side.resolution_mm, fixed)


def in_fabric(piece: Piece | None, fabric: FabricOf | None) -> bool:
    """Whether the fabric was fitted with this piece in it."""
    return fabric is not None and piece is not None and any(own.key == piece.id for own in fabric.specimens)


def _carried(
    ready: tuple[Read, ...], stage: str, piece: Piece, fabric: FabricOf | None
) -> tuple[Read, ...] | CannotSay:
    """The points of a piece that is not blocked yet, with the lengths that it will have washed and blocked.

    A counted length is its count times the piece's own size; without any count, or where count and tape disagree, the
    length itself is carried by the change that swatches went through (fit rule 34): the tape is what was measured.
    Nothing but a swatch read before and after tells that change.
    """
    if fabric is None:
        return CANNOT_CARRY
    own = fabric.fabric.specimen(piece.id) if in_fabric(piece, fabric) else None
    change = fabric.fabric.change(stage)
    if isinstance(own, CannotSay) or (own is None and "assumed" in (change.across.basis, change.along.basis)):
        return CANNOT_CARRY
    carried = []
    for read in ready:
        along = POINTS[read.key].runs == "along"
        percent = change.along if along else change.across
        measured, count = read.point.measured, read.point.count
        if measured is None:
            continue
        spread = (math.log1p(percent.high / 100) - math.log1p(percent.low / 100)) / (2 * NINE_IN_TEN)
        length = measured.value * (1 + percent.value / 100)
        u = math.hypot(length * spread, measured.u)
        if own is not None and count is not None:
            size = own.along if along else own.across
            by_count = count * size.value
            if abs(math.log(by_count / length)) <= COUNT_AGAINST_TAPE:
                length, u = by_count, by_count * size.sd
        washed = Estimate(length, u, measured.dof, basis="mixed")
        point = replace(read.point, measured=washed, count=None, overhang=None, pinned=False, piece_read=None)
        carried.append(replace(read, point=point, count=count))
    return tuple(carried)


def carried_together(verdict: PieceVerdict, read: Sequence[Read]) -> PieceVerdict:
    """The verdict on carried lengths: those of one direction are off together, for they share one stitch size."""
    covariance = verdict.difference_cov_mm2.copy()
    for i, j in np.ndindex(len(read), len(read)):
        mine, theirs = read[i].point.measured, read[j].point.measured
        if i != j and POINTS[read[i].key].runs == POINTS[read[j].key].runs and mine and theirs:
            covariance[i, j] += mine.u * theirs.u
    return replace(verdict, difference_cov_mm2=covariance)
