"""What became of costs that an older file had set."""

from __future__ import annotations

from fitcheck.records.makes import Costs
from fitcheck.words.figures import CM, Tape


def costs_taken_over(costs: Costs, tape: Tape = CM) -> str:
    """What a file of format 1 said of the costs of a make, and what stands now; empty where there is nothing to say."""
    before = costs.before
    if before is None:
        return ""

    def number(work: float) -> str:
        return tape.number(work, 2)

    told = []
    for name, old, extra, part in (
        ("ripping back", before.rip_back, costs.rip_extra, "the part that is ripped"),
        ("knitting again", before.knit_again, costs.knit_extra, "the piece itself"),
    ):
        if old is not None:
            told.append(f"{name}, {number(old)} before, costs {part} and {number(extra)} of a back more")
    if before.other_counts is not None:
        now = number(costs.printed_counts)
        told.append(f"other counts, {number(before.other_counts)} before, cost {now} of a back")
    return f"The costs that you had set were taken over: {'; '.join(told)}."
