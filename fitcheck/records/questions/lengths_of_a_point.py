"""One reading against what is usual, against its fellows, and against what the other points make of it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field
from statistics import median

from fitcheck.records.frozen import frozen
from fitcheck.records.lengths import UNITS, write_length
from fitcheck.records.points import POINTS
from fitcheck.records.questions.figures import Figure, Figures
from fitcheck.records.questions.question import (
    Against,
    FarFromNeighbours,
    LooksLikeSlip,
    OutOfRange,
    Question,
)
from fitcheck.records.questions.slips import likeliest, mm_of, slip_by_ratio, slips
from fitcheck.records.questions.usual import (
    EXPECTED,
    INCHES_BY_PROPORTION,
    NEAR_WANTED,
    PROPORTIONS,
    READ_IN_INCHES,
    READ_ROUND,
    far_apart,
    usual_length,
    usual_overhang,
)

FAR_FROM_NEIGHBOURS = "far_from_neighbours"
"""Code of the question about a reading far from its neighbours."""

_LARGEST_AS_INCHES = 0.5
"""A figure over that of a grown person's plain sweater that may be inches, at most [1]."""
_GROWN = (0.7, 1.5)
"""The same once it is taken as inches [1]."""


Expectation = tuple[float, tuple[float, float], Against | None]
"""What a reading should be near [mm], how near [1], and what speaks so; None where the other points do."""


@frozen
class ReadOn:
    """What the tape was read on, a garment, a piece or a body, and what is known of the same points from elsewhere.

    laid_on    the readings of the garment that a piece is laid on, flat and as washed
    reference  what was measured or is wanted there [mm], in the measure of the set
    source     who says so
    body       read on a body: round where a garment is flat
    half       half a front
    piece      a piece: a sleeve is laid open
    child      of a child: small figures are no inches
    """

    reference: Mapping[str, float] = field(default_factory=dict)
    source: Against = "garment"
    body: bool = False
    half: bool = False
    piece: bool = False
    child: bool = False
    laid_on: Figures | None = None

    def usual(self, point: str) -> tuple[float, float]:
        """Range that passes without a question [mm]."""
        return usual_length(point, body=self.body, half=self.half, piece=self.piece)

    def flat(self, point: str) -> bool:
        """Whether the round measure may have been typed for the flat one."""
        return POINTS[point].flat and not self.body and not (self.piece and POINTS[point].per_piece > 1)

    def largest_overhang(self, point: str, readings: int) -> float:
        """Largest overhang that passes without a question [mm]; readings: how often it was read there."""
        times = POINTS[point].per_piece
        flat = self.reference.get(point, POINTS[point].plain_mm * times) / times
        return usual_overhang(flat, readings)

    def typical(self, point: str) -> float:
        """Figure of a plain sweater of a grown person [mm] (common practice, no source)."""
        round_or_half = 2.0 if self.body and POINTS[point].flat else 1.0
        if self.half and POINTS[point].direction == "across":
            round_or_half = 0.5
        return PROPORTIONS[point] * round_or_half


def single_readings(figures: Figures, of: ReadOn) -> Iterator[Question]:
    """Ask about single readings: out of the usual, inches, round for flat, far from their neighbours."""
    yield from _all_in_inches(figures, of)
    for point, listed in figures.points.items():
        low, high = usual = of.usual(point)
        sure = figures.sure(point)
        if not sure or (low <= min(sure) and max(sure) <= high):
            continue
        for figure in listed:
            if low <= figure.mm <= high or figures.is_asked(figure):
                continue
            expected = _expected(figures, point, of.reference)
            question = out_of_range(
                figure,
                usual,
                expected,
                flat=of.flat(point) and figure.share == 1.0,
                wanted=of.reference.get(point),
            )
            if question is not None:
                yield figures.ask(question)
    # Widths that may be round first: a chest typed round makes every length look short.
    widths = [point for point in figures.points if POINTS[point].flat]
    for point in (*widths, *(point for point in figures.points if not POINTS[point].flat)):
        elsewhere = _from_elsewhere(figures, point, of)
        if not _any_far(figures, point, elsewhere):
            continue
        usual, flat = of.usual(point), of.flat(point)
        for figure in figures.points[point]:
            if figure.confirmed or figures.is_asked(figure):
                continue
            for expected_mm, band, against in _expectations(figure, figures, point, elsewhere):
                ratio = figure.mm / expected_mm
                slip = slip_by_ratio(figure, ratio, band, usual, flat=flat and figure.share == 1.0)
                if slip is not None:
                    near = _nearest(figures, point, of.reference, expected_mm) if against is None else None
                    yield figures.ask(figure.question(slip.code, LooksLikeSlip(against, near), slip))
                    break
    for point in figures.points:
        question = far_from_neighbours(figures.unasked(point))
        if question is not None:
            yield figures.ask(question)


def out_of_range(
    figure: Figure,
    usual: tuple[float, float],
    expected: float | None,
    *,
    flat: bool,
    wanted: float | None = None,
) -> Question | None:
    """Ask about a figure that hardly any sweater has, with the slip that brings it nearest to the others [mm]."""
    low, high = usual
    if low <= figure.mm <= high or figure.confirmed:
        return None
    slip = likeliest([slip for slip in slips(figure, flat=flat) if low <= mm_of(slip) <= high], wanted, expected)
    if slip is None:
        return figure.question("out_of_range", OutOfRange(low / figure.share, high / figure.share))
    return figure.question(slip.code, LooksLikeSlip(), slip)


def _all_in_inches(figures: Figures, of: ReadOn) -> Iterator[Question]:
    """Ask where every figure of a set is as small as a newborn's, and as inches is a grown person's.

    Each alone may pass, and they agree with each other; what was kept, or agrees with the reference, settles it.
    """
    points = [point for point in figures.points if point in PROPORTIONS and figures.points[point]]
    every = [(point, figure) for point in points for figure in figures.points[point]]
    if len(points) < 2 or of.child:
        return
    inches = UNITS["in"] / UNITS["cm"]
    for point, figure in every:
        ratio = figure.mm / of.typical(point)
        reference = of.reference.get(point)
        if ratio > _LARGEST_AS_INCHES or not _GROWN[0] <= ratio * inches <= _GROWN[1]:
            return
        if reference is not None and 1 / NEAR_WANTED < figure.mm / reference < NEAR_WANTED:
            return
    if any(figure.confirmed or figure.unit != "cm" for _, figure in every):
        return
    for _, figure in every:
        slip = next((slip for slip in slips(figure, flat=False) if slip.code == "inches"), None)
        if slip is not None:
            yield figures.ask(figure.question("inches", LooksLikeSlip("newborn"), slip))


def _any_far(figures: Figures, point: str, elsewhere: Expectation | None) -> bool:
    """Whether any reading of a point is so far from what it should be near that a slip may explain it.

    The middle of its fellows lies between the least and the largest of them all.
    """
    lengths = figures.sure(point)
    if not lengths:
        return False
    least, largest = min(lengths), max(lengths)
    if largest / least >= READ_ROUND[0]:
        return True
    if elsewhere is None:
        return False
    expected_mm, (_, inches), _ = elsewhere
    return least / expected_mm <= inches or largest / expected_mm >= READ_ROUND[0]


def _expectations(figure: Figure, figures: Figures, point: str, elsewhere: Expectation | None) -> Iterator[Expectation]:
    """Say what a reading should be near: its fellows, then what speaks for its point from elsewhere."""
    fellows = figures.middle_of_fellows(point, figure)
    if fellows is not None:
        yield fellows, READ_IN_INCHES, "readings"
    if elsewhere is not None:
        yield elsewhere


def _from_elsewhere(figures: Figures, point: str, of: ReadOn) -> Expectation | None:
    """Say what every reading of a point should be near by the garment, else by the other points."""
    if point in of.reference:
        return of.reference[point], READ_IN_INCHES, of.source
    laid_open = of.piece and POINTS[point].per_piece > 1
    if of.body or of.half or laid_open or not figures.points[point]:
        return None
    expected = _expected(figures, point, of.reference)
    return None if expected is None else (expected, INCHES_BY_PROPORTION, None)


def _by_others(figures: Figures, point: str, reference: Mapping[str, float]) -> list[tuple[float, str]]:
    """What each of the other points makes of this one [mm], and which it is.

    A point that was not read in the set itself is taken from the reference [mm].
    """
    share = EXPECTED.get(point)
    if share is None:
        return []
    return [
        (share / plain * middle, other)
        for other, plain in PROPORTIONS.items()
        if other != point and (middle := figures.middle(other) or reference.get(other)) is not None
    ]


def _expected(figures: Figures, point: str, reference: Mapping[str, float]) -> float | None:
    """What the other points make of this one, the median of them [mm]; None without any other point."""
    others = _by_others(figures, point, reference)
    return median([mm for mm, _ in others]) if others else None


def _nearest(figures: Figures, point: str, reference: Mapping[str, float], expected: float) -> tuple[str, str]:
    """The point whose word on this one is the nearest to what is expected of it [mm], and what was read there."""
    others = _by_others(figures, point, reference)
    nearest = min(others, key=lambda pair: abs(math.log(pair[0] / expected)))[1]
    listed = figures.points.get(nearest)
    unit = figures.points[point][0].unit
    read = listed[0].read if listed and figures.middle(nearest) else write_length(reference[nearest], unit)
    return nearest, read


def far_from_neighbours(figures: Sequence[Figure], *, overhang: bool = False) -> Question | None:
    """Ask about the reading farthest from its neighbours, without saying theirs (ISO 5725-6)."""
    if len(figures) < 2:
        return None
    lengths = [figure.mm for figure in figures]
    step = min([figure.length.resolution_mm for figure in figures])
    if not far_apart(lengths, step, overhang=overhang):
        return None
    middle = median(lengths)
    # Of two readings both are equally far: the later one is read again.
    far = max(range(len(figures)), key=lambda n: (round(abs(lengths[n] - middle), 6), n))
    outlier = figures[far]
    if outlier.confirmed:
        return None
    away = abs(lengths[far] - median(lengths[:far] + lengths[far + 1 :]))
    return outlier.question(FAR_FROM_NEIGHBOURS, FarFromNeighbours(away, len(figures) - 1))
