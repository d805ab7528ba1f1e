"""Counts of a piece against its readings: miscounted, points swapped, rows for stitches."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations
from statistics import median

from fitcheck.records.frozen import frozen
from fitcheck.records.machines import MOST_NEEDLES
from fitcheck.records.makes import Piece
from fitcheck.records.places import Place
from fitcheck.records.points import POINTS
from fitcheck.records.questions.figures import Figure, Figures
from fitcheck.records.questions.gauge import counted, is_plain, rows_to_stitches, size_of_stitch
from fitcheck.records.questions.known_gauge import Knits, digit_slips
from fitcheck.records.questions.lengths_of_a_point import ReadOn
from fitcheck.records.questions.question import CountOff, PointsSwapped, Question, Slip
from fitcheck.records.questions.slips import mm_of, slips
from fitcheck.records.questions.usual import NEAR_WANTED, ONE_GAUGE, ONE_GAUGE_APART, usual_size

_NO_FABRIC_APART = math.log(1.8)
"""A stitch that differs by more from what the swatches make it is of no fabric [log of the ratio]."""


@frozen
class _AgainstReading:
    """A count of a piece and what its point was read to.

    mm     middle of its readings [mm];  first: the first of them
    place  of the count
    """

    point: str
    count: int
    confirmed: bool
    mm: float
    first: Figure
    place: Place

    @property
    def row(self) -> bool:
        """Whether rows were counted, not stitches."""
        return POINTS[self.point].direction == "along"

    @property
    def size_mm(self) -> float:
        """Stitch width or row height that the count makes."""
        return self.mm / self.count


def count_questions(
    piece: Piece, figures: Figures, of: ReadOn, gauges: Mapping[bool, Knits], place: Place
) -> Iterator[Question]:
    """Ask about counts of a piece against its readings: points swapped, the size of a stitch, rows for stitches.

    gauges  what is known of its rows (True) and stitches (False) from elsewhere;  place: that of its counts
    """
    swapped: set[str] = set()
    for question, pair in _swapped_points(piece, figures, of, gauges, place):
        swapped.update(pair)
        yield question
    listed = [
        _AgainstReading(point, counts.best, counts.confirmed, middle, figures.points[point][0], place.at(point))
        for point, counts in piece.counts.items()
        if counts.best is not None
        and POINTS[point].direction != "edge"
        and point not in swapped
        and (middle := figures.middle(point)) is not None
    ]
    unasked: dict[bool, list[_AgainstReading]] = {False: [], True: []}
    for here in listed:
        others = [other.size_mm for other in listed if other.row == here.row and other is not here]
        asked = None if here.confirmed else _miscounted(here, gauges[here.row], others, of)
        if not here.confirmed and (asked is None or asked.place == here.first.place):
            # Either the tape is asked about, or both count and tape: what was read feeds no other question.
            asked = asked or _odd_size(here, of)
            if asked is not None:
                figures.doubt(here.first.place)
        if asked is not None:
            yield asked
        else:
            unasked[here.row].append(here)
    if unasked[False] and unasked[True] and is_plain(piece):
        ratio = _rows_for_stitches(unasked[False], unasked[True][0])
        if ratio is not None:
            yield ratio


def _rows_for_stitches(stitches: Sequence[_AgainstReading], rows: _AgainstReading) -> Question | None:
    """Ask where rows and stitches of plain knitting, of which nothing else is asked, have the sizes of each other."""
    if rows.first.confirmed or rows.confirmed:
        return None
    width, height = median(count.size_mm for count in stitches), rows.size_mm
    read = counted(rows.count, row=True)
    return rows_to_stitches(rows.place, read, width / height, height / width, count=rows.count)


def _odd_size(here: _AgainstReading, of: ReadOn) -> Question | None:
    """Ask about a count that makes a stitch or row that hardly any machine knits."""
    usual, wanted = of.usual(here.point), of.reference.get(here.point)
    return size_of_stitch(here.first, here.mm, here.count, row=here.row, usual=usual, wanted=wanted, place=here.place)


def _miscounted(here: _AgainstReading, knits: Knits, others: Sequence[float], of: ReadOn) -> Question | None:
    """Ask about a count that does not go with its reading at the size of stitch that everything else has.

    The likely slip: a count with one figure amiss that at that size makes what was read, else a reading in another
    unit. What is far off and has no slip is asked about where a swatch or the printed gauge says how far.

    others  sizes that the other counts of the piece make [mm]
    """
    count, mm, size, row, first = here.count, here.mm, here.size_mm, here.row, here.first
    known = [*knits.sizes, *([median(others)] if others else [])]
    away = min((abs(math.log(size / other)) for other in known), default=0.0)
    if away <= ONE_GAUGE_APART:
        return None
    if not knits.sizes and len(others) == 1 and _unusual(size, row=row) < _unusual(others[0], row=row):
        return None  # of two counts the one that makes the odder stitch is asked about
    usual = median(knits.sizes or others)
    odd = CountOff(count, mm, row, size, knits.known_from if knits.sizes else "other_counts", usual)
    read, unit = counted(count, row=row), first.unit
    for slips_of in digit_slips(count)[: 2 if knits.sizes or len(others) > 1 else 1]:
        likely = [other for other in slips_of if row or other <= MOST_NEEDLES]  # no bed has more
        near = min(likely, key=lambda other: abs(math.log(mm / other / usual)), default=count)
        if abs(math.log(mm / near / usual)) < ONE_GAUGE:
            return Question(here.place, read, unit, "count_off", odd, Slip("count_off", str(near)), count)
    wanted = of.reference.get(here.point)
    if not first.confirmed and not (wanted is not None and 1 / NEAR_WANTED < mm / wanted < NEAR_WANTED):
        low, high = of.usual(here.point)
        for slip in slips(first, flat=False):  # a piece is never laid round
            if low <= mm_of(slip) <= high and abs(math.log(mm_of(slip) / count / usual)) < ONE_GAUGE:
                return first.question(slip.code, odd, slip)
    if not knits.sizes or away <= _NO_FABRIC_APART:
        return None
    return Question(here.place, read, unit, "count_off", odd, count=count)


def _unusual(size: float, *, row: bool) -> float:
    """Say how far a stitch or row is from the middle of what machines knit [log of the ratio]."""
    low, high = usual_size(row=row)
    return abs(math.log(size / math.sqrt(low * high)))


def _swapped_points(
    piece: Piece, figures: Figures, of: ReadOn, gauges: Mapping[bool, Knits], place: Place
) -> Iterator[tuple[Question, tuple[str, str]]]:
    """Ask where the longer of two points has fewer stitches or rows, and swapped the two agree."""
    for row in (False, True):
        direction = "along" if row else "across"
        known = {
            point: (mm, counts.best)
            for point, counts in piece.counts.items()
            if POINTS[point].direction == direction
            and counts.best is not None
            and not counts.confirmed
            and (mm := figures.middle(point) or of.reference.get(point)) is not None
        }
        pairs: list[tuple[float, str, str]] = []
        for here, other in combinations(known, 2):
            (mm, count), (other_mm, other_count) = known[here], known[other]
            apart = abs(math.log(mm / count / (other_mm / other_count)))
            apart_swapped = abs(math.log(mm / other_count / (other_mm / count)))
            away = [abs(math.log(mm / other_count / size)) for size in gauges[row].sizes]
            if away and min(away) > ONE_GAUGE_APART:
                continue  # swapped they would make a stitch that no swatch has
            if apart > ONE_GAUGE_APART and apart_swapped < ONE_GAUGE:
                pairs.append((apart_swapped, here, other))
        if not pairs:
            continue
        _, here, other = min(pairs)
        (mm, count), (other_mm, other_count) = known[here], known[other]
        odd = PointsSwapped(here, other, (count, other_count), here if mm > other_mm else other)
        asked = Question(
            place.at(here),
            counted(count, row=row),
            "",
            "counts_swapped_points",
            odd,
            Slip("counts_swapped"),
            count,
        )
        yield asked, (here, other)
