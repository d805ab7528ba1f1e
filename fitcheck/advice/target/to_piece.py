"""From the finished garment's flat figure to the piece as it lies (fit rules 1, 6, 12, 15).

Flat and round, panels, open fronts, bands to come, seams, the reference's state: all from the catalogue.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from fitcheck.advice.tape import taped
from fitcheck.advice.target.parts import Notes, Part, Refused, Said
from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.piece import USUAL_MM
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.garments import Garment, Occasion
from fitcheck.records.makes import Band, Make, SeamKind
from fitcheck.records.points import HALF_FRONTS, POINTS, SLEEVES, PieceKind, Point, SeamEdge

SEAM_STITCH = Estimate(USUAL_MM["across"], 1.5, basis="assumed")
"""Width of a stitch that a seam swallows where the fabric is not known [mm] (assumed)."""
SEAM_ROW = Estimate(USUAL_MM["along"], 1.0, basis="assumed")
"""Height of a row that a seam swallows where the fabric is not known [mm] (assumed)."""
GROWTH_PERCENT: Mapping[str, Estimate] = {
    "along": Estimate(1.5, 1.5, basis="assumed"),
    "across": Estimate(0.0, 1.0, basis="assumed"),
}
"""How much a worn garment has grown since it was washed and dried flat, where its own growth is not known [%]
(assumed; common practice, no source)."""

_ALLOWANCE: Mapping[SeamKind, float] = {"mattress": 1.0, "half_stitch": 0.5, "linked": 0.0, "none": 0.0}
"""Stitches (or rows) of one edge that a seam swallows, by kind (fit rule 15; common practice, no source)."""


@dataclass(slots=True)
class ToPiece:
    """Brings flat figures of one make to one kind of its pieces.

    stitch, row  what a seam swallows [mm]; None = assumed
    """

    make: Make
    kind: PieceKind
    garment: Garment | None
    occasion: Occasion | None
    stitch: Estimate | None
    row: Estimate | None
    notes: Notes

    @property
    def half_front(self) -> bool:
        """Whether the piece is one of two fronts."""
        return self.kind in HALF_FRONTS

    def scale(self, point: Point) -> float:
        """Millimetres on the piece per millimetre of the garment's flat figure [1]."""
        return point.on_piece(self.kind)

    def bring(self, point: Point, said: Said, measured: Estimate | None, count: int | None) -> tuple[list[Part], float]:
        """Return every term on the piece's scale, and how much of the piece's length is a band [mm].

        measured, count  the piece's own, for the rough size of what a worn garment's growth is a share of
        """
        if said.on_piece:
            return list(said.parts), self._bands(point)[1]
        at = POINTS[said.converted_from[0]] if _is_neck(point.key) and said.converted_from else point
        worn = self.worn(point, said, measured, count)
        made_up, band_mm = self.made_up(at)
        return worn + made_up, band_mm

    def worn(self, point: Point, said: Said, measured: Estimate | None = None, count: int | None = None) -> list[Part]:
        """The terms of the garment itself on the piece's scale, before making up takes any of them."""
        scale = self.scale(point)
        parts = []
        for part in said.parts:
            on_piece = part.code == "wish_piece"
            code = "wish" if part.code.startswith("wish_") else part.code
            parts.append(Part(code, part.estimate, part.weight if on_piece else part.weight * scale))
        if said.source in ("garment", "overhang"):
            parts += self._state_of_reference(point, self._level(point, said, measured, count))
        return parts

    def made_up(self, point: Point) -> tuple[list[Part], float]:
        """Every term by which the piece is larger or smaller than the garment that is made up of it. Raises Refused.

        Beside them how much of the piece's length is a band [mm].
        """
        parts = self._panels(point) + self._front_band(point)
        bands, band_mm = self._bands(point)
        return parts + bands + self._seams(point), band_mm

    def _state_of_reference(self, point: Point, level: float) -> list[Part]:
        """Growth of a worn reference and the room that a thicker fabric takes (fit rule 6).

        level  rough size of the garment's figure on the piece's scale [mm]
        """
        parts: list[Part] = []
        state = self.occasion.state if self.occasion else "unsaid"
        if state == "unsaid":
            self.notes.assume("reference_state", self.garment.id if self.garment else "")
        if state == "worn" and self.garment is not None:
            direction = point.runs
            known = self.garment.growth_along_percent if direction == "along" else self.garment.growth_across_percent
            growth = GROWTH_PERCENT[direction] if known is None else Estimate(known)
            less = 1 / (1 + growth.value / 100)
            parts.append(
                Part(
                    "growth",
                    Estimate(level * (less - 1), level * less**2 * growth.u / 100, basis=growth.basis),
                )
            )
            if known is None:
                self.notes.assume(f"growth_{direction}", self.garment.id, growth.value, growth.u, "percent")
        if point.flat and self.garment is not None and self.garment.thickness and self.make.thickness:
            thicker = self.make.thickness.value_mm - self.garment.thickness.value_mm
            if thicker:
                parts.append(Part("thickness", Estimate(thicker), math.pi * self.scale(point)))
        return parts

    def _level(self, point: Point, said: Said, measured: Estimate | None, count: int | None) -> float:
        """Rough size of the garment's figure on the piece's scale [mm]."""
        if said.figure is not None:
            return said.figure.value * self.scale(point)
        if measured is not None:
            return measured.value
        if count is not None:
            size = SEAM_STITCH if point.runs == "across" else SEAM_ROW
            return count * size.value
        return sum(point.plausible) / 2 * self.scale(point)

    def _panels(self, point: Point) -> list[Part]:
        """A panel at each side carries a part of the round measure: front and back are a panel narrower."""
        panels = CONSTRUCTIONS[self.make.construction].panels
        if not (panels and point.flat and self.kind not in SLEEVES):
            return []
        share = -0.5 if self.half_front else -1.0
        if self.make.panel_width is not None:
            return [Part("panel", Estimate(self.make.panel_width.value_mm), share)]
        number = self.make.fits.numbers.get("panel_width")
        if number is not None and number.meant == "flat":
            return [Part("panel", Estimate(number.length.value_mm), share)]
        own = self.occasion.readings.get("panel_width") if self.occasion else None
        read = taped(own) if own else None
        if read is not None:
            return [Part("panel", read.estimate, share)]
        raise Refused("panel_width_unsaid", point=point.key)

    def _front_band(self, point: Point) -> list[Part]:
        """Open fronts closed: each is half of what the band leaves, and the band too where it has it."""
        if not (self.half_front and point.flat):
            return []
        band = next((band for band in self.make.bands if band.edge == "front"), None)
        depth = self.make.front_band or (band.depth if band else None)
        if depth is None:
            raise Refused("front_band_unsaid")
        knitted_on = band is not None and band.how == "knitted_on"
        return [Part("front_band", Estimate(depth.value_mm), 0.5 if knitted_on else -0.5)]

    def _bands(self, point: Point) -> tuple[list[Part], float]:
        if not point.band:
            return [], 0.0
        bands = [band for band in self.make.bands if band.edge == point.band]
        if not bands:
            if point.key == "neck_inside":
                raise Refused("neck_band_unsaid")
            self.notes.assume("no_band_to_come", point.band)
            return [], 0.0
        parts: list[Part] = []
        band_mm = 0.0
        for band in bands:
            # A length wants what the piece has of the band in place of one depth, which the finished one has.
            weight = _opening(point, band) if point.band == "neck" else band.depths_in_piece - 1.0
            if weight:
                parts.append(Part("band", Estimate(band.depth.value_mm), weight))
            if point.band != "neck":
                band_mm += band.mm_in_piece
        return parts, band_mm

    def _seams(self, point: Point) -> list[Part]:
        """What the seams swallow at the ends of the tape: the piece is larger by it (an opening smaller)."""
        sign = -1.0 if point.seam_ends < 0 else 1.0
        swallowed = overlapped = 0.0
        edges = point.seam_edges
        if point.key == "neck_width" and CONSTRUCTIONS[self.make.construction].armhole == "slanting":
            sign, edges = 1.0, ("armhole", "armhole")  # the neck of a raglan ends in its slanting seams, not in a band
        for place, edge in enumerate(edges):
            if self.half_front and point.flat and place:
                swallowed += self._front_edge()
                continue
            kind = self._seam_kind(edge)
            if edge == "neck" and self._neck_is_one_piece():
                continue
            if kind == "overlap":
                overlapped += self._overlap(point)
            else:
                swallowed += _ALLOWANCE[kind]
        parts = []
        if overlapped:
            parts.append(Part("seam_overlap", Estimate(overlapped), sign))
        if swallowed and point.seam_rows:
            parts.append(Part("seam_row", self._assumed_row(), sign * swallowed))
        elif swallowed:
            parts.append(Part("seam_stitch", self._assumed_stitch(), sign * swallowed))
        return parts

    def _seam_kind(self, edge: SeamEdge) -> SeamKind:
        seams = self.make.seams
        if edge == "side" and CONSTRUCTIONS[self.make.construction].panels and "panel" in seams:
            return seams["panel"]
        return seams.get(edge, "mattress")

    def _overlap(self, point: Point) -> float:
        """Half of the overlap: the two edges of one overlapped seam lose it together [mm]."""
        if self.make.seam_overlap is None:
            raise Refused("overlap_unsaid", point=point.key)
        return self.make.seam_overlap.value_mm / 2

    def _front_edge(self) -> float:
        """Stitches that picking up the front band swallows at a half front's edge."""
        band = next((band for band in self.make.bands if band.edge == "front"), None)
        return 0.0 if band is not None and band.how == "knitted_on" else 1.0

    def _neck_is_one_piece(self) -> bool:
        """The neck band grows out of the piece, so nothing is swallowed there."""
        bands = [band for band in self.make.bands if band.edge == "neck"]
        return bool(bands) and all(band.how != "added_later" for band in bands)

    def _assumed_stitch(self) -> Estimate:
        if self.stitch is not None:
            return self.stitch
        self.notes.assume("seam_stitch", "", SEAM_STITCH.value, SEAM_STITCH.u, "mm")
        return SEAM_STITCH

    def _assumed_row(self) -> Estimate:
        if self.row is not None:
            return self.row
        self.notes.assume("seam_row", "", SEAM_ROW.value, SEAM_ROW.u, "mm")
        return SEAM_ROW


def _opening(point: Point, band: Band) -> float:
    """What a band inside an opening changes, in depths: the piece's opening is larger by it at each end."""
    if band.how == "knitted_on":
        return 0.0
    return 2.0 if point.seam_ends else 1.0


def _is_neck(key: str) -> bool:
    return key in ("neck_width", "neck_inside")
