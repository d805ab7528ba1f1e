"""The bed: how many needles it has is asked where more stitches must lie on it than every bed holds (fit rule 24)."""

from __future__ import annotations

from fitcheck.records.constructions import CONSTRUCTIONS, USUAL, ConstructionKey
from fitcheck.words.phrases import capital, count_words, listed

IN_PANELS = 2
"""Stitches that each of two side panels takes more than it gives: a seam more at either side swallows them."""
LEAST_PANEL = 8
"""Nobody knits a narrower panel [stitches] (assumed)."""


def way_out(construction: ConstructionKey = USUAL, more: int = 0) -> str:
    """What helps where a bed is too narrow; side panels where the body is built so that it can have them.

    more  stitches that back and front want each beyond the bed, which two panels carry; 0 where that is not said
    """
    panels = []
    built = CONSTRUCTIONS[construction]
    if built.panels:
        panels = ["wider side panels"]
    elif built.may_have_panels and (not more or more + IN_PANELS >= LEAST_PANEL):
        panels = [f"two side panels of {count_words(more + IN_PANELS, 'stitch')}" if more else "side panels"]
    return f"{capital(listed(['a looser dial', *panels, 'a narrower body'], 'or'))} is the way out."


LOOSER_DIAL = way_out()
"""The same where nothing more is known."""


def off_the_bed(needed: int, needles: int) -> str:
    """ "126 needles at this dial; this bed has 110." """
    return f"{count_words(needed, 'needle')} at this dial; this bed has {needles}."


def fills_the_bed(needles: int, where: str, construction: ConstructionKey, more: int = 0) -> list[str]:
    """The bed is a wall: it keeps a count from what is wanted, and which ways lead out (fit rule 24).

    where  at which point more stitches are wanted
    more   how many each of back and front; 0 where that is not said
    """
    told = f"The bed has {needles} needles, and more stitches are wanted at the {where}"
    return [f"{told}{f': {more + needles}' if more else ''}.", way_out(construction, more)]


def needles_asked(stitches: int) -> list[str]:
    """Asks for the bed where no machine is named; the question first."""
    return [
        "How many needles has the bed?",
        f"{count_words(stitches, 'stitch')} must lie on it, and no machine is named.",
    ]
