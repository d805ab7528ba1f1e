"""Bands that are still to be picked up or sewn on: how deep, in how many rows, and how many stitches the edge takes.

    rows = depth / row height,  stitches = edge / stitch width

with the stitch of the band's own swatch: a rib has another one than the plain fabric (fit rules 1 and 18).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from fitcheck.advice.alteration import Alteration
from fitcheck.advice.rest.pieces import RestPiece
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.frozen import frozen
from fitcheck.records.makes import BandEdge, Make
from fitcheck.records.points import HALF_FRONTS

SIDES = 2
"""A band lies at both sides of the opening that it narrows."""
NOT_SWATCHED = CannotSay("band_not_swatched")


@frozen
class BandStitch:
    """Size of a stitch and of a row of the bands, washed and blocked [mm]."""

    stitch_mm: float
    row_mm: float

    def rows(self, depth_mm: float) -> int:
        """Rows that make a depth, at least one [rows]."""
        return max(1, round(depth_mm / self.row_mm))

    def picked_up(self, edge_mm: float) -> int:
        """Stitches that a straight edge takes [stitches]; a curved one takes fewer (fit rule 18)."""
        return round(edge_mm / self.stitch_mm)


@frozen
class BandToCome:
    """A band that no piece has yet.

    before_mm  its depth as it was planned [mm];  depth_mm  the one to knit; None where nobody said it
    change_mm  how much deeper the advice makes it [mm]; 0 where it stays
    edge_mm    length of the straight edge that it is picked up from, where the counts say it [mm]
    stitch     what its swatch says of it, or why nothing is known
    """

    edge: BandEdge
    before_mm: float | None
    depth_mm: float | None
    change_mm: float
    edge_mm: float | None
    stitch: BandStitch | CannotSay

    def deep_for(self, wider_mm: float) -> float | None:
        """The depth that leaves the opening so much wider than planned [mm]; None where nobody said how deep it was."""
        return _deep_for(self.before_mm, wider_mm)

    @property
    def rows(self) -> int | None:
        """Rows to knit [rows]; None where depth or row is not known."""
        if isinstance(self.stitch, CannotSay) or self.depth_mm is None:
            return None
        return self.stitch.rows(self.depth_mm)


def bands_to_come(
    make: Make,
    alterations: Sequence[Alteration],
    pieces: Iterable[RestPiece],
    stitch: BandStitch | CannotSay,
) -> tuple[BandToCome, ...]:
    """Every band that is picked up or sewn on afterwards, and the neck band where the advice makes it another.

    alterations  what the advice changes
    pieces       what is still to knit, which says how long a straight edge is
    stitch       of the bands, or why nothing is known of it
    """
    depths: dict[BandEdge, float] = {}
    if make.front_band is not None:
        depths["front"] = make.front_band.value_mm
    depths |= {band.edge: band.depth.value_mm for band in make.bands if band.how == "added_later"}
    for band in make.bands:
        if band.how != "added_later":
            depths.pop(band.edge, None)
    wider = [alteration.mm for alteration in alterations if alteration.by == "neck_band"]
    edges: list[BandEdge] = ["hem", "cuff", "neck", "front"]
    listed = [edge for edge in edges if edge in depths or (edge == "neck" and wider)]
    if not listed:
        return ()
    front = _front_edge(pieces)
    told = []
    for edge in listed:
        more = max(wider, key=abs) if edge == "neck" and wider else 0.0
        before = depths.get(edge)
        straight = front if edge == "front" else None
        told.append(BandToCome(edge, before, _deep_for(before, more), -more / SIDES, straight, stitch))
    return tuple(told)


def _deep_for(before_mm: float | None, wider_mm: float) -> float | None:
    """Depth of a band that leaves its opening so much wider [mm]: it lies at both sides; None where none was said."""
    return None if before_mm is None else max(before_mm - wider_mm / SIDES, 0.0)


def _front_edge(pieces: Iterable[RestPiece]) -> float | None:
    """Length of the straight edge of half a front: its length less the depth of its neck [mm]."""
    for piece in pieces:
        gives: Mapping[str, float | None] = {count.key: count.gives_mm for count in piece.counts}
        whole, neck = gives.get("body_length"), gives.get("neck_depth")
        if piece.kind in HALF_FRONTS and whole is not None and neck is not None:
            return whole - neck
    return None
