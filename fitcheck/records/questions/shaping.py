"""Counts of a piece against the pattern: whole repeats, and shaping alike on both sides (fit rule 25)."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from fitcheck.records.makes import Counts, Make, Piece
from fitcheck.records.places import Place
from fitcheck.records.points import BODY, HALF_FRONTS, POINTS, PieceKind
from fitcheck.records.questions.gauge import counted
from fitcheck.records.questions.question import BreaksRepeat, OddApart, Question
from fitcheck.records.size_tables import EVEN, SizeTable


def repeat_said(make: Make, table: SizeTable | None) -> tuple[int, int]:
    """Stitches of the pattern repeat, and those over, as somebody said them: the make's, else the table's."""
    if make.multiple == 1 and table is not None and table.multiple != EVEN:
        return table.multiple, table.balance
    return make.multiple, make.balance


def shaping_questions(
    piece: Piece, make: Make, table: SizeTable | None, place: Place, asked: Collection[str | None]
) -> Iterator[Question]:
    """Ask about a knitted count that is no whole repeats, and about an odd difference of chest and shoulders.

    What the make plans so, was counted on the piece or was kept is not asked about.
    table  the pattern's sizes
    place  that of the piece's counts
    asked  points whose counts are asked about already
    """
    believed = {
        key: counts.knitted
        for key, counts in piece.counts.items()
        if counts.knitted is not None and key not in asked and _is_open(key, counts, piece, make)
    }
    for key, count in believed.items():
        broken = breaks_repeat(key, count, *repeat_said(make, table))
        if broken is not None:
            yield Question(place.at(key), counted(count, row=False), "", "count_breaks_repeat", broken, count=count)
    apart = odd_apart(piece.piece, believed)
    if apart is not None:
        shoulder = believed["shoulder_width"]
        read = counted(shoulder, row=False)
        yield Question(place.at("shoulder_width"), read, "", "counts_odd_apart", apart, count=shoulder)


def breaks_repeat(key: str, count: int, multiple: int, balance: int) -> BreaksRepeat | None:
    """The whole repeats nearest to a count that is none, at a width that holds whole ones; else None.

    multiple, balance  stitches of the pattern repeat, and those over
    """
    over = (count - balance) % multiple
    if not over or not POINTS[key].repeats:
        return None
    return BreaksRepeat(multiple, count - over, count - over + multiple)


def odd_apart(kind: PieceKind, counts: Mapping[str, int]) -> OddApart | None:
    """Whether chest and shoulders of a body piece differ by an odd number; None where they do not, or one is unsaid."""
    chest, shoulder = counts.get("chest"), counts.get("shoulder_width")
    if chest is None or shoulder is None or kind not in BODY or kind in HALF_FRONTS:
        return None
    return OddApart("chest", chest) if (chest - shoulder) % 2 else None


def _is_open(key: str, counts: Counts, piece: Piece, make: Make) -> bool:
    planned = {str(point): count for point, count in make.planned.get(piece.piece, {}).items()}
    if counts.knitted is not None and make.keeps(piece.piece, key, counts.knitted):
        return False
    return not counts.confirmed and counts.counted is None and counts.knitted != planned.get(key)
