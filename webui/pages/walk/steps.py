"""The steps of the measuring walk: which points, in which order, which round, and what the phone asks about."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from statistics import median
from typing import Any, Literal

from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.garments import Garment
from fitcheck.records.hand import OVERHANG_HAND, TAPE_HAND
from fitcheck.records.households import by_key
from fitcheck.records.lengths import LengthError, read_length, write_bare
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import FRONTS, HALF_FRONTS, ORDER, POINTS
from fitcheck.records.questions import usual as rules
from fitcheck.records.questions.lengths_of_a_point import ReadOn
from fitcheck.records.readings import MAX_LOOKS, Reading
from fitcheck.reports.shapes import Report
from fitcheck.store.places import Where
from fitcheck.words import point_name
from fitcheck.words.odd import AGAINST

How = Literal["piece", "overhang", "both"]
Side = Literal["piece", "garment"]
HOWS: tuple[How, ...] = ("piece", "overhang", "both")

MOST_TIMES = 4
"""Readings of one point that a round asks for at most; where more would be needed the answer does not count them."""
_MORE = re.compile(r"([a-z_.]{1,60}):([23]):([2-4])")
MOST_READINGS = 12
"""Readings of one point up to which the phone knows the critical range."""
EIGHTHS = ("0", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8")
"""The marks of an inch of tape, by their number."""


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to read: a point of the piece, or of the sweater beside it.

    id        the point, with ".garment" behind it for the sweater
    where     the list of readings in the store
    readings  those that count
    """

    id: str
    point: str
    side: Side
    where: Where
    readings: tuple[Reading, ...]

    @property
    def looks(self) -> int:
        """Rounds that have read it."""
        return max((one.look for one in self.readings), default=0)

    def laying(self, look: int) -> int:
        """The laying that readings of a round are of: each round lays the piece anew."""
        return 1 + max((one.laying or 1 for one in self.readings if one.look < look), default=0)


@dataclass(frozen=True, slots=True)
class Round:
    """The round that is being read.

    look    1 to 3; None when nothing more is to be read
    steps   ids in their order, those read already among them
    times   how often a step is read in it, where the answer asks for more than once; laid anew each time
    """

    look: int | None
    steps: tuple[str, ...]
    times: Mapping[str, int] = field(default_factory=dict)

    def is_done(self, step: Step) -> bool:
        """Whether it has read a step as often as it asks."""
        return self.look is not None and self.read(step) >= self.times.get(step.id, 1)

    def read(self, step: Step) -> int:
        """How often it, or a later one, has read a step."""
        return sum(one.look >= (self.look or 0) for one in step.readings)

    def laying(self, step: Step, look: int) -> int:
        """The laying of the next reading of a step: every reading its own, where it is read several times."""
        return step.laying(look) + (self.read(step) if step.id in self.times else 0)


def fitting_how(asked: str | None, make: Make, piece: Piece, stage: int) -> How:
    """How the piece is read: as asked where that is possible, else as it was read before."""
    garment = make.fits.garment is not None
    if asked == "piece" or (asked == "both" and garment):
        return "both" if asked == "both" else "piece"
    if asked == "overhang":
        return "overhang"
    at = piece.stages[stage]
    return "overhang" if at.overhangs and not at.readings else "piece"


def points_to_read(make: Make, piece: Piece, stage: int, garment: Garment | None) -> list[str]:
    """The points of the walk: those that something speaks for or that were read, else the usual ones of the piece.

    In the catalogue's order, which begins with what no later piece can mend.
    """
    lacks = CONSTRUCTIONS[make.construction].lacks
    carried = {key for key, point in POINTS.items() if point.is_on(piece.piece) and key not in lacks}
    at = piece.stages[stage]
    spoken = {*make.fits.numbers, *make.fits.ease, *at.readings, *at.overhangs}
    occasion = by_key(garment.occasions, make.fits.occasion) if garment else None
    if occasion is not None:
        spoken |= occasion.readings.keys()
    chosen = carried & spoken
    if not chosen:
        chosen = {key for key in carried if POINTS[key].usual}
    if "neck_width" in chosen:
        chosen.discard("neck_inside")
    return sorted(chosen, key=lambda key: ORDER[key])


def steps_of(
    make: Make, piece: Piece, stage: int, garment: Garment | None, how: How, points: Sequence[str]
) -> list[Step]:
    """The steps in their order: point by point, the sweater before the piece where both lie on the table."""
    at = piece.stages[stage]
    kind = "overhangs" if how == "overhang" else "readings"
    lists: Mapping[str, Sequence[Reading]] = at.overhangs if how == "overhang" else at.readings
    steps = []
    for key in points:
        if how == "both" and garment is not None:
            occasion = next(one for one in garment.occasions if one.id == make.fits.occasion)
            where = Where("garments", garment.id, f"occasions/{occasion.id}/readings/{key}")
            steps.append(Step(f"{key}.garment", key, "garment", where, _counting(occasion.readings.get(key, ()))))
        where = Where("makes", make.id, f"pieces/{piece.id}/stages/{stage}/{kind}/{key}")
        steps.append(Step(key, key, "piece", where, _counting(lists.get(key, ()))))
    return steps


def _counting(readings: Sequence[Reading]) -> tuple[Reading, ...]:
    return tuple(one for one in readings if one.counts)


def open_points(found: Report | None) -> dict[str, set[Side]]:
    """The points that more tape would settle, each with the sides to read again."""
    if found is None:
        return {}
    sides: dict[str, set[Side]] = {}
    for point in found.points:
        if point.code == "too_close" and point.reason != "on_the_line" and point.side is not None:
            sides.setdefault(point.key, set()).add(_side(point.side))
    advice = found.recommendation
    if not isinstance(advice, CannotSay) and advice.action == "measure_again" and advice.about:
        sides.setdefault(advice.about, set()).add(_side(advice.side))
    return sides


def _side(side: str | None) -> Side:
    return "garment" if side == "reference" else "piece"


def round_of(steps: Sequence[Step], open_: Mapping[str, Collection[Side]], *, leave_unread: bool = False) -> Round:
    """The round to read: every step once, then only what is not settled, three rounds at most.

    leave_unread  what was skipped stays unread, and the next round begins
    """
    if not leave_unread and any(step.looks == 0 for step in steps):
        return Round(1, tuple(step.id for step in steps))
    waiting = [step for step in steps if 0 < step.looks < MAX_LOOKS and step.side in open_.get(step.point, ())]
    if not waiting:
        return Round(None, ())
    look = 1 + min(step.looks for step in waiting)
    again = {step.id for step in waiting if step.looks + 1 == look}
    return Round(look, tuple(step.id for step in steps if step.looks >= look or step.id in again))


def times_of(found: Report | None, round_: Round, steps: Sequence[Step]) -> dict[str, int]:
    """How often a round reads the point that the answer asks about, where it asks for more than one reading."""
    advice = None if found is None else found.recommendation
    if advice is None or isinstance(advice, CannotSay) or advice.action != "measure_again" or (round_.look or 1) < 2:
        return {}
    wanted = advice.readings or 1
    about = next((one for one in steps if (one.point, one.side) == (advice.about, _side(advice.side))), None)
    if about is None or about.id not in round_.steps or not 1 < wanted <= MOST_TIMES:
        return {}
    return {about.id: wanted}


def carried_on(round_: Round, more: str, steps: Sequence[Step]) -> Round:
    """A round whose point is read several times, from what its pages carry along: "chest:3:2", look 3, twice.

    The first of those readings changes the answer, and with it the round to come.
    """
    found = _MORE.fullmatch(more)
    if found is None or all(step.id != found[1] for step in steps):
        return round_
    step_id, look, times = found[1], int(found[2]), int(found[3])
    there = set(round_.steps) if round_.look == look else set()
    kept = tuple(step.id for step in steps if step.id == step_id or step.id in there or step.looks >= look)
    return Round(look, kept, {step_id: times})


# What the phone asks about


def wanted_mm(make: Make, piece: Piece, garment: Garment | None) -> dict[str, float]:
    """What each point of the piece is compared with when it is typed [mm]: the sweater's or the wanted figure."""
    flat: dict[str, float] = {}
    occasion = by_key(garment.occasions, make.fits.occasion) if garment else None
    if occasion is not None:
        for key, readings in occasion.readings.items():
            if values := [one.length.value_mm for one in _counting(readings)]:
                flat[key] = median(values)
    for key, number in make.fits.numbers.items():
        share = 0.5 if number.meant == "round" and POINTS[key].flat else 1.0
        if number.meant == "piece":
            share = 1.0 / POINTS[key].per_piece
        flat[key] = number.length.value_mm * share
    kind = piece.piece
    return {key: mm * POINTS[key].on_piece(kind) for key, mm in flat.items() if kind in POINTS[key].pieces}


def check_of(step: Step, piece: Piece, references: Mapping[str, float], how: How) -> dict[str, Any]:
    """What the phone needs to question a reading of a step, by the rules of records/questions."""
    half = piece.piece in HALF_FRONTS
    of_piece = step.side == "piece"
    on = ReadOn(half=half and of_piece, piece=of_piece)
    low, high = on.usual(step.point)
    return {
        "name": POINTS[step.point].name,
        "overhang": how == "overhang",
        "low": low,
        "high": high,
        "flat": on.flat(step.point),
        "references": dict(references) if of_piece and how != "overhang" else {},
        "source": AGAINST[on.source],
        "proportions": not on.half,
        "per_piece": POINTS[step.point].on_piece(piece.piece),
    }


def rules_for_phone(unit: str) -> dict[str, Any]:
    """The numbers of records/questions that the phone's questions use."""
    return {
        "unit": unit,
        "proportions": dict(rules.PROPORTIONS),
        "names": {key: POINTS[key].name for key in rules.PROPORTIONS},
        "inch": list(rules.READ_IN_INCHES),
        "inch_by_proportion": list(rules.INCHES_BY_PROPORTION),
        "round": list(rules.READ_ROUND),
        "near": rules.NEAR_WANTED,
        "largest_overhang": rules.LARGEST_OVERHANG_MM,
        "tape_hand": asdict(TAPE_HAND),
        "overhang_hand": asdict(OVERHANG_HAND),
        "critical": [rules.critical_range(count) for count in range(2, MOST_READINGS + 1)],
    }


# What was typed without JavaScript

_WHOLE = re.compile(r"\d{0,4}")


def typed_text(reading: str, eighths: str = "", sign: str = "") -> str:
    """Put the figure, the eighths of an inch and the way an overhang lies together, as a person would write it.

    Raises LengthError where they do not go together.

    >>> typed_text("20", "3")
    '20 3/8'
    >>> typed_text("1.5", sign="short")
    '-1.5'
    """
    text = reading.strip()
    part = EIGHTHS[int(eighths)] if eighths in tuple("1234567") else ""
    if part:
        if not _WHOLE.fullmatch(text):
            accepts = "A whole number of inches beside the eighths."
            raise LengthError("fraction_and_decimals", f"{text} and {part}", accepts)
        text = f"{text} {part}".strip()
    if sign == "level":
        if text.strip("0., ") and text.lower() not in ("level", "even"):
            raise LengthError("not_a_length", text, "Level means 0. Which of the two is it?")
        return "level"
    if sign in ("out", "short") and text and text[0] not in "+-−–":
        return f"{'+' if sign == 'out' else '-'}{text}"
    return text


def needs_sign(text: str, unit: str) -> bool:
    """Whether an overhang does not say which way it lies."""
    try:
        length = read_length(text, unit=unit, signed=True)
    except LengthError:
        return False
    return length.value_mm > 0 and not text.startswith("+")


def spread_words(readings: Sequence[Reading], parts: int = 8) -> str:
    """Readings of one point beside each other, shown once the latest is kept: "51.8, 51.6: 0.2 apart".

    parts  the finest part of an inch that is written: 8 or 16
    """
    if len(readings) < 2:
        return ""
    values = [one.length.value_mm for one in readings]
    apart = write_bare(max(values) - min(values), readings[-1].length.unit, parts=parts)
    return f"{', '.join(one.text for one in readings)}: {apart} apart"


def title_of(point: str) -> str:
    """A point's name as a heading; widths of a round measure say that they are flat."""
    name = point_name(point)
    more = ", flat" if POINTS[point].flat else ""
    return f"{name[:1].upper()}{name[1:]}{more}"


def where_sentence(point: str, piece: Piece) -> str:
    """Where the tape goes, one sentence."""
    if point == "neck_depth" and piece.piece in FRONTS:
        return "From the level of the neck points straight down to the lowest point of the neck edge."
    return POINTS[point].tape
