"""What speaks for a point: numbers, body and ease, a garment, or the piece laid on it (rules 7, 8, 12)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from fitcheck.advice.rest.planned import chosen_cells, size_table_of
from fitcheck.advice.tape import Taped, finest, taped
from fitcheck.advice.target.armhole import CONVERTIBLE, CURVE, convert
from fitcheck.advice.target.as_read import as_read_of, not_copied
from fitcheck.advice.target.parts import Notes, Part, Refused, Said, per_flat, total
from fitcheck.advice.target.wishes import nested_wish_mm
from fitcheck.estimates.numbers import CannotSay, Estimate
from fitcheck.estimates.readings import Pool
from fitcheck.records.constructions import CONSTRUCTIONS, Construction
from fitcheck.records.garments import Garment, Occasion
from fitcheck.records.households import Household, by_key
from fitcheck.records.makes import Make
from fitcheck.records.points import POINTS, Meant, PieceKind, Point
from fitcheck.records.size_tables import Cell

SEWN_ALONG: Mapping[str, str] = {"panel_length": "to_underarm"}
"""A length that is sewn row by row along another: where nobody says it, it is as long."""


@dataclass(slots=True)
class Reference:
    """What a make must fit, looked up once: numbers, the wearer's body, one measuring of a garment."""

    make: Make
    household: Household
    pool: Pool | None
    notes: Notes
    piece: PieceKind
    garment: Garment | None = None
    occasion: Occasion | None = None
    figures: dict[str, Taped | None] = field(default_factory=dict)
    steps: dict[str, float] = field(default_factory=dict)
    cells: Mapping[str, Cell] = field(default_factory=dict)
    measures: Meant = "flat"

    def __post_init__(self) -> None:
        fits = self.make.fits
        table = size_table_of(self.make, self.household)
        if table is not None:
            self.cells, self.measures = chosen_cells(self.make, self.household, self.piece), table.measures
        self.garment = by_key(self.household.garments, fits.garment)
        if self.garment is not None:
            self.occasion = by_key(self.garment.occasions, fits.occasion)
        if self.occasion is not None:
            self.steps = finest(self.occasion.readings.values())

    def said(self, point: Point, over: Taped | None) -> Said | None:
        """Return what speaks for a point, on the finished garment's flat scale; None when nothing does.

        Raises Refused when something speaks but cannot be compared.
        """
        key, fits = point.key, self.make.fits
        if key in fits.numbers or SEWN_ALONG.get(key) in fits.numbers:
            self._wish_beside(key)
            number = fits.numbers.get(key) or fits.numbers[SEWN_ALONG[key]]
            figure = self._own_figure(key)
            value = Part("number", Estimate(number.length.value_mm), per_flat(number.meant, point))
            return Said("numbers", (value,), figure, on_piece=number.meant == "piece")
        if key == "panel_width" and self.make.panel_width is not None:
            return Said("numbers", (Part("number", Estimate(self.make.panel_width.value_mm)),))
        if key in fits.ease:
            self._wish_beside(key)
            return self._from_body(point, fits.ease[key].value_mm)
        if fits.garment is not None and self.occasion is None:
            raise Refused("reference_missing", garment=fits.garment, occasion=fits.occasion)
        if self.occasion is not None and self._compares(point):
            said = self._from_garment(point, may_refuse=over is None)
            if said is not None:
                self._to_be_copied(point)
                return said
        if self.garment is None and key in self.cells:
            measure = self.cells[key].measure
            if measure is not None:
                meant = self.measures if self.measures != "round" or point.flat else "flat"
                value = Part("number", Estimate(measure.value_mm), per_flat(meant, point))
                return Said("size_table", (value, *self._wish(point, (key,))), on_piece=meant == "piece")
        if over is not None:
            self._to_be_copied(point)
            return Said("overhang", self._wish(point, (key,)))
        return None

    def _to_be_copied(self, point: Point) -> None:
        """Refuses the garment's figure at a point where somebody said that it is not to be copied."""
        why = as_read_of(point, self.garment, self.occasion)
        if why is not None and self.make.fits.as_read is False:
            raise not_copied(point, why)

    def _compares(self, point: Point) -> bool:
        """Whether the garment's construction has this point in the same place; refuses where it has not."""
        assert self.garment is not None
        theirs, ours = self._built()
        other = theirs.family != ours.family and point.about_armhole
        panels = theirs.panels != ours.panels and point.to_the_corner
        if point.key == "sleeve_length" and other:
            return True  # by centre back neck to cuff
        if other or panels:
            raise Refused("construction_differs", point=point.key, theirs=theirs.key, ours=ours.key)
        return True

    def _built(self) -> tuple[Construction, Construction]:
        """How the garment is built, and how the make is."""
        assert self.garment is not None
        return CONSTRUCTIONS[self.garment.construction], CONSTRUCTIONS[self.make.construction]

    def _elsewhere(self) -> bool:
        """Whether armholes and sleeves of the garment lie elsewhere than the make's."""
        theirs, ours = self._built()
        return theirs.family != ours.family

    def _own_figure(self, key: str) -> Estimate | None:
        figure = self._taped_figure(key)
        return figure.estimate if figure else None

    def _taped_figure(self, key: str) -> Taped | None:
        """The garment's own readings at a point."""
        if key not in self.figures:
            readings = self.occasion.readings.get(key) if self.occasion else None
            figure = taped(readings, self.pool, steps=self.steps) if readings else None
            if figure is not None and figure.laying_assumed and self.garment is not None:
                self.notes.assume("one_laying", self.garment.id)
            self.figures[key] = figure
        return self.figures[key]

    def _from_garment(self, point: Point, *, may_refuse: bool) -> Said | None:
        assert self.garment is not None
        key = point.key
        if key == "sleeve_length" and self._elsewhere():
            return self._sleeve_from_centre_back()
        own = self._taped_figure(key)
        if own is not None:
            return self._of_garment(point, own.estimate, own, ())
        if key == "sleeve_length":
            return self._sleeve_from_centre_back()
        twin = {"neck_width": "neck_inside", "neck_inside": "neck_width"}.get(key)
        if twin is not None and (own := self._taped_figure(twin)) is not None:
            # The piece has one neck edge; which of the two the garment's tape meant decides what comes off.
            self.notes.assume("converted", key)
            return self._of_garment(point, own.estimate, own, (twin,))
        if key in SEWN_ALONG and (own := self._taped_figure(SEWN_ALONG[key])) is not None:
            return self._of_garment(point, own.estimate, own, (SEWN_ALONG[key],))
        if key not in CONVERTIBLE:
            return None
        converted = convert(key, self._own_figure)
        if isinstance(converted, CannotSay):
            if may_refuse:
                raise Refused(converted.code, **converted.values)
            return None
        if converted is None:
            return None
        self.notes.assume("converted", key)
        if converted.curve:
            self.notes.assume("armhole_curve", key, CURVE.value, CURVE.u, "mm per mm")
        return self._of_garment(point, converted.estimate, self._taped_figure(converted.used[0]), converted.used)

    def _of_garment(self, point: Point, figure: Estimate, how: Taped | None, used: tuple[str, ...]) -> Said:
        parts = (Part("figure", figure), *self._wish(point, (point.key, *used[:1])))
        return Said("garment", parts, figure, how, used)

    def _sleeve_from_centre_back(self) -> Said | None:
        """Sleeve from centre back neck to cuff, less half the width at which this make's sleeve begins."""
        assert self.garment is not None
        theirs, ours = self._built()
        whole = self._taped_figure("centre_back_to_cuff")
        parts = [Part("figure", whole.estimate)] if whole else []
        used = ["centre_back_to_cuff"]
        how = whole
        if whole is None:
            at = theirs.sleeve_starts_at
            sleeve = self._taped_figure("sleeve_length")
            if sleeve is None:
                return None
            width = self._own_figure(at) if at else None
            if width is None:
                raise Refused("construction_differs")
            parts = [Part("figure", sleeve.estimate), Part("figure", width, 0.5)]
            used, how = ["sleeve_length", at], sleeve
        start = ours.sleeve_starts_at
        mine = self.finished_flat(start) if start else None
        if mine is None:
            raise Refused("construction_differs", begins_at=start)
        self.notes.assume("converted", "sleeve_length")
        parts.append(Part("figure", mine, -0.5))
        point = POINTS["sleeve_length"]
        parts += self._wish(point, ("sleeve_length", "centre_back_to_cuff"))
        figure = total(part for part in parts if part.code == "figure")
        return Said("garment", tuple(parts), figure, how, tuple(used))

    def finished_flat(self, key: str) -> Estimate | None:
        """Flat figure of this sweater when finished, from numbers, body and ease, or the garment and wish."""
        point = POINTS[key]
        fits = self.make.fits
        if key in fits.numbers and fits.numbers[key].meant != "piece":
            number = fits.numbers[key]
            return Estimate(number.length.value_mm * per_flat(number.meant, point))
        if key in fits.ease:
            return total(self._from_body(point, fits.ease[key].value_mm).parts)
        own = self._own_figure(key)
        if own is None or (point.about_armhole and self._elsewhere()):
            return None
        if fits.as_read is False and as_read_of(point, self.garment, self.occasion) is not None:
            return None
        return total((Part("figure", own), *self._wish(point, (key,))))

    def _from_body(self, point: Point, ease_mm: float) -> Said:
        wearer = by_key(self.household.wearers, self.make.wearer)
        body = taped(wearer.body.get(point.key, ()), self.pool) if wearer else None
        if body is None:
            raise Refused("body_unsaid", point=point.key)
        share = 0.5 if point.flat else 1.0
        parts = (Part("body", body.estimate, share), Part("ease", Estimate(ease_mm), share))
        return Said("ease", parts, self._own_figure(point.key), body)

    def _wish(self, point: Point, keys: Iterable[str]) -> tuple[Part, ...]:
        for key in keys:
            wish = self.make.wishes.get(key)
            if wish is not None:
                return (Part(f"wish_{wish.meant}", Estimate(wish.by.value_mm), per_flat(wish.meant, point)),)
        if (nested := nested_wish_mm(self.make.wishes, SEWN_ALONG.get(point.key, point.key))) is not None:
            self.notes.assume("wish_nested", point.key, nested, unit="mm")
            return (Part("wish_flat", Estimate(nested)),)
        return ()

    def _wish_beside(self, key: str) -> None:
        if key in self.make.wishes:
            self.notes.ask("wish_beside_figure")
