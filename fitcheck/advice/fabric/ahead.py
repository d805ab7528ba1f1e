"""The fabric of what is knitted next: at which dial, and how large a stitch and a row it will have."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.advice.fabric.answer import ClickReport, FabricAnswer
from fitcheck.estimates.fabric.assumptions import DIRECTIONS
from fitcheck.estimates.numbers import CannotSay


def dial_ahead(answer: FabricAnswer, again: str | None) -> str:
    """The dial of what is knitted next: of the advice, else of the pieces so far, else the fabric's own.

    again  dial at which the advice has the piece knitted again
    """
    return again or answer.dials.keeps or answer.dial or ""


def click_at(answer: FabricAnswer, dial: str) -> ClickReport | None:
    """What the next piece would be at a dial; None where its clicks do not hold it."""
    return next((click for click in answer.dials.clicks if click.dial == dial), None)


def sizes_ahead(
    own: Mapping[str, float], answer: FabricAnswer | None, *, again: str | None, doubted: bool
) -> dict[str, float]:
    """Stitch width ("across") and row height ("along") of what is knitted next [mm], as far as they are known.

    The piece's own, else what the fabric says at the dial ahead; what is only assumed is not said.

    own      sizes that the piece on the table tells [mm]
    again    dial at which it is knitted again: its own sizes are of another
    doubted  its own sizes are in doubt: a count of it is questioned, or it is not washed and blocked yet
    """
    known = {} if doubted or again else dict(own)
    if answer is None:
        return known
    click = click_at(answer, dial_ahead(answer, again))
    gauges = () if isinstance(answer.gauge, CannotSay) else answer.gauge
    listed = (click.across, click.along) if click else gauges
    for direction in DIRECTIONS:
        of_fabric = next((one for one in listed if (one.stage, one.direction) == ("blocked", direction)), None)
        if direction not in known and of_fabric is not None and of_fabric.size.basis != "assumed":
            known[direction] = of_fabric.size.value
    return known
