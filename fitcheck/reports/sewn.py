"""What the sewn garment has of the readings of its pieces: each less what making up takes from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from datetime import date
from statistics import fmean

from fitcheck.advice.rest.for_another import counts_of
from fitcheck.advice.rounds import counting
from fitcheck.advice.tape import taped
from fitcheck.advice.target.parts import Notes, Refused, total
from fitcheck.advice.target.to_piece import ToPiece
from fitcheck.estimates.numbers import Estimate
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.frozen import frozen
from fitcheck.records.points import FRONTS, POINTS, PieceKind
from fitcheck.records.stages import PieceStage
from fitcheck.reports.given import Given, Hands, hands_of
from fitcheck.reports.reads import seam_sizes

BODY: tuple[tuple[PieceKind, PieceKind], ...] = (("back", "front"), ("front", "back"))
"""A piece of the body, and the one that it makes up its width with."""
PIECES = "pieces"
"""Key of the measuring of a garment that its pieces stand for: nobody laid a tape on the garment itself."""


@frozen
class Sewn:
    """A garment as the readings of its pieces have it.

    read_on  the latest day on which one of these pieces was read washed and blocked; None where no day is said
    flat_mm  per point of measure its flat figures [mm]: of the body one, else one of each piece that was read
    stitch_mm, row_mm  mean stitch width and row height of the pieces that tell them [mm]; None where none does
    """

    read_on: date | None = None
    flat_mm: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    stitch_mm: float | None = None
    row_mm: float | None = None


def sewn(given: Given) -> Sewn:
    """The garment that is made up of a make's pieces, as they were read washed and blocked.

    flat figure = (mean of the readings - what seams swallow + bands still to come + panels) / times it measures

    Of the body it is the mean of its back and its front, which may be of two widths because one makes up the other; one
    that was not read is taken to be as the other, wider or narrower by the stitches in which their counts differ.

    Pins hold what they hold: a direction that was read on pins has no figure. Nor has a point of which it is not known
    what making up takes (a seam that overlaps by nobody knows how much).
    """
    hands = hands_of(given)
    figures: dict[str, dict[str, list[float]]] = {}
    days = []
    stitches, rows = [], []
    for piece in given.make.standing:
        stage = next((stage for stage in reversed(piece.stages) if stage.kind == "blocked" and stage.readings), None)
        if stage is None:
            continue
        stitch, row = seam_sizes(given.make, piece, hands, frozenset())
        bring = ToPiece(given.make, piece.piece, given.garment, given.occasion, stitch, row, Notes())
        of_piece = _figures(bring, stage, hands)
        side = "front" if piece.piece in FRONTS else piece.piece
        for key, flat_mm in of_piece.items():
            figures.setdefault(key, {}).setdefault(side, []).append(flat_mm)
        days += [stage.on] if stage.on and of_piece else []
        stitches += [stitch.value] if stitch is not None else []
        rows += [row.value] if row is not None else []
    counts = counts_of(given.make, given.household)
    for key, sides in figures.items():
        if stitches and POINTS[key].direction == "across":
            sides |= _other_width(sides, counts, key, fmean(stitches))
    return Sewn(
        max(days, default=None),
        {key: _of_body(figures[key]) for key in POINTS if key in figures},
        fmean(stitches) if stitches else None,
        fmean(rows) if rows else None,
    )


def planned_flat(given: Given) -> dict[str, float]:
    """What the plan comes to at each point of the sewn garment, flat [mm]: as its pieces were read, else its counts.

    of counts = (count x mean stitch or row of the pieces + the band - what making up takes) / times it measures
    """
    of_pieces = sewn(given)
    figures: dict[str, dict[str, list[float]]] = {}
    size_mm = {"across": of_pieces.stitch_mm, "along": of_pieces.row_mm}
    stitch, row = (Estimate(mm) if mm is not None else None for mm in size_mm.values())
    for kind, counts in counts_of(given.make, given.household).items():
        bring = ToPiece(given.make, kind, given.garment, given.occasion, stitch, row, Notes())
        for key, count in counts.items():
            point = POINTS[key]
            if not point.is_on(kind) or (each_mm := size_mm.get(point.direction)) is None:
                continue
            try:
                made_up, band_mm = bring.made_up(point)
            except Refused:
                continue
            length_mm = count * each_mm + band_mm - total(made_up).value
            side = "front" if kind in FRONTS else kind
            figures.setdefault(key, {}).setdefault(side, []).append(length_mm / bring.scale(point))
    read = {key: fmean(flat) for key, flat in of_pieces.flat_mm.items()}
    return {key: fmean(_of_body(sides)) for key, sides in figures.items()} | read


def _other_width(
    sides: Mapping[str, list[float]], counts: Mapping[PieceKind, Mapping[str, int]], key: str, stitch_mm: float
) -> dict[str, list[float]]:
    """The width of a back or a front that was not read, beside the other that was, by what their counts differ [mm]."""
    for read, other in BODY:
        stitches = counts.get(read, {}).get(key), counts.get(other, {}).get(key)
        if read in sides and other not in sides and stitches[0] and stitches[1]:
            return {other: [fmean(sides[read]) + (stitches[1] - stitches[0]) * stitch_mm]}
    return {}


def _of_body(sides: Mapping[str, list[float]]) -> tuple[float, ...]:
    """The figures of one point: the mean of back and front where both were read, else each piece's own [mm]."""
    if sides.keys() >= {"back", "front"}:
        return (fmean(fmean(sides[side]) for side in ("back", "front")),)
    return tuple(flat_mm for side in sides.values() for flat_mm in side)


def _figures(bring: ToPiece, stage: PieceStage, hands: Hands) -> dict[str, float]:
    """The flat figure of each point that was read on one piece [mm]."""
    lacks = CONSTRUCTIONS[bring.make.construction].lacks
    figures = {}
    for key, readings in stage.readings.items():
        point = POINTS[key]
        on_it = key not in lacks and point.is_on(bring.kind)
        if not on_it or point.runs in stage.pinned or not counting(readings):
            continue
        read = taped(readings, hands.tape)
        try:
            taken = total(bring.made_up(point)[0])
        except Refused:
            continue
        if read is not None:
            figures[key] = (read.estimate.value - taken.value) / bring.scale(point)
    return figures
