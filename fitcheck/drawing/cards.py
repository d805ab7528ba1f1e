"""Cards of the wardrobe: outlines of garments, all at 1:20 of their size when drawn at their natural width."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fitcheck.drawing.canvas import View, edges
from fitcheck.drawing.look import SCREEN
from fitcheck.drawing.outline import Outline
from fitcheck.drawing.svg import drawing, n, path, text, text_width
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.lengths import FOUR_INCHES_MM, INCH_MM
from fitcheck.words import Unit

UNITS_PER_MM = 96 / INCH_MM / 20
"""1:20 at 96 units to the inch."""
CARD = (160.0, 220.0)
"""Every card's box [units]: a garment of 80 cm across and 110 cm long fits."""
LISTED = 44.0
"""Width of an outline in a list [units], and of its box [px]."""
LISTED_MARGIN = 2.0
"""What is left free round it [units]."""


def card(outline: Outline | CannotSay, label: str, *, ids: str = "ca", height: float = CARD[1]) -> str:
    """The outline of a garment at 1:20; empty where there is none.

    label   what it shows, one sentence;  ids: prefix of its ids
    height  of the card's box [units], where all cards of a sheet are cut alike
    """
    if isinstance(outline, CannotSay):
        return ""
    width, tallest = CARD
    # What is larger than any sweater is drawn as large as the card, rather than cut.
    scale = min(UNITS_PER_MM, (width - 6) / _across(outline), (tallest - 12) / outline.length_mm)
    left = width / 2 if outline.mirrored else width / 2 - scale * outline.half_mm / 2
    view = View(scale, left, 8.0)
    return drawing("card", width, height, [edges(SCREEN, view, outline)], label=label, ids=ids)


def listed_outlines(outlines: Sequence[tuple[Outline | CannotSay, bool]]) -> list[str]:
    """Outlines of pieces for the lines of a list, all at one scale: the widest is as wide as the box.

    outlines  each with whether it was measured; what is only wanted is dashed

    Empty where there is none.
    """
    wide = max((_across(outline) for outline, _ in outlines if not isinstance(outline, CannotSay)), default=0.0)
    return ["" if isinstance(outline, CannotSay) else _listed(outline, wide, own) for outline, own in outlines]


def _listed(outline: Outline, wide_mm: float, measured: bool) -> str:
    scale = (LISTED - 2 * LISTED_MARGIN) / wide_mm
    left = LISTED / 2 if outline.mirrored else LISTED / 2 - scale * outline.half_mm / 2
    view = View(scale, left, LISTED_MARGIN)
    height = scale * outline.length_mm + 2 * LISTED_MARGIN
    line = path(SCREEN, "o-piece" if measured else "o-ref", view.closed(outline))
    return drawing("pic", LISTED, round(height, 1), [line])


def _across(outline: Outline) -> float:
    """Width over all [mm]."""
    return 2 * outline.half_mm if outline.mirrored else outline.half_mm


def cut(outlines: Iterable[Outline | CannotSay]) -> float:
    """Height of all cards of a sheet [units]: the empty foot is cut off all alike, so that their scale is one."""
    lengths = [outline.length_mm for outline in outlines if not isinstance(outline, CannotSay)]
    return round(min(CARD[1], 8.0 + max(lengths, default=0.0) * UNITS_PER_MM + 8.0))


def card_bar(unit: Unit) -> str:
    """The scale of a sheet of cards: 10 cm, or 4 in, at 1:20."""
    mm, word = (FOUR_INCHES_MM, "4 in") if unit == "in" else (100.0, "100 mm" if unit == "mm" else "10 cm")
    wide = mm * UNITS_PER_MM
    parts = [
        path(SCREEN, "r-edge", f"M2 8h{n(wide)}"),
        path(SCREEN, "r-cm", f"M2 8v-6M{n(2 + wide)} 8v-6M{n(2 + wide / 2)} 8v-4"),
        text(SCREEN, "r-num", wide + 8.0, 12.5, word),
    ]
    return drawing("card-bar", round(wide + 10.0 + text_width(word)), 18.0, parts)
