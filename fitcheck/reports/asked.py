"""What is asked about the records of a make: which of its points and counts that leaves open."""

from __future__ import annotations

from typing import Literal

from fitcheck.records.garments import Garment, Occasion
from fitcheck.records.makes import Make, Piece
from fitcheck.records.places import Place
from fitcheck.records.questions.question import BreaksRepeat, OddApart, Question

Answer = Literal["confirmed", "set_aside"]
"""The two answers to a question about a reading."""
_AS_MARKED = {"confirmed": {"confirmed": True}, "set_aside": {"set_aside": "questioned"}}


def _place_of(make: Make, piece: Piece) -> Place:
    # By its key: `index` would compare whole records.
    return Place("makes", make.id, ("pieces", [other.id for other in make.pieces].index(piece.id)))


def counts_asked(make: Make, asked: tuple[Question, ...]) -> frozenset[tuple[str, str]]:
    """Counts that are asked about and not answered: keys of piece and point."""
    return frozenset(
        (piece.id, question.place.point)
        for piece in make.pieces
        for counts in (_place_of(make, piece).at("counts"),)
        for question in asked
        if question.place.within(counts) and question.place.point and not question.by_the_way
    )


def uneven_counts(make: Make, piece: Piece, asked: tuple[Question, ...]) -> dict[str, tuple[int, ...]]:
    """Counts of the piece that the pattern does not make and nobody kept: per point those that it makes instead."""
    place = _place_of(make, piece).at("counts")
    uneven: dict[str, tuple[int, ...]] = {}
    for question in asked:
        key, count = question.place.point, question.count
        if not question.place.within(place) or key is None or count is None:
            continue
        match question.odd:
            case BreaksRepeat(_, below, above):
                uneven[key] = (below, above)
            case OddApart(other, theirs):
                uneven[key] = (count - 1, count + 1)
                uneven.setdefault(other, (theirs - 1, theirs + 1))
    return uneven


def points_asked(
    keys: list[str],
    make: Make,
    piece: Piece,
    reference: tuple[Garment | None, Occasion | None],
    asked: tuple[Question, ...],
) -> tuple[str, ...]:
    """Those of some points with a reading or count of the piece or its garment that is asked about and not answered.

    What is asked by the way counts meanwhile.
    """
    mine = [_place_of(make, piece), Place("makes", make.id, ("fits",))]
    garment, occasion = reference
    if garment is not None and occasion is not None:
        mine.append(Place("garments", garment.id, ("occasions", garment.occasions.index(occasion))))
    points = {
        question.place.point
        for question in asked
        if not question.by_the_way and any(question.place.within(place) for place in mine)
    }
    return tuple(key for key in keys if key in points)


def answered(make: Make, piece: Piece, asked: tuple[Question, ...], answer: Answer) -> Piece | None:
    """The piece as if every question were answered alike; None where one is about more than a reading of several.

    A count, a reading of another record, or the only reading of a point cannot be left out.
    """
    of_piece = _place_of(make, piece)
    stages = list(piece.stages)
    for question in asked:
        if question.by_the_way:
            continue
        if not question.place.within(of_piece):
            return None
        match question.place.path[len(of_piece.path) :]:
            case ("stages", int(number), str(tape), str(point), int(reading)):
                stage = stages[number]
            case _:
                return None
        readings = list(getattr(stage, tape)[point])
        # An overhang against the tape is about all the overhangs of the point.
        every = question.code == "overhang_against_tape"
        if len(readings) < 2 and not every:
            return None
        for which in range(len(readings)) if every else (reading,):
            readings[which] = readings[which].model_copy(update=_AS_MARKED[answer])
        stages[number] = stage.model_copy(update={tape: {**getattr(stage, tape), point: readings}})
    return piece.model_copy(update={"stages": stages})
