"""Questions about what is unlikely: what was read, why it is odd, and the likely slip.

Nothing is refused here. A reading that was questioned and kept is ``confirmed`` and is not asked about again;
a reading is asked about once, by the rule that knows most about it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from statistics import NormalDist, median

from fitcheck.records.faults import Question
from fitcheck.records.garments import Garment
from fitcheck.records.households import Household
from fitcheck.records.lengths import UNITS, Length, LengthError, read_length, write_length
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import POINTS
from fitcheck.records.readings import Reading
from fitcheck.records.size_tables import SizeTable
from fitcheck.records.stages import PieceStage
from fitcheck.records.swatches import Swatch
from fitcheck.records.wearers import Wearer

FAR_FROM_NEIGHBOURS = "far_from_neighbours"
"""Code of the question about a reading far from its neighbours."""
SETS_OF_A_PIECE = 14
"""Sets of readings in one honest session: seven points, piece and garment. Together they raise a needless
question in one session of twenty; the 95 % factors of ISO 5725-6 for each set would in every second."""

USUAL_RATIO = (1.0, 1.9)
"""Rows over stitches on one length of plain knitting, unquestioned (common practice, no source)."""

USUAL_STITCH_MM = (1.5, 15.0)
"""Width of a stitch that passes without a question [mm] (common practice, no source)."""

USUAL_ROW_MM = (1.0, 12.0)
"""Height of a row that passes without a question [mm] (common practice, no source)."""

ADD_UP_MM = 10.0
"""How far lengths that make up another may miss it [mm]."""

LARGEST_OVERHANG_MM = 150.0
"""Largest overhang that passes without a question [mm]."""

USUAL_HEAD_MM = (300.0, 700.0)
"""Round the head [mm] (common practice, no source)."""

PLAIN = ("plain", "stocking stitch", "stockinette")
"""Stitch patterns that the usual ratio of rows to stitches is about."""

_PROPORTIONS: Mapping[str, float] = {
    "chest": 500.0,
    "shoulder_width": 400.0,
    "waist": 470.0,
    "hem": 490.0,
    "armhole_depth": 210.0,
    "to_underarm": 390.0,
    "body_length": 630.0,
    "centre_back": 610.0,
}
"""Proportions of a plain sweater, flat [mm]; only their ratios are used (common practice, no source)."""

# A figure over what was expected of it: 1/2.54 for inches, 2 for the round measure. Wider where the
# expectation comes from the proportions of other points.
_ONE_INCH = (0.34, 0.46)
_ONE_INCH_BY_PROPORTION = (0.32, 0.48)
_ROUND = (1.75, 2.30)
_HALF_FRONT = ("left_front", "right_front")
_NUMBER = re.compile(r"[-+−]?[\d.,/\s⁄½⅓⅔¼¾⅛⅜⅝⅞-]*[\d½⅓⅔¼¾⅛⅜⅝⅞]")


def questions(household: Household) -> tuple[Question, ...]:
    """Ask about everything in a household that is unlikely, in the order of the records."""
    asked: list[Question] = []
    for number, wearer in enumerate(household.wearers):
        asked += _wearer(wearer, f"wearers[{number}]")
    for number, garment in enumerate(household.garments):
        asked += _garment(garment, f"garments[{number}]")
    for number, swatch in enumerate(household.swatches):
        asked += _swatch(swatch, f"swatches[{number}]")
    for number, table in enumerate(household.size_tables):
        asked += _printed_gauge(table, f"size_tables[{number}]")
    garments = {garment.id: garment for garment in household.garments}
    for number, make in enumerate(household.makes):
        asked += _make(make, garments, f"makes[{number}]")
    return tuple(asked)


@dataclass(frozen=True, slots=True)
class _Typed:
    """A reading that counts, with its place."""

    place: str
    reading: Reading
    length: Length

    @property
    def read(self) -> str:
        """As typed, with the unit that it was read in."""
        text = self.reading.text
        return f"{text} {self.length.unit}" if text[-1:].isnumeric() else text


@dataclass(slots=True)
class _Figures:
    """Readings of one garment, piece or body at one time, per point, and what is already asked about."""

    points: dict[str, list[_Typed]]
    asked: set[str] = field(default_factory=set)

    def middle(self, point: str) -> float | None:
        """Median of the readings of a point [mm]; None when there are none, or one of them is in question."""
        typed = self.points.get(point)
        if not typed or any(one.place in self.asked for one in typed):
            return None
        return median(one.length.value_mm for one in typed)


def _typed(readings: Sequence[Reading], place: str) -> list[_Typed]:
    return [
        _Typed(f"{place}[{number}]", reading, reading.length)
        for number, reading in enumerate(readings)
        if reading.counts
    ]


def _figures(readings: Mapping[str, Sequence[Reading]], place: str) -> _Figures:
    return _Figures({point: _typed(list_, f"{place}.{point}") for point, list_ in readings.items()})


def _written(mm: float, unit: str) -> str:
    return write_length(mm, unit)


# What somebody may have meant


@dataclass(frozen=True, slots=True)
class _Slip:
    """A slip that would explain a figure: the length that was meant, and how it would be typed."""

    code: str
    words: str
    mm: float
    meant: str
    because: str


_UNIT_NAMES = {"in": "inches", "cm": "centimetres", "mm": "millimetres"}
_TAKEN_FOR = {"cm": ("in",), "mm": ("in",), "m": ("cm", "in"), "in": ("cm", "mm")}
"""Units that a number may have been read in the place of; a slip by ten has its own rule."""


def _retyped(typed: _Typed, unit: str, mm: float) -> str:
    """Return the same number in another unit, as it would be typed; empty where that is not `mm`."""
    number = _NUMBER.match(typed.reading.text)
    meant = f"{number[0].strip()} {unit}" if number else ""
    try:
        return meant if math.isclose(read_length(meant).value_mm, mm, rel_tol=1e-9) else ""
    except LengthError:
        return ""


def _slips(typed: _Typed, *, flat: bool) -> list[_Slip]:
    """Return every slip that is known, the likelier first."""
    mm, unit = typed.length.value_mm, typed.length.unit
    slips: list[_Slip] = []
    for other in _TAKEN_FOR.get(unit, ()):
        as_other = mm / UNITS[unit] * UNITS[other]
        retyped = _retyped(typed, other, as_other)
        if retyped:
            name = _UNIT_NAMES[other]
            because = f"As {name} it would be {_written(as_other, 'in' if unit == 'in' else 'cm')}."
            slips.append(_Slip(name, f"It was {name}", as_other, retyped, because))
    if flat:
        half = _written(mm / 2, unit)
        slips.append(_Slip("round_measure", f"It is the round measure: {half} flat", mm / 2, half, ""))
    for factor in (0.1, 10.0):
        ten = _written(mm * factor, unit)
        slips.append(_Slip("ten_times", ten, mm * factor, ten, ""))
    return slips


# One reading against what is usual, and against its fellows


def _usual(point: str, *, body: bool = False, half: bool = False) -> tuple[float, float]:
    """Range that passes without a question [mm]; a body is read round, half a front is half as wide."""
    low, high = POINTS[point].plausible
    if body and POINTS[point].flat:
        return low, 2 * high
    if half and POINTS[point].direction == "across":
        return low / 2, high
    return low, high


def _expected(figures: _Figures, point: str) -> tuple[float, str] | None:
    """Return what the other points make of this one [mm], and the point nearest to that; None without any."""
    if point not in _PROPORTIONS:
        return None
    share = _PROPORTIONS[point]
    others = [
        (share / _PROPORTIONS[other] * middle, other)
        for other in _PROPORTIONS
        if other != point and (middle := figures.middle(other)) is not None
    ]
    if not others:
        return None
    expected = median(mm for mm, _ in others)
    return expected, min(others, key=lambda pair: abs(math.log(pair[0] / expected)))[1]


def _out_of_range(
    typed: _Typed, name: str, usual: tuple[float, float], expected: float | None, *, flat: bool
) -> Question | None:
    """Ask about a figure that hardly any sweater has, with the slip that brings it nearest to the others."""
    mm, unit = typed.length.value_mm, typed.length.unit
    low, high = usual
    if low <= mm <= high or typed.reading.confirmed:
        return None
    fitting = [slip for slip in _slips(typed, flat=flat) if low <= slip.mm <= high]
    if not fitting:
        odd = f"{typed.read} for the {name}? It is mostly {_written(low, unit)} to {_written(high, unit)}."
        return Question(typed.place, typed.read, odd, code="out_of_range")
    slip = fitting[0]
    if expected is not None:
        slip = min(fitting, key=lambda one: abs(math.log(one.mm / expected)))
    return _ask(typed, name, slip)


def _ask(typed: _Typed, name: str, slip: _Slip, reason: str = "") -> Question:
    if slip.code == "round_measure":
        odd = f"{typed.read} for the {name}? It is about twice the usual half."
    else:
        odd = " ".join(part for part in (f"{typed.read} for the {name}?", reason, slip.because) if part)
    return Question(typed.place, typed.read, odd, slip.words, slip.meant, slip.code)


def _slip_by_ratio(
    typed: _Typed, ratio: float, inch: tuple[float, float], usual: tuple[float, float], *, flat: bool
) -> _Slip | None:
    """Return the slip that a figure over its expectation speaks for, where its own figure is a usual one."""
    if inch[0] <= ratio <= inch[1]:
        code = "inches"
    elif flat and _ROUND[0] <= ratio <= _ROUND[1]:
        code = "round_measure"
    else:
        return None
    slips = (slip for slip in _slips(typed, flat=flat) if slip.code == code)
    return next((slip for slip in slips if usual[0] <= slip.mm <= usual[1]), None)


def _single_readings(
    figures: _Figures,
    reference: Mapping[str, float] | None = None,
    *,
    body: bool = False,
    half: bool = False,
) -> Iterator[Question]:
    """Ask about single readings: out of the usual, inches, round for flat, far from their neighbours.

    reference  what the garment says of the same points [mm]
    """
    for point, typed in figures.points.items():
        usual, flat = _usual(point, body=body, half=half), POINTS[point].flat and not body
        for one in typed:
            others = [two.length.value_mm for two in typed if two is not one]
            beside = [mm for mm in others if usual[0] <= mm <= usual[1]]
            by_points = None if body or half else _expected(figures, point)
            expected = (
                median(beside)
                if beside
                else reference[point]
                if reference and point in reference
                else by_points[0]
                if by_points
                else None
            )
            question = _out_of_range(one, POINTS[point].name, usual, expected, flat=flat)
            if question is not None:
                figures.asked.add(one.place)
                yield question
    # Widths that may be round first: a chest typed round makes every length look short.
    for point in sorted(figures.points, key=lambda key: not POINTS[key].flat):
        usual, flat = _usual(point, body=body, half=half), POINTS[point].flat and not body
        for one in figures.points[point]:
            if one.place in figures.asked or one.reading.confirmed:
                continue
            slip, reason = None, ""
            for expected, band, why in _expectations(one, figures, point, reference, alone=body or half):
                slip, reason = (
                    _slip_by_ratio(one, one.length.value_mm / expected, band, usual, flat=flat),
                    why,
                )
                if slip is not None:
                    break
            if slip is not None:
                figures.asked.add(one.place)
                yield _ask(one, POINTS[point].name, slip, reason)
    for typed in figures.points.values():
        question = _far_from_neighbours([one for one in typed if one.place not in figures.asked])
        if question is not None:
            figures.asked.add(question.place)
            yield question


def _expectations(
    one: _Typed, figures: _Figures, point: str, reference: Mapping[str, float] | None, *, alone: bool
) -> Iterator[tuple[float, tuple[float, float], str]]:
    """Say what a reading should be near [mm], how near, and whence: fellows, garment, other points."""
    others = [two.length.value_mm for two in figures.points[point] if two is not one and two.place not in figures.asked]
    if others:
        yield median(others), _ONE_INCH, "Your other readings say otherwise."
    if reference and point in reference:
        yield reference[point], _ONE_INCH, "The garment says otherwise."
    elif not alone and (expected := _expected(figures, point)) is not None:
        other = figures.points[expected[1]][0]
        yield expected[0], _ONE_INCH_BY_PROPORTION, f"The {POINTS[expected[1]].name} was {other.read}."


def _allowed_range(middle_mm: float, count: int, *, overhang: bool = False) -> float:
    """Range that `count` readings may have [mm]: f(k) times the SD of a reading with its laying (assumed)."""
    if overhang:
        one = 2.0
    else:
        laying = 0.004 * middle_mm
        one = math.hypot(math.hypot(1.5, 0.004 * middle_mm), laying)
    return critical_range(count) * one


@cache
def critical_range(count: int, alpha: float = 0.05 / SETS_OF_A_PIECE) -> float:
    """Range of `count` readings over the SD of one that is questioned.

    f(k) = sqrt(2) z(1 - alpha / (k (k - 1))), alpha = 0.05 / 14: the largest of k (k - 1) / 2 differences of
    two, each of SD sqrt(2). With alpha = 0.05 it gives 2.77, 3.39 and 3.67 for k = 2, 3, 4, where ISO 5725-6
    has 2.8, 3.3 and 3.6.
    """
    alpha = 0.05 / SETS_OF_A_PIECE
    return math.sqrt(2.0) * NormalDist().inv_cdf(1.0 - alpha / (count * (count - 1)))


def _far_from_neighbours(typed: Sequence[_Typed], *, overhang: bool = False) -> Question | None:
    """Ask about the reading farthest from its neighbours, without saying theirs (ISO 5725-6)."""
    if len(typed) < 2:
        return None
    figures = [one.length.value_mm for one in typed]
    middle = median(figures)
    if max(figures) - min(figures) <= _allowed_range(middle, len(typed), overhang=overhang):
        return None
    # Of two readings both are equally far: the later one is read again.
    far = max(range(len(typed)), key=lambda n: (round(abs(figures[n] - middle), 6), n))
    wild = typed[far]
    if wild.reading.confirmed:
        return None
    away = abs(figures[far] - median(figures[:far] + figures[far + 1 :]))
    others = "your other reading" if len(typed) == 2 else "your other readings"
    odd = f"{_written(away, wild.length.unit)} from {others}. Lay the tape again and type what it says."
    return Question(wild.place, wild.read, odd, code=FAR_FROM_NEIGHBOURS)


# Points of one garment or piece against each other


def _lengths_add_up(figures: _Figures) -> Iterator[Question]:
    """Ask where lengths that make up another miss it by more than a tape explains."""
    sums = (
        (("shoulder_drop", "armhole_depth"), "armhole_from_neck"),
        (("shoulder_drop", "armhole_depth", "to_underarm"), "body_length"),
        (("armhole_from_neck", "to_underarm"), "body_length"),
    )
    for parts, whole in sums:
        middles = [figures.middle(point) for point in parts]
        total = figures.middle(whole)
        known = [mm for mm in middles if mm is not None]
        if total is None or len(known) < len(parts):
            continue
        first = figures.points[whole][0]
        away = abs(math.fsum(known) - total)
        if away <= ADD_UP_MM or first.reading.confirmed:
            continue
        unit = first.length.unit
        listed = ", ".join(f"{POINTS[point].name} {_written(mm, unit)}" for point, mm in zip(parts, known, strict=True))
        odd = (
            f"{listed[0].upper()}{listed[1:]} make {_written(math.fsum(known), unit)}; "
            f"{POINTS[whole].name} says {_written(total, unit)}. One of them is {_written(away, unit)} off."
        )
        figures.asked.add(first.place)
        yield Question(first.place, first.read, odd, code="lengths_add_up")


def _wider(figures: _Figures, half: bool) -> Iterator[Question]:
    """Ask about a shoulder wider than the chest, and a neck wider than the shoulder."""
    pairs = (
        ("shoulder_width", "chest", "shoulder_beyond_chest"),
        ("neck_width", "shoulder_width", "neck_beyond_shoulder"),
    )
    for inner, outer, code in () if half else pairs:
        small, large = figures.middle(inner), figures.middle(outer)
        if small is None or large is None or small <= large:
            continue
        first, second = figures.points[inner][0], figures.points[outer][0]
        if first.reading.confirmed or second.reading.confirmed:
            continue
        unit = first.length.unit
        odd = (
            f"{POINTS[inner].name.capitalize()} {_written(small, unit)}, {POINTS[outer].name} "
            f"{_written(large, unit)}: it is mostly the other way round. Is one of them at the wrong point?"
        )
        figures.asked.add(first.place)
        yield Question(first.place, first.read, odd, code=code)


# Counts against lengths


def _ratio_question(place: str, read: str, ratio: float, swapped: float, meant: str = "") -> Question | None:
    """Ask about rows over stitches on one length that plain knitting does not have."""
    low, high = USUAL_RATIO
    ratio, swapped = round(ratio, 9), round(swapped, 9)  # 57 rows to 30 stitches are 1.9, not a hair more
    if low <= ratio <= high:
        return None
    odd = f"Rows {ratio:.1f} times the stitches; plain knitting is about 1.2 to 1.7."
    if low <= swapped <= high:
        return Question(place, read, f"{odd} Counts swapped?", "Counts swapped", meant, "counts_swapped")
    return Question(place, read, odd, code="rows_to_stitches")


def _size_question(typed: _Typed, mm: float, count: int, *, row: bool) -> Question | None:
    """Ask about a stitch or row that hardly any machine knits."""
    low, high = USUAL_ROW_MM if row else USUAL_STITCH_MM
    if low <= mm / count <= high or typed.reading.confirmed:
        return None
    what, one = ("rows", "a row") if row else ("stitches", "a stitch")
    odd = f"{count} {what} over {typed.read} make {mm / count:.1f} mm {one}; it is mostly {low:g} to {high:g}."
    fitting = [slip for slip in _slips(typed, flat=False) if low <= slip.mm / count <= high]
    if not fitting:
        return Question(typed.place, typed.read, odd, code="stitch_size")
    slip = fitting[0]
    return Question(
        typed.place, typed.read, " ".join((odd, slip.because)).strip(), slip.words, slip.meant, "stitch_size"
    )


def _swatch(swatch: Swatch, place: str) -> Iterator[Question]:
    """Ask about a swatch: single readings, the size of a stitch, and rows against stitches."""
    ratio_asked = False
    for number, stage in enumerate(swatch.stages):
        at = f"{place}.stages[{number}]"
        across, along = _typed(stage.across, f"{at}.across"), _typed(stage.along, f"{at}.along")
        found: list[Question] = []
        spans = ((across, swatch.stitches, False), (along, swatch.rows, True))
        for typed, span, row in spans:
            if span is not None:
                sizes = (_size_question(one, one.length.value_mm, span.between, row=row) for one in typed)
                found += [question for question in sizes if question is not None]
            odd = {question.place for question in found}
            far = _far_from_neighbours([one for one in typed if one.place not in odd])
            if far is not None:
                found.append(far)
        yield from found
        hung = stage.kind == "hung"  # a load pulls the rows long: no ratio to go by
        if ratio_asked or found or hung or not across or not along or swatch.rows is None or not _is_plain(swatch):
            continue
        if along[0].reading.confirmed:
            continue
        width, height = (median(one.length.value_mm for one in typed) for typed in (across, along))
        stitches, rows = swatch.stitches.between, swatch.rows.between
        question = _ratio_question(
            along[0].place,
            f"{stitches} stitches, {rows} rows",
            (width / stitches) / (height / rows),
            (width / rows) / (height / stitches),
            f"{rows} stitches, {stitches} rows",
        )
        if question is not None:
            ratio_asked = True
            yield question


def _is_plain(knitted: Swatch | Piece) -> bool:
    return knitted.stitch_pattern.casefold() in PLAIN


def _printed_gauge(table: SizeTable, place: str) -> Iterator[Question]:
    """Ask about a printed gauge; a pattern stitch may well have it, so it is only asked."""
    gauge = table.gauge
    if gauge is None or gauge.stitches is None or gauge.rows is None:
        return
    read = f"{gauge.stitches:g} stitches, {gauge.rows:g} rows"
    question = _ratio_question(
        f"{place}.gauge",
        read,
        gauge.rows / gauge.stitches,
        gauge.stitches / gauge.rows,
        f"{gauge.rows:g} stitches, {gauge.stitches:g} rows",
    )
    if question is not None:
        yield question


def _counts(piece: Piece, figures: _Figures) -> Iterator[Question]:
    """Ask about counts of a piece against its readings: the size of a stitch, and rows against stitches."""
    sizes: dict[bool, list[tuple[float, str, int]]] = {False: [], True: []}
    for point, counts in piece.counts.items():
        row = POINTS[point].direction == "along"
        middle = figures.middle(point)
        if counts.best is None or middle is None or POINTS[point].direction == "edge":
            continue
        first = figures.points[point][0]
        question = _size_question(first, middle, counts.best, row=row)
        if question is not None:
            figures.asked.add(first.place)
            yield question
        else:
            sizes[row].append((middle / counts.best, point, counts.best))
    if not sizes[False] or not sizes[True] or not _is_plain(piece):
        return
    width = median(mm for mm, _, _ in sizes[False])
    height, point, rows = sizes[True][0]
    first = figures.points[point][0]
    if first.reading.confirmed:
        return
    question = _ratio_question(first.place, f"{rows} rows", width / height, height / width)
    if question is not None:
        yield question


# Record by record


def _wearer(wearer: Wearer, place: str) -> Iterator[Question]:
    figures = _figures(wearer.body, f"{place}.body")
    yield from _single_readings(figures, body=True)
    head = _typed(wearer.head, f"{place}.head")
    odd: set[str] = set()
    for one in head:
        question = _out_of_range(one, "head", USUAL_HEAD_MM, None, flat=False)
        if question is not None:
            odd.add(one.place)
            yield question
    far = _far_from_neighbours([one for one in head if one.place not in odd])
    if far is not None:
        yield far


def _garment(garment: Garment, place: str) -> Iterator[Question]:
    for number, occasion in enumerate(garment.occasions):
        figures = _figures(occasion.readings, f"{place}.occasions[{number}].readings")
        yield from _single_readings(figures)
        yield from _lengths_add_up(figures)
        yield from _wider(figures, half=False)


def _make(make: Make, garments: Mapping[str, Garment], place: str) -> Iterator[Question]:
    garment = garments.get(make.fits.garment or "")
    occasions = garment.occasions if garment is not None else []
    pinned = next((occasion for occasion in occasions if occasion.id == make.fits.occasion), None)
    wanted = _figures(pinned.readings, "") if pinned is not None else _Figures({})
    for number, piece in enumerate(make.pieces):
        half = piece.piece in _HALF_FRONT
        reference = {
            point: middle * POINTS[point].per_piece * (0.5 if half and POINTS[point].flat else 1.0)
            for point in wanted.points
            if (middle := wanted.middle(point)) is not None and piece.piece in POINTS[point].pieces
        }
        for stage_number, stage in enumerate(piece.stages):
            at = f"{place}.pieces[{number}].stages[{stage_number}]"
            yield from _piece_stage(piece, stage, reference, at, half=half)


def _piece_stage(
    piece: Piece, stage: PieceStage, reference: Mapping[str, float], place: str, *, half: bool
) -> Iterator[Question]:
    figures = _figures(stage.readings, f"{place}.readings")
    yield from _single_readings(figures, reference, half=half)
    yield from _lengths_add_up(figures)
    yield from _wider(figures, half)
    yield from _counts(piece, figures)
    for point, overhangs in stage.overhangs.items():
        typed = _typed(overhangs, f"{place}.overhangs.{point}")
        odd: set[str] = set()
        for one in typed:
            if abs(one.length.value_mm) > LARGEST_OVERHANG_MM and not one.reading.confirmed:
                odd.add(one.place)
                yield _overhang(one, POINTS[point].name)
        far = _far_from_neighbours([one for one in typed if one.place not in odd], overhang=True)
        if far is not None:
            yield far


def _overhang(typed: _Typed, name: str) -> Question:
    """Ask about a piece that lies far off its garment: its own length, or millimetres, were typed."""
    odd = f"{typed.read} off at the {name}? So far off a piece hardly lies on its garment."
    tenth = typed.length.value_mm / 10
    if abs(tenth) > LARGEST_OVERHANG_MM:
        return Question(typed.place, typed.read, odd, code="large_overhang")
    meant = _written(tenth, typed.length.unit)
    return Question(typed.place, typed.read, odd, meant, meant, "large_overhang")
