"""The fabric of what is knitted next: at which dial, and how large a stitch and a row it will have."""

from __future__ import annotations

from fitcheck.advice.fabric.answer import ClickReport, FabricAnswer
from fitcheck.estimates.numbers import CannotSay
from fitcheck.estimates.piece import CountedDirection


def dial_ahead(answer: FabricAnswer, again: str | None) -> str:
    """The dial of what is knitted next: of the advice, else of the pieces so far, else the fabric's own.

    again  dial at which the advice has the piece knitted again
    """
    return again or answer.dials.keeps or answer.dial or ""


def click_at(answer: FabricAnswer, dial: str) -> ClickReport | None:
    """What the next piece would be at a dial; None where its clicks do not hold it."""
    return next((click for click in answer.dials.clicks if click.dial == dial), None)


def sizes_ahead(answer: FabricAnswer, again: str | None) -> dict[CountedDirection, float]:
    """Stitch width and row height of what is knitted next [mm]; what is only assumed is not said.

    again  dial at which the advice has the piece knitted again
    """
    click = click_at(answer, dial_ahead(answer, again))
    gauges = () if isinstance(answer.gauge, CannotSay) else answer.gauge
    listed = [one for one in ((click.across, click.along) if click else gauges) if one.stage == "blocked"]
    return {gauge.direction: gauge.size.value for gauge in listed if gauge.size.basis != "assumed"}
