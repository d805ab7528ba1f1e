"""Questions about a make: the readings and counts of its pieces, and the numbers that it is wanted to have."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping, Sequence
from functools import cache
from statistics import median
from typing import Literal

from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.garments import Occasion
from fitcheck.records.lengths import write_length
from fitcheck.records.makes import Make, Piece
from fitcheck.records.places import Place
from fitcheck.records.points import BODY, HALF_FRONTS, POINTS, PieceKind
from fitcheck.records.questions.counts import count_questions
from fitcheck.records.questions.figures import Figure, Figures, figures_per_point
from fitcheck.records.questions.known_gauge import Knits, Swatched, known_gauges
from fitcheck.records.questions.lengths_of_a_point import ReadOn, single_readings
from fitcheck.records.questions.overhangs import overhang_questions
from fitcheck.records.questions.points_together import lengths_add_up, shoulders_add_up, widths_within
from fitcheck.records.questions.question import FarFromPiece, Folded, Question, Slip
from fitcheck.records.questions.shaping import shaping_questions
from fitcheck.records.questions.usual import NEAR_WANTED
from fitcheck.records.size_tables import SizeTable
from fitcheck.records.swatches import Swatch

_FOLDED = (0.46, 0.56)
"""A sleeve read folded, over the same laid open [1]."""
_HALF = (0.44, 0.57)
"""A wanted number that is the half of it, over what the piece was read [1]."""

_SLEEVE_FLAT: Mapping[str, float] = {key: point.plain_mm for key, point in POINTS.items() if point.per_piece > 1}
"""A flat sleeve of a grown person [mm], to tell a folded sleeve from a round measure."""


def make_questions(
    make: Make,
    occasion: Occasion | None,
    of_garment: Figures,
    children: Collection[str],
    swatches: Sequence[Swatch],
    table: SizeTable | None,
) -> Iterator[Question]:
    """Ask about the readings of the pieces, then about the wanted numbers: the pieces show what they mean.

    occasion         at which the garment was read that it must fit;  of_garment: what was read of it then
    children         keys of wearers who are children
    swatches, table  those that the make names; of the swatches the ones that nothing is asked about
    """
    place = Place("makes", make.id)
    numbers = _numbers(make, place.at("fits", "numbers"))
    wanted = {point: middle for point in of_garment.points if (middle := of_garment.middle(point)) is not None}
    wanted |= {point: figures[0].mm for point, figures in numbers.points.items()}
    child = make.wearer in children
    # A worn garment hangs longer than it was when it was washed; on which day it was laid on, nobody says.
    laid_on = of_garment if occasion is not None and occasion.state != "worn" else None
    swatched = [Swatched.of(swatch) for swatch in swatches]
    of_pieces: dict[str, list[float]] = {}
    asked: list[Question] = []
    for number, piece in enumerate(make.pieces):
        at, ratio = place.at("pieces", number), _ratios(piece.piece)
        half = piece.piece in HALF_FRONTS
        here = {point: mm * ratio[point] for point, mm in wanted.items() if point in ratio}
        of = ReadOn(here, half=half, piece=True, child=child, laid_on=None if half else laid_on)
        latest, questions = _of_stages(piece, of, known_gauges(piece, swatched, table), at)
        asked += questions
        counts = at.at("counts")
        doubted = [question.place.point for question in asked if question.place.within(counts)]
        asked += shaping_questions(piece, make, table, counts, doubted)
        for point, mm in latest.items():
            if not (CONSTRUCTIONS[make.construction].panels and POINTS[point].flat and piece.piece in BODY):
                of_pieces.setdefault(point, []).append(mm / ratio[point])
    reference = {point: median(every) for point, every in of_pieces.items()}
    yield from single_readings(numbers, ReadOn(reference, "piece", child=child))
    yield from _far_from_piece(numbers, reference)
    yield from lengths_add_up(numbers)
    yield from shoulders_add_up(numbers)
    yield from widths_within(numbers)
    yield from _once(asked)


@cache
def _ratios(kind: PieceKind) -> Mapping[str, float]:
    """How many times the garment's flat figure a piece measures at each of its points [1]."""
    return {key: point.on_piece(kind) for key, point in POINTS.items() if kind in point.pieces}


def _of_stages(
    piece: Piece, of: ReadOn, gauges: Mapping[bool, Knits], place: Place
) -> tuple[dict[str, float], list[Question]]:
    """What a piece was last read at each point [mm], and what is asked about its readings and counts at every stage."""
    latest: dict[str, float] = {}
    asked: list[Question] = []
    for number, stage in enumerate(piece.stages):
        at = place.at("stages", number)
        figures = figures_per_point(stage.readings, at.at("readings"))
        asked += _of_readings(figures, of)
        asked += count_questions(piece, figures, of, gauges, place.at("counts"))
        asked += overhang_questions(stage.overhangs, figures, of, at.at("overhangs"))
        middles = ((point, figures.middle(point)) for point in figures.points)
        latest |= {point: mm for point, mm in middles if mm is not None}
    return latest, asked


def _once(asked: Sequence[Question]) -> Iterator[Question]:
    """Each place once, where a slip is likely: a count belongs to the piece and may be odd at two of its stages."""
    first = {question.place: question for question in reversed(asked)}
    slips = {question.place: question for question in reversed(asked) if question.says_instead}
    yield from (slips.get(place, first[place]) for place in dict.fromkeys(question.place for question in asked))


def _twice(code: Literal["half_measure", "folded"], figure: Figure) -> Slip:
    return Slip(code, write_length(2 * figure.length.value_mm, figure.unit))


def _numbers(make: Make, place: Place) -> Figures:
    """Return the wanted numbers as figures of the flat garment."""
    points: dict[str, list[Figure]] = {}
    for point, number in make.fits.numbers.items():
        share = POINTS[point].flat_share(number.meant)
        points[point] = [Figure(place, point, number.length, number.confirmed, share=share)]
    return Figures(points)


def _far_from_piece(numbers: Figures, reference: Mapping[str, float]) -> Iterator[Question]:
    """Ask about a wanted number that no piece would ever miss by so much."""
    for point, (number, *_) in numbers.points.items():
        if point not in reference or number.confirmed or number.place in numbers.asked:
            continue
        ratio = number.mm / reference[point]
        if 1 / NEAR_WANTED <= ratio <= NEAR_WANTED:
            continue
        odd = FarFromPiece(reference[point])
        if _HALF[0] <= ratio <= _HALF[1]:
            yield numbers.ask(number.question("half_measure", odd, _twice("half_measure", number)))
        else:
            yield number.question("far_from_piece", odd)


def _of_readings(figures: Figures, of: ReadOn) -> Iterator[Question]:
    """Ask about the readings of one stage of a piece."""
    yield from _folded(figures, of)
    yield from single_readings(figures, of)
    yield from lengths_add_up(figures)
    if not of.half:
        yield from shoulders_add_up(figures)
        yield from widths_within(figures)


def _folded(figures: Figures, of: ReadOn) -> Iterator[Question]:
    """Ask about a sleeve that was read folded: half of what it is laid open."""
    for point, typical in _SLEEVE_FLAT.items():
        if point not in of.reference:
            continue
        flat = of.reference[point] / POINTS[point].per_piece
        # A wanted figure that is round itself makes an open sleeve look folded.
        if abs(math.log(flat / typical)) > abs(math.log(flat / 2 / typical)):
            continue
        for figure in figures.points.get(point, ()):
            if not figure.confirmed and _FOLDED[0] <= figure.mm / of.reference[point] <= _FOLDED[1]:
                yield figures.ask(figure.question("folded", Folded(flat), _twice("folded", figure)))
