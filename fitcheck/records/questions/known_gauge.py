"""What a piece's stitches and rows must measure by its swatches or the printed gauge, and how a count is mistyped."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from statistics import median

from fitcheck.records.frozen import frozen
from fitcheck.records.makes import Piece
from fitcheck.records.questions.question import KnownFrom
from fitcheck.records.size_tables import SizeTable
from fitcheck.records.swatches import Swatch

A_DIAL_NUMBER = 1.07
"""How many times as large a stitch is one dial number on (common practice, no source)."""

MOST_COUNTED = 5000
"""Largest count that a record takes."""

_FIGURES = "0123456789"


@frozen
class Knits:
    """Sizes of a stitch or row that a piece is knitted with, known from elsewhere than the count in question.

    sizes       what each swatch, else the printed gauge, makes it [mm]
    known_from  what they are known from
    """

    sizes: tuple[float, ...] = ()
    known_from: KnownFrom = "swatch"


def known_gauges(piece: Piece, swatches: Sequence[Swatch], table: SizeTable | None) -> Mapping[bool, Knits]:
    """Say what is known of a piece's rows (True) and stitches (False) without its own counts.

    The swatches of its yarn, strands and stitch pattern, brought to its dial; without any the printed gauge.
    """
    known: dict[bool, Knits] = {}
    alike = [swatch for swatch in swatches if _same_fabric(swatch, piece)]
    for row in (False, True):
        sizes = [size for swatch in alike if (size := _swatched(swatch, piece, row=row)) is not None]
        known_from: KnownFrom = "swatches" if len(sizes) > 1 else "swatch"
        if not sizes and table is not None and table.gauge is not None:
            count = table.gauge.rows if row else table.gauge.stitches
            sizes, known_from = [table.gauge.over.value_mm / count] if count else [], "printed_gauge"
        known[row] = Knits(tuple(sizes), known_from)
    return known


def _same_fabric(swatch: Swatch, piece: Piece) -> bool:
    return (
        (swatch.strands == piece.strands or None in (swatch.strands, piece.strands))
        and swatch.stitch_pattern.casefold() == piece.stitch_pattern.casefold()
        and (swatch.yarn == piece.yarn or None in (swatch.yarn, piece.yarn))
    )


def _swatched(swatch: Swatch, piece: Piece, *, row: bool) -> float | None:
    """Return the stitch or row of a swatch at the dial of a piece [mm]; None where the swatch was not read so.

    Marks between two dial numbers count as thirds: near enough to hold a count against a swatch.
    """
    span = swatch.rows if row else swatch.stitches
    stages = [stage for stage in swatch.stages if stage.kind != "hung" and (stage.along if row else stage.across)]
    if span is None or not stages:
        return None
    read = [reading.length.value_mm for reading in (stages[-1].along if row else stages[-1].across) if reading.counts]
    if not read:
        return None
    dials = 0.0
    if piece.dial is not None and swatch.dial is not None and piece.machine == swatch.machine:
        dials = piece.dial.position() - swatch.dial.position()
    return median(read) / span.between * math.pow(A_DIAL_NUMBER, dials)


def digit_slips(count: int) -> tuple[frozenset[int], frozenset[int]]:
    """Counts that one slip of the finger makes of another, and a slip with two figures swapped on top of it.

    A slip leaves a figure out, types one too many or another one, or swaps two beside each other.
    """

    def once(text: str) -> set[str]:
        cut = [(text[:place], text[place:]) for place in range(len(text) + 1)]
        slips = {a + b[1:] for a, b in cut if b} | {a + figure + b for a, b in cut for figure in _FIGURES}
        slips |= {a + figure + b[1:] for a, b in cut if b for figure in _FIGURES}
        return slips | swapped(text)

    def swapped(text: str) -> set[str]:
        return {text[:n] + text[n + 1] + text[n] + text[n + 2 :] for n in range(len(text) - 1)}

    def counts(texts: set[str]) -> frozenset[int]:
        read = {int(text) for text in texts if text and text[0] != "0"}
        return frozenset(number for number in read if number <= MOST_COUNTED and number != count)

    single = once(str(count))
    return counts(single), counts({other for text in single for other in swapped(text)})
