"""The bed: how many needles it has is asked where more stitches must lie on it than every bed holds (fit rule 24)."""

from __future__ import annotations

from fitcheck.words.phrases import count_words

LOOSER_DIAL = "A looser dial, side panels or a narrower body is the way out."
"""What helps where a bed is too narrow."""


def off_the_bed(needed: int, needles: int) -> str:
    """ "126 needles at this dial; this bed has 110." """
    return f"{count_words(needed, 'needle')} at this dial; this bed has {needles}."


def fills_the_bed(needles: int, where: str) -> str:
    """The bed is a wall: it keeps a count from what is wanted, and which ways lead out (fit rule 24).

    where  at which point more stitches are wanted
    """
    told = f"The bed has {needles} needles, and more stitches are wanted at the {where}"
    return f"{told}: a looser dial, side panels or a narrower body leads out of that."


def needles_asked(stitches: int) -> list[str]:
    """Asks for the bed where no machine is named; the question first."""
    return [
        "How many needles has the bed?",
        f"{count_words(stitches, 'stitch')} must lie on it, and no machine is named.",
    ]
