"""The swatch book: every fabric with its newest swatches, and the yarns and machines of the household."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from typing import Any

from flask import Blueprint, Response

from fitcheck import words
from fitcheck.advice.fabric.shapes import FabricAnswer
from fitcheck.advice.unanswered import asked_of_each
from fitcheck.records.households import Household
from fitcheck.records.swatches import Swatch
from fitcheck.words import fabric as words_fabric
from fitcheck.words.names import record_name
from webui.forms.fabrics import Fabric, fabrics_of, newest_day
from webui.pages import ground, invented, views
from webui.pages.context import Page, shown_by
from webui.pages.shelves import swatches as swatch_pages
from webui.pages.shelves.fabrics import answer_for, figures
from webui.pages.shelves.tools import tools_of

pages = Blueprint("swatch_book", __name__, url_prefix="/swatches")
ROOM = "swatches"
KIND = "swatches"
NEWEST = 8


@shown_by("swatch_book.html", ROOM)
class SwatchBookPage(Page):
    """Every fabric with what is known of it; without a swatch, the three numbers that one needs."""

    fabrics: list[dict[str, Any]]
    count: int
    span: str
    tools: dict[str, list[dict[str, Any]]]
    deleted: list[tuple[str, str]]


@pages.get("")
def book() -> Response:
    """Every fabric with what is known of it; without a swatch, the three numbers that one needs."""
    household = ground.household()
    fabrics = fabrics_of(household)
    if not fabrics:
        return swatch_pages.new()
    made_up = invented.among(household, "swatches", "yarns", "machines")
    return views.show(
        SwatchBookPage(
            fabrics=[_fabric(fabric, household, made_up) for fabric in fabrics],
            count=len(household.swatches),
            span=ground.tape().span,
            tools=tools_of(household),
            deleted=ground.deleted("swatches", "yarns", "machines"),
        )
    )


def _fabric(fabric: Fabric, household: Household, made_up: Collection[tuple[str, str]]) -> dict[str, Any]:
    """A fabric with its newest swatches."""
    answer = answer_for(household, fabric)
    newest = sorted(fabric.swatches, key=newest_day, reverse=True)[:NEWEST]
    asked = asked_of_each(KIND, fabric.swatches, household)
    return {
        "name": ground.short(fabric.name, 90),
        "yarn": fabric.yarn,
        "machine": fabric.machine,
        "count": len(fabric.swatches),
        "gauge": words_fabric.gauge_headline(answer, ground.tape()),
        "next": words_fabric.next_swatch_sentence(answer.next_swatch, ground.tape()),
        "rows": [
            {**_line(swatch, answer), "asked": bool(asked[swatch.id]), "invented": (KIND, swatch.id) in made_up}
            for swatch in newest
        ],
    }


def _line(swatch: Swatch, answer: FabricAnswer) -> dict[str, Any]:
    """One swatch in a list: its gauge, washed and blocked if it was."""
    spec = next((specimen for specimen in answer.specimens if specimen.key == swatch.id), None)
    gauges = {(known.stage, known.direction): known for known in spec.gauges} if spec else {}
    stage = next((kind for kind in ("blocked", "rested", "off_machine", "hung") if (kind, "across") in gauges), "")
    cells = []
    for direction in ("across", "along"):
        gauge = gauges.get((stage, direction))
        cells.append(figures(gauge) if gauge is not None else ("", ""))
    return {
        "key": swatch.id,
        "name": record_name(swatch),
        "dial": swatch.dial.written() if swatch.dial else "?",
        "stage": words.STAGES.get(stage, "") if stage and stage != "blocked" else "",
        "stitches": cells[0],
        "rows": cells[1],
        "when": newest_day(swatch) if newest_day(swatch) != date.min else None,
        "left_out": spec is None or not spec.pooled,
    }
