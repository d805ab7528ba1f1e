"""What a band that is still to come is knitted by: its depth, its rows, and the stitches to pick up."""

from __future__ import annotations

from collections.abc import Iterable

from fitcheck.advice.rest.bands import BandToCome
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.makes import BandEdge
from fitcheck.words.figures import Tape
from fitcheck.words.phrases import capital, count_words

NAMES: dict[BandEdge, str] = {
    "neck": "the neck band",
    "front": "the front band",
    "hem": "the band at the hem",
    "cuff": "the band at the cuff",
}


def bands_told(bands: Iterable[BandToCome], tape: Tape) -> tuple[str, ...]:
    """What each band is knitted by; why rows and stitches cannot be said once for all of them.

    "The neck band: 2.2 cm deep instead of 2.5 cm, 11 rows. Pick up 26 stitches for every 10 cm of the edge, 10 to 15 %
    fewer where it is hollow."
    """
    bands = list(bands)
    told = [_told(band, tape) for band in bands]
    known = [band for band in bands if band.depth_mm is not None]
    unknown = next((band.stitch for band in known if isinstance(band.stitch, CannotSay)), None)
    if unknown is None:
        return tuple(told)
    take = f"{NAMES[known[0].edge]} takes" if len(known) == 1 else "these bands take"
    why = f"How many rows and stitches {take} cannot be said"
    return (*told, f"{why}: {unknown.why}. {unknown.what_would_help}")


def neck_band_then(bands: Iterable[BandToCome], wider_mm: float, tape: Tape) -> str:
    """What a neck band is knitted by that is to leave the neck so much wider: "2.2 cm instead of 2.5 cm, 11 rows".

    Empty where nobody said how deep it was to be.
    """
    for band in bands:
        depth = band.deep_for(wider_mm)
        if band.edge == "neck" and band.before_mm is not None and depth is not None:
            rows = "" if isinstance(band.stitch, CannotSay) else f", {count_words(band.stitch.rows(depth), 'row')}"
            return f"{tape.length(depth)} instead of {tape.length(band.before_mm)}{rows}"
    return ""


def depth_asked(bands: Iterable[BandToCome]) -> list[str]:
    """How deep a band was to be, where the advice makes it another and nobody said it."""
    return [_ask_depth(band) for band in bands if band.change_mm and band.depth_mm is None]


def _ask_depth(band: BandToCome) -> str:
    return f"Say how deep {NAMES[band.edge]} was to be: then its depth and rows can be said."


def _told(band: BandToCome, tape: Tape) -> str:
    name = capital(NAMES[band.edge])
    if band.depth_mm is None:
        return _ask_depth(band)
    figures = f"{tape.length(band.depth_mm)} deep"
    if band.change_mm and band.before_mm is not None:
        figures += f" instead of {tape.length(band.before_mm)}"
    if isinstance(band.stitch, CannotSay):
        return f"{name}: {figures}."
    rows = f", {count_words(band.rows or 0, 'row')}"
    if band.edge_mm is not None:
        stitches = count_words(band.stitch.picked_up(band.edge_mm), "stitch")
        return f"{name}: {figures}{rows}. Pick up {stitches} along each front edge of {tape.length(band.edge_mm)}."
    stitches = count_words(band.stitch.picked_up(tape.span_mm), "stitch")
    hollow = ", 10 to 15 % fewer where it is hollow" if band.edge == "neck" else ""
    return f"{name}: {figures}{rows}. Pick up {stitches} for every {tape.span} of the edge{hollow}."
