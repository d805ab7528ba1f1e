"""What a make that is not finished waits for: the tape, the wash, the machine, or making up."""

from __future__ import annotations

from typing import Literal

from fitcheck.estimates.numbers import CannotSay
from fitcheck.reports.shapes import Report

Waits = Literal["tape", "wash", "knit", "sew"]
"""The tape: something is read, counted or looked at again; the wash: a piece is blocked before anything else; the
machine: a piece or a swatch is knitted next; making up: every piece is there."""


def waits_for(report: Report) -> Waits:
    """What comes next on a make, by the advice of its report; a piece that nothing was read of waits for the tape."""
    advice = report.recommendation
    if isinstance(advice, CannotSay):
        return "knit" if report.first is not None else "tape"
    if advice.reason == "wash_and_block" or advice.action == "block_again":
        return "wash"
    if advice.action == "measure_again" and advice.reason != "needles":
        return "tape"
    if advice.reason == "needles" or advice.action in ("rip_back", "knit_again") or report.head.to_knit:
        return "knit"
    return "sew"
