"""The points that sizes are compared at: from a piece's count to the finished garment's flat figure.

    flat = c w + k,   c = sum of share x (count - swallowed) / scale,   k = - sum of share x build / scale

`scale` is mm on the piece per mm of the flat figure, `build` what panels, front bands and bands to come add
to the piece [mm]. A flat body width is the mean of back and front; another width is that of its first piece (the
back's shoulders, not the front's).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace

from fitcheck.advice.target.parts import Notes, Part, Refused, Said, total
from fitcheck.advice.target.to_come import ToCome, to_come
from fitcheck.advice.target.to_piece import SEAM_ROW, SEAM_STITCH, ToPiece
from fitcheck.advice.target.wanted import Target, Targets, targets
from fitcheck.estimates.numbers import Assumed, CannotSay, Estimate
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.frozen import frozen
from fitcheck.records.makes import Make
from fitcheck.records.points import BODY, FRONTS, HALF_FRONTS, KINDS, ORDER, POINTS, PieceKind, Point
from fitcheck.records.size_tables import SizeTable

_SEAMS = ("seam_stitch", "seam_row")
"""Terms that count stitches or rows: they follow this fabric, so they are taken off the count."""
_FOLLOW_THE_SEAMS = ("shoulder", "growth")
"""Terms that have a seam in them, or are weighed beside one: they too are others in another fabric."""


@frozen
class OnPiece:
    """What lies between a piece's count and the flat figure.

    scale      mm on the piece per mm of the flat figure [1]
    build_mm   what panels, front bands and bands add to the piece [mm]
    swallowed  stitches or rows that seams swallow; negative where an edge is picked up
    band_mm    part of a length that is a band, not plain fabric [mm]
    """

    scale: float
    build_mm: float
    swallowed: float
    band_mm: float

    def flat(self, piece_mm: float) -> float:
        """The flat figure of a piece's length, seams sewn [mm]."""
        return (piece_mm - self.build_mm) / self.scale

    def plain(self, flat_mm: float) -> float:
        """Plain fabric of the piece, seams sewn, behind a flat figure [mm]."""
        return flat_mm * self.scale + self.build_mm - self.band_mm


@frozen
class WidthLine:
    """flat = c w + k. share: sum of squared shares of the pieces: what is left of their own variance [1]."""

    c: float
    k: float
    share: float


@frozen
class AskedPoint:
    """One point of the finished garment, with all pieces that carry it.

    on_piece   per kind of piece
    wanted     flat figure [mm], or why none can be said
    tolerance  allowed (too small, too large), flat [mm]
    weight     loss if it is out
    """

    point: Point
    on_piece: Mapping[PieceKind, OnPiece]
    wanted: Estimate | CannotSay
    tolerance: tuple[float, float]
    weight: float

    @property
    def key(self) -> str:
        """Key of the point."""
        return self.point.key

    def first(self, kinds: Iterable[PieceKind]) -> PieceKind | None:
        """The piece that stands for the point among those that have a figure: the back before the front."""
        have = [kind for kind in self.on_piece if kind in set(kinds)]
        return min(have, key=self.point.pieces.index, default=None)

    def line(self, counts: Mapping[PieceKind, float]) -> WidthLine | None:
        """The flat figure as a function of the stitch width; None without a count."""
        lines = {
            kind: WidthLine((count - on.swallowed) / on.scale, -on.build_mm / on.scale, 1.0)
            for kind, count in counts.items()
            if (on := self.on_piece.get(kind)) is not None
        }
        if not lines:
            return None
        if not (self.point.flat and any(kind in BODY for kind in lines)):
            kind = self.first(lines)
            assert kind is not None
            return lines[kind]
        fronts = [line for kind, line in lines.items() if kind in FRONTS]
        front = _mean(fronts) if fronts else lines["back"]
        back = lines.get("back", front)
        # A half front is one of two, each half of the front: their own deviations halve each other.
        halved = 0.5 if "front" not in lines and fronts else 1.0
        return WidthLine((back.c + front.c) / 2, (back.k + front.k) / 2, 0.25 + 0.25 * halved)

    def flat_of(self, kind: PieceKind, mm: float, measures: str, stitch_mm: float | None) -> float:
        """The flat figure that a printed measure promises [mm].

        stitch_mm  stitch width or row height in the pattern's fabric, for a figure of the piece as it lies
        """
        if measures == "piece":
            on = self.on_piece[kind]
            return on.flat(mm - on.swallowed * (stitch_mm or 0.0))
        return mm / 2 if measures == "round" and self.point.flat else mm


def _mean(lines: list[WidthLine]) -> WidthLine:
    n = len(lines)
    return WidthLine(sum(line.c for line in lines) / n, sum(line.k for line in lines) / n, 1.0)


@frozen
class AskedPoints:
    """All points of a make, in the catalogue's order; what is refused; what was taken for granted.

    of_fabric  whether anything that is wanted is another in another fabric
    """

    points: tuple[AskedPoint, ...]
    refused: Mapping[str, CannotSay]
    assumed: tuple[Assumed, ...]
    of_fabric: bool = False

    def get(self, key: str) -> AskedPoint | None:
        """The point, None where the make has none."""
        return next((asked for asked in self.points if asked.key == key), None)


def kinds_of(make: Make, table: SizeTable | None) -> tuple[PieceKind, ...]:
    """Kinds of pieces to look at: those of the table, else those of the construction."""
    if table is not None:
        tabled = {kind for size in table.sizes for kind in size.pieces}
        return tuple(kind for kind in KINDS if kind in tabled)
    listed: list[PieceKind] = []
    for kind in CONSTRUCTIONS[make.construction].pieces:
        listed += HALF_FRONTS if kind == "front" and make.opens else (kind,)
    return tuple(listed)


def asked_points(
    coming: ToCome, table: SizeTable | None, stitch: Estimate | None = None, row: Estimate | None = None
) -> AskedPoints:
    """Say for every width and length of a make what is wanted, and how its pieces' counts come to it.

    stitch, row  of this fabric, where known [mm]
    """
    make = coming.make
    kinds = kinds_of(make, table)
    wanted: dict[str, dict[PieceKind, Target]] = {}
    refused: dict[str, CannotSay] = {}
    assumed: dict[tuple[str, str], Assumed] = {}
    of_fabric = any(number.meant == "piece" for number in make.fits.numbers.values())
    for kind in kinds:
        of_kind = coming.of(kind)
        follows = _follow_the_seams(of_kind)
        of_fabric = of_fabric or follows
        if follows and (stitch is not None or row is not None):
            of_kind = targets(make, to_come(kind), coming.household, stitch=stitch, row=row, pool=coming.pool)
        for target in of_kind.points:
            wanted.setdefault(target.key, {})[kind] = target
        for key, why in of_kind.refused:
            refused.setdefault(key, why)
        for assumption in of_kind.assumed:
            if assumption.code not in _SEAMS:
                assumed.setdefault((assumption.code, assumption.about), assumption)
    keys = set(wanted) | {
        key for size in (table.sizes if table else ()) for cells in size.pieces.values() for key in cells
    }
    seams = {"across": stitch or SEAM_STITCH, "along": row or SEAM_ROW}
    points = []
    for key in sorted(keys, key=ORDER.__getitem__):
        if POINTS[key].direction == "edge" or key in CONSTRUCTIONS[make.construction].lacks:
            continue
        point = _asked(POINTS[key], make, kinds, wanted.get(key, {}), refused, seams)
        if point is not None:
            points.append(point)
    answered = {point.key for point in points if isinstance(point.wanted, Estimate)}
    left = {key: why for key, why in refused.items() if key not in answered}
    return AskedPoints(tuple(points), left, tuple(assumed.values()), of_fabric)


def _follow_the_seams(of_kind: Targets) -> bool:
    """Whether anything but the seams themselves that is wanted of a piece is another in another fabric."""
    return any(part.code in _FOLLOW_THE_SEAMS for target in of_kind.points for part in target.parts)


def _asked(
    point: Point,
    make: Make,
    kinds: tuple[PieceKind, ...],
    wanted: Mapping[PieceKind, Target],
    refused: dict[str, CannotSay],
    seams: Mapping[str, Estimate],
) -> AskedPoint | None:
    on_piece: dict[PieceKind, OnPiece] = {}
    for kind in kinds:
        if not point.is_on(kind):
            continue
        try:
            on_piece[kind] = _on_piece(point, make, kind)
        except Refused as no:
            refused.setdefault(point.key, no.reason)
    if not on_piece:
        return None
    speaks = next((kind for kind in on_piece if kind in wanted and wanted[kind].wanted is not None), None)
    figure: Estimate | CannotSay
    if speaks is None:
        figure = refused.get(point.key, CannotSay("no_wanted_figure", point=point.key))
        tolerance, weight = point.tolerance, make.weights.get(point.key, point.weight)
    else:
        target, on = wanted[speaks], on_piece[speaks]
        figure = _flat_wanted(target, on, make, seams)
        tolerance = (target.tolerance_mm[0] / on.scale, target.tolerance_mm[1] / on.scale)
        weight = target.weight
    return AskedPoint(point, on_piece, figure, tolerance, weight)


def _on_piece(point: Point, make: Make, kind: PieceKind) -> OnPiece:
    """Reads what a flat figure of 0 mm comes to on the piece: panels, bands and seams alone."""
    to_piece = ToPiece(make, kind, None, None, None, None, Notes())
    nothing = Said("numbers", (Part("number", Estimate(0.0)),))
    parts, band_mm = to_piece.bring(point, nothing, None, None)
    build = math.fsum(part.weight * part.estimate.value for part in parts if part.code not in _SEAMS)
    swallowed = math.fsum(part.weight for part in parts if part.code in _SEAMS)
    return OnPiece(to_piece.scale(point), build, swallowed, band_mm)


def _flat_wanted(target: Target, on: OnPiece, make: Make, seams: Mapping[str, Estimate]) -> Estimate:
    """What is wanted of the piece without its seams, as a flat figure [mm]."""
    plain = total(part for part in target.parts if part.code not in _SEAMS)
    number = make.fits.numbers.get(target.key)
    value = on.flat(plain.value)
    if number is not None and number.meant == "piece":
        # A figure of the piece as it lies has its seams in it.
        value -= on.swallowed * seams[target.direction].value / on.scale
    return replace(plain, value=value, u=plain.u / on.scale)
