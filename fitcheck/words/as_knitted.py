"""How a garment of the wardrobe was knitted, in words: its dial, its gauge and its counts."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.advice.rest.last_in_yarn import LastInYarn
from fitcheck.records.garments import AsKnitted
from fitcheck.records.points import ORDER, POINTS
from fitcheck.words.names import point_name
from fitcheck.words.phrases import capital, count_words, listed, sentence, spaced

_SPANS = {"cm": (100.0, "10 cm"), "in": (101.6, "4 in")}
"""What a gauge is said over [mm], and how it is written."""
_WIDEST = ("hem", "chest", "cuff", "upper_arm", "panel_width")
"""Widths that tell a piece in short: where it is cast on, and where it is widest."""


def as_knitted(knitted: AsKnitted, unit: str) -> tuple[str, ...]:
    """What is known of how a garment was knitted, a sentence each: dial and gauge, then each kind of piece.

    unit  cm or in
    """
    told = [f"dial {knitted.dial.written()}"] if knitted.dial is not None else []
    span_mm, span = _SPANS["in" if unit == "in" else "cm"]
    sizes = (("stitches", knitted.stitch), ("rows", knitted.row))
    gauge = [f"{span_mm / size.value_mm:.1f} {noun}" for noun, size in sizes if size is not None]
    told += [f"{listed(gauge)} to {span}"] if gauge else []
    pieces = [_piece(kind, counts) for kind, counts in knitted.counts.items() if counts]
    return (*([sentence(", ".join(told))] if told else []), *pieces)


def last_sweater(last: LastInYarn) -> str:
    """ "Your last sweater in grey wool: dial 7, back 118 to 120 stitches." """
    told = [f"dial {last.knitted.dial.written()}"] if last.knitted.dial is not None else []
    for kind, counts in last.knitted.counts.items():
        across = [count for key, count in counts.items() if POINTS[key].direction == "across" and key in _WIDEST]
        if across:
            low, high = min(across), max(across)
            told.append(f"{spaced(kind)} {f'{low} to ' if low < high else ''}{count_words(high, 'stitch')}")
    return sentence(f"your last sweater in {last.yarn}: {listed(told)}")


def _piece(kind: str, counts: Mapping[str, int]) -> str:
    """ "Back: 118 stitches at the hem, 120 at the chest; 69 rows of armhole depth." """
    keys = sorted(counts, key=ORDER.__getitem__)
    parts = []
    for noun, direction in (("stitch", "across"), ("row", "along")):
        run = [key for key in keys if POINTS[key].direction == direction]
        if run:
            first = f"{point_name(run[0])} {count_words(counts[run[0]], noun)}"
            parts.append(listed([first, *(f"{point_name(key)} {counts[key]}" for key in run[1:])]))
    return sentence(f"{capital(spaced(kind))}: {'; '.join(parts)}")
