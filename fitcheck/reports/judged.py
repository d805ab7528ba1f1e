"""The verdict on what was read of a piece, and the piece as if a doubt about it were answered."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from statistics import median
from typing import TYPE_CHECKING, NamedTuple

from fitcheck.advice.decide.others import Knitted
from fitcheck.advice.judge.doubts import Doubt
from fitcheck.advice.judge.explanation import Explanation, explain_piece
from fitcheck.advice.judge.points import PiecePoint
from fitcheck.advice.judge.verdict import PieceVerdict, differences, judge_piece
from fitcheck.advice.target.wanted import Target
from fitcheck.estimates.numbers import CannotSay
from fitcheck.estimates.piece import CountedDirection
from fitcheck.records.machines import Dial
from fitcheck.records.makes import Counts, Piece
from fitcheck.reports.given import Doubts, Given, Hands
from fitcheck.reports.reads import Read, carried_together, read_of, seam_sizes, targets_of

if TYPE_CHECKING:
    from fitcheck.advice.fabric.of_make import FabricOf


class Smaller(NamedTuple):
    """By how much a piece is smaller than was to be expected, in each direction that tells it [1]; by its swatches."""

    by: Sequence[float]
    swatched: bool


def judged_of(piece: Piece, reads: Sequence[Read], others: FabricOf | None, *, carried: bool) -> PieceVerdict:
    """The verdict on every point that was read.

    others   the fabric without this piece
    carried  its lengths were carried to the wash by the fabric, which then speaks for them no second time
    """
    points = _points_of(piece, reads)
    looks = {read.key: looks_of(read.target) for read in reads}
    if carried:
        return carried_together(judge_piece(points, None, looks=looks), reads)
    known = None
    if others is not None:
        from fitcheck.reports.before import before  # only where there is a fabric: it starts faster without

        dial = piece.dial.position(others.marks) if piece.dial else None
        # Of a dial that nobody said only pieces speak of which nobody said it either.
        speaks = piece.dial is not None or others.fabric.apart
        known = before(piece, others, dial) if speaks and not others.fabric.refuses(dial) else None
    return judge_piece(points, known, looks=looks)


def knitted_beside(given: Given, hands: Hands, doubts: Doubts) -> dict[str, Knitted]:
    """The other pieces of the make that are blocked and read, as their own answers have them, by their ids."""
    beside: dict[str, Knitted] = {}
    for other in given.make.standing:
        if given.piece is not None and other.id == given.piece.id:
            continue
        own = seam_sizes(given.make, other, hands, doubts.asked_of(other))
        wanted = targets_of(given, other, hands, doubts, own)
        if wanted.state != "blocked":
            continue
        reads = read_of(other, wanted, None)
        off = {} if isinstance(reads, CannotSay) else differences(_points_of(other, reads))
        beside[other.id] = Knitted({target.key: target for target in wanted.points}, off)
    return beside


def _points_of(piece: Piece, reads: Sequence[Read]) -> list[PiecePoint]:
    """The points that were read, those of a count that was counted marked so."""
    return [replace(read.point, counted=True) if _settled(piece, read.key) else read.point for read in reads]


def _settled(piece: Piece, key: str) -> bool:
    """Whether a count was counted on the piece, or kept when it was asked about."""
    counts = piece.counts.get(key)
    return counts is not None and (counts.counted is not None or counts.confirmed)


def looks_of(target: Target) -> int:
    """Rounds of readings so far, on the side that had more."""
    sides = (target.taped, target.overhang_taped, target.reference)
    return max((side.looks for side in sides if side is not None), default=1)


def explained(piece: Piece, reads: Sequence[Read], judged: PieceVerdict, *, carried: bool) -> Explanation:
    """What explains the lengths against the counts; of a piece that is not blocked yet, as they were read.

    Its lengths as they will be are made with its counts, and no evidence of them; no fabric speaks for it unwashed.
    """
    if not carried:
        return judged.explanation
    as_read = [
        replace(
            read.point,
            measured=replace(measured, value=measured.value - read.band_mm),
            count=read.count,
            counted=_settled(piece, read.key),
        )
        for read in reads
        if (measured := read.target.measured) is not None and not read.target.pinned
    ]
    return explain_piece(as_read)


def pulled_doubt(piece: Piece, doubt: Doubt | None) -> Doubt | None:
    """The doubt, unless it is about the shape of a piece that was wetted and laid out anew: that is asked once."""
    blocked = sum(stage.kind == "blocked" for stage in piece.stages)
    return None if doubt is not None and doubt.code == "out_of_shape" and blocked > 1 else doubt


def smaller(piece: Piece, reads: Sequence[Read], others: FabricOf | None, planned: Mapping[str, int]) -> Smaller:
    """By how much a piece is smaller than its swatches promise, or where there are none than it was planned.

    With F what was measured and N the count of a point, per direction 1 - the median of F / (N s); s is the size that
    the fabric without this piece has at its dial, or of the plan the median of what is wanted over what is planned.

    others   the fabric without this piece;  planned: its planned counts
    """
    dial = piece.dial.position(others.marks) if others is not None and piece.dial is not None else None
    fabric = others.fabric if others is not None and dial is not None and not others.fabric.refuses(dial) else None
    ways: tuple[CountedDirection, ...] = ("across", "along")
    less = []
    for way in ways:
        points = [read for read in reads if read.point.direction == way and not read.point.pinned]
        sizes = [
            read.point.measured.value / read.point.count
            for read in points
            if read.point.measured is not None and read.point.count
        ]
        wanted = [
            read.target.wanted.value / count
            for read in points
            if read.target.wanted is not None
            and (count := planned.get(read.key) or piece.counts.get(read.key, Counts()).planned)
        ]
        prior = fabric.prior(way, dial) if fabric is not None else None
        expected = math.exp(prior.log_mean) if prior is not None else median(wanted) if wanted else None
        if sizes and expected:
            less.append(1 - median(sizes) / expected)
    return Smaller(less, fabric is not None)


def as_answered(piece: Piece, doubt: Doubt, read: Read | None) -> Piece | None:
    """The piece as if what is doubted were as the tape has it; None where that is no answer that can be typed.

    read  the point that is to be counted
    """
    if doubt.code == "felted":
        return piece.model_copy(update={"felted": True})
    if doubt.code == "another_dial" and doubt.dial is not None:
        return piece.model_copy(update={"dial": Dial.model_validate(doubt.dial), "dial_confirmed": True})
    if doubt.code != "miscount" or read is None or read.target.count is None:
        return None
    counted = max(1, read.target.count + doubt.stitches)
    # A count that was only planned stands in the make, and on the piece nowhere.
    counts = piece.counts.get(doubt.about, Counts()).model_copy(update={"counted": counted})
    return piece.model_copy(update={"counts": {**piece.counts, doubt.about: counts}})
