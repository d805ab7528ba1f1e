"""Questions about what is unlikely: what was read, why it is odd, and the likely slip.

Nothing is refused here. A reading that was questioned and kept is ``confirmed`` and is not asked about again;
a reading is asked about once, by the rule that knows most about it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from itertools import combinations
from statistics import NormalDist, median

from fitcheck.records.base import as_typed
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.faults import Question
from fitcheck.records.garments import Garment
from fitcheck.records.hand import MEDIAN_FACTOR, OVERHANG_HAND, TAPE_HAND, Hand
from fitcheck.records.households import Household, by_key
from fitcheck.records.known_gauge import Knits, digit_slips, known_gauges
from fitcheck.records.lengths import UNITS, Length, LengthError, read_length, write_bare, write_length
from fitcheck.records.makes import Make, Piece
from fitcheck.records.places import Place
from fitcheck.records.points import BODY, HALF_FRONTS, POINTS
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

NEAR_WANTED = 1.35
"""How many times larger or smaller than what is wanted a figure may be and still be near it [1]."""

LARGE_OVERHANG_MM = 50.0
SMALL_OVERHANG_MM = 30.0
"""An overhang from the large one on is questioned where all others are below the small one [mm]."""

NEEDLESS_IN_A_HUNDRED = 0.01
"""Share of honest sessions in which overhang and tape may be asked about for nothing [1]."""

LARGEST_OVERHANG_MM = 150.0
"""Largest overhang that passes without a question [mm]."""

USUAL_HEAD_MM = (300.0, 700.0)
"""Round the head [mm] (common practice, no source)."""

PLAIN = ("plain", "stocking stitch", "stockinette")
"""Stitch patterns that the usual ratio of rows to stitches is about."""

PROPORTIONS: Mapping[str, float] = {
    key: point.plain_mm for key, point in POINTS.items() if point.plain_mm >= 200 and "back" in point.pieces
}
"""A plain sweater, flat [mm], where it is 20 cm and more and so varies little; only their ratios are used."""

READ_IN_INCHES = (0.34, 0.46)
"""A figure over what was expected of it, where it was read in inches: about 1/2.54 [1]."""

INCHES_BY_PROPORTION = (0.32, 0.48)
"""The same where the expectation comes from the proportions of other points, so wider [1]."""

READ_ROUND = (1.75, 2.30)
"""A figure over what was expected of it, where the round measure was read for the flat one: about 2 [1]."""

_ONE_GAUGE = math.log(1.10)
_ONE_GAUGE_APART = math.log(1.25)
_NO_FABRIC_APART = math.log(1.8)
_FOLDED = (0.46, 0.56)
_HALF = (0.44, 0.57)
_LARGEST_AS_INCHES = 0.5
_GROWN = (0.7, 1.5)
# A flat sleeve of a grown person [mm], to tell a folded sleeve from a round measure.
_SLEEVE_FLAT: Mapping[str, float] = {key: point.plain_mm for key, point in POINTS.items() if point.per_piece > 1}
_INCHES_EIGHTHS = re.compile(r"(\d{1,2})([1-7])(?: in)?", re.ASCII)
_NUMBER = re.compile(r"[-+−]?[\d.,/\s⁄½⅓⅔¼¾⅛⅜⅝⅞-]*[\d½⅓⅔¼¾⅛⅜⅝⅞]")


def questions(household: Household) -> tuple[Question, ...]:
    """Ask about everything in a household that is unlikely, in the order of the records."""
    asked: list[Question] = []
    for wearer in household.wearers:
        asked += _wearer(wearer, Place("wearers", wearer.id))
    children = {wearer.id for wearer in household.wearers if wearer.child}
    for garment in household.garments:
        asked += _garment(garment, children, Place("garments", garment.id))
    sure: list[Swatch] = []
    for swatch in household.swatches:
        found = list(_swatch(swatch, Place("swatches", swatch.id)))
        asked += found
        if not found:
            sure.append(swatch)
    for table in household.size_tables:
        asked += _printed_gauge(table, Place("size_tables", table.id))
    garments = {garment.id: garment for garment in household.garments}
    for make in household.makes:
        asked += _make(make, garments, children, _fabric_of(make, household, sure), Place("makes", make.id))
    return tuple(asked)


@dataclass(frozen=True, slots=True)
class _Typed:
    """A reading that counts, or a wanted figure, with its place."""

    place: Place
    length: Length
    confirmed: bool = False
    laying: object = None
    share: float = 1.0
    """What one of its millimetres is of the flat garment or of the piece: 0.5 for a round figure."""

    @property
    def read(self) -> str:
        """As typed, with the unit that it was read in."""
        return as_typed(self.length)

    @property
    def mm(self) -> float:
        """Its length to compare with its fellows [mm]."""
        return self.length.value_mm * self.share


@dataclass(slots=True)
class _Figures:
    """Readings of one garment, piece or body at one time, per point, and what is already asked about."""

    points: dict[str, list[_Typed]]
    asked: set[Place] = field(default_factory=set)
    _middles: dict[str, tuple[int, float | None]] = field(default_factory=dict)

    def middle(self, point: str) -> float | None:
        """Median of the readings of a point [mm]; None when there are none, or one of them is in question."""
        known = self._middles.get(point)
        if known is not None and known[0] == len(self.asked):
            return known[1]
        typed = self.points.get(point)
        found = None
        if typed and not any(one.place in self.asked for one in typed):
            found = median(one.mm for one in typed)
        self._middles[point] = len(self.asked), found
        return found


def _typed(readings: Sequence[Reading], place: Place) -> list[_Typed]:
    return [
        _Typed(place.at(number), reading.length, reading.confirmed, laying=reading.laying)
        for number, reading in enumerate(readings)
        if reading.counts
    ]


def _figures(readings: Mapping[str, Sequence[Reading]], place: Place) -> _Figures:
    return _Figures({point: _typed(list_, place.at(point)) for point, list_ in readings.items()})


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
    number = _NUMBER.match(typed.length.text)
    meant = f"{number[0].strip()} {unit}" if number else ""
    try:
        return meant if math.isclose(read_length(meant, signed=True).value_mm, mm, rel_tol=1e-9) else ""
    except LengthError:
        return ""


def _eighths(typed: _Typed) -> _Slip | None:
    """Return two or three bare figures in inches as inches and eighths: 84 is 8 4/8; None for other texts."""
    found = _INCHES_EIGHTHS.fullmatch(typed.length.text) if typed.length.unit == "in" else None
    if found is None:
        return None
    mm = (int(found[1]) + int(found[2]) / 8) * UNITS["in"]
    meant = _written(mm, "in")
    return _Slip("eighths", meant, mm * typed.share, meant, f"As inches and eighths: {meant}?")


def _slips(typed: _Typed, *, flat: bool) -> list[_Slip]:
    """Return every slip that is known, the likelier first."""
    mm, unit, share = typed.length.value_mm, typed.length.unit, typed.share
    slips: list[_Slip] = []
    for other in _TAKEN_FOR.get(unit, ()):
        as_other = mm / UNITS[unit] * UNITS[other]
        retyped = _retyped(typed, other, as_other)
        if retyped:
            name = _UNIT_NAMES[other]
            because = f"As {name} it would be {_written(as_other, 'in' if unit == 'in' else 'cm')}."
            slips.append(_Slip(name, f"It was {name}", as_other * share, retyped, because))
    if flat:
        half = _written(mm / 2, unit)
        slips.append(_Slip("round_measure", f"It is the round measure: {half} flat", mm / 2 * share, half, ""))
    eighths = _eighths(typed)
    if eighths is not None:  # after centimetres, before millimetres, which hardly anybody types for inches
        slips.insert(1, eighths)
    for factor in (0.1, 10.0) if eighths is None else (10.0,):
        ten = _written(mm * factor, unit)
        slips.append(_Slip("ten_times", ten, mm * factor * share, ten, ""))
    return slips


# One reading against what is usual, and against its fellows


def _usual(point: str, *, body: bool = False, half: bool = False, piece: bool = False) -> tuple[float, float]:
    """Range that passes without a question [mm]; a body is read round, half a front is half as wide."""
    low, high = POINTS[point].plausible
    if body and POINTS[point].flat:
        return low, 2 * high
    if piece:
        high *= POINTS[point].per_piece
    if half and POINTS[point].direction == "across":
        return low / 2, high
    return low, high


def _expected(figures: _Figures, point: str, reference: Mapping[str, float]) -> tuple[float, str] | None:
    """Return what the other points make of this one [mm], and which is nearest to that, in words; None without any.

    A point that was not read in the set itself is taken from the reference [mm].
    """
    if point not in PROPORTIONS:
        return None
    share = PROPORTIONS[point]
    others = [
        (share / PROPORTIONS[other] * middle, other)
        for other in PROPORTIONS
        if other != point and (middle := figures.middle(other) or reference.get(other)) is not None
    ]
    if not others:
        return None
    expected = median(mm for mm, _ in others)
    nearest = min(others, key=lambda pair: abs(math.log(pair[0] / expected)))[1]
    typed = figures.points.get(nearest)
    unit = figures.points[point][0].length.unit
    read = typed[0].read if typed and figures.middle(nearest) else _written(reference[nearest], unit)
    return expected, f"The {POINTS[nearest].name} was {read}."


def _out_of_range(
    typed: _Typed,
    name: str,
    usual: tuple[float, float],
    expected: float | None,
    *,
    flat: bool,
    wanted: float | None = None,
) -> Question | None:
    """Ask about a figure that hardly any sweater has, with the slip that brings it nearest to the others."""
    unit = typed.length.unit
    low, high = usual
    if low <= typed.mm <= high or typed.confirmed:
        return None
    slip = _likeliest([slip for slip in _slips(typed, flat=flat) if low <= slip.mm <= high], wanted, expected)
    if slip is None:
        low, high, unit = low / typed.share, high / typed.share, "cm" if unit == "m" else unit
        odd = f"{typed.read} for the {name}? It is mostly {_written(low, unit)} to {_written(high, unit)}."
        return Question(typed.place, typed.read, odd, code="out_of_range")
    return _ask(typed, name, slip)


def _likeliest(slips: Sequence[_Slip], wanted: float | None, expected: float | None = None) -> _Slip | None:
    """Return the slip whose result is nearest to the wanted figure [mm]; none where all are far from it.

    expected  what other points make of it [mm], where nothing is wanted
    """
    goal = expected if wanted is None else wanted
    if goal is None:
        return slips[0] if slips else None
    nearest = min(slips, key=lambda one: abs(math.log(one.mm / goal)), default=None)
    if nearest is None or (wanted is not None and abs(math.log(nearest.mm / wanted)) > math.log(NEAR_WANTED)):
        return None
    return nearest


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
    elif flat and READ_ROUND[0] <= ratio <= READ_ROUND[1]:
        code = "round_measure"
    else:
        return None
    slips = (slip for slip in _slips(typed, flat=flat) if slip.code == code)
    return next((slip for slip in slips if usual[0] <= slip.mm <= usual[1]), None)


@dataclass(frozen=True, slots=True)
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
    source: str = "The garment says otherwise."
    body: bool = False
    half: bool = False
    piece: bool = False
    child: bool = False
    laid_on: _Figures | None = None

    def usual(self, point: str) -> tuple[float, float]:
        """Range that passes without a question [mm]."""
        return _usual(point, body=self.body, half=self.half, piece=self.piece)

    def flat(self, point: str) -> bool:
        """Whether the round measure may have been typed for the flat one."""
        return POINTS[point].flat and not self.body and not (self.piece and POINTS[point].per_piece > 1)

    def typical(self, point: str) -> float:
        """Figure of a plain sweater of a grown person [mm] (common practice, no source)."""
        round_or_half = 2.0 if self.body and POINTS[point].flat else 1.0
        if self.half and POINTS[point].direction == "across":
            round_or_half = 0.5
        return PROPORTIONS[point] * round_or_half


def _single_readings(figures: _Figures, of: ReadOn) -> Iterator[Question]:
    """Ask about single readings: out of the usual, inches, round for flat, far from their neighbours."""
    yield from _all_in_inches(figures, of)
    for point, typed in figures.points.items():
        for one in typed:
            low, high = of.usual(point)
            if one.place in figures.asked or low <= one.mm <= high:
                continue
            expected = _expected(figures, point, of.reference)
            question = _out_of_range(
                one,
                POINTS[point].name,
                of.usual(point),
                expected[0] if expected else None,
                flat=of.flat(point) and one.share == 1.0,
                wanted=of.reference.get(point),
            )
            if question is not None:
                figures.asked.add(one.place)
                yield question
    # Widths that may be round first: a chest typed round makes every length look short.
    for point in sorted(figures.points, key=lambda key: not POINTS[key].flat):
        for one in figures.points[point]:
            if one.place in figures.asked or one.confirmed:
                continue
            for expected_mm, band, why in _expectations(one, figures, point, of):
                slip = _slip_by_ratio(
                    one, one.mm / expected_mm, band, of.usual(point), flat=of.flat(point) and one.share == 1.0
                )
                if slip is not None:
                    figures.asked.add(one.place)
                    yield _ask(one, POINTS[point].name, slip, why)
                    break
    for typed in figures.points.values():
        question = _far_from_neighbours([one for one in typed if one.place not in figures.asked])
        if question is not None:
            figures.asked.add(question.place)
            yield question


def _all_in_inches(figures: _Figures, of: ReadOn) -> Iterator[Question]:
    """Ask where every figure of a set is as small as a newborn's, and as inches is a grown person's.

    Each alone may pass, and they agree with each other; what was kept, or agrees with the reference, settles it.
    """
    points = [point for point in figures.points if point in PROPORTIONS and figures.points[point]]
    every = [(point, one) for point in points for one in figures.points[point]]
    if len(points) < 2 or of.child or any(one.confirmed or one.length.unit != "cm" for _, one in every):
        return
    inches = UNITS["in"] / UNITS["cm"]
    for point, one in every:
        ratio = one.mm / of.typical(point)
        reference = of.reference.get(point)
        if ratio > _LARGEST_AS_INCHES or not _GROWN[0] <= ratio * inches <= _GROWN[1]:
            return
        if reference is not None and 1 / NEAR_WANTED < one.mm / reference < NEAR_WANTED:
            return
    for point, one in every:
        slip = next((slip for slip in _slips(one, flat=False) if slip.code == "inches"), None)
        if slip is not None:
            figures.asked.add(one.place)
            yield _ask(one, POINTS[point].name, slip, "All of these are as small as a newborn's.")


def _expectations(
    one: _Typed, figures: _Figures, point: str, of: ReadOn
) -> Iterator[tuple[float, tuple[float, float], str]]:
    """Say what a reading should be near [mm], how near, and whence: fellows, garment, other points."""
    others = [two.mm for two in figures.points[point] if two is not one and two.place not in figures.asked]
    if others:
        yield median(others), READ_IN_INCHES, "Your other readings say otherwise."
    if point in of.reference:
        yield of.reference[point], READ_IN_INCHES, of.source
    elif not of.body and not of.half and (expected := _expected(figures, point, of.reference)) is not None:
        yield expected[0], INCHES_BY_PROPORTION, expected[1]


def allowed_range(middle_mm: float, count: int, *, overhang: bool = False) -> float:
    """Range that `count` readings may have [mm]: f(k) times the SD of a reading with its laying (assumed)."""
    hand = OVERHANG_HAND if overhang else TAPE_HAND
    return critical_range(count) * hand.with_laying(middle_mm)


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
    figures = [one.mm for one in typed]
    middle = median(figures)
    if max(figures) - min(figures) <= allowed_range(middle, len(typed), overhang=overhang):
        return None
    # Of two readings both are equally far: the later one is read again.
    far = max(range(len(typed)), key=lambda n: (round(abs(figures[n] - middle), 6), n))
    wild = typed[far]
    if wild.confirmed:
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
        if away <= ADD_UP_MM or first.confirmed:
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
        if first.confirmed or second.confirmed:
            continue
        unit = first.length.unit
        odd = (
            f"{POINTS[inner].name.capitalize()} {_written(small, unit)}, {POINTS[outer].name} "
            f"{_written(large, unit)}: it is mostly the other way round. Is one of them at the wrong point?"
        )
        figures.asked.add(first.place)
        yield Question(first.place, first.read, odd, code=code)


# Counts against lengths


def _ratio_question(place: Place, read: str, ratio: float, swapped: float, meant: str = "") -> Question | None:
    """Ask about rows over stitches on one length that plain knitting does not have."""
    low, high = USUAL_RATIO
    ratio, swapped = round(ratio, 9), round(swapped, 9)  # 57 rows to 30 stitches are 1.9, not a hair more
    if low <= ratio <= high:
        return None
    odd = f"Rows {ratio:.1f} times the stitches; plain knitting is about 1.2 to 1.7."
    if low <= swapped <= high:
        return Question(place, read, f"{odd} Counts swapped?", "Counts swapped", meant, "counts_swapped")
    return Question(place, read, odd, code="rows_to_stitches")


def _size_question(
    typed: _Typed,
    mm: float,
    count: int,
    *,
    row: bool,
    usual: tuple[float, float] = (0.0, math.inf),
    wanted: float | None = None,
    place: Place | None = None,
) -> Question | None:
    """Ask about a stitch or row that hardly any machine knits.

    usual   what the length may be after a slip [mm]
    wanted  what the length should be [mm]; a length near it is left alone
    place   place of the count, where it stands by itself: it is asked about where no slip of the tape fits
    """
    low, high = USUAL_ROW_MM if row else USUAL_STITCH_MM
    if low <= mm / count <= high or typed.confirmed:
        return None
    what, one = ("rows", "a row") if row else ("stitches", "a stitch")
    odd = f"{count} {what} over {typed.read} make {mm / count:.1f} mm {one}; it is mostly {low:g} to {high:g}."
    near = wanted is not None and 1 / NEAR_WANTED < mm / wanted < NEAR_WANTED
    slips = (slip for slip in _slips(typed, flat=False) if usual[0] <= slip.mm <= usual[1])
    fitting = [slip for slip in slips if low <= slip.mm / count <= high]
    slip = None if near else _likeliest(fitting, wanted)
    if slip is None:
        read = f"{count} {what}" if place else typed.read
        return Question(place or typed.place, read, odd, code="stitch_size")
    return Question(
        typed.place, typed.read, " ".join((odd, slip.because)).strip(), slip.words, slip.meant, "stitch_size"
    )


def _swatch(swatch: Swatch, place: Place) -> Iterator[Question]:
    """Ask about a swatch: single readings, the size of a stitch, and rows against stitches."""
    ratio_asked = False
    for number, stage in enumerate(swatch.stages):
        at = place.at("stages", number)
        across, along = _typed(stage.across, at.at("across")), _typed(stage.along, at.at("along"))
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
        if along[0].confirmed or across[0].confirmed:
            continue
        width, height = (median(one.length.value_mm for one in typed) for typed in (across, along))
        stitches, rows = swatch.stitches.between, swatch.rows.between
        other_unit = list(_side_in_other_unit(across, along, stitches, rows))
        if other_unit:
            ratio_asked = True
            yield from other_unit
            continue
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


def _side_in_other_unit(
    across: Sequence[_Typed], along: Sequence[_Typed], stitches: int, rows: int
) -> Iterator[Question]:
    """Ask about the side of a swatch that was read in another unit than it was typed in.

    Taken in that unit, plain knitting has its usual ratio of rows to stitches again, stitch and row are of a usual
    size, and what was read is nearer to a square: nobody reads a swatch 16 cm wide over 53 cm of its height.
    """

    def ratio(width: float, height: float) -> float:
        return round(width / stitches / (height / rows), 9)

    def usual(width: float, height: float) -> bool:
        low, high = USUAL_RATIO
        sizes = (width / stitches, USUAL_STITCH_MM), (height / rows, USUAL_ROW_MM)
        return low <= ratio(width, height) <= high and all(least <= mm <= most for mm, (least, most) in sizes)

    width, height = (median(one.mm for one in typed) for typed in (across, along))
    if USUAL_RATIO[0] <= ratio(width, height) <= USUAL_RATIO[1]:
        return
    for typed, name, of_rows in ((along, "height", True), (across, "width", False)):
        if len({one.length.unit for one in typed}) > 1:
            continue
        for slip in _slips(typed[0], flat=False):
            if slip.code not in _UNIT_NAMES.values():
                continue
            factor = slip.mm / typed[0].mm
            one, two = (width, height * factor) if of_rows else (width * factor, height)
            if not usual(one, two) or abs(math.log(one / two)) >= abs(math.log(width / height)):
                continue
            for read in typed:
                own = next((found for found in _slips(read, flat=False) if found.code == slip.code), None)
                if own is not None and not read.confirmed:
                    odd = (
                        f"{read.read} for the {name} of the swatch? A stitch would be {ratio(width, height):.1f} times "
                        f"as wide as a row is high; in plain knitting it is 1.2 to 1.7. {own.because}"
                    )
                    yield Question(read.place, read.read, odd, own.words, own.meant, own.code)
            return


def _is_plain(knitted: Swatch | Piece) -> bool:
    return knitted.stitch_pattern.casefold() in PLAIN


def _printed_gauge(table: SizeTable, place: Place) -> Iterator[Question]:
    """Ask about a printed gauge; a pattern stitch may well have it, so it is only asked."""
    gauge = table.gauge
    if gauge is None or gauge.stitches is None or gauge.rows is None:
        return
    read = f"{gauge.stitches:g} stitches, {gauge.rows:g} rows"
    question = _ratio_question(
        place.at("gauge"),
        read,
        gauge.rows / gauge.stitches,
        gauge.stitches / gauge.rows,
        f"{gauge.rows:g} stitches, {gauge.stitches:g} rows",
    )
    if question is not None:
        yield question


def _miscounted(
    first: _Typed,
    mm: float,
    count: int,
    *,
    row: bool,
    knits: Knits,
    others: Sequence[float],
    of: ReadOn,
    point: str,
    place: Place,
) -> Question | None:
    """Ask about a count that does not go with its reading at the size of stitch that everything else has.

    The likely slip: a count with one figure amiss that at that size makes what was read, else a reading in another
    unit. What is far off and has no slip is asked about where a swatch or the printed gauge says how far.

    others  sizes that the other counts of the piece make [mm]
    """
    known = [*knits.sizes, *([median(others)] if others else [])]
    size = mm / count
    away = min((abs(math.log(size / other)) for other in known), default=0.0)
    if away <= _ONE_GAUGE_APART:
        return None
    if not knits.sizes and len(others) == 1 and _unusual(size, row=row) < _unusual(others[0], row=row):
        return None  # of two counts the one that makes the odder stitch is asked about
    usual = median(knits.sizes or others)
    what, one = ("rows", "a row") if row else ("stitches", "a stitch")
    says = knits.says if knits.sizes else "the other counts of the piece make it"
    odd = f"{count} {what} over {_written(mm, first.length.unit)} make {size:.1f} mm {one}; {says} {usual:.1f}."
    for counts in digit_slips(count)[: 2 if knits.sizes or len(others) > 1 else 1]:
        near = min(counts, key=lambda other: abs(math.log(mm / other / usual)))
        if abs(math.log(mm / near / usual)) < _ONE_GAUGE:
            return Question(place, f"{count} {what}", odd, f"{near} {what}", str(near), "count_off")
    wanted = of.reference.get(point)
    if not first.confirmed and not (wanted is not None and 1 / NEAR_WANTED < mm / wanted < NEAR_WANTED):
        low, high = of.usual(point)
        for slip in _slips(first, flat=False):  # a piece is never laid round
            if low <= slip.mm <= high and abs(math.log(slip.mm / count / usual)) < _ONE_GAUGE:
                because = " ".join((odd, slip.because)).strip()
                return Question(first.place, first.read, because, slip.words, slip.meant, slip.code)
    if not knits.sizes or away <= _NO_FABRIC_APART:
        return None
    return Question(place, f"{count} {what}", odd, code="count_off")


def _unusual(size: float, *, row: bool) -> float:
    """Say how far a stitch or row is from the middle of what machines knit [log of the ratio]."""
    low, high = USUAL_ROW_MM if row else USUAL_STITCH_MM
    return abs(math.log(size / math.sqrt(low * high)))


def _counts(
    piece: Piece, figures: _Figures, of: ReadOn, gauges: Mapping[bool, Knits], place: Place
) -> Iterator[Question]:
    """Ask about counts of a piece against its readings: points swapped, the size of a stitch, rows for stitches."""
    swapped: set[str] = set()
    for question, pair in _swapped_points(piece, figures, of, gauges, place):
        swapped.update(pair)
        yield question
    sizes: dict[bool, list[tuple[float, str, int]]] = {False: [], True: []}
    made = {
        point: middle / counts.best
        for point, counts in piece.counts.items()
        if counts.best is not None and point not in swapped and (middle := figures.middle(point)) is not None
    }
    for point, counts in piece.counts.items():
        direction = POINTS[point].direction
        row = direction == "along"
        middle = figures.middle(point)
        if counts.best is None or middle is None or direction == "edge" or point in swapped:
            continue
        first = figures.points[point][0]
        asked: Question | None = None
        if not counts.confirmed:
            asked = _miscounted(
                first,
                middle,
                counts.best,
                row=row,
                knits=gauges[row],
                others=[mm for key, mm in made.items() if key != point and POINTS[key].direction == direction],
                of=of,
                point=point,
                place=place.at(point),
            )
        if asked is not None and asked.place != first.place:
            yield asked
            continue
        if not counts.confirmed and asked is None:
            asked = _size_question(
                first,
                middle,
                counts.best,
                row=row,
                usual=of.usual(point),
                wanted=of.reference.get(point),
                place=place.at(point),
            )
        if asked is not None:
            figures.asked.add(first.place)
            yield asked
        else:
            sizes[row].append((middle / counts.best, point, counts.best))
    if not sizes[False] or not sizes[True] or not _is_plain(piece):
        return
    width = median(mm for mm, _, _ in sizes[False])
    height, point, rows = sizes[True][0]
    if figures.points[point][0].confirmed or piece.counts[point].confirmed:
        return
    ratio = _ratio_question(place.at(point), f"{rows} rows", width / height, height / width)
    if ratio is not None:
        yield ratio


def _swapped_points(
    piece: Piece, figures: _Figures, of: ReadOn, gauges: Mapping[bool, Knits], place: Place
) -> Iterator[tuple[Question, tuple[str, str]]]:
    """Ask where the longer of two points has fewer stitches or rows, and swapped the two agree."""
    for direction, what in (("across", "stitches"), ("along", "rows")):
        known = {
            point: (mm, counts.best)
            for point, counts in piece.counts.items()
            if POINTS[point].direction == direction
            and counts.best is not None
            and not counts.confirmed
            and (mm := figures.middle(point) or of.reference.get(point)) is not None
        }
        found: list[tuple[float, str, str]] = []
        for one, two in combinations(known, 2):
            (mm, count), (other_mm, other_count) = known[one], known[two]
            apart = abs(math.log(mm / count / (other_mm / other_count)))
            apart_swapped = abs(math.log(mm / other_count / (other_mm / count)))
            away = [abs(math.log(mm / other_count / size)) for size in gauges[direction == "along"].sizes]
            if away and min(away) > _ONE_GAUGE_APART:
                continue  # swapped they would make a stitch that no swatch has
            if apart > _ONE_GAUGE_APART and apart_swapped < _ONE_GAUGE:
                found.append((apart_swapped, one, two))
        if not found:
            continue
        _, one, two = min(found)
        (mm, count), (other_mm, other_count) = known[one], known[two]
        name = {point: POINTS[point].name.split(",")[0] for point in (one, two)}
        more, fewer = (one, two) if mm > other_mm else (two, one)
        odd = (
            f"The {name[more]} is {'wider' if direction == 'across' else 'longer'} than the {name[fewer]} "
            f"and has fewer {what}, {known[more][1]} against {known[fewer][1]}; swapped, the two agree."
        )
        meant = f"{other_count} at the {name[one]}, {count} at the {name[two]}"
        asked = Question(place.at(one), f"{count} {what}", odd, "Counts swapped", meant, "counts_swapped_points")
        yield asked, (one, two)


# Record by record


def _wearer(wearer: Wearer, place: Place) -> Iterator[Question]:
    figures = _figures(wearer.body, place.at("body"))
    yield from _single_readings(figures, ReadOn(body=True, child=wearer.child))
    head = _typed(wearer.head, place.at("head"))
    odd: set[Place] = set()
    for one in head:
        question = _out_of_range(one, "head", USUAL_HEAD_MM, None, flat=False)
        if question is not None:
            odd.add(one.place)
            yield question
    far = _far_from_neighbours([one for one in head if one.place not in odd])
    if far is not None:
        yield far


def _garment(garment: Garment, children: Collection[str], place: Place) -> Iterator[Question]:
    for number, occasion in enumerate(garment.occasions):
        figures = _figures(occasion.readings, place.at("occasions", number, "readings"))
        yield from _single_readings(figures, ReadOn(child=garment.wearer in children))
        yield from _lengths_add_up(figures)
        yield from _wider(figures, half=False)


def _fabric_of(
    make: Make, household: Household, swatches: Sequence[Swatch]
) -> tuple[Sequence[Swatch], SizeTable | None]:
    """The swatches, of those that nothing is asked about, and the size table that a make names."""
    table = by_key(household.size_tables, make.size_table)
    return [one for one in swatches if one.id in make.swatches], table


def _make(
    make: Make,
    garments: Mapping[str, Garment],
    children: Collection[str],
    fabrics: tuple[Sequence[Swatch], SizeTable | None],
    place: Place,
) -> Iterator[Question]:
    """Ask about the readings of the pieces, then about the wanted numbers: the pieces show what they mean."""
    garment = garments.get(make.fits.garment or "")
    occasions = garment.occasions if garment is not None else []
    pinned = by_key(occasions, make.fits.occasion)
    at_garment = Place("garments", make.fits.garment or "")
    of_garment = _figures(pinned.readings, at_garment) if pinned is not None else _Figures({})
    numbers = _numbers(make, place.at("fits", "numbers"))
    wanted = {point: middle for point in of_garment.points if (middle := of_garment.middle(point)) is not None}
    wanted |= {point: typed[0].mm for point, typed in numbers.points.items()}
    child = make.wearer in children
    of_pieces: dict[str, list[float]] = {}
    asked: list[Question] = []
    for number, piece in enumerate(make.pieces):
        half = piece.piece in HALF_FRONTS
        ratio = {point: POINTS[point].on_piece(piece.piece) for point in POINTS if piece.piece in POINTS[point].pieces}
        of = ReadOn(
            {point: mm * ratio[point] for point, mm in wanted.items() if point in ratio},
            half=half,
            piece=True,
            child=child,
            # A worn garment hangs longer than it was when it was washed; on which day it was laid on, nobody says.
            laid_on=of_garment if pinned is not None and pinned.state != "worn" and not half else None,
        )
        latest: dict[str, float] = {}
        gauges = known_gauges(piece, *fabrics)
        for stage_number, stage in enumerate(piece.stages):
            at = place.at("pieces", number)
            stage_at = at.at("stages", stage_number)
            figures = _figures(stage.readings, stage_at.at("readings"))
            asked += _piece_stage(piece, stage, figures, of, gauges, (at, stage_at))
            middles = ((point, figures.middle(point)) for point in figures.points)
            latest |= {point: mm / ratio[point] for point, mm in middles if mm is not None}
        for point, mm in latest.items():
            if not (CONSTRUCTIONS[make.construction].panels and POINTS[point].flat and piece.piece in BODY):
                of_pieces.setdefault(point, []).append(mm)
    reference = {point: median(every) for point, every in of_pieces.items()}
    yield from _single_readings(numbers, ReadOn(reference, "The piece was read otherwise.", child=child))
    yield from _far_from_piece(numbers, reference)
    yield from _lengths_add_up(numbers)
    yield from _wider(numbers, half=False)
    # A count belongs to the piece and may be odd at two of its stages: it is asked about once, where a slip is likely.
    slips = {one.place: one for one in reversed(asked) if one.meant}
    once = {one.place: one for one in reversed(asked)} | slips
    yield from (once[place] for place in dict.fromkeys(one.place for one in asked))


def _numbers(make: Make, place: Place) -> _Figures:
    """Return the wanted numbers as figures of the flat garment."""
    points: dict[str, list[_Typed]] = {}
    for point, number in make.fits.numbers.items():
        share = 1.0
        if number.meant == "round" and POINTS[point].flat:
            share = 0.5
        elif number.meant == "piece":
            share = 1.0 / POINTS[point].per_piece
        points[point] = [_Typed(place.at(point), number.length, number.confirmed, share=share)]
    return _Figures(points)


def _far_from_piece(numbers: _Figures, reference: Mapping[str, float]) -> Iterator[Question]:
    """Ask about a wanted number that no piece would ever miss by so much."""
    for point, (one, *_) in numbers.points.items():
        if point not in reference or one.confirmed or one.place in numbers.asked:
            continue
        ratio = one.mm / reference[point]
        if 1 / NEAR_WANTED <= ratio <= NEAR_WANTED:
            continue
        unit = one.length.unit
        odd = f"{one.read} for the {POINTS[point].name}? The piece was read {_written(reference[point], unit)}."
        if _HALF[0] <= ratio <= _HALF[1]:
            twice = _written(2 * one.length.value_mm, unit)
            numbers.asked.add(one.place)
            yield Question(one.place, one.read, odd, f"It was half: {twice} whole", twice, "half_measure")
        else:
            yield Question(one.place, one.read, odd, code="far_from_piece")


def _piece_stage(
    piece: Piece,
    stage: PieceStage,
    figures: _Figures,
    of: ReadOn,
    gauges: Mapping[bool, Knits],
    places: tuple[Place, Place],
) -> Iterator[Question]:
    """Ask about one stage of a piece; `places` are those of the piece and of the stage."""
    yield from _folded(figures, of)
    yield from _single_readings(figures, of)
    yield from _lengths_add_up(figures)
    yield from _wider(figures, of.half)
    yield from _counts(piece, figures, of, gauges, places[0].at("counts"))
    every = {point: _typed(one, places[1].at("overhangs", point)) for point, one in stage.overhangs.items()}
    slips = _overhangs_in_millimetres(every)
    for point, typed in every.items():
        odd: set[Place] = set()
        for one in typed:
            if one.confirmed:
                continue
            if one.place in slips:
                odd.add(one.place)
                yield slips[one.place]
            elif abs(one.mm) > LARGEST_OVERHANG_MM:
                odd.add(one.place)
                yield _overhang(one, POINTS[point].name)
        far = _far_from_neighbours([one for one in typed if one.place not in odd], overhang=True)
        if far is not None:
            odd.add(far.place)
            yield far
        if odd:
            every[point] = []
    yield from _overhangs_against_tape(every, figures, of)


def _folded(figures: _Figures, of: ReadOn) -> Iterator[Question]:
    """Ask about a sleeve that was read folded: half of what it is laid open."""
    for point, typical in _SLEEVE_FLAT.items():
        if point not in of.reference:
            continue
        flat = of.reference[point] / POINTS[point].per_piece
        # A wanted figure that is round itself makes an open sleeve look folded.
        if abs(math.log(flat / typical)) > abs(math.log(flat / 2 / typical)):
            continue
        for one in figures.points.get(point, ()):
            if one.confirmed or not _FOLDED[0] <= one.mm / of.reference[point] <= _FOLDED[1]:
                continue
            unit = one.length.unit
            odd = (
                f"{one.read} across the {POINTS[point].name} of the sleeve? Laid open it would be about twice "
                f"the garment's flat {write_bare(flat, unit)}. Read folded?"
            )
            figures.asked.add(one.place)
            meant = _written(2 * one.length.value_mm, unit)
            yield Question(one.place, one.read, odd, "It was folded", meant, "folded")


def _overhangs_in_millimetres(every: Mapping[str, Sequence[_Typed]]) -> dict[Place, Question]:
    """Ask about overhangs in cm that only as mm are like the others of the piece."""
    large = {point for point, typed in every.items() for one in typed if abs(one.mm) >= LARGE_OVERHANG_MM}
    rest = [one for typed in every.values() for one in typed if abs(one.mm) < LARGE_OVERHANG_MM]
    if not rest or 2 * len(large) > len(every) + 1 or any(abs(one.mm) >= SMALL_OVERHANG_MM for one in rest):
        return {}
    found: dict[Place, Question] = {}
    for point in large:
        for one in every[point]:
            meant = _retyped(one, "mm", one.mm / 10) if one.length.unit == "cm" else ""
            if not meant or not LARGE_OVERHANG_MM <= abs(one.mm) < 10 * SMALL_OVERHANG_MM:
                continue
            odd = (
                f"{one.read} off at the {POINTS[point].name}? The other overhangs are below "
                f"{_written(SMALL_OVERHANG_MM, 'cm')}. As millimetres it would be "
                f"{write_length(one.mm / 10, 'cm', signed=True)}."
            )
            found[one.place] = Question(one.place, one.read, odd, "It was millimetres", meant, "ten_times")
    return found


def _overhangs_against_tape(every: Mapping[str, Sequence[_Typed]], figures: _Figures, of: ReadOn) -> Iterator[Question]:
    """Ask where a piece sticks out over its garment by another amount than the tape read on both makes it.

    The overhang is piece minus garment with the seam stitches left on, and so is the difference of the two tape
    readings. n points that have both are asked about beyond z SDs of the difference of the two ways, P(|Z| > z) =
    0.01 / n, so that one honest session of a hundred at most is asked for nothing. The SDs are the assumed ones.
    """
    if of.laid_on is None:
        return
    both: list[tuple[str, float, float, float]] = []
    for point, typed in every.items():
        piece, garment = figures.middle(point), of.laid_on.middle(point)
        if not typed or piece is None or garment is None or any(one.confirmed for one in typed):
            continue
        times = POINTS[point].per_piece
        variance = (
            _middle_var(OVERHANG_HAND, garment, len(typed), 1)
            + _tape_var(piece / times, figures.points[point])
            + _tape_var(garment, of.laid_on.points[point])
        )
        both.append((point, piece / times, garment, math.sqrt(variance)))
    if not both:
        return
    limit = NormalDist().inv_cdf(1 - NEEDLESS_IN_A_HUNDRED / (2 * len(both)))
    for point, piece, garment, sd in both:
        typed = every[point]
        laid = median(one.mm for one in typed)
        if abs(laid - (piece - garment)) <= limit * sd:
            continue
        unit = "in" if typed[0].length.unit == "in" else "cm"
        step = UNITS["in"] / 8 if unit == "in" else 1.0
        on_piece, on_garment = (step * math.floor(mm / step + 0.5) for mm in (piece, garment))
        odd = (
            f"By the tape it would be {write_length(on_piece - on_garment, unit, signed=True)} at the "
            f"{POINTS[point].name}: {_written(on_piece, unit)} on the piece, {_written(on_garment, unit)} on the "
            "garment, the seam stitches left on. Lay it on again and type what sticks out."
        )
        yield Question(typed[0].place, typed[0].read, odd, code="overhang_against_tape")


def _middle_var(hand: Hand, length_mm: float, readings: int, layings: int) -> float:
    """Variance of the middle of so many readings of so many layings [mm2]."""
    reading, laying = hand.reading(length_mm), hand.laying(length_mm)
    wide = MEDIAN_FACTOR if readings > 2 else 1.0
    return (wide * reading) ** 2 / readings + (wide if layings > 2 else 1.0) ** 2 * laying**2 / layings


def _tape_var(length_mm: float, typed: Sequence[_Typed]) -> float:
    """Variance of the middle of tape readings [mm2]."""
    return _middle_var(TAPE_HAND, length_mm, len(typed), len({one.laying for one in typed}))


def _overhang(typed: _Typed, name: str) -> Question:
    """Ask about a piece that lies far off its garment: its own length, or millimetres, were typed."""
    odd = f"{typed.read} off at the {name}? So far off a piece hardly lies on its garment."
    tenth = typed.mm / 10
    if abs(tenth) > LARGEST_OVERHANG_MM:
        return Question(typed.place, typed.read, odd, code="large_overhang")
    meant = _written(tenth, typed.length.unit)
    return Question(typed.place, typed.read, odd, meant, meant, "large_overhang")
