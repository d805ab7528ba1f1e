"""Fabrics of the swatch book: swatches of one yarn on one machine, and what is known of each."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from flask import Blueprint, Response, abort, request

from fitcheck import words
from fitcheck.advice.fabric.answer import ClickReport, FabricAnswer
from fitcheck.drawing.change_rows import change_rows, changes_of
from fitcheck.drawing.dial_line import chart_of, dial_line
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.households import Household
from fitcheck.records.makes import Make
from fitcheck.records.named import named_by
from fitcheck.records.swatches import Swatch
from fitcheck.reports.given import given_of
from fitcheck.reports.parts import fabric_told
from fitcheck.reports.steps import steps
from fitcheck.words import fabric as words_fabric
from webui.pages import ground
from webui.pages.readings import Asked, asked_of_each
from webui.pages.shelves import unanswered
from webui.service import service

pages = Blueprint("fabrics", __name__, url_prefix="/swatches/fabrics")
ROOM = "swatches"
KIND = "swatches"
NEWEST = 8


def fabrics_of(household: Household) -> list[tuple[str, str, list[Swatch]]]:
    """Swatches by yarn and machine: what may be one fabric; the newest fabric first."""
    found: dict[tuple[str, str], list[Swatch]] = {}
    for one in household.swatches:
        found.setdefault((one.yarn or "", one.machine or ""), []).append(one)
    groups = [(yarn, machine, swatches) for (yarn, machine), swatches in found.items()]
    return sorted(groups, key=lambda group: max(newest_day(one) for one in group[2]), reverse=True)


def newest_day(swatch: Swatch) -> date:
    """The day of the latest stage; the first of all days without one."""
    return max((stage.on for stage in swatch.stages if stage.on), default=date.min)


def fabric_name(household: Household, yarn: str, machine: str, several_machines: bool) -> str:
    """What a fabric is called: its yarn, and its machine where there are several."""
    name = ground.name_of(household.yarns, yarn or None) or "yarn not said"
    on = ground.name_of(household.machines, machine or None)
    return f"{name}, on {on}" if on and several_machines else name


def answer_for(household: Household, yarn: str, machine: str, swatches: list[Swatch], name: str) -> FabricAnswer:
    """What a fabric is known to do without what is asked about; kept under all the records that it is made from."""
    without = unanswered.sure(household, asked_in(household, swatches))
    there = {swatch.id for swatch in without.swatches}
    make = Make(
        id="swatch-book",
        name=name,
        yarn=yarn or None,
        machine=machine or None,
        swatches=[swatch.id for swatch in swatches if swatch.id in there],
    )
    records = named_by(make, without).model_copy(update={"makes": [make]})
    key = records.model_dump_json(exclude_defaults=True)
    return service().cache.get("fabric", key, lambda: fabric_told(steps(given_of(make, without))))


def asked_in(household: Household, swatches: Sequence[Swatch]) -> dict[str, list[Asked]]:
    """What is asked about swatches and not answered, by their key; a fabric is known without it."""
    return {key: asked for key, asked in asked_of_each(KIND, swatches, household).items() if asked}


@pages.get("")
def fabric() -> Response:
    """One fabric: gauge, dial, change in finishing, and where the next swatch tells most."""
    household = ground.household()
    yarn, machine = request.args.get("yarn", ""), request.args.get("machine", "")
    groups = fabrics_of(household)
    found = next((group for group in groups if group[:2] == (yarn, machine)), None)
    if found is None:
        abort(404, "There is no swatch of that yarn on that machine yet. Add one in the swatch book.")
    several_machines = len({one for _, one, _ in groups if one}) > 1
    name = fabric_name(household, yarn, machine, several_machines)
    answer = answer_for(household, yarn, machine, found[2], name)
    names = {one.id: ground.called(one, one.id) for one in found[2]}
    asked = [(key, names[key], one) for key, many in asked_in(household, found[2]).items() for one in many]
    parts = fabric_parts(answer, household)
    return ground.show("fabric.html", ROOM, name=name, yarn=yarn, machine=machine, asked=asked, **parts)


def fabric_parts(answer: FabricAnswer, household: Household) -> dict[str, Any]:
    """What a page shows of a fabric's answer: sentences, drawings and tables."""
    unit, mark = ground.unit(), ground.mark()
    chart = chart_of(answer)
    # A piece's dial stays, and a wanted gauge comes with a make; of the swatches alone it is the line that tells.
    line = ""
    if chart and chart.knitted:
        line = dial_line(chart, "Stitch width against the dial", unit=unit, mark=mark)
    stages = [one.stage for one in answer.change]
    names = {one.id: one.name or one.id.replace("_", " ") for one in household.swatches}
    changes = []
    for stage in stages:
        for direction, word in (("across", "width"), ("along", "length")):
            rows = changes_of(answer, stage, direction)
            if len(rows) > 1:
                title = f"{ground.capital(word)}, {words.stage_name(stage)} to blocked"
                changes.append((title, ground.safe(change_rows(rows[-NEWEST - 1 :], mark=ground.mark()))))
    clicks = [one for one in answer.dials.clicks if not one.outside or one == answer.dials.best]
    gauges = [] if isinstance(answer.gauge, CannotSay) else answer.gauge
    return {
        "answer": answer,
        "wanted_shown": not isinstance(answer.dials.wanted, CannotSay),
        "headline": words_fabric.gauge_headline(answer, unit, mark=mark),
        "stamp": ground.counted(sum(not one.piece for one in answer.specimens), "swatch", "swatches"),
        "next_swatch": words_fabric.next_swatch_sentence(answer.next_swatch, unit, mark=mark),
        "slope": words_fabric.slope_sentence(answer.dials.slopes, mark=mark),
        "cross_check": words_fabric.line_sentence(answer.dials.line, unit, mark=mark),
        "line": ground.safe(line),
        "changes": changes,
        "change_words": [words_fabric.change_sentence(one, mark=mark) for one in answer.change],
        "gauges": [
            {
                "what": "stitches" if one.direction == "across" else "rows",
                "stage": words.stage_name(one.stage),
                "cm": words_fabric.gauge_figure(one, "10 cm", mark=mark),
                "inch": words_fabric.gauge_figure(one, "4 in", mark=mark),
                "mm": size_of(one.size.value),
                "assumed": one.size.basis == "assumed",
            }
            for one in sorted(gauges, key=lambda one: one.direction)
        ],
        "clicks": [_click(one) for one in clicks],
        "specimens": [
            {
                "key": one.key,
                "name": names.get(one.key, one.key.replace("_", " ")),
                "dial": one.dial or "?",
                "gauges": {(g.stage, g.direction): figures(g) for g in one.gauges},
                "piece": one.piece,
            }
            for one in answer.specimens
        ],
        "stages": [
            kind for kind in words.STAGES if any(g.stage == kind for one in answer.specimens for g in one.gauges)
        ],
        "stage_names": words.STAGES,
        "span": "4 in" if unit == "in" else "10 cm",
        "left_out": [words_fabric.left_out_sentence(one) for one in answer.left_out],
        "assumed": [words_fabric.assumed_fabric_sentence(one, unit, mark=mark) for one in answer.assumed],
    }


def size_of(mm: float) -> str:
    """The size of one stitch or row: hundredths of a millimetre, thousandths of an inch."""
    return ground.decimal(mm / 25.4, 3) if ground.unit() == "in" else ground.decimal(mm, 2)


def _click(one: ClickReport) -> dict[str, Any]:
    return {
        "dial": one.dial,
        "stitches": figures(one.across),
        "rows": figures(one.along) if one.along.size.basis != "assumed" else ("", ""),
        "chance": words.chance_words(one.chance) if one.chance is not None else "",
        "good": one.good,
    }


def figures(gauge: Any) -> tuple[str, str]:
    """A gauge over 10 cm or 4 in, and what is likely."""
    return words_fabric.gauge_figure(gauge, "4 in" if ground.unit() == "in" else "10 cm", mark=ground.mark())
