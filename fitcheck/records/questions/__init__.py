"""Questions about what is unlikely: what was read, why it is odd, and the likely slip, as values.

Nothing is refused here. A reading that was questioned and kept is ``confirmed`` and is not asked about again;
a reading is asked about once, by the rule that knows most about it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from fitcheck.records.garments import Occasion
from fitcheck.records.households import Household, by_key
from fitcheck.records.makes import Make
from fitcheck.records.places import Place
from fitcheck.records.questions.figures import Figures, figures_of, figures_per_point
from fitcheck.records.questions.gauge import printed_gauge_questions, swatch_questions
from fitcheck.records.questions.known_gauge import Swatched
from fitcheck.records.questions.lengths_of_a_point import ReadOn, far_from_neighbours, out_of_range, single_readings
from fitcheck.records.questions.makes import make_questions
from fitcheck.records.questions.points_together import lengths_add_up, shoulders_add_up, widths_within
from fitcheck.records.questions.question import Question
from fitcheck.records.questions.swatch_units import Sizes, beside_others, sizes_of_make, unit_questions
from fitcheck.records.questions.usual import USUAL_HEAD_MM
from fitcheck.records.swatches import Swatch
from fitcheck.records.wearers import Wearer

_Garments = dict[tuple[str | None, str | None], tuple[Occasion, Figures]]
"""Per garment and measuring of it what was read then."""

__all__ = ["Question", "questions"]


def questions(household: Household) -> tuple[Question, ...]:
    """Ask about everything in a household that is unlikely, in the order of the records."""
    asked: list[Question] = []
    for wearer in household.wearers:
        asked += _of_wearer(wearer)
    children = {wearer.id for wearer in household.wearers if wearer.child}
    garments: _Garments = {}
    for garment in household.garments:
        for number, occasion in enumerate(garment.occasions):
            readings = Place("garments", garment.id, ("occasions", number, "readings"))
            figures = figures_per_point(occasion.readings, readings)
            garments[garment.id, occasion.id] = occasion, figures
            asked += _of_garment(figures, ReadOn(child=garment.wearer in children))
    sure: list[Swatch] = []
    known = list(_known_of_makes(household, garments))
    read = [Swatched.of(swatch) for swatch in household.swatches] if known else []
    for swatch in household.swatches:
        place = Place("swatches", swatch.id)
        about_swatch = list(swatch_questions(swatch, place)) or _in_other_unit(swatch, place, read, known)
        asked += about_swatch
        if not about_swatch:
            sure.append(swatch)
    for table in household.size_tables:
        asked += printed_gauge_questions(table, Place("size_tables", table.id))
    for make in household.makes:
        occasion_to_fit, to_fit = garments.get((make.fits.garment, make.fits.occasion), (None, Figures({})))
        swatches = [swatch for swatch in sure if swatch.id in make.swatches]
        table_named = by_key(household.size_tables, make.size_table)
        # What is asked about the garment itself is asked there; against the make the rest of a point counts, or all.
        of_garment = Figures({point: to_fit.unasked(point) or listed for point, listed in to_fit.points.items()})
        asked += make_questions(make, occasion_to_fit, of_garment, children, swatches, table_named)
    return tuple(asked)


def _known_of_makes(household: Household, garments: _Garments) -> Iterator[tuple[Make, Sizes]]:
    """What each make says of its stitches and rows without its swatches."""
    for make in household.makes:
        if make.swatches:
            _, read = garments.get((make.fits.garment, make.fits.occasion), (None, Figures({})))
            yield make, sizes_of_make(make, read, by_key(household.size_tables, make.size_table))


def _in_other_unit(
    swatch: Swatch, place: Place, read: Sequence[Swatched], known: Sequence[tuple[Make, Sizes]]
) -> list[Question]:
    """What is asked of a swatch by the first make that names it and speaks against its unit.

    read  every swatch, as it was read
    """
    for make, sizes in known:
        if swatch.id in make.swatches:
            others = [other for other in read if other.swatch.id in make.swatches]
            asked = list(unit_questions(swatch, place, beside_others(swatch, others, sizes)))
            if asked:
                return asked
    return []


def _of_wearer(wearer: Wearer) -> Iterator[Question]:
    place = Place("wearers", wearer.id)
    figures = figures_per_point(wearer.body, place.at("body"))
    yield from single_readings(figures, ReadOn(body=True, child=wearer.child))
    head = figures_of(wearer.head, place.at("head"))
    odd: set[Place] = set()
    for figure in head:
        question = out_of_range(figure, USUAL_HEAD_MM, None, flat=False)
        if question is not None:
            odd.add(figure.place)
            yield question
    far = far_from_neighbours([figure for figure in head if figure.place not in odd])
    if far is not None:
        yield far


def _of_garment(figures: Figures, of: ReadOn) -> Iterator[Question]:
    yield from single_readings(figures, of)
    yield from lengths_add_up(figures)
    yield from shoulders_add_up(figures)
    yield from widths_within(figures)
