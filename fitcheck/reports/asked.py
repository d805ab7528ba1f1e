"""What is asked about the records of a make, and which of its points and counts that leaves open."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Literal

from fitcheck.records.faults import Question
from fitcheck.records.garments import Garment, Occasion
from fitcheck.records.households import Household
from fitcheck.records.makes import Make, Piece
from fitcheck.records.plausibility import questions

Answer = Literal["confirmed", "set_aside"]
"""The two answers to a question about a reading."""
_AS_MARKED = {"confirmed": {"confirmed": True}, "set_aside": {"set_aside": "questioned"}}


def asked_of(named: Household) -> tuple[Question, ...]:
    """What is unlikely in the records and not confirmed; a place has the record's key instead of its number."""
    return tuple(replace(question, place=_by_key(question.place, named)) for question in questions(named))


def _by_key(place: str, named: Household) -> str:
    """The same place whatever else the household keeps."""
    found = re.match(r"([a-z_]+)\[(\d+)\]", place)
    if not found:
        return place
    return f"{found[1]}[{getattr(named, found[1])[int(found[2])].id}]{place[found.end() :]}"


def _of_piece(make: Make, piece: Piece) -> str:
    return f"makes[{make.id}].pieces[{make.pieces.index(piece)}]."


def counts_asked(make: Make, asked: tuple[Question, ...]) -> frozenset[tuple[str, str]]:
    """Counts that are asked about and not answered: keys of piece and point."""
    return frozenset(
        (piece.id, question.place.removeprefix(at))
        for piece in make.pieces
        for at in (f"{_of_piece(make, piece)}counts.",)
        for question in asked
        if question.place.startswith(at)
    )


def points_asked(
    keys: list[str],
    make: Make,
    piece: Piece,
    reference: tuple[Garment | None, Occasion | None],
    asked: tuple[Question, ...],
) -> list[str]:
    """Those of some points with a reading or count of the piece or its garment that is asked about and not answered."""
    mine = [_of_piece(make, piece), f"makes[{make.id}].fits."]
    garment, occasion = reference
    if garment is not None and occasion is not None:
        mine.append(f"garments[{garment.id}].occasions[{garment.occasions.index(occasion)}].")
    places = [question.place for question in asked if question.place.startswith(tuple(mine))]
    return [key for key in keys if any(re.search(rf"\.{key}\b", place) for place in places)]


def answered(make: Make, piece: Piece, asked: tuple[Question, ...], answer: Answer) -> Piece | None:
    """The piece as if every question were answered alike; None where one is about more than a reading of several.

    A count, a reading of another record, or the only reading of a point cannot be left out.
    """
    place = re.compile(rf"{re.escape(_of_piece(make, piece))}stages\[(\d+)\]\.(\w+)\.(\w+)\[(\d+)\]")
    stages = list(piece.stages)
    for question in asked:
        found = place.fullmatch(question.place)
        if found is None:
            return None
        number, tape, point, at = int(found[1]), found[2], found[3], int(found[4])
        stage = stages[number]
        readings = list(getattr(stage, tape)[point])
        # An overhang against the tape is about all the overhangs of the point.
        every = question.code == "overhang_against_tape"
        if len(readings) < 2 and not every:
            return None
        for which in range(len(readings)) if every else (at,):
            readings[which] = readings[which].model_copy(update=_AS_MARKED[answer])
        stages[number] = stage.model_copy(update={tape: {**getattr(stage, tape), point: readings}})
    return piece.model_copy(update={"stages": stages})
