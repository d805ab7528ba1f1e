"""What is wanted of the finished garment, flat: what speaks for a point, brought to no piece."""

from __future__ import annotations

from fitcheck.advice.rest.planned import size_table_of
from fitcheck.advice.target.allowed import allowed
from fitcheck.advice.target.parts import Notes, Part, Refused, minus, total
from fitcheck.advice.target.reference import Reference
from fitcheck.advice.target.to_piece import ToPiece
from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.readings import Pool
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household
from fitcheck.records.makes import Make
from fitcheck.records.points import ORDER, POINTS, PieceKind, Point


@frozen
class WantedFlat:
    """What one point of the finished garment must measure.

    wanted        half round where the point is flat [mm]
    tolerance_mm  allowed (too small, too large)
    source        garment, numbers, ease or size_table
    """

    wanted: Estimate
    tolerance_mm: tuple[float, float]
    source: str


def wanted_flat(make: Make, household: Household, pool: Pool | None = None) -> dict[str, WantedFlat]:
    """What is wanted of the garment at every point that anything speaks for, in the order of the catalogue.

        wanted = figure of the reference + wish + growth + thickness

    A figure that is meant of the piece is brought back: less what making up takes. The other end of a neck that was
    read at its twin is left out, because bands lie between the two.

    pool  the household's repeatability of tape readings; None = the usual hand
    """
    found: dict[str, WantedFlat] = {}
    for kind in CONSTRUCTIONS[make.construction].pieces:
        reference = Reference(make, household, pool, Notes(), kind)
        bring = ToPiece(make, kind, reference.garment, reference.occasion, None, None, Notes())
        spoken = {*make.fits.numbers, *make.fits.ease, *reference.cells}
        spoken |= reference.occasion.readings.keys() if reference.occasion is not None else set()
        for key in spoken - found.keys():
            point = POINTS[key]
            if not point.is_on(kind) or key in CONSTRUCTIONS[make.construction].lacks:
                continue
            wanted = _wanted(point, kind, reference, bring)
            if wanted is not None:
                found[key] = wanted
    return {key: found[key] for key in sorted(found, key=ORDER.__getitem__)}


def _wanted(point: Point, kind: PieceKind, reference: Reference, bring: ToPiece) -> WantedFlat | None:
    """What is wanted at one point; None where it is not said, or cannot be compared."""
    try:
        said = reference.said(point, None)
        if said is None or (said.converted_from and POINTS[said.converted_from[0]].band != point.band):
            return None
        parts = bring.worn(point, said)
        if said.on_piece:
            parts = [*said.parts, *minus(bring.made_up(point)[0])]
    except Refused:
        return None
    scale = bring.scale(point)
    wanted = total(Part(part.code, part.estimate, part.weight / scale) for part in parts)
    make, table = reference.make, size_table_of(reference.make, reference.household)
    (smaller, larger), _ = allowed(point, make, kind, scale, table)
    return WantedFlat(wanted, (smaller / scale, larger / scale), said.source)
