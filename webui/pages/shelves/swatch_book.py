"""The swatch book: every fabric with its newest swatches, and the yarns and machines of the household."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from flask import Blueprint, Response, url_for

from fitcheck import words
from fitcheck.advice.fabric.shapes import FabricAnswer
from fitcheck.advice.unanswered import asked_of_each
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.households import Household
from fitcheck.records.swatches import Swatch
from fitcheck.words import fabric as words_fabric
from fitcheck.words import shelves
from fitcheck.words.names import Names, names_of
from fitcheck.words.phrases import capital
from webui.forms.fabrics import Fabric, fabrics_of, newest_day, ways_of
from webui.pages import ground, invented, left_out, views
from webui.pages.context import Page, shown_by
from webui.pages.shelves import swatches as swatch_pages
from webui.pages.shelves.fabrics import answer_for, clicks_shown, figures
from webui.pages.shelves.tools import tools_of

pages = Blueprint("swatch_book", __name__, url_prefix="/swatches")
ROOM = "swatches"
KIND = "swatches"
NEWEST = 8


@shown_by("swatch_book.html", ROOM)
class SwatchBookPage(Page):
    """Every fabric with what is known of it; without a swatch, the three numbers that one needs.

    fabrics  a part each, those of the most swatches first: swatches of one yarn and machine that were knitted otherwise
             are fabrics of their own
    known    that the first of them is known well enough; else empty
    """

    fabrics: list[dict[str, Any]]
    known: str
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
    groups: list[Fabric] = []
    for fabric in fabrics:
        with left_out.named(fabric.name, ground.page_of(KIND, fabric.swatches[0].id)):
            groups += ways_of(fabric, household)
    groups.sort(key=lambda group: -len(group.swatches))
    parts = []
    for group in groups:
        with left_out.named(group.name, ground.page_of(KIND, group.swatches[0].id)):
            parts.append(_fabric(group, household, made_up))
    return views.show(
        SwatchBookPage(
            fabrics=parts,
            known=_known(groups[0], household) if parts else "",
            count=len(household.swatches),
            span=ground.tape().span,
            tools=tools_of(household),
            deleted=ground.deleted("swatches", "yarns", "machines"),
        )
    )


def _known(fabric: Fabric, household: Household) -> str:
    """That a fabric is known well enough; empty where another swatch would tell more."""
    first = answer_for(household, fabric).next_swatch
    well = not isinstance(first, CannotSay) and words_fabric.hardly_narrows(first, ground.tape())
    return shelves.known_well(ground.short(fabric.name)) if well else ""


def _fabric(fabric: Fabric, household: Household, made_up: Collection[tuple[str, str]]) -> dict[str, Any]:
    """A fabric with its newest swatches."""
    answer = answer_for(household, fabric)
    newest = sorted(fabric.swatches, key=newest_day, reverse=True)[:NEWEST]
    asked = asked_of_each(KIND, fabric.swatches, household)
    names = names_of(household)
    return {
        "name": ground.short(fabric.name, 90),
        "yarn": fabric.yarn,
        "machine": fabric.machine,
        "of": fabric.of or None,
        "count": len(fabric.swatches),
        "next": words_fabric.next_swatch_sentence(answer.next_swatch, ground.tape()),
        "strip": clicks_shown(answer),
        "plan": "" if isinstance(answer.gauge, CannotSay) else url_for("plan.plan", fabric=fabric.key),
        "rows": [
            _line(swatch, names, answer, asked=bool(asked[swatch.id]), made_up=(KIND, swatch.id) in made_up)
            for swatch in newest
        ],
    }


def _line(swatch: Swatch, names: Names, answer: FabricAnswer, *, asked: bool, made_up: bool) -> dict[str, Any]:
    """One swatch in a list: its own gauge, blocked if it was, also where the fabric is reckoned without it."""
    spec = next((specimen for specimen in answer.specimens if specimen.key == swatch.id), None)
    gauges = {(known.stage, known.direction): known for known in spec.gauges} if spec else {}
    stage = next((kind for kind in ("blocked", "rested", "off_machine", "hung") if (kind, "across") in gauges), "")
    stitches, rows = (
        figures(gauges[stage, direction])[0] if (stage, direction) in gauges else ""
        for direction in ("across", "along")
    )
    left = [words_fabric.left_out_because(left, names) for left in answer.left_out if left.key == swatch.id]
    notes = [
        capital(words.STAGES[stage]) if stage and stage != "blocked" else "",
        "Asked about" if asked else "",
        *([] if asked else [capital(because) for because in left]),
        "Invented" if made_up else "",
    ]
    return {
        "key": swatch.id,
        "name": shelves.at_dial(names[KIND, swatch.id], swatch.dial.written() if swatch.dial else ""),
        "gauge": shelves.own_gauge(stitches, rows),
        "left_out": bool(left) or spec is None or not spec.pooled,
        "note": ". ".join(note for note in notes if note),
    }
