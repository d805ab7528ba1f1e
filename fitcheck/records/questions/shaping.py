"""Knitted counts of a piece against the pattern: whole repeats, and shaping alike on both sides (fit rule 25)."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from fitcheck.records.makes import Counts, Make, Piece
from fitcheck.records.places import Place
from fitcheck.records.points import BODY, HALF_FRONTS, POINTS
from fitcheck.records.questions.gauge import counted
from fitcheck.records.questions.question import BreaksRepeat, OddApart, Question


def shaping_questions(piece: Piece, make: Make, place: Place, asked: Collection[str | None]) -> Iterator[Question]:
    """Ask about a knitted count that is no whole repeats, and about an odd difference of chest and shoulders.

    What the make plans so, was counted on the piece or was kept is not asked about.
    place  that of the piece's counts
    asked  points whose counts are asked about already
    """
    believed = {
        key: counts.knitted
        for key, counts in piece.counts.items()
        if counts.knitted is not None and key not in asked and _is_open(key, counts, piece, make)
    }
    for key, count in believed.items():
        over = (count - make.balance) % make.multiple
        if POINTS[key].repeats and over:
            odd = BreaksRepeat(make.multiple, count - over, count - over + make.multiple)
            yield Question(place.at(key), counted(count, row=False), "", "count_breaks_repeat", odd, count=count)
    chest, shoulder = believed.get("chest"), believed.get("shoulder_width")
    if chest is None or shoulder is None or piece.piece not in BODY or piece.piece in HALF_FRONTS:
        return
    if (chest - shoulder) % 2:
        read = counted(shoulder, row=False)
        yield Question(
            place.at("shoulder_width"), read, "", "counts_odd_apart", OddApart("chest", chest), count=shoulder
        )


def _is_open(key: str, counts: Counts, piece: Piece, make: Make) -> bool:
    planned = {str(point): count for point, count in make.planned.get(piece.piece, {}).items()}
    return not counts.confirmed and counts.counted is None and counts.knitted != planned.get(key)
