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


@frozen
class Swatched:
    """A swatch, and what was last read of its stitches (False) and rows (True) [mm]; nothing of what was not."""

    swatch: Swatch
    mm: Mapping[bool, float]

    @classmethod
    def of(cls, swatch: Swatch) -> Swatched:
        """What was last read of a swatch; one that hangs tells nothing."""
        mm = {}
        for row, span in ((False, swatch.stitches), (True, swatch.rows)):
            lists = (stage.along if row else stage.across for stage in swatch.stages if stage.kind != "hung")
            latest = next((readings for readings in reversed([*lists]) if readings), [])
            read = [reading.length.value_mm for reading in latest if reading.counts]
            if span is not None and read:
                mm[row] = median(read) / span.between
        return cls(swatch, mm)

    def at_dial_of(self, piece: Piece, *, row: bool) -> float | None:
        """Its stitch or row at the dial of a piece [mm]; None where it was not read so.

        Marks between two dial numbers count as thirds: near enough to hold a count against a swatch.
        """
        swatch, mm = self.swatch, self.mm.get(row)
        if mm is None:
            return None
        dials = 0.0
        if piece.dial is not None and swatch.dial is not None and piece.machine == swatch.machine:
            dials = piece.dial.position() - swatch.dial.position()
        return mm * math.pow(A_DIAL_NUMBER, dials)


def known_gauges(piece: Piece, swatches: Sequence[Swatched], table: SizeTable | None) -> Mapping[bool, Knits]:
    """Say what is known of a piece's rows (True) and stitches (False) without its own counts.

    The swatches of its yarn, strands and stitch pattern, brought to its dial; without any the printed gauge.
    """
    known: dict[bool, Knits] = {}
    alike = [swatched for swatched in swatches if _same_fabric(swatched.swatch, piece)]
    for row in (False, True):
        sizes = [size for swatched in alike if (size := swatched.at_dial_of(piece, row=row)) is not None]
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
