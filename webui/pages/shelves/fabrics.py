"""Fabrics of the swatch book: swatches of one yarn on one machine, and what is known of each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from flask import Blueprint, Response, abort, request
from markupsafe import Markup

from fitcheck import words
from fitcheck.advice.fabric.shapes import ClickReport, FabricAnswer, FabricGauge, SpecimenReport
from fitcheck.advice.unanswered import asked_of_each
from fitcheck.drawing.change_rows import change_rows, changes_of
from fitcheck.drawing.dial_line import chart_of, dial_line
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household
from fitcheck.records.lengths import INCH_MM
from fitcheck.records.named import named_by
from fitcheck.reports.given import given_of
from fitcheck.reports.parts import fabric_told
from fitcheck.reports.steps import steps
from fitcheck.words import deeds
from fitcheck.words import fabric as words_fabric
from fitcheck.words.names import Names, called, names_of, told_apart
from fitcheck.words.phrases import count_words
from webui.forms.fabrics import Fabric, fabrics_of, way_of, ways_of
from webui.pages import ground, views
from webui.pages.asked import Asked
from webui.pages.context import Page, shown_by
from webui.service import service

pages = Blueprint("fabrics", __name__, url_prefix="/swatches/fabrics")
ROOM = "swatches"
KIND = "swatches"
NEWEST = 8


def answer_for(household: Household, fabric: Fabric) -> FabricAnswer:
    """What a fabric is known to do without what is asked about; kept under all the records that it is made from."""
    make = fabric.make
    records = named_by(make, household).model_copy(update={"makes": [make]})
    key = records.model_dump_json(exclude_defaults=True)
    return service().cache.get("fabric", lambda: key, lambda: fabric_told(steps(given_of(make, household))))


@shown_by("fabric.html", ROOM)
class FabricPage(Page):
    """One fabric of the swatch book; asked: key and name of each swatch with what is asked about it.

    plan  key of the fabric that a sweater is planned from: the way of its swatches that is reckoned with
    """

    fabric: Fabric
    plan: str
    asked: Sequence[tuple[str, str, Asked]]
    head: str
    parts: FabricParts


@pages.get("")
def fabric() -> Response:
    """One fabric: gauge, dial, change in finishing, and where the next swatch tells most."""
    household = ground.household()
    key = f"{request.args.get('yarn', '')}|{request.args.get('machine', '')}"
    fabric = next((fabric for fabric in fabrics_of(household) if fabric.key == key), None)
    if fabric is None:
        abort(404, deeds.NO_SWATCH_OF_FABRIC)
    way = way_of(ways_of(fabric, household), request.args.get("of", ""))
    fabric = way if request.args.get("of") else fabric
    names = told_apart(fabric.swatches)
    questions = asked_of_each(KIND, fabric.swatches, household)
    asked = [(key, names[key], Asked(question)) for key, many in questions.items() for question in many]
    answer = answer_for(household, fabric)
    # What is asked about is asked here.
    left_out = tuple(swatch for swatch in answer.left_out if swatch.code != "asked_about")
    head = words_fabric.swatched_heading(ground.short(fabric.name), answer)
    return views.show(
        FabricPage(fabric, way.key, asked, head, fabric_parts(replace(answer, left_out=left_out), household))
    )


MOST_CLICKS = 25
"""Clicks of a strip, at most; of more the numbers of the dial alone."""


@frozen
class ClickShown:
    """One click of a fabric's strip: as it is written, stitches and rows, and whether a swatch was knitted there."""

    dial: str
    whole: bool
    stitches: str
    rows: str
    swatched: bool


def clicks_shown(answer: FabricAnswer) -> list[ClickShown]:
    """The strip of a fabric: the clicks between the dials that were swatched; nothing where that is but one."""
    dials = answer.dials
    clicks = [click for click in dials.clicks if not click.outside]
    if len(clicks) > MOST_CLICKS:
        clicks = [click for click in clicks if click.dial.isdecimal()][:MOST_CLICKS]
    if len(clicks) < 2:
        return []
    return [
        ClickShown(
            click.dial,
            click.dial.isdecimal(),
            figures(click.across)[0],
            figures(click.along)[0] if click.along.size.basis != "assumed" else "",
            click.dial in dials.swatched,
        )
        for click in clicks
    ]


@frozen
class FabricParts:
    """What a page shows of a fabric's answer.

    dial                      setting of the next piece, as it is written
    stamp, next_swatch        number of swatches, and where the next one tells most
    slope, cross_check, line  the line of the dial in words and drawn;  wanted_shown: with what is wanted
    strip, clicks, gauges     the clicks as a tape; a row per click, and per stage and direction
    changes, change_words     change in finishing, drawn and in words
    specimens, stages, stage_names   swatches and pieces by themselves, at these stages
    span                      what figures are to: 10 cm or 4 in
    asked, groups             which fabric it is, where nothing tells; the fabrics among the swatches
    left_out, assumed         what is left out, and what was taken for granted
    of_make                   key of the make whose fabric it is; empty for a fabric of the swatch book
    """

    dial: str | None
    wanted_shown: bool
    stamp: str
    next_swatch: str
    slope: str
    cross_check: str
    line: Markup
    changes: Sequence[tuple[str, Markup]]
    change_words: Sequence[str]
    gauges: Sequence[Mapping[str, Any]]
    strip: Sequence[ClickShown]
    clicks: Sequence[Mapping[str, Any]]
    specimens: Sequence[Mapping[str, Any]]
    stages: Sequence[str]
    stage_names: Mapping[str, str]
    span: str
    asked: str
    groups: Sequence[str]
    left_out: Sequence[str]
    assumed: Sequence[str]
    of_make: str


def fabric_parts(answer: FabricAnswer, household: Household, *, of_make: str = "") -> FabricParts:
    """What a page shows of a fabric's answer: sentences, drawings and tables."""
    tape = ground.tape()
    chart = chart_of(answer)
    # A piece's dial stays, and a wanted gauge comes with a make; of the swatches alone it is the line that tells.
    line = ""
    if chart and chart.knitted:
        line = dial_line(chart, "Stitch width against the dial", unit=ground.unit(), mark=tape.mark)
    names = names_of(household)
    clicks = [click for click in answer.dials.clicks if not click.outside or click == answer.dials.best]
    gauges = [] if isinstance(answer.gauge, CannotSay) else answer.gauge
    return FabricParts(
        dial=answer.dial,
        wanted_shown=not isinstance(answer.dials.wanted, CannotSay),
        stamp=count_words(sum(not specimen.piece for specimen in answer.pooled), "swatch"),
        next_swatch=words_fabric.next_swatch_sentence(answer.next_swatch, tape),
        slope=words_fabric.slope_sentence(answer.dials.slopes, tape),
        cross_check=words_fabric.line_sentence(answer.dials.line, tape),
        line=ground.svg_markup(line),
        changes=_changes(answer, told_apart(household.swatches)),
        change_words=[words_fabric.change_sentence(change, tape) for change in answer.change],
        gauges=[_gauge(gauge) for gauge in sorted(gauges, key=lambda gauge: gauge.direction)],
        strip=clicks_shown(answer),
        clicks=[_click(click) for click in clicks],
        specimens=[_specimen(specimen, names) for specimen in answer.specimens],
        stages=_stages(answer),
        stage_names=words.STAGES,
        span=tape.span,
        asked=words_fabric.group_asked_sentence(answer),
        groups=words_fabric.groups_sentences(answer, names),
        left_out=[words_fabric.left_out_sentence(swatch, names) for swatch in answer.left_out],
        assumed=[words_fabric.assumed_fabric_sentence(granted, tape) for granted in answer.assumed],
        of_make=of_make,
    )


def _stages(answer: FabricAnswer) -> list[str]:
    """The stages at which swatches and pieces were read: blocked first, the one that a sweater is reckoned from."""
    read = {gauge.stage for specimen in answer.specimens for gauge in specimen.gauges}
    return sorted((kind for kind in words.STAGES if kind in read), key=lambda kind: kind != "blocked")


def _changes(answer: FabricAnswer, names: Mapping[str, str]) -> list[tuple[str, Markup]]:
    """Titles and drawings of how the newest swatches change on the way to blocked, where there are two or more."""
    drawn = []
    for change in answer.change:
        for direction, word in (("across", "width"), ("along", "length")):
            rows = changes_of(answer, change.stage, direction, names)
            if len(rows) > 1:
                title = f"{ground.capital(word)}, {words.stage_name(change.stage)} to blocked"
                drawn.append((title, ground.svg_markup(change_rows(rows[-NEWEST - 1 :], mark=ground.mark()))))
    return drawn


def _gauge(gauge: FabricGauge) -> dict[str, Any]:
    tape = ground.tape()
    return {
        "what": "stitches" if gauge.direction == "across" else "rows",
        "stage": words.stage_name(gauge.stage),
        "cm": words_fabric.gauge_figure(gauge, "10 cm", tape),
        "inch": words_fabric.gauge_figure(gauge, "4 in", tape),
        "mm": size_of(gauge.size.value),
        "assumed": gauge.size.basis == "assumed",
        "before": gauge.stage != "blocked",
    }


def _specimen(specimen: SpecimenReport, names: Names) -> dict[str, Any]:
    return {
        "key": specimen.key,
        "name": called("swatches", specimen.key, names),
        "dial": specimen.dial or "?",
        "gauges": {(gauge.stage, gauge.direction): figures(gauge) for gauge in specimen.gauges},
        "piece": specimen.piece,
    }


def size_of(mm: float) -> str:
    """The size of one stitch or row: hundredths of a millimetre, thousandths of an inch."""
    return ground.decimal(mm / INCH_MM, 3) if ground.unit() == "in" else ground.decimal(mm, 2)


def _click(click: ClickReport) -> dict[str, Any]:
    return {
        "dial": click.dial,
        "stitches": figures(click.across),
        "rows": figures(click.along) if click.along.size.basis != "assumed" else ("", ""),
        "chance": words.chance_words(click.chance) if click.chance is not None else "",
    }


def figures(gauge: Any) -> tuple[str, str]:
    """A gauge over 10 cm or 4 in, and what is likely."""
    return words_fabric.gauge_figure(gauge, ground.tape().span, ground.tape())
