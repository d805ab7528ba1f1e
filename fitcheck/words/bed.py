"""The bed: how many needles it has is asked where more stitches must lie on it than every bed holds (fit rule 24)."""

from __future__ import annotations

from fitcheck.words.phrases import count_words

LOOSER_DIAL = "A looser dial, side panels or a narrower body is the way out."
"""What helps where a bed is too narrow."""


def off_the_bed(needed: int, needles: int) -> str:
    """ "126 needles at this dial; this bed has 110." """
    return f"{count_words(needed, 'needle')} at this dial; this bed has {needles}."


def needles_asked(stitches: int) -> list[str]:
    """Asks for the bed where no machine is named; the question first."""
    return [
        "How many needles has the bed?",
        f"{count_words(stitches, 'stitch')} must lie on it, and no machine is named.",
    ]
