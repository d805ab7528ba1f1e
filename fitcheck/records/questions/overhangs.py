"""Overhangs of a piece over its garment: against what is usual, against one another, against the tape."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from statistics import NormalDist, median

from fitcheck.records.lengths import UNITS, write_length
from fitcheck.records.places import Place
from fitcheck.records.points import POINTS
from fitcheck.records.questions.figures import Figure, Figures, figures_of
from fitcheck.records.questions.lengths_of_a_point import ReadOn, far_from_neighbours
from fitcheck.records.questions.question import (
    BeyondOtherOverhangs,
    LargeOverhang,
    OverhangAgainstTape,
    Question,
    Slip,
)
from fitcheck.records.questions.slips import retyped
from fitcheck.records.questions.usual import (
    LARGE_OVERHANG_MM,
    NEEDLESS_IN_A_HUNDRED,
    SMALL_OVERHANG_MM,
)
from fitcheck.records.readings import Overhang
from fitcheck.records.repeatability import MEDIAN_FACTOR, OVERHANG, TAPE, Repeatability


def overhang_questions(
    overhangs: Mapping[str, Sequence[Overhang]], figures: Figures, of: ReadOn, place: Place
) -> Iterator[Question]:
    """Ask about the overhangs of one stage.

    figures  the readings of the same stage;  place: that of its overhangs
    """
    every = {point: figures_of(listed, place.at(point)) for point, listed in overhangs.items()}
    largest = {point: of.largest_overhang(point, len(listed)) for point, listed in every.items()}
    in_millimetres = _in_millimetres(every)
    for point, listed in every.items():
        odd: set[Place] = set()
        for figure in listed:
            if figure.confirmed:
                continue
            if figure.place in in_millimetres:
                odd.add(figure.place)
                yield in_millimetres[figure.place]
            elif abs(figure.mm) > largest[point]:
                odd.add(figure.place)
                yield _far_off(figure, largest[point])
        far = far_from_neighbours([figure for figure in listed if figure.place not in odd], overhang=True)
        if far is not None:
            odd.add(far.place)
            yield far
        if odd:
            every[point] = []
    yield from _against_tape(every, figures, of)


def _in_millimetres(every: Mapping[str, Sequence[Figure]]) -> dict[Place, Question]:
    """Ask about overhangs in cm that only as mm are like the others of the piece."""
    large = {point for point, listed in every.items() for figure in listed if abs(figure.mm) >= LARGE_OVERHANG_MM}
    rest = [figure for listed in every.values() for figure in listed if abs(figure.mm) < LARGE_OVERHANG_MM]
    if not rest or 2 * len(large) > len(every) + 1 or any(abs(figure.mm) >= SMALL_OVERHANG_MM for figure in rest):
        return {}
    asked: dict[Place, Question] = {}
    for point in large:
        for figure in every[point]:
            meant = retyped(figure, "mm", figure.mm / 10) if figure.unit == "cm" else ""
            if not meant or not LARGE_OVERHANG_MM <= abs(figure.mm) < 10 * SMALL_OVERHANG_MM:
                continue
            slip = Slip("millimetres", meant, figure.mm / 10, figure.mm / 10)
            asked[figure.place] = figure.question("ten_times", BeyondOtherOverhangs(SMALL_OVERHANG_MM), slip)
    return asked


def _far_off(figure: Figure, largest_mm: float) -> Question:
    """Ask about a piece that lies far off its garment: a decimal mark is out of place, or its own length was typed."""
    tenth = figure.mm / 10
    if abs(tenth) > largest_mm:
        return figure.question("large_overhang", LargeOverhang())
    slip = Slip("ten_times", f"{'+' if tenth > 0 else ''}{write_length(tenth, figure.unit)}", tenth, tenth)
    return figure.question("large_overhang", LargeOverhang(), slip)


def _against_tape(every: Mapping[str, Sequence[Figure]], figures: Figures, of: ReadOn) -> Iterator[Question]:
    """Ask where a piece sticks out over its garment by another amount than the tape read on both makes it.

    The overhang is piece minus garment with the seam stitches left on, and so is the difference of the two tape
    readings. n points that have both are asked about beyond z SDs of the difference of the two ways, P(|Z| > z) =
    0.01 / n, so that one honest session of a hundred at most is asked for nothing. The SDs are the assumed ones.
    """
    if of.laid_on is None:
        return
    both: list[tuple[str, float, float, float]] = []
    for point, listed in every.items():
        piece, garment = figures.middle(point), of.laid_on.middle(point)
        if not listed or piece is None or garment is None or any(figure.confirmed for figure in listed):
            continue
        times = POINTS[point].per_piece
        variance = (
            _middle_var(OVERHANG, garment, len(listed), 1)
            + _tape_var(piece / times, figures.points[point])
            + _tape_var(garment, of.laid_on.points[point])
        )
        both.append((point, piece / times, garment, math.sqrt(variance)))
    if not both:
        return
    limit = NormalDist().inv_cdf(1 - NEEDLESS_IN_A_HUNDRED / (2 * len(both)))
    for point, piece, garment, sd in both:
        listed = every[point]
        laid = median(figure.mm for figure in listed)
        if abs(laid - (piece - garment)) <= limit * sd:
            continue
        step = UNITS["in"] / 8 if listed[0].unit == "in" else 1.0
        on_piece, on_garment = (step * math.floor(mm / step + 0.5) for mm in (piece, garment))
        yield listed[0].question("overhang_against_tape", OverhangAgainstTape(on_piece, on_garment))


def _middle_var(assumed: Repeatability, length_mm: float, readings: int, layings: int) -> float:
    """Variance of the middle of so many readings of so many layings [mm2]."""
    reading, laying = assumed.reading(length_mm), assumed.laying(length_mm)
    wide = MEDIAN_FACTOR if readings > 2 else 1.0
    return (wide * reading) ** 2 / readings + (wide if layings > 2 else 1.0) ** 2 * laying**2 / layings


def _tape_var(length_mm: float, figures: Sequence[Figure]) -> float:
    """Variance of the middle of tape readings [mm2]."""
    return _middle_var(TAPE, length_mm, len(figures), len({figure.laying for figure in figures}))
