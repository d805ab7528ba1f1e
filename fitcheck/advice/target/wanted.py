"""What a piece must measure: from the garment, numbers or body and ease to the piece as it lies blocked.

The one place where flat and round, garment and piece, bands to come, seams, the reference's state and its
definition of a measure are converted; the catalogue of points says how.

    wanted on the piece = scale x (flat figure of the finished garment + wish)
                          - panels - bands still to come + swallowed edges + growth + thickness

Every term is kept as a Part, so that an answer can show where its number came from. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from fitcheck.advice.rest.planned import planned_counts, size_table_of
from fitcheck.advice.tape import Taped, finest, taped
from fitcheck.advice.target.allowed import allowed
from fitcheck.advice.target.as_read import AsRead, as_read_of
from fitcheck.advice.target.neck import head_is_stopped
from fitcheck.advice.target.parts import SAID, Notes, Part, Refused, Said, Source, minus, total
from fitcheck.advice.target.reference import Reference
from fitcheck.advice.target.to_piece import ToPiece
from fitcheck.estimates.numbers import Assumed, CannotSay, Estimate
from fitcheck.estimates.readings import Pool, combine
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import BODY, ORDER, POINTS, SLEEVES, Direction, Point
from fitcheck.records.size_tables import SizeTable
from fitcheck.records.stages import PieceStage, StageKind


@frozen
class Target:
    """What one point of a piece must measure, and what it measures. Lengths in mm on the piece as it lies.

    key              point of measure
    direction        across, along, or edge
    wanted           seam stitches and rows included, bands to come taken off; None where only an overhang or
                     nothing speaks for the point
    source           garment, numbers, ease (body and ease) or overhang
    parts            the terms that make up `wanted`, or its distance from the garment's figure
    tolerance_mm     allowed (too small, too large)
    garment_scale    mm on the piece per mm of the garment's flat figure: 1 chest, 2 upper arm, 0.5 half front
    weight           loss if the finished garment is out here
    garment_figure   the garment's own flat figure as it was read (or converted); None without one
    reference        how the garment (or body) was taped
    converted_from   the garment's points that the figure was reckoned from; empty = measured as such
    count            stitches or rows at this very row: plain fabric, a knitted-on band's rows not among them
    not_plain_mm     part of the piece's length that is a band and never enters the plain row height
    measured         readings of the piece at the stage looked at
    taped            how the piece was taped
    overhang         piece minus garment as laid on it, on the piece's scale
    overhang_taped   how the overhang was read
    laid_on_wanted   no garment is named: the one laid under is taken to be as wanted
    as_read          why the garment's figure is asked about before it is copied; None where it is not, or was answered
    pinned           held by pins in this direction: no verdict, no gauge
    refused          why nothing can be compared here; then `wanted` is None
    """

    key: str
    direction: Direction
    wanted: Estimate | None
    source: Source
    parts: tuple[Part, ...]
    tolerance_mm: tuple[float, float]
    garment_scale: float
    weight: float
    garment_figure: Estimate | None = None
    reference: Taped | None = None
    converted_from: tuple[str, ...] = ()
    count: int | None = None
    not_plain_mm: float = 0.0
    measured: Estimate | None = None
    taped: Taped | None = None
    overhang: Estimate | None = None
    overhang_taped: Taped | None = None
    laid_on_wanted: bool = False
    as_read: AsRead | None = None
    pinned: bool = False
    refused: CannotSay | None = None

    @property
    def offset(self) -> Estimate | None:
        """Wanted on the piece minus the garment's figure on the piece's scale [mm].

        What an overhang must read when the piece is right. None where the garment's figure is not known.
        """
        if self.refused is not None:
            return None
        if self.source in ("garment", "overhang"):
            return total(part for part in self.parts if part.code != "figure")
        if self.garment_figure is None and self.laid_on_wanted:
            return total(part for part in self.parts if part.code not in SAID)
        if self.wanted is None or self.garment_figure is None:
            return None
        return combine(self.wanted, self.garment_figure, weights=(1.0, -self.garment_scale))

    @property
    def difference(self) -> Estimate | None:
        """Measured minus wanted, from the tape on both sides [mm]; one pool of readings counts once."""
        if self.measured is None or self.wanted is None:
            return None
        return total((Part("measured", self.measured), *minus(self.parts)))

    @property
    def overhang_difference(self) -> Estimate | None:
        """Measured minus wanted, from the overhang: overhang - offset [mm]."""
        if self.overhang is None or self.offset is None or self.garment_scale < 1:
            return None
        if self.source in ("garment", "overhang"):
            others = [part for part in self.parts if part.code != "figure"]
            return total((Part("overhang", self.overhang), *minus(others)))
        if self.garment_figure is None and self.laid_on_wanted:
            others = [part for part in self.parts if part.code not in SAID]
            return total((Part("overhang", self.overhang), *minus(others)))
        return combine(self.overhang, self.offset, weights=(1.0, -1.0))


@frozen
class Targets:
    """What a piece must measure at every point that anything speaks for.

    points    in the order of the catalogue; points measured on the piece but refused are among them
    assumed   what was taken for granted, each once, with its largest share of a difference's variance
    refused   points that cannot be compared, with the reason
    asks      codes of what should be asked before the answer is trusted: wish_beside_figure, count_at_that_row,
              neck_for_head
    stage     place of the stage in the piece's list; None without one
    state     kind of that stage: blocked, off_machine, rested, hung; None without one
    hours     hours off the machine, or dry after blocking, where said
    """

    points: tuple[Target, ...]
    assumed: tuple[Assumed, ...] = ()
    refused: tuple[tuple[str, CannotSay], ...] = ()
    asks: tuple[str, ...] = ()
    stage: int | None = None
    state: StageKind | None = None
    hours: float | None = None

    def get(self, key: str) -> Target | None:
        """Return the target of a point, None where there is none."""
        return next((target for target in self.points if target.key == key), None)


def targets(
    make: Make,
    piece: Piece,
    household: Household,
    *,
    stitch: Estimate | None = None,
    row: Estimate | None = None,
    pool: Pool | None = None,
    overhang_pool: Pool | None = None,
) -> Targets:
    """Say what a piece must measure at every point, beside what it measures.

    The stage looked at is the last blocked one; without one the last of all, and `state` says which.

    stitch, row    stitch width and row height of the fabric, for what seams swallow [mm]; None = assumed
                   4.5 +- 1.5 mm and 3.2 +- 1.0 mm
    pool           the household's repeatability of tape readings; None = the usual hand
    overhang_pool  the same of overhangs
    """
    return _Comparison(make, piece, household, stitch, row, pool, overhang_pool).all()


def stage_of(piece: Piece) -> int | None:
    """Place of the stage to look at: the last blocked one, without one the last of all; None without any."""
    blocked = [place for place, stage in enumerate(piece.stages) if stage.kind == "blocked"]
    return blocked[-1] if blocked else (len(piece.stages) - 1 if piece.stages else None)


def _unfolded(overhang: Estimate, times: int) -> Estimate:
    """Bring an overhang of the folded piece to the piece's own scale."""
    if times == 1:
        return overhang
    return Estimate(
        overhang.value * times, overhang.u * times, overhang.dof, overhang.outliers, overhang.source, overhang.basis
    )


class _Brought(NamedTuple):
    """What is wanted of a point of the piece.

    parts  what it is the sum of;  band_mm: of it not plain fabric [mm];  refused: why it is not compared
    """

    said: Said | None
    parts: tuple[Part, ...] = ()
    wanted: Estimate | None = None
    band_mm: float = 0.0
    refused: CannotSay | None = None


@dataclass(slots=True)
class _Comparison:
    """One make's piece against what it must fit."""

    make: Make
    piece: Piece
    household: Household
    stitch: Estimate | None
    row: Estimate | None
    pool: Pool | None
    overhang_pool: Pool | None
    notes: Notes = field(default_factory=Notes)
    place: int | None = field(init=False)
    stage: PieceStage | None = field(init=False)
    table: SizeTable | None = field(init=False)
    reference: Reference = field(init=False)
    to_piece: ToPiece = field(init=False)
    steps: dict[str, float] = field(init=False)
    overhang_steps: dict[str, float] = field(init=False)
    planned: Mapping[str, int] = field(init=False)

    def __post_init__(self) -> None:
        self.place = stage_of(self.piece)
        self.stage = self.piece.stages[self.place] if self.place is not None else None
        self.steps = finest(self.stage.readings.values()) if self.stage else {}
        self.overhang_steps = finest(self.stage.overhangs.values()) if self.stage else {}
        self.table = size_table_of(self.make, self.household)
        self.planned = planned_counts(self.make, self.household, self.piece.piece)
        self.reference = Reference(self.make, self.household, self.pool, self.notes, self.piece.piece)
        self.to_piece = ToPiece(
            self.make,
            self.piece.piece,
            self.reference.garment,
            self.reference.occasion,
            self.stitch,
            self.row,
            self.notes,
        )

    def all(self) -> Targets:
        points, refused = [], []
        for key in self._keys():
            target = self.target(key)
            if target is None:
                continue
            if target.refused is not None:
                refused.append((key, target.refused))
                if target.measured is None and target.overhang is None:
                    continue
            points.append(target)
        if self.piece.piece in BODY and head_is_stopped(self.reference):
            self.notes.ask("neck_for_head")
        return Targets(
            tuple(points),
            tuple(self.notes.assumed.values()),
            tuple(refused),
            tuple(self.notes.asks),
            self.place,
            self.stage.kind if self.stage else None,
            self.stage.hours if self.stage else None,
        )

    def _keys(self) -> list[str]:
        """Points that anything speaks for: read on the piece, or carried by it and wanted or counted."""
        kind = self.piece.piece
        read = {*self.stage.readings, *self.stage.overhangs} if self.stage else set()
        fits, planned = self.make.fits, self.make.planned.get(kind, ())
        spoken = {*fits.numbers, *fits.ease, *self.piece.counts, *planned}
        if self.reference.occasion is not None:
            spoken |= self.reference.occasion.readings.keys()
            if kind in SLEEVES and spoken & {"centre_back_to_cuff", "sleeve_length"}:
                spoken.add("sleeve_length")
        if self.make.panel_width is not None:
            spoken.add("panel_width")
        return sorted(read | {key for key in spoken if POINTS[key].is_on(kind)}, key=ORDER.__getitem__)

    def target(self, key: str) -> Target | None:
        point = POINTS[key]
        measured, over = self._on_piece(key)
        scale = self.to_piece.scale(point)
        count = self._count(key)
        brought = self._brought(point, measured, over, count)
        if brought is None:
            return None
        said = brought.said
        tolerance, capped = allowed(point, self.make, self.piece.piece, scale, self.table)
        if capped:
            self.notes.assume("half_size_step", key, value=max(tolerance), unit="mm")
        if over is not None and point.per_piece > 1:
            self.notes.assume("overhang_folded", key)
        target = Target(
            key=key,
            direction=point.direction,
            wanted=brought.wanted,
            source=said.source if said else "garment",
            parts=brought.parts,
            tolerance_mm=tolerance,
            garment_scale=scale,
            weight=self.make.weights.get(key, point.weight),
            garment_figure=said.figure if said else None,
            reference=said.reference if said else None,
            converted_from=said.converted_from if said else (),
            count=count,
            not_plain_mm=brought.band_mm,
            measured=measured.estimate if measured else None,
            taped=measured,
            overhang=_unfolded(over.estimate, point.per_piece) if over else None,
            overhang_taped=over,
            laid_on_wanted=self.reference.garment is None,
            as_read=self._asked_before_copied(point, said),
            pinned=self._pinned(point),
            refused=brought.refused,
        )
        self._share_of_assumptions(target)
        return target

    def _brought(self, point: Point, measured: Taped | None, over: Taped | None, count: int | None) -> _Brought | None:
        """What is wanted of a point, brought to the piece; None where nothing speaks for it and nothing was read."""
        said: Said | None = None
        try:
            self._belongs(point)
            self._lies_on(point, measured, over)
            said = self.reference.said(point, over)
            if said is None:
                if measured is None and over is None:
                    return None
                raise Refused("no_wanted_figure", point=point.key, of="piece")
            parts, band_mm = self.to_piece.bring(point, said, measured.estimate if measured else None, count)
            if point.key == "sleeve_length":
                parts += self._knitted_shoulder()
        except Refused as no:
            return _Brought(said, refused=no.reason)
        return _Brought(said, tuple(parts), None if said.source == "overhang" else total(parts), band_mm)

    def _on_piece(self, key: str) -> tuple[Taped | None, Taped | None]:
        if self.stage is None:
            return None, None
        measured = over = None
        if key in self.stage.readings:
            measured = taped(self.stage.readings[key], self.pool, steps=self.steps)
        if key in self.stage.overhangs:
            over = taped(self.stage.overhangs[key], self.overhang_pool, overhang=True, steps=self.overhang_steps)
        if over and self.reference.garment is None and key in self.make.fits.numbers:
            self.notes.assume("laid_on_as_wanted", key)
        if measured and measured.laying_assumed:
            self.notes.assume("one_laying", self.piece.id)
        if over and over.laying_assumed:
            self.notes.assume("one_laying_overhang", key)
        return measured, over

    def _asked_before_copied(self, point: Point, said: Said | None) -> AsRead | None:
        if said is None or said.source not in ("garment", "overhang") or self.make.fits.as_read is not None:
            return None
        return as_read_of(point, self.reference.garment, self.reference.occasion)

    def _pinned(self, point: Point) -> bool:
        pinned = self.stage.pinned if self.stage else []
        return bool(pinned) if point.direction == "edge" else point.direction in pinned

    def _count(self, key: str) -> int | None:
        """The count of this very row or column; the count of a wider place never stands in for it."""
        counts = self.piece.counts.get(key)
        if counts is not None and counts.best is not None:
            return counts.best
        planned = self.planned.get(key)
        if planned is None and POINTS[key].at_its_row and self.piece.counts:
            self.notes.ask("count_at_that_row")
        return planned

    def _belongs(self, point: Point) -> None:
        kind, construction = self.piece.piece, CONSTRUCTIONS[self.make.construction]
        if kind not in point.pieces:
            raise Refused("not_on_piece", point=point.key, piece=kind)
        if point.key in construction.lacks:
            raise Refused("not_in_construction", point=point.key, construction=construction.key)
        if not point.is_on(kind):
            raise Refused("half_front", point=point.key)

    def _lies_on(self, point: Point, measured: Taped | None, over: Taped | None) -> None:
        """A half front is laid to no edge of the garment: only its tape readings speak for a width."""
        if over is not None and measured is None and self.to_piece.half_front and point.flat:
            raise Refused("overhang_half_front", point=point.key)

    def _knitted_shoulder(self) -> list[Part]:
        """A shoulder that is knitted 1 cm wide wants a sleeve 0.5 cm shorter (fit rule 12)."""
        if CONSTRUCTIONS[self.make.construction].sleeve_starts_at != "shoulder_width":
            return []
        backs = [piece for piece in self.make.standing if piece.piece == "back"]
        for back in reversed(backs):
            place = stage_of(back)
            if place is None or back.stages[place].kind != "blocked":
                continue
            shoulder = _Comparison(
                self.make, back, self.household, self.stitch, self.row, self.pool, self.overhang_pool
            ).target("shoulder_width")
            if shoulder is None or shoulder.pinned:
                continue
            wide = shoulder.difference or shoulder.overhang_difference
            if wide is not None:
                return [Part("shoulder", wide, -0.5)]
        return []

    def _share_of_assumptions(self, target: Target) -> None:
        """How much of the difference's variance each assumption brings here; the worst point is kept."""
        garment = self.reference.garment
        shared = [part for part in target.parts if part.code in ("seam_stitch", "seam_row", "growth")]
        if not shared:
            return
        sides = (target.wanted or target.offset, target.measured or target.overhang)
        variance = math.fsum([side.u**2 for side in sides if side is not None])
        for part in shared:
            if variance:
                code, about = part.code, ""
                if code == "growth":
                    code, about = f"growth_{POINTS[target.key].runs}", garment.id if garment else ""
                self.notes.share(code, about, (part.weight * part.estimate.u) ** 2 / variance)
