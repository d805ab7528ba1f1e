"""What a band that is still to come is knitted by: its depth, its rows, and the stitches to pick up."""

from __future__ import annotations

from collections.abc import Iterable

from fitcheck.advice.rest.bands import BandStitch, BandToCome
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.makes import BandEdge
from fitcheck.words.figures import Tape
from fitcheck.words.phrases import capital, count_words, listed, sentence, small_first
from fitcheck.words.why_not import what_would_help

NAMES: dict[BandEdge, str] = {
    "neck": "the neck band",
    "front": "the front band",
    "hem": "the band at the hem",
    "cuff": "the band at the cuff",
}


def bands_told(bands: Iterable[BandToCome], tape: Tape) -> tuple[str, ...]:
    """What each band is knitted by; those of which rows and stitches cannot be said in one go, and what would help.

    "The neck band: 2.2 cm deep instead of 2.5 cm, 11 rows. Pick up 26 stitches for every 10 cm of the edge, 10 to 15 %
    fewer where it is hollow."; "The band at the hem 6.0 cm deep, the neck band 2.5 cm deep. For their rows and
    stitches, swatch the rib, and call its stitch pattern so."
    """
    told: list[str] = []
    depths: list[str] = []
    help_words = ""
    for band in bands:
        if band.depth_mm is None:
            told.append(_ask_depth(band))
        elif isinstance(band.stitch, CannotSay):
            depths.append(f"{NAMES[band.edge]} {_deep(band, band.depth_mm, tape)}")
            help_words = small_first(what_would_help(band.stitch))
        else:
            told.append(_knitted(band, band.depth_mm, band.stitch, tape))
    if depths:
        whose = "their" if len(depths) > 1 else "its"
        told.append(f"{sentence(listed(depths))} For {whose} rows and stitches, {help_words}")
    return tuple(told)


def neck_band_then(bands: Iterable[BandToCome], wider_mm: float, tape: Tape) -> str:
    """What a neck band is knitted by that is to leave the neck so much wider: "2.2 cm instead of 2.5 cm, 11 rows".

    Empty where nobody said how deep it was to be.
    """
    for band in bands:
        depth = band.deep_for(wider_mm)
        if band.edge == "neck" and band.before_mm is not None and depth is not None:
            rows = "" if isinstance(band.stitch, CannotSay) else f", {count_words(band.stitch.rows(depth), 'row')}"
            now, before = (band_depth(mm, depth - band.before_mm, tape) for mm in (depth, band.before_mm))
            return f"{now} instead of {before}{rows}"
    return ""


FINE_MM = 5.0
"""A depth of a band that changes by less is written in halves of a millimetre, or in sixteenths [mm]."""


def band_depth(mm: float, change_mm: float, tape: Tape) -> str:
    """A depth, or a change of one, as finely as what the change is: "2.3 cm", "23.5 mm"."""
    return tape.small(abs(mm)) if abs(change_mm) < FINE_MM else tape.amount(mm)


def depth_asked(bands: Iterable[BandToCome]) -> list[str]:
    """How deep a band was to be, where the advice makes it another and nobody said it."""
    return [_ask_depth(band) for band in bands if band.change_mm and band.depth_mm is None]


def _ask_depth(band: BandToCome) -> str:
    return f"Say how deep {NAMES[band.edge]} was to be: then its depth and rows can be said."


def _deep(band: BandToCome, depth_mm: float, tape: Tape) -> str:
    """ "2.2 cm deep instead of 2.5 cm" """
    if not band.change_mm or band.before_mm is None:
        return f"{tape.length(depth_mm)} deep"
    now, before = (band_depth(mm, depth_mm - band.before_mm, tape) for mm in (depth_mm, band.before_mm))
    return f"{now} deep instead of {before}"


def _knitted(band: BandToCome, depth_mm: float, stitch: BandStitch, tape: Tape) -> str:
    figures = f"{capital(NAMES[band.edge])}: {_deep(band, depth_mm, tape)}, {count_words(band.rows or 0, 'row')}"
    if band.edge_mm is not None:
        stitches = count_words(stitch.picked_up(band.edge_mm), "stitch")
        return f"{figures}. Pick up {stitches} along each front edge of {tape.length(band.edge_mm)}."
    stitches = count_words(stitch.picked_up(tape.span_mm), "stitch")
    hollow = ", 10 to 15 % fewer where it is hollow" if band.edge == "neck" else ""
    return f"{figures}. Pick up {stitches} for every {tape.span} of the edge{hollow}."
