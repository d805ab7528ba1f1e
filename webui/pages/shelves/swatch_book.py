"""The swatch book: every fabric with its newest swatches, and the yarns and machines of the household."""

from __future__ import annotations

from datetime import date
from typing import Any

from flask import Blueprint, Response

from fitcheck import words
from fitcheck.advice.fabric.answer import FabricAnswer
from fitcheck.records.swatches import Swatch
from fitcheck.words import fabric as words_fabric
from webui.pages import ground, invented
from webui.pages.shelves import swatches as swatch_pages
from webui.pages.shelves.fabrics import answer_for, asked_in, fabric_name, fabrics_of, figures, newest_day
from webui.pages.shelves.tools import tools_of

pages = Blueprint("swatch_book", __name__, url_prefix="/swatches")
ROOM = "swatches"
KIND = "swatches"
NEWEST = 8


@pages.get("")
def book() -> Response:
    """Every fabric with what is known of it; without a swatch, the three numbers that one needs."""
    household = ground.household()
    groups = fabrics_of(household)
    if not groups:
        return swatch_pages.new()
    several_machines = len({machine for _, machine, _ in groups if machine}) > 1
    made_up = invented.among(household, "swatches", "yarns", "machines")
    fabrics = []
    for yarn, machine, swatches in groups:
        name = fabric_name(household, yarn, machine, several_machines)
        answer = answer_for(household, yarn, machine, swatches, name)
        newest = sorted(swatches, key=newest_day, reverse=True)
        asked = asked_in(household, swatches)
        fabrics.append(
            {
                "name": ground.short(name, 90),
                "yarn": yarn,
                "machine": machine,
                "count": len(swatches),
                "gauge": words_fabric.gauge_headline(answer, ground.unit(), mark=ground.mark()),
                "next": words_fabric.next_swatch_sentence(answer.next_swatch, ground.unit(), mark=ground.mark()),
                "rows": [
                    {**_line(one, answer), "asked": one.id in asked, "invented": (KIND, one.id) in made_up}
                    for one in newest[:NEWEST]
                ],
            }
        )
    return ground.show(
        "swatch_book.html",
        ROOM,
        fabrics=fabrics,
        count=len(household.swatches),
        span="4 in" if ground.unit() == "in" else "10 cm",
        tools=tools_of(household),
        deleted=ground.deleted("swatches", "yarns", "machines"),
    )


def _line(swatch: Swatch, answer: FabricAnswer) -> dict[str, Any]:
    """One swatch in a list: its gauge, washed and blocked if it was."""
    spec = next((one for one in answer.specimens if one.key == swatch.id), None)
    gauges = {(one.stage, one.direction): one for one in spec.gauges} if spec else {}
    stage = next((kind for kind in ("blocked", "rested", "off_machine", "hung") if (kind, "across") in gauges), "")
    cells = []
    for direction in ("across", "along"):
        gauge = gauges.get((stage, direction))
        cells.append(figures(gauge) if gauge is not None else ("", ""))
    return {
        "key": swatch.id,
        "name": swatch.name or swatch.id.replace("_", " "),
        "dial": swatch.dial.written() if swatch.dial else "?",
        "stage": words.STAGES.get(stage, "") if stage and stage != "blocked" else "",
        "stitches": cells[0],
        "rows": cells[1],
        "when": newest_day(swatch) if newest_day(swatch) != date.min else None,
        "left_out": spec is None,
    }
