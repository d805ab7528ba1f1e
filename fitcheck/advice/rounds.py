"""Reading a piece in rounds: which points, in which order, and what the next round reads once more."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import field
from typing import Literal

from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.frozen import frozen
from fitcheck.records.garments import Garment
from fitcheck.records.households import by_key
from fitcheck.records.makes import Make, Piece
from fitcheck.records.places import Place
from fitcheck.records.points import FRONTS, ORDER, POINTS, SLEEVES
from fitcheck.records.readings import MAX_LOOKS, Reading

How = Literal["piece", "overhang", "both"]
Side = Literal["piece", "garment"]
HOWS: tuple[How, ...] = ("piece", "overhang", "both")
"""Ways to read: the piece by itself, laid on the sweater, or the sweater beside it."""


@frozen
class Step:
    """One thing to read: a point of the piece, or of the sweater beside it.

    id        the point, with ".garment" behind it for the sweater
    place     the list of its readings
    readings  those that count
    """

    id: str
    point: str
    side: Side
    place: Place
    readings: tuple[Reading, ...]

    @property
    def looks(self) -> int:
        """Rounds that have read it."""
        return max((reading.look for reading in self.readings), default=0)

    def laying(self, look: int) -> int:
        """The laying that readings of a round are of: each round lays the piece anew."""
        return 1 + max((reading.laying or 1 for reading in self.readings if reading.look < look), default=0)


@frozen
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
        return sum(reading.look >= (self.look or 0) for reading in step.readings)

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
            occasion = next(each for each in garment.occasions if each.id == make.fits.occasion)
            place = Place("garments", garment.id, ("occasions", occasion.id, "readings", key))
            steps.append(Step(f"{key}.garment", key, "garment", place, counting(occasion.readings.get(key, ()))))
        place = Place("makes", make.id, ("pieces", piece.id, "stages", stage, kind, key))
        steps.append(Step(key, key, "piece", place, counting(lists.get(key, ()))))
    return steps


def counting(readings: Sequence[Reading]) -> tuple[Reading, ...]:
    """Those of some readings that count."""
    return tuple(reading for reading in readings if reading.counts)


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


def every_piece_read(make: Make) -> bool:
    """Whether every piece of the construction was read as it will be worn; halves count where both were."""
    read = {
        piece.piece
        for piece in make.standing
        if any(stage.kind == "blocked" and (stage.readings or stage.overhangs) for stage in piece.stages)
    }
    halves = {"front": FRONTS[1:], "sleeve": SLEEVES[1:]}
    return all(
        kind in read or (kind in halves and read.issuperset(halves[kind]))
        for kind in CONSTRUCTIONS[make.construction].pieces
    )
